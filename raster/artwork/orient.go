package artwork

import (
	"math/bits"

	"stencilproof/raster"
)

// turned reports whether an orientation swaps width and height.
func turned(o int) bool { return o >= 5 && o <= 8 }

// orient returns k as orientation o says it is to be seen, in place where it can.
// o is the TIFF 6.0 Orientation tag, also EXIF's: the number tells which side of
// the picture row 0 and column 0 of the file are.
//
//	1 top left      2 top right     3 bottom right  4 bottom left
//	5 left top      6 right top     7 right bottom  8 left bottom
//
// 5 to 8 are transposed first: 5 is then right, 6 needs what 2 needs, 7 what 3, 8
// what 4.
func orient(k *raster.Ink, o int) *raster.Ink {
	if o < 2 || o > 8 {
		return k
	}
	if turned(o) {
		k = transpose(k)
		o = [...]int{5: 1, 6: 2, 7: 3, 8: 4}[o]
	}
	if o == 3 || o == 4 {
		upsideDown(k)
	}
	if o == 2 || o == 3 {
		mirror(k)
	}
	return k
}

// upsideDown turns the order of the rows, in place.
func upsideDown(k *raster.Ink) {
	for y, z := 0, k.H-1; y < z; y, z = y+1, z-1 {
		a, b := k.Bits.Row(y), k.Bits.Row(z)
		for i := range a {
			a[i], b[i] = b[i], a[i]
		}
		if k.Grey != nil {
			a, b := k.Grey[y*k.W:(y+1)*k.W], k.Grey[z*k.W:(z+1)*k.W]
			for i := range a {
				a[i], b[i] = b[i], a[i]
			}
		}
	}
}

// mirror turns the order of the pixels in every row, in place.
func mirror(k *raster.Ink) {
	shift := (64 - k.W&63) & 63
	for y := 0; y < k.H; y++ {
		row := k.Bits.Row(y)
		for i, j := 0, len(row)-1; i < j; i, j = i+1, j-1 {
			row[i], row[j] = row[j], row[i]
		}
		for i := range row {
			row[i] = bits.Reverse64(row[i])
		}
		if shift != 0 { // the padding came to the front; shift it out again
			for i := range row {
				row[i] >>= shift
				if i+1 < len(row) {
					row[i] |= row[i+1] << (64 - shift)
				}
			}
		}
		if k.Grey != nil {
			g := k.Grey[y*k.W : (y+1)*k.W]
			for i, j := 0, len(g)-1; i < j; i, j = i+1, j-1 {
				g[i], g[j] = g[j], g[i]
			}
		}
	}
}

// transpose returns a new plane with rows and columns swapped.
func transpose(k *raster.Ink) *raster.Ink {
	t := &raster.Ink{W: k.H, H: k.W, Bits: raster.NewBits(k.H, k.W)}
	var block [64]uint64
	for y := 0; y < k.H; y += 64 {
		rows := min(64, k.H-y)
		for i := 0; i < k.Bits.Stride; i++ {
			var any uint64
			for j := range rows {
				block[j] = k.Bits.Words[(y+j)*k.Bits.Stride+i]
				any |= block[j]
			}
			if any == 0 {
				continue
			}
			clear(block[rows:])
			transpose64(&block)
			for j := 0; j < 64 && i*64+j < k.W; j++ {
				t.Bits.Words[(i*64+j)*t.Bits.Stride+y>>6] = block[j]
			}
		}
	}
	if k.Grey == nil {
		return t
	}
	t.Grey = make([]uint8, len(k.Grey))
	const side = 64 // a block of source and target rows stays in the first cache
	for y := 0; y < k.H; y += side {
		for x := 0; x < k.W; x += side {
			for v := y; v < min(y+side, k.H); v++ {
				row := k.Grey[v*k.W : (v+1)*k.W]
				for u := x; u < min(x+side, k.W); u++ {
					t.Grey[u*k.H+v] = row[u]
				}
			}
		}
	}
	return t
}

// transpose64 transposes a 64 x 64 block of bits: six rounds, each swapping the
// off-diagonal quarters of blocks half as large as before (the well-known
// recursive scheme).
func transpose64(a *[64]uint64) {
	mask := uint64(0x00000000ffffffff)
	for j := 32; j != 0; j, mask = j>>1, mask^mask<<(j>>1) {
		for k := 0; k < 64; k = (k + j + 1) &^ j {
			t := (a[k]>>j ^ a[k+j]) & mask
			a[k+j] ^= t
			a[k] ^= t << j
		}
	}
}
