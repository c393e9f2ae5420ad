package artwork

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"math/bits"

	"stencilproof/raster"
)

// g4StripRows is how many rows a strip holds. Each strip is coded by itself,
// so a reader may take them in parallel; smaller strips cost more bytes.
const g4StripRows = 1024

// EncodeG4TIFF writes a plane of ink as a TIFF 6.0 file of 1 bit a pixel,
// coded by ITU-T T.6 (Group 4), set pixels black, with its resolution in
// pixels an inch. The same plane gives the same bytes.
func EncodeG4TIFF(w io.Writer, b *raster.Bits, ppi float64) error {
	if b.W <= 0 || b.H <= 0 {
		return fmt.Errorf("writing TIFF: the artwork is %d x %d pixels", b.W, b.H)
	}
	if !(ppi > 0) || ppi > 1e5 {
		return fmt.Errorf("writing TIFF: %g pixels an inch is no resolution", ppi)
	}
	var offsets, lengths []uint32
	data := []byte("II*\x00\x00\x00\x00\x00")
	for y := 0; y < b.H; y += g4StripRows {
		strip := g4Strip(b, y, min(y+g4StripRows, b.H))
		if len(data)+len(strip) > math.MaxUint32/2 {
			return fmt.Errorf("writing TIFF: the packed artwork passes 2 GB")
		}
		offsets = append(offsets, uint32(len(data)))
		lengths = append(lengths, uint32(len(strip)))
		data = append(data, strip...)
	}
	data = appendG4Directory(data, b, ppi, offsets, lengths)
	if _, err := w.Write(data); err != nil {
		return fmt.Errorf("writing TIFF: %w", err)
	}
	return nil
}

// appendG4Directory adds the tags (TIFF 6.0, sections 2 and 11) and points the
// header at them.
func appendG4Directory(data []byte, b *raster.Bits, ppi float64, offsets, lengths []uint32) []byte {
	le := binary.LittleEndian
	const short, long, rational = 3, 4, 5
	type tag struct {
		id, kind uint16
		values   []uint32
	}
	num, den := uint32(ppi), uint32(1)
	if float64(num) != ppi {
		num, den = uint32(math.Round(ppi*1e4)), 1e4
	}
	tags := []tag{
		{256, long, []uint32{uint32(b.W)}},
		{257, long, []uint32{uint32(b.H)}},
		{258, short, []uint32{1}}, // bits a sample
		{259, short, []uint32{4}}, // T.6
		{262, short, []uint32{0}}, // 0 is white
		{266, short, []uint32{1}}, // leftmost pixel in the highest bit
		{273, long, offsets},
		{277, short, []uint32{1}}, // samples a pixel
		{278, long, []uint32{g4StripRows}},
		{279, long, lengths},
		{282, rational, []uint32{num, den}},
		{283, rational, []uint32{num, den}},
		{293, long, []uint32{0}},  // T.6 without uncompressed mode
		{296, short, []uint32{2}}, // resolution in inches
	}
	if len(data)%2 == 1 {
		data = append(data, 0) // a directory begins on a word
	}
	le.PutUint32(data[4:], uint32(len(data)))
	more := uint32(len(data) + 2 + 12*len(tags) + 4) // where values that do not fit lie
	var tail []byte
	data = le.AppendUint16(data, uint16(len(tags)))
	for _, t := range tags {
		n := len(t.values)
		if t.kind == rational {
			n /= 2
		}
		data = le.AppendUint16(data, t.id)
		data = le.AppendUint16(data, t.kind)
		data = le.AppendUint32(data, uint32(n))
		if len(t.values) == 1 {
			data = le.AppendUint32(data, t.values[0]) // a SHORT lies in the low half
			continue
		}
		data = le.AppendUint32(data, more+uint32(len(tail)))
		for _, v := range t.values {
			tail = le.AppendUint32(tail, v)
		}
	}
	data = le.AppendUint32(data, 0) // no further page
	return append(data, tail...)
}

// g4Strip codes rows y0 to y1 by T.6, ended by two end-of-line codes.
func g4Strip(b *raster.Bits, y0, y1 int) []byte {
	var s bitStream
	above := raster.NewBits(b.W, 1).Row(0) // an all-white row stands above the first
	for y := y0; y < y1; y++ {
		row := b.Row(y)
		s.row(row, above, b.W)
		above = row
	}
	s.code("000000000001000000000001")
	for s.n != 0 {
		s.code("0")
	}
	return s.out
}

// bitStream is coded rows, highest bit first.
type bitStream struct {
	out  []byte
	held byte
	n    int // bits in held
}

// code adds a code given as a text of 0 and 1.
func (s *bitStream) code(text string) {
	for i := range len(text) {
		s.held = s.held<<1 | (text[i] - '0')
		if s.n++; s.n == 8 {
			s.out, s.held, s.n = append(s.out, s.held), 0, 0
		}
	}
}

// run adds a run of n pixels of one colour (T.4, 4.1.1).
func (s *bitStream) run(n int, black bool) {
	last, more := &g4White, &g4WhiteMore
	if black {
		last, more = &g4Black, &g4BlackMore
	}
	for n >= 2560+64 {
		s.code(g4Long[len(g4Long)-1])
		n -= 2560
	}
	if n >= 1792 {
		s.code(g4Long[(n-1792)/64])
	} else if n >= 64 {
		s.code(more[n/64-1])
	}
	s.code(last[n%64])
}

// g4Vertical holds the codes of a1 three left of b1 to three right of it.
var g4Vertical = [7]string{"0000010", "000010", "010", "1", "011", "000011", "0000011"}

// row codes one row against the one above it (T.6, 2.2). a0 is where coding
// stands, at first an imaginary white pixel left of the row; a1 and a2 are the
// next two changes of colour; b1 is the first change above, right of a0, into
// the colour that a1 changes to, and b2 the change after it.
func (s *bitStream) row(row, above []uint64, w int) {
	for a0, black := -1, false; a0 < w; {
		from := max(a0, 0)
		a1 := nextOf(row, from, w, !black)
		b1 := from
		if a0 >= 0 {
			b1 = nextOf(above, from, w, black)
		}
		b1 = nextOf(above, b1, w, !black)
		b2 := nextOf(above, b1, w, black)
		switch d := a1 - b1; {
		case b2 < a1:
			s.code("0001")
			a0 = b2
		case -3 <= d && d <= 3:
			s.code(g4Vertical[d+3])
			a0, black = a1, !black
		default:
			a2 := nextOf(row, a1, w, black)
			s.code("001")
			s.run(a1-from, black)
			s.run(a2-a1, !black)
			a0 = a2
		}
	}
}

// nextOf returns the first x in [from, w) whose bit is set, or clear, as
// asked, and w when there is none.
func nextOf(words []uint64, from, w int, set bool) int {
	if from >= w {
		return w
	}
	var flip uint64
	if !set {
		flip = ^uint64(0)
	}
	i := from >> 6
	v := (words[i] ^ flip) >> (from & 63) << (from & 63)
	for v == 0 {
		if i++; i >= len(words) {
			return w
		}
		v = words[i] ^ flip
	}
	return min(w, i<<6+bits.TrailingZeros64(v))
}
