package preflight

import (
	"cmp"
	"math"
	"slices"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
)

// Choice says of every film whether it holds an artwork, at the size asked for
// and from which size on.
type Choice struct {
	Artwork Artwork
	Films   []FilmChoice // thinnest first
	Advice  Advice
	Notes   []Note // of the advised film
}

// FilmChoice is how an artwork fares on one film.
type FilmChoice struct {
	Film     Film
	Verdict  Verdict  // at the size asked for
	Counts   [4]Count // by raster.Kind, at the size asked for
	Tightest *Tightest
	// FailsBelowWidthMM is the engraved width under which something is sure to
	// fail, worked out from the widths; 0 when nothing can.
	FailsBelowWidthMM float64
	// HoldsFromWidthMM is the smallest engraved width, to 0.01 mm or the one
	// asked for, at which nothing fails and nothing is at risk; 0 when there is nothing to lose.
	// It was judged at that width.
	HoldsFromWidthMM float64
	NeverHolds       bool // no width was found at which it holds
	Marks            []Mark
}

// Tightest is the place that is nearest to failing, or worst: with the least
// width in proportion to the safe limit.
type Tightest struct {
	Kind            raster.Kind
	WidthUM, SafeUM float64
	At              PointMM
}

// AdviceKind is what the advice is.
type AdviceKind int

// The kinds of advice, best first.
const (
	UseFilm AdviceKind = iota // a film holds everything at the size asked for
	Mend                      // a few places alone are to blame on this film
	Enlarge                   // this film holds from a larger width on
	Nothing                   // no film holds it at any width
)

// Advice is what would work.
type Advice struct {
	Kind    AdviceKind
	Film    string  // the film's name; "" for Nothing
	WidthMM float64 // the engraved width it holds at
	Marks   []Mark  // for Mend, the places to blame
	// Enlarging is the film and width that the artwork would hold at unmended,
	// for Mend when there is one.
	Enlarging      string
	EnlargingWidth float64
}

// fewMarks is how many features at most may be to blame for the advice to be
// to mend them.
const fewMarks = 3

// Choose judges an artwork on every film, each as check would judge it alone.
// The picture is read and its tones surveyed once. It is measured again for
// each film that does not hold, and for the width from which films hold, because
// a disc of another size finds other places; films whose limits have the same
// proportions share those, for in pixels they are the same.
//
// A thicker film with limits of at least the thinner one's never holds what the
// thinner does not, and a larger size never loses what a smaller one holds:
// where measurements disagree about that, the worse verdict stands.
//
// It panics without a film.
func Choose(pic *artwork.Picture, order Order, films []Film, opt Options) (*Choice, error) {
	thin := slices.MinFunc(films, func(a, b Film) int { return cmp.Compare(a.ThicknessUM, b.ThicknessUM) })
	s, err := Take(pic, order, thin)
	if err != nil {
		return nil, err
	}
	plain := opt
	plain.Checks = nil
	c := chooser{ink: pic.Ink, opt: plain, asked: s.Artwork.WidthMM, surveys: []*Survey{s}}
	out := &Choice{Artwork: s.Artwork}
	for _, f := range films {
		out.Films = append(out.Films, c.film(f))
	}
	slices.SortStableFunc(out.Films, func(a, b FilmChoice) int { return cmp.Compare(a.Film.ThicknessUM, b.Film.ThicknessUM) })
	out.orderly()
	out.Advice = out.advise()
	advised := thin
	for i := range out.Films {
		if out.Films[i].Film.Name == out.Advice.Film {
			advised = out.Films[i].Film
		}
	}
	c.opt = opt
	out.Notes = c.judge(advised, c.asked).Notes
	return out, nil
}

// chooser measures an artwork at several sizes.
type chooser struct {
	ink     *raster.Ink
	opt     Options
	asked   float64   // engraved width, mm
	surveys []*Survey // of several reaches
	found   []FilmChoice
}

// Bounds of the search for the smallest width. A survey of a reach up to
// sameReach times the film's serves as the film's own; nearEnough of a width
// that holds need not hold.
const (
	mostSteps  = 8
	sameReach  = 1.002
	nearEnough = 0.98
)

