package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A short narrow slot with round ends is as wide as its area and perimeter make it: its end
// is no acute corner. (Of 1.2 to 2 px it read 0.2 to 0.6 px narrow on average, with a plus and
// minus of 0.2.)
func TestEndOfASlotIsNoCorner(t *testing.T) {
	for _, w := range []float64{1.5, 2, 2.5, 3, 4} {
		for _, share := range []float64{4, 8} {
			rng := rand.New(rand.NewPCG(3, 9))
			l, off, beyond := share*w, 0.0, 0
			truth := 4 * (l*w + math.Pi*w*w/4) / (2*l + math.Pi*w)
			const n = 40
			for range n {
				a := rng.Float64() * 2 * math.Pi
				d, c := canvas(rng, l+12)
				d.add(barPoly(c, a, l, w))
				d.add(discPoly(polar(c, l/2, a), w/2))
				d.add(discPoly(polar(c, -l/2, a), w/2))
				k := d.ink(rendering{})
				b := Shape{Ink: k}.MeasureBlob(int(c.X), int(c.Y), Box{0, 0, float64(k.W), float64(k.H)})
				off += (b.Width - truth) / n
				if math.Abs(b.Width-truth) > b.PlusMinus {
					beyond++
				}
			}
			assert.InDelta(t, 0, off, 0.1, "%g px wide and %g long", w, l)
			assert.LessOrEqual(t, beyond, n/20, "%g px wide and %g long", w, l)
		}
	}
}
