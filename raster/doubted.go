package raster

import (
	"math"
	"slices"
)

// A thin part must have walls under crumbWidth, and ink under bridgeWidth where it
// is shorter than bridgeLength, in pixels: a gap of 0.7 px hardly shows in some
// places, and there it looks bridged.
const (
	crumbWidth   = 0.8
	bridgeWidth  = 2.0
	bridgeLength = 6.0
	hairWidth    = 1.2 // what looks broken, or bridged, is narrower
	hairNear     = 2.0 // and no farther off, from the edge of what it looks like
	hairBeyond   = 10  // its course as measured ends this much short of what it looks broken by
)

// contactLeast is the least coverage amid a bridge or gap where two corners meet.
const contactLeast = 0.4

// doubted are parts of one feature that may be breaks in a hairline of the other
// side. A line of less than half a pixel is crumbs in the file, and between two
// crumbs lies what looks like a gap narrower than a pixel. What corners that meet
// leave between them looks the same, so which of the two it is, is told by whether
// there is a hairline.
type doubted struct {
	parts []*Feature
	of    int // the index of the feature that they belong to; -1 for none
}

// hair is a line or strip so narrow that it may look broken.
type hair struct {
	width float64
	path  []Point
	box   Box // of the path
}

func newHair(width float64, path []Point) hair {
	b := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range path {
		b = b.join(Box{p.X, p.Y, p.X, p.Y})
	}
	return hair{width, path, b}
}

// hairOf is what may look broken of a line or strip, which is on past its ends.
func hairOf(f *Feature) hair {
	path := slices.Clone(f.Path)
	if n := len(path); n > 1 && !f.Closed {
		on := func(end, before Point) Point {
			d := max(dist(end, before), 1e-9)
			return Point{end.X + (end.X-before.X)/d*hairBeyond, end.Y + (end.Y-before.Y)/d*hairBeyond}
		}
		path = append(path, on(path[n-1], path[n-2]))
		path[0] = on(path[0], path[1])
	}
	return newHair(f.Width, path)
}

// hairs are the pieces as narrow as hairs, which have no path: a narrow one lies along a
// diagonal of its box. Its width 4A/P is twice that of a line.
func (w *wholes) hairs() (list []hair) {
	for _, f := range w.list {
		if f.Width < 2*hairWidth {
			b := f.Box
			list = append(list, newHair(f.Width, []Point{{b.X0, b.Y0}, {b.X1, b.Y1}}), newHair(f.Width, []Point{{b.X0, b.Y1}, {b.X1, b.Y0}}))
		}
	}
	return list
}

// certainty is what a thin part is held for.
type certainty int

const (
	certain  certainty = iota
	doubtful           // a break in a hairline, or not
	none               // the shape is not so narrow there
)

// walled tells how certain a thin part is. The sides of one reach solid close by; those
// of a break in a hairline nowhere get past its own coverage. What is as faint, or from
// side to side wider than the width by more than two corners lose of their points, is a
// course that was too short to know which way it runs.
func (j *judge) walled(f *Feature) certainty {
	bridge := f.Kind == Line && f.Width < bridgeWidth && f.Length < bridgeLength
	if f.Width >= crumbWidth && !bridge || f.Across == (Point{}) {
		return certain
	}
	at := Shape{Ink: j.s.k, Film: j.shape.Film}.Sample
	middle := max(at(f.At), at(along(f.At, f.Across, 0.5)), at(along(f.At, f.Across, -0.5)))
	if middle < ridgeLeast {
		return none
	}
	sure, chord := true, 0.0
	for _, side := range [2]float64{1, -1} {
		least, half, last := 1.0, math.Inf(1), 1.0
		for t := 0.0; t <= f.Width/2+1.5; t += 0.25 {
			c := at(along(f.At, f.Across, side*t))
			if least = min(least, c); c < 0.5 && math.IsInf(half, 1) {
				half = max(0, t-0.25*(0.5-c)/(last-c))
			}
			last = c
		}
		chord += half
		sure = sure && least <= min(0.25, 0.6*middle)
	}
	switch {
	case sure:
		return certain
	case middle < contactLeast || chord > f.Width+cornerLoss:
		return none
	}
	return doubtful
}

// told are the features, with those doubted that nothing of the other side that is told
// itself, being under its limit, accounts for: the hairs of lines and of wholes.
func (t *thinParts) told(lines []hair, lineLimit float64, wholes []hair, wholeLimit float64) []Feature {
	if len(t.doubted) == 0 {
		return t.features
	}
	list := append([]Feature(nil), t.features...)
	for _, d := range t.doubted {
		of := d.of
		for _, m := range d.parts {
			switch {
			case m.accountedFor(lines, lineLimit), m.accountedFor(wholes, wholeLimit):
			case of < 0:
				of = len(list)
				list = append(list, *m)
			default:
				list[of].add(m)
			}
		}
	}
	return list
}

// accountedFor reports whether a hairline under the limit passes by a feature.
func (f *Feature) accountedFor(hairs []hair, limit float64) bool {
	reach := f.Width/2 + hairNear
	near := func(h *hair, p Point) bool {
		b := &h.box
		return p.X >= b.X0-reach && p.X <= b.X1+reach && p.Y >= b.Y0-reach && p.Y <= b.Y1+reach && h.distance(p) <= reach
	}
	return slices.ContainsFunc(hairs, func(h hair) bool {
		return h.width < limit && (near(&h, f.At) || near(&h, f.course) || slices.ContainsFunc(f.Path, func(p Point) bool { return near(&h, p) }))
	})
}

// distance is how far a place is from a hairline, in pixels.
func (h *hair) distance(p Point) float64 {
	least := math.Inf(1)
	for i, a := range h.path {
		b := h.path[max(i-1, 0)]
		d, t := Point{b.X - a.X, b.Y - a.Y}, 0.0
		if l := d.X*d.X + d.Y*d.Y; l > 0 {
			t = min(1, max(0, ((p.X-a.X)*d.X+(p.Y-a.Y)*d.Y)/l))
		}
		least = min(least, math.Hypot(p.X-a.X-t*d.X, p.Y-a.Y-t*d.Y))
	}
	return least
}

// add makes m a part of the feature, whose width is that of its narrowest part.
func (f *Feature) add(m *Feature) {
	f.Length += m.Length
	f.Area += m.Area
	f.Box = f.Box.join(m.Box)
	if m.Width < f.Width {
		f.Width, f.PlusMinus, f.At, f.Across = m.Width, m.PlusMinus, m.At, m.Across
		f.Path, f.Closed = m.Path, m.Closed
	}
}
