package artwork

import (
	"encoding/binary"
	"io"
	"math"
)

// tiffFile reads the directories of a TIFF, classic or BigTIFF. TIFF 6.0 (1992)
// section 2; BigTIFF as libtiff's authors published it (2007): 8-byte offsets
// and counts. EXIF blobs have the same form.
type tiffFile struct {
	src   source
	order binary.ByteOrder
	big   bool
	first int64 // offset of the first directory
}

// openTIFF reads the file header.
func openTIFF(src source) (*tiffFile, error) {
	h, err := src.bytesAt(0, 8)
	if err != nil {
		return nil, err
	}
	f := &tiffFile{src: src, order: binary.LittleEndian}
	if h[0] == 'M' {
		f.order = binary.BigEndian
	}
	switch f.order.Uint16(h[2:]) {
	case 42:
		f.first = int64(f.order.Uint32(h[4:]))
	case 43:
		f.big = true
		if f.order.Uint16(h[4:]) != 8 {
			return nil, FormatError("tiff: a BigTIFF whose offsets are not 8 bytes")
		}
		b, err := src.bytesAt(8, 8)
		if err != nil {
			return nil, err
		}
		f.first = clip64(f.order.Uint64(b))
	default:
		return nil, FormatError("tiff: neither a TIFF nor a BigTIFF")
	}
	return f, nil
}

func clip64(v uint64) int64 { return int64(min(v, math.MaxInt64)) }

// field is one directory entry: its values stand at offset at of the file.
type field struct {
	kind  uint16
	count uint64
	at    int64
}

// fields are the entries of one directory by tag. Their order in the file is not
// checked, and of a tag that comes twice the first counts, as libtiff has it.
type fields map[uint16]field

// fieldBytes is the size of a value by field type; 0 for types there are not.
var fieldBytes = [19]uint64{1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4, 16: 8, 17: 8, 18: 8}

// directory reads the directory at off and the offset of the next.
func (f *tiffFile) directory(off int64) (fields, int64, error) {
	countLen, entryLen, inline := int64(2), int64(12), uint64(4)
	if f.big {
		countLen, entryLen, inline = 8, 20, 8
	}
	if off == 0 {
		return nil, 0, FormatError("tiff: it has no directory; the file was not written to its end")
	}
	b, err := f.src.bytesAt(off, countLen)
	if err != nil {
		return nil, 0, outside("the directory", off, err)
	}
	var n int64
	if f.big {
		n = clip64(f.order.Uint64(b))
	} else {
		n = int64(f.order.Uint16(b))
	}
	if n > maxEntries {
		return nil, 0, FormatError("tiff: a directory of more entries than there are kinds")
	}
	b, err = f.src.bytesAt(off+countLen, n*entryLen+int64(inline))
	if err != nil {
		return nil, 0, outside("the directory", off, err)
	}
	var next int64
	if f.big {
		next = clip64(f.order.Uint64(b[n*entryLen:]))
	} else {
		next = int64(f.order.Uint32(b[n*entryLen:]))
	}
	out := make(fields, n)
	for i := int64(0); i < n; i++ {
		e := b[i*entryLen:]
		tag, d := f.order.Uint16(e), field{kind: f.order.Uint16(e[2:])}
		var value []byte
		if f.big {
			d.count, value = f.order.Uint64(e[4:]), e[12:20]
		} else {
			d.count, value = uint64(f.order.Uint32(e[4:])), e[8:12]
		}
		if int(d.kind) >= len(fieldBytes) || fieldBytes[d.kind] == 0 {
			continue // readers must skip types they do not know (TIFF 6.0 p. 16)
		}
		if d.count > uint64(f.src.size) {
			d.at = math.MaxInt64 // refused when somebody asks for its values
		} else if d.count*fieldBytes[d.kind] <= inline {
			d.at = off + countLen + i*entryLen + entryLen - int64(inline)
		} else if f.big {
			d.at = clip64(f.order.Uint64(value))
		} else {
			d.at = int64(f.order.Uint32(value))
		}
		if _, twice := out[tag]; !twice {
			out[tag] = d
		}
	}
	return out, next, nil
}

// maxEntries is over the number of tags there can be (65536 in classic files).
const maxEntries = 1 << 16

func outside(what string, off int64, err error) error {
	if err == nil || err == io.EOF || err == io.ErrUnexpectedEOF {
		return formatf("tiff: %s at byte %d is not in the file; the file is cut off or damaged, ask for it again", what, off)
	}
	return err
}

