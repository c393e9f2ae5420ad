package raster

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// A pixel of K touches O through a side or a corner, in film not through a corner
// between two places of ink.
func TestTouchesOIsItsDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for range 40 {
		shape := NewBits(70, 9)
		k := NewBits(70, 9)
		for y := range shape.H {
			for x := range shape.W {
				if rng.Float64() < 0.6 {
					shape.Set(x, y)
					if rng.Float64() < 0.7 {
						k.Set(x, y)
					}
				}
			}
		}
		for _, film := range []bool{false, true} {
			f := &flood{p: &partition{shape: shape, k: k, film: film}}
			for y := range k.H {
				for x := range k.W {
					if !k.Get(x, y) {
						continue
					}
					want := false
					for n := range 8 {
						X, Y := x+offX[n], y+offY[n]
						if shape.Get(X, Y) && !k.Get(X, Y) && (!film || shape.Get(X, y) || shape.Get(x, Y)) {
							want = true
						}
					}
					// Wherever the word begins.
					for x0 := max(0, x-mostTouching+1); x0 <= x; x0++ {
						require.Equal(t, want, f.touchesO(x0, y)>>(x-x0)&1 != 0, "%d,%d from %d film %v", x, y, x0, film)
					}
				}
			}
		}
	}
}
