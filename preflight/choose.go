package preflight

import (
	"math"

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
	Film    Film
	Verdict Verdict // at the size asked for
	As      string  // the thinner film whose worse verdict stands; "" for its own
	// WorseAtMM is a width larger than the one asked for at which the film was judged not to
	// hold though it does there; that stands. 0 without one.
	WorseAtMM float64
	Counts    [4]Count // by raster.Kind, at the size asked for
	Tightest  *Tightest
	// FailsBelowWidthMM is the smallest engraved width, to a step of the film's (0.01 mm a
	// mil, see Film.step) or the one asked for, at which nothing fails; 0 when there is
	// nothing to lose, infinite when none was
	// found. It was judged at that width, and at one 2 % below it or less something fails.
	FailsBelowWidthMM float64
	// HoldsFromWidthMM is the smallest engraved width, to a step of the film's or the one
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
// The picture is read once, and what the measurings for several films and sizes
// have in common is worked out once (see chooser).
//
// A thicker film with limits of at least the thinner one's never holds what the
// thinner does not, and a larger size never loses what a smaller one holds:
// where measurements disagree about that, the worse verdict stands.
//
// It panics without a film.
func Choose(pic *artwork.Picture, order Order, films []Film, opt Options) (*Choice, error) {
	look, err := lookAt(pic, order)
	if err != nil {
		return nil, err
	}
	look.Screens = surveyScreens(pic.Ink.Bits, look.Artwork.PxPerInch)
	c := newChooser(pic.Ink, look, order, opt)
	out := &Choice{Artwork: look.Artwork, Films: c.films(films)}
	out.orderly()
	out.Advice = out.advise()
	advised := out.Films[0].Film
	for i := range out.Films {
		if out.Films[i].Film.Name == out.Advice.Film {
			advised = out.Films[i].Film
		}
	}
	out.Notes = c.notes(advised, opt)
	return out, nil
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
// contradict each other. (The widths they hold from do not any more: see raise.)
func (c *Choice) orderly() {
	for i := range c.Films {
		f := &c.Films[i]
		for j := range c.Films {
			g := &c.Films[j]
			if i == j || !noLess(&f.Film, &g.Film) || noLess(&g.Film, &f.Film) {
				continue
			}
			if g.Verdict > f.Verdict {
				f.Verdict, f.As = g.Verdict, g.Film.Name
			}
			f.NeverHolds = f.NeverHolds || g.NeverHolds
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
		if f.As != "" { // what is to blame is not among its own marks
			continue
		}
		n := 0 // dust, however much, is one thing to clean
		for j := range f.Marks {
			if m := &f.Marks[j]; m.Specks {
				n++
			} else {
				n += m.Count
			}
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
