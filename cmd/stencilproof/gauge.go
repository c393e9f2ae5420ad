package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"stencilproof/preflight"
	"stencilproof/preflight/report"
	"stencilproof/raster"
	"stencilproof/raster/artwork"
)

// gaugeFlags are the flags of both halves of the gauge.
type gaugeFlags struct {
	film, shop, out string
	dpi, wholeDots  float64
	steps           [4]*string // by raster.Kind
	runs            int
	anew            bool
}

func gaugeCommand(flags *pflag.FlagSet) func(context.Context, streams, []string) int {
	var f gaugeFlags
	flags.StringVar(&f.film, "film", "", "the film the gauge is for")
	flags.StringVar(&f.shop, "shop", "", shopFileUse)
	flags.Float64Var(&f.dpi, "dpi", 0, "dots an inch of the printer of your positives")
	flags.StringVar(&f.out, "out", "", "where the gauge goes: .png or .tif")
	for _, k := range raster.Kinds {
		f.steps[k] = flags.String(k.String(), "", "the narrowest "+k.String()+" that came out whole")
	}
	flags.IntVar(&f.runs, "runs", 0, "how many readings each list holds")
	flags.Float64Var(&f.wholeDots, "whole-dots", 0, "the dots an inch of a gauge printed as .tif")
	flags.BoolVar(&f.anew, "anew", false, "forget the limits measured before")
	const hint = "stencilproof gauge --help tells more"
	printOnly, recordOnly := []string{"out"}, []string{"line", "dot", "strip", "island", "runs", "whole-dots", "anew"}
	return func(_ context.Context, s streams, args []string) int {
		if len(args) != 1 || (args[0] != "print" && args[0] != "record") {
			return s.refuse("gauge takes one word: print or record", hint)
		}
		strange := recordOnly
		if args[0] == "record" {
			strange = printOnly
		}
		for _, name := range strange {
			if flags.Changed(name) {
				return s.refuse(fmt.Sprintf("gauge %s has no --%s", args[0], name), hint)
			}
		}
		if args[0] == "print" {
			return gaugePrint(s, f)
		}
		if flags.Changed("runs") && f.runs < 1 {
			return s.refuse("--runs must be 1 or more", "it says how many numbers each list holds; leave it out")
		}
		if flags.Changed("dpi") && flags.Changed("whole-dots") {
			return s.refuse("--dpi and --whole-dots contradict each other", "--whole-dots is for a gauge printed as .tif, --dpi for one printed as .png")
		}
		if flags.Changed("dpi") && f.dpi <= 0 {
			return s.refuse("--dpi must be above zero", "give the dots an inch that the gauge was printed with, such as --dpi 1200")
		}
		if flags.Changed("whole-dots") && f.wholeDots <= 0 {
			return s.refuse("--whole-dots must be above zero", "give the dots an inch that the gauge was printed with, such as --whole-dots 1200")
		}
		return gaugeRecord(s, f, time.Now())
	}
}

// gaugeFilm is the film named, or the shop's usual one.
func gaugeFilm(f gaugeFlags, shop *preflight.Shop) (preflight.Film, error) {
	name := f.film
	if name == "" {
		name = shop.Film
	}
	if name == "" {
		return preflight.Film{}, &preflight.Problem{What: "which film is the gauge for?", Do: `name it: --film "3 mil"; stencilproof films lists them`}
	}
	return preflight.ParseFilm(name, shop.Films())
}

