package raster

import (
	"math"
	"math/rand/v2"
	"slices"
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

// Necks of enclosed film are found whatever was looked for before, under larger limits: in
// rings, and in slots a hair wider than the limit whose waist is some tenths of a pixel
// narrower. (Slots that read as wide all along under the larger limit, whose windows are
// longer, were once left out under the smaller: of 4,260 drawn so, 7. The last three seeds
// have one each.)
func TestNecksOfIslandsWhateverWasLookedForBefore(t *testing.T) {
	rings := func(neck bool) *drawing {
		d := &drawing{w: 220, h: 220}
		c := Point{110.3, 109.8}
		d.add(discPoly(c, 90))
		d.hole(discPoly(c, 82))
		if neck { // ink that leaves 2.5 px of the ring
			d.hole([]Point{{c.X + 84.5, c.Y - 3}, {c.X + 90, c.Y - 3}, {c.X + 90, c.Y + 3}, {c.X + 84.5, c.Y + 3}})
		}
		return d
	}
	found := func(k *Ink, limits ...float64) (strips []Feature) {
		known := &Known{Reach: 60}
		for _, limit := range limits {
			req := Request{Safe: [4]float64{limit, limit, limit, 2 * limit}}
			alone := Measure(k, req)
			req.Known = known
			got := Measure(k, req)
			assert.Equal(t, alone, got, "limit %g", limit)
			strips = append(strips, ofKind(got, Strip)...)
		}
		return strips
	}
	for _, bilevel := range []bool{false, true} {
		assert.Empty(t, found(rings(false).ink(rendering{bilevel: bilevel, invert: true}), 20, 15, 12))
		necks := found(rings(true).ink(rendering{bilevel: bilevel, invert: true}), 20, 15, 12)
		assert.Len(t, necks, 3, "bilevel %t", bilevel)
		for _, f := range necks {
			assert.InDelta(t, 2.5, f.Width, 1)
		}
	}
	waists := 0
	for _, seed := range []uint64{1, 2, 3, 132, 188, 326} {
		rng := rand.New(rand.NewPCG(seed, 30))
		wide := uniform(rng, 4, 10)
		d := &drawing{w: 330, h: 250}
		for y := 22.0; y < 235; y += 30 {
			for x := 10.0; x < 260; x += 80 {
				c, a := Point{x + rng.Float64(), y + rng.Float64()}, uniform(rng, -0.12, 0.12)
				w, depth := wide+uniform(rng, -0.15, 0.15), uniform(rng, 0.3, 0.8)
				long, half := uniform(rng, 20, 66), uniform(rng, 0.5, 6)
				mid := uniform(rng, 0.2, 0.8) * long
				var top, low []Point
				for i := range 201 {
					s := long * float64(i) / 200
					v := w/2 - depth/2*math.Max(0, 1-math.Abs(s-mid)/half)
					top, low = append(top, turned(c, a, s, v)), append(low, turned(c, a, s, -v))
				}
				slices.Reverse(low)
				d.add(append(top, low...))
			}
		}
		limit := wide - uniform(rng, -0.15, 0.25)
		k := d.ink(rendering{invert: true, blur: max(0, uniform(rng, -1.5, 1.4))})
		waists += len(found(k, limit*uniform(rng, 1.5, 4), limit))
	}
	assert.Greater(t, waists, 10)
}
