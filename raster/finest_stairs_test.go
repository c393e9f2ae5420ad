package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The narrowest of a page in whole pixels that holds, found on a reduced grid, is measured
// on the artwork: its plus and minus is that of stairs, and the width lies within. (Read
// on the grid, 26 of these 40 curved gaps lay beyond it.)
func TestFinestOfStairsIsMeasuredOnTheArtwork(t *testing.T) {
	rng := rand.New(rand.NewPCG(107, 2))
	beyond := 0
	for range 40 {
		gap, r, a := uniform(rng, 15, 25), uniform(rng, 80, 200), rng.Float64()*2*math.Pi
		d, c := canvas(rng, 150)
		middle := polar(c, r, a)
		arc := func(from, to float64) []Point {
			var p []Point
			for i := -40; i <= 40; i++ {
				p = append(p, polar(middle, from, a+math.Pi+float64(i)*50/r/40))
			}
			for i := 40; i >= -40; i-- {
				p = append(p, polar(middle, to, a+math.Pi+float64(i)*50/r/40))
			}
			return p
		}
		d.add(arc(r-gap/2-40, r-gap/2))
		d.add(arc(r+gap/2, r+gap/2+40))
		f := Measure(d.ink(rendering{bilevel: true}), Request{Safe: [4]float64{8, 10, 10, 20}}).Finest[Strip]
		if !f.Found || math.Abs(f.Width-gap) > f.PlusMinus {
			beyond++
			t.Logf("%.2f px read as %.2f +- %.2f", gap, f.Width, f.PlusMinus)
		}
	}
	assert.LessOrEqual(t, beyond, 2)
}
