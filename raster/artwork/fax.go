package artwork

import (
	"encoding/binary"
	"io"
)

type faxKind int

const (
	faxMH     faxKind = iota // T.4 one-dimensional without line ends (TIFF compression 2)
	faxT4                    // T.4 one-dimensional
	faxT4twoD                // T.4 two-dimensional
	faxT6                    // T.6
)

// faxMode is how a stream is coded.
type faxMode struct {
	kind  faxKind
	width int
	align int // bits on whose multiples rows begin; 0 when they follow at once
}

// fax decodes CCITT bilevel codes (ITU-T T.4, T.6) into packed rows. It works on
// the places where colour changes, as the codes do, and paints whole words. The
// zero value is ready for reset; buffers are kept from stream to stream.
//
// Rows that leave the picture, codes that there are not, and an end before the
// last row are errors: a damaged fax row is repaired by guessing, and a guess is
// nothing to measure.
type fax struct {
	faxMode
	data []byte
	pos  int    // bytes taken into acc, those beyond the end counted too
	acc  uint64 // the next bits, leftmost first
	have int    // how many of them are valid
	// ref and cur are the changing elements of the reference row and of this one:
	// even ones turn white to black, odd ones black to white. After the last come
	// three of width, so that b1 and b2 are always there.
	ref, cur []int32
	tables   *faxTables
}

func (f *fax) reset(data []byte, mode faxMode) {
	w := int32(mode.width)
	*f = fax{faxMode: mode, data: data, ref: append(f.ref[:0], w, w, w), cur: f.cur[:0], tables: codeTables()}
}

// fill makes at least 48 bits ready; after the end of the data they are 0.
func (f *fax) fill() {
	if f.have >= 48 {
		return
	}
	if f.pos+8 <= len(f.data) {
		f.acc |= binary.BigEndian.Uint64(f.data[f.pos:]) >> f.have
		n := (63 - f.have) >> 3
		f.pos += n
		f.have += 8 * n
		f.acc &= ^uint64(0) << (64 - f.have)
		return
	}
	for f.have <= 56 {
		if f.pos < len(f.data) {
			f.acc |= uint64(f.data[f.pos]) << (56 - f.have)
		}
		f.pos++
		f.have += 8
	}
}

func (f *fax) skip(n int) {
	f.acc <<= n
	f.have -= n
}

// over reports whether bits beyond the end were used.
func (f *fax) over() bool { return 8*f.pos-f.have > 8*len(f.data) }

// row decodes the next row and sets its black pixels in the clear words of line.
func (f *fax) row(line []uint64) error {
	twoD := f.kind == faxT6
	if f.align > 0 {
		if odd := (8*f.pos - f.have) % f.align; odd != 0 {
			f.fill()
			f.skip(f.align - odd)
		}
	} else if f.kind != faxT6 {
		found := f.endOfLine()
		if f.kind == faxT4twoD {
			if !found {
				return f.bad("no line end where one must be")
			}
			f.fill()
			twoD = f.acc>>63 == 0
			f.skip(1)
		}
	}
	var err error
	f.cur = f.cur[:0]
	if twoD {
		err = f.row2D()
	} else {
		err = f.row1D()
	}
	if err != nil {
		return err
	}
	if f.over() {
		return io.ErrUnexpectedEOF
	}
	for i := 0; i+1 < len(f.cur); i += 2 {
		paint(line, int(f.cur[i]), int(f.cur[i+1]))
	}
	w := int32(f.width)
	if len(f.cur)&1 != 0 {
		paint(line, int(f.cur[len(f.cur)-1]), f.width)
	}
	f.cur = append(f.cur, w, w, w)
	f.ref, f.cur = f.cur, f.ref
	return nil
}

// endOfLine skips a line end, 11 zeros or more and a 1, when one comes next. No
// run code starts with more than 7 zeros, and fill bits before a line end are
// zeros too, so nothing else can look like one.
func (f *fax) endOfLine() bool {
	f.fill()
	if f.acc>>53 != 0 {
		return false
	}
	for {
		f.fill()
		if f.acc == 0 {
			if f.pos >= len(f.data) {
				return false // the row's first code will be refused
			}
			f.skip(f.have)
			continue
		}
		for f.acc>>63 == 0 {
			f.skip(1)
		}
		f.skip(1)
		return true
	}
}

