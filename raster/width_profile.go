package raster

import (
	"math"
	"slices"
)

// sameWidth is how far, in pixels, the width may depart from a place's own
// while its neighbours still count as the same stretch. Waists of 2 to 10 px
// read 0.023 px rms at 0.5, 0.020 at 0.3, 0.025 at 0.2, where the noise of
// short windows begins to show.
const sameWidth = 0.3

// greyProfile averages the stations' widths and finds the least.
//
// Each place is averaged under a Hann window as wide as the stretch over which
// the width stays within sameWidth of its own, at most L + 1 for
// L = max(3 px, half the safe limit), at least over three stations. Below three
// pixels the noise of single stations (0.03 to 0.04 px rms) would show, as the
// least of many picks the tail.
func (m *measurer) greyProfile(k *strand) Profile {
	n := len(k.p)
	raw := m.widths(k)
	light := m.scratch.ofFloats(n) // three stations: enough to compare by
	var short, fit hannWindow
	for i := range light {
		light[i], _ = short.mean(raw, k.closed, i, 1/k.step)
	}
	wide := max(3, m.safe/2)/2 + 0.5
	average, half := m.scratch.ofFloats(n), m.scratch.ofFloats(n)
	for i := range average {
		average[i] = math.NaN()
		if math.IsNaN(light[i]) {
			continue
		}
		half[i] = sameStretch(light, k.closed, i, wide, k.step, sameWidth)
		average[i], _ = fit.mean(raw, k.closed, i, half[i]/k.step)
	}
	// At a tip the line has no neighbours to average with: the least is looked
	// for only where the window is whole, if that leaves anything.
	lo, hi := k.lo, k.hi
	if need := min(int(wide/k.step), max(int(2/k.step), (hi-lo)/4)); hi-lo > 2*need {
		if k.tipLo {
			lo += need
		}
		if k.tipHi {
			hi -= need
		}
	}
	blocked, blockedRoom := -1, 0.0 // of the places rejected, the narrowest by its pixels
	for {
		at, score := -1, 0.0
		for i := lo; i < hi; i++ {
			if math.IsNaN(average[i]) {
				continue
			}
			// A short window's noise must not win by being lucky.
			if s := average[i] + 2*ripple(half[i]); at < 0 || s < score {
				at, score = i, s
			}
		}
		if at < 0 {
			break
		}
		// The nearest clear centre may lie a pixel beyond the edge, and half a
		// pixel along it.
		if room := m.f.roomAt(k.p[at], average[at]); average[at] < room-1.2 {
			// No cross-section can be so much narrower than the disc around its
			// middle: something crossed the ray.
			average[at] = math.NaN()
			k.st[at].ok = false
			if blocked < 0 || room < blockedRoom {
				blocked, blockedRoom = at, room
			}
			continue
		}
		sharp := half[at] <= 1.25 || half[at] < 2.25 && walled(light, k, at, 3)
		if k.straight && sharp && !k.cut {
			return m.waist(raw, k, at)
		}
		mouth := m.f.film && !m.bilevel && !sharp && half[at] < 3 && leaps(raw, k, at)
		if k.straight && mouth {
			if p, ok := m.mouth(raw, k, at); ok {
				return p
			}
		}
		off := m.curvature(raw, k, at, half[at])
		// However the shape opens to its sides, blur adds no more than the slope
		// of two corners, and the place stays as wide as the pixels around it say.
		off = min(off, maxCurvature, max(0, average[at]-m.f.roomAt(k.p[at], average[at])))
		p := Profile{Width: average[at] - off, At: k.p[at], Across: normal(k.dir[at]), Length: k.length}
		p.PlusMinus = m.greyPlusMinus(k, at, off, half[at])
		p.Sections = k.sections(raw)
		k.sharp, k.mouth = sharp, mouth
		return p
	}
	if blocked < 0 {
		return Profile{}
	}
	// Coverage contradicts the pixels everywhere: a line in a tone just over half.
	// It is there all the same, as wide as the pixels say to within one of them.
	for i := k.lo; i < k.hi; i++ {
		k.st[i].ok = !math.IsNaN(raw[i])
	}
	return Profile{Width: blockedRoom, PlusMinus: 1, At: k.p[blocked], Across: normal(k.dir[blocked]), Length: k.length, Sections: k.sections(raw)}
}

// maxCurvature bounds what is taken off for curvature, in pixels: two corners of
// 90 degrees that face each other are raised by 1.0 under a pixel's blur and the
// shortest window (2 E|s| at a deviation of 0.62), sharper ones by more.
const maxCurvature = 1.2

// hann returns the mean of v round i under a Hann window of the given half
// width in samples, and how much of the window had values. NaN values are left
// out; a window that the ends cut is narrowed on both sides alike.
func hann(v []float64, closed bool, i int, half float64) (mean, share float64) {
	return new(hannWindow).mean(v, closed, i, half)
}

// hannWindow is hann with the weights of the last half width at hand, which is the
// same at one place after the other.
type hannWindow struct {
	half    float64
	weights []float64 // at 1, 2, .. samples from the middle
}

