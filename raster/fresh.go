package raster

import (
	"strings"
	"unsafe"
)

// unclear returns a plane of w x h pixels that holds anything.
func unclear(w, h int) *Bits {
	stride := (w + 63) / 64
	n := stride * h
	if n < 1<<16 {
		return NewBits(w, h)
	}
	var b strings.Builder
	b.Grow(8 * n)
	b.WriteByte(0)
	words := unsafe.Slice((*uint64)(unsafe.Pointer(unsafe.StringData(b.String()))), n)
	return &Bits{W: w, H: h, Stride: stride, Words: words}
}
