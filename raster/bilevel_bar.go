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
// whose first axis is the one the mark runs along: columns c0, c0+1, ...; top[i]
// and low[i] are the boundaries' coordinates on the second axis, top < low.
type edgeTrace struct {
	c0       int
	top, low []float64
	here     int // index of the column of the station
}

// barAt returns the width of the longest straight bar round station at, and its
// deviation; false when none as long as shortest is found.
func (m *measurer) barAt(k *strand, at int, shortest float64) (width, sd float64, ok bool) {
	p, d := k.p[at], k.dir[at]
	swap := math.Abs(d.Y) > math.Abs(d.X)
	cos := math.Max(math.Abs(d.X), math.Abs(d.Y))
	// Only the part that counts: not the ends of the shape.
	back, ahead := float64(at-k.lo)*k.step, float64(k.hi-1-at)*k.step
	if k.closed {
		back, ahead = k.length/2, k.length/2
	}
	along := d.X
	if swap {
		along = d.Y
	}
	// On a slope the same column meets one side farther along the mark than the
	// other.
	lean := k.st[at].width / 2 * math.Sqrt(1-cos*cos) / cos
	if k.tipLo {
		back -= lean
	}
	if k.tipHi {
		ahead -= lean
	}
	back, ahead = math.Max(0, back), math.Max(0, ahead)
	if along < 0 {
		back, ahead = ahead, back
	}
	e := m.f.trace(p, swap, int(math.Min(back, barMost/2)*cos), int(math.Min(ahead, barMost/2)*cos))
	if e == nil {
		return 0, 0, false
	}
	// The longest straight stretch round the station, found by halving: a
	// stretch of a straight bar is straight.
	n := len(e.top)
	around := func(reach int) (top, low []float64) {
		a, b := max(0, e.here-reach), min(n, e.here+reach+1)
		return e.top[a:b], e.low[a:b]
	}
	best := -1
	lo, hi := int(shortest/2*cos), n
	if isBar(around(hi)) {
		best, lo = hi, hi
	}
	for lo < hi {
		mid := (lo + hi) / 2
		if isBar(around(mid)) {
			best, lo = mid, mid+1
		} else {
			hi = mid
		}
	}
	if best < 0 {
		return 0, 0, false
	}
	fit, ok := fitBar(around(best))
	if !ok || float64(fit.n) < shortest*cos {
		return 0, 0, false
	}
	return fit.width, fit.sd, true
}

// straightHere returns the deviation of a bar too short to be believed as to its
// width: where such a short stretch shows no step it says how little is known.
// Only where the centre line keeps its direction.
func (m *measurer) straightHere(k *strand, at int, half float64) (width, sd float64, ok bool) {
	n := len(k.p)
	r := int(math.Min(half, barLeast/2) / k.step)
	a, b := max(0, at-r), min(n-1, at+r)
	if k.closed || k.dir[a].X*k.dir[b].X+k.dir[a].Y*k.dir[b].Y < 0.99 {
		return 0, 0, false
	}
	return m.barAt(k, at, 7)
}

// trace follows both boundaries from the column of p, before columns back and
// after columns on; nil when p is not inside.
func (s *sampler) trace(p Point, swap bool, before, after int) *edgeTrace {
	in := func(c, r int) bool {
		if swap {
			return s.in(r, c)
		}
		return s.in(c, r)
	}
	c, r := int(math.Floor(p.X)), int(math.Floor(p.Y))
	if swap {
		c, r = r, c
	}
	if !in(c, r) {
		switch {
		case in(c, r-1):
			r--
		case in(c, r+1):
			r++
		default:
			return nil
		}
	}
	top, low := r, r
	const most = 4096
	for in(c, top-1) && r-top < most {
		top--
	}
	for in(c, low+1) && low-r < most {
		low++
	}
	walk := func(step, count int) (tops, lows []float64) {
		t, l := top, low
		for i := 1; i <= count; i++ {
			x := c + i*step
			var okT, okL bool
			t, okT = edgeStep(in, x, t, -1)
			l, okL = edgeStep(in, x, l, 1)
			if !okT || !okL || t > l {
				break
			}
			tops, lows = append(tops, float64(t)), append(lows, float64(l+1))
		}
		return tops, lows
	}
	bt, bl := walk(-1, before)
	at, al := walk(1, after)
	n := len(bt)
	e := &edgeTrace{c0: c - n, here: n}
	for i := n - 1; i >= 0; i-- {
		e.top, e.low = append(e.top, bt[i]), append(e.low, bl[i])
	}
	e.top, e.low = append(e.top, float64(top)), append(e.low, float64(low+1))
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
}

// fitBar fits a bar to the boundaries top and low of consecutive columns; false
// when no straight bar gives them.
func fitBar(top, low []float64) (barFit, bool) {
	n := len(top)
	if n < 3 {
		return barFit{}, false
	}
	sides := newSlabs(top, low)
	room := sides.room
	peak := sides.peak(false)
	if room(peak) <= 0 {
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
	m0, m1 := edge(-1.3), edge(1.3)
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
	mean := sw / sum
	return barFit{n: n, width: mean, sd: math.Sqrt(math.Max(0, sww/sum-mean*mean) + sv/sum)}, true
}

// isBar reports whether a straight bar gives the boundaries top and low.
func isBar(top, low []float64) bool {
	if len(top) < 3 {
		return false
	}
	sides := newSlabs(top, low)
	return sides.room(sides.peak(true)) > 0
}

// slabs are the boundaries of both sides of a bar.
type slabs [2]slab

func newSlabs(top, low []float64) slabs {
	mid := float64(len(top)-1) / 2
	return slabs{newSlab(top, mid), newSlab(low, mid)}
}

// room is how long the shorter interval of offsets is that slope m leaves.
func (s *slabs) room(m float64) float64 { return min(s[0].room(m), s[1].room(m)) }

// peak returns the slope that leaves most room, which is concave in it; any that
// leaves some when that is enough.
func (s *slabs) peak(any bool) float64 {
	a, b := -1.3, 1.3
	for i := 0; i < 60 && b-a > 1e-7; i++ {
		x, y := a+(b-a)/3, b-(b-a)/3
		rx, ry := s.room(x), s.room(y)
		if any && (rx > 0 || ry > 0) {
			if rx > 0 {
				return x
			}
			return y
		}
		if rx < ry {
			a = x
		} else {
			b = y
		}
	}
	return (a + b) / 2
}

// slab holds the corners of the convex hull of a boundary's points: for any
// slope only they bound the offset.
type slab struct{ upper, lower []Point }

func newSlab(v []float64, mid float64) slab {
	var s slab
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

// offset returns how long the interval of offsets is that slope m leaves, and
// its middle.
func (s slab) offset(m float64) (long, middle float64) {
	high, low := math.Inf(-1), math.Inf(1)
	for _, p := range s.upper {
		if v := p.Y - m*p.X; v > high {
			high = v
		}
	}
	for _, p := range s.lower {
		if v := p.Y - m*p.X; v < low {
			low = v
		}
	}
	return 1 - (high - low), (high + low) / 2
}

func (s slab) room(m float64) float64 {
	g, _ := s.offset(m)
	return g
}
