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

// A ring of film as wide all along is looked through for necks once, and what is found
// under smaller limits is what is found without knowing that; one with a neck is every time.
func TestEvenIslandsAreLookedThroughOnce(t *testing.T) {
	for _, neck := range []bool{false, true} {
		d := &drawing{w: 220, h: 220}
		c := Point{110.3, 109.8}
		d.add(discPoly(c, 90))
		d.hole(discPoly(c, 82))
		if neck { // ink that leaves 2.5 px of the ring
			d.hole([]Point{{c.X + 84.5, c.Y - 3}, {c.X + 90, c.Y - 3}, {c.X + 90, c.Y + 3}, {c.X + 84.5, c.Y + 3}})
		}
		for _, bilevel := range []bool{false, true} {
			k := d.ink(rendering{bilevel: bilevel, invert: true})
			known := &Known{Reach: 40}
			for _, limit := range []float64{20, 15, 12} {
				req := Request{Safe: [4]float64{limit, limit, limit, 2 * limit}}
				alone := Measure(k, req).Features
				req.Known = known
				got := Measure(k, req)
				assert.Equal(t, alone, got.Features, "limit %g, neck %t, bilevel %t", limit, neck, bilevel)
				if strips := ofKind(got, Strip); !neck {
					assert.Empty(t, strips)
				} else if assert.Len(t, strips, 1, "limit %g, bilevel %t", limit, bilevel) {
					assert.InDelta(t, 2.5, strips[0].Width, 1)
				}
			}
			even := 0
			for _, l := range known.laid {
				even += len(l.even)
			}
			assert.Equal(t, !neck, even == 1, "%d courses even, neck %t, bilevel %t", even, neck, bilevel)
		}
	}
}
