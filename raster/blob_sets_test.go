package raster

import (
	"math"
	"math/rand/v2"
)

// blobTrials draws discs and squares of 3 to 30 px, ink and film, at all angles.
func blobTrials(seed uint64) []*trial {
	rng := rand.New(rand.NewPCG(seed, 99))
	var out []*trial
	for i := range 240 {
		size := uniform(rng, 3, 30)
		d, c := canvas(rng, size)
		if i%2 == 0 {
			d.add(discPoly(c, size/2))
		} else {
			d.add(barPoly(c, rng.Float64()*math.Pi, size, size))
		}
		tr := &trial{draw: d, width: size, place: &c, course: Course{Path: []Point{c}}}
		tr.pic.invert, tr.measureFilm = i%4 > 1, i%4 > 1
		out = append(out, tr)
	}
	return out
}

// pixel returns what MeasureBlob takes: a pixel of the blob, and a box.
func (tr *trial) pixel() (x, y int, box Box) {
	return int(tr.place.X), int(tr.place.Y), Box{0, 0, float64(tr.draw.w), float64(tr.draw.h)}
}
