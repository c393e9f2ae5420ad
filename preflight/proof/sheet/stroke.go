package sheet

import "math"

// stroke returns the outline of a path's stroke as pieces that all run
// clockwise, so that their overlaps stay filled: a quadrangle for each straight
// piece, and discs or mitres where they meet.
func stroke(p Path, tol float64) []polyline {
	var out []polyline
	for _, l := range p.flatten(tol) {
		l.pts = distinct(l.pts)
		if len(l.pts) == 1 {
			if p.Round {
				out = append(out, disc(l.pts[0], p.Width/2))
			}
			continue
		}
		if p.Dash == nil {
			out = append(out, strokeLine(l, p)...)
			continue
		}
		for _, d := range dashes(l, p.Dash) {
			out = append(out, strokeLine(d, p)...)
		}
	}
	return out
}

func distinct(pts []Pt) []Pt {
	out := pts[:1]
	for _, q := range pts[1:] {
		if dist(q, out[len(out)-1]) > 1e-6 {
			out = append(out, q)
		}
	}
	return out
}

func strokeLine(l polyline, p Path) []polyline {
	h := p.Width / 2
	pts := l.pts
	n := len(pts)
	segs := n - 1
	if l.closed && n > 2 {
		segs = n
	}
	var out []polyline
	for i := 0; i < segs; i++ {
		a, b := pts[i], pts[(i+1)%n]
		nx, ny := normal(a, b)
		out = append(out, clockwise(Pt{a.X + nx*h, a.Y + ny*h}, Pt{b.X + nx*h, b.Y + ny*h},
			Pt{b.X - nx*h, b.Y - ny*h}, Pt{a.X - nx*h, a.Y - ny*h}))
	}
	for i := 0; i < n; i++ {
		end := !(l.closed && n > 2) && (i == 0 || i == n-1)
		if p.Round {
			out = append(out, disc(pts[i], h))
			continue
		}
		if end {
			continue
		}
		prev, next := pts[(i+n-1)%n], pts[(i+1)%n]
		if m, ok := mitre(prev, pts[i], next, h); ok {
			out = append(out, m)
		}
	}
	return out
}

func normal(a, b Pt) (float64, float64) {
	d := dist(a, b)
	return -(b.Y - a.Y) / d, (b.X - a.X) / d
}

// mitre returns the corner piece on the outer side of a join, bevelled where it
// would reach beyond four half-widths.
func mitre(a, b, c Pt, h float64) (polyline, bool) {
	ax, ay := normal(a, b)
	bx, by := normal(b, c)
	turn := (b.X-a.X)*(c.Y-b.Y) - (b.Y-a.Y)*(c.X-b.X)
	if math.Abs(turn) < 1e-12 {
		return polyline{}, false
	}
	if turn > 0 {
		h = -h
	}
	p, q := Pt{b.X + ax*h, b.Y + ay*h}, Pt{b.X + bx*h, b.Y + by*h}
	k := 1 + ax*bx + ay*by
	if k < 0.125 {
		return clockwise(b, p, q), true
	}
	return clockwise(b, p, Pt{b.X + (ax+bx)*h/k, b.Y + (ay+by)*h/k}, q), true
}

func clockwise(pts ...Pt) polyline {
	area := 0.0
	for i, a := range pts {
		b := pts[(i+1)%len(pts)]
		area += a.X*b.Y - a.Y*b.X
	}
	if area < 0 {
		for i, j := 0, len(pts)-1; i < j; i, j = i+1, j-1 {
			pts[i], pts[j] = pts[j], pts[i]
		}
	}
	return polyline{pts: pts, closed: true}
}

func disc(c Pt, r float64) polyline {
	n := 12
	if r > 0.5 {
		n = 28
	}
	l := polyline{closed: true}
	for i := 0; i < n; i++ {
		s, t := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		l.pts = append(l.pts, Pt{c.X + r*t, c.Y + r*s})
	}
	return l
}

// dashes cuts a line into its dashes.
func dashes(l polyline, pattern []float64) []polyline {
	pts := l.pts
	if l.closed {
		pts = append(append([]Pt(nil), pts...), pts[0])
	}
	var out []polyline
	on, k, left := true, 0, pattern[0]
	cur := []Pt{pts[0]}
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		d := dist(a, b)
		pos := 0.0
		for d-pos > left {
			pos += left
			t := pos / d
			q := Pt{a.X + (b.X-a.X)*t, a.Y + (b.Y-a.Y)*t}
			if on {
				out = append(out, polyline{pts: append(cur, q)})
			}
			cur = []Pt{q}
			on = !on
			k = (k + 1) % len(pattern)
			left = pattern[k]
		}
		left -= d - pos
		if on {
			cur = append(cur, b)
		}
	}
	if on && len(cur) > 1 {
		out = append(out, polyline{pts: cur})
	}
	return out
}
