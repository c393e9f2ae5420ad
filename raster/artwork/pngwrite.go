package artwork

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
	"math"

	"stencilproof/raster"
)

// EncodePNG writes an ink plane as a greyscale PNG, black ink on white, with
// its resolution in a pHYs chunk (W3C PNG 11.3.4.3): 1 bit a pixel when the
// plane is bilevel, else 8. The chunk holds whole pixels a metre, so a
// resolution reads back within 5e-5. The same plane gives the same pixels; the
// packed bytes may change with the version of compress/zlib.
func EncodePNG(w io.Writer, k *raster.Ink, ppi float64) error {
	if k.W <= 0 || k.H <= 0 {
		return fmt.Errorf("writing PNG: the artwork is %d x %d pixels", k.W, k.H)
	}
	if !(ppi > 0) || ppi*1000/25.4 > math.MaxUint32 {
		return fmt.Errorf("writing PNG: %g pixels an inch is no resolution", ppi)
	}
	depth, rowBytes := byte(8), k.W
	if k.Bilevel() {
		depth, rowBytes = 1, (k.W+7)/8
	}
	if _, err := io.WriteString(w, "\x89PNG\r\n\x1a\n"); err != nil {
		return fmt.Errorf("writing PNG: %w", err)
	}
	var head [13]byte
	binary.BigEndian.PutUint32(head[0:], uint32(k.W))
	binary.BigEndian.PutUint32(head[4:], uint32(k.H))
	head[8] = depth // colour type, compression, filter, interlace: all 0
	var phys [9]byte
	perMetre := uint32(math.Round(ppi * 1000 / 25.4))
	binary.BigEndian.PutUint32(phys[0:], perMetre)
	binary.BigEndian.PutUint32(phys[4:], perMetre)
	phys[8] = 1 // metre
	if err := writePNGChunk(w, "IHDR", head[:]); err != nil {
		return err
	}
	if err := writePNGChunk(w, "pHYs", phys[:]); err != nil {
		return err
	}

	data := &idatWriter{w: w}
	pack, err := zlib.NewWriterLevel(data, zlib.BestCompression)
	if err != nil {
		return fmt.Errorf("writing PNG: %w", err)
	}
	f := pngFilter{row: make([]byte, rowBytes), above: make([]byte, rowBytes)}
	for y := 0; y < k.H; y++ {
		if k.Bilevel() {
			packWhiteBits(f.row, k.Bits.Row(y), k.W)
		} else {
			for x, v := range k.Grey[y*k.W : (y+1)*k.W] {
				f.row[x] = 255 - v
			}
		}
		if _, err := pack.Write(f.best()); err != nil {
			return fmt.Errorf("writing PNG: %w", err)
		}
		f.row, f.above = f.above, f.row
	}
	if err := pack.Close(); err != nil {
		return fmt.Errorf("writing PNG: %w", err)
	}
	if err := data.flush(); err != nil {
		return err
	}
	return writePNGChunk(w, "IEND", nil)
}

// packWhiteBits packs a row of ink into bytes, leftmost pixel highest, white
// 1, padded with 0.
func packWhiteBits(out []byte, words []uint64, w int) {
	clear(out)
	for x := 0; x < w; x++ {
		if words[x>>6]>>(x&63)&1 == 0 {
			out[x>>3] |= 0x80 >> (x & 7)
		}
	}
}

// pngFilter picks the filter of each row: the one of None, Sub, Up and Paeth
// with the smallest sum of differences from 0, as the PNG specification
// (12.7) advises. One byte a pixel, also for packed bits.
type pngFilter struct {
	row, above []byte
	tries      [4][]byte
}

func (f *pngFilter) best() []byte {
	for i, kind := range [4]byte{0, 1, 2, 4} {
		if f.tries[i] == nil {
			f.tries[i] = make([]byte, len(f.row)+1)
			f.tries[i][0] = kind
		}
	}
	none, sub, up, paeth := f.tries[0], f.tries[1], f.tries[2], f.tries[3]
	var sums [4]int
	var left, aboveLeft byte
	for x, v := range f.row {
		above := f.above[x]
		none[x+1] = v
		sub[x+1] = v - left
		up[x+1] = v - above
		paeth[x+1] = v - paethGuess(left, above, aboveLeft)
		sums[0] += fromZero(none[x+1])
		sums[1] += fromZero(sub[x+1])
		sums[2] += fromZero(up[x+1])
		sums[3] += fromZero(paeth[x+1])
		left, aboveLeft = v, above
	}
	least := 0
	for i, s := range sums {
		if s < sums[least] {
			least = i
		}
	}
	return f.tries[least]
}

// fromZero is how far a difference, as a signed byte, lies from 0.
func fromZero(v byte) int { return max(int(int8(v)), -int(int8(v))) }

// paethGuess returns whichever neighbour lies nearest to a + b - c (W3C PNG 9.4).
func paethGuess(a, b, c byte) byte {
	p := int(a) + int(b) - int(c)
	da, db, dc := p-int(a), p-int(b), p-int(c)
	da, db, dc = max(da, -da), max(db, -db), max(dc, -dc)
	switch {
	case da <= db && da <= dc:
		return a
	case db <= dc:
		return b
	}
	return c
}

// idatWriter cuts the packed pixels into IDAT chunks.
type idatWriter struct {
	w   io.Writer
	buf bytes.Buffer
}

func (d *idatWriter) Write(p []byte) (int, error) {
	d.buf.Write(p)
	if d.buf.Len() >= 1<<18 {
		if err := d.flush(); err != nil {
			return 0, err
		}
	}
	return len(p), nil
}

func (d *idatWriter) flush() error {
	if d.buf.Len() == 0 {
		return nil
	}
	defer d.buf.Reset()
	return writePNGChunk(d.w, "IDAT", d.buf.Bytes())
}

func writePNGChunk(w io.Writer, name string, data []byte) error {
	out := make([]byte, 0, len(data)+12)
	out = binary.BigEndian.AppendUint32(out, uint32(len(data)))
	out = append(out, name...)
	out = append(out, data...)
	out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[4:]))
	if _, err := w.Write(out); err != nil {
		return fmt.Errorf("writing PNG: %w", err)
	}
	return nil
}
