package raster

import (
	"math"
	"slices"
)

// Ink is the ink plane of an artwork: coverage for every pixel. A bilevel
// artwork has Bits alone. One with grey edges has Grey too, and Bits is its cut
// at half: set where Grey is 128 or more.
type Ink struct {
	W, H int
	Bits *Bits
	Grey []uint8 // W*H coverages, 0 clear to 255 solid, row by row; nil when bilevel
}

// blank reports whether there is no ink, and nothing that levelling could make ink.
func (k *Ink) blank() bool {
	if k.Bilevel() {
		return !slices.ContainsFunc(k.Bits.Words, func(w uint64) bool { return w != 0 })
	}
	return !slices.ContainsFunc(k.Grey, func(v uint8) bool { return v >= threadRange })
}

// Bilevel reports whether the plane holds only clear and solid pixels.
func (k *Ink) Bilevel() bool { return k.Grey == nil }

// NewGreyInk returns an ink plane over w x h coverages (0 clear, 255 solid),
// which it keeps, with its cut at half.
func NewGreyInk(w, h int, grey []uint8) *Ink {
	b := NewBits(w, h)
	for y := 0; y < h; y++ {
		row := b.Row(y)
		for x, v := range grey[y*w : (y+1)*w] {
			row[x>>6] |= uint64(v>>7) << (x & 63)
		}
	}
	return &Ink{W: w, H: h, Bits: b, Grey: grey}
}

// NewBilevelInk returns an ink plane over b, which it keeps.
func NewBilevelInk(b *Bits) *Ink { return &Ink{W: b.W, H: b.H, Bits: b} }

// Invert turns ink into film and film into ink, in place: a negative read as
// the positive it stands for. What lies outside the image stays film. A grey
// value of 128 becomes 127, so the two cuts at half are exact complements.
func (k *Ink) Invert() {
	k.Bits.Complement()
	for i, v := range k.Grey {
		k.Grey[i] = 255 - v
	}
}

// Point is a place in pixels, x right and y down.
type Point struct{ X, Y float64 }

// Box is a rectangle in pixels, from (X0, Y0) up to (X1, Y1).
type Box struct{ X0, Y0, X1, Y1 float64 }

// Shape is one side of an ink plane: the ink itself, or the film between.
type Shape struct {
	Ink  *Ink
	Film bool

	whole *blocks // nil where rays are short
	deep  *depths // nil where few are cast
}

// Cover returns the coverage of pixel (x, y) by the shape, 0 to 1. Outside the
// image film is 1 and ink 0.
func (s Shape) Cover(x, y int) float64 {
	v := 0.0
	if k := s.Ink; uint(x) < uint(k.W) && uint(y) < uint(k.H) {
		if k.Grey != nil {
			v = float64(k.Grey[y*k.W+x]) / 255
		} else if k.Bits.Get(x, y) {
			v = 1
		}
	}
	if s.Film {
		return 1 - v
	}
	return v
}

// Sample returns the shape's coverage at a point, bilinear between the centres
// of the four pixels around it.
func (s Shape) Sample(p Point) float64 {
	fx, fy := math.Floor(p.X-0.5), math.Floor(p.Y-0.5)
	tx, ty := p.X-0.5-fx, p.Y-0.5-fy
	x, y := int(fx), int(fy)
	top := s.Cover(x, y)*(1-tx) + s.Cover(x+1, y)*tx
	low := s.Cover(x, y+1)*(1-tx) + s.Cover(x+1, y+1)*tx
	return top*(1-ty) + low*ty
}
