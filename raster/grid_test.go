package raster

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// softArt is a random artwork of solid blots with grey edges, seams and noise,
// and wide clear and solid areas between; bilevel when hard.
func softArt(r *rand.Rand, w, h int, hard bool) *Ink {
	b := random(r, w, h)
	if r.IntN(2) == 0 {
		b.Complement()
	}
	if hard {
		return NewBilevelInk(b)
	}
	grey := make([]uint8, w*h)
	for y := range h {
		for x := range w {
			n, sum := 0, 0
			for v := max(0, y-1); v <= min(h-1, y+1); v++ {
				for u := max(0, x-1); u <= min(w-1, x+1); u++ {
					n++
					if b.Get(u, v) {
						sum += 255
					}
				}
			}
			grey[y*w+x] = uint8(sum / n)
		}
	}
	for range w * h / 60 {
		grey[r.IntN(w*h)] = uint8(r.IntN(256))
	}
	return NewGreyInk(w, h, grey)
}

// slowLevel is the definition: the middle of the least and the most of the 3 x 3
// pixels around becomes the half, but within 2 pixels of a flat tone. Rows outside are
// clear, columns are left out.
func slowLevel(k *Ink, x, y int) int {
	if x < 0 || y < 0 || x >= k.W || y >= k.H {
		return 0
	}
	if k.Bilevel() {
		return int(255 * Shape{Ink: k}.Cover(x, y))
	}
	v := int(k.Grey[y*k.W+x])
	least, most := v, v
	for j := y - 1; j <= y+1; j++ {
		for i := max(0, x-1); i <= min(k.W-1, x+1); i++ {
			q := 0
			if j >= 0 && j < k.H {
				q = int(k.Grey[j*k.W+i])
			}
			least, most = min(least, q), max(most, q)
		}
	}
	cut := (least + most + 1) / 2
	if most-least < threadRange {
		return v
	}
	grey := func(x, y int) int {
		if x < 0 || y < 0 || x >= k.W || y >= k.H {
			return 0
		}
		return int(k.Grey[y*k.W+x])
	}
	if (v < 128) != (v < cut) { // only in a thread: both sides fall by half the range and to half
		thread := false
		for _, d := range [4][2]int{{1, 0}, {0, 1}, {1, 1}, {1, -1}} {
			falls := func(n int) bool { // next to it, or beyond one of its own side of half
				one, two, least := grey(x+n*d[0], y+n*d[1]), grey(x+2*n*d[0], y+2*n*d[1]), v
				if v >= 128 {
					one, two, least = 255-one, 255-two, 255-v
				}
				at := least
				least = min(least-44, least/2)
				return one <= least || one <= at-24 && two >= one+24 || (d[0]*d[1] == 0 || 5*one <= 4*at) && one < 128 && two <= least
			}
			thread = thread || falls(1) && falls(-1)
		}
		if !thread {
			return v
		}
	}
	if cut > 120 && cut < 136 {
		return v + 128 - cut
	}
	for j := max(0, y-2); j <= min(k.H-1, y+2); j++ {
		for i := max(0, x-2); i <= min(k.W-1, x+2); i++ {
			var around []int
			for b := max(0, j-1); b <= min(k.H-1, j+1); b++ {
				for a := max(0, i-1); a <= min(k.W-1, i+1); a++ {
					around = append(around, int(k.Grey[b*k.W+a]))
				}
			}
			if q := k.Grey[j*k.W+i]; q > 24 && q < 231 && slices.Max(around)-slices.Min(around) < 64 {
				return v
			}
		}
	}
	return v + 128 - cut
}

// slowRefined is the definition: coverage at the middle of grid pixel (X, Y),
// bilinear between the four pixel centres around, is at least half.
func slowRefined(k *Ink, X, Y, up int) bool {
	cx, cy := 2*X+1-up, 2*Y+1-up // in 2 up-ths of a pixel, from the first centre
	x, y := floorDiv(cx, 2*up), floorDiv(cy, 2*up)
	tx, ty := cx-x*2*up, cy-y*2*up
	sum := (slowLevel(k, x, y)*(2*up-tx)+slowLevel(k, x+1, y)*tx)*(2*up-ty) +
		(slowLevel(k, x, y+1)*(2*up-tx)+slowLevel(k, x+1, y+1)*tx)*ty
	return sum >= 128*4*up*up
}

func TestCutIsItsTwin(t *testing.T) {
	seeds := uint64(30)
	if testing.Short() {
		seeds = 10
	}
	for seed := range seeds {
		r := rand.New(rand.NewPCG(seed, 5))
		w, h, up := 1+r.IntN(300), 1+r.IntN(90), 1+r.IntN(8)
		if testing.Short() && w*h*up*up > 100_000 { // the twin is slow
			up = min(up, 2)
		}
		k := softArt(r, w, h, seed%2 == 0)
		name := fmt.Sprintf("seed %d: %d x %d, up %d", seed, w, h, up)
		g := newGrid(w, h, up, 1, 2+r.IntN(70))
		got := NewBits(g.w, g.h)
		g.cut(got, k)
		for y := range g.h {
			for x := range g.w {
				X, Y := x-g.padX, y-g.padY
				want := X >= 0 && Y >= 0 && X < w*up && Y < h*up && slowRefined(k, X, Y, up)
				if got.Get(x, y) != want {
					t.Fatalf("%s: grid pixel %d, %d is %t", name, X, Y, !want)
				}
			}
		}
		if k.Bilevel() {
			continue
		}
		l := newLeveller(k)
		for y := -1; y <= h; y++ {
			row := l.row(y)
			for x := range w {
				if want := slowLevel(k, x, y); want != int(row[x]) {
					t.Fatalf("%s: pixel %d, %d has level %d, not %d", name, x, y, row[x], want)
				}
			}
		}
	}
}

// By hand: a line of 0.8 px astride two rows covers 102 of each, and lies at the
// half-way between that and clear.
func TestLevelByHand(t *testing.T) {
	k := NewGreyInk(3, 4, []uint8{0, 0, 0, 102, 102, 102, 102, 102, 102, 0, 0, 0})
	assert.Equal(t, []uint8{77, 77, 77}, newLeveller(k).row(0))
	assert.Equal(t, []uint8{179, 179, 179}, newLeveller(k).row(1))
}

func TestShrinkIsItsTwin(t *testing.T) {
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 6))
		w, h, down := 1+r.IntN(150), 1+r.IntN(90), 1+r.IntN(90)
		k := softArt(r, w, h, seed%2 == 0)
		got := k.shrink(down)
		require.Equal(t, (w+down-1)/down, got.W)
		require.Equal(t, (h+down-1)/down, got.H)
		for y := range got.H {
			for x := range got.W {
				sum := 0.0
				for v := y * down; v < y*down+down; v++ {
					for u := x * down; u < x*down+down; u++ {
						sum += Shape{Ink: k}.Cover(u, v)
					}
				}
				want := sum * 255 / float64(down*down)
				require.InDelta(t, want, float64(got.Grey[y*got.W+x]), 0.5+1e-6, "seed %d: %d, %d", seed, x, y)
			}
		}
	}
}
