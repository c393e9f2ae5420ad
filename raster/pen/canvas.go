// Package pen draws shapes of known size onto an ink plane, with every pixel's
// coverage worked out from the shape's area in it. The gauge and the example
// artwork are drawn with it, so that a line drawn 76 um wide reads 76 um wide.
package pen

import (
	"math"

	"stencilproof/raster"
)

// Canvas is an ink plane being drawn: W x H coverages, 0 clear to 255 solid.
type Canvas struct {
	W, H int
	Grey []uint8
}

// NewCanvas returns a clear canvas of w x h pixels.
func NewCanvas(w, h int) *Canvas { return &Canvas{W: w, H: h, Grey: make([]uint8, w*h)} }

// Ink returns the drawing as a grey ink plane. It shares the canvas's pixels.
func (c *Canvas) Ink() *raster.Ink { return raster.NewGreyInk(c.W, c.H, c.Grey) }

// Bilevel returns the drawing cut at half: a pixel is ink when its coverage is
// at least half. It shares nothing with the canvas.
func (c *Canvas) Bilevel() *raster.Ink {
	return raster.NewBilevelInk(raster.NewGreyInk(c.W, c.H, c.Grey).Bits)
}

// Fill inks the inside of p, in pixels, by the non-zero rule. Ink laid over
// ink adds as coverage: 1 - (1-a)(1-b).
func (c *Canvas) Fill(p Path) {
	c.scan(p, func(old uint8, share float64) uint8 {
		return uint8(math.Round(float64(old) + (255-float64(old))*share))
	})
}

// Erase clears the inside of p.
func (c *Canvas) Erase(p Path) {
	c.scan(p, func(old uint8, share float64) uint8 {
		return uint8(math.Round(float64(old) * (1 - share)))
	})
}

// bandRows is how many rows are worked on at once. It bounds the memory of a
// shape as large as the canvas; a smaller band would walk the edges more often.
const bandRows = 64

// scan calls put for every pixel that p covers, with the covered share.
//
// The share is exact for a ring that does not cross itself: each edge adds, to
// the pixel it runs through, the signed area to its right inside that pixel,
// and its signed height to every pixel further right; a running sum along the
// row then is the covered area. Where rings overlap the sum is cut at 1.
func (c *Canvas) scan(p Path, put func(old uint8, share float64) uint8) {
	x0, y0, x1, y1, ok := p.bounds(c.W, c.H)
	if !ok {
		return
	}
	w := x1 - x0
	sums := make([]float64, (w+2)*min(bandRows, y1-y0))
	for top := y0; top < y1; top += bandRows {
		b := band{sums: sums, x0: float64(x0), w: w, top: top, bottom: min(top+bandRows, y1)}
		clear(sums)
		for _, ring := range p {
			for i, from := range ring {
				b.edge(from, ring[(i+1)%len(ring)])
			}
		}
		for y := top; y < b.bottom; y++ {
			row := sums[(y-top)*(w+2):]
			out := c.Grey[y*c.W+x0 : y*c.W+x1]
			sum := 0.0
			for x := range out {
				sum += row[x]
				// 1e-9: what is left of rounding where the sum returns to 0.
				if share := min(1, math.Abs(sum)); share > 1e-9 {
					out[x] = put(out[x], share)
				}
			}
		}
	}
}

// band is a stretch of rows of running sums, w+2 a row, from column x0 on.
type band struct {
	sums        []float64
	x0          float64
	w           int
	top, bottom int
}

// edge adds the edge from a to b, row by row.
func (b *band) edge(a, z raster.Point) {
	sign := 1.0
	if a.Y > z.Y {
		a, z, sign = z, a, -1
	}
	lo, hi := math.Max(a.Y, float64(b.top)), math.Min(z.Y, float64(b.bottom))
	if !(lo < hi) {
		return
	}
	slope := (z.X - a.X) / (z.Y - a.Y)
	at := func(y float64) float64 { return a.X + (y-a.Y)*slope - b.x0 }
	for y := lo; y < hi; {
		next := math.Min(math.Floor(y)+1, hi)
		row := b.sums[(int(math.Floor(y))-b.top)*(b.w+2):][:b.w+2]
		b.piece(row, at(y), at(next), sign*(next-y))
		y = next
	}
}

// piece adds to one row an edge that runs from x = p to x = q while it gains
// the signed height h.
func (b *band) piece(row []float64, p, q, h float64) {
	if p > q {
		p, q = q, p
	}
	if q <= 0 {
		row[0] += h
		return
	}
	if p < 0 {
		part := h * -p / (q - p)
		row[0] += part
		p, h = 0, h-part
	}
	for {
		i := int(p)
		if i >= b.w {
			return // right of the canvas: nothing lies further right
		}
		if q <= float64(i+1) {
			mean := (p+q)/2 - float64(i)
			row[i] += h * (1 - mean)
			row[i+1] += h * mean
			return
		}
		part := h * (float64(i+1) - p) / (q - p)
		mean := (p - float64(i) + 1) / 2
		row[i] += part * (1 - mean)
		row[i+1] += part * mean
		p, h = float64(i+1), h-part
	}
}
