package raster

import (
	"fmt"
	"math"
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

// cut returns the ink on the grid: coverage of at least 1/2, interpolated
// between pixel centres when refined, averaged over the square when reduced.
func (g *grid) cut(k *Ink) *Bits {
	out := NewBits(g.w, g.h)
	bands(g.h-2*g.padY, func(y0, y1 int) {
		switch {
		case g.up > 1:
			g.refine(out, k, y0, y1)
		case g.down > 1:
			g.reduce(out, k, y0, y1)
		case k.Grey != nil:
			level := make([]int32, k.W)
			for y := y0; y < y1; y++ {
				k.level(y, level)
				row := out.Row(y + g.padY)
				for x, v := range level {
					if v >= 128 {
						q := x + g.padX
						row[q>>6] |= 1 << (q & 63)
					}
				}
			}
		default:
			for y := y0; y < y1; y++ {
				copy(out.Row(y + g.padY)[g.padX/64:], k.Bits.Row(y))
			}
		}
	})
	return out
}

// refine writes grid rows [y0, y1), counted without the margin. Between four
// equal pixels there is nothing to work out; elsewhere coverage is bilinear
// between the centres, in fixed point: t/(2 up) of the way, exactly.
func (g *grid) refine(out *Bits, k *Ink, y0, y1 int) {
	up := g.up
	top, low, mix := make([]int32, k.W+2), make([]int32, k.W+2), make([]int32, k.W+2)
	have := math.MinInt
	for y := y0; y < y1; y++ {
		// The grid row's centre lies at (y + 1/2)/up, between the centres of
		// rows n and n+1, ty/(2 up) of the way down.
		c := 2*y + 1 - up
		n := floorDiv(c, 2*up)
		ty := int32(c - n*2*up)
		if n != have {
			k.coverRow(n, top[1:])
			k.coverRow(n+1, low[1:])
			have = n
		}
		for i := range mix {
			mix[i] = top[i]*(2*int32(up)-ty) + low[i]*ty
		}
		row := out.Row(y + g.padY)
		half := int32(2*up) * 128
		for x := -1; x < k.W; x++ {
			a, b := mix[x+1], mix[x+2]
			if a < half && b < half {
				continue
			}
			// Grid columns between the centres of x and x+1.
			first := x*up + up/2
			for i := range up {
				X := first + i
				tx := int32(2*X + 1 - up - 2*x*up)
				if a*(2*int32(up)-tx)+b*tx >= half*2*int32(up) && X >= 0 && X < k.W*up {
					q := X + g.padX
					row[q>>6] |= 1 << (q & 63)
				}
			}
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

// coverRow writes the coverages of row y to to[0:W], 0 to 255 and levelled (see
// threads), zeros outside.
func (k *Ink) coverRow(y int, to []int32) {
	clear(to)
	if y < 0 || y >= k.H {
		return
	}
	if k.Grey != nil {
		k.level(y, to)
		return
	}
	row := k.Bits.Row(y)
	for x := range k.W {
		to[x] = int32(row[x>>6]>>(x&63)&1) * 255
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
					for x, v := range k.Grey[r*k.W : (r+1)*k.W] {
						sum[x/down] += int32(v)
					}
					continue
				}
				row := k.Bits.Row(r)
				for x := range k.W {
					sum[x/down] += int32(row[x>>6]>>(x&63)&1) * 255
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
