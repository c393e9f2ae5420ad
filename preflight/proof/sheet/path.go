package sheet

import "math"

// Seg is one step of a path: 'M' and 'L' go to P[0], 'C' is a cubic Bezier
// curve with controls P[0], P[1] to P[2], 'Z' closes.
type Seg struct {
	Op byte
	P  [3]Pt
}

// Path is a filled or stroked outline, or both. Fills use the nonzero rule.
type Path struct {
	D      []Seg
	Fill   Ink
	Stroke Ink
	Width  float64   // of the stroke
	Dash   []float64 // lengths on, off, ...; nil is solid
	Round  bool      // round caps and joins; otherwise butt caps and mitred joins
}

func (p Path) moved(dx, dy float64) Item {
	d := make([]Seg, len(p.D))
	for i, s := range p.D {
		for j := range s.P {
			s.P[j].X += dx
			s.P[j].Y += dy
		}
		d[i] = s
	}
	p.D = d
	return p
}

// Shifted returns the path moved by (dx, dy).
func (p Path) Shifted(dx, dy float64) Path { return p.moved(dx, dy).(Path) }

// Filled returns the path filled with c and not stroked.
func (p Path) Filled(c Ink) Path { p.Fill, p.Stroke = c, Ink{}; return p }

// Stroked returns the path stroked in c, w wide; a fill stays.
func (p Path) Stroked(c Ink, w float64) Path { p.Stroke, p.Width = c, w; return p }

// Dashed returns the path with its stroke dashed.
func (p Path) Dashed(d ...float64) Path { p.Dash = d; return p }

// Rounded returns the path with round caps and joins.
func (p Path) Rounded() Path { p.Round = true; return p }

// And returns the path with the outlines of q added to it.
func (p Path) And(q Path) Path {
	p.D = append(append([]Seg(nil), p.D...), q.D...)
	return p
}

// LineTo returns a path of one straight line.
func LineTo(x0, y0, x1, y1 float64) Path {
	return Path{D: []Seg{{Op: 'M', P: [3]Pt{{x0, y0}}}, {Op: 'L', P: [3]Pt{{x1, y1}}}}}
}

// Poly returns a path through the points, closed if asked.
func Poly(closed bool, pts ...Pt) Path {
	var p Path
	for i, q := range pts {
		op := byte('L')
		if i == 0 {
			op = 'M'
		}
		p.D = append(p.D, Seg{Op: op, P: [3]Pt{q}})
	}
	if closed {
		p.D = append(p.D, Seg{Op: 'Z'})
	}
	return p
}

// Rect returns a rectangle, clockwise.
func Rect(x, y, w, h float64) Path {
	return Poly(true, Pt{x, y}, Pt{x + w, y}, Pt{x + w, y + h}, Pt{x, y + h})
}

// kappa places the controls of a cubic so that it follows a quarter of a
// circle within 0.03 % of the radius: 4/3 (sqrt 2 - 1), elementary geometry.
const kappa = 0.5522847498307936

// Ellipse returns an ellipse about (cx, cy), clockwise.
func Ellipse(cx, cy, rx, ry float64) Path {
	kx, ky := rx*kappa, ry*kappa
	return Path{D: []Seg{
		{Op: 'M', P: [3]Pt{{cx + rx, cy}}},
		{Op: 'C', P: [3]Pt{{cx + rx, cy + ky}, {cx + kx, cy + ry}, {cx, cy + ry}}},
		{Op: 'C', P: [3]Pt{{cx - kx, cy + ry}, {cx - rx, cy + ky}, {cx - rx, cy}}},
		{Op: 'C', P: [3]Pt{{cx - rx, cy - ky}, {cx - kx, cy - ry}, {cx, cy - ry}}},
		{Op: 'C', P: [3]Pt{{cx + kx, cy - ry}, {cx + rx, cy - ky}, {cx + rx, cy}}},
		{Op: 'Z'},
	}}
}

// Circle returns a circle, clockwise.
func Circle(cx, cy, r float64) Path { return Ellipse(cx, cy, r, r) }

// Hole returns a circle that runs the other way round, so that it cuts a hole
// into what it is added to.
func Hole(cx, cy, r float64) Path { return Ellipse(cx, cy, -r, r) }

// RoundRect returns a rectangle with corners of radius r, clockwise.
func RoundRect(x, y, w, h, r float64) Path {
	r = math.Min(r, math.Min(w, h)/2)
	k := r * (1 - kappa)
	return Path{D: []Seg{
		{Op: 'M', P: [3]Pt{{x + r, y}}},
		{Op: 'L', P: [3]Pt{{x + w - r, y}}},
		{Op: 'C', P: [3]Pt{{x + w - k, y}, {x + w, y + k}, {x + w, y + r}}},
		{Op: 'L', P: [3]Pt{{x + w, y + h - r}}},
		{Op: 'C', P: [3]Pt{{x + w, y + h - k}, {x + w - k, y + h}, {x + w - r, y + h}}},
		{Op: 'L', P: [3]Pt{{x + r, y + h}}},
		{Op: 'C', P: [3]Pt{{x + k, y + h}, {x, y + h - k}, {x, y + h - r}}},
		{Op: 'L', P: [3]Pt{{x, y + r}}},
		{Op: 'C', P: [3]Pt{{x, y + k}, {x + k, y}, {x + r, y}}},
		{Op: 'Z'},
	}}
}

// polyline is a flattened outline.
type polyline struct {
	pts    []Pt
	closed bool
}

// Flatten returns the outlines of the path as polylines whose chords stay
// within about tol of the curves.
func (p Path) flatten(tol float64) []polyline {
	var out []polyline
	var cur polyline
	flush := func() {
		if len(cur.pts) > 0 {
			out = append(out, cur)
		}
		cur = polyline{}
	}
	for _, s := range p.D {
		switch s.Op {
		case 'M':
			flush()
			cur.pts = append(cur.pts, s.P[0])
		case 'L':
			cur.pts = append(cur.pts, s.P[0])
		case 'C':
			a := cur.pts[len(cur.pts)-1]
			span := dist(a, s.P[0]) + dist(s.P[0], s.P[1]) + dist(s.P[1], s.P[2])
			n := min(max(int(math.Ceil(math.Sqrt(span/tol)*0.6)), 2), 200)
			for i := 1; i <= n; i++ {
				t := float64(i) / float64(n)
				u := 1 - t
				b0, b1, b2, b3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
				cur.pts = append(cur.pts, Pt{
					b0*a.X + b1*s.P[0].X + b2*s.P[1].X + b3*s.P[2].X,
					b0*a.Y + b1*s.P[0].Y + b2*s.P[1].Y + b3*s.P[2].Y,
				})
			}
		case 'Z':
			cur.closed = true
			if n := len(cur.pts); n > 1 && dist(cur.pts[0], cur.pts[n-1]) < 1e-9 {
				cur.pts = cur.pts[:n-1]
			}
			flush()
		}
	}
	flush()
	return out
}

func dist(a, b Pt) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }
