package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Between crossings near an axis a line in whole pixels may have no step: its plus and minus
// tells that each side may lie anywhere within its pixel.
func TestShortPiecesNearAnAxis(t *testing.T) {
	rng := rand.New(rand.NewPCG(heldOut, 4))
	all, beyond := 0, 0
	for i := range 240 {
		wide := uniform(rng, 2.8, 7)
		apart := wide * uniform(rng, 3, 8)
		turn := uniform(rng, 0.3, 4)*math.Pi/180 + float64(i%2)*math.Pi/2
		d, c := canvas(rng, 3*apart+10)
		for _, off := range [2]float64{-apart / 2, apart / 2} {
			for q := range 2 {
				var bar []Point
				for _, p := range [4]Point{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
					bar = append(bar, turned(c, turn+float64(q)*math.Pi/2, 1.5*apart*p.X, off+wide/2*p.Y))
				}
				d.add(bar)
			}
		}
		safe := 1.3 * wide
		for _, f := range ofKind(Measure(d.ink(rendering{bilevel: true}), Request{Safe: [4]float64{safe, 1, safe, 1}, Bare: true}), Line) {
			all++
			if math.Abs(f.Width-wide) > f.PlusMinus {
				beyond++
			}
		}
	}
	t.Logf("%d of %d beyond plus and minus", beyond, all)
	assert.LessOrEqual(t, beyond, all/20)
}
