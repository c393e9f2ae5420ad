package raster

import "math"

// A smooth waist in bilevel pixels: each side is a parabola through the
// boundary's columns, by least squares over the longest stretch that such a
// curve follows to within what rounding to pixels allows.

// parabolaReach lists the half lengths tried, in pixels along the mark.
var parabolaReach = [...]float64{20, 16, 13, 10, 8, 6.5, 5, 4}

// waistFit is the narrowest place between two parabolas.
type waistFit struct {
	width, sd float64
	along     float64 // of the place, from the station, along the line
	reach     float64
}

// parabolas fits both sides round station at.
func (m *measurer) parabolas(k *strand, at int) (waistFit, bool) {
	p, d := k.p[at], k.dir[at]
	n := normal(d)
	e := m.f.trace(m.scratch, p, d, int(parabolaReach[0]), int(parabolaReach[0]))
	if e == nil {
		return waistFit{}, false
	}
	var sides [2][]Point // s along the line, t across it
	for i := range e.top {
		for j, v := range [2]float64{e.top[i], e.low[i]} {
			q := Point{float64(e.c0+i+j*e.shift) + 0.5, v}
			if e.swap {
				q.X, q.Y = q.Y, q.X
			}
			q.X, q.Y = q.X-p.X, q.Y-p.Y
			sides[j] = append(sides[j], Point{q.X*d.X + q.Y*d.Y, q.X*n.X + q.Y*n.Y})
		}
	}
	cos := max(math.Abs(d.X), math.Abs(d.Y))
	for _, h := range parabolaReach {
		var fits [2]parabola
		ok := true
		for j := range sides {
			fits[j], ok = fitParabola(sides[j], h, 0.5*cos+0.15)
			if !ok || fits[j].n < 6 || fits[j].lo > -h*0.6 || fits[j].hi < h*0.6 {
				ok = false
				break
			}
		}
		if !ok {
			continue
		}
		a, b := fits[0], fits[1]
		if a.c > b.c { // the sides in order of t
			a, b = b, a
		}
		gap := func(s float64) float64 {
			slope := (a.slope(s) + b.slope(s)) / 2
			return (b.at(s) - a.at(s)) / math.Sqrt(1+slope*slope)
		}
		s := 0.0
		if q := b.q - a.q; q > 0 {
			s = max(-h/3, min(h/3, -(b.m-a.m)/(2*q)))
		}
		// A parabola's value in the middle of n points has 9/4 of the mean's
		// variance; the points' own is that of rounding, 1/12, across the edge.
		sd := 1.5 * math.Sqrt(1.0/12) * cos * math.Sqrt(1/float64(a.n)+1/float64(b.n))
		return waistFit{width: gap(s), sd: 1.2 * sd, along: s, reach: h}, true
	}
	return waistFit{}, false
}

// parabola is t = c + m s + q s*s, from n points between lo and hi.
type parabola struct {
	c, m, q float64
	n       int
	lo, hi  float64
}

func (p parabola) at(s float64) float64    { return p.c + s*(p.m+s*p.q) }
func (p parabola) slope(s float64) float64 { return p.m + 2*s*p.q }

// fitParabola fits the points with |s| <= reach; false when one of them lies
// farther than tolerance off.
func fitParabola(pts []Point, reach, tolerance float64) (parabola, bool) {
	var s0, s1, s2, s3, s4, t0, t1, t2 float64
	p := parabola{lo: math.Inf(1), hi: math.Inf(-1)}
	for _, v := range pts {
		if math.Abs(v.X) > reach {
			continue
		}
		x, y := v.X, v.Y
		p.n++
		p.lo, p.hi = min(p.lo, x), max(p.hi, x)
		s0++
		s1 += x
		s2 += x * x
		s3 += x * x * x
		s4 += x * x * x * x
		t0 += y
		t1 += x * y
		t2 += x * x * y
	}
	if p.n < 4 {
		return p, false
	}
	// Cramer's rule on the normal equations.
	c00, c01, c02 := s2*s4-s3*s3, s2*s3-s1*s4, s1*s3-s2*s2
	det := s0*c00 + s1*c01 + s2*c02
	if math.Abs(det) < 1e-9 {
		return p, false
	}
	c11, c12, c22 := s0*s4-s2*s2, s1*s2-s0*s3, s0*s2-s1*s1
	p.c = (t0*c00 + t1*c01 + t2*c02) / det
	p.m = (t0*c01 + t1*c11 + t2*c12) / det
	p.q = (t0*c02 + t1*c12 + t2*c22) / det
	for _, v := range pts {
		if math.Abs(v.X) <= reach && math.Abs(v.Y-p.at(v.X)) > tolerance {
			return p, false
		}
	}
	return p, true
}
