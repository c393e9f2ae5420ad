package raster

import (
	"math"
	"slices"
)

// A neck where E comes apart by a pixel or two is a chance of the grid as often
// as a waist: a stroke barely wider than the limit, next to its end or a corner,
// where one pixel of E lies apart from the others. The shortest chord through
// such a place runs across the corner, and would read anything from nothing up.
// What is known of it is where the discs on both sides fit, so it is measured
// across the line that joins them, and cannot be narrower than what they cover.

const (
	// tightReach is how far apart, in grid pixels, the places of E on both sides
	// may lie for the neck to be measured across the line between them: a knight's
	// move over one pixel. Farther apart the arc itself shows which way it runs.
	tightReach = 3.2
	// neckSlack is how much narrower than what the discs cover, in pixels, a neck
	// may read: on the grid a corner has lost up to 0.4 px of its point. (The sharp
	// corner between a wall and an arm loses more, but a neck there is told by its
	// widths.)
	neckSlack = 0.8
)

// neck measures an arc that joins E to E.
func (j *judge) neck(c chain) *Feature {
	co := j.course(c)
	a, b, ok := j.contacts(c)
	if ok && dist(a, b) <= tightReach {
		co = j.between(a, b)
	}
	p := j.measure(co)
	if ok && len(p.Sections) > 0 && !p.wall {
		least := j.covered(dist(a, b)) - neckSlack*j.unit
		if p.Width < least && !co.Tight {
			if q := j.measure(j.between(a, b)); len(q.Sections) > 0 {
				p = q
			}
		}
		p.Width = max(p.Width, least)
	}
	if len(p.Sections) == 0 {
		return nil
	}
	return j.feature(p, false)
}

// between is the straight course from one place of E to another.
func (j *judge) between(a, b Point) Course {
	g := j.s.g
	return Course{Path: []Point{g.native(int(a.X), int(a.Y)), g.native(int(b.X), int(b.Y))}, Tight: true}
}

// contacts returns, of the pixels of E next to either end of an arc, the two
// that lie farthest apart, in grid pixels.
func (j *judge) contacts(c chain) (a, b Point, ok bool) {
	step := 1
	if j.p.film {
		step = 2
	}
	most := -1.0
	w := j.p.shape.W
	first, last := int(c.path[0]), int(c.path[len(c.path)-1])
	for n := 0; n < 8; n += step {
		ax, ay := first%w+offX[n], first/w+offY[n]
		if !j.p.e.Get(ax, ay) {
			continue
		}
		for m := 0; m < 8; m += step {
			bx, by := last%w+offX[m], last/w+offY[m]
			if d := math.Hypot(float64(ax-bx), float64(ay-by)); d > most && j.p.e.Get(bx, by) {
				a, b = Point{float64(ax), float64(ay)}, Point{float64(bx), float64(by)}
				most, ok = d, true
			}
		}
	}
	return a, b, ok && most > 0
}

// covered returns how wide the shape is at least, in pixels of the artwork, half
// way between two discs of E whose centres lie apart grid pixels from each
// other: their common chord, less a grid pixel for where between two pixels the
// edge runs; 0 when they do not meet.
func (j *judge) covered(apart float64) float64 {
	rc := j.p.d/2 + 0.5
	if apart >= 2*rc {
		return 0
	}
	return (2*math.Sqrt(rc*rc-apart*apart/4) - 1) / j.s.g.scale()
}

// dumbbell is by how much wider a piece of film too narrow for any disc must be on both
// sides of a place for that to be a neck of it: a disc that much wider does not fit where two
// or three bars as wide as the place meet (that has root 2 and 5/4 of it).
const dumbbell = 1.7

// innerNeck measures the narrowest place of a course that has places on both sides of it
// as wide as the limit, or wider than itself by dumbbell; nil without one. The piece is an
// island, but what hangs together by such a place comes apart there.
func (j *judge) innerNeck(c chain) *Feature {
	p := j.measure(j.course(c))
	list := p.Sections
	if len(list) == 0 {
		return nil
	}
	at := 0
	for i, s := range list {
		if dist(s.At, p.At) < dist(list[at].At, p.At) {
			at = i
		}
	}
	beyond := j.beyond()
	scale := j.s.g.scale()
	// By its pixels, too: not past the end of a tip.
	wide := func(list []Section, least, disc float64) bool {
		return slices.ContainsFunc(list, func(s Section) bool { return s.Width >= least && j.fits(s.At, disc) })
	}
	for _, w := range [2]struct{ least, disc float64 }{
		{max(j.safe, p.Width+beyond), j.safe*scale/2 - 1},
		{dumbbell*p.Width + beyond, (dumbbell*p.Width + beyond) * scale / 2},
	} {
		before, after := wide(list[:at], w.least, w.disc), wide(list[at:], w.least, w.disc)
		if before && after || c.closed && (before || after) { // on a ring either lies on both sides
			return j.feature(p, c.closed)
		}
	}
	return nil
}

// beyond is how much wider, in pixels, one place must read than another to be so.
func (j *judge) beyond() float64 {
	if j.shape.Ink.Bilevel() {
		return 1
	}
	return 0.5
}

// fits reports whether a disc of radius r, in grid pixels, fits round a place of the artwork.
func (j *judge) fits(at Point, r float64) bool {
	g := j.s.g
	x, y := int(math.Floor(at.X*g.scale()))+g.padX, int(math.Floor(at.Y*g.scale()))+g.padY
	return fitsAt(j.p.shape, 2*x, 2*y, r)
}
