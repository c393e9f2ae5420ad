package main

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"stencilproof/preflight"
	"stencilproof/preflight/proof"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster/artwork"
)

// checkFlags are the flags of check as they were typed.
type checkFlags struct {
	film, width, height, format, out, shop string
	customer, job, revision, date          string
	lang, units, paper                     string
	grit, depth                            string
	dpi                                    float64
	negative, noProof, dropSpecks, quiet   bool
	bench                                  bool
	page, jobs                             int
	maxPixels                              int64
	set                                    func(string) bool
}

// checkPlan is what check does with every artwork: the flags, understood.
type checkPlan struct {
	film    preflight.Film
	hints   []string        // what may be meant otherwise, and what cannot be set as asked for
	order   preflight.Order // File and SHA256 are the artwork's
	options preflight.Options
	decode  artwork.Options
	json    bool
	proof   bool
	out     string // folder of the proofs; "" is beside the artwork
	job     proof.Job
	films   []preflight.Film  // those that the proof may advise
	bench   *proof.BenchFacts // nil: no bench sheet
	jobs    int
	quiet   bool
}

func checkCommand(flags *pflag.FlagSet) func(context.Context, streams, []string) int {
	var f checkFlags
	flags.StringVar(&f.film, "film", "", "")
	flags.StringVar(&f.width, "width", "", "")
	flags.StringVar(&f.height, "height", "", "")
	flags.Float64Var(&f.dpi, "dpi", 0, "")
	flags.BoolVar(&f.negative, "negative", false, "")
	flags.IntVar(&f.page, "page", 1, "")
	flags.BoolVar(&f.dropSpecks, "drop-specks", false, "")
	flags.StringVar(&f.grit, "grit", "", "")
	flags.StringVar(&f.depth, "depth", "", "")
	flags.StringVar(&f.shop, "shop", "", "")
	flags.StringVar(&f.format, "format", "text", "")
	flags.StringVar(&f.out, "out", "", "")
	flags.BoolVar(&f.noProof, "no-proof", false, "")
	flags.BoolVar(&f.bench, "bench", false, "")
	flags.StringVar(&f.customer, "customer", "", "")
	flags.StringVar(&f.job, "job", "", "")
	flags.StringVar(&f.revision, "revision", "", "")
	flags.StringVar(&f.date, "date", "", "")
	flags.StringVar(&f.lang, "lang", "", "")
	flags.StringVar(&f.units, "units", "", "")
	flags.StringVar(&f.paper, "paper", "", "")
	flags.Int64Var(&f.maxPixels, "max-pixels", artwork.DefaultMaxPixels, "")
	flags.IntVar(&f.jobs, "jobs", 0, "")
	flags.BoolVar(&f.quiet, "quiet", false, "")
	f.set = flags.Changed

	return func(ctx context.Context, s streams, args []string) int {
		if len(args) == 0 {
			return s.refuse("check: no artwork named", "name files or folders; - is standard input; stencilproof check --help tells more")
		}
		plan, err := f.plan()
		if err != nil {
			return s.refuseErr("check", err)
		}
		for _, hint := range plan.hints {
			fmt.Fprintln(s.err, hint)
		}
		return check(ctx, s, plan, args)
	}
}

// plan understands the flags, before any artwork is opened.
func (f *checkFlags) plan() (*checkPlan, error) {
	p := &checkPlan{proof: !f.noProof, out: f.out, jobs: f.jobs, quiet: f.quiet}
	switch f.format {
	case "text":
	case "json":
		p.json = true
	default:
		return nil, &preflight.Problem{What: "no format " + quote(f.format), Do: "--format text or --format json"}
	}
	if f.set("jobs") && f.jobs < 1 {
		return nil, &preflight.Problem{What: "--jobs must be 1 or more", Do: "leave it out to let the program choose"}
	}
	if f.page < 1 {
		return nil, &preflight.Problem{What: "--page counts from 1", Do: "the first page is --page 1"}
	}
	if f.maxPixels < 1 {
		return nil, &preflight.Problem{What: "--max-pixels must be above zero", Do: "for example --max-pixels 1000000000"}
	}
	p.decode = artwork.Options{Page: f.page, MaxPixels: f.maxPixels}

	shop, err := loadShop(f.shop)
	if err != nil {
		return nil, err
	}
	if p.film, err = f.chooseFilm(shop); err != nil {
		return nil, err
	}
	if hint := nearlyHint(shop, &p.film); hint != "" {
		p.hints = append(p.hints, hint)
	}
	if p.order.Size, err = f.size(); err != nil {
		return nil, err
	}
	p.order.Negative = f.negative
	p.options = preflight.Options{DropSpecks: f.dropSpecks, TapeMarginMM: shop.TapeMarginUM / 1000}
	if err := f.abrasion(p); err != nil {
		return nil, err
	}
	if p.job, err = f.proofJob(shop); err != nil {
		return nil, err
	}
	if p.proof {
		p.hints = append(p.hints, unsettable(&p.job)...)
	}
	p.films = shop.Films()
	if f.bench {
		if f.noProof {
			return nil, &preflight.Problem{What: "--bench and --no-proof contradict each other", Do: "--bench writes the proof as well; leave --no-proof out"}
		}
		p.bench = f.benchFacts(shop, &p.film)
	}
	return p, nil
}

