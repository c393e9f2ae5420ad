package artwork

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
)

const pngMagic = "\x89PNG\r\n\x1a\n"

// pngFile is what the chunks of a PNG say (W3C PNG, third edition, sections 5
// and 11), all but the picture's data, whose places it lists.
type pngFile struct {
	src        source
	w, h       int64
	depth      int
	colourType int
	interlaced bool
	palette    []byte // PLTE
	trns       []byte // tRNS; nil when there is none
	perX, perY uint32 // pHYs
	unit       byte   // 1 is the metre, 0 unknown
	hasPhys    bool
	exif       []byte
	data       []span // the IDAT chunks
	dataBytes  int64
	remarks    []string
}

type span struct{ at, n int64 }

// Chunks whose data are kept are short; more than this is damage (eXIf, the
// longest, holds a thumbnail at most).
const maxKept = 1 << 20

// readPNGChunks walks all chunks up to IEND, so that a file cut off anywhere is
// refused before anything is decoded. With headOnly it stops at the data.
func readPNGChunks(src source, headOnly bool) (*pngFile, error) {
	f := &pngFile{src: src}
	at := int64(len(pngMagic))
	for n := 0; ; n++ {
		h, err := src.bytesAt(at, 8)
		if err != nil {
			return nil, err
		}
		length, name := int64(binary.BigEndian.Uint32(h)), string(h[4:])
		if length > 1<<31-1 {
			return nil, formatf("png: a chunk of %d bytes; the file is damaged", length)
		}
		if at+12+length > src.size {
			return nil, io.ErrUnexpectedEOF
		}
		if n == 0 != (name == "IHDR") {
			if n == 0 && name == "CgBI" {
				return nil, UnsupportedError{"a PNG rewritten for a telephone (CgBI)", "ask for the file as it was drawn"}
			}
			return nil, formatf("png: chunk %q where IHDR must stand once and first", name)
		}
		switch name {
		case "IDAT":
			if headOnly {
				return f, nil
			}
			if k := len(f.data); k > 0 && f.data[k-1].at+f.data[k-1].n+12 != at+8 {
				return nil, FormatError("png: its data are interrupted by other chunks")
			}
			f.data = append(f.data, span{at + 8, length})
			f.dataBytes += length
		case "IHDR", "PLTE", "tRNS", "pHYs", "eXIf":
			if err := f.keep(name, at, length); err != nil {
				return nil, err
			}
		case "IEND":
			if len(f.data) == 0 && !headOnly {
				return nil, FormatError("png: no picture data")
			}
			return f, nil
		default:
			if name[0]&0x20 == 0 {
				return nil, UnsupportedError{fmt.Sprintf("a PNG with the unknown critical chunk %q", name), saveAs}
			}
		}
		at += 12 + length
	}
}

// keep reads a chunk and checks its CRC. A damaged chunk that the picture does
// not need is left out with a remark.
func (f *pngFile) keep(name string, at, length int64) error {
	if length > maxKept {
		return formatf("png: a %s chunk of %d bytes; the file is damaged", name, length)
	}
	b, err := f.src.bytesAt(at+4, length+8)
	if err != nil {
		return err
	}
	sum := binary.BigEndian.Uint32(b[4+length:])
	b = b[:4+length]
	if crc32.ChecksumIEEE(b) != sum {
		if name == "pHYs" || name == "eXIf" {
			f.remarks = append(f.remarks, "Its "+name+" chunk is damaged and was left out; the resolution may be missing.")
			return nil
		}
		return formatf("png: the %s chunk does not match its checksum; the file is damaged, ask for it again", name)
	}
	b = b[4:]
	switch name {
	case "IHDR":
		return f.header(b)
	case "PLTE":
		if len(b)%3 != 0 || len(b) == 0 || len(b) > 768 {
			return formatf("png: a palette of %d bytes", len(b))
		}
		f.palette = b
	case "tRNS":
		f.trns = b
	case "pHYs":
		if len(b) == 9 {
			f.perX, f.perY, f.unit, f.hasPhys = binary.BigEndian.Uint32(b), binary.BigEndian.Uint32(b[4:]), b[8], true
		}
	case "eXIf":
		f.exif = b
	}
	return nil
}

// header reads IHDR.
func (f *pngFile) header(b []byte) error {
	if len(b) != 13 {
		return formatf("png: a header of %d bytes", len(b))
	}
	f.w, f.h = int64(binary.BigEndian.Uint32(b)), int64(binary.BigEndian.Uint32(b[4:]))
	f.depth, f.colourType = int(b[8]), int(b[9])
	if b[10] != 0 || b[11] != 0 || b[12] > 1 {
		return formatf("png: compression %d, filter %d, interlace %d are not all known", b[10], b[11], b[12])
	}
	f.interlaced = b[12] == 1
	ok := false
	switch f.colourType {
	case 0:
		ok = f.depth == 1 || f.depth == 2 || f.depth == 4 || f.depth == 8 || f.depth == 16
	case 3:
		ok = f.depth == 1 || f.depth == 2 || f.depth == 4 || f.depth == 8
	case 2, 4, 6:
		ok = f.depth == 8 || f.depth == 16
	}
	if !ok {
		return formatf("png: colour type %d with %d bits a sample", f.colourType, f.depth)
	}
	return nil
}

// resolution reads pHYs: pixels per metre, or with unit 0 the shape of the
// pixels alone. Without it an EXIF resolution counts.
func (f *pngFile) resolution(p *Picture) {
	switch {
	case f.hasPhys && f.unit == 1:
		p.StoredXPerInch, p.StoredYPerInch = perMetre(f.perX), perMetre(f.perY)
	case f.hasPhys:
		p.ratioX, p.ratioY = float64(f.perX), float64(f.perY)
	}
	if p.StoredXPerInch == 0 || p.StoredYPerInch == 0 {
		p.StoredXPerInch, p.StoredYPerInch = 0, 0
	}
	e := readEXIF(f.exif)
	if !f.hasPhys && e.x > 0 {
		p.StoredXPerInch, p.StoredYPerInch = e.x, e.y
	}
	if e.orientation > 1 {
		// Programs disagree on turning a PNG; most show it as it is stored.
		p.remark("Its EXIF data ask for a turn, which is not applied to PNG files; check which way up it is.")
	}
}

// pngData reads the IDAT chunks as one stream and checks their CRCs.
type pngData struct {
	f    *pngFile
	next int
	left int64
	at   int64
	sum  uint32
}

func (d *pngData) Read(p []byte) (int, error) {
	for d.left == 0 {
		if d.next == len(d.f.data) {
			return 0, io.EOF
		}
		s := d.f.data[d.next]
		d.next++
		d.at, d.left, d.sum = s.at, s.n, crc32.ChecksumIEEE([]byte("IDAT"))
		if s.n == 0 {
			if err := d.check(); err != nil {
				return 0, err
			}
		}
	}
	if int64(len(p)) > d.left {
		p = p[:d.left]
	}
	n, err := d.f.src.ReadAt(p, d.at)
	if n < len(p) {
		return n, err
	}
	d.sum = crc32.Update(d.sum, crc32.IEEETable, p)
	d.at, d.left = d.at+int64(n), d.left-int64(n)
	if d.left == 0 {
		return n, d.check()
	}
	return n, nil
}

func (d *pngData) check() error {
	b, err := d.f.src.bytesAt(d.at, 4)
	if err != nil {
		return err
	}
	if binary.BigEndian.Uint32(b) != d.sum {
		return FormatError("png: picture data do not match their checksum; the file is damaged, ask for it again")
	}
	return nil
}
