package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"stencilproof/preflight"
	"stencilproof/preflight/proof"
	"stencilproof/preflight/report"
	"stencilproof/raster/artwork"
)

func chooseCommand(flags *pflag.FlagSet) func(context.Context, streams, []string) int {
	var f checkFlags
	flags.StringVar(&f.width, "width", "", "")
	flags.StringVar(&f.height, "height", "", "")
	flags.Float64Var(&f.dpi, "dpi", 0, "")
	flags.BoolVar(&f.negative, "negative", false, "")
	flags.IntVar(&f.page, "page", 1, "")
	flags.BoolVar(&f.dropSpecks, "drop-specks", false, "")
	flags.StringVar(&f.grit, "grit", "", "")
	flags.StringVar(&f.shop, "shop", "", "")
	flags.StringVar(&f.format, "format", "text", "")
	flags.StringVar(&f.lang, "lang", "", "")
	flags.StringVar(&f.units, "units", "", "")
	flags.Int64Var(&f.maxPixels, "max-pixels", artwork.DefaultMaxPixels, "")
	charts := flags.StringArray("chart", nil, "")
	flags.BoolVar(&f.quiet, "quiet", false, "")
	f.set = flags.Changed
	return func(ctx context.Context, s streams, args []string) int {
		if len(args) != 1 {
			return s.refuse("choose takes one artwork", "stencilproof choose --help tells more")
		}
		given := guardInputs([]input{{name: args[0]}})
		for _, name := range *charts {
			if ext := strings.ToLower(filepath.Ext(name)); ext != ".png" && ext != ".svg" {
				return s.refuse(fmt.Sprintf("choose: %s is no kind of file the chart is written as", quote(name)), "end its name in .svg for a page or .png for mail")
			}
			if given.has(name) {
				return s.refuse("choose: the chart would go onto the artwork", "give it another name")
			}
		}
		plan, shop, err := f.choosePlan()
		if err != nil {
			return s.refuseErr("choose", err)
		}
		return choose(ctx, s, plan, shop, args[0], *charts)
	}
}

// choosePlan understands the flags, before any artwork is opened.
func (f *checkFlags) choosePlan() (*checkPlan, *preflight.Shop, error) {
	p := &checkPlan{json: f.format == "json", quiet: f.quiet}
	switch {
	case f.format != "text" && f.format != "json":
		return nil, nil, &preflight.Problem{What: "no format " + quote(f.format), Do: "--format text or --format json"}
	case f.page < 1:
		return nil, nil, &preflight.Problem{What: "--page counts from 1", Do: "the first page is --page 1"}
	case f.maxPixels < 1:
		return nil, nil, &preflight.Problem{What: "--max-pixels must be above zero", Do: "for example --max-pixels 1000000000"}
	}
	shop, err := loadShop(f.shop)
	if err != nil {
		return nil, nil, err
	}
	if p.order.Size, err = f.size(); err != nil {
		return nil, nil, err
	}
	p.order.Negative = f.negative
	p.decode = artwork.Options{Page: f.page, MaxPixels: f.maxPixels}
	p.options = preflight.Options{DropSpecks: f.dropSpecks, TapeMarginMM: shop.TapeMarginUM / 1000}
	if err := f.abrasion(p); err != nil {
		return nil, nil, err
	}
	f.noProof = true // no proof is written, so no logo is read
	if p.job, err = f.proofJob(shop); err != nil {
		return nil, nil, err
	}
	return p, shop, nil
}

// choose judges an artwork on every film and says which to use. Its status is
// 0 when a film holds it at the size asked for, or is at risk, and 1 when
// something of it fails on every film.
func choose(ctx context.Context, s streams, p *checkPlan, shop *preflight.Shop, name string, charts []string) int {
	about := "choose: " + report.Shown(name)
	bar := s.newBar(1, p.quiet)
	defer bar.end()
	type answer struct {
		*preflight.Choice
		err error
	}
	found := make(chan answer, 1)
	go func() {
		var c *preflight.Choice
		err := catch(func() (err error) {
			c, err = p.choice(name, s.in, shop, func(stage string, share float64) { bar.tell(0, stage, share) })
			return err
		})
		found <- answer{c, err}
	}()
	var c *preflight.Choice
	select {
	case a := <-found:
		bar.end()
		if a.err != nil {
			return s.refuseErr(about, a.err)
		}
		c = a.Choice
	case <-ctx.Done(): // nothing is written yet, so nothing is waited for
		bar.end()
		return s.refuse(about+": interrupted", "")
	}
	var out bytes.Buffer
	write := report.ChooseText
	if p.json {
		write = report.ChooseJSON
	}
	if err := write(&out, c); err != nil {
		return s.refuseErr(about, err)
	}
	if _, err := s.out.Write(out.Bytes()); err != nil {
		return s.refuseErr("choose: writing the answer", err)
	}
	for _, file := range charts {
		kept, err := writeChart(file, c, shop, &p.job)
		if err != nil {
			return s.refuseErr("choose", err)
		}
		s.tellKept(file, kept)
		if !p.quiet {
			fmt.Fprintf(s.err, "chart: %s\n", file)
		}
	}
	best := preflight.Fails
	for i := range c.Films {
		best = min(best, c.Films[i].Verdict)
	}
	if best == preflight.Fails {
		return statusFails
	}
	return statusHolds
}

