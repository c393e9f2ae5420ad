package raster

import "testing"

// TestWidthBounds holds the promised bounds on seeds that nothing was tuned on.
func TestWidthBounds(t *testing.T) {
	bounds := map[string]struct{ rms, worst, place float64 }{
		"straight 1.5-20": {0.02, 0.06, 0},
		"crowded bar":     {0.03, 0.10, 0},
		"crowded gap":     {0.03, 0.10, 0},
		"arcs":            {0.03, 0.10, 0},
		"waists film":     {0.03, 0.12, 1},
		"waists ink":      {0.03, 0.12, 1},
		"blur 1":          {0.03, 0.10, 0},
		"blur 1.5":        {0.03, 0.10, 0},
		"blur 2":          {0.03, 0.10, 0},
	}
	for _, set := range greySets {
		b, ok := bounds[set.name]
		if !ok {
			continue
		}
		got := runSet(set, 424242, false)
		if got.lost > 0 || got.rms() > b.rms || got.bad > b.worst || got.placeWorst > b.place+1e-9 && b.place > 0 {
			t.Errorf("%s (grey, seed 424242): lost %d, rms %.3f (bound %.3f), worst %.3f (bound %.3f) at trial %d, place %.2f",
				set.name, got.lost, got.rms(), b.rms, got.bad, b.worst, got.worstAt, got.placeWorst)
		}
	}
}
