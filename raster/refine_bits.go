package raster

import "math/bits"

// refineBits is refine for an artwork in whole pixels. Between the middles of four of
// them, which are clear or solid, the grid's pixels have one of 16 patterns, and where
// 64 columns of two rows are all clear or all solid there is nothing to look up.
func (g *grid) refineBits(out *Bits, k *Ink, y0, y1 int) {
	up := g.up
	patterns := make([][16]uint64, 2*up)
	for ty := range patterns {
		patterns[ty] = refinedPatterns(up, ty)
	}
	outside := make([]uint64, k.Bits.Stride)
	rowAt := func(y int) []uint64 {
		if y < 0 || y >= k.H {
			return outside
		}
		return k.Bits.Row(y)
	}
	right := g.padX + k.W*up
	for y := y0; y < y1; y++ {
		c := 2*y + 1 - up // see refine
		n := floorDiv(c, 2*up)
		pattern := &patterns[c-n*2*up]
		top, low := rowAt(n), rowAt(n+1)
		row := out.Row(y + g.padY)
		var topBefore, lowBefore uint64 // the words before
		for i := 0; i <= k.W>>6; i++ {
			// Bit j stands for the columns between the middles of pixels
			// x = 64 i + j - 1 and x + 1.
			var a, b, c, d uint64 // top left, top right, low left, low right
			if i < len(top) {
				b, d = top[i], low[i]
			}
			a, c = b<<1|topBefore>>63, d<<1|lowBefore>>63
			topBefore, lowBefore = b, d
			any := a | b | c | d
			if any == 0 {
				continue
			}
			first := g.padX + (i<<6-1)*up + up/2
			if a&b&c&d == ^uint64(0) {
				fillRun(row, first, min(first+64*up, right), true)
				continue
			}
			for ; any != 0; any &= any - 1 {
				j := bits.TrailingZeros64(any)
				m := pattern[a>>j&1|b>>j&1<<1|c>>j&1<<2|d>>j&1<<3]
				q := first + j*up
				if m == 0 {
					continue
				}
				if q < g.padX {
					m, q = m>>(g.padX-q), g.padX
				}
				if over := q + up - right; over > 0 {
					m &= 1<<(up-over) - 1
				}
				row[q>>6] |= m << (q & 63)
				if q&63+up > 64 {
					row[q>>6+1] |= m >> (64 - q&63)
				}
			}
		}
	}
}

// refinedPatterns tells for a grid row ty/(2 up) of the way from the middles of one row
// of pixels to the next which of the up columns from the middle of one pixel to that of
// the next are ink, a bit each: by which of the four are solid, top left and right and
// low left and right, a bit each.
func refinedPatterns(up, ty int) (pattern [16]uint64) {
	side := 2 * up
	for which := range pattern {
		solid := func(i int) int { return 255 * (which >> i & 1) }
		left := solid(0)*(side-ty) + solid(2)*ty
		right := solid(1)*(side-ty) + solid(3)*ty
		for j := range up {
			tx := 2*j + 1 - up&1 // from the left one's middle, in 1/(2 up)
			if left*(side-tx)+right*tx >= side*side*128 {
				pattern[which] |= 1 << j
			}
		}
	}
	return pattern
}
