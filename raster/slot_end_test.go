package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A closed slot over the limit, with square ends or round ones, has no strip in it, in
// whatever places the disc happens to fit along it: where those leave less than shortCourse
// between them, what counts is what lies there, not the slot's end beyond. (On three grid
// pixels to the pixel it was slots of 3.25 to 3.4 px: of 12,000 drawn so 27 had a strip at their end,
// as narrow as 0.1 px.)
func TestSlotsOverTheLimitHaveNoStripAtTheirEnd(t *testing.T) {
	rng := rand.New(rand.NewPCG(29, 11))
	const side, n = 44, 5 // each slot in a cell of its own
	slots, falsely := 0, 0
	rounds := 48
	if testing.Short() {
		rounds = 12
	}
	for round := range rounds {
		wide := uniform(rng, 3.22, 3.4)
		if round%4 == 3 {
			wide = uniform(rng, 2.8, 6)
		}
		d := &drawing{w: n * side, h: n * side}
		for i := range n * n {
			c := Point{(float64(i%n)+0.5)*side + rng.Float64(), (float64(i/n)+0.5)*side + rng.Float64()}
			a, half := rng.Float64()*2*math.Pi, 15.0
			slot := []Point{turned(c, a, -half, -wide/2), turned(c, a, half, -wide/2)}
			if round%3 == 0 {
				for k := 1; k < 16; k++ {
					t := math.Pi * float64(k) / 16
					slot = append(slot, turned(c, a, half+wide/2*math.Sin(t), -wide/2*math.Cos(t)))
				}
			}
			d.add(append(slot, turned(c, a, half, wide/2), turned(c, a, -half, wide/2)))
		}
		limit := wide * uniform(rng, 0.5, 0.8)
		r := Measure(d.ink(rendering{invert: true}), Request{Safe: [4]float64{0.75 * limit, limit, limit, 2 * limit}, Bare: true})
		slots += n * n
		for _, f := range ofKind(r, Strip) {
			falsely++
			t.Logf("round %d: a slot of %.2f px has a strip of %.2f +- %.2f under %.2f at %.1f", round, wide, f.Width, f.PlusMinus, limit, f.At)
		}
	}
	t.Logf("%d slots, %d falsely", slots, falsely)
	assert.Zero(t, falsely)
}
