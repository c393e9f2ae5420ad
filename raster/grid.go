package raster

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/bits"
)

// grid is the plane that shapes are taken apart on: the artwork refined up-fold
// or reduced down-fold, with a margin of film around it wide enough that what
// lies near the border is no neck.
type grid struct {
	up, down   int // one of them is 1
	padX, padY int // margin in grid pixels; padX a multiple of 64
	w, h       int // with the margins
	// keep tells, on a reduced grid, which side must not be lost: a grid pixel
	// is of that side when any of its pixels is.
	keep keepSide
}

// keepSide is the side that a reduced grid keeps whole, however thin it is, so
// that the other side nowhere joins through it.
type keepSide uint8

const (
	keepInk keepSide = iota
	keepFilm
)

func (g *grid) scale() float64 { return float64(g.up) / float64(g.down) }

// native returns the place in artwork pixels of the middle of grid pixel (x, y).
func (g *grid) native(x, y int) Point {
	f := float64(g.down) / float64(g.up)
	return Point{(float64(x-g.padX) + 0.5) * f, (float64(y-g.padY) + 0.5) * f}
}

// newGrid lays a grid over a w x h artwork with at least pad grid pixels of margin.
func newGrid(w, h, up, down, pad int) *grid {
	g := &grid{up: up, down: down, padX: (pad + 63) / 64 * 64, padY: pad}
	g.w = (w*up+down-1)/down + 2*g.padX
	g.h = (h*up+down-1)/down + 2*g.padY
	return g
}

// cut sets in a clear plane of the grid's size the ink: coverage of at least 1/2,
// interpolated between pixel centres when refined, averaged over the square when reduced.
func (g *grid) cut(out *Bits, k *Ink) {
	bands(g.h-2*g.padY, func(y0, y1 int) {
		switch {
		case g.up > 1 && k.Grey == nil:
			g.refineBits(out, k, y0, y1)
		case g.up > 1:
			g.refine(out, k, y0, y1)
		case g.down > 1:
			g.reduce(out, k, y0, y1)
		case k.Grey != nil:
			l := newLeveller(k)
			for y := y0; y < y1; y++ {
				packHalf(out.Row(y + g.padY)[g.padX/64:], l.row(y))
			}
		default:
			for y := y0; y < y1; y++ {
				copy(out.Row(y + g.padY)[g.padX/64:], k.Bits.Row(y))
			}
		}
	})
}

// refine writes grid rows [y0, y1) of a grey artwork, counted without the margin. Coverage is
// bilinear between the centres of four pixels, in fixed point: t/(2 up) of the
// way, exactly. Where two rows of nine pixels are all clear or all solid there is
// nothing to work out.
func (g *grid) refine(out *Bits, k *Ink, y0, y1 int) {
	up := g.up
	side := int32(2 * up)
	half := side * 128
	// A pixel that lies outside on either side.
	top, low := make([]uint8, k.W+2), make([]uint8, k.W+2)
	cover := newLeveller(k)
	have := math.MinInt
	for y := y0; y < y1; y++ {
		// The grid row's centre lies at (y + 1/2)/up, between the centres of
		// rows n and n+1, ty/(2 up) of the way down.
		c := 2*y + 1 - up
		n := floorDiv(c, 2*up)
		ty := int32(c - n*2*up)
		if n != have {
			if n == have+1 {
				top, low = low, top
			} else {
				copy(top[1:], cover.row(n))
			}
			copy(low[1:], cover.row(n+1))
			have = n
		}
		row := out.Row(y + g.padY)
		for x := -1; x < k.W; {
			// Pixels x to x+8 stand at x+1 to x+9.
			if x+9 < len(top) {
				t, l := binary.LittleEndian.Uint64(top[x+1:]), binary.LittleEndian.Uint64(low[x+1:])
				if t == l && (t == 0 || t == ^uint64(0)) && top[x+9] == top[x+1] && low[x+9] == top[x+1] {
					if t != 0 {
						first := x*up + up/2 + g.padX
						fillRun(row, first, first+8*up, true)
					}
					x += 8
					continue
				}
			}
			a := int32(top[x+1])*(side-ty) + int32(low[x+1])*ty
			b := int32(top[x+2])*(side-ty) + int32(low[x+2])*ty
			if a >= half || b >= half {
				// Grid columns between the centres of x and x+1.
				first := x*up + up/2
				for X := max(0, first); X < min(first+up, k.W*up); X++ {
					tx := int32(2*X + 1 - up - 2*x*up)
					if a*(side-tx)+b*tx >= half*side {
						q := X + g.padX
						row[q>>6] |= 1 << (q & 63)
					}
				}
			}
			x++
		}
	}
}

