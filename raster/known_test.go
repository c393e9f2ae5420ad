package raster_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

// What is remembered from measuring to measuring changes nothing: features,
// finest, tips and specks are those of a measuring of its own, at limits under the
// least disc, over it, and again; and Bare and Enough leave out what they say.
func TestKnownChangesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(26, 11))
	some := 0
	for round := range 8 {
		k := randomArt(rng)
		known := &raster.Known{Reach: 14}
		for _, line := range []float64{9, 6, 4.5, 2.6, 1.9, 1.1, 1.3, 1.8, 0.8, 12} {
			req := raster.Request{Safe: [4]float64{line, line * 4 / 3, line * 4 / 3, line * 8 / 3}}
			own := raster.Measure(k, req)
			req.Known = known
			got := raster.Measure(k, req)
			assert.Equal(t, own, got, "round %d, limit %g", round, line)
			some += len(own.Features)

			req.Bare = true
			bare := raster.Measure(k, req)
			for _, kind := range [2]raster.Kind{raster.Line, raster.Strip} {
				if !bare.Finest[kind].Found {
					bare.Finest[kind] = raster.Narrowest(k, kind, req.Safe[kind])
				}
			}
			assert.Equal(t, own, bare, "round %d, limit %g", round, line)

			req.Enough = true
			enough := raster.Measure(k, req)
			assert.Equal(t, len(own.Features) > 0, len(enough.Features) > 0, "round %d, limit %g", round, line)
			req.Known = nil
			alone := raster.Measure(k, req)
			assert.Equal(t, len(own.Features) > 0, len(alone.Features) > 0, "nothing known, round %d, limit %g", round, line)
		}
	}
	require.Greater(t, some, 50)
}
