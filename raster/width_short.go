package raster

import "math"

// shortStrand handles a course too short to tell its own direction: a waist
// between two corners. The direction is that of the shortest chord through the
// place, the place that along the part where that chord is shortest, turn and
// turn about; the centre line is straight across it. A tight course tells its
// direction by its ends, and is not left: beside a corner the shortest chord
// of all would run across the corner. Nor is the shape left where it ends.
func (m *measurer) shortStrand(pts []Point, length float64, c Course) *strand {
	first, last := pts[0], pts[len(pts)-1]
	if c.Tight {
		mid := Point{(first.X + last.X) / 2, (first.Y + last.Y) / 2}
		k := m.across(mid, unit(Point{last.X - first.X, last.Y - first.Y}), 45, length-3, Course{})
		if k != nil {
			k.length = length
		}
		return k
	}
	hint := unit(Point{last.X - first.X, last.Y - first.Y})
	spread := 50.0
	if length < 2.5 {
		spread = 90
	}
	if hint == (Point{}) {
		hint = Point{1, 0}
	}
	k := m.across(pts[len(pts)/2], hint, spread, length, c)
	if k != nil && !m.bilevel && !c.TipStart && !c.TipEnd { // (the stair of whole pixels wants all it can get)
		k.within(first, last)
	}
	return k
}

// beyondEnds is how far beyond the ends of a short course its stations count, in pixels:
// there a disc of the limit fits, and where the shape ends behind it is no width.
const beyondEnds = 0.5

// within makes only those stations of a straight strand count that lie between two places
// along it, or beyondEnds beyond them, if there are any.
func (k *strand) within(a, b Point) {
	d := k.dir[0]
	s, e := a.X*d.X+a.Y*d.Y, b.X*d.X+b.Y*d.Y
	s, e = min(s, e)-beyondEnds, max(s, e)+beyondEnds
	lo, hi := k.lo, k.hi
	at := func(i int) float64 { return k.p[i].X*d.X + k.p[i].Y*d.Y }
	for lo < hi && at(lo) < s {
		lo++
	}
	for hi > lo && at(hi-1) > e {
		hi--
	}
	if lo < hi {
		k.lo, k.hi = lo, hi
	}
}

// tipClear is how far from where the shape ends a section of a short course stays, in
// pixels: nearer, blur mixes the end with it.
const tipClear = 1.0

// clearOfEnds reports whether the ends of c, towards which dir and its opposite lead, lie
// tipClear off p or farther.
func (m *measurer) clearOfEnds(p, dir Point, c Course) bool {
	inside := func(t float64) bool {
		q := along(p, dir, t)
		return m.f.at(q.X, q.Y) >= 0.5
	}
	return (!c.TipStart || inside(-tipClear/2) && inside(-tipClear)) && (!c.TipEnd || inside(tipClear/2) && inside(tipClear))
}