// nearlyHint says that a film is nearly one of the shop's own, whose numbers it has not;
// "" where it is not.
func nearlyHint(shop *preflight.Shop, film *preflight.Film) string {
	own, ok := shop.Nearly(film)
	if !ok {
		return ""
	}
	return fmt.Sprintf("stencilproof: %s is taken for a film of its own; the shop file has limits for %s, which is as thick: --film %s takes those",
		film.Name, quote(own.Name), quote(own.Name))
}

// unsettable says which words of a proof the typeface lacks characters for.
func unsettable(j *proof.Job) (hints []string) {
	for _, w := range []struct{ what, text string }{{"--customer", j.Customer}, {"--job", j.Number}, {"--revision", j.Revision},
		{"the shop's name", j.Shop.Name}, {"the shop's address", strings.Join(j.Shop.Address, " ")}} {
		if sheet.Settable(sheet.Plain(w.text)) != sheet.Plain(w.text) {
			hints = append(hints, fmt.Sprintf("stencilproof: the proof's typeface lacks characters of %s, %s: they are printed as %c; Latin, Greek and Cyrillic letters can be set", w.what, quote(w.text), sheet.Missing))
		}
	}
	return hints
}

// chooseFilm finds the film named, or else the shop's usual one.
func (f *checkFlags) chooseFilm(shop *preflight.Shop) (preflight.Film, error) {
	name := f.film
	if !f.set("film") {
		if name = shop.Film; name == "" {
			return preflight.Film{}, &preflight.Problem{What: "no film named",
				Do: `--film "3 mil" names one, or a thickness such as 76um; stencilproof films lists them`}
		}
	}
	return preflight.ParseFilm(name, shop.Films())
}

// size understands --width, --height and --dpi, of which one may be given.
func (f *checkFlags) size() (preflight.Size, error) {
	var given []string
	for _, name := range []string{"width", "height", "dpi"} {
		if f.set(name) {
			given = append(given, "--"+name)
		}
	}
	if len(given) > 1 {
		return preflight.Size{}, &preflight.Problem{What: strings.Join(given, " and ") + " each give the size",
			Do: "give one of them; the other side follows from the picture"}
	}
	var s preflight.Size
	for _, side := range []struct {
		name, text string
		um         *float64
	}{{"width", f.width, &s.WidthUM}, {"height", f.height, &s.HeightUM}} {
		if f.set(side.name) {
			um, err := preflight.ParseLength(side.text)
			if err != nil {
				return s, inFlag(side.name, err)
			}
			*side.um = um
		}
	}
	if f.set("dpi") {
		if !(f.dpi > 0 && f.dpi < 1e6) {
			return s, &preflight.Problem{What: fmt.Sprintf("--dpi %g is no resolution", f.dpi), Do: "for example --dpi 600"}
		}
		s.PxPerInch = f.dpi
	}
	return s, nil
}

// abrasion understands --grit and --depth.
func (f *checkFlags) abrasion(p *checkPlan) error {
	if f.set("grit") {
		g, err := preflight.ParseGrit(f.grit)
		if err != nil {
			return inFlag("grit", err)
		}
		p.order.OpeningsUM = max(p.order.OpeningsUM, g.ReachUM())
		p.options.Checks = append(p.options.Checks, func(s *preflight.Survey, r *preflight.Report) []preflight.Note {
			return some(preflight.GritNote(g, s.Openings, r.Finest))
		})
	}
	if f.set("depth") {
		um, err := preflight.ParseLength(f.depth)
		if err != nil {
			return inFlag("depth", err)
		}
		p.order.OpeningsUM = max(p.order.OpeningsUM, um)
		p.options.Checks = append(p.options.Checks, func(s *preflight.Survey, r *preflight.Report) []preflight.Note {
			return some(preflight.DepthNote(um, s.Openings, r.Finest))
		})
	}
	return nil
}

// some is a note that may not be there, as a list.
func some(n preflight.Note, ok bool) []preflight.Note {
	if !ok {
		return nil
	}
	return []preflight.Note{n}
}

// proofJob gathers what the proof says beyond the report.
func (f *checkFlags) proofJob(shop *preflight.Shop) (proof.Job, error) {
	j := proof.Job{Number: f.job, Customer: f.customer, Revision: f.revision, Date: time.Now(),
		Lang: shop.Language, Units: shop.Units, Paper: strings.ToLower(shop.Paper)}
	if f.set("date") {
		d, err := time.Parse(time.DateOnly, f.date)
		if err != nil {
			return j, &preflight.Problem{What: fmt.Sprintf("--date %s is no date", quote(f.date)), Do: "write it as year-month-day: --date 2027-05-03"}
		}
		j.Date = d
	}
	for _, choice := range []struct {
		name, value string
		of          []string
		into        *string
	}{
		{"lang", strings.ToLower(f.lang), proof.Languages(), &j.Lang},
		{"units", strings.ToLower(f.units), []string{"mm", "in", "mil"}, &j.Units},
		{"paper", strings.ToLower(f.paper), []string{"a4", "letter"}, &j.Paper},
	} {
		if !f.set(choice.name) {
			continue
		}
		if !slices.Contains(choice.of, choice.value) {
			return j, &preflight.Problem{What: fmt.Sprintf("no --%s %s", choice.name, quote(choice.value)), Do: "it may be " + strings.Join(choice.of, " or ")}
		}
		*choice.into = choice.value
	}
	var err error
	if f.noProof {
		return j, nil
	}
	j.Shop, err = signature(shop)
	return j, err
}

// inFlag says which flag an error is about.
func inFlag(name string, err error) error {
	return fmt.Errorf("--%s: %w", name, err)
}
