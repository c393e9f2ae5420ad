package raster

import "math"

// A waist shorter than the pixels' own blur, two corners facing or a short bar
// between blocks, has no stretch to average. What it measures is read from the
// course of the widths on both sides, in single stations of a straight strand
// across it.

// waistShares lists, for a waist of the form sqrt(s*s + c*c) under a blur of
// half a pixel (c from 0, two corners, to large, a parabola), how far its
// bottom lies above the crossing of the straight lines through its sides at 1
// to 3 px, and how much of that the blur has added; both over the slope of the
// sides. Derived by integrating the definition.
var waistShares = [...]struct{ above, added float64 }{
	{0.40, 0.40}, {0.45, 0.23}, {0.57, 0.18}, {0.745, 0.126}, {0.915, 0.086}, {1.06, 0.0625},
}

// brief is taken off where the shape ends so close on both sides of a waist that there is
// no course to read: half of what the blur adds to two corners of a square.
const brief = 0.4

// waist measures the bottom of the waist near station i of a straight strand.
// The true width lies between the bottom of the stations' widths and what two
// corners would have lost, and plus or minus says so.
func (m *measurer) waist(raw []float64, k *strand, i int) Profile {
	value := func(s float64) float64 {
		x := float64(i) + s/k.step
		j := int(math.Floor(x))
		if j < 0 || j+1 >= len(raw) {
			return math.NaN()
		}
		u := x - float64(j)
		return raw[j]*(1-u) + raw[j+1]*u
	}
	far := 3.0 // as far as there are walls on both sides
	for far > 1.5 && math.IsNaN(value(-far)+value(far)) {
		far -= 0.5
	}
	side := func(sign float64) (at2, slope float64) { // least squares over 1, 1.5 .. far px
		var c, x, y, xx, xy float64
		for d := 1.0; d <= far; d += 0.5 {
			v := value(sign * d)
			c, x, y, xx, xy = c+1, x+d, y+v, xx+d*d, xy+d*v
		}
		slope = (c*xy - x*y) / (c*xx - x*x)
		return (y-slope*x)/c + 2*slope, slope
	}
	for j, end := max(0, i-2), min(len(raw)-1, i+2); j <= end; j++ {
		if raw[j] < raw[i] { // the bottom itself, not the least average
			i = j
		}
	}
	bottom := raw[i]
	if math.IsNaN(bottom) {
		return Profile{}
	}
	p := Profile{Width: bottom, PlusMinus: 0.5, At: k.p[i], Across: normal(k.dir[i]), Length: k.length, Sections: k.sections(raw)}
	l2, ls := side(-1)
	r2, rs := side(1)
	if p, ok := m.mouth(raw, k, i); ok {
		return p
	}
	if math.IsNaN(l2) && math.IsNaN(r2) {
		p.Width = max(0, bottom-brief)
		return p
	}
	if math.IsNaN(l2) || math.IsNaN(r2) || ls < 0.3 || rs < 0.3 {
		return p
	}
	// Between the walls of a short neck the width jumps and then grows no more:
	// at 3 px it is less than twice what it is at 1. Two corners facing grow
	// 4.2 times, all rounder waists more, and as much from 2 to 3 as from 1 to 2.
	r := func(d float64) float64 { return (value(-d)+value(d))/2 - bottom }
	open := (r(far)/r(1) - 0.2 - 0.6*far) / 0.6
	if far == 3 {
		open = min((r(3)/r(1)-2.4)/1.2, ((r(3)-r(2))/(r(2)-r(1))-0.6)/0.3)
	}
	open = min(1, max(0, open))
	// Where the two lines cross: l2 - ls*(x+2) = r2 + rs*(x-2), x from i.
	shift := (l2 - 2*ls - r2 + 2*rs) / (ls + rs)
	if math.Abs(shift) > 1 {
		return p
	}
	cross := r2 + rs*(shift-2)
	slope := (ls + rs) / 2
	// The bottom between stations, by the parabola through three.
	a, c := value(-k.step), value(k.step)
	if curve := a + c - 2*bottom; curve > 0 {
		bottom -= open * min(0.2, (a-c)*(a-c)/(8*curve))
	}
	added := slope * waistShare((bottom-cross)/slope)
	flat := flatBottom(raw, k, i, 0)
	added = open * max(0, min(added, flat))
	p.Width = bottom - added
	p.PlusMinus = 0.12 + 0.45*(1-open) + 1.1*max(added, open*min(0.4*slope, flat+0.1)-added)
	p.At = along(p.At, k.dir[i], shift*open)
	return p
}

// mouth measures a neck at station i that a wall ends, or that opens there.
func (m *measurer) mouth(raw []float64, k *strand, i int) (p Profile, ok bool) {
	w, off, ok := m.atWall(raw, k, i)
	if !ok {
		return p, false
	}
	doubt := wallDoubt
	if m.bilevel {
		doubt += stairDoubt
	}
	// A corner rounded by half a pixel looks like a sharp one, and the gap between two is
	// wider by three quarters of its slope: plus and minus tells that, up to a pixel.
	p = Profile{Width: w, PlusMinus: min(off-w, 1) + doubt, At: k.p[i], Across: normal(k.dir[i]), Length: k.length, Sections: k.sections(raw), wall: true}
	if !m.f.film {
		p.Width, p.PlusMinus, p.wall = off, off-w+doubt+inkDoubt, false
	}
	return p, true
}

func waistShare(above float64) float64 {
	t := waistShares[:]
	if above <= t[0].above {
		return t[0].added
	}
	for i := 1; i < len(t); i++ {
		if a, b := t[i-1], t[i]; above <= b.above {
			return a.added + (b.added-a.added)*(above-a.above)/(b.above-a.above)
		}
	}
	return t[len(t)-1].added
}
