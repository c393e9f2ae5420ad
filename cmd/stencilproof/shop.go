package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"stencilproof/preflight"
	"stencilproof/preflight/report"
)

// shopFileUse is the help of the flag --shop, the same in every command.
const shopFileUse = "the shop file; without it the one in your configuration folder, if it is there"

// usualShopFile is where a shop file is looked for when none is named:
// stencilproof/shop.toml in the user's configuration folder, by the
// platform's convention.
func usualShopFile() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("looking for the shop file: %w", err)
	}
	return filepath.Join(dir, "stencilproof", "shop.toml"), nil
}

// loadShop reads the shop file named, or, when name is "", the usual one. No
// usual file is no error: it gives an empty shop, whose films are the default
// ones.
func loadShop(name string) (*preflight.Shop, error) {
	asked := name != ""
	if !asked {
		usual, err := usualShopFile()
		if err != nil {
			return &preflight.Shop{}, nil // no home, so no file there either
		}
		name = usual
	}
	data, err := os.ReadFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist) && !asked:
		return &preflight.Shop{}, nil
	case errors.Is(err, fs.ErrNotExist):
		return nil, &preflight.Problem{What: fmt.Sprintf("no shop file %s", name), Do: "stencilproof shop draft writes one to start from"}
	case err != nil:
		return nil, unreadableShop(name, err)
	}
	return preflight.ParseShop(name, data)
}

// unreadableShop says that a shop file is there and cannot be read.
func unreadableShop(name string, err error) error {
	return &preflight.Problem{What: fmt.Sprintf("the shop file %s cannot be read: %v", name, reason(err)), Do: "name a file that can be: --shop FILE"}
}

func shopCommand(flags *pflag.FlagSet) func(context.Context, streams, []string) int {
	out := flags.String("out", "", "where draft writes the file; - is standard output")
	file := flags.String("shop", "", shopFileUse)
	return func(_ context.Context, s streams, args []string) int {
		const hint = "stencilproof shop --help tells more"
		if len(args) == 2 && strings.ContainsAny(args[1], "./\\") && (args[0] == "draft" || args[0] == "show") {
			return s.refuse(fmt.Sprintf("shop %s takes no file as a word, got %s", args[0], quote(args[1])), map[string]string{
				"draft": "--out FILE names the file to write", "show": "--shop FILE names the file to show"}[args[0]])
		}
		if len(args) != 1 {
			return s.refuse("shop takes one word: draft or show", hint)
		}
		switch args[0] {
		case "draft":
			if flags.Changed("shop") {
				return s.refuse("shop draft reads no shop file", "name the file to write with --out")
			}
			return shopDraft(s, *out)
		case "show":
			if flags.Changed("out") {
				return s.refuse("shop show writes no file", hint)
			}
			return shopShow(s, *file)
		}
		return s.refuse(fmt.Sprintf("shop takes draft or show, got %s", quote(args[0])), hint)
	}
}

// shopDraft writes a shop file to start from.
func shopDraft(s streams, name string) int {
	if name == "-" {
		if _, err := io.WriteString(s.out, preflight.ShopDraft); err != nil {
			return s.refuseErr("writing the draft", err)
		}
		return statusHolds
	}
	if name == "" {
		usual, err := usualShopFile()
		if err != nil {
			return s.refuse(err.Error(), "say where it should go: --out FILE")
		}
		name = usual
	}
	err := createFile(name, []byte(preflight.ShopDraft))
	if errors.Is(err, fs.ErrExist) {
		return s.refuse(fmt.Sprintf("%s is there already", name), "nothing was changed; --out - prints the draft, --out FILE writes it elsewhere")
	}
	if err != nil {
		return s.refuseErr("", err)
	}
	fmt.Fprintf(s.out, "%s\nEvery line in it is a comment: open it in an editor and take the # off what should hold.\n", name)
	return statusHolds
}

// shopShow says which shop file is in force and what it sets.
func shopShow(s streams, name string) int {
	shop, err := loadShop(name)
	if err != nil {
		return s.refuseErr("", err)
	}
	if shop.File == "" {
		usual, err := usualShopFile()
		if err != nil {
			usual = "the configuration folder"
		}
		fmt.Fprintf(s.out, "No shop file is in force: none at %s.\nstencilproof shop draft writes one to start from.\n", usual)
		return statusHolds
	}
	fmt.Fprintf(s.out, "In force: %s\n", report.Shown(shop.File))
	for _, row := range [][2]string{
		{"shop", shop.Name}, {"address", strings.Join(shop.Address, ", ")}, {"email", shop.Email}, {"phone", shop.Phone}, {"logo", shop.Logo}, {"film", shop.Film}, {"units", shop.Units}, {"language", shop.Language}, {"paper", shop.Paper},
	} {
		if row[1] != "" {
			fmt.Fprintf(s.out, "  %-12s %s\n", row[0], report.Shown(row[1]))
		}
	}
	if shop.TapeMarginUM > 0 {
		fmt.Fprintf(s.out, "  %-12s %g mm\n", "tape margin", shop.TapeMarginUM/1000)
	}
	showProcess(s, "  ", shop.Process)
	for _, f := range shop.OwnFilms {
		n := 0
		for _, l := range f.Limits {
			if l != nil {
				n++
			}
		}
		fmt.Fprintf(s.out, "  %-12s %s, %g um, %d of 4 kinds with limits of its own\n", "own film", report.Shown(f.Name), f.ThicknessUM, n)
		showProcess(s, "    ", f.Process)
	}
	fmt.Fprintln(s.out, "stencilproof films lists the limits and where each comes from.")
	if _, err := signature(shop); err != nil {
		return s.refuseErr("", err)
	}
	return statusHolds
}

// showProcess prints what is set at the steps of the work.
func showProcess(s streams, indent string, rules []preflight.ProcessRule) {
	for _, r := range rules {
		fmt.Fprintf(s.out, "%s%-12s %s", indent, r.Step, report.Shown(r.Set))
		if r.Remark != "" {
			fmt.Fprintf(s.out, " (%s)", report.Shown(r.Remark))
		}
		fmt.Fprintln(s.out)
	}
}

const helpShop = `
stencilproof shop draft [--out FILE]
stencilproof shop show  [--shop FILE]

The shop file holds what is your shop's own: its films and their limits, its
name on the proofs, its habits. Every command reads it: the one that --shop
names, else stencilproof/shop.toml in your configuration folder.

  draft   writes a file to start from, every line of it explained and in
          comments; never over a file that is there
  show    says which shop file is in force, and what it sets

  --out FILE    where draft writes; - is standard output; without it the file
                goes to your configuration folder
  --shop FILE   the shop file to show
`
