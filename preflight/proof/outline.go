package proof

import (
	"math"
	"sort"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// How a place is outlined on the map, in millimetres of paper.
const (
	outlineOff   = 0.6  // from the feature to the line
	outlineLong  = 4.5  // least length
	outlineHigh  = 3.0  // least height
	outlineLine  = 0.6  // the line
	outlineCase  = 1.9  // its white casing
	doubleLine   = 1.25 // the double line of a strip, over all
	doubleGap    = 0.5  // the white in its middle
	doubleCase   = 2.4
	pathMinimum  = 6.0 // a path at least so long on the map is followed
	hullRounding = 1.0
)

var riskDash = []float64{1.3, 0.8}

// outline is a place's outline on the map.
type outline struct {
	rings [][]sheet.Pt // closed; the first is the outermost
	box   rect
}

type rect struct{ x0, y0, x1, y1 float64 }

func (r rect) area() float64 { return (r.x1 - r.x0) * (r.y1 - r.y0) }

func bounds(pts []sheet.Pt) rect {
	r := rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range pts {
		r.x0, r.x1 = math.Min(r.x0, p.X), math.Max(r.x1, p.X)
		r.y0, r.y1 = math.Min(r.y0, p.Y), math.Max(r.y1, p.Y)
	}
	return r
}

// outlineOf returns the outline of a place on a map that shows one millimetre
// of artwork as scale millimetres of paper, from (ox, oy).
func outlineOf(p *place, ms []preflight.Mark, scale, ox, oy float64) outline {
	to := func(q preflight.PointMM) sheet.Pt { return sheet.Pt{X: ox + q.X*scale, Y: oy + q.Y*scale} }
	var rings [][]sheet.Pt
	if len(p.marks) == 1 && p.count <= 1 {
		m := &ms[p.marks[0]]
		if len(m.Path) > 1 {
			pts := make([]sheet.Pt, len(m.Path))
			for i, q := range m.Path {
				pts[i] = to(q)
			}
			half := math.Max(outlineHigh/2, m.WidthUM/2000*scale+outlineOff)
			if p.kind == raster.Strip {
				half = math.Max(outlineLong/2, half)
			}
			if length(pts) >= pathMinimum {
				rings = around(pts, m.Closed, half, p.kind == raster.Strip)
			}
		}
		if rings == nil {
			rings = [][]sheet.Pt{single(p.kind, onMap(m.Box, to))}
		}
	} else {
		rings = [][]sheet.Pt{group(p, ms, to)}
	}
	sort.SliceStable(rings, func(i, j int) bool { return bounds(rings[i]).area() > bounds(rings[j]).area() })
	return outline{rings: rings, box: bounds(rings[0])}
}

func onMap(b preflight.BoxMM, to func(preflight.PointMM) sheet.Pt) rect {
	p, q := to(preflight.PointMM{X: b.X0, Y: b.Y0}), to(preflight.PointMM{X: b.X1, Y: b.Y1})
	return rect{p.X, p.Y, q.X, q.Y}
}

func length(pts []sheet.Pt) float64 {
	s := 0.0
	for i := 1; i < len(pts); i++ {
		s += math.Hypot(pts[i].X-pts[i-1].X, pts[i].Y-pts[i-1].Y)
	}
	return s
}

// grown returns a box that stands off its feature and has the least size.
func grown(b rect, off, long, high float64) rect {
	w, h := b.x1-b.x0+2*off, b.y1-b.y0+2*off
	lw, lh := long, high
	if h > w {
		lw, lh = high, long
	}
	w, h = math.Max(w, lw), math.Max(h, lh)
	cx, cy := (b.x0+b.x1)/2, (b.y0+b.y1)/2
	return rect{cx - w/2, cy - h/2, cx + w/2, cy + h/2}
}

func corners(r rect) []sheet.Pt {
	return []sheet.Pt{{X: r.x0, Y: r.y0}, {X: r.x1, Y: r.y0}, {X: r.x1, Y: r.y1}, {X: r.x0, Y: r.y1}}
}

// single returns the outline of one feature by its box: a capsule for a line,
// an ellipse for a dot, a rectangle for a strip, and one with pointed ends for
// an island.
func single(k raster.Kind, b rect) []sheet.Pt {
	high := outlineHigh
	if k == raster.Strip {
		high = outlineLong
	}
	r := grown(b, outlineOff, outlineLong, high)
	switch k {
	case raster.Line:
		rad := math.Min(r.x1-r.x0, r.y1-r.y0) / 2
		return offsetHull(corners(rect{r.x0 + rad, r.y0 + rad, r.x1 - rad, r.y1 - rad}), rad)
	case raster.Dot:
		// a dot is round, so the ellipse through the middles of the box's sides
		// would cut the corners of a square one: a fifth more clears those too
		rx, ry := (r.x1-r.x0)*0.6, (r.y1-r.y0)*0.6
		cx, cy := (r.x0+r.x1)/2, (r.y0+r.y1)/2
		pts := make([]sheet.Pt, 40)
		for i := range pts {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(len(pts)))
			pts[i] = sheet.Pt{X: cx + rx*c, Y: cy + ry*s}
		}
		return pts
	case raster.Island:
		return pointed(corners(r))
	}
	return corners(r)
}

