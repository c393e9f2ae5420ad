package raster

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Limits under 2.5 pixels are looked for on one grid, three to the pixel, those over it
// on coarser ones.
func TestLowLimitsShareAGrid(t *testing.T) {
	k := NewGreyInk(40, 30, make([]uint8, 40*30))
	known := &Known{Reach: 12}
	for _, line := range []float64{0.6, 1.25, 1.8, 2.4} {
		Measure(k, Request{Safe: [4]float64{line, 2 * line, 2 * line, 4 * line}, Known: known})
	}
	if assert.Len(t, known.laid, 1) {
		assert.Equal(t, 3, known.laid[0].g.up)
	}
	Measure(k, Request{Safe: [4]float64{5, 10, 10, 20}, Known: known})
	if assert.Len(t, known.laid, 2) {
		assert.Equal(t, 1, known.laid[0].g.up)
	}
}
