package preflight

import (
	"math"

	"stencilproof/raster"
)

// A speck is a piece of under 4 square pixels of the artwork (package raster's
// rule): too small to have been drawn at its resolution, whatever that is. Some
// are no dust: where a bilevel point or crotch tapers under a pixel, its last
// pixels come apart from it. Those crumbs are the tip's own matter and are not
// judged; everything else is, for the film cannot tell dust from drawing.
//
// A crumb lies ahead of a tip, so near that the shape it broke off from must
// have been about to end. Dust beside an edge, a corner or a line is none, and
// the pieces of a broken hairline are none but for the first few pixels of it.
const (
	crumbReach = 3 // pixels from the tip, or from the crumb before
	// crumbEnd is how far from the tip the last crumb ends at most: a taper of 15
	// degrees, the slimmest that is told as a point, is between a pixel and half
	// a pixel wide, where it breaks, over 2 px; of film and ink by turns, twice.
	crumbEnd = 8
	// tipPixels is the most pixels of a shape in the 7 x 7 around the last one
	// of its tip. A tip of 40 degrees has 7 to 13, a corner of 90 degrees mostly
	// 16, the middle of a hairline 7 but on both sides.
	tipWindow = 3
	tipPixels = 13
	// A speck that touches the shape by a corner, no farther from its last pixel than
	// crumbTouch, is its end also where that is blunter, as in a crotch that runs into a
	// wide counter.
	crumbTouch  = 1.45
	bluntPixels = 18
	// One pixel that touches it so, in whole pixels, is its end up to dentPixels, the
	// number of an edge along the rows with two pixels more on it, and up to dentAhead, the
	// cosine where a tip leans away from the corner that it touches by.
	dentPixels = 23
	dentAhead  = 0.4
	// crumbFaint is that for one of less than a pixel, which only a finer grid parts from
	// its shape.
	crumbFaint = 2
	// ahead is the least cosine between where a tip points and where its crumb
	// lies.
	ahead = 0.6
)

// sortSpecks parts the specks of what was measured on b into the finest dots of
// halftones, crumbs of tips, and dust. Call it after the halftones are known.
func (s *Survey) sortSpecks(b *raster.Bits) {
	type pixel struct{ x, y int }
	fine := map[pixel]bool{}
	for _, h := range s.Screens {
		for _, p := range h.fine {
			for d := range 9 {
				fine[pixel{int(math.Floor(p.X)) + d%3 - 1, int(math.Floor(p.Y)) + d/3 - 1}] = true
			}
		}
	}
	var rest []raster.Speck
	for _, d := range s.Measured.Specks {
		if fine[pixel{int(math.Floor((d.Box.X0 + d.Box.X1) / 2)), int(math.Floor((d.Box.Y0 + d.Box.Y1) / 2))}] {
			s.FineDots = append(s.FineDots, d)
		} else {
			rest = append(rest, d)
		}
	}
	s.Dust, s.Crumbs = splitSpecks(b, rest)
}

// crumbs finds which specks of a plane broke off a tip.
type crumbs struct {
	b      *raster.Bits
	specks []raster.Speck
	owner  map[crumbCell]int // pixels of specks
}

type crumbCell struct {
	x, y int
	film bool
}

// splitSpecks parts specks into those that stand alone (dust, pinholes) and
// crumbs of tips.
func splitSpecks(b *raster.Bits, specks []raster.Speck) (alone, broken []raster.Speck) {
	if len(specks) == 0 {
		return nil, nil
	}
	c := crumbs{b, specks, map[crumbCell]int{}}
	for i := range specks {
		c.each(i, 0, func(q crumbCell) { c.owner[q] = i })
	}
	type ray struct {
		speck     int
		from, dir raster.Point // the tip's last pixel and where it points
	}
	crumb := make([]bool, len(specks))
	var queue []ray
	for i := range specks {
		if tip, dir, ok := c.tipBehind(i); ok {
			crumb[i] = true
			queue = append(queue, ray{i, tip, dir})
		}
	}
	for len(queue) > 0 {
		r := queue[0]
		queue = queue[1:]
		c.each(r.speck, crumbReach, func(q crumbCell) {
			j, ok := c.owner[q]
			if !ok || crumb[j] {
				return
			}
			to := raster.Point{X: float64(q.x) + 0.5 - r.from.X, Y: float64(q.y) + 0.5 - r.from.Y}
			if d := length(to); d <= crumbEnd && to.X*r.dir.X+to.Y*r.dir.Y >= ahead*d {
				crumb[j] = true
				queue = append(queue, ray{j, r.from, r.dir})
			}
		})
	}
	for i, s := range specks {
		if crumb[i] {
			broken = append(broken, s)
		} else {
			alone = append(alone, s)
		}
	}
	return alone, broken
}