// pointed adds a tip to the left and right of a convex outline.
func pointed(pts []sheet.Pt) []sheet.Pt {
	b := bounds(pts)
	tip := math.Min((b.y1-b.y0)*0.5, 2.2)
	mid := (b.y0 + b.y1) / 2
	return hull(append(append([]sheet.Pt(nil), pts...), sheet.Pt{X: b.x0 - tip, Y: mid}, sheet.Pt{X: b.x1 + tip, Y: mid}))
}

// group returns the outline of several features: the hull of their boxes,
// rounded, square or pointed as the kind has it.
func group(p *place, ms []preflight.Mark, to func(preflight.PointMM) sheet.Pt) []sheet.Pt {
	var pts []sheet.Pt
	for _, i := range p.marks {
		bs := ms[i].Boxes
		if len(bs) == 0 {
			bs = []preflight.BoxMM{ms[i].Box}
		}
		for _, b := range bs {
			pts = append(pts, corners(onMap(b, to))...)
		}
	}
	h := hull(pts)
	b := bounds(h)
	long, high := outlineLong, outlineHigh
	if p.kind == raster.Strip {
		high = outlineLong
	}
	if g := grown(b, 0, long-2*outlineOff, high-2*outlineOff); g.x1-g.x0 > b.x1-b.x0+1e-6 || g.y1-g.y0 > b.y1-b.y0+1e-6 {
		h = hull(append(h, corners(g)...)) // too small to be seen
	}
	switch p.kind {
	case raster.Strip:
		return offsetSquare(h, outlineOff+doubleLine/2)
	case raster.Island:
		return pointed(offsetSquare(h, outlineOff))
	case raster.Dot:
		return offsetHull(h, outlineOff+1.2)
	}
	return offsetHull(h, math.Max(outlineOff, hullRounding))
}

// hull returns the convex hull, clockwise on paper, without points on its
// sides (the monotone chain of Andrew, Information Processing Letters 9, 1979).
func hull(pts []sheet.Pt) []sheet.Pt {
	p := append([]sheet.Pt(nil), pts...)
	sort.Slice(p, func(i, j int) bool {
		if p[i].X != p[j].X {
			return p[i].X < p[j].X
		}
		return p[i].Y < p[j].Y
	})
	if len(p) < 3 {
		return p
	}
	half := func(p []sheet.Pt) []sheet.Pt {
		var h []sheet.Pt
		for _, q := range p {
			for len(h) > 1 && cross(h[len(h)-2], h[len(h)-1], q) <= 1e-9 {
				h = h[:len(h)-1]
			}
			h = append(h, q)
		}
		return h[:len(h)-1]
	}
	low := half(p)
	for i, j := 0, len(p)-1; i < j; i, j = i+1, j-1 {
		p[i], p[j] = p[j], p[i]
	}
	return append(low, half(p)...)
}

func cross(a, b, c sheet.Pt) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }

// offsetHull returns a convex outline moved out by r, its corners round.
func offsetHull(h []sheet.Pt, r float64) []sheet.Pt {
	h = hull(h)
	if len(h) == 1 {
		h = append(h, h[0])
	}
	var out []sheet.Pt
	n := len(h)
	for i := range h {
		prev, next := h[(i+n-1)%n], h[(i+1)%n]
		a0 := math.Atan2(h[i].Y-prev.Y, h[i].X-prev.X) - math.Pi/2
		a1 := math.Atan2(next.Y-h[i].Y, next.X-h[i].X) - math.Pi/2
		if n == 2 && h[0] == h[1] {
			a0, a1 = float64(i)*math.Pi, float64(i+1)*math.Pi
		}
		for a1 < a0-1e-12 {
			a1 += 2 * math.Pi
		}
		steps := max(int(math.Ceil((a1-a0)/0.2)), 1)
		for k := 0; k <= steps; k++ {
			s, c := math.Sincos(a0 + (a1-a0)*float64(k)/float64(steps))
			out = append(out, sheet.Pt{X: h[i].X + r*c, Y: h[i].Y + r*s})
		}
	}
	return out
}

// offsetSquare returns a convex outline moved out by r, its corners square.
func offsetSquare(h []sheet.Pt, r float64) []sheet.Pt {
	var pts []sheet.Pt
	for _, p := range h {
		pts = append(pts, corners(rect{p.X - r, p.Y - r, p.X + r, p.Y + r})...)
	}
	return hull(pts)
}
