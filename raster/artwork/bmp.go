package artwork

import (
	"encoding/binary"
	"fmt"
	"io"
)

// decodeBMP reads an uncompressed Windows bitmap (BITMAPCOREHEADER, BITMAPINFOHEADER
// and its longer successors) row by row: 1, 2, 4 and 8 bits with a palette, 24 and
// 32 bits as BGR. Alpha is read where the header names a mask for it.
func decodeBMP(src source, l limits) (*Picture, error) {
	h, err := src.bytesAt(0, 18)
	if err != nil {
		return nil, err
	}
	le := binary.LittleEndian
	dataAt, size := int64(le.Uint32(h[10:])), int64(le.Uint32(h[14:]))
	if size != 12 && (size < 40 || size > 1024) {
		return nil, formatf("bmp: a header of %d bytes", size)
	}
	info, err := src.bytesAt(14, size)
	if err != nil {
		return nil, err
	}
	b := bmpFile{entry: 4}
	if size == 12 {
		b.w, b.h, b.depth, b.entry = int64(le.Uint16(info[4:])), int64(le.Uint16(info[6:])), int(le.Uint16(info[10:])), 3
	} else {
		b.w, b.h, b.depth = int64(int32(le.Uint32(info[4:]))), int64(int32(le.Uint32(info[8:]))), int(le.Uint16(info[14:]))
		b.compression, b.colours = le.Uint32(info[16:]), int64(le.Uint32(info[32:]))
	}
	topDown := b.h < 0
	b.h = max(b.h, -b.h)
	p := &Picture{Pages: 1, Depth: b.depth}
	if err := l.check("bmp", b.w, b.h, 1); err != nil {
		return nil, err
	}
	p.StoredWidth, p.StoredHeight = int(b.w), int(b.h)
	if size >= 40 {
		p.StoredXPerInch, p.StoredYPerInch = perMetre(le.Uint32(info[24:])), perMetre(le.Uint32(info[28:]))
		if p.StoredXPerInch == 0 || p.StoredYPerInch == 0 {
			p.StoredXPerInch, p.StoredYPerInch = 0, 0
		}
	}
	if p.Page, err = l.pageOf(1); err != nil || l.headOnly {
		return p, err
	}
	m, err := b.model(src, info)
	if err != nil {
		return nil, err
	}
	p.Model = m.space.String()
	rowBytes := (b.w*int64(m.depth*m.samples) + 31) / 32 * 4
	if dataAt < 14+size || dataAt > src.size || rowBytes*b.h > src.size-dataAt {
		return nil, io.ErrUnexpectedEOF
	}
	c := newCanvas(p.StoredWidth, p.StoredHeight)
	conv := newConverter(m, p.StoredWidth, true)
	row := make([]byte, rowBytes)
	for i := range p.StoredHeight {
		if n, err := src.ReadAt(row, dataAt+int64(i)*rowBytes); n < len(row) {
			return nil, err
		}
		y := i
		if !topDown {
			y = p.StoredHeight - 1 - i
		}
		for j := 0; m.samples >= 3 && j+2 < len(row); j += m.samples {
			row[j], row[j+2] = row[j+2], row[j] // BGR
		}
		cover, err := conv.coverage([][]byte{row}, p.StoredWidth)
		if err != nil {
			return nil, err
		}
		c.put(0, y, cover)
	}
	conv.finish().tell(p)
	p.Ink = c.ink()
	return p, nil
}

type bmpFile struct {
	w, h, colours int64
	depth         int
	compression   uint32
	entry         int64 // bytes a palette entry
}

// model settles how samples become ink.
func (b *bmpFile) model(src source, info []byte) (*model, error) {
	le := binary.LittleEndian
	m := &model{depth: b.depth, samples: 1, alpha: -1}
	switch b.compression {
	case 0:
	case 3, 6: // masks, of which only the usual order is read
		masks, err := src.bytesAt(14+40, 12)
		if err != nil {
			return nil, err
		}
		if b.depth != 32 || le.Uint32(masks) != 0xff0000 || le.Uint32(masks[4:]) != 0xff00 || le.Uint32(masks[8:]) != 0xff {
			return nil, UnsupportedError{"a BMP with packed colours", saveAs}
		}
		if len(info) >= 56 && le.Uint32(info[52:]) == 0xff000000 {
			m.alpha = 3
		}
	default:
		return nil, UnsupportedError{fmt.Sprintf("a BMP with compression %d", b.compression), saveAs}
	}
	switch b.depth {
	case 1, 2, 4, 8:
		m.space = indexSpace
		n := int64(1) << b.depth
		if b.colours > 0 && b.colours < n {
			n = b.colours
		}
		t, err := src.bytesAt(14+int64(len(info)), n*b.entry)
		if err != nil {
			return nil, err
		}
		for ; len(t) > 0; t = t[b.entry:] {
			m.palette = append(m.palette, colour{uint16(t[2]) * 257, uint16(t[1]) * 257, uint16(t[0]) * 257, 65535})
		}
	case 24, 32:
		m.space, m.samples, m.depth = rgbSpace, b.depth/8, 8
	default:
		return nil, UnsupportedError{fmt.Sprintf("a BMP with %d bits a pixel", b.depth), saveAs}
	}
	return m, nil
}
