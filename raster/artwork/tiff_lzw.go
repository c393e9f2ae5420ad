package artwork

import (
	"bufio"
	"io"
)

// lzwReader unpacks TIFF's LZW (TIFF 6.0 section 13): codes of 9 to 12 bits,
// highest bit first, 256 clears the table, 257 ends the data, and codes grow one
// entry early, when the table has 511, 1023 and 2047 entries.
//
// x/image/tiff/lzw reads the same (its reader is the twin in the tests). This one
// can be used again for the next strip, of which a page may have thousands: a page
// of 139 million grey pixels in strips of a row took 295 MB with a new reader each,
// and takes 147 MB, of which 139 are the page.
type lzwReader struct {
	src    *bufio.Reader
	acc    uint32
	have   int // bits in acc
	width  int // bits a code
	next   int // the entry that the next code adds
	last   int // the code before, or -1 after a clear
	prefix [1 << lzwBits]uint16
	length [1 << lzwBits]uint16
	suffix [1 << lzwBits]byte // the last byte of an entry
	first  [1 << lzwBits]byte // and its first
	out    []byte             // unpacked bytes, of which those from at on are not yet taken
	at     int
	err    error
}

const (
	lzwBits  = 12
	lzwClear = 256
	lzwEnd   = 257
	lzwBlock = 1 << 15 // bytes unpacked at a time, and an entry more
)

// reset starts on the data of src.
func (z *lzwReader) reset(src *bufio.Reader) {
	if z.out == nil {
		z.out = make([]byte, 0, lzwBlock+1<<lzwBits)
		for i := range 256 {
			z.length[i], z.suffix[i], z.first[i] = 1, byte(i), byte(i)
		}
	}
	z.src, z.acc, z.have, z.out, z.at, z.err = src, 0, 0, z.out[:0], 0, nil
	z.clear()
}

func (z *lzwReader) clear() { z.width, z.next, z.last = 9, lzwEnd+1, -1 }

func (z *lzwReader) Read(p []byte) (int, error) {
	if z.at == len(z.out) {
		if z.err != nil {
			return 0, z.err
		}
		z.out, z.at = z.out[:0], 0
		z.block()
		if len(z.out) == 0 {
			return 0, z.err
		}
	}
	n := copy(p, z.out[z.at:])
	z.at += n
	return n, nil
}

// block unpacks until lzwBlock bytes are there or err is set.
func (z *lzwReader) block() {
	for len(z.out) < lzwBlock {
		for z.have < z.width {
			b, err := z.src.ReadByte()
			if err != nil {
				if z.err = err; err == io.EOF {
					z.err = io.ErrUnexpectedEOF
				}
				return
			}
			z.acc = z.acc<<8 | uint32(b)
			z.have += 8
		}
		z.have -= z.width
		code := int(z.acc >> z.have & (1<<z.width - 1))
		switch {
		case code == lzwClear:
			z.clear()
			continue
		case code == lzwEnd:
			z.err = io.EOF
			return
		case code > z.next || code == z.next && z.last < 0 || code >= lzwClear && z.last < 0:
			z.err = FormatError("an LZW code that has no meaning yet; the file is damaged")
			return
		}
		if z.last >= 0 && z.next < 1<<lzwBits {
			// The new entry is the last one and the first byte of this one, which may
			// be the new entry itself.
			z.prefix[z.next], z.length[z.next], z.first[z.next] = uint16(z.last), z.length[z.last]+1, z.first[z.last]
			z.suffix[z.next] = z.first[code]
			if code == z.next {
				z.suffix[z.next] = z.first[z.last]
			}
			if z.next++; z.next == 1<<z.width-1 && z.width < lzwBits {
				z.width++
			}
		} else if code == z.next {
			z.err = FormatError("an LZW code beyond a full table; the file is damaged")
			return
		}
		z.last = code
		end := len(z.out) + int(z.length[code])
		z.out = z.out[:end]
		for i, c := end-1, code; ; i, c = i-1, int(z.prefix[c]) {
			z.out[i] = z.suffix[c]
			if z.length[c] == 1 {
				break
			}
		}
	}
}
