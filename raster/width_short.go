package raster

import "math"

// shortStrand handles a course too short to tell its own direction: a waist
// between two corners. The direction is that of the shortest chord through the
// place, the place that along the part where that chord is shortest, turn and
// turn about; the centre line is straight across it.
func (m *measurer) shortStrand(pts []Point, length float64) *strand {
	step := curveStep
	mid := pts[len(pts)/2]
	hint := unit(Point{pts[len(pts)-1].X - pts[0].X, pts[len(pts)-1].Y - pts[0].Y})
	spread := 90.0
	if length >= 2.5 {
		spread = 50
	} else {
		hint = Point{1, 0}
		if len(pts) > 1 {
			if v := unit(Point{pts[len(pts)-1].X - pts[0].X, pts[len(pts)-1].Y - pts[0].Y}); v != (Point{}) {
				hint = v
			}
		}
	}
	reachAlong := length/2 + 1.5
	start := mid
	dir, best := hint, math.Inf(1)
	chord := func(p, d Point) (station, float64) {
		st := m.f.station(p, normal(d), m.limit, m.reach)
		if !st.ok {
			return st, math.Inf(1)
		}
		return st, st.width
	}
	for round, half := 0, spread; round < 4; round++ {
		// Turn.
		base, turns := dir, 12
		if round > 0 {
			turns = 6
		}
		for i := -turns; i <= turns; i++ {
			a := half * math.Pi / 180 * float64(i) / float64(turns)
			sin, cos := math.Sincos(a)
			d := Point{base.X*cos - base.Y*sin, base.X*sin + base.Y*cos}
			if st, w := chord(mid, d); w < best-1e-9 {
				best, dir = w, d
				_ = st
			}
		}
		if math.IsInf(best, 1) {
			return nil
		}
		// Centre.
		if st, w := chord(mid, dir); !math.IsInf(w, 1) {
			mid = along(mid, normal(dir), math.Max(-2, math.Min(2, st.shift)))
		}
		// Shift along the line, not beyond the course.
		at := mid
		_, best = chord(mid, dir)
		for t := -2.0; t <= 2; t += step {
			p := along(mid, dir, t)
			if off := (p.X-start.X)*dir.X + (p.Y-start.Y)*dir.Y; math.Abs(off) > reachAlong {
				continue
			}
			if _, w := chord(p, dir); w < best-0.02 {
				best, at = w, p
			}
		}
		mid = at
		half /= 2.5
	}
	if math.IsInf(best, 1) {
		return nil
	}
	half := int(math.Ceil((length/2 + 1) / step))
	far := half + int(support/step)
	k := &strand{step: step, length: length, lo: far - half, hi: far + half + 1}
	for i := -far; i <= far; i++ {
		k.p = append(k.p, along(mid, dir, float64(i)*step))
		k.dir = append(k.dir, dir)
	}
	st := m.stations(k.p, k.dir)
	m.setReach(st)
	k.st = m.stations(k.p, k.dir)
	return k
}
