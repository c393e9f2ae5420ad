package raster

import "math"

// A bilevel edge is a stair. A single cross-section of it is uncertain by a
// third of a pixel and its least along a mark by a whole one, so a bilevel width
// always rests on a stretch:
//
//   - where both edges are straight for 20 to 200 pixels, on the exact set of
//     straight bars that give these very pixels (bilevel_bar.go);
//   - else on the stations' mean under a Hann window of up to 40 pixels, as far
//     as the width stays the same to a pixel: straight bars of 3 to 8 px, least
//     value along the mark, give 0.178 px rms under 8 px, 0.105 under 16, 0.076
//     under 24, 0.048 under 40, 0.040 under 60;
//   - at a waist on as few as 6 pixels, which keeps the waist and costs up to
//     half a pixel.
//
// A nick shows from about 2 px deep and 6 px long, or 3 deep and 4 long;
// smaller ones read like steps of the stair. Plus and minus speak of a smooth
// edge, not of such nicks.
const (
	bilevelHann  = 40.0
	bilevelLeast = 3.5 // half width of the shortest window
	bilevelSame  = 1.0 // how far the width may depart within one stretch
)

// bilevelNoise is the deviation of a mean under a Hann window of the given half
// width, in pixels.
func bilevelNoise(half float64) float64 {
	return min(0.3, 0.10*math.Pow(20.5/half, 0.7))
}

// luck returns how many deviations below the mean the least of the independent
// windows of a mark is likely to lie.
func luck(length, half float64) float64 {
	return math.Sqrt(2 * math.Log(max(1.5, length/(2*half))))
}

// bilevelWidths returns the stations' widths, single and under the shortest
// window, and between which of them the least is looked for.
func (m *measurer) bilevelWidths(k *strand) (raw, light []float64, lo, hi int) {
	raw = m.widths(k)
	light = m.scratch.ofFloats(len(raw))
	var window hannWindow
	for i := range light {
		light[i], _ = window.mean(raw, k.closed, i, bilevelLeast/k.step)
	}
	lo, hi = k.lo, k.hi
	if room := (hi - lo) / 2; k.tipLo || k.tipHi {
		need := min(int(bilevelHann/2/k.step), max(0, room-1))
		if k.tipLo {
			lo += need
		}
		if k.tipHi {
			hi -= need
		}
	}
	return raw, light, lo, hi
}

// bilevelSections returns the sections of bilevelProfile; none where that finds
// no width.
func (m *measurer) bilevelSections(k *strand) []Section {
	_, light, lo, hi := m.bilevelWidths(k)
	for _, w := range light[lo:hi] {
		if !math.IsNaN(w) {
			return k.sections(light)
		}
	}
	return nil
}

