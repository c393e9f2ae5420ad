package raster

import "math/bits"

// Bits is a plane of W x H pixels, one bit each: bit x&63 of word x>>6 of its
// row, so the leftmost pixel is the lowest bit. The bits of a row's last word
// beyond W are always 0.
type Bits struct {
	W, H   int
	Stride int // words a row
	Words  []uint64
}

// NewBits returns a clear plane of w x h pixels.
func NewBits(w, h int) *Bits {
	stride := (w + 63) / 64
	return &Bits{W: w, H: h, Stride: stride, Words: make([]uint64, stride*h)}
}

// Row returns the words of row y, which must lie inside.
func (b *Bits) Row(y int) []uint64 { return b.Words[y*b.Stride : (y+1)*b.Stride : (y+1)*b.Stride] }

// Get reports whether pixel (x, y) is set; outside the plane nothing is.
func (b *Bits) Get(x, y int) bool {
	if uint(x) >= uint(b.W) || uint(y) >= uint(b.H) {
		return false
	}
	return b.Words[y*b.Stride+x>>6]>>(x&63)&1 != 0
}

// Set sets pixel (x, y), which must lie inside.
func (b *Bits) Set(x, y int) { b.Words[y*b.Stride+x>>6] |= 1 << (x & 63) }

// Clear clears pixel (x, y), which must lie inside.
func (b *Bits) Clear(x, y int) { b.Words[y*b.Stride+x>>6] &^= 1 << (x & 63) }

// Count returns the number of set pixels.
func (b *Bits) Count() int {
	n := 0
	for _, w := range b.Words {
		n += bits.OnesCount64(w)
	}
	return n
}

// Clone returns a copy that shares nothing with b.
func (b *Bits) Clone() *Bits {
	c := *b
	c.Words = append([]uint64(nil), b.Words...)
	return &c
}

// copyFrom makes b, which has the size of a, the same.
func (b *Bits) copyFrom(a *Bits) {
	bands(b.H, func(y0, y1 int) { copy(b.Words[y0*b.Stride:y1*b.Stride], a.Words[y0*b.Stride:]) })
}

// subtract sets dst to the pixels of a that b does not have, and returns how many runs
// each row of it has. The three have one size, and may be the same.
func subtract(dst, a, b *Bits) (counts []int32) {
	counts = make([]int32, dst.H)
	bands(dst.H, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			to, from, less := dst.Row(y), a.Row(y), b.Row(y)
			less = less[:len(to)]
			for i, w := range from[:len(to)] {
				to[i] = w &^ less[i]
			}
			counts[y] = runsIn(to)
		}
	})
	return counts
}

// LastMask returns the bits of a row's last word that lie inside the plane.
func (b *Bits) LastMask() uint64 {
	if r := b.W & 63; r != 0 {
		return 1<<r - 1
	}
	return ^uint64(0)
}

// Complement inverts every pixel in place.
func (b *Bits) Complement() {
	last := b.LastMask()
	bands(b.H, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			row := b.Row(y)
			for i := range row {
				row[i] = ^row[i]
			}
			if len(row) > 0 {
				row[len(row)-1] &= last
			}
		}
	})
}
