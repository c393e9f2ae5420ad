package proof

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
	"stencilproof/raster"
)

// slowCover is the definition: the mean over the box of what every pixel
// covers, pixel by pixel with the share that lies inside.
func slowCover(k *raster.Ink, x0, y0, x1, y1 float64, w, h int) []float64 {
	sh := raster.Shape{Ink: k}
	out := make([]float64, 0, w*h)
	sx, sy := (x1-x0)/float64(w), (y1-y0)/float64(h)
	part := func(a0, a1 float64, i int) float64 {
		return math.Max(0, math.Min(a1, float64(i+1))-math.Max(a0, float64(i)))
	}
	for j := 0; j < h; j++ {
		for i := 0; i < w; i++ {
			bx0, bx1, by0, by1 := x0+sx*float64(i), x0+sx*float64(i+1), y0+sy*float64(j), y0+sy*float64(j+1)
			s := 0.0
			for y := -3; y < k.H+3; y++ {
				for x := -3; x < k.W+3; x++ {
					s += sh.Cover(x, y) * part(bx0, bx1, x) * part(by0, by1, y)
				}
			}
			out = append(out, s/(sx*sy))
		}
	}
	return out
}

// TestCoverEqualsDefinition over random planes, bilevel and grey, whole and
// clipped windows, reduced and enlarged.
func TestCoverEqualsDefinition(t *testing.T) {
	const seed = 4
	rng := rand.New(rand.NewPCG(seed, 4))
	for trial := 0; trial < 60; trial++ {
		w, h := 1+rng.IntN(140), 1+rng.IntN(12)
		g := make([]uint8, w*h)
		for i := range g {
			g[i] = uint8(rng.IntN(256))
		}
		k := raster.NewGreyInk(w, h, g)
		if trial%2 == 0 {
			k = raster.NewBilevelInk(k.Bits)
		}
		a := &art{ink: k, mm: 0.1}
		x0, y0, x1, y1 := 0.0, 0.0, float64(w), float64(h)
		if trial%3 == 0 {
			x0, y0 = -2+rng.Float64()*4, -2+rng.Float64()*4
			x1, y1 = x0+1+rng.Float64()*float64(w), y0+1+rng.Float64()*float64(h)
		}
		ow, oh := 1+rng.IntN(20), 1+rng.IntN(20)
		got, want := a.cover(x0, y0, x1, y1, ow, oh), slowCover(k, x0, y0, x1, y1, ow, oh)
		for i := range got {
			require.InDelta(t, 255*want[i], float64(got[i]), 0.51, "seed %d trial %d box %d", seed, trial, i)
		}
	}
}

// TestCoverOnCells: boxes of eight pixels and more are summed from cells of 4 x
// 4. On sides that cut no cell they are the definition, to the rounding of the
// cells; on other sides no ink is lost or made.
func TestCoverOnCells(t *testing.T) {
	const seed = 5
	rng := rand.New(rand.NewPCG(seed, 5))
	for trial := 0; trial < 40; trial++ {
		ow, oh, box := 1+rng.IntN(6), 1+rng.IntN(6), 4*(2+rng.IntN(3))
		w, h := ow*box, oh*box
		if trial%4 > 1 { // the last cells reach over the edge
			w, h = w+1+rng.IntN(3), h+1+rng.IntN(3)
		}
		g := make([]uint8, w*h)
		for i := range g {
			g[i] = uint8(rng.IntN(256))
		}
		k := raster.NewGreyInk(w, h, g)
		if trial%2 == 0 {
			k = raster.NewBilevelInk(k.Bits)
		}
		a := &art{ink: k, mm: 0.1}
		got, want := a.cover(0, 0, float64(ow*box), float64(oh*box), ow, oh), slowCover(k, 0, 0, float64(ow*box), float64(oh*box), ow, oh)
		require.NotNil(t, a.fourth, "seed %d trial %d", seed, trial)
		for i := range got {
			require.InDelta(t, 255*want[i], float64(got[i]), 1.01, "seed %d trial %d box %d", seed, trial, i)
		}
		got, want = a.cover(0, 0, float64(w), float64(h), max(ow-1, 1), max(oh-1, 1)), slowCover(k, 0, 0, float64(w), float64(h), 1, 1)
		sum := 0.0
		for _, v := range got {
			sum += float64(v)
		}
		require.InDelta(t, 255*want[0], sum/float64(len(got)), 1.01, "seed %d trial %d", seed, trial)
	}
}

// TestEnlargement: ISO 5455 steps, worked by hand from 1.2 mm drawn at least.
func TestEnlargement(t *testing.T) {
	for _, c := range []struct{ mm, want float64 }{{0.06, 20}, {0.0599, 50}, {0.12, 10}, {0.24, 5}, {0.6, 2}, {1.2, 1}, {2.4, 0.5}, {30, 0.1}, {0.01, 50}} {
		assert.Equal(t, c.want, enlargement(c.mm), "%g mm", c.mm)
	}
}

// TestValueLeavesTheMeasuredSpotFree turns the dimension through all angles:
// its value stays in the frame and off the spot.
func TestValueLeavesTheMeasuredSpotFree(t *testing.T) {
	k := raster.NewBilevelInk(raster.NewBits(400, 400))
	a := &art{ink: k, mm: 0.02, widthM: 8, height: 8}
	for _, um := range []float64{30, 60, 85, 118, 230, 300} {
		for deg := 0.0; deg < 180; deg += 3 {
			l := look{kind: raster.Line, at: preflight.PointMM{X: 4, Y: 4}, across: deg, widthMM: um / 1000, safeMM: 0.3, value: "0.0024" + nbsp + "in"}
			f, s := closeUp(a, l, closeW, closeH)
			for _, b := range f.Boxes {
				if b.Role != "value" {
					continue
				}
				require.True(t, b.X >= 0.5 && b.Y >= 0.5 && b.X+b.W <= closeW-0.5 && b.Y+b.H <= closeH-0.5, "%g um at %g: %v", um, deg, b)
				require.Greater(t, gap(rect{b.X, b.Y, b.X + b.W, b.Y + b.H}, closeW/2, closeH/2), um/1000*s/2+0.5, "%g um at %g", um, deg)
			}
		}
	}
}