func (m *measurer) bilevelProfile(k *strand) Profile {
	n := len(k.p)
	raw, light, lo, hi := m.bilevelWidths(k)
	average, half := m.scratch.ofFloats(n), m.scratch.ofFloats(n)
	const whole = (bilevelHann + 1) / 2
	at, score := -1, 0.0
	long, least := -1, math.Inf(1) // the least under the full window
	var fitting, full hannWindow
	doubt, doubtOf := 0.0, 0.0 // of the last half width
	for i := lo; i < hi; i++ {
		average[i] = math.NaN()
		if math.IsNaN(light[i]) {
			continue
		}
		half[i] = sameStretch(light, k.closed, i, whole, k.step, bilevelSame)
		half[i] = max(half[i], bilevelLeast)
		average[i], _ = fitting.mean(raw, k.closed, i, half[i]/k.step)
		// Chosen leniently (0.6 of the luck to be expected), then put to the test
		// below: in waists a stricter choice would miss the place.
		if half[i] != doubtOf {
			doubt, doubtOf = 0.6*luck(float64(n)*k.step, half[i])*bilevelNoise(half[i]), half[i]
		}
		if s := average[i] + doubt; at < 0 || s < score {
			at, score = i, s
		}
		if h, _ := full.mean(raw, k.closed, i, whole/k.step); h < least {
			long, least = i, h
		}
	}
	if at < 0 {
		return Profile{}
	}
	fit, fitted := waistFit{}, false
	if half[at] < 10 {
		fit, fitted = m.parabolas(k, at)
	}
	short := score < least
	if fitted && fit.width+2*fit.sd < least {
		short = true
	} else if fitted {
		fitted = false
		short = average[at]+luck(float64(n)*k.step, half[at])*bilevelNoise(half[at]) < least
	}
	if !short {
		// A short stretch counts only where it is narrower than the long one
		// beyond all doubt; else steps of the stair would pass for waists.
		at = long
		for i := lo; i < hi; i++ {
			if !math.IsNaN(average[i]) {
				half[i] = whole
				if !k.closed { // hann narrows a window that the ends cut
					half[i] = min(whole, (float64(min(i, n-1-i))+1)*k.step)
				}
				average[i], _ = full.mean(raw, k.closed, i, half[i]/k.step)
			}
		}
	}
	p := Profile{Sections: k.sections(light), Width: average[at], At: k.p[at], Across: normal(k.dir[at]), Length: k.length}
	curved := short && fitted && fit.reach >= 6
	sharp := short && half[at] <= bilevelLeast
	bar, straight := barFit{}, false
	if curved || !sharp || !k.straight {
		bar, straight = m.barAt(k, at, barLeast)
	}
	if curved && (!straight || bar.long < 2*fit.reach/1.5) {
		p.Width, p.PlusMinus = fit.width, max(2.1*fit.sd+0.03, unstepped(k.dir[at], fit.reach))
		p.At = along(p.At, k.dir[at], fit.along)
		return p
	}
	if sharp {
		k.sharp = true
		if k.straight {
			short := m.scratch.ofFloats(n)
			for i := range short {
				short[i], _ = hann(raw, k.closed, i, 1/k.step)
			}
			q := m.waist(short, k, at)
			q.PlusMinus += 0.9
			if most := m.f.between(q.At, q.Across, q.Width); most < q.Width {
				q.Width = most
			}
			return q
		}
	}
	noise := bilevelNoise(half[at])
	p.PlusMinus = 2.1*noise + 0.03
	if straight {
		p.Width, p.PlusMinus = bar.width, bar.plusMinus()
		return p
	}
	// At the mouth of a gap one foot lies beyond the corner and shows no edge. A
	// straight stretch close by that agrees is the same gap.
	if in := inward(k, at, mouth); in != at {
		if bar, ok := m.barAt(k, in, barLeast); ok && average[at] > bar.width-2.5*noise {
			p.Width, p.PlusMinus = bar.width, bar.plusMinus()
			return p
		}
	}
	// Of many noisy means the least is too small. All that differ from it by
	// no more than noise are the same width.
	sum, count := 0.0, 0
	steps := unstepped(k.dir[at], half[at]) // of what the width rests on, where there are most
	for i := lo; i < hi; i++ {
		if average[i] <= average[at]+2.5*noise && half[i] >= half[at]*0.7 {
			sum += average[i]
			count++
			if half[at] > 8 {
				steps = min(steps, unstepped(k.dir[i], half[i]))
			}
		}
	}
	if half[at] > 8 && count > 0 {
		p.Width = sum / float64(count)
	}
	if bar, ok := m.straightHere(k, at, half[at]); ok {
		p.PlusMinus = max(p.PlusMinus, bar.plusMinus(), math.Abs(bar.width-p.Width)+2*bar.sd)
	}
	p.PlusMinus = max(p.PlusMinus, steps)
	// In grey something would be taken off for curvature here. A single step of the stair
	// looks like it (a gap of 22 px between feet 14 px high read 14), and arcs and waists
	// come out no better with it.
	return p
}

// stepDoubt is plus and minus, in pixels, where neither side of a stretch has a step: each may
// lie anywhere within its pixel.
const stepDoubt = 0.95

// unstepped is the least plus and minus of a width that rests on a window of the given half
// width along dir: near an axis its stairs may have no step within.
func unstepped(dir Point, half float64) float64 {
	off := min(math.Abs(dir.X), math.Abs(dir.Y)) / max(math.Abs(dir.X), math.Abs(dir.Y))
	return stepDoubt * max(0, 1-half*off)
}

// mouth is how near an end a place may be for a foot of its cross-section to miss
// the edge, and how far inward one looks for a better place, in pixels.
const mouth = 6.0

// inward returns, of a station less than by pixels from an end of the line, the
// one by pixels farther in; others it returns as they are.
func inward(k *strand, at int, by float64) int {
	steps := int(by / k.step)
	mid := (k.lo + k.hi) / 2
	switch {
	case at < k.lo+steps:
		return min(at+steps, max(at, mid))
	case at >= k.hi-steps:
		return max(at-steps, min(at, mid))
	}
	return at
}

// widths returns the stations' widths, NaN where there is none.
func (m *measurer) widths(k *strand) []float64 {
	raw := m.scratch.ofFloats(len(k.st))
	for i := range raw {
		raw[i] = math.NaN()
		if k.st[i].ok {
			raw[i] = k.st[i].width
		}
	}
	return raw
}

// between returns the distance between the pixel centres outside the shape that
// lie nearest to p on its two sides along n: a cut at half takes the pixels whose
// centre lies in the shape, so no neck between those two is wider. It looks as far
// as half the given width and two pixels; infinite where one side has none.
func (f *sampler) between(p, n Point, width float64) float64 {
	r := int(width/2 + 2)
	x, y := int(math.Floor(p.X)), int(math.Floor(p.Y))
	var at [2]Point
	near := [2]float64{math.Inf(1), math.Inf(1)}
	for dy := -r; dy <= r; dy++ {
		for dx := -r; dx <= r; dx++ {
			v := Point{float64(x+dx) + 0.5 - p.X, float64(y+dy) + 0.5 - p.Y}
			d, side := math.Hypot(v.X, v.Y), v.X*n.X+v.Y*n.Y
			if math.Abs(side) < 0.7*d || f.in(x+dx, y+dy) {
				continue
			}
			i := 0
			if side < 0 {
				i = 1
			}
			if d < near[i] {
				near[i], at[i] = d, v
			}
		}
	}
	if math.IsInf(near[0]+near[1], 1) {
		return math.Inf(1)
	}
	return dist(at[0], at[1])
}
