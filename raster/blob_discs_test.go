package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
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
