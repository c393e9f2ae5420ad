package raster

import "math"

// Straight bars in bilevel pixels. A straight edge y = a + m x, |m| <= 1, sets
// exactly the pixels whose centre lies inside (a pixel half covered by a half
// plane is one whose centre is). So in every column the edge runs within half a
// pixel of the boundary between the last pixel inside and the first one outside,
// and all bars that give these pixels are known: for each slope m an interval of
// offsets for each side. The width returned is the mean over them all, every
// slope and offset alike likely; the deviation likewise. No estimate can do
// better, and along an axis or a diagonal, where a whole stretch shows no step,
// the interval is a full pixel a side and the deviation says so.

// barLeast is the shortest stretch, in pixels along the mark, that may count as
// straight: a disc looks straight over 8 px and would read 0.4 wide.
const (
	barLeast = 20.0
	barMost  = 200.0
)

// edgeTrace holds the boundary of both sides of a mark, column by column, in a frame
// whose first axis is the one the mark runs along. The two sides start at columns
// of their own, so that top[i] and low[i] face each other across the mark: near an
// end one column meets only one side of a slanted mark. top[i] and low[i] are
// the boundaries' coordinates on the second axis, top < low.
type edgeTrace struct {
	swap     bool // the first axis is y
	c0       int  // column of top[0]
	shift    int  // how many columns on low[0] lies
	top, low []float64
	here     int // index of the station
	// Whether the boundary went on as far as it was asked for, before and after.
	openLo, openHi bool
	lent           *scratch
}

// barAt fits the longest straight bar round station at; false when none as long
// as shortest is found.
func (m *measurer) barAt(k *strand, at int, shortest float64) (barFit, bool) {
	p, d := k.p[at], k.dir[at]
	cos := max(math.Abs(d.X), math.Abs(d.Y))
	// Not the ends of the shape. Where it only runs on into something else, the
	// straight stretch may go on beyond the course: its boundary says how far,
	// within the window that the course is measured in.
	back, ahead := float64(at-k.lo)*k.step, float64(k.hi-1-at)*k.step
	if !k.tipLo {
		back += m.safe + support
	}
	if !k.tipHi {
		ahead += m.safe + support
	}
	back, ahead = min(back, barMost/2), min(ahead, barMost/2)
	if k.closed {
		back, ahead = min(back, k.length/2), min(ahead, k.length/2)
	}
	if d.X < 0 && cos == -d.X || d.Y < 0 && cos == -d.Y {
		back, ahead = ahead, back
	}
	e := m.f.trace(m.scratch, p, d, int(back*cos), int(ahead*cos))
	if e == nil {
		return barFit{}, false
	}
	best, found := e.longest()
	best.long = float64(best.n) / cos
	return best, found && best.long >= shortest
}

// cornerBlunt is how many columns to leave out where a straight stretch ends: the
// corner there has lost a pixel, which would pass for a step.
const cornerBlunt = 2

// bendShare is the share of a straight stretch to leave out at an end where the
// boundary goes on but bends: of a curve the longest stretch that just passes for
// straight leaves one bar almost alone, and its deviation says nothing.
const bendShare = 4

// longest returns the fit to the longest straight stretch that reaches equally
// far to both sides of the station, carried on to either side; found by halving,
// for a stretch of a straight bar is straight.
func (e *edgeTrace) longest() (barFit, bool) {
	n := len(e.top)
	a, b := e.here, e.here+1
	// grow takes the longest of the stretches that more gives for 1 to most.
	grow := func(most int, more func(by int) (a, b int)) {
		lo, hi := 0, most
		for by := hi; lo < hi; by = (lo + hi + 1) / 2 {
			x, y := more(by)
			if isBar(e.lent, e.top[x:y], e.low[x:y], e.shift) {
				lo = by
			} else {
				hi = by - 1
			}
		}
		a, b = more(lo)
	}
	from, to := e.here, e.here
	grow(max(e.here, n-1-e.here), func(by int) (int, int) { return max(0, from-by), min(n, to+by+1) })
	from, to = a, b
	grow(n-to, func(by int) (int, int) { return from, to + by })
	from, to = a, b
	grow(from, func(by int) (int, int) { return from - by, to })
	// cut is what to leave out at an end.
	cut := func(bent, open bool) int {
		switch {
		case bent:
			return max(cornerBlunt, (b-a)/bendShare)
		case !open:
			return cornerBlunt
		}
		return 0
	}
	lo, hi := cut(a > 0, e.openLo), cut(b < n, e.openHi)
	a, b = min(a+lo, e.here), max(b-hi, e.here+1)
	return fitBar(e.lent, e.top[a:b], e.low[a:b], e.shift)
}

