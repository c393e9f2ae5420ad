package artwork

import (
	"bufio"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
)

// decodePNG reads all forms of PNG row by row, so that it never holds more than
// the ink itself: bits, or a byte a pixel.
func decodePNG(src source, l limits) (*Picture, error) {
	f, err := readPNGChunks(src, l.headOnly)
	if err != nil {
		return nil, err
	}
	p := &Picture{Pages: 1, Depth: f.depth, Remarks: f.remarks}
	if err := l.check("png", f.w, f.h, 1); err != nil {
		return nil, err
	}
	p.StoredWidth, p.StoredHeight = int(f.w), int(f.h)
	f.resolution(p)
	if p.Page, err = l.pageOf(1); err != nil || l.headOnly {
		return p, err
	}
	m, err := f.model()
	if err != nil {
		return nil, err
	}
	p.Model = m.space.String()
	if m.space == greySpace && m.depth == 1 {
		p.Model = "bilevel"
	}
	// Deflate packs 1032 bytes at most into one (RFC 1951: 258 bytes in 2 bits).
	if raw := (f.w*int64(m.samples*m.depth) + 7) / 8 * f.h; raw/1032 > f.dataBytes {
		return nil, io.ErrUnexpectedEOF
	}
	c := newCanvas(p.StoredWidth, p.StoredHeight)
	d := &pngRows{model: m, width: p.StoredWidth, conv: newConverter(m, p.StoredWidth, false)}
	d.step = max(1, m.samples*m.depth/8)
	d.src, err = zlib.NewReader(bufio.NewReaderSize(&pngData{f: f}, 32<<10))
	if err != nil {
		return nil, err
	}
	if f.interlaced {
		err = d.interlaced(c)
	} else {
		err = d.plain(c)
	}
	if err != nil {
		return nil, err
	}
	d.conv.finish().tell(p)
	p.Ink = c.ink()
	return p, nil
}

// model settles how samples become ink.
func (f *pngFile) model() (*model, error) {
	m := &model{depth: f.depth, samples: 1, alpha: -1}
	switch f.colourType {
	case 2:
		m.space, m.samples = rgbSpace, 3
	case 3:
		m.space = indexSpace
		if f.palette == nil {
			return nil, FormatError("png: a palette picture without palette")
		}
		if len(f.trns) > len(f.palette)/3 {
			return nil, FormatError("png: more transparent entries than the palette has")
		}
		for i := 0; i < len(f.palette); i += 3 {
			c := colour{uint16(f.palette[i]) * 257, uint16(f.palette[i+1]) * 257, uint16(f.palette[i+2]) * 257, 65535}
			if i/3 < len(f.trns) {
				c.a = uint16(f.trns[i/3]) * 257
			}
			m.palette = append(m.palette, c)
		}
		return m, nil
	case 4:
		m.samples, m.alpha = 2, 1
	case 6:
		m.space, m.samples, m.alpha = rgbSpace, 4, 3
	}
	if f.trns != nil && m.alpha < 0 {
		if len(f.trns) != 2*m.samples {
			return nil, formatf("png: a transparent colour of %d bytes", len(f.trns))
		}
		for i := 0; i < len(f.trns); i += 2 {
			m.key = append(m.key, m.scale(int(binary.BigEndian.Uint16(f.trns[i:]))&(1<<m.depth-1)))
		}
	}
	return m, nil
}

// pngRows unfilters and converts the rows of a picture or of an interlace pass.
type pngRows struct {
	model *model
	width int
	step  int // bytes from a pixel to the next, at least 1
	src   io.Reader
	conv  *converter
}

// rowBytes is the bytes of a row of n pixels, without its filter byte.
func (d *pngRows) rowBytes(n int) int { return (n*d.model.samples*d.model.depth + 7) / 8 }

// each calls do with the n pixels of each of rows rows.
func (d *pngRows) each(n, rows int, do func(y int, row []byte) error) error {
	size := d.rowBytes(n)
	cur, prev := make([]byte, 1+size), make([]byte, 1+size)
	for y := range rows {
		if _, err := io.ReadFull(d.src, cur); err != nil {
			return rowError(y, err)
		}
		if err := unfilter(cur[0], cur[1:], prev[1:], d.step); err != nil {
			return rowError(y, err)
		}
		if err := do(y, cur[1:]); err != nil {
			return rowError(y, err)
		}
		cur, prev = prev, cur
	}
	return nil
}

func rowError(y int, err error) error { return dataError(fmt.Sprintf("png: row %d", y), err) }