// gaugePrint writes the gauge and, beside it, the sheet that says how to use it.
func gaugePrint(s streams, f gaugeFlags) int {
	if f.dpi == 0 {
		return s.refuse("how fine is your printer?", "give its dots an inch, such as --dpi 1200")
	}
	ext := strings.ToLower(filepath.Ext(f.out))
	if f.out == "" {
		return s.refuse("where should the gauge go?", "give a file, --out gauge.tif for whole dots or --out gauge.png for grey edges")
	}
	if (ext != ".png" && ext != ".tif" && ext != ".tiff") || len(ext) == len(filepath.Base(f.out)) {
		return s.refuse(fmt.Sprintf("%s is no kind of file a gauge is written as", quote(f.out)), "end its name in .tif (whole dots) or .png (grey edges)")
	}
	shop, err := loadShop(f.shop)
	if err != nil {
		return s.refuseErr("", err)
	}
	film, err := gaugeFilm(f, shop)
	if err != nil {
		return s.refuseErr("", err)
	}
	g, err := preflight.PlanGauge(film, f.dpi, ext != ".png")
	if err != nil {
		return s.refuseErr("", err)
	}
	var picture, sheet bytes.Buffer
	drawn := g.Draw()
	if g.Bilevel {
		err = artwork.EncodeG4TIFF(&picture, drawn.Bits, g.PPI)
	} else {
		err = artwork.EncodePNG(&picture, drawn, g.PPI)
	}
	if err == nil {
		err = report.GaugeSheet(&sheet, g, filepath.Base(f.out), f.shop)
	}
	if err != nil {
		return s.refuseErr("drawing the gauge", err)
	}
	sheetName := strings.TrimSuffix(f.out, filepath.Ext(f.out)) + "-sheet.html"
	for _, file := range []struct {
		name string
		data []byte
	}{{f.out, picture.Bytes()}, {sheetName, sheet.Bytes()}} {
		kept, err := replaceKeeping(file.name, file.data)
		if err != nil {
			return s.refuseErr("", err)
		}
		s.tellKept(file.name, kept)
	}
	fmt.Fprintf(s.out, "%s: the gauge for %s, %.1f x %.1f mm at %g dots an inch\n", report.Shown(f.out), report.Shown(film.Name), g.WidthMM, g.HeightMM, g.PPI)
	fmt.Fprintf(s.out, "%s: how to use it and what its numbers mean\n", report.Shown(sheetName))
	if n := drawn.W * drawn.H; n > artwork.DefaultMaxPixels {
		fmt.Fprintf(s.err, "stencilproof: it has %d million pixels: check reads it with --max-pixels %d\n", n/1e6, n)
	}
	for _, k := range raster.Kinds {
		if g.TooFine[k] {
			fmt.Fprintf(s.err, "stencilproof: at %g dots an inch no %s under %.0f um can be drawn: this gauge cannot find that limit\n", g.PPI, k, g.Steps[k][0].WidthUM)
		}
	}
	return statusHolds
}

// gaugeRecord turns a reading into limits in the shop file.
func gaugeRecord(s streams, f gaugeFlags, now time.Time) int {
	reading, err := f.reading()
	if err != nil {
		return s.refuseErr("", err)
	}
	name := f.shop
	if name == "" {
		if name, err = usualShopFile(); err != nil {
			return s.refuse(err.Error(), "say which file: --shop FILE")
		}
	}
	old, err := os.ReadFile(name)
	isNew := errors.Is(err, fs.ErrNotExist)
	if err != nil && !isNew {
		return s.refuseErr("", unreadableShop(name, err))
	}
	shop, err := preflight.ParseShop(name, old)
	if err != nil {
		return s.refuseErr("", err)
	}
	film, err := gaugeFilm(f, shop)
	if err != nil {
		return s.refuseErr("", err)
	}
	if hint := nearlyHint(shop, &film); hint != "" {
		fmt.Fprintln(s.err, hint)
	}
	// Of grey edges a number means the same at any resolution, but which are the narrowest.
	ppi, bilevel := 2400.0, false
	switch {
	case f.wholeDots != 0:
		ppi, bilevel = f.wholeDots, true
	case f.dpi != 0:
		ppi = f.dpi
	}
	g, err := preflight.PlanGauge(film, ppi, bilevel)
	if err != nil {
		return s.refuseErr("", err)
	}
	text, done, err := preflight.RecordGauge(name, old, g, reading, f.anew, now)
	if err != nil {
		return s.refuseErr("", err)
	}
	kept, same := "", !isNew && bytes.Equal(text, old)
	if !same {
		if !isNew {
			if kept, err = copyAside(name, old); err != nil {
				return s.refuseErr("keeping a copy", err)
			}
		}
		target := name
		if real, err := filepath.EvalSymlinks(name); err == nil {
			target = real // a link, to a file that several machines share perhaps, stays one
		}
		if err := replaceFile(target, text); err != nil {
			return s.refuseErr("", err)
		}
	}
	fmt.Fprintf(s.out, "Limits of %s, now in %s:\n", report.Shown(film.Name), report.Shown(name))
	for _, d := range done {
		before := "starting values before"
		switch {
		case d.Before != nil && *d.Before == d.Limit:
			before = "as before: the reading lies within"
		case d.Before != nil:
			before = fmt.Sprintf("before: under %g, from %g", d.Before.FailUM, d.Before.SafeUM)
		}
		fmt.Fprintf(s.out, "  %-7s fails under %g um, holds from %g um  (%s)\n", d.Kind, d.Limit.FailUM, d.Limit.SafeUM, before)
	}
	for _, k := range raster.Kinds {
		if steps := g.Steps[k]; slices.Contains(reading[k], steps[0].Number) {
			fmt.Fprintf(s.err, "stencilproof: of the %ss even the narrowest drawn, step %d, came out whole: where they begin to fail was not seen, and the fail limit is a guess below it, filed as from memory; a finer gauge would tell\n", k, steps[0].Number)
		}
	}
	if same {
		fmt.Fprintln(s.out, "The file stays as it is.")
	}
	if kept != "" {
		fmt.Fprintf(s.out, "The file as it was: %s\n", kept)
	}
	if f.wholeDots == 0 && f.dpi == 0 {
		again := "record it again with --anew, and --whole-dots with its dots an inch"
		if same {
			again = "for one of those give --whole-dots with its dots an inch"
		}
		fmt.Fprintf(s.err, "stencilproof: taken for the exact widths of a gauge printed as .png; the steps of one lettered WHOLE, printed as .tif, differ: %s\n", again)
	}
	return statusHolds
}

