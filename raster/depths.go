package raster

import (
	"encoding/binary"
	"math"
	"sync/atomic"
)

// depths tells how deep in a shape the pixels of an ink plane lie: how far it is from one,
// in the chessboard's metric, to the nearest that the shape does not cover wholly. Of what
// a ray passes most lies near its start and is covered wholly, and need not be looked at
// step by step. It is worked out where it is asked for, tile by tile, and serves several at
// once.
type depths struct {
	s     Shape
	wide  int // tiles beside each other
	tiles []atomic.Pointer[depthTile]
}

// A tile of depths is depthSide pixels wide and high, and known to depthMost: what lies
// deeper counts as that deep. depthsFrom is the safe limit, in pixels, from which on they
// are asked: rays under smaller ones are too short to gain what they cost.
const (
	depthSide  = 256
	depthMost  = 1<<depthBits - 1
	depthBits  = 4
	depthsFrom = 12
)

// depthTile holds the depths of 64 pixels side by side by their binary digits, in a word each.
type depthTile [depthSide][depthSide / 64][depthBits]uint64

func depthsOf(s Shape) *depths {
	d := &depths{s: s, wide: (s.Ink.W + depthSide - 1) / depthSide}
	d.tiles = make([]atomic.Pointer[depthTile], d.wide*((s.Ink.H+depthSide-1)/depthSide))
	return d
}

// at returns the depth of pixel (x, y): 0 where the shape covers it partly or not at all,
// n where it covers all up to n-1 pixels away, and 0 outside the image.
func (d *depths) at(x, y int) int {
	if uint(x) >= uint(d.s.Ink.W) || uint(y) >= uint(d.s.Ink.H) {
		return 0
	}
	to := &d.tiles[y/depthSide*d.wide+x/depthSide]
	t := to.Load()
	if t == nil {
		t = d.tile(x/depthSide, y/depthSide)
		to.Store(t) // it is the same whoever makes it
	}
	n := 0
	for i, w := range t[y%depthSide][x%depthSide/64] {
		n |= int(w>>(x%64)&1) << i
	}
	return n
}

// clear returns how far one may go from (u, v), counted from the middle of the image's first
// pixel, in any direction, and a bilinear sample takes wholly covered pixels alone.
func (d *depths) clear(u, v float64) float64 {
	// A sample takes the pixels at the floor and one beyond.
	return float64(max(0, d.at(int(math.Floor(u)), int(math.Floor(v)))-2))
}

// Round a tile depthRim rows and a word of columns are looked at: farther off nothing bears
// on depths to depthMost.
const (
	depthRim   = depthMost - 1
	depthRows  = depthSide + 2*depthRim
	depthWords = depthSide/64 + 2
)

// tile works a tile out: what is covered is eroded by a pixel all round until nothing is
// left, and how often each pixel was there is counted.
func (d *depths) tile(tx, ty int) *depthTile {
	var cover [depthRows][depthWords]uint64
	for y := range cover {
		d.s.covered(cover[y][:], tx*depthSide-64, ty*depthSide-depthRim+y)
	}
	t := new(depthTile)
	for depth := 1; ; depth++ {
		any := uint64(0)
		for y := range t {
			for x := range t[y] {
				carry, count := cover[y+depthRim][x+1], &t[y][x]
				any |= carry
				for i := range count {
					count[i], carry = count[i]^carry, count[i]&carry
				}
			}
		}
		if any == 0 || depth == depthMost {
			return t
		}
		above := [depthWords]uint64{}
		for x := range above { // beyond the rim it does not matter
			above[x] = ^uint64(0)
		}
		here := narrowed(&cover[0])
		for y := range cover {
			below := here
			if y+1 < len(cover) {
				below = narrowed(&cover[y+1])
			}
			for x := range here {
				cover[y][x] = above[x] & here[x] & below[x]
			}
			above, here = here, below
		}
	}
}

// narrowed returns a row without the pixels that have one beside them that is not in it.
func narrowed(row *[depthWords]uint64) (to [depthWords]uint64) {
	for x, w := range row {
		left, right := ^uint64(0), ^uint64(0)
		if x > 0 {
			left = row[x-1]
		}
		if x+1 < len(row) {
			right = row[x+1]
		}
		to[x] = w & (w<<1 | left>>63) & (w>>1 | right<<63)
	}
	return to
}

// covered tells, a bit each, which pixels the shape covers wholly: those of row y of the
// image from x on, which is a multiple of 64.
func (s Shape) covered(row []uint64, x, y int) {
	k := s.Ink
	for i := range row {
		w, in := uint64(0), uint64(0) // ink or film alone, and of the image
		if from := x + 64*i; y >= 0 && y < k.H && from >= 0 && from < k.W {
			n := min(64, k.W-from)
			in = ^uint64(0) >> (64 - n)
			if k.Grey == nil {
				w = k.Bits.Row(y)[from>>6]
				if s.Film {
					w = ^w
				}
			} else {
				w = solidBits(k.Grey[y*k.W+from:y*k.W+from+n], s.Film)
			}
			w &= in
		}
		if s.Film {
			w |= ^in
		}
		row[i] = w
	}
}

// solidBits tells, a bit each, which of up to 64 pixels are solid, or clear.
func solidBits(row []uint8, clear bool) (w uint64) {
	x := 0
	for ; x+8 <= len(row); x += 8 {
		v := binary.LittleEndian.Uint64(row[x:])
		if !clear {
			v = ^v
		}
		// The top bits of the bytes that are 0, gathered in the top byte of the product.
		const low = 0x7f7f7f7f7f7f7f7f
		v = ^((v&low + low) | v | low)
		w |= v >> 7 * 0x0102040810204080 >> 56 << x
	}
	for ; x < len(row); x++ {
		if row[x] == 0 && clear || row[x] == 255 && !clear {
			w |= 1 << x
		}
	}
	return w
}
