package artwork

import (
	"encoding/binary"
	"math/bits"
	"sync"

	"stencilproof/raster"
)

// canvas takes coverages as they are decoded. It keeps the cut at half in packed
// bits, and a byte a pixel only from the first coverage on that is neither 0 nor
// 255. Rows may be put from several goroutines, each row from one at a time, and
// each pixel once.
type canvas struct {
	mu   sync.RWMutex // held for writing while grey comes into being
	bits *raster.Bits
	grey []uint8
}

func newCanvas(w, h int) *canvas { return &canvas{bits: raster.NewBits(w, h)} }

// put stores coverages from pixel (x, y) on.
func (c *canvas) put(x, y int, cover []uint8) {
	c.mu.RLock()
	tone := packRow(c.bits.Row(y), x, cover)
	if tone && c.grey == nil {
		c.mu.RUnlock()
		c.promote()
		c.mu.RLock()
	}
	if c.grey != nil {
		copy(c.grey[y*c.bits.W+x:], cover)
	}
	c.mu.RUnlock()
}

// promote gives the canvas its byte a pixel, filled from the bits so far.
func (c *canvas) promote() {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.grey != nil {
		return
	}
	w := c.bits.W
	grey := make([]uint8, w*c.bits.H)
	for y := 0; y < c.bits.H; y++ {
		unpackRow(grey[y*w:(y+1)*w], c.bits.Row(y))
	}
	c.grey = grey
}

// ink returns what was put.
func (c *canvas) ink() *raster.Ink {
	return &raster.Ink{W: c.bits.W, H: c.bits.H, Bits: c.bits, Grey: c.grey}
}

// settle makes bits of a canvas whose grey was filled directly, and drops the
// grey when it holds no tone.
func (c *canvas) settle() {
	w, tone := c.bits.W, false
	for y := 0; y < c.bits.H; y++ {
		if packRow(c.bits.Row(y), 0, c.grey[y*w:(y+1)*w]) {
			tone = true
		}
	}
	if !tone {
		c.grey = nil
	}
}

// packRow ORs the top bit of every coverage into row from bit x on, and reports
// whether a coverage is neither 0 nor 255. Eight at a time: with the top bits
// alone, t = (v & 0x80..80) >> 7, the product t * 0x0102040810204080 gathers bit
// 8i of t in bit 56+i, and no two partial products meet above bit 55.
func packRow(row []uint64, x int, cover []uint8) (tone bool) {
	const tops, gather = 0x8080808080808080, 0x0102040810204080
	var off uint64
	for i := 0; i < len(cover); i += 64 {
		n := min(64, len(cover)-i)
		var word uint64
		j := 0
		for ; j+8 <= n; j += 8 {
			v := binary.LittleEndian.Uint64(cover[i+j:])
			t := v & tops >> 7
			off |= v ^ t*255
			word |= t * gather >> 56 << j
		}
		for ; j < n; j++ {
			v := cover[i+j]
			off |= uint64(v ^ v>>7*255)
			word |= uint64(v>>7) << j
		}
		if word != 0 {
			orBits(row, x+i, word)
		}
	}
	return off != 0
}

// orBits ORs word into row with its bit 0 at bit x. Set bits must lie inside.
func orBits(row []uint64, x int, word uint64) {
	row[x>>6] |= word << (x & 63)
	if x&63 != 0 {
		if hi := word >> (64 - x&63); hi != 0 {
			row[x>>6+1] |= hi
		}
	}
}

// spread maps eight packed pixels to eight coverages.
var spread = func() (t [256]uint64) {
	for b := range t {
		for i := 0; i < 8; i++ {
			if b>>i&1 != 0 {
				t[b] |= 0xff << (8 * i)
			}
		}
	}
	return
}()

// unpackRow sets 255 in the clear row dst wherever src has a bit.
func unpackRow(dst []uint8, src []uint64) {
	for i, word := range src {
		if word == 0 {
			continue
		}
		d := dst[i*64:]
		for j := 0; j < 64 && j < len(d); j += 8 {
			v := spread[word>>j&0xff]
			if len(d)-j >= 8 {
				binary.LittleEndian.PutUint64(d[j:], v)
				continue
			}
			for k := j; k < len(d); k++ {
				d[k] = uint8(v >> (8 * (k - j)))
			}
		}
	}
}

// fromMSB turns packed pixels with the leftmost in the highest bit of each byte
// into words with the leftmost in the lowest bit. The bits beyond n pixels are
// cleared; src must hold them all.
func fromMSB(dst []uint64, src []byte, n int) {
	full := n / 64
	for i := 0; i < full; i++ {
		dst[i] = bits.Reverse64(binary.BigEndian.Uint64(src[8*i:]))
	}
	if rest := n & 63; rest != 0 {
		var v uint64
		for k, b := range src[8*full : (n+7)/8] {
			v |= uint64(b) << (56 - 8*k)
		}
		dst[full] = bits.Reverse64(v) & (1<<rest - 1)
	}
}

// toMSB appends n packed pixels with the leftmost in the highest bit of a byte.
func toMSB(dst []byte, src []uint64, n int) []byte {
	for i := 0; i < (n+7)/8; i++ {
		dst = append(dst, bits.Reverse8(uint8(src[i>>3]>>(i&7*8))))
	}
	return dst
}
