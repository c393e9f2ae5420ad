package raster

import (
	"math"
	"sync"
)

// sampler is a shape's coverage made quick to read: the same numbers as
// Shape.Cover and Shape.Sample, without their indirection.
type sampler struct {
	w, h int
	grey []uint8
	bits *Bits
	film bool
	out  float64 // coverage outside the image
	lut  [256]float64

	// win holds the coverages of a window, winW wide, from pixel (winX, winY):
	// a course reads each pixel around it hundreds of times.
	win              []float64
	winX, winY, winW int
	winH             int
}

// windowMost is the largest window kept, in pixels: 2 MB. A longer course reads
// the plane itself.
const windowMost = 1 << 18

var windows = sync.Pool{New: func() any { return new([]float64) }}

// window reads the pixels around a course, margin beyond it, once. The caller
// calls done when it has finished with the sampler.
func (f *sampler) window(path []Point, margin float64) (done func()) {
	none := func() {}
	if len(path) == 0 {
		return none
	}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range path {
		x0, x1 = math.Min(x0, p.X), math.Max(x1, p.X)
		y0, y1 = math.Min(y0, p.Y), math.Max(y1, p.Y)
	}
	wx, wy := int(math.Floor(x0-margin)), int(math.Floor(y0-margin))
	ww, wh := int(math.Ceil(x1+margin))-wx+1, int(math.Ceil(y1+margin))-wy+1
	if ww*wh > windowMost {
		return none
	}
	buf := windows.Get().(*[]float64)
	if cap(*buf) < ww*wh {
		*buf = make([]float64, ww*wh)
	}
	win := (*buf)[:ww*wh]
	for y := range wh {
		for x := range ww {
			win[y*ww+x] = f.cover(wx+x, wy+y)
		}
	}
	f.win, f.winX, f.winY, f.winW, f.winH = win, wx, wy, ww, wh
	return func() {
		f.win = nil
		windows.Put(buf)
	}
}

func newSampler(s Shape) *sampler {
	f := &sampler{w: s.Ink.W, h: s.Ink.H, grey: s.Ink.Grey, bits: s.Ink.Bits, film: s.Film}
	for i := range f.lut {
		f.lut[i] = float64(i) / 255
		if s.Film {
			f.lut[i] = 1 - f.lut[i]
		}
	}
	if s.Film {
		f.out = 1
	}
	return f
}

// cover is Shape.Cover.
func (f *sampler) cover(x, y int) float64 {
	if uint(x) >= uint(f.w) || uint(y) >= uint(f.h) {
		return f.out
	}
	if f.grey != nil {
		return f.lut[f.grey[y*f.w+x]]
	}
	if (f.bits.Words[y*f.bits.Stride+x>>6]>>(x&63)&1 != 0) != f.film {
		return 1
	}
	return 0
}

// in reports whether pixel (x, y) belongs to the shape cut at half. It follows
// Ink.Bits, so ink and film are exact complements.
func (f *sampler) in(x, y int) bool {
	if uint(x) >= uint(f.w) || uint(y) >= uint(f.h) {
		return f.film
	}
	return (f.bits.Words[y*f.bits.Stride+x>>6]>>(x&63)&1 != 0) != f.film
}

// at is Shape.Sample.
func (f *sampler) at(px, py float64) float64 {
	fx, fy := math.Floor(px-0.5), math.Floor(py-0.5)
	tx, ty := px-0.5-fx, py-0.5-fy
	x, y := int(fx), int(fy)
	var a, b, c, d float64
	if i, j := x-f.winX, y-f.winY; f.win != nil && i >= 0 && j >= 0 && i+1 < f.winW && j+1 < f.winH {
		k := j*f.winW + i
		g, h := f.win[k:k+2], f.win[k+f.winW:k+f.winW+2]
		a, b, c, d = g[0], g[1], h[0], h[1]
	} else if f.grey != nil && x >= 0 && y >= 0 && x+1 < f.w && y+1 < f.h {
		i := y*f.w + x
		g := f.grey[i : i+2]
		h := f.grey[i+f.w : i+f.w+2]
		a, b, c, d = f.lut[g[0]], f.lut[g[1]], f.lut[h[0]], f.lut[h[1]]
	} else {
		a, b, c, d = f.cover(x, y), f.cover(x+1, y), f.cover(x, y+1), f.cover(x+1, y+1)
	}
	a += (b - a) * tx
	c += (d - c) * tx
	return a + (c-a)*ty
}