// straightHere returns the deviation of a bar too short to be believed as to its
// width: where such a short stretch shows no step it says how little is known.
// Only where the centre line keeps its direction.
func (m *measurer) straightHere(k *strand, at int, half float64) (barFit, bool) {
	n := len(k.p)
	r := int(min(half, barLeast/2) / k.step)
	a, b := max(0, at-r), min(n-1, at+r)
	if k.closed || k.dir[a].X*k.dir[b].X+k.dir[a].Y*k.dir[b].Y < 0.99 {
		return barFit{}, false
	}
	return m.barAt(k, at, 7)
}

// footReach is how far from a mark's middle its edges are looked for, in pixels.
const footReach = 4096

// footStairs is how many rows beyond the last pixel inside along the
// cross-section its column may reach: one or two on a straight edge.
const footStairs = 4

// trace follows both boundaries from the two feet of the cross-section at p, of a
// mark that runs along d, before columns back and after columns on; nil when p is not inside.
func (s *sampler) trace(lent *scratch, p, d Point, before, after int) *edgeTrace {
	swap := math.Abs(d.Y) > math.Abs(d.X)
	if swap {
		p, d = Point{p.Y, p.X}, Point{d.Y, d.X}
	}
	in := func(c, r int) bool {
		if swap {
			return s.in(r, c)
		}
		return s.in(c, r)
	}
	n := normal(d)
	if n.Y > 0 {
		n = Point{-n.X, -n.Y}
	}
	start := math.NaN()
	for _, t := range [...]float64{0, 0.5, -0.5, 1, -1} {
		if in(int(math.Floor(p.X+t*n.X)), int(math.Floor(p.Y+t*n.Y))) {
			start = t
			break
		}
	}
	if math.IsNaN(start) {
		return nil
	}
	// foot returns the last pixel inside on one side.
	foot := func(sign int) (c, r int, ok bool) {
		for t := 0.0; t < footReach; t += rayStep {
			u := start + float64(sign)*t
			x, y := int(math.Floor(p.X+u*n.X)), int(math.Floor(p.Y+u*n.Y))
			if !in(x, y) {
				break
			}
			c, r = x, y
		}
		for range footStairs {
			if !in(c, r-sign) {
				return c, r, true
			}
			r -= sign
		}
		return 0, 0, false
	}
	ct, t0, okT := foot(1)
	cl, l0, okL := foot(-1)
	if !okT || !okL {
		return nil
	}
	walk := func(step, count int) (tops, lows []float64) {
		t, l := t0, l0
		tops, lows = lent.ofFloats(count)[:0], lent.ofFloats(count)[:0]
		for i := 1; i <= count; i++ {
			var okT, okL bool
			t, okT = edgeStep(in, ct+i*step, t, -1)
			l, okL = edgeStep(in, cl+i*step, l, 1)
			if !okT || !okL || t > l && ct == cl {
				break
			}
			tops, lows = append(tops, float64(t)), append(lows, float64(l+1))
		}
		return tops, lows
	}
	bt, bl := walk(-1, before)
	at, al := walk(1, after)
	k := len(bt)
	e := &edgeTrace{swap: swap, c0: ct - k, shift: cl - ct, here: k, openLo: k == before, openHi: len(at) == after, lent: lent}
	e.top, e.low = lent.ofFloats(k + 1 + len(at))[:0], lent.ofFloats(k + 1 + len(at))[:0]
	for i := k - 1; i >= 0; i-- {
		e.top, e.low = append(e.top, bt[i]), append(e.low, bl[i])
	}
	e.top, e.low = append(e.top, float64(t0)), append(e.low, float64(l0+1))
	e.top, e.low = append(e.top, at...), append(e.low, al...)
	return e
}

