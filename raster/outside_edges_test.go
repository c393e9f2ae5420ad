package raster

import (
	"fmt"
	"testing"
)

// TestHalfCoveredEdges: lines along an axis whose outer pixels are covered by
// about half: a stroke of odd width about a whole coordinate. Each is found, at
// its width, whichever side of half its outer pixels fall.
func TestHalfCoveredEdges(t *testing.T) {
	const size, long = 60, 30
	for _, edge := range []uint8{120, 126, 127, 128, 129, 130, 136} {
		for solid := range 5 {
			w := float64(solid) + 2*float64(edge)/255
			for _, upright := range []bool{false, true} {
				grey := make([]uint8, size*size)
				put := func(along, across int, v uint8) {
					if upright {
						along, across = across, along
					}
					grey[across*size+along] = v
				}
				for i := range long {
					put(10+i, 20, edge)
					for j := range solid {
						put(10+i, 21+j, 255)
					}
					put(10+i, 21+solid, edge)
				}
				k := NewGreyInk(size, size, grey)
				for _, d := range []float64{4, 7, 12} {
					if d < w+0.5 || solid == 0 && edge < 126 {
						continue
					}
					what := fmt.Sprintf("%d solid, outer pixels %d, upright %v, limit %g", solid, edge, upright, d)
					f := theOne(t, Measure(k, safe(d)), Line, what)
					bound := 0.1
					if solid == 0 { // two half pixels: no solid one between to go by
						bound = 0.15
					}
					if f.Width < w-bound || f.Width > w+bound {
						t.Errorf("%s: %.3f px for %.3f", what, f.Width, w)
					}
				}
			}
		}
	}
}
