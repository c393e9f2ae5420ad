package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Between the point of a cusp of film and a straight side a line is as wide as plus and
// minus says.
func TestCuspBesideAStraightSide(t *testing.T) {
	const n = 240
	beyond := 0
	for i := range n {
		rng := rand.New(rand.NewPCG(heldOut, uint64(i)))
		half := uniform(rng, 25, 55) * math.Pi / 180
		wide := uniform(rng, 3, 9)
		safe := wide * uniform(rng, 1.4, 2.5)
		body := safe * uniform(rng, 1.8, 3.5)
		deep := (body - wide) * math.Tan(half)
		long := deep + 3*safe
		d, c := canvas(rng, long+body+8)
		turn := rng.Float64() * 2 * math.Pi
		var outline []Point
		for _, p := range []Point{{-long, 0}, {long, 0}, {long, body}, {deep, body}, {0, wide}, {-deep, body}, {-long, body}} {
			outline = append(outline, turned(c, turn, p.X, p.Y-body/2))
		}
		d.add(outline)
		got := ofKind(Measure(d.ink(rendering{}), Request{Safe: [4]float64{safe, 1, safe, 1}, Bare: true}), Line)
		require.NotEmpty(t, got)
		if math.Abs(got[0].Width-wide) > got[0].PlusMinus {
			beyond++
		}
	}
	t.Logf("%d of %d beyond plus and minus", beyond, n)
	assert.LessOrEqual(t, beyond, n/20)
}
