package raster

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Whether two pixels meet across a corner is the same wherever the contour comes
// from, also where the four pixels add up to just half: else a walk that went in
// there never comes back, and grows without end.
func TestCornersJoinFromEitherSide(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 9))
	for range 20000 {
		// The diagonal is in, the others are out, and the sum is 2 or a level off.
		a, b := 128+rng.IntN(128), 128+rng.IntN(128)
		rest := 510 + rng.IntN(3) - 1 - a - b
		if rest < 0 || rest > 2*127 {
			continue
		}
		c := rng.IntN(rest + 1)
		if c > 127 || rest-c > 127 {
			continue
		}
		for _, film := range []bool{false, true} {
			grey := []uint8{uint8(a), uint8(c), uint8(rest - c), uint8(b)}
			if film {
				for i, v := range grey {
					grey[i] = 255 - v
				}
			}
			p := &piece{f: newSampler(Shape{Ink: NewGreyInk(2, 2, grey), Film: film}), own: NewBits(2, 2)}
			p.own.Set(0, 0)
			p.own.Set(1, 1)
			there := p.joined(0, 0, [2]int{1, 0}, [2]int{0, 1})
			assert.Equal(t, there, p.joined(1, 1, [2]int{0, -1}, [2]int{-1, 0}), "%v film %v", grey, film)
			assert.Equal(t, there, p.joined(0, 0, [2]int{0, 1}, [2]int{1, 0}), "%v film %v", grey, film)
			assert.Equal(t, there, p.joined(1, 1, [2]int{-1, 0}, [2]int{0, -1}), "%v film %v", grey, film)
		}
	}
}
