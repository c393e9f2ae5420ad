package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The slope that leaves most room, against all slopes in small steps; on bars,
// on bars that bend, and on noise.
func TestPeakLeavesMostRoom(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 5))
	bars, none := 0, 0
	for range 160 {
		n, shift := 3+rng.IntN(60), rng.IntN(5)-2
		top, low := make([]float64, n), make([]float64, n)
		m, a, width := 2.4*rng.Float64()-1.2, rng.Float64(), 2+6*rng.Float64()
		bend := 0.0
		if rng.IntN(2) == 0 {
			bend = 0.02 * rng.Float64()
		}
		for i := range top {
			x := float64(i)
			top[i] = math.Round(a + m*x + bend*x*x)
			low[i] = math.Round(a + width + m*(x+float64(shift)))
			if rng.IntN(400) == 0 {
				low[i]++
			}
		}
		s := newSlabs(nil, top, low, shift)
		want := math.Inf(-1)
		const steps = 8000
		for i := range steps + 1 {
			r, _ := s.room(-steepest + 2*steepest*float64(i)/steps)
			want = math.Max(want, r)
		}
		m, got := s.peak(false)
		r, _ := s.room(m)
		assert.Equal(t, r, got)
		assert.GreaterOrEqual(t, got, want-1e-9)
		// Between two steps it can be higher by the steepest growth, n a step.
		assert.LessOrEqual(t, got, want+float64(n)*steepest/steps)
		assert.Equal(t, got > 0, isBar(nil, top, low, shift))
		if got > 0 {
			bars++
		} else {
			none++
		}
	}
	assert.Greater(t, bars, 40)
	assert.Greater(t, none, 40)
}
