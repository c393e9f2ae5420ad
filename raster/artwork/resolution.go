package artwork

import "math"

// The sane range of a resolution. Below or above, the number is no statement
// about size (0, 1, and 10^9 are all met).
const (
	minPerInch = 2
	maxPerInch = 100000
)

const cmPerInch = 2.54 // exactly

// perInch cleans a resolution in pixels per inch: 0 when it says nothing, and
// the nearest whole number when it lies within 1e-4 of it, which is what
// conversion through centimetres with two decimals costs (118.11 px/cm is
// 299.9994 px/in).
func perInch(v float64) float64 {
	if math.IsNaN(v) || v < minPerInch || v > maxPerInch {
		return 0
	}
	if r := math.Round(v); math.Abs(v-r) <= 1e-4*r {
		return r
	}
	return v
}

// perMetre turns pixels per metre, a whole number in PNG and BMP, into pixels
// per inch. A whole number of pixels per inch whose exact value per metre lies
// less than 1 from v explains v, rounded or cut off; since one per metre is
// 0.0254 per inch there is at most one such number.
func perMetre(v uint32) float64 {
	inch := float64(v) * 0.0254
	if r := math.Round(inch); r >= minPerInch && math.Abs(r/0.0254-float64(v)) < 1 {
		return perInch(r)
	}
	return perInch(inch)
}
