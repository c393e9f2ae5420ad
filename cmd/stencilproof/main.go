// Command stencilproof judges artwork for carving through a photoresist
// stencil before the film is exposed. "stencilproof --help" lists what it does.
package main

import (
	"context"
	"errors"
	"io"
	"os"
	"os/signal"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/pflag"
)

// The exit statuses. Over several artworks the highest wins.
const (
	statusHolds  = 0 // nothing fails
	statusFails  = 1 // at least one feature fails
	statusBroken = 2 // bad usage, an unreadable file, an unknown size
)

func main() {
	collect.expect(0)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// streams are the three streams of a command. The report goes to out, all
// else to err.
type streams struct {
	in  io.Reader
	out io.Writer
	err io.Writer
}

// command is one subcommand. Its run gets the arguments after the flags, and
// parsed says which flags were given.
type command struct {
	name string
	// prepare adds the flags and returns what runs once they are parsed.
	prepare func(*pflag.FlagSet) func(ctx context.Context, s streams, args []string) int
}

// commands lists the subcommands in the order of the help.
var commands = []command{
	{"check", checkCommand},
	{"choose", chooseCommand},
	{"films", filmsCommand},
	{"shop", shopCommand},
	{"gauge", gaugeCommand},
}

// run is the whole program: it returns the exit status. An interrupt ends the
// work in hand; a second one ends the program at once.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop)
	out := &heard{Writer: stdout}
	s := streams{stdin, out, stderr}
	status := s.run(ctx, args)
	if out.err != nil && status != statusBroken { // whoever reads the status must not take it for all said
		return s.refuseErr("writing the output", out.err)
	}
	return status
}

// heard is a writer that remembers that writing failed.
type heard struct {
	io.Writer
	err error
}

func (h *heard) Write(p []byte) (int, error) {
	n, err := h.Writer.Write(p)
	if err != nil && h.err == nil {
		h.err = err
	}
	return n, err
}

// run does what the arguments say.
func (s streams) run(ctx context.Context, args []string) int {
	if len(args) == 0 {
		return s.refuse("no command given", "stencilproof --help lists the commands")
	}
	name, rest := args[0], args[1:]
	switch name {
	case "-h", "--help":
		return s.help("")
	case "help":
		if len(rest) == 0 {
			return s.help("")
		}
		name, rest = rest[0], []string{"--help"}
	}
	for _, c := range commands {
		if c.name != name {
			continue
		}
		flags := pflag.NewFlagSet(name, pflag.ContinueOnError)
		flags.SetOutput(io.Discard)
		flags.SortFlags = false
		do := c.prepare(flags)
		flags.VisitAll(func(f *pflag.Flag) {
			if !strings.HasPrefix(f.Value.Type(), "string") || f.Value.Type() == "string" { // no list
				f.Value = &once{Value: f.Value}
			}
		})
		switch err := flags.Parse(rest); {
		case errors.Is(err, pflag.ErrHelp):
			return s.help(name)
		case err != nil:
			return s.refuse(name+": "+err.Error(), flagMeant(err, rest, flags)+"stencilproof "+name+" --help lists the flags")
		}
		return do(ctx, s, flags.Args())
	}
	names := []string{"help"}
	for _, c := range commands {
		names = append(names, c.name)
	}
	hint := "stencilproof --help lists the commands"
	if m := meant(name, names); m != "" {
		hint = m + " is one; " + hint
	}
	return s.refuse("no command "+quote(name), hint)
}

// flagMeant says which flag a wrong one was probably meant for, "" where none is like it.
func flagMeant(err error, args []string, flags *pflag.FlagSet) string {
	var names []string
	flags.VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	for _, a := range args {
		a, _, _ = strings.Cut(a, "=")
		word := strings.TrimLeft(a, "-")
		switch {
		case len(word) < 2 || !strings.HasPrefix(a, "-") || !strings.Contains(err.Error(), a):
		case !strings.HasPrefix(a, "--") && slices.Contains(names, word):
			return "flags have two dashes: --" + word + "; "
		default:
			if m := meant(word, names); m != "" && m != word {
				return "--" + m + " is one; "
			}
		}
	}
	return ""
}

// meant is the name that a word is a slip of, by one letter, or two of four and more;
// "" for none.
func meant(word string, names []string) string {
	best, least := "", min(2, len(word)/2)+1
	for _, n := range names {
		if d := slips(word, n); d < least {
			best, least = n, d
		}
	}
	return best
}

// slips is in how many letters put in, left out or changed two words differ (V. I.
// Levenshtein, 1965).
func slips(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		before := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := before
			if a[i] != b[j] {
				change++
			}
			before = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

// once is a flag that may be given once: of two values that contradict each other neither
// is passed over.
type once struct {
	pflag.Value
	given bool
}

func (o *once) Set(s string) error {
	if o.given {
		return errors.New("given twice")
	}
	o.given = true
	return o.Value.Set(s)
}
