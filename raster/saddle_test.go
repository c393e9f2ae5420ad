package raster

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// By hand: the corner of a halftone where a gap of 1 px between two dots runs at an
// angle. Of 255, the mean of the 16 is 143.4, so that half lies at 0.519, 132; the saddle
// of 136 and 153 across 0 and 0 is 136 x 153 / 289 = 72. In its negative the mean
// is 111.6, half 123, and the saddle 255 - 72 = 183. Every pixel has solid and clear ones
// around it, so that levelling leaves it. Whole pixels are even, and ink.
func TestSaddleByHand(t *testing.T) {
	dots := []uint8{
		0, 102, 255, 255,
		119, 0, 136, 255,
		255, 153, 0, 119,
		255, 255, 136, 0,
	}
	k := NewGreyInk(4, 4, dots)
	require.InDelta(t, 136, k.levelAt(2, 1), 0)
	assert.True(t, k.filmCrosses(1, 1, 1), "gap")
	negative := make([]uint8, 16)
	for i, v := range dots {
		negative[i] = 255 - v
	}
	assert.False(t, NewGreyInk(4, 4, negative).filmCrosses(1, 1, 1), "line")
	assert.False(t, NewGreyInk(2, 2, []uint8{255, 0, 0, 255}).filmCrosses(1, 0, 0))
	assert.False(t, NewGreyInk(2, 2, []uint8{0, 255, 255, 0}).filmCrosses(1, 0, 0))
}

// The plane differs from the cut by saddles opened alone: each pixel cleared was one of
// two of ink that met at a corner the film crosses, and no piece of ink has gone. Levels
// and refining are those of the grid.
func TestOpenSaddles(t *testing.T) {
	opened := 0
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 15))
		w, h, up := 3+r.IntN(150), 3+r.IntN(90), 1+r.IntN(4)
		grey := make([]uint8, w*h)
		for i := range grey {
			grey[i] = uint8(r.IntN(256))
		}
		k := NewGreyInk(w, h, grey)
		name := fmt.Sprintf("seed %d: %d x %d, up %d", seed, w, h, up)
		for y := -1; y <= h; y++ {
			for x := -1; x <= w; x++ {
				want := 0
				if x >= 0 && x < w {
					want = slowLevel(k, x, y)
				}
				require.Equal(t, want, int(k.levelAt(x, y)), "%s: level at %d, %d", name, x, y)
			}
		}
		g := newGrid(w, h, up, 1, 2+r.IntN(70))
		cut := NewBits(g.w, g.h)
		g.cut(cut, k)
		got := cut.Clone()
		g.openSaddles(got, k)
		crosses := func(b *Bits, x, y int) bool {
			nw, ne, sw, se := b.Get(x, y), b.Get(x+1, y), b.Get(x, y+1), b.Get(x+1, y+1)
			return nw == se && ne == sw && nw != ne && k.filmCrosses(up, x-g.padX, y-g.padY)
		}
		for y := 0; y+1 < g.h; y++ {
			for x := 0; x+1 < g.w; x++ {
				X, Y := x-g.padX, y-g.padY
				require.Equal(t, cut.Get(x, y), X >= 0 && Y >= 0 && X < w*up && Y < h*up && k.refinedAt(up, X, Y) >= 128.0/255-1e-12, "%s: %d, %d", name, X, Y)
				if cut.Get(x, y) != got.Get(x, y) {
					require.True(t, cut.Get(x, y), name)
					opened++
					require.True(t, crosses(cut, x, y) || crosses(cut, x-1, y) || crosses(cut, x, y-1) || crosses(cut, x-1, y-1), name)
				}
			}
		}
		require.GreaterOrEqual(t, len(Label(got, true).List), len(Label(cut, true).List), name)
	}
	assert.Greater(t, opened, 1000)
}

// A pixel is spare when what it touches hangs together without it: the pieces of the
// ink, corners counting, are as many as before with the neighbour's corner cut.
func TestSpareKeepsThePieces(t *testing.T) {
	for ring := range 256 {
		b := NewBits(7, 7)
		b.Set(3, 3)
		for n := range 8 {
			if ring>>n&1 != 0 {
				b.Set(3+offX[n], 3+offY[n])
			}
		}
		const se = 7
		if ring>>se&1 == 0 || ring&(1<<0|1<<6) != 0 {
			continue // the neighbour across the corner, and film beside it
		}
		q := [2]int{3 + offX[se], 3 + offY[se]}
		b.Clear(q[0], q[1])
		before := len(Label(b, true).List)
		b.Clear(3, 3)
		after := len(Label(b, true).List)
		b.Set(3, 3)
		b.Set(q[0], q[1])
		assert.Equal(t, before == after && after > 0, spare(b, [2]int{3, 3}, q), "ring %08b", ring)
	}
}

// A gap of a pixel between two dots is one strip, however it runs, and nothing else:
// at 600 pixels an inch on a film of 10 mil as at 300 on one of 2. Under a pixel some
// are not told; see saddleLean. The line between two holes is its like.
func TestGapsBetweenDots(t *testing.T) {
	most := map[float64]int{0.8: 5, 0.9: 1, 1: 1, 1.2: 0} // of 120, told otherwise
	for _, film := range []bool{false, true} {
		for width, most := range most {
			r := rand.New(rand.NewPCG(8, 2))
			odd := 0
			for i := range 120 {
				d := &drawing{w: 80, h: 80}
				a, c := r.Float64()*math.Pi, Point{40 + r.Float64(), 40 + r.Float64()}
				add := d.add
				if film {
					d.add([]Point{{2, 2}, {78, 2}, {78, 78}, {2, 78}})
					add = d.hole
				}
				for side := -1.0; side <= 1; side += 2 {
					radius := 8 + 4*r.Float64()
					add(discPoly(polar(c, side*(width/2+radius), a), radius))
				}
				limit := [3]float64{2.9, 4.5, 9}[i%3]
				got := Measure(d.ink(rendering{}), safe(limit)).Features
				want := Strip
				if film {
					want = Line
				}
				if len(got) != 1 || got[0].Kind != want || math.Abs(got[0].Width-width) > 0.3 {
					odd++
				}
			}
			t.Logf("film %t, %.1f px: %d of 120 odd", film, width, odd)
			assert.LessOrEqual(t, odd, most, "film %t, %.1f px", film, width)
		}
	}
}
