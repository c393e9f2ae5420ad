package raster

import "math"

// bilevelHann is the nominal length in pixels of the Hann window over a bilevel
// mark's stations. Straight bars 3 to 8 px wide, least value along the mark:
// 8 px long 0.178 px rms, 16: 0.105, 24: 0.076, 40: 0.048, 60: 0.040.
const bilevelHann = 40.0

func (m *measurer) bilevelProfile(k *strand) Profile {
	n := len(k.p)
	raw := make([]float64, n)
	for i := range raw {
		raw[i] = math.NaN()
		if k.st[i].ok {
			raw[i] = k.st[i].width
		}
	}
	length := float64(n) * k.step
	half := (bilevelHann + 1) / 2
	if length < 16 {
		half = 3.5
	}
	lo, hi := k.lo, k.hi
	need := min(int(half/k.step), (hi-lo-1)/2)
	if k.tipLo {
		lo += need
	}
	if k.tipHi {
		hi -= need
	}
	smooth := make([]float64, n)
	at := -1
	for i := range smooth {
		smooth[i], _ = hann(raw, k.closed, i, half/k.step)
		if i < lo || i >= hi || math.IsNaN(smooth[i]) {
			continue
		}
		if at < 0 || smooth[i] < smooth[at] {
			at = i
		}
	}
	if at < 0 {
		return Profile{}
	}
	return Profile{Sections: k.sections(smooth), Width: smooth[at], PlusMinus: 0.5, At: k.p[at], Across: normal(k.dir[at]), Length: k.length}
}
