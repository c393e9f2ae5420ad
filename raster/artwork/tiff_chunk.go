package artwork

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"errors"
	"io"
	"math/bits"
)

// inflater opens the chunks of one kind of compression one after the other. One
// belongs to one goroutine.
type inflater struct {
	g    *tiffPage
	buf  *bufio.Reader
	zlib io.ReadCloser
	lzw  lzwReader
	pack packBits
}

// open returns the uncompressed bytes of a chunk.
func (f *inflater) open(chunk int) (io.Reader, error) {
	g := f.g
	var raw io.Reader = g.f.src.section(int64(g.offsets[chunk]), int64(g.counts[chunk]))
	if g.flipped {
		raw = flipReader{raw}
	}
	if g.compression == compNone {
		return raw, nil
	}
	if f.buf == nil {
		f.buf = bufio.NewReaderSize(raw, 16<<10)
	} else {
		f.buf.Reset(raw)
	}
	switch g.compression {
	case compPackBits:
		f.pack = packBits{src: f.buf}
		return &f.pack, nil
	case compLZW:
		// Before TIFF 5.0 some programs wrote codes lowest bit first; those begin
		// with a clear code in that order.
		if b, err := f.buf.Peek(2); err == nil && b[0] == 0 && b[1]&1 == 1 {
			return nil, UnsupportedError{"a TIFF with old-style LZW compression", saveAs}
		}
		f.lzw.reset(f.buf)
		return &f.lzw, nil
	}
	if f.zlib != nil {
		return f.zlib, f.zlib.(zlib.Resetter).Reset(f.buf, nil)
	}
	var err error
	f.zlib, err = zlib.NewReader(f.buf)
	return f.zlib, err
}

// close checks what follows the rows that were read from a chunk: writers may
// pad the last strip to its full length, room, but more is a bomb or damage. A
// wrong checksum is damage; a missing one is not, for every row is there.
func (f *inflater) close(r io.Reader, room int64) error {
	if f.g.compression == compNone {
		return nil
	}
	n, err := io.CopyN(io.Discard, r, room+1)
	if n > room {
		return FormatError("tiff: a part unpacks to more than its size; the file is damaged")
	}
	if errors.Is(err, zlib.ErrChecksum) {
		return FormatError("tiff: a part does not match its checksum; the file is damaged, ask for it again")
	}
	return nil
}

// flipReader turns the bits of every byte around (FillOrder 2).
type flipReader struct{ r io.Reader }

func (f flipReader) Read(p []byte) (int, error) {
	n, err := f.r.Read(p)
	flip(p[:n])
	return n, err
}

func flip(p []byte) {
	for i, b := range p {
		p[i] = bits.Reverse8(b)
	}
}

// packBits unpacks TIFF 6.0 section 9: a count byte n; 0 to 127 copies n+1 bytes,
// -127 to -1 repeats one byte 1-n times, -128 does nothing.
type packBits struct {
	src  *bufio.Reader
	left int // of the run under way
	lit  bool
	b    byte
}

func (p *packBits) Read(dst []byte) (int, error) {
	done := 0
	for done < len(dst) {
		if p.left == 0 {
			n, err := p.src.ReadByte()
			if err != nil {
				return done, err
			}
			if n == 0x80 {
				continue
			}
			if p.lit = n < 0x80; p.lit {
				p.left = int(n) + 1
			} else {
				p.left = 257 - int(n)
				if p.b, err = p.src.ReadByte(); err != nil {
					return done, io.ErrUnexpectedEOF
				}
			}
		}
		part := dst[done:]
		if len(part) > p.left {
			part = part[:p.left]
		}
		if p.lit {
			n, err := io.ReadFull(p.src, part)
			if err != nil {
				return done + n, io.ErrUnexpectedEOF
			}
		} else {
			for i := range part {
				part[i] = p.b
			}
		}
		p.left -= len(part)
		done += len(part)
	}
	return done, nil
}

// rawChunk returns the stored bytes of a chunk, bits in their usual order.
func (g *tiffPage) rawChunk(chunk int) ([]byte, error) {
	b, err := g.f.src.bytesAt(int64(g.offsets[chunk]), int64(g.counts[chunk]))
	if err == nil && g.flipped && g.compression != compJPEG {
		flip(b)
	}
	return b, err
}

// unpredict undoes horizontal differencing over a row (TIFF 6.0 section 14): each
// sample was stored as its difference from the one step samples before.
func unpredict(row []byte, depth, step int, little bool) {
	if depth == 8 {
		for i := step; i < len(row); i++ {
			row[i] += row[i-step]
		}
		return
	}
	lo, hi := 1, 0
	if little {
		lo, hi = 0, 1
	}
	for i := 2 * step; i+1 < len(row); i += 2 {
		j := i - 2*step
		v := uint16(row[i+hi])<<8 | uint16(row[i+lo])
		v += uint16(row[j+hi])<<8 | uint16(row[j+lo])
		row[i+hi], row[i+lo] = byte(v>>8), byte(v)
	}
}

// isLittle reports whether 16-bit samples have their low byte first.
func (g *tiffPage) isLittle() bool { return g.f.order.Uint16([]byte{1, 0}) == 1 }

// wrapJPEG makes a whole JPEG of a chunk: the shared tables without their end
// marker, then the chunk without its start marker (TIFF Technical Note 2). An
// Adobe APP14 marker in front says what the components are, which TIFF keeps in
// PhotometricInterpretation: 1 YCbCr, 0 as they are.
func wrapJPEG(tables, chunk []byte, ycc bool) ([]byte, error) {
	if len(chunk) < 4 || chunk[0] != 0xff || chunk[1] != 0xd8 {
		return nil, FormatError("tiff: a part that should be JPEG is not")
	}
	transform := byte(0)
	if ycc {
		transform = 1
	}
	out := []byte{0xff, 0xd8, 0xff, 0xee, 0, 14, 'A', 'd', 'o', 'b', 'e', 0, 100, 0, 0, 0, 0, transform}
	if len(tables) >= 4 && tables[0] == 0xff && tables[1] == 0xd8 {
		out = append(out, bytes.TrimSuffix(tables[2:], []byte{0xff, 0xd9})...)
	}
	return append(out, chunk[2:]...), nil
}
