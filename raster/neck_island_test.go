package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// An enclosed piece of film too narrow for any disc is an island, and where a hairline
// joins two wider parts of it, it comes apart: that is a strip. One as wide all along is
// none, nor one with branches, corners and rounded ends.
func TestNeckOfAnIsland(t *testing.T) {
	missed, off, falsely := 0, 0, 0
	const n = 200
	for seed := range uint64(n) {
		rng := rand.New(rand.NewPCG(seed, 84))
		bilevel := seed%3 == 0
		limit := uniform(rng, 6, 14)
		stem := uniform(rng, 0.75, 0.95) * limit
		hair := uniform(rng, 0.2, 0.4) * limit
		if bilevel {
			hair = max(2, hair)
		}
		if stem < 2.2*hair+2 {
			continue
		}
		long := uniform(rng, 3, 6) * limit
		d, c := canvas(rng, long+2*limit)
		a := rng.Float64() * math.Pi
		put := func(x0, y0, x1, y1 float64) { // of the film; all else is ink
			d.add([]Point{turned(c, a, x0, y0), turned(c, a, x1, y0), turned(c, a, x1, y1), turned(c, a, x0, y1)})
		}
		joined := seed%2 == 0
		if joined {
			gap := uniform(rng, 1, 3) * limit / 2
			put(-long, -stem/2, -gap, stem/2)
			put(gap, -stem/2, long, stem/2)
			put(-gap-1, -hair/2, gap+1, hair/2)
		} else { // bars that cross or meet, where no disc of the limit fits
			stem *= 0.65
			put(-long, -stem/2, long, stem/2)
			at := uniform(rng, -0.8, 0.8) * long
			low := -stem / 2
			if rng.IntN(2) == 0 {
				low = -long * 0.7
			}
			put(at-stem/2, low, at+stem/2, long*0.7)
		}
		r := Measure(d.ink(rendering{bilevel: bilevel, invert: true}), Request{Safe: [4]float64{limit, limit, limit, limit}, Bare: true})
		within := 0.25
		if bilevel {
			within = 1
		}
		strips := ofKind(r, Strip)
		switch {
		case joined && len(strips) == 0:
			missed++
			t.Logf("seed %d: a hairline of %.2f px between stems of %.2f, limit %.2f, bilevel %t is missed", seed, hair, stem, limit, bilevel)
		case joined && math.Abs(strips[0].Width-hair) > within:
			off++
			t.Logf("seed %d: a hairline of %.2f px, bilevel %t reads %.2f", seed, hair, bilevel, strips[0].Width)
		case !joined && len(strips) > 0:
			falsely++
			t.Logf("seed %d: bars of %.2f px, limit %.2f, bilevel %t have a strip of %.2f", seed, stem, limit, bilevel, strips[0].Width)
		}
	}
	t.Logf("missed %d, off %d, falsely %d", missed, off, falsely)
	assert.Zero(t, missed)
	assert.LessOrEqual(t, off, 2)
	assert.LessOrEqual(t, falsely, 1)
}