// whole returns the first n values of a tag as whole numbers, or all when n is
// negative; nil when the tag is missing. Negative and fractional values are
// refused.
func (f *tiffFile) whole(d fields, tag uint16, n int) ([]uint64, error) {
	e, ok := d[tag]
	if !ok || e.count == 0 {
		return nil, nil
	}
	if n >= 0 && e.count > uint64(n) {
		e.count = uint64(n)
	}
	size := fieldBytes[e.kind]
	if e.count > uint64(f.src.size)/size {
		return nil, formatf("tiff: tag %d says it has %d values; the file is too short for them", tag, e.count)
	}
	b, err := f.src.bytesAt(e.at, int64(e.count*size))
	if err != nil {
		return nil, outside(tagName(tag), e.at, err)
	}
	out := make([]uint64, e.count)
	for i := range out {
		v, neg := uint64(0), false
		switch p := b[uint64(i)*size:]; e.kind {
		case 1, 7:
			v = uint64(p[0])
		case 3:
			v = uint64(f.order.Uint16(p))
		case 4, 13:
			v = uint64(f.order.Uint32(p))
		case 16, 18:
			v = f.order.Uint64(p)
		case 6:
			v, neg = uint64(p[0]), p[0] > math.MaxInt8
		case 8:
			v = uint64(f.order.Uint16(p))
			neg = v > math.MaxInt16
		case 9:
			v = uint64(f.order.Uint32(p))
			neg = v > math.MaxInt32
		case 17:
			v = f.order.Uint64(p)
			neg = v > math.MaxInt64
		default:
			return nil, formatf("tiff: %s is no whole number (field type %d)", tagName(tag), e.kind)
		}
		if neg {
			return nil, formatf("tiff: %s is negative", tagName(tag))
		}
		out[i] = v
	}
	return out, nil
}

// one returns the first value of a tag, or def when it is missing.
func (f *tiffFile) one(d fields, tag uint16, def uint64) (uint64, error) {
	v, err := f.whole(d, tag, 1)
	if err != nil || v == nil {
		return def, err
	}
	return v[0], nil
}

// real returns the first value of a tag as a number, 0 when it is missing or
// makes no sense: a resolution that cannot be is one the file does not say.
func (f *tiffFile) real(d fields, tag uint16) (float64, error) {
	e, ok := d[tag]
	if !ok || e.count == 0 {
		return 0, nil
	}
	b, err := f.src.bytesAt(e.at, int64(fieldBytes[e.kind]))
	if err != nil {
		return 0, outside(tagName(tag), e.at, err)
	}
	v := 0.0
	switch e.kind {
	case 5:
		v = float64(f.order.Uint32(b)) / float64(f.order.Uint32(b[4:]))
	case 10:
		v = float64(int32(f.order.Uint32(b))) / float64(int32(f.order.Uint32(b[4:])))
	case 11:
		v = float64(math.Float32frombits(f.order.Uint32(b)))
	case 12:
		v = math.Float64frombits(f.order.Uint64(b))
	default:
		w, err := f.one(d, tag, 0)
		if err != nil {
			return 0, err
		}
		v = float64(w)
	}
	if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
		return 0, nil
	}
	return v, nil
}

// blob returns all bytes of a tag of type BYTE or UNDEFINED.
func (f *tiffFile) blob(d fields, tag uint16) ([]byte, error) {
	e, ok := d[tag]
	if !ok {
		return nil, nil
	}
	if fieldBytes[e.kind] != 1 {
		return nil, formatf("tiff: %s has field type %d", tagName(tag), e.kind)
	}
	b, err := f.src.bytesAt(e.at, clip64(e.count))
	if err != nil {
		return nil, outside(tagName(tag), e.at, err)
	}
	return b, nil
}

// resolution reads tags 282, 283 and 296. Unit 1 and unknown ones give only the
// shape of the pixels.
func (f *tiffFile) resolution(d fields, p *Picture) error {
	x, err := f.real(d, tagXResolution)
	if err != nil {
		return err
	}
	y, err := f.real(d, tagYResolution)
	if err != nil {
		return err
	}
	unit, err := f.one(d, tagResolutionUnit, 2)
	if err != nil {
		return err
	}
	// One axis alone says nothing about the other; equal is what everybody means.
	if x == 0 {
		x = y
	}
	if y == 0 {
		y = x
	}
	switch unit {
	case 2:
		p.StoredXPerInch, p.StoredYPerInch = perInch(x), perInch(y)
	case 3:
		p.StoredXPerInch, p.StoredYPerInch = perInch(x*cmPerInch), perInch(y*cmPerInch)
	default:
		p.ratioX, p.ratioY = x, y
	}
	if p.StoredXPerInch == 0 || p.StoredYPerInch == 0 {
		p.StoredXPerInch, p.StoredYPerInch = 0, 0
		p.ratioX, p.ratioY = x, y
	}
	return nil
}
