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

// A piece measured on one grid is known on the others.
func TestPiecesMeasuredOnOneGridAreKnownOnOthers(t *testing.T) {
	d := &drawing{w: 120, h: 90}
	d.add([]Point{{5, 5}, {85, 5}, {85, 85}, {5, 85}}) // ink round two islands
	d.hole(discPoly(Point{30.3, 40.6}, 12))
	d.hole(discPoly(Point{64.7, 45.2}, 14))
	d.add(discPoly(Point{102.4, 44.1}, 9))
	for _, bilevel := range []bool{false, true} {
		k := d.ink(rendering{bilevel: bilevel})
		known := &Known{Reach: 60}
		grids := 0
		for _, line := range []float64{30, 4, 2} {
			Measure(k, Request{Safe: [4]float64{line, 30, line, 60}, Known: known})
			grids = max(grids, len(known.laid))
			assert.Len(t, known.blobs, 3, "limit %g, bilevel %t", line, bilevel)
		}
		assert.Equal(t, 2, grids)
	}
}