func (h *hannWindow) mean(v []float64, closed bool, i int, half float64) (mean, share float64) {
	n := len(v)
	if math.IsNaN(v[i]) {
		return math.NaN(), 0
	}
	if !closed {
		half = min(half, float64(min(i, n-1-i))+1)
	}
	if half != h.half {
		h.set(half)
	}
	sum, weight, all := v[i], 1.0, 1.0
	add := func(q int, w float64) {
		all += w
		if x := v[q]; x == x { // not NaN
			sum += w * x
			weight += w
		}
	}
	for j, w := range h.weights {
		a, b := i-j-1, i+j+1
		if closed {
			for a < 0 {
				a += n
			}
			for b >= n {
				b -= n
			}
		}
		if a >= 0 {
			add(a, w)
		}
		if b < n {
			add(b, w)
		}
	}
	return sum / weight, weight / all
}

// set works out the weights, by the recurrence of cos(j pi/half) for j = 0, 1, ..
func (h *hannWindow) set(half float64) {
	h.half, h.weights = half, slices.Grow(h.weights[:0], int(half))
	turn := 2 * math.Cos(math.Pi/half)
	before, here := turn/2, 1.0
	for range int(half) {
		before, here = here, turn*here-before
		h.weights = append(h.weights, 0.5+0.5*here)
	}
}

// sameStretch returns how far from i, up to wide pixels, v stays within same of
// v[i] on both sides; at least one pixel.
func sameStretch(v []float64, closed bool, i int, wide, step, same float64) float64 {
	n := len(v)
	for j := 1; float64(j)*step < wide; j++ {
		for _, q := range [2]int{i - j, i + j} {
			if closed {
				q = ((q % n) + n) % n
			} else if q < 0 || q >= n {
				return max(1, float64(j)*step)
			}
			if math.IsNaN(v[q]) || math.Abs(v[q]-v[i]) > same {
				return max(1, float64(j)*step)
			}
		}
	}
	return wide
}

// walled reports whether the width leaps by more than 5 px within the given
// distance of i: no waist wide enough to average does that in 3 px, but a short
// neck between blocks.
func walled(light []float64, k *strand, i int, within float64) bool {
	d := int(within / k.step)
	if i-d < 0 || i+d >= len(light) {
		return false
	}
	return min(light[i-d], light[i+d])-light[i] > 5
}

// leaps reports whether the width leaps by more than wallLeap close by i on one side
// alone: the gap between two strokes opens there.
func leaps(raw []float64, k *strand, i int) bool {
	d := int(2 / k.step)
	leap := func(sign int) bool {
		for j := 1; j <= d; j++ {
			q := i + sign*j
			if k.closed || q < 0 || q >= len(raw) {
				return false
			}
			if math.IsNaN(raw[q]) || raw[q]-raw[i] > wallLeap {
				return true
			}
		}
		return false
	}
	return leap(1) != leap(-1)
}

// curvature returns what averaging along the line added to the width at station
// i: the Hann window of the given half width and the pixels' own blur both
// average a waist's curve.
//
// Blurred by a Gaussian of deviation sigma, a waist |s|^q is raised at its
// bottom by a share of its rise at 2.5 sigma that depends only on q, and q shows
// in the rise at 2.5 sigma over that at half the distance: risen lists the
// pairs (derived by integrating the definition): two corners facing (q = 1),
// a parabola (2), the flat bottom of a short neck between walls (large).
func (m *measurer) curvature(raw []float64, k *strand, i int, half float64) float64 {
	variance := 0.25 + m.blur*m.blur + half*half*(1.0/3-2/(math.Pi*math.Pi))
	d := 2.5 * math.Sqrt(variance)
	here, _ := hann(raw, k.closed, i, half/k.step)
	far, least, okFar := m.rise(raw, k, i, half, d, here)
	near, _, okNear := m.rise(raw, k, i, half, d/2, here)
	if !okFar || !okNear {
		return 0.03
	}
	if far <= 0 {
		return 0
	}
	ratio := 4.0
	if near > 0 && far > 0.1 {
		ratio = far / near
	}
	// Where the width jumps on one side, a blob or a crossing begins: that is no
	// curve to take off. Half as much again allows for a place half a pixel off.
	off := min(far, 1.5*max(0, least)) * risenShare(ratio)
	if farther, _, ok := m.rise(raw, k, i, half, 2*d, here); ok && far > near {
		off *= opening(near, far, farther)
	}
	return max(0, min(off, flatBottom(raw, k, i, half)))
}

// opening tells a waist (1) from a short neck between walls (0), where the width
// jumps and then grows no more, by the rises at d/2, d and 2d: two corners and
// all rounder waists grow at least as much from d to 2d as they did up to d.
func opening(near, far, farther float64) float64 {
	return min(1, max(0, ((farther-far)/(2*(far-near))-0.55)/0.25))
}