// end checks that nothing follows the last row; reading to the end also makes
// the inflater compare its checksum.
func (d *pngRows) end() error {
	var b [1]byte
	n, err := io.ReadFull(d.src, b[:])
	if n > 0 {
		return FormatError("png: more picture data than its size; the file is damaged")
	}
	if err != io.EOF {
		return err
	}
	return nil
}

// plain reads a picture that is not interlaced.
func (d *pngRows) plain(c *canvas) error {
	straight, flip := false, false
	if t := d.conv.lut; d.model.depth == 1 && len(t) == 2 {
		straight, flip = t[0] == 0 && t[1] == 255, t[0] == 255 && t[1] == 0
	}
	// A palette of a clear and a solid colour counts its pixels for the tally.
	if d.model.space == indexSpace || d.model.key != nil {
		straight, flip = straight && d.opaque(), flip && d.opaque()
	}
	err := d.each(d.width, c.bits.H, func(y int, row []byte) error {
		if straight || flip {
			line := c.bits.Row(y)
			fromMSB(line, row, d.width)
			if flip {
				for i := range line {
					line[i] = ^line[i]
				}
				line[len(line)-1] &= c.bits.LastMask()
			}
			return nil
		}
		cover, err := d.conv.coverage([][]byte{row}, d.width)
		if err != nil {
			return err
		}
		c.put(0, y, cover)
		return nil
	})
	if err != nil {
		return err
	}
	return d.end()
}

// opaque reports whether no value of a two-value picture is transparent.
func (d *pngRows) opaque() bool {
	for v := range d.conv.lut {
		if _, _, alpha := d.model.shade([]uint16{d.model.scale(v)}); alpha != 65535 {
			return false
		}
	}
	return true
}

// adam7 is the order of the seven passes: first column and row, and the steps
// between them (PNG section 8.1).
var adam7 = [7]struct{ x, y, dx, dy int }{
	{0, 0, 8, 8}, {4, 0, 8, 8}, {0, 4, 4, 8}, {2, 0, 4, 4}, {0, 2, 2, 4}, {1, 0, 2, 2}, {0, 1, 1, 2},
}

// interlaced scatters the passes over a byte a pixel.
func (d *pngRows) interlaced(c *canvas) error {
	w, h := c.bits.W, c.bits.H
	c.grey = make([]uint8, w*h)
	for _, pass := range adam7 {
		n, rows := (w-pass.x+pass.dx-1)/pass.dx, (h-pass.y+pass.dy-1)/pass.dy
		if n <= 0 || rows <= 0 {
			continue
		}
		err := d.each(n, rows, func(y int, row []byte) error {
			cover, err := d.conv.coverage([][]byte{row}, n)
			if err != nil {
				return err
			}
			to := c.grey[(pass.y+y*pass.dy)*w:]
			for i, v := range cover {
				to[pass.x+i*pass.dx] = v
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	c.settle()
	return d.end()
}

// unfilter undoes PNG section 9: each byte was stored as its difference from a
// guess by its neighbours a (left), b (above) and c (above left), step bytes away.
// prev is the row above, clear for the first.
func unfilter(kind byte, row, prev []byte, step int) error {
	prev = prev[:len(row)]
	switch kind {
	case 0:
	case 1:
		for i := step; i < len(row); i++ {
			row[i] += row[i-step]
		}
	case 2:
		for i, b := range prev {
			row[i] += b
		}
	case 3:
		for i := range min(step, len(row)) {
			row[i] += prev[i] / 2
		}
		for i := step; i < len(row); i++ {
			row[i] += uint8((int(row[i-step]) + int(prev[i])) / 2)
		}
	case 4:
		for i := range min(step, len(row)) {
			row[i] += prev[i]
		}
		unpaeth(row, prev, step)
	default:
		return formatf("filter %d is not one; the file is damaged", kind)
	}
	return nil
}

// unpaeth undoes filter 4 from byte step on: the guess is that of a, b, c which is
// nearest to a+b-c, in this order when they are equally near. The distances from
// a+b-c are |b-c|, |a-c| and |a+b-2c|.
func unpaeth(row, prev []byte, step int) {
	for k := range step {
		if k >= len(row) {
			return
		}
		a, c := int(row[k]), int(prev[k])
		for i := k + step; i < len(row); i += step {
			b := int(prev[i])
			da, db := b-c, a-c
			dc := abs(da + db)
			da, db = abs(da), abs(db)
			guess := c
			if da <= db && da <= dc {
				guess = a
			} else if db <= dc {
				guess = b
			}
			a = int(row[i] + uint8(guess))
			row[i] = uint8(a)
			c = b
		}
	}
}