// edgeStep returns the last pixel inside in column x next to row r, which was
// the last inside in the column before; outward is the way out. A boundary that
// jumps by more than two rows is no edge along this axis.
func edgeStep(in func(c, r int) bool, x, r, outward int) (int, bool) {
	if in(x, r) {
		for i := 0; i <= 2; i++ {
			if !in(x, r+outward) {
				return r, true
			}
			r += outward
		}
		return r, false
	}
	for i := 0; i < 2; i++ {
		r -= outward
		if in(x, r) {
			return r, true
		}
	}
	return r, false
}

// barFit is the mean and deviation of the widths of all straight bars that give
// n columns of pixels.
type barFit struct {
	n         int
	width, sd float64
	most      float64 // how far the width of any of them lies from the mean
	long      float64 // the stretch, pixels along the mark
}

// plusMinus is the uncertainty of the width in pixels. Few steps make the
// widths of the possible bars nearly as likely at the ends of their range as in
// its middle: there a share of the range counts. Bars up to a degree off an axis,
// 22 px long, then lie outside once in 1000, with the deviation alone 42 times.
func (b barFit) plusMinus() float64 { return max(2.1*b.sd+0.03, 0.95*b.most) }

// fitBar fits a bar to the boundaries top and low of consecutive columns, those
// of low shift columns on; false when no straight bar gives them.
func fitBar(lent *scratch, top, low []float64, shift int) (barFit, bool) {
	n := len(top)
	if n < 3 {
		return barFit{}, false
	}
	sides := newSlabs(lent, top, low, shift)
	room := func(m float64) float64 {
		r, _ := sides.room(m)
		return r
	}
	peak, left := sides.peak(false)
	if left <= 0 {
		return barFit{}, false
	}
	edge := func(out float64) float64 {
		in := peak
		for i := 0; i < 30; i++ {
			x := (in + out) / 2
			if room(x) > 0 {
				in = x
			} else {
				out = x
			}
		}
		return in
	}
	m0, m1 := edge(-steepest), edge(steepest)
	// A stretch without a step was most likely drawn along the axis or diagonal.
	for _, m := range [...]float64{0, 1, -1} {
		if m >= m0 && m <= m1 && room(m) >= 0.9 {
			cos := 1 / math.Sqrt(1+m*m)
			_, t := sides[0].offset(m)
			_, l := sides[1].offset(m)
			return barFit{n: n, width: (l - t) * cos, sd: 0.85 * cos / 2.1}, true
		}
	}
	const slopes = 33
	var sum, sw, sww, sv float64
	for i := 0; i < slopes; i++ {
		m := m0 + (m1-m0)*(float64(i)+0.5)/slopes
		g1, t := sides[0].offset(m)
		g2, l := sides[1].offset(m)
		if g1 <= 0 || g2 <= 0 {
			continue
		}
		cos2 := 1 / (1 + m*m)
		weight := g1 * g2 * cos2
		w := (l - t) * math.Sqrt(cos2)
		sum += weight
		sw += weight * w
		sww += weight * w * w
		sv += weight * (g1*g1 + g2*g2) / 12 * cos2
	}
	if sum <= 0 {
		return barFit{}, false
	}
	mean, most := sw/sum, 0.0
	for i := 0; i <= slopes; i++ {
		m := m0 + (m1-m0)*float64(i)/slopes
		g1, t := sides[0].offset(m)
		g2, l := sides[1].offset(m)
		cos := 1 / math.Sqrt(1+m*m)
		most = max(most, math.Abs((l-t)*cos-mean)+(max(0, g1)+max(0, g2))/2*cos)
	}
	return barFit{n: n, width: mean, most: most, sd: math.Sqrt(max(0, sww/sum-mean*mean) + sv/sum)}, true
}

