package artwork

import "encoding/binary"

// converter turns rows of stored samples into coverages. One belongs to one
// goroutine; its tally says what it met.
type converter struct {
	*model
	lut    []uint8 // coverage by value, for one sample of up to 8 bits
	hits   []int   // pixels by value, beside lut, when the model tallies
	little bool    // 16-bit samples have their low byte first
	tally  *tally
	row    []uint16
	cover  []uint8
}

func newConverter(m *model, width int, little bool) *converter {
	c := &converter{model: m, lut: m.table(), little: little, cover: make([]uint8, width)}
	c.tally = newTally(m.space != greySpace)
	if c.lut != nil {
		c.hits = make([]int, len(c.lut))
	} else {
		c.row = make([]uint16, width*m.samples)
	}
	return c
}

// coverage returns the coverages of n pixels stored in src, valid until the next
// call. Planes has one slice for each sample when they are stored apart, else
// one slice for all.
func (c *converter) coverage(planes [][]byte, n int) ([]uint8, error) {
	out := c.cover[:n]
	if c.lut != nil {
		return out, c.lookUp(out, planes[0])
	}
	if len(planes) == 1 && c.depth == 8 && c.space != indexSpace {
		c.shadeBytes(out, planes[0][:n*c.samples])
		return out, nil
	}
	row := c.row[:n*c.samples]
	if len(planes) == 1 {
		c.unpack(row, 1, planes[0], n*c.samples)
	} else {
		for i, p := range planes {
			c.unpack(row[i:], c.samples, p, n)
		}
	}
	if c.space == indexSpace {
		for i := 0; i < len(row); i += c.samples {
			if int(row[i]) >= len(c.palette) {
				return nil, paletteError(int(row[i]), len(c.palette))
			}
		}
	}
	c.shadeRow(out, row)
	return out, nil
}

// shadeRow works each colour out once for a run of pixels alike, for artwork is
// mostly flat.
func (c *converter) shadeRow(out []uint8, row []uint16) {
	n := c.samples
	for i := 0; i < len(out); {
		px := row[i*n : i*n+n]
		cover, rgb, alpha := c.shade(px)
		j := i
		for {
			out[j] = cover
			j++
			if j == len(out) || !alike(px, row[j*n:j*n+n]) {
				break
			}
		}
		c.tally.add(rgb, alpha, j-i)
		i = j
	}
}

// shadeBytes does the same from 8-bit samples as they are stored. A run goes on
// while every byte equals the one a pixel before.
func (c *converter) shadeBytes(out []uint8, src []byte) {
	n := c.samples
	px := c.row[:n]
	for i := 0; i < len(out); {
		at := i * n
		for k, v := range src[at : at+n] {
			px[k] = uint16(v) * 257
		}
		cover, rgb, alpha := c.shade(px)
		k := at + n
		for k+8 <= len(src) && binary.LittleEndian.Uint64(src[k:]) == binary.LittleEndian.Uint64(src[k-n:]) {
			k += 8
		}
		for k < len(src) && src[k] == src[k-n] {
			k++
		}
		j := k / n
		fillBytes(out[i:j], cover)
		c.tally.add(rgb, alpha, j-i)
		i = j
	}
}

func fillBytes(b []uint8, v uint8) {
	for i := range b {
		b[i] = v
	}
}

func alike(a, b []uint16) bool {
	for i, v := range a {
		if b[i] != v {
			return false
		}
	}
	return true
}

// lookUp maps packed values of 1, 2, 4 or 8 bits, and odd depths too.
func (c *converter) lookUp(out []uint8, src []byte) error {
	top := len(c.lut)
	if c.depth == 8 {
		if top == 256 && c.space == greySpace && c.key == nil {
			if c.minIs0 {
				copy(out, src[:len(out)])
			} else {
				complement(out, src)
			}
			return nil
		}
		for i, v := range src[:len(out)] {
			if int(v) >= top {
				return paletteError(int(v), top)
			}
			out[i] = c.lut[v]
			c.hits[v]++
		}
		return nil
	}
	mask := 1<<c.depth - 1
	for i := range out {
		bit := i * c.depth
		v := int(src[bit>>3]) << 8
		if bit>>3+1 < len(src) {
			v |= int(src[bit>>3+1])
		}
		v = v >> (16 - c.depth - bit&7) & mask
		if v >= top {
			return paletteError(v, top)
		}
		out[i] = c.lut[v]
		c.hits[v]++
	}
	return nil
}

// complement writes 255 minus each byte of src, which is its complement.
func complement(out, src []uint8) {
	i := 0
	for ; i+8 <= len(out); i += 8 {
		binary.LittleEndian.PutUint64(out[i:], ^binary.LittleEndian.Uint64(src[i:]))
	}
	for ; i < len(out); i++ {
		out[i] = ^src[i]
	}
}

func paletteError(v, n int) error {
	return formatf("palette entry %d is used but there are only %d; the file is damaged", v, n)
}

// unpack writes n samples, scaled, into every step-th place of dst.
func (c *converter) unpack(dst []uint16, step int, src []byte, n int) {
	switch {
	case c.depth == 8 && c.space == indexSpace:
		for i := range n {
			dst[i*step] = uint16(src[i])
		}
	case c.depth == 8:
		for i := range n {
			dst[i*step] = uint16(src[i]) * 257
		}
	case c.depth == 16 && c.little:
		for i := range n {
			dst[i*step] = binary.LittleEndian.Uint16(src[2*i:])
		}
	case c.depth == 16:
		for i := range n {
			dst[i*step] = binary.BigEndian.Uint16(src[2*i:])
		}
	default:
		acc, have, at := 0, 0, 0
		for i := range n {
			for have < c.depth {
				acc, have, at = acc<<8|int(src[at]), have+8, at+1
			}
			have -= c.depth
			dst[i*step] = c.scale(acc >> have)
			acc &= 1<<have - 1
		}
	}
}

// finish returns the tally with the table's hits counted in.
func (c *converter) finish() *tally {
	for v, n := range c.hits {
		if n > 0 {
			_, rgb, alpha := c.shade([]uint16{c.scale(v)})
			c.tally.add(rgb, alpha, n)
		}
	}
	clear(c.hits)
	return c.tally
}