// bad words a violation of the code, or the early end that caused it.
func (f *fax) bad(what string) error {
	if f.over() || f.pos >= len(f.data) && f.acc == 0 {
		return io.ErrUnexpectedEOF
	}
	return FormatError("damaged fax data (" + what + ")")
}

// run reads one run length: make-up codes up to a terminating one.
func (f *fax) run(table *[1 << runBits]code) (int, error) {
	n := 0
	for {
		f.fill()
		c := table[f.acc>>(64-runBits)]
		if c.bits == 0 {
			return 0, f.bad("no such run code")
		}
		f.skip(int(c.bits))
		n += int(c.value)
		if n > f.width {
			return 0, f.bad("a run over the end of its row")
		}
		if c.value < 64 {
			return n, nil
		}
	}
}

// change notes that colour changes at p. Two changes at one place are none.
func (f *fax) change(p int) {
	if n := len(f.cur); n > 0 && int(f.cur[n-1]) == p {
		f.cur = f.cur[:n-1]
		return
	}
	f.cur = append(f.cur, int32(p))
}

// row1D decodes runs of white and black in turn up to the row's end.
func (f *fax) row1D() error {
	table, other := &f.tables.white, &f.tables.black
	for at := 0; at < f.width; table, other = other, table {
		n, err := f.run(table)
		if err != nil {
			return err
		}
		if at += n; at > f.width {
			return f.bad("a run over the end of its row")
		}
		if at < f.width {
			f.change(at)
		}
	}
	return nil
}

// row2D decodes a row against the one before it. a0 is where this row has got
// to, b1 the first change of the reference row right of a0 and towards the colour
// opposite to a0's, b2 the change after it (T.4 section 4.2.1, T.6 section 2.2).
// bi is b1's index in ref; its lowest bit is 1 when the colour at a0 is black.
func (f *fax) row2D() error {
	ref, w := f.ref, f.width
	a0, bi := -1, 0
	for a0 < w {
		for int(ref[bi]) <= a0 && int(ref[bi]) < w {
			bi += 2
		}
		f.fill()
		c := f.tables.mode[f.acc>>(64-modeBits)]
		var a1 int
		switch c.value {
		case modeV0:
			a1 = int(ref[bi])
		case modeVR1, modeVR2, modeVR3:
			a1 = int(ref[bi]) + int(c.value-modeV0)
		case modeVL1, modeVL2, modeVL3:
			a1 = int(ref[bi]) - int(c.value-modeVR3)
		case modePass:
			f.skip(int(c.bits))
			a0 = int(ref[bi+1])
			continue
		case modeHorizontal:
			f.skip(int(c.bits))
			first, second := &f.tables.white, &f.tables.black
			if bi&1 != 0 {
				first, second = second, first
			}
			n, err := f.run(first)
			if err != nil {
				return err
			}
			m, err := f.run(second)
			if err != nil {
				return err
			}
			p := max(a0, 0) + n
			if p+m > w {
				return f.bad("a run over the end of its row")
			}
			// Changes at the end of the row are none, but of two of them a black
			// run of no length before it must not leave the first behind.
			if p < w {
				f.change(p)
			}
			if a0 = p + m; a0 < w {
				f.change(a0)
			}
			continue
		case modeExtension:
			return UnsupportedError{"a TIFF with an extension of the CCITT codes (uncompressed mode)", saveAs}
		default:
			if f.acc>>40 == 0x001001 {
				return io.ErrUnexpectedEOF // the end-of-block code, before the last row
			}
			return f.bad("no such mode")
		}
		f.skip(int(c.bits))
		if a1 > w || a1 < max(a0, 0) {
			return f.bad("a change outside its row")
		}
		if a1 < w {
			f.change(a1)
		}
		a0 = a1
		// The colour turned over, so b1 is a change of the other parity: the one
		// before may still lie right of a0, else the one after.
		if bi > 0 {
			bi--
		} else {
			bi++
		}
	}
	return nil
}

// paint sets the bits from x0 up to x1.
func paint(line []uint64, x0, x1 int) {
	if x0 >= x1 {
		return
	}
	i, j := x0>>6, (x1-1)>>6
	first, last := ^uint64(0)<<(x0&63), ^uint64(0)>>(63-(x1-1)&63)
	if i == j {
		line[i] |= first & last
		return
	}
	line[i] |= first
	for k := i + 1; k < j; k++ {
		line[k] = ^uint64(0)
	}
	line[j] |= last
}