// across looks for the shortest chord near mid, its normal within spread
// degrees of hint, along the line not farther away than the course's length
// allows, and returns a straight strand across it. Of ends, the tips count, towards
// which hint and its opposite lead.
func (m *measurer) across(mid, hint Point, spread, length float64, ends Course) *strand {
	step := curveStep
	reachAlong := length/2 + 1.5
	dir, best := hint, math.Inf(1)
	inside := m.f.at(mid.X, mid.Y) >= 0.5
	if inside && ends.TipStart != ends.TipEnd { // back from the end
		back := -step
		if ends.TipStart {
			back = step
		}
		for t := back; math.Abs(t) <= length/2 && !m.clearOfEnds(mid, hint, ends); t += back {
			if p := along(mid, hint, t); m.f.at(p.X, p.Y) >= 0.5 && m.clearOfEnds(p, hint, ends) {
				mid = p
			}
		}
	}
	start := mid
	tips := inside && (ends.TipStart || ends.TipEnd) && m.clearOfEnds(mid, hint, ends)
	// Those over most need not be measured to the end.
	chord := func(p, d Point, most float64) (station, float64) {
		if inside && m.f.at(p.X, p.Y) < 0.5 {
			return station{}, math.Inf(1) // the strand has left the shape
		}
		st := m.f.stationUnder(p, normal(d), m.limit, m.reach, most)
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
		_, most := chord(mid, base, best)
		most = min(most, best) + 1e-6 // what is wider is not the shortest
		for i := -turns; i <= turns; i++ {
			a := half * math.Pi / 180 * float64(i) / float64(turns)
			sin, cos := math.Sincos(a)
			d := Point{base.X*cos - base.Y*sin, base.X*sin + base.Y*cos}
			if _, w := chord(mid, d, most); w < best-1e-9 {
				best, dir = w, d
			}
		}
		if math.IsInf(best, 1) {
			return nil
		}
		// Centre.
		if st, w := chord(mid, dir, math.Inf(1)); !math.IsInf(w, 1) {
			mid = along(mid, normal(dir), max(-2, min(2, st.shift)))
		}
		// Shift along the line, not beyond the course.
		at := mid
		_, best = chord(mid, dir, math.Inf(1))
		for t := -2.0; t <= 2; t += step {
			p := along(mid, dir, t)
			if off := (p.X-start.X)*dir.X + (p.Y-start.Y)*dir.Y; math.Abs(off) > reachAlong || tips && !m.clearOfEnds(p, dir, ends) {
				continue
			}
			if _, w := chord(p, dir, best); w < best-0.02 {
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
	k := &strand{step: step, length: length, straight: true, lo: far - half, hi: far + half + 1}
	k.p, k.dir = m.scratch.ofPoints(2*far + 1)[:0], m.scratch.ofPoints(2*far + 1)[:0]
	for i := -far; i <= far; i++ {
		k.p = append(k.p, along(mid, dir, float64(i)*step))
		k.dir = append(k.dir, dir)
	}
	if tips {
		m.cutTips(k, dir, ends)
	}
	st := m.stations(k.p, k.dir)
	m.setReach(st)
	k.st = m.stations(k.p, k.dir)
	return k
}

// cutTips cuts a straight strand where the shape ends, tipClear short of it.
func (m *measurer) cutTips(k *strand, dir Point, ends Course) {
	mid := (k.lo + k.hi) / 2
	lo, hi := 0, len(k.p)
	clear := func(i int, c Course) bool { return m.clearOfEnds(k.p[i], dir, c) }
	if ends.TipStart {
		for lo = mid; lo > 0 && clear(lo-1, Course{TipStart: true}); {
			lo--
		}
	}
	if ends.TipEnd {
		for hi = mid + 1; hi < len(k.p) && clear(hi, Course{TipEnd: true}); {
			hi++
		}
	}
	k.p, k.dir = k.p[lo:hi], k.dir[lo:hi]
	k.lo, k.hi = max(0, k.lo-lo), min(len(k.p), k.hi-lo)
	k.cut = true
}

// chordAlong is shortestChord, or what it found before.
func (m *measurer) chordAlong(k *strand, most float64) (chord float64, at, dir Point) {
	if m.line == nil || k.straight {
		return m.shortestChord(k, most)
	}
	if s, ok := m.line.chord.under(most, 2*m.limit); ok {
		return s.chord, s.at, s.dir
	}
	chord, at, dir = m.shortestChord(k, most)
	m.line.chord = chordSeen{true, min(most, 2*m.limit), chord, at, dir}
	return chord, at, dir
}

// shortestChord looks along the line, once a pixel, for the shortest chord
// within 60 degrees of its normal, between half crossings; infinite when none is
// under most.
func (m *measurer) shortestChord(k *strand, most float64) (chord float64, at, dir Point) {
	chord = most
	found := false
	lo, hi := k.lo, k.hi
	if k.tipLo { // a chord across the corner of an end says nothing
		lo += int(4 / k.step)
	}
	if k.tipHi {
		hi -= int(4 / k.step)
	}
	stride := max(1, int(1/k.step))
	for i := lo; i < hi; i += stride {
		p, d := k.p[i], k.dir[i]
		o := m.f.origin(p)
		if o.cover < 0.5 {
			p = along(p, normal(d), m.f.onRidge(p, normal(d)))
			if o = m.f.origin(p); o.cover < 0.5 {
				continue
			}
		}
		for _, u := range chordTurns {
			v := Point{d.X*u.X - d.Y*u.Y, d.X*u.Y + d.Y*u.X}
			if c := m.f.chord(&o, normal(v), min(chord, 2*m.limit)); c < chord && !(m.bilevel && m.f.oneEdge(p, normal(v), c)) {
				chord, at, dir, found = c, p, v, true
			}
		}
	}
	if !found {
		return math.Inf(1), at, dir
	}
	return chord, at, dir
}

// chordTurns are the turns from -60 to 60 degrees, each as its cosine and sine.
var chordTurns = func() (list []Point) {
	for a := -60.0; a <= 60; a += 15 {
		sin, cos := math.Sincos(a * math.Pi / 180)
		list = append(list, Point{cos, sin})
	}
	return list
}()

// chordStride is the step in which chord looks for a crossing, in pixels.
const chordStride = 0.5

// chord returns the distance between the half crossings on both sides of o
// along n, or infinity where it is more than most.
func (s *sampler) chord(o *origin, n Point, most float64) float64 {
	const stride = chordStride
	p, total, inside := o.Point, 0.0, o.steps(stride)
	for side := 1.0; side >= -1; side -= 2 {
		v := Point{side * n.X, side * n.Y}
		prev := o.cover
		for k := 1 + int(o.clear/stride); ; k++ {
			t := float64(k) * stride
			if prev == 1 && s.whole != nil && !s.noting {
				k += s.whole.steps(p.X+v.X*t+float64(s.winX), p.Y+v.Y*t+float64(s.winY), v, stride)
				t = float64(k) * stride
			}
			if total+t-stride > most {
				s.reads(p.X+v.X*t, p.Y+v.Y*t)
				return math.Inf(1)
			}
			var c float64
			if k <= inside { // at, in place
				c = inPlace(s.win, s.winW, s.start(), p.X+v.X*t-0.5, p.Y+v.Y*t-0.5)
			} else {
				c = s.at(p.X+v.X*t, p.Y+v.Y*t)
			}
			if c < 0.5 {
				s.reads(p.X+v.X*t, p.Y+v.Y*t)
				total += t - stride + stride*(prev-0.5)/(prev-c)
				break
			}
			prev = c
		}
	}
	return total
}
