package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Edges look as they were made: sharp, blurred, enlarged or with noise.
func TestLookAtEdges(t *testing.T) {
	rng := rand.New(rand.NewPCG(88, 1))
	d, c := canvas(rng, 60)
	d.add(barPoly(c, 0.6, 90, 12))
	d.add(discPoly(Point{c.X - 30, c.Y + 30}, 15))
	length := 2*(90+12) + 2*math.Pi*15
	sharp := LookAtEdges(d.ink(rendering{}))
	assert.InEpsilon(t, length, sharp.Length, 0.1)
	assert.InDelta(t, 0.85, sharp.Soft, 0.15)
	assert.Zero(t, sharp.Grain)
	blur := LookAtEdges(d.ink(rendering{blur: 0.7}))
	assert.InDelta(t, 2.0, blur.Soft, 0.15)
	assert.InDelta(t, sharp.Length, blur.Length, 8)
	k := d.ink(rendering{})
	w, h, g := enlarged(k.W, k.H, 2, k.Grey, false)
	assert.Greater(t, LookAtEdges(NewGreyInk(w, h, g)).Soft, 2.0)
	for i, v := range k.Grey {
		k.Grey[i] = uint8(min(max(float64(v)+3*rng.NormFloat64(), 0), 255))
	}
	assert.Greater(t, LookAtEdges(k).Grain, 3.0)
	assert.Zero(t, LookAtEdges(d.ink(rendering{bilevel: true})))
}
