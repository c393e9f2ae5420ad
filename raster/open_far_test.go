package raster

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// Column by column gives what row by row does, for small discs and large, on planes that
// are sparse, dense or bold, and of which only some rows or columns are touched.
func TestDilateFarIsItsTwin(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 21))
		w, h := 1+r.IntN(300), 1+r.IntN(300)
		b := NewBits(w, h)
		switch seed % 3 {
		case 0:
			for range 1 + r.IntN(6) {
				b.Set(r.IntN(w), r.IntN(h))
			}
		case 1:
			b = random(r, w, h)
		case 2:
			x0, y0 := r.IntN(w), r.IntN(h)
			for y := y0; y < y0+1+r.IntN(h-y0); y++ {
				fillRun(b.Row(y), x0, x0+1+r.IntN(w-x0), true)
			}
		}
		radius := []float64{0, 1.5, 7, 30.5, 90, 158.9, 400}[r.IntN(7)]
		for _, complement := range []bool{false, true} {
			name := fmt.Sprintf("seed %d: %d x %d, radius %g, complement %t", seed, w, h, radius, complement)
			want, got := NewBits(w, h), NewBits(w, h)
			got.Complement() // whatever it holds
			mask := func(_ int, row []uint64) { row[len(row)-1] &= b.LastMask() }
			d := newDisc(min(radius, farDisc-1)) // dilate itself goes by columns beyond
			dilate(want, b, d, complement, nil, mask)
			dilateFar(got, b, d, complement, mask)
			require.Equal(t, want.Words, got.Words, name)
			if radius >= farDisc {
				far := newDisc(radius)
				dilateFar(got, b, far, complement, mask)
				for y := range h {
					for x := range w {
						near := false
						for v := 0; v < h && !near; v++ {
							if dy := max(v-y, y-v); dy < len(far.half) {
								near = anyNear(b, x, v, far.half[dy], complement)
							}
						}
						require.Equal(t, near, got.Get(x, y), "%s: %d, %d", name, x, y)
					}
				}
			}
		}
	}
}

// anyNear reports whether a pixel of row y within half of x is set, or clear.
func anyNear(b *Bits, x, y, half int, clear bool) bool {
	x0, x1 := max(0, x-half), min(b.W, x+half+1)
	if clear {
		return !allSet(b.Row(y), x0, x1)
	}
	return anySet(b.Row(y), x0, x1)
}
