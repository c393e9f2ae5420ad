package raster_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// A disc of ink is one dot, of film one island, wherever it lies on the pixels
// and on the finer grid: its diameter is its width (4A/P of a disc). At 4.676 px
// around a pixel's corner the grid's first pixel lies in an artwork pixel that
// is less than half ink.
func TestDiscsAreWhole(t *testing.T) {
	for _, off := range []float64{0, 0.25, 0.5, 0.7} {
		for _, d := range []float64{3, 3.4, 4, 4.676, 4.8, 5.2, 6.1, 7, 8.45, 9.35, 11, 13.2} {
			for _, film := range []bool{false, true} {
				c := pen.NewCanvas(60, 60)
				want := raster.Dot
				if film {
					want = raster.Island
					c.Fill(pen.Rect(5, 5, 50, 50))
					c.Erase(pen.Disc(30+off, 30+off/2, d))
				} else {
					c.Fill(pen.Disc(30+off, 30+off/2, d))
				}
				r := raster.Measure(c.Ink(), raster.Request{Safe: [4]float64{5.4, 14, 7.2, 14}})
				if assert.Len(t, r.Features, 1, "%v %g at %g", want, d, off) {
					f := r.Features[0]
					assert.Equal(t, want, f.Kind, "%g at %g", d, off)
					assert.InDelta(t, d, f.Width, 0.2, "%v at %g", want, off)
				}
			}
		}
	}
}
