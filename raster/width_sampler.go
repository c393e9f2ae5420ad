package raster

import "math"

// sampler is a shape's coverage made quick to read: the same numbers as
// Shape.Cover and Shape.Sample, without their indirection.
type sampler struct {
	w, h int
	grey []uint8
	bits *Bits
	film bool
	out  float64 // coverage outside the image
	lut  [256]float64
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
	if f.grey != nil && x >= 0 && y >= 0 && x+1 < f.w && y+1 < f.h {
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
