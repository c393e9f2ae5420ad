package raster

import "math"

// blocks tells which blocks of an ink plane lie wholly in a shape, so that a long ray
// through a bold one need not look at each of its pixels.
type blocks struct {
	w, h  int // in blocks
	whole []bool
}

// A block is blockSide pixels wide and high; blocksFrom is the safe limit, in pixels,
// from which on rays are long enough for them.
const (
	blockSide  = 32
	blocksFrom = 64
)

// blocksOf finds the blocks of a shape. Blocks cut by the right or the lower edge of the
// plane are not whole.
func blocksOf(s Shape) *blocks {
	k := s.Ink
	b := &blocks{w: k.W / blockSide, h: k.H / blockSide}
	b.whole = make([]bool, b.w*b.h)
	inParallel(b.h, func(by int) {
		for bx := range b.w {
			b.whole[by*b.w+bx] = s.solid(bx*blockSide, by*blockSide)
		}
	})
	return b
}

// solid reports whether the block from pixel (x, y) on is covered by the shape.
func (s Shape) solid(x, y int) bool {
	k := s.Ink
	for v := y; v < y+blockSide; v++ {
		if k.Grey != nil {
			want := uint8(255)
			if s.Film {
				want = 0
			}
			for _, c := range k.Grey[v*k.W+x : v*k.W+x+blockSide] {
				if c != want {
					return false
				}
			}
			continue
		}
		row := k.Bits.Row(v)
		if s.Film && anySet(row, x, x+blockSide) || !s.Film && !allSet(row, x, x+blockSide) {
			return false
		}
	}
	return true
}

// steps returns of how many samples from the one at (px, py) on, each step along v
// farther, it is certain that all they are made of lies in the block that the first is
// in, and in the shape; places are the image's.
func (b *blocks) steps(px, py float64, v Point, step float64) int {
	px, py = px-0.5, py-0.5
	bx, by := math.Floor(px/blockSide), math.Floor(py/blockSide)
	if bx < 0 || by < 0 || int(bx) >= b.w || int(by) >= b.h || !b.whole[int(by)*b.w+int(bx)] {
		return 0
	}
	// A sample takes the pixels at the floor and one beyond.
	room := func(at, v float64) float64 {
		switch lo, hi := at, blockSide-1-at; {
		case hi <= 0:
			return 0
		case v > 0:
			return hi / v
		case v < 0:
			return lo / -v
		}
		return math.Inf(1)
	}
	n := min(room(px-bx*blockSide, v.X), room(py-by*blockSide, v.Y)) / step
	return max(0, int(min(n, math.MaxInt32))-1) // less one for rounding
}
