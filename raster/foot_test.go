package raster

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Two letters with slab feet, a gap between them, nothing under its limit but the gap: no
// foot is measured past its end, in the gap. (271 of these 3840 pictures had a black
// line of 0.15 to 0.6 px there.) Under a limit that the feet are under, they read as high
// as they are.
func TestFootIsNotMeasuredPastItsEnd(t *testing.T) {
	feet := func(rng *rand.Rand, gap, high, long float64) *Ink {
		d := &drawing{w: 90, h: 60}
		rect := func(x0, y0, x1, y1 float64) { d.add([]Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}) }
		x, y := 45+rng.Float64(), 45+rng.Float64()
		for _, s := range []float64{-1, 1} {
			stem := x + s*(gap/2+long+4)
			rect(stem-4, y-32, stem+4, y)
			rect(stem-4-long, y-high, stem+4+long, y)
		}
		return d.ink(rendering{})
	}
	safe := func(line float64) Request {
		return Request{Safe: [4]float64{line, line * 4 / 3, line * 4 / 3, line * 8 / 3}, Bare: true}
	}
	n := 32
	if testing.Short() {
		n = 4
	}
	for _, high := range []float64{1.5, 2, 2.5, 3, 4} {
		for _, long := range []float64{3, 4, 5, 7} {
			for _, gap := range []float64{1.5, 2, 2.5, 3, 4, 6} {
				rng := rand.New(rand.NewPCG(1, 2))
				for i := range n {
					k := feet(rng, gap, high, long)
					assert.Empty(t, ofKind(Measure(k, safe(high/1.1)), Line), "feet %g px high and %g long, %g apart, %d", high, long, gap, i)
					if long < 2*high+2.5 { // less is left without the end than tells it from a point
						continue
					}
					lines := ofKind(Measure(k, safe(1.25*high)), Line)
					assert.NotEmpty(t, lines, "feet %g px high and %g long, %g apart, %d", high, long, gap, i)
					for _, f := range lines {
						assert.InDelta(t, high, f.Width, max(0.15, f.PlusMinus), "feet %g px high and %g long, %g apart, %d", high, long, gap, i)
					}
				}
			}
		}
	}
}
