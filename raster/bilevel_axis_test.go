package raster

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
)

// nearAxis draws a bilevel bar (i even), or a gap between two plates, up to 6 degrees
// off an axis or a diagonal, every fifth up to 1 degree; 30, 50 or 120 px long;
// half of them by themselves, half amid neighbours that are thick enough.
func nearAxis(rng *rand.Rand, i int) (ink *Ink, kind Kind, width, degrees float64) {
	off := uniform(rng, 0, 6)
	if i%5 == 0 {
		off /= 6
	}
	if rng.IntN(2) == 0 {
		off = -off
	}
	degrees = float64(rng.IntN(4))*45 + off
	angle := degrees * math.Pi / 180
	width = uniform(rng, 3, 8)
	long := i / 4 % 3
	length := []float64{32, 50, 120}[long] * uniform(rng, 0.9, 1.2)
	d, c := canvas(rng, length*0.8+50)
	put := func(across, along, thick, length float64) {
		d.add(barPoly(polar(polar(c, across, angle+math.Pi/2), along, angle), angle, length, thick))
	}
	several := i/2%2 == 1
	if i%2 == 1 {
		t := uniform(rng, 15, 20)
		put((width+t)/2, 0, t, length)
		put(-(width+t)/2, 0, t, length)
		if several {
			put(width/2+t+16+7, 3, 14, length)
		}
		return d.ink(rendering{bilevel: true}), Strip, width, degrees
	}
	put(0, 0, width, length)
	if several {
		put(width/2+16+8, 4, 16, length)
		put(-width/2-14-8, -3, 16, length*0.7)
	}
	if several && long > 0 { // a stroke across its end
		d.add(barPoly(polar(polar(c, 14, angle+math.Pi/2), length/2-7, angle), angle+math.Pi/2, 30, 14))
	}
	return d.ink(rendering{bilevel: true}), Line, width, degrees
}

// TestBilevelNearAnAxis: near an axis or a diagonal a bar's edges have a step or
// two, and how little is known plus_minus must say: at least 95 % of the widths
// lie within it, and where it is half a pixel or less, none is more than 0.45 off.
// STENCILPROOF_LONG measures six times as many.
func TestBilevelNearAnAxis(t *testing.T) {
	n := 120
	switch {
	case testing.Short():
		n = 36
	case os.Getenv("STENCILPROOF_LONG") != "":
		n = 720
	}
	rng := rand.New(rand.NewPCG(heldOut, 45))
	outside, sum, square, found := 0, 0.0, 0.0, 0
	for i := range n {
		ink, kind, width, degrees := nearAxis(rng, i)
		f := Measure(ink, Request{Safe: [4]float64{10, 10, 12, 12}}).Finest[kind]
		if !assert.True(t, f.Found, "picture %d: a %v of %.2f px at %.2f degrees", i, kind, width, degrees) {
			continue
		}
		found++
		off := math.Abs(f.Width - width)
		sum, square = sum+f.PlusMinus, square+off*off
		if off > f.PlusMinus {
			outside++
			t.Logf("picture %d: a %v of %.2f px at %.2f degrees reads %.2f +- %.2f", i, kind, width, degrees, f.Width, f.PlusMinus)
		}
		assert.False(t, off > 0.45 && f.PlusMinus <= 0.5, "picture %d: a %v of %.2f px at %.2f degrees reads %.2f +- %.2f", i, kind, width, degrees, f.Width, f.PlusMinus)
	}
	t.Logf("%d pictures, %d outside, rms %.3f, plus_minus %.3f in the mean", found, outside, math.Sqrt(square/float64(found)), sum/float64(found))
	assert.LessOrEqual(t, outside, n/20)
	assert.Less(t, sum/float64(found), 0.35, "no larger than it needs to be")
}