// reading takes the numbers out of the flags.
func (f *gaugeFlags) reading() (preflight.GaugeReading, error) {
	var r preflight.GaugeReading
	for _, k := range raster.Kinds {
		text := *f.steps[k]
		if text == "" {
			continue
		}
		for _, word := range strings.Split(text, ",") {
			n, err := strconv.Atoi(strings.TrimSpace(word))
			if err != nil {
				return r, &preflight.Problem{What: fmt.Sprintf("--%s %s is no step's number", k, quote(text)), Do: "give the number of the narrowest step that came out whole; several readings with commas: 7,8,7"}
			}
			r[k] = append(r[k], n)
		}
		if f.runs > 0 && len(r[k]) != f.runs {
			return r, &preflight.Problem{What: fmt.Sprintf("--%s holds %d readings, --runs says %d", k, len(r[k]), f.runs), Do: "give one number a run, with commas between"}
		}
	}
	return r, nil
}

const helpGauge = `
stencilproof gauge print  --film FILM --dpi N --out FILE
stencilproof gauge record --film FILM --line N --dot N --strip N --island N

The gauge is a positive of lines, strips, dots and islands of known widths,
numbered from narrow to wide. Expose, wash and blast it as you always do; the
numbers that came out whole give the limits of your film, your lamp and your
hands. With them in the shop file, reports say "measured".

print
  --film FILM   the film, by name or thickness
  --dpi N       dots an inch of the printer of your positives
  --out FILE    FILE.tif: whole dots, for film recorders and laser printers;
                FILE.png: grey edges, exact widths. A sheet that says how to
                use it goes beside, as FILE-sheet.html
  --shop FILE   the shop file with a film of your own; without it the one in
                your configuration folder, if it is there

record
  --line N, --dot N, --strip N, --island N
                the smallest number of each comb that came out whole; several
                readings with commas (7,8,7) widen the limits, never narrow
                them. A kind left out stays as it is
  --runs N      how many readings each list holds, to catch a slip
  --whole-dots N  the dots an inch of a gauge that was printed as .tif
  --dpi N       the dots an inch of one that was printed as .png: it says which
                of its steps are the narrowest drawn
  --anew        replace limits measured before, instead of widening them
  --shop FILE   the shop file to write to; without it the one in your
                configuration folder. What it held is kept as FILE.1.bak, and
                the old limits stay in the file as history

  stencilproof gauge print --film "3 mil" --dpi 1200 --out gauge.tif
  stencilproof gauge record --film "3 mil" --whole-dots 1200
                            --line 7 --dot 5 --strip 9 --island 6
`