// isBar reports whether a straight bar gives the boundaries top and low.
func isBar(lent *scratch, top, low []float64, shift int) bool {
	if len(top) < 3 {
		return false
	}
	sides := newSlabs(lent, top, low, shift)
	_, room := sides.peak(true)
	return room > 0
}

// slabs are the boundaries of both sides of a bar.
type slabs [2]slab

func newSlabs(lent *scratch, top, low []float64, shift int) slabs {
	mid := float64(len(top)-1) / 2
	return slabs{newSlab(lent, top, mid), newSlab(lent, low, mid-float64(shift))}
}

// room is how long the shorter interval of offsets is that slope m leaves, and by
// how much that grows with m.
func (s *slabs) room(m float64) (room, growth float64) {
	room, growth = s[0].room(m)
	if r, g := s[1].room(m); r < room {
		return r, g
	}
	return room, growth
}

// steepest is the steepest slope that is looked at: the frame's first axis is the
// one that the mark runs along, to within what its direction is uncertain by.
const steepest = 1.3

// peak returns the slope that leaves most room, and the room; any that leaves
// some when that is enough, and none, 0, when there is no more to be had. Room is
// concave in the slope and made of straight pieces, so it lies under any two of
// its tangents, and where those of a rising and a falling place cross is the next
// place to look (J. E. Kelley, The cutting-plane method, J. SIAM 8 (1960) 703):
// after a few the tangents meet on the peak itself.
func (s *slabs) peak(any bool) (m, room float64) {
	a, b := -steepest, steepest
	ra, ga := s.room(a)
	rb, gb := s.room(b)
	if ga <= 0 || any && ra > 0 {
		return a, ra
	}
	if gb >= 0 || any && rb > 0 {
		return b, rb
	}
	for range 100 {
		m = (rb - ra + ga*a - gb*b) / (ga - gb)
		most := ra + ga*(m-a)
		if any && most <= 0 {
			return m, 0
		}
		var growth float64
		room, growth = s.room(m)
		switch {
		case room >= most-1e-12 || any && room > 0:
			return m, room
		case growth > 0:
			a, ra, ga = m, room, growth
		case growth < 0:
			b, rb, gb = m, room, growth
		default:
			return m, room
		}
	}
	return m, room
}

// slab holds the corners of the convex hull of a boundary's points: for any
// slope only they bound the offset.
type slab struct{ upper, lower []Point }

func newSlab(lent *scratch, v []float64, mid float64) slab {
	lists := lent.ofPoints(32)
	s := slab{lists[:0:16], lists[16:16:32]}
	for i, y := range v {
		p := Point{float64(i) - mid, y}
		s.upper = hullPush(s.upper, p, 1)
		s.lower = hullPush(s.lower, p, -1)
	}
	return s
}

func hullPush(h []Point, p Point, sign float64) []Point {
	for len(h) >= 2 {
		a, b := h[len(h)-2], h[len(h)-1]
		if sign*((b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X)) < 0 {
			break
		}
		h = h[:len(h)-1]
	}
	return append(h, p)
}

// bounds returns the corners that bound the offset of slope m, from below and
// from above.
func (s slab) bounds(m float64) (low, high Point) {
	least, most := math.Inf(-1), math.Inf(1)
	for _, p := range s.upper {
		if v := p.Y - m*p.X; v > least {
			least, low = v, p
		}
	}
	for _, p := range s.lower {
		if v := p.Y - m*p.X; v < most {
			most, high = v, p
		}
	}
	return low, high
}

// offset returns how long the interval of offsets is that slope m leaves, and
// its middle.
func (s slab) offset(m float64) (long, middle float64) {
	p, q := s.bounds(m)
	low, high := p.Y-m*p.X, q.Y-m*q.X
	return 1 - (low - high), (low + high) / 2
}

// room is the length that offset gives, and by how much it grows with m.
func (s slab) room(m float64) (room, growth float64) {
	p, q := s.bounds(m)
	return 1 - ((p.Y - m*p.X) - (q.Y - m*q.X)), p.X - q.X
}
