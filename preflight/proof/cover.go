package proof

import (
	"math"
	"math/bits"

	"stencilproof/raster"
)

// cover returns the mean coverage, 0 to 255, of w x h equal boxes that divide
// the pixel rectangle (x0, y0)-(x1, y1); outside the plane is clear. Each
// source row is read once: a box's share of it is a count of set bits between
// two columns, plus the fractions of the pixels that its sides cut. Cost: the
// source rows times w and their words. Exact but for floating point, unless the
// boxes are of coarse pixels each way and more: then the pixels are gathered in
// cells of 4 x 4 once for all pictures, and a cell that a box's side cuts is
// taken as even.
func (a *art) cover(x0, y0, x1, y1 float64, w, h int) []uint8 {
	if (x1-x0)/float64(w) >= coarse && (y1-y0)/float64(h) >= coarse {
		return a.cells().cover(x0/4, y0/4, x1/4, y1/4, w, h)
	}
	k := a.ink
	if k.Grey != nil {
		return (&cells{k.W, k.H, k.Grey}).cover(x0, y0, x1, y1, w, h)
	}
	cuts := cutsOf(x0, x1, w, k.W)
	return rows(y0, y1, w, h, k.H, func(y int, out []float64) { bitRow(k.Bits.Row(y), cuts, out) }, (x1-x0)/float64(w))
}

// coarse is from how many pixels a box on the cells of 4 x 4 are fine enough:
// two of them and more.
const coarse = 8.0

// rows fills boxes from the rows of a plane of height high. row sums one row's
// coverage, 0 to 1 a pixel, between neighbouring columns that are wide apart.
func rows(y0, y1 float64, w, h, high int, row func(y int, out []float64), wide float64) []uint8 {
	out := make([]uint8, w*h)
	sy := (y1 - y0) / float64(h)
	line := make([]float64, w)
	sums := make([]float64, w)
	last := math.MinInt
	for j := 0; j < h; j++ {
		clear(sums)
		top, low := y0+sy*float64(j), y0+sy*float64(j+1)
		for y := int(math.Floor(top)); float64(y) < low; y++ {
			part := math.Min(low, float64(y+1)) - math.Max(top, float64(y))
			if part <= 0 || y < 0 || y >= high {
				continue
			}
			if y != last {
				row(y, line)
				last = y
			}
			for i, v := range line {
				sums[i] += v * part
			}
		}
		for i, v := range sums {
			out[j*w+i] = uint8(min(255, math.Round(255*v/(wide*sy))))
		}
	}
	return out
}

// cut is where a column cuts a row: the whole pixels before it, and its share
// of the pixel there.
type cut struct {
	at   int
	part float64
}

// cutsOf returns the sides of w boxes from x0 to x1 on rows of n pixels.
func cutsOf(x0, x1 float64, w, n int) []cut {
	out := make([]cut, w+1)
	for i := range out {
		x := math.Max(0, math.Min(x0+(x1-x0)*float64(i)/float64(w), float64(n)))
		at := int(x)
		out[i] = cut{at, x - float64(at)}
	}
	return out
}

// bitRow fills out with the ink of a row of bits between neighbouring cuts.
func bitRow(words []uint64, cuts []cut, out []float64) {
	// ink before a cut: whole words, then bits of its word, then its share
	word, full, before := 0, 0, 0.0
	for i, c := range cuts {
		for ; word < c.at>>6; word++ {
			full += bits.OnesCount64(words[word])
		}
		here := float64(full)
		if word < len(words) {
			v := words[word]
			bit := uint(c.at & 63)
			here += float64(bits.OnesCount64(v&(1<<bit-1))) + c.part*float64(v>>bit&1)
		}
		if i > 0 {
			out[i-1] = here - before
		}
		before = here
	}
}

// cells is a plane of coverages, 0 to 255.
type cells struct {
	w, h int
	grey []uint8
}

// cover is art.cover on cells.
func (c *cells) cover(x0, y0, x1, y1 float64, w, h int) []uint8 {
	cuts := cutsOf(x0, x1, w, c.w)
	return rows(y0, y1, w, h, c.h, func(y int, out []float64) {
		g := c.grey[y*c.w : (y+1)*c.w]
		for i := range out {
			a, b := cuts[i], cuts[i+1]
			s := 0.0
			if b.at < c.w && b.part > 0 {
				s = b.part * float64(g[b.at])
			}
			if a.part > 0 {
				s -= a.part * float64(g[a.at])
			}
			n := 0
			for _, v := range g[a.at:b.at] {
				n += int(v)
			}
			out[i] = (s + float64(n)) / 255
		}
	}, (x1-x0)/float64(w))
}

// cells returns the plane in cells of 4 x 4 pixels. A cell at the right or lower
// edge is the mean of its pixels that are there.
func (a *art) cells() *cells {
	if a.fourth != nil {
		return a.fourth
	}
	k := a.ink
	c := &cells{w: (k.W + 3) / 4, h: (k.H + 3) / 4}
	c.grey = make([]uint8, c.w*c.h)
	sums := make([]int, (k.W+63)/64*16)
	for y := 0; y < c.h; y++ {
		clear(sums)
		deep := min(4, k.H-4*y)
		for r := 4 * y; r < 4*y+deep; r++ {
			addFours(k, r, sums)
		}
		row := c.grey[y*c.w : (y+1)*c.w]
		for x := range row {
			n := deep * min(4, k.W-4*x)
			row[x] = uint8((sums[x] + n/2) / n)
		}
	}
	a.fourth = c
	return c
}

// addFours adds the coverage of row y, four pixels a sum.
func addFours(k *raster.Ink, y int, sums []int) {
	if k.Grey != nil {
		for x, v := range k.Grey[y*k.W : (y+1)*k.W] {
			sums[x>>2] += int(v)
		}
		return
	}
	const ones = 0x1111111111111111
	for i, v := range k.Bits.Row(y) {
		if v == 0 {
			continue
		}
		n := v&ones + v>>1&ones + v>>2&ones + v>>3&ones // set bits of each four
		for j := range 16 {
			sums[16*i+j] += 255 * int(n>>(4*j)&15)
		}
	}
}
