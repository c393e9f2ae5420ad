package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDiscsHaveNoCorners: grey discs of 3 to 30 px in steps of a 64th, at
// any phase, read their diameter; up to 10 px to a fortieth of a pixel. (Where the
// grid makes a contour turn a little faster for a pixel, it was once taken
// for a corner, and the disc read 0.15 px narrow.)
func TestDiscsHaveNoCorners(t *testing.T) {
	rng := rand.New(rand.NewPCG(heldOut, 79))
	for d := 3.0; d <= 30; d += 1.0 / 64 {
		draw, c := canvas(rng, d/2+4)
		draw.add(discPoly(c, d/2))
		b := Shape{Ink: draw.ink(rendering{})}.MeasureBlob(int(c.X), int(c.Y), Box{0, 0, float64(draw.w), float64(draw.h)})
		most := 0.1
		if d <= 10 {
			most = 0.025
		}
		assert.LessOrEqual(t, math.Abs(b.Hydraulic-d), most, "a disc of %.4f px", d)
	}
}

// TestTinyDots: a dot a pixel wide and 2.75 long, astride two columns of pixels,
// is a dot, and a line eight long is a line.
func TestTinyDots(t *testing.T) {
	for phase := 0.375; phase <= 0.625; phase += 1.0 / 32 {
		for _, long := range []float64{2.75, 8} {
			d := drawing{w: 40, h: 40}
			d.add([]Point{{20 + phase, 20}, {21 + phase, 20}, {21 + phase, 20 + long}, {20 + phase, 20 + long}})
			r := Measure(d.ink(rendering{}), Request{Safe: [4]float64{2.7, 3.6, 3.6, 7.2}})
			require.Len(t, r.Features, 1, "phase %.3f, %g px long", phase, long)
			want := Dot
			if long > dotExtent {
				want = Line
			}
			assert.Equal(t, want, r.Features[0].Kind, "phase %.3f, %g px long: %+v", phase, long, r.Features[0])
		}
	}
}