// judge judges a film at an engraved width on a survey whose reach is that of
// the film there, as check would make it.
func (c *chooser) judge(f Film, widthMM float64) *Report {
	at := c.at(c.surveys[0], widthMM)
	um := at.Artwork.UMPerPx()
	var reach [4]float64
	for k, l := range f.Limits {
		reach[k] = l.SafeUM / um
	}
	var best *Survey
	bestOver := math.Inf(1)
	for _, s := range c.surveys {
		over := 1.0
		for k := range reach {
			if s.Reach[k] < reach[k]*(1-1e-9) {
				over = math.Inf(1)
				break
			}
			over = math.Max(over, s.Reach[k]/reach[k])
		}
		if over < bestOver {
			best, bestOver = s, over
		}
	}
	if best == nil || bestOver > sameReach {
		fresh := *c.surveys[0]
		fresh.Reach = reach
		fresh.Measured = raster.Measure(c.ink, raster.Request{Safe: reach})
		widenBy(fresh.Measured, fresh.doubt)
		fresh.FineDots = nil
		fresh.sortSpecks(c.ink.Bits)
		c.surveys = append(c.surveys, &fresh)
		best = &fresh
	}
	return Judge(c.at(best, widthMM), f, c.opt)
}

// at is a survey at an engraved width. At the one asked for it is left as it
// is, to the last digit, for the width is rounded to the nanometre.
func (c *chooser) at(s *Survey, widthMM float64) *Survey {
	if widthMM == c.asked {
		return s
	}
	return s.AtWidth(widthMM)
}

// film finds how the artwork fares on one film.
func (c *chooser) film(f Film) FilmChoice {
	out := FilmChoice{Film: f}
	width, never, found := c.likeFound(f)
	if !found {
		width, never = c.holdsFrom(f)
	}
	out.HoldsFromWidthMM, out.NeverHolds = width, never
	c.found = append(c.found, out)
	at := c.asked
	if !never && width > 0 && width <= c.asked {
		at = width // judged there already
	}
	r := c.judge(f, at)
	if !never && at == c.asked && r.Verdict == Holds && width > c.asked && nearEnough*width <= c.asked {
		// The width found is the one asked for, but for the rounding up or for
		// what the search does not look into.
		width = c.asked
		out.HoldsFromWidthMM = width
		c.found[len(c.found)-1] = out
	}
	if never || width > c.asked {
		out.Verdict, out.Counts, out.Marks = max(r.Verdict, AtRisk), r.Counts, r.Marks
	}
	out.FailsBelowWidthMM, out.Tightest = r.failsBelow(), r.tightest()
	if t := out.Tightest; t != nil {
		// Found at another size, told at the one asked for.
		k := c.asked / r.Artwork.WidthMM
		t.WidthUM, t.At.X, t.At.Y = k*t.WidthUM, k*t.At.X, k*t.At.Y
	}
	return out
}

// likeFound finds the width from a film that was searched before and whose safe
// limits have the same proportions: at widths in the same proportion the two
// are one in pixels. It is judged there, which costs no measuring.
func (c *chooser) likeFound(f Film) (width float64, never, ok bool) {
	for _, g := range c.found {
		k := f.Limits[0].SafeUM / g.Film.Limits[0].SafeUM
		same := true
		for i := range f.Limits {
			same = same && math.Abs(f.Limits[i].SafeUM-k*g.Film.Limits[i].SafeUM) < 1e-9*f.Limits[i].SafeUM
		}
		if !same {
			continue
		}
		if g.NeverHolds || g.HoldsFromWidthMM == 0 {
			return 0, g.NeverHolds, true
		}
		if width = upMM(k * g.HoldsFromWidthMM); c.judge(f, width).Verdict == Holds {
			return width, false, true
		}
	}
	return 0, false, false
}

// holdsFrom searches the smallest width, to 0.01 mm, at which a film holds. It
// was judged at that width, and not to hold 2 % below it. The search goes by
// the narrowest places that each judging found: they say at which width the
// film would hold, if a disc of that size finds no others.
func (c *chooser) holdsFrom(f Film) (width float64, never bool) {
	lost, width := 0.0, c.asked
	r := c.judge(f, width)
	if r.HoldsFromWidthMM == 0 {
		return 0, r.Verdict != Holds
	}
	for step := 0; r.Verdict != Holds; step++ {
		lost = width
		width = upMM(math.Max(r.HoldsFromWidthMM, width*1.001))
		if step == mostSteps || math.IsInf(width, 0) {
			return 0, true
		}
		r = c.judge(f, width)
	}
	hint := r.HoldsFromWidthMM
	for step := 0; step < mostSteps && lost < nearEnough*width-0.02; step++ {
		try := upMM(hint)
		switch {
		case try > lost && try <= nearEnough*width:
		case lost == 0 && try > nearEnough*width && try <= width:
			try = nearEnough * width
		case lost == 0:
			try = 0.7 * width
		default:
			try = math.Sqrt(lost * width)
		}
		try = upMM(try)
		less := c.judge(f, try)
		if hint = less.HoldsFromWidthMM; less.Verdict == Holds {
			width = try
		} else {
			lost = try
		}
	}
	return width, false
}

