package raster

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The rim of a flat tone is no line: a bold bar in a tone near half, in the clear or in
// solid ink, with edges blended at any angle and phase, has nothing thin about it.
func TestRimOfATone(t *testing.T) {
	found, n := 0, 0
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 83))
		d, c := canvas(rng, 90)
		d.add(barPoly(c, rng.Float64()*3.2, 110, 50))
		tone := uniform(rng, 0.33, 0.67)
		for _, solid := range []bool{false, true} {
			cover := d.coverage()
			grey := make([]uint8, len(cover))
			for i, v := range cover {
				if v *= tone; solid {
					v = 1 - v
				}
				grey[i] = uint8(v*255 + 0.5)
			}
			limit := uniform(rng, 1.2, 12)
			r := Measure(NewGreyInk(d.w, d.h, grey), Request{Safe: [4]float64{limit, limit, limit, limit}, Bare: true})
			n++
			if len(r.Features) > 0 {
				found++
				t.Logf("seed %d: tone %.3f, solid %t, limit %.2f: %d features", seed, tone, solid, limit, len(r.Features))
			}
		}
	}
	t.Logf("of %d bars %d have features", n, found)
	assert.Zero(t, found)
}
