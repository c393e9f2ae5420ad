package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFitsAtIsErodeOnWholePixels(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	b := NewBits(150, 60)
	for range 40 {
		r := 1 + 3*rng.Float64()
		for i := range b.Words {
			b.Words[i] = ^uint64(0)
		}
		for range 60 {
			b.Clear(rng.IntN(b.W), rng.IntN(b.H))
		}
		for y := range b.H {
			b.Row(y)[b.Stride-1] &= b.LastMask()
		}
		e := Erode(b, r)
		for y := range b.H {
			for x := range b.W {
				require.Equal(t, e.Get(x, y), fitsAt(b, 2*x, 2*y, r), "%d,%d r %.3f", x, y, r)
			}
		}
		// Half-way places, by the definition.
		for range 200 {
			x2, y2 := rng.IntN(2*b.W), rng.IntN(2*b.H)
			want := true
			for y := range b.H {
				for x := range b.W {
					if !b.Get(x, y) && math.Hypot(float64(2*x-x2), float64(2*y-y2)) <= 2*r+1e-9 {
						want = false
					}
				}
			}
			require.Equal(t, want, fitsAt(b, x2, y2, r))
		}
	}
}

// A bilevel line an even number of pixels wide has no pixel in its middle, so
// that its E comes apart at each step; a disc passes all the same. A waist
// narrower than the disc it does not pass.
func TestDiscPassesBetweenPixels(t *testing.T) {
	arcs := func(waist float64) (all, left int) {
		b := NewBits(320, 120)
		for y := range b.H {
			for x := range b.W {
				px, py := float64(x)+0.5, float64(y)+0.5
				half := 3.5
				if d := math.Abs(px - 160); d < 6 {
					half = math.Min(half, waist/2+d/2)
				}
				line := 40 + 0.13*(px-10)
				if math.Abs(py-line) < half || math.Hypot(px-20, py-41) < 12 || math.Hypot(px-300, py-77) < 12 {
					b.Set(x, y)
				}
			}
		}
		p := &partition{g: newGrid(b.W, b.H, 1, 1, 0), d: 5.4, shape: b, pieces: Label(b, true)}
		p.fit()
		p.skip = make([]bool, len(p.pieces.List))
		p.takeApart(100)
		n := newNet(p, p.arcs)
		for _, a := range p.arcs {
			if !p.passes(a.path) {
				left++
			}
		}
		necks, _ := n.courses()
		assert.Len(t, necks, left)
		return len(p.arcs), left
	}
	all, left := arcs(7)
	assert.Greater(t, all, 5, "E comes apart on whole pixels")
	assert.Zero(t, left)
	for _, waist := range []float64{1.5, 3, 4, 4.8} {
		_, left = arcs(waist)
		assert.Equal(t, 1, left, "a waist of %g px", waist)
	}
}
