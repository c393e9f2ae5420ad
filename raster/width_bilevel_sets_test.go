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
	}, bound{rms: 0.1, judged: 0.45}},
	// No estimate can do better than a pixel there; plus_minus must say so.
	{"on axes and diagonals", 80, func(r *rand.Rand, i int) *trial {
		return straightTrial(r, 3, 20, float64(i%4)*math.Pi/4)
	}, bound{rms: 0.45, worst: 1.01}},
	{"bar, neighbours 2 px away", 60, func(r *rand.Rand, _ int) *trial {
		return wideEnough(func() *trial { return crowdedTrial(r, false) })
	}, bound{rms: 0.1, judged: 0.45}},
	{"arcs", 100, func(r *rand.Rand, _ int) *trial {
		return wideEnough(func() *trial { return arcTrial(r) })
	}, bound{rms: 0.2}},
	{"rings", 50, func(r *rand.Rand, _ int) *trial {
		return wideEnough(func() *trial { return ringTrial(r, false) })
	}, bound{rms: 0.2}},
	{"concentric rings", 50, func(r *rand.Rand, _ int) *trial {
		return wideEnough(func() *trial { return ringTrial(r, true) })
	}, bound{rms: 0.2}},
	{"waists of film", 75, func(r *rand.Rand, _ int) *trial {
		return filmOf(waistTrial(r, 3, 10, 6, 40))
	}, bound{rms: 0.25, worst: 1, place: 3}},
	{"waists of ink", 75, func(r *rand.Rand, _ int) *trial {
		return inkOf(waistTrial(r, 3, 10, 6, 40))
	}, bound{rms: 0.25, worst: 1, place: 3}},
	{"nick 2 deep, 6 long", 40, func(r *rand.Rand, _ int) *trial { return nickTrial(r, 2, 6) }, bound{rms: 0.4, worst: 1}},
	{"two corners facing, limit 12", 40, func(r *rand.Rand, _ int) *trial {
		return inkOf(cornersTrial(r, 12))
	}, bound{rms: 1, worst: 2.2}},
}
