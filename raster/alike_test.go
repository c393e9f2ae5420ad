package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Places alike give the same numbers to the last digit wherever they lie, so
// that one measured speaks for all; and a profile taken from memory is what
// measuring gives.
func TestAlikeMeasuresTheSame(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	for _, bilevel := range []bool{false, true} {
		const pitchX, pitchY = 97, 61
		grey := make([]uint8, 3*pitchX*3*pitchY)
		one := func(x, y float64) float64 { // a bar with a waist between two blobs
			d := math.Abs(y-30-0.2*x) - (2.2 + 0.02*(x-48)*(x-48))
			return math.Min(1, math.Max(0, 0.5-d))
		}
		w, h := 3*pitchX, 3*pitchY
		for y := range h {
			for x := range w {
				grey[y*w+x] = uint8(math.Round(255 * one(float64(x%pitchX)+0.5, float64(y%pitchY)+0.5-9)))
			}
		}
		k := NewGreyInk(w, h, grey)
		if bilevel {
			k = bilevelOf(k)
		}
		known := &alike{}
		for range 6 {
			cx, cy := 40+12*rng.Float64(), 48+rng.Float64()*3
			third := 1.0 / 3 // a grid of three to the pixel rounds differently from place to place
			var first Profile
			for cell := range 9 {
				dx, dy := float64(cell%3*pitchX), float64(cell/3*pitchY)
				c := Course{}
				for i := range 16 {
					c.Path = append(c.Path, Point{(math.Round(3*cx)+float64(i)+3*dx)*third - 2, (math.Round(3*cy)+0.2*float64(i)+3*dy)*third - 1})
				}
				s := Shape{Ink: k}
				p := s.measureCourse(c, 6, false, known)
				require.Equal(t, s.MeasureCourse(c, 6), p)
				require.NotEmpty(t, p.Sections)
				if cell == 4 {
					first = p
				}
				if cell > 4 {
					assert.Equal(t, first.Width, p.Width)
					assert.Equal(t, first.PlusMinus, p.PlusMinus)
					assert.InDelta(t, first.At.X-pitchX, p.At.X-dx, 1e-9)
					assert.InDelta(t, first.At.Y-pitchY, p.At.Y-dy, 1e-9)
				}
			}
		}
		assert.NotEmpty(t, known.known)
		assert.Less(t, len(known.known), 6*9-12, "some were met again")
	}
}

func TestAlikeForgetsBeyondItsBound(t *testing.T) {
	a := &alike{size: alikeMost}
	a.put([]byte("x"), Profile{Width: 1})
	_, ok := a.get([]byte("x"))
	assert.False(t, ok)
}
