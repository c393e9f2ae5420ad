package raster

import (
	"math"
	"math/rand/v2"
)

// wideEnough draws trials until one is at least 3 px wide: below that a bilevel
// picture may not show the part at all.
func wideEnough(draw func() *trial) *trial {
	for {
		if tr := draw(); tr.width >= 3 {
			return tr
		}
	}
}

var bilevelSets = []accuracySet{
	{"straight 3-20", 200, func(r *rand.Rand, i int) *trial {
		tr := straightTrial(r, 3, 20, (float64(i)+r.Float64())*math.Pi/200)
		tr.pic.invert, tr.measureFilm = i%2 == 1, i%2 == 1
		return tr
	}},
	{"on axes and diagonals", 60, func(r *rand.Rand, i int) *trial { return straightTrial(r, 3, 20, float64(i%4)*math.Pi/4) }},
	{"crowded bar", 60, func(r *rand.Rand, i int) *trial { return wideEnough(func() *trial { return crowdedTrial(r, false) }) }},
	{"arcs", 100, func(r *rand.Rand, i int) *trial { return wideEnough(func() *trial { return arcTrial(r) }) }},
	{"rings", 50, func(r *rand.Rand, i int) *trial { return wideEnough(func() *trial { return ringTrial(r, false) }) }},
	{"concentric", 50, func(r *rand.Rand, i int) *trial { return wideEnough(func() *trial { return ringTrial(r, true) }) }},
	{"waists film", 75, func(r *rand.Rand, i int) *trial { return filmOf(waistTrial(r, 3, 10, 6, 40)) }},
	{"waists ink", 75, func(r *rand.Rand, i int) *trial { return inkOf(waistTrial(r, 3, 10, 6, 40)) }},
}
