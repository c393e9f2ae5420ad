package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The corner of a frame turned any way is no narrower than its sides: a single pixel that
// sticks out there is none of its width.
func TestFramesAtOddAngles(t *testing.T) {
	rng := rand.New(rand.NewPCG(heldOut, 77))
	off := 0
	const n = 100
	for i := range n {
		wide := uniform(rng, 2.7, 6)
		d, c := canvas(rng, 90)
		sin, cos := math.Sincos(uniform(rng, 1, 89) * math.Pi / 180)
		w, h := uniform(rng, 30, 60), uniform(rng, 30, 60)
		box := func(in float64) (pts []Point) {
			for _, p := range [4]Point{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
				x, y := p.X*(w-in), p.Y*(h-in)
				pts = append(pts, Point{c.X + x*cos - y*sin, c.Y + x*sin + y*cos})
			}
			return pts
		}
		d.add(box(0))
		d.hole(box(wide))
		safe := wide * uniform(rng, 0.75, 1.5)
		res := Measure(d.ink(rendering{bilevel: true}), Request{Safe: [4]float64{safe, safe, safe, safe}})
		if got := res.Finest[Line]; !got.Found || math.Abs(got.Width-wide) > 0.7 {
			off++
			t.Logf("%d: a frame of %.2f px, limit %.2f, reads %.2f", i, wide, safe, got.Width)
		}
	}
	t.Logf("%d of %d off by more than 0.7 px", off, n)
	assert.LessOrEqual(t, off, 1)
}
