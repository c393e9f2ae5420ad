package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The gap between the points of small diamonds, as of a halftone, is as wide as between
// those of large ones, whose sides run on for longer than the blur. (Of sides of 4 and 5 px
// it read 0.5 to 0.9 px wide, with a plus and minus of 0.5, and 1 in 4 went unsaid.)
func TestGapBetweenSmallDiamonds(t *testing.T) {
	tried, missed, beyond := 0, 0, 0
	for _, side := range []float64{4, 5, 6, 8} {
		for _, gap := range []float64{1, 1.4, 2, 3, 4} {
			for _, rel := range []float64{1.2, 1.6} {
				rng := rand.New(rand.NewPCG(97, uint64(side*gap*10)))
				for range 12 {
					a := rng.Float64() * 2 * math.Pi
					d, c := canvas(rng, 4*side+4*gap)
					for i := -2; i <= 2; i++ {
						d.add(barPoly(polar(c, float64(i)*(side*math.Sqrt2+gap), a), a+math.Pi/4, side, side))
					}
					safe := rel * gap
					f := Measure(d.ink(rendering{}), Request{Safe: [4]float64{1, 1, safe, safe * 2}, Bare: true}).Finest[Strip]
					tried++
					if !f.Found {
						missed++
					} else if off := math.Abs(f.Width - gap); off > 0.5 || off > f.PlusMinus {
						beyond++
					}
				}
			}
		}
	}
	t.Logf("of %d: %d missed, %d beyond", tried, missed, beyond)
	assert.LessOrEqual(t, missed, tried/50)
	assert.LessOrEqual(t, beyond, tried/50)
}