func floorDiv(a, b int) int {
	q := a / b
	if a%b != 0 && (a < 0) != (b < 0) {
		q--
	}
	return q
}

// leveller gives rows of a grey artwork's coverage, 0 to 255 and levelled (see threads).
type leveller struct {
	k         *Ink
	to, clear []uint8
	tones     [5]toneRow // row y is the (y mod 5)th, once it is asked for
}

func newLeveller(k *Ink) *leveller {
	l := &leveller{k: k, to: make([]uint8, k.W), clear: make([]uint8, k.W)}
	for i := range l.tones {
		l.tones[i].y = -1
	}
	return l
}

// row returns row y, zeros outside, until the next call.
func (l *leveller) row(y int) []uint8 {
	if y < 0 || y >= l.k.H {
		return l.clear
	}
	l.level(y)
	return l.to
}

// packHalf sets in words the pixels of a row that are inked by half or more.
func packHalf(words []uint64, row []uint8) {
	x := 0
	for ; x+8 <= len(row); x += 8 {
		// The top bits of eight bytes, gathered in the top byte of the product.
		if v := binary.LittleEndian.Uint64(row[x:]) & 0x8080808080808080; v != 0 {
			words[x>>6] |= v >> 7 * 0x0102040810204080 >> 56 << (x & 63)
		}
	}
	for ; x < len(row); x++ {
		words[x>>6] |= uint64(row[x]>>7) << (x & 63)
	}
}

// reduce writes grid rows [y0, y1): the artwork's bits, down x down of them into
// one, ink when all are, or when any is, by the side to keep.
func (g *grid) reduce(out *Bits, k *Ink, y0, y1 int) {
	n := g.down
	acc := make([]uint64, k.Bits.Stride)
	for y := y0; y < y1; y++ {
		lo, hi := y*n, min(y*n+n, k.H)
		copy(acc, k.Bits.Row(lo))
		for r := lo + 1; r < hi; r++ {
			for i, w := range k.Bits.Row(r) {
				if g.keep == keepInk {
					acc[i] |= w
				} else {
					acc[i] &= w
				}
			}
		}
		row := out.Row(y + g.padY)
		for x := 0; x*n < k.W; x++ {
			a, b := x*n, min(x*n+n, k.W)
			set := anySet(acc, a, b)
			if g.keep == keepFilm {
				set = set && allSet(acc, a, b)
			}
			if set {
				q := x + g.padX
				row[q>>6] |= 1 << (q & 63)
			}
		}
	}
}

// shrink returns the artwork reduced down-fold: each pixel the average of down x
// down, what lies outside being clear. Widths of many pixels can be measured on
// it, at a down-th of the cost along each side.
func (k *Ink) shrink(down int) *Ink {
	w, h := (k.W+down-1)/down, (k.H+down-1)/down
	grey := make([]uint8, w*h)
	bands(h, func(y0, y1 int) {
		sum := make([]int32, w)
		for y := y0; y < y1; y++ {
			clear(sum)
			for r := y * down; r < min(y*down+down, k.H); r++ {
				if k.Grey != nil {
					sumRow(sum, k.Grey[r*k.W:(r+1)*k.W], down)
				} else {
					countRow(sum, k.Bits.Row(r), down)
				}
			}
			n := int32(down * down)
			for x, v := range sum {
				grey[y*w+x] = uint8((v + n/2) / n)
			}
		}
	})
	return NewGreyInk(w, h, grey)
}

// sumRow adds to each sum the next down values of a row.
func sumRow(sum []int32, row []uint8, down int) {
	for i := range sum {
		n := min(down, len(row))
		for _, v := range row[:n] {
			sum[i] += int32(v)
		}
		row = row[n:]
	}
}

// countRow adds to each sum 255 for every set one of the next down pixels.
func countRow(sum []int32, row []uint64, down int) {
	for i := range sum {
		n := 0
		for x, end := i*down, min(i*down+down, len(row)<<6); x < end; {
			part := min(end-x, 64-x&63)
			n += bits.OnesCount64(row[x>>6] >> (x & 63) << (64 - part))
			x += part
		}
		sum[i] += int32(n) * 255
	}
}

// allSet reports whether every pixel of a row in [x0, x1) is set.
func allSet(row []uint64, x0, x1 int) bool {
	for i := x0 >> 6; i <= (x1-1)>>6; i++ {
		m := ^row[i]
		if i == x0>>6 {
			m &= ^uint64(0) << (x0 & 63)
		}
		if i == (x1-1)>>6 {
			m &= ^uint64(0) >> (63 - (x1-1)&63)
		}
		if m != 0 {
			return false
		}
	}
	return true
}

func (g *grid) String() string { return fmt.Sprintf("%dx%d up %d down %d", g.w, g.h, g.up, g.down) }