// upMM rounds up to 0.01 mm. A hair is added, so that a width that reaches its
// limit exactly does not miss it by the last bit.
func upMM(v float64) float64 { return math.Ceil(v*(1+1e-9)*100) / 100 }

// failsBelow is the engraved width at which the narrowest of each kind just
// reaches its fail limit; 0 without anything to judge.
func (r *Report) failsBelow() float64 {
	grow := 0.0
	for k, f := range r.Finest {
		if f.Found && f.WidthUM > 0 {
			grow = math.Max(grow, r.Film.Limits[k].FailUM/f.WidthUM)
		}
	}
	for i := range r.Marks {
		if m := &r.Marks[i]; m.WidthUM > 0 {
			grow = math.Max(grow, m.FailUM/m.WidthUM)
		}
	}
	return grow * r.Artwork.WidthMM
}

// tightest is the place with the least width in proportion to its safe limit.
func (r *Report) tightest() *Tightest {
	var out *Tightest
	for k, f := range r.Finest {
		safe := r.Film.Limits[k].SafeUM
		if f.Found && (out == nil || f.WidthUM/safe < out.WidthUM/out.SafeUM) {
			out = &Tightest{raster.Kind(k), f.WidthUM, safe, f.At}
		}
	}
	return out
}

// noLess reports whether every limit of a is at least b's.
func noLess(a, b *Film) bool {
	for k := range a.Limits {
		if a.Limits[k].FailUM < b.Limits[k].FailUM || a.Limits[k].SafeUM < b.Limits[k].SafeUM {
			return false
		}
	}
	return true
}

// orderly lets the worse finding stand where films, or a film's own numbers,
// contradict each other.
func (c *Choice) orderly() {
	for i := range c.Films {
		f := &c.Films[i]
		for j := range c.Films {
			g := &c.Films[j]
			if i == j || !noLess(&f.Film, &g.Film) || noLess(&g.Film, &f.Film) {
				continue
			}
			f.Verdict = max(f.Verdict, g.Verdict)
			f.NeverHolds = f.NeverHolds || g.NeverHolds
			f.HoldsFromWidthMM = math.Max(f.HoldsFromWidthMM, g.HoldsFromWidthMM)
			f.FailsBelowWidthMM = math.Max(f.FailsBelowWidthMM, g.FailsBelowWidthMM)
		}
		if f.NeverHolds {
			f.HoldsFromWidthMM = 0
		} else {
			f.FailsBelowWidthMM = math.Min(f.FailsBelowWidthMM, f.HoldsFromWidthMM)
		}
		// At the size asked for the zones say what the verdict says.
		switch w := c.Artwork.WidthMM; {
		case f.Verdict == Fails && f.FailsBelowWidthMM <= w:
			f.FailsBelowWidthMM = w * (1 + 1e-9)
		case f.Verdict != Fails && f.FailsBelowWidthMM > w:
			f.FailsBelowWidthMM = w
		}
	}
}

// advise finds what would work: the thickest film that holds everything at the
// size asked for, for it stands the longest blasting; else the thickest on which
// a few places alone are to blame; else the film that needs the least enlargement,
// the thickest among equals.
func (c *Choice) advise() Advice {
	for i := len(c.Films) - 1; i >= 0; i-- {
		if f := &c.Films[i]; f.Verdict == Holds {
			return Advice{Kind: UseFilm, Film: f.Film.Name, WidthMM: c.Artwork.WidthMM}
		}
	}
	grown := Advice{Kind: Nothing}
	for i := len(c.Films) - 1; i >= 0; i-- {
		if f := &c.Films[i]; !f.NeverHolds && (grown.Kind == Nothing || f.HoldsFromWidthMM < grown.WidthMM) {
			grown = Advice{Kind: Enlarge, Film: f.Film.Name, WidthMM: f.HoldsFromWidthMM}
		}
	}
	for i := len(c.Films) - 1; i >= 0; i-- {
		f := &c.Films[i]
		n := 0
		for _, k := range f.Counts {
			n += k.Fails + k.AtRisk
		}
		if n > 0 && n <= fewMarks {
			a := Advice{Kind: Mend, Film: f.Film.Name, WidthMM: c.Artwork.WidthMM, Marks: f.Marks}
			if grown.Kind == Enlarge {
				a.Enlarging, a.EnlargingWidth = grown.Film, grown.WidthMM
			}
			return a
		}
	}
	return grown
}
