package raster

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A page whose fine grid has more pixels than 31 bits count: an A3 sheet at 1200
// pixels an inch in grey, or one of A0 at 400, under limits of a pixel.
func TestLargeGridHoldsItsMarks(t *testing.T) {
	if testing.Short() {
		t.Skip("a large page takes seconds")
	}
	const side = 15_500
	grey := make([]uint8, side*side)
	row := func(y, x0, x1 int) {
		for x := x0; x < x1; x++ {
			grey[y*side+x] = 255
		}
	}
	// Near the last corner: a line of one pixel, and a gap of one in a bar of its own.
	row(side-200, side-400, side-300)
	for y := side - 120; y < side-100; y++ {
		row(y, side-400, side-351)
		row(y, side-350, side-300)
	}
	req := Request{Safe: [4]float64{Line: 1.2, Dot: 1.2, Strip: 1.2, Island: 1.2}, Bare: true}
	k := NewGreyInk(side, side, grey)
	require.Greater(t, GridPixels(k, req), 1<<31)
	got := Measure(k, req).Features
	require.Len(t, got, 2)
	assert.Equal(t, Line, got[0].Kind)
	assert.InDelta(t, 1, got[0].Width, 0.02)
	assert.InDelta(t, side-199.5, got[0].At.Y, 0.5)
	assert.Equal(t, Strip, got[1].Kind)
	assert.InDelta(t, 1, got[1].Width, 0.02)
	assert.InDelta(t, side-350.5, got[1].At.X, 0.5)
	assert.InDelta(t, side-110, got[1].At.Y, 10)
}

// A limit beyond all that is in the artwork, as of a width in the wrong unit, finds
// what one as large as the artwork does, at no more cost.
func TestLimitsBeyondTheArtwork(t *testing.T) {
	d := &drawing{w: 120, h: 90}
	d.add(barPoly(Point{50, 30}, 0.3, 70, 6))
	d.add(discPoly(Point{90, 60}, 12))
	d.hole(discPoly(Point{90, 60}, 5))
	d.both(func(k *Ink, bilevel bool) {
		want := Measure(k, safe(k.mostWidth()))
		got := Measure(k, safe(1e6))
		assert.GreaterOrEqual(t, len(got.Features), 3, "the bar, the ring, what it holds, and what lies between")
		assert.Equal(t, want, got)
	})
}