// each visits the pixels of speck i's side within margin pixels of its box.
// What lies outside the plane is film that no pinhole broke off from.
func (c *crumbs) each(i, margin int, visit func(crumbCell)) {
	s := &c.specks[i]
	x1, y1 := min(int(s.Box.X1+0.999)+margin, c.b.W), min(int(s.Box.Y1+0.999)+margin, c.b.H)
	for y := max(0, int(s.Box.Y0)-margin); y < y1; y++ {
		for x := max(0, int(s.Box.X0)-margin); x < x1; x++ {
			if c.b.Get(x, y) != s.Film {
				visit(crumbCell{x, y, s.Film})
			}
		}
	}
}

// tipBehind looks among the nearest pixels of the same side that are no speck for the
// end of a tip that points at speck i, and where to. (A speck that touches several shapes
// by its corners has several nearest ones.)
func (c *crumbs) tipBehind(i int) (tip, dir raster.Point, ok bool) {
	s := &c.specks[i]
	mid := raster.Point{X: (s.Box.X0 + s.Box.X1) / 2, Y: (s.Box.Y0 + s.Box.Y1) / 2}
	var nearest []crumbCell
	least := math.Inf(1)
	c.each(i, crumbReach, func(q crumbCell) {
		if _, speck := c.owner[q]; speck {
			return
		}
		d := math.Hypot(float64(q.x)+0.5-mid.X, float64(q.y)+0.5-mid.Y)
		if d < least-1e-9 {
			least, nearest = d, nearest[:0]
		}
		if d < least+1e-9 {
			nearest = append(nearest, q)
		}
	})
	for _, q := range nearest {
		if tip, dir, ok = c.tipAt(q, i, mid, least); ok {
			return tip, dir, true
		}
	}
	return tip, dir, false
}

// tipAt is tipBehind for one of the nearest pixels, which lies away from the speck's middle.
func (c *crumbs) tipAt(nearest crumbCell, i int, mid raster.Point, away float64) (tip, dir raster.Point, ok bool) {
	s := &c.specks[i]
	tip = raster.Point{X: float64(nearest.x) + 0.5, Y: float64(nearest.y) + 0.5}
	touches := away < crumbTouch
	if !c.solid(i) || away < crumbFaint && s.Area < 1 { // no shape of its own: the faint end of a hairline or seam beside it
		return tip, unitTo(tip, mid), true
	}
	n, back := c.bodyAround(nearest, !s.Film)
	if s.Film && n < 3 { // a slanting tip hangs together by its corners, if its edges are grey
		n, back = c.bodyAround(nearest, true)
	}
	most, least := tipPixels, ahead
	switch {
	case touches && s.Area == 1:
		most, least = dentPixels, dentAhead
	case touches:
		most = bluntPixels
	}
	if n > most {
		return tip, dir, false
	}
	dir = raster.Point{X: tip.X - back.X, Y: tip.Y - back.Y}
	to := raster.Point{X: mid.X - tip.X, Y: mid.Y - tip.Y}
	d := length(dir)
	if d < 0.75 { // as much of it on both sides: no end
		return tip, dir, false
	}
	dir = raster.Point{X: dir.X / d, Y: dir.Y / d}
	return tip, dir, to.X*dir.X+to.Y*dir.Y >= least*length(to)
}

// solid reports whether speck i has a pixel of half coverage or more. One that
// has none is a thread (package raster's word) of coverage under half.
func (c *crumbs) solid(i int) bool {
	found := false
	c.each(i, 0, func(crumbCell) { found = true })
	return found
}

// unitTo is the direction from a to b.
func unitTo(a, b raster.Point) raster.Point {
	v := raster.Point{X: b.X - a.X, Y: b.Y - a.Y}
	d := math.Max(1e-9, length(v))
	return raster.Point{X: v.X / d, Y: v.Y / d}
}

// bodyAround counts the pixels of a shape that hang together with one of its
// own, by their sides or by their corners too, inside the window around it, and
// returns their middle.
func (c *crumbs) bodyAround(at crumbCell, corners bool) (n int, middle raster.Point) {
	const side = 2*tipWindow + 1
	var seen [side * side]bool
	stack := []crumbCell{at}
	seen[tipWindow*side+tipWindow] = true
	for len(stack) > 0 {
		q := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n++
		middle.X, middle.Y = middle.X+float64(q.x)+0.5, middle.Y+float64(q.y)+0.5
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 1; dx++ {
				x, y := q.x+dx, q.y+dy
				wx, wy := x-at.x+tipWindow, y-at.y+tipWindow
				if !corners && dx != 0 && dy != 0 || wx < 0 || wy < 0 || wx >= side || wy >= side || seen[wy*side+wx] {
					continue
				}
				if x < 0 || y < 0 || x >= c.b.W || y >= c.b.H || c.b.Get(x, y) == at.film {
					continue
				}
				seen[wy*side+wx] = true
				stack = append(stack, crumbCell{x, y, at.film})
			}
		}
	}
	return n, raster.Point{X: middle.X / float64(n), Y: middle.Y / float64(n)}
}
