package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A thin bridge between two blocks, at any angle, is there and as wide as it was drawn:
// where thinning leaves a knot of pixels in the midst of it that tells nothing.
func TestBridgesAtAnyAngle(t *testing.T) {
	missed, off := 0, 0
	const n = 400
	for seed := range uint64(n) {
		rng := rand.New(rand.NewPCG(seed, 79))
		bilevel := seed%3 == 0
		least := 1.0
		if bilevel {
			least = 2
		}
		limit := uniform(rng, 3, 9)
		wide := uniform(rng, least, max(least+0.2, 0.6*limit))
		long := uniform(rng, 3, 9) * limit
		d, c := canvas(rng, long/2+5*limit)
		sin, cos := math.Sincos(rng.Float64() * math.Pi)
		put := func(x0, y0, x1, y1 float64) {
			var pts []Point
			for _, p := range [4]Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}} {
				pts = append(pts, Point{c.X + p.X*cos - p.Y*sin, c.Y + p.X*sin + p.Y*cos})
			}
			d.add(pts)
		}
		put(-long/2-4*limit, -3*limit, -long/2, 3*limit)
		put(long/2, -3*limit, long/2+4*limit, 3*limit)
		put(-long/2-1, -wide/2, long/2+1, wide/2)
		got := Measure(d.ink(rendering{bilevel: bilevel}), Request{Safe: [4]float64{limit, limit, limit, limit}, Bare: true}).Finest[Line]
		within := 0.25
		if bilevel {
			within = 0.7
		}
		switch {
		case !got.Found:
			missed++
			t.Logf("seed %d: a bridge of %.2f px, %.1f long, limit %.2f, bilevel %t is missed", seed, wide, long, limit, bilevel)
		case math.Abs(got.Width-wide) > within:
			off++
			t.Logf("seed %d: a bridge of %.2f px, %.1f long, limit %.2f, bilevel %t reads %.2f", seed, wide, long, limit, bilevel, got.Width)
		}
	}
	t.Logf("of %d bridges %d missed, %d off", n, missed, off)
	assert.Zero(t, missed)
	assert.LessOrEqual(t, off, n/100)
}