// choice reads an artwork and judges it on every film.
func (p *checkPlan) choice(name string, stdin io.Reader, shop *preflight.Shop, tell func(stage string, share float64)) (*preflight.Choice, error) {
	src, err := openInput(name, stdin, artwork.DefaultMaxBytes)
	if err != nil {
		return nil, err
	}
	defer src.close()
	collect.expect(src.pixels())
	order := p.order
	order.File = name
	order.Progress = part(tell, readingDone, 1)
	if order.SHA256, err = src.sum(); err != nil {
		return nil, err
	}
	pic, err := artwork.Decode(&watched{ReaderAt: src, size: src.size, tell: part(tell, 0, readingDone)}, src.size, p.decode)
	if err != nil {
		return nil, err
	}
	return preflight.Choose(pic, order, shop.Films(), p.options)
}

// writeChart draws the films over the engraved width, and returns where the file
// that was there before is kept.
func writeChart(name string, c *preflight.Choice, shop *preflight.Shop, look *proof.Job) (kept string, err error) {
	var films []proof.FilmOutcome
	for i := range c.Films {
		f := &c.Films[i]
		films = append(films, proof.FilmOutcome{Film: f.Film, Verdict: f.Verdict, FailsBelowWidthMM: f.FailsBelowWidthMM,
			HoldsFromWidthMM: f.HoldsFromWidthMM, NeverHolds: f.NeverHolds})
	}
	job := "" // what is to be mended or enlarged is none yet
	if c.Advice.Kind == preflight.UseFilm {
		job = c.Advice.Film
	} else if film, err := preflight.ParseFilm(shop.Film, shop.Films()); err == nil {
		job = film.Name
	}
	chart := proof.StripChart(films, c.Artwork.WidthMM, job, look.Lang, look.Units)
	var b bytes.Buffer
	draw := chart.SVG
	if strings.EqualFold(filepath.Ext(name), ".png") {
		draw = chart.PNG
	}
	if err := draw(&b); err != nil {
		return "", fmt.Errorf("drawing %s: %w", name, err)
	}
	return replaceKeeping(name, b.Bytes())
}

const helpChoose = `
stencilproof choose [flags] ARTWORK

Judges an artwork on every film, at the engraved size asked for, and finds the
smallest engraved width at which each film holds it. The answer comes first:
the thickest film that holds everything, or the few places to mend, or the
least enlargement.

  stencilproof choose cup.png
  stencilproof choose --width 80mm --grit F220 --chart films.png cup.tif

  --width LENGTH    engraved width, such as 80mm or 3in
  --height LENGTH   engraved height
  --dpi N           pixels an inch. Give one of the three; without them the
                    resolution in the file decides
  --negative        clear areas are carved, not black ones
  --page N          which page of a file with several (1)
  --drop-specks     leave specks under 4 square pixels out of the verdict
  --grit NAME       say how an abrasive such as F180 gets into the openings
  --shop FILE       the shop file, whose films are judged too; without it the
                    one in your configuration folder, if it is there
  --format FORM     text (for people) or json (schema stencilproof/choose/1)
  --chart FILE      draw the films over the engraved width, as FILE.svg for a
                    page or FILE.png for mail; may be given twice
  --lang CODE       en or de, for the chart
  --units UNIT      mm, in or mil, for the chart (mil: sizes in inches); the
                    shop file may set it
  --quiet           nothing on standard error but errors
  --max-pixels N    the most pixels the artwork may have (700000000)

Exit status: 0 on some film nothing fails at the size asked for, 1 something
fails on every film, 2 could not judge.
`
