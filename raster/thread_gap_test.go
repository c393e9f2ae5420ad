package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestFaintGapIsNotBridged: a gap of 0.6 to 1.1 px between two plates hardly shows
// where it runs from one row of pixels to the next; it is marked, as a strip or
// what is left of one, and no line of ink is seen across it.
func TestFaintGapIsNotBridged(t *testing.T) {
	rng := rand.New(rand.NewPCG(heldOut, 82))
	for i := range 60 {
		width, angle := uniform(rng, 0.6, 1.1), rng.Float64()*math.Pi
		d, c := canvas(rng, 60)
		for _, side := range [2]float64{-1, 1} {
			d.add(barPoly(polar(c, side*(width/2+8), angle+math.Pi/2), angle, 80, 16))
		}
		r := Measure(d.ink(rendering{}), Request{Safe: [4]float64{2, 2.5, 2.5, 5}})
		assert.Empty(t, ofKind(r, Line), "picture %d: a gap of %.2f px at %.1f degrees", i, width, angle*180/math.Pi)
		assert.NotEmpty(t, append(ofKind(r, Strip), ofKind(r, Island)...), "picture %d: a gap of %.2f px at %.1f degrees", i, width, angle*180/math.Pi)
	}
}
