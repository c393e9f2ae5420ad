package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A ring goes round: it has no end to be kept clear of, and over the whole way
// from the artwork to the feature it reads as wide as it is. (With its first
// place taken for a tip, bilevel rings of 3 to 5 px read half a pixel low.)
func TestBilevelRingsWhole(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 40 {
		width, radius := 2.5+3*rng.Float64(), 8+40*rng.Float64()
		cx, cy := 60+rng.Float64(), 60+rng.Float64()
		b := NewBits(120, 120)
		for y := range b.H {
			for x := range b.W {
				if d := math.Hypot(float64(x)+0.5-cx, float64(y)+0.5-cy); math.Abs(d-radius) < width/2 {
					b.Set(x, y)
				}
			}
		}
		for _, safe := range []float64{1.2 * width, 1.7 * width} {
			res := Measure(NewBilevelInk(b), Request{Safe: [4]float64{safe, safe, safe, 2 * safe}})
			lines := filterKind(res.Features, Line)
			require.Len(t, lines, 1, "width %.2f radius %.1f", width, radius)
			assert.True(t, lines[0].Closed)
			assert.InDelta(t, width, lines[0].Width, lines[0].PlusMinus, "width %.2f radius %.1f", width, radius)
			assert.Less(t, lines[0].PlusMinus, 0.5)
		}
	}
}

func filterKind(list []Feature, kind Kind) (out []Feature) {
	for _, f := range list {
		if f.Kind == kind {
			out = append(out, f)
		}
	}
	return out
}
