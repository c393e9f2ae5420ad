package preflight

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

// grey draws a plane from a coverage of 0 to 1 at each pixel's middle.
func grey(w, h int, cover func(x, y float64) float64) *raster.Ink {
	g := make([]uint8, w*h)
	for y := range h {
		for x := range w {
			g[y*w+x] = uint8(math.Round(255 * min(1, max(0, cover(float64(x)+.5, float64(y)+.5)))))
		}
	}
	return raster.NewGreyInk(w, h, g)
}

// normal is the blurred step: the share of a normal distribution below v.
func normal(v float64) float64 { return 0.5 * (1 + math.Erf(v/math.Sqrt2)) }

func TestTonesSilent(t *testing.T) {
	for _, c := range []struct {
		name  string
		cover func(x, y float64) float64
	}{
		{"clear", func(x, y float64) float64 { return 0 }},
		{"solid", func(x, y float64) float64 { return 1 }},
		{"off-white paper", func(x, y float64) float64 { return 0.09 }},
		{"an edge blurred by sigma 2.5 px", func(x, y float64) float64 { return normal((x - 40) / 2.5) }},
		{"the same aslant", func(x, y float64) float64 { return normal((0.8*x + 0.6*y - 50) / 2.5) }},
		{"a blurred disc", func(x, y float64) float64 { return normal((20 - math.Hypot(x-50, y-50)) / 2.5) }},
		{"a grey line 4 px wide", func(x, y float64) float64 {
			if math.Abs(x-50) < 2 {
				return 0.5
			}
			return 0
		}},
	} {
		assert.Empty(t, surveyTones(grey(100, 100, c.cover)), c.name)
	}
	assert.Empty(t, surveyTones(raster.NewBilevelInk(raster.NewBits(100, 100))))
}

func TestTones(t *testing.T) {
	k := grey(200, 100, func(x, y float64) float64 {
		switch {
		case x > 8 && x < 48 && y > 8 && y < 40:
			return 0.3 // a tint of 40 x 32
		case x > 100 && y > 60:
			return 0.2 + 0.6*(x-100)/100 // a gradient
		case x > 160 && y < 20:
			return 1
		}
		return 0
	})
	tones := surveyTones(k)
	require.Len(t, tones, 2)
	assert.InDelta(t, 96*32, tones[0].Area, 700, "the gradient, largest first")
	assert.InDelta(t, 40*32, tones[1].Area, 0.5, "the tint, which lies on whole blocks")
	assert.InDelta(t, 0.3, tones[1].Cover, 0.01)
	assert.Equal(t, raster.Box{X0: 8, Y0: 8, X1: 48, Y1: 40}, tones[1].Box)

	s := surveyOf()
	s.Tones = tones
	n := noteOf(t, Judge(s, plainFilm, Options{}), NoteGreyAreas)
	assert.Equal(t, 2, n.Count)
	assert.InDelta(t, (tones[0].Area+tones[1].Area)*0.01, n.Values["area_mm2"], 1e-9)
	assert.Len(t, n.Boxes, 2)
	assert.InDelta(t, 2.8, n.Places[1].X, 1e-9)
}