// flatBottom returns the most that blur and a Hann window of the given half
// width can have added at the bottom of a waist, from the stations next to it:
// in a short neck between walls the width jumps a little way off, but the
// bottom itself is flat. From two facing corners to a parabola, what blur adds
// is 1.1 to 0.5 times the second difference at half a pixel, or 0.33 to 0.13
// times that at a pixel; a window adds its own variance.
func flatBottom(raw []float64, k *strand, i int, half float64) float64 {
	n := len(raw)
	at := func(d float64) float64 {
		j := i + int(math.Round(d/k.step))
		if k.closed {
			j = ((j % n) + n) % n
		} else if j < 0 || j >= n {
			return math.NaN()
		}
		return raw[j]
	}
	d := 0.5
	if half > 1.25 {
		d = 1
	}
	second := at(-d) + at(d) - 2*raw[i]
	if math.IsNaN(second) {
		return math.Inf(1)
	}
	variance := 0.25 + half*half*(1.0/3-2/(math.Pi*math.Pi))
	factor := 1.2 * math.Sqrt(variance/0.25)
	if d == 1 {
		factor *= 0.368 / 1.22
	}
	// Next to one wall the second difference is large, but on the other side the
	// bottom goes on: from corners to a parabola it rises by 0.31 of the slope
	// within a pixel, whatever the place of the stations, and 0.4 is added.
	level := 1.3 * math.Sqrt(variance/0.25) * max(0, min(at(-1), at(1))-raw[i])
	if math.IsNaN(level) {
		level = math.Inf(1)
	}
	return 0.05 + min(factor*max(0, second), level)
}

var risen = [...]struct{ ratio, share float64 }{
	{3.08, 0.4677}, {3.21, 0.3838}, {3.34, 0.3205}, {3.52, 0.2574}, {3.75, 0.2008}, {4, 0.16},
	{4.53, 0.1065}, {5.12, 0.0741}, {6.48, 0.0392}, {10, 0.0135}, {21.7, 0.0025},
}

func risenShare(ratio float64) float64 {
	if ratio <= risen[0].ratio {
		return risen[0].share
	}
	for i := 1; i < len(risen); i++ {
		if a, b := risen[i-1], risen[i]; ratio <= b.ratio {
			return a.share + (b.share-a.share)*(ratio-a.ratio)/(b.ratio-a.ratio)
		}
	}
	return 0
}

// rise returns how much wider than here the averages d pixels to either side of
// i are, the mean and the lesser of both sides, each taken between stations by linear
// interpolation; where only one side reaches as far, that one.
func (m *measurer) rise(raw []float64, k *strand, i int, half, d, here float64) (mean, least float64, ok bool) {
	n := len(raw)
	value := func(s float64) float64 {
		x := float64(i) + s/k.step
		j := int(math.Floor(x))
		u := x - float64(j)
		a, b := j, j+1
		if k.closed {
			a, b = ((a%n)+n)%n, ((b%n)+n)%n
		} else if a < 0 || b >= n {
			return math.NaN()
		}
		va, _ := hann(raw, k.closed, a, half/k.step)
		vb, _ := hann(raw, k.closed, b, half/k.step)
		return va*(1-u) + vb*u - here
	}
	l, r := value(-d), value(d)
	switch {
	case math.IsNaN(l) && math.IsNaN(r):
		return 0, 0, false
	case math.IsNaN(l):
		return r, r, true
	case math.IsNaN(r):
		return l, l, true
	}
	return (l + r) / 2, min(l, r), true
}

// greyPlusMinus returns the uncertainty of a grey width: 0.03 px for a straight
// edge, and a share of what was taken off for curvature.
func (m *measurer) greyPlusMinus(k *strand, at int, off, half float64) float64 {
	pm := 0.025 + ripple(half) + 0.4*max(off, 0)
	if half < max(3, m.safe/2)/2+0.5 { // the width changes close by
		pm += 0.04
	}
	if walled(m.widths(k), k, at, 4.5) {
		pm += 0.12
	}
	if k.st[at].crowd {
		pm += 0.05
	}
	if m.blur > 0 {
		pm += 0.01
	}
	return pm
}

// roomAt returns a lower bound of the width at p: twice the distance to the
// nearest pixel centre outside the shape, less a pixel for where in that pixel
// the edge lies. It looks no farther than width/2 + 3.
func (f *sampler) roomAt(p Point, width float64) float64 {
	r := int(width/2 + 3)
	x, y := int(math.Floor(p.X)), int(math.Floor(p.Y))
	best := float64(r)
	for dy := -r; dy <= r; dy++ {
		for dx := -r; dx <= r; dx++ {
			if !f.in(x+dx, y+dy) {
				best = min(best, math.Hypot(float64(x+dx)+0.5-p.X, float64(y+dy)+0.5-p.Y))
			}
		}
	}
	return 2*best - 1
}

// ripple returns the noise of an average, in pixels: the deviation of the
// stations' own periodic error (where the edges' slope is a simple fraction)
// left by a Hann window of the given half width. Measured on straight bars.
func ripple(half float64) float64 {
	switch {
	case half >= 3:
		return 0.006
	case half >= 2:
		return 0.012 - 0.006*(half-2)
	}
	return 0.04 - 0.028*(half-1)
}
