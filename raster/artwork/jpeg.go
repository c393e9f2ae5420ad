package artwork

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"image/jpeg"
	"io"
)

// jpegHead is what the markers before the first scan say (ITU-T T.81 annex B,
// JFIF 1.02, EXIF).
type jpegHead struct {
	w, h        int64
	components  int
	process     byte // the number of the SOF marker: 0 baseline, 1 extended, 2 progressive
	depth       int
	unit        byte // JFIF density: 0 the shape of the pixels alone, 1 inch, 2 centimetre
	densX       uint16
	densY       uint16
	hasJFIF     bool
	exif        exifData
	pixelsBytes int64
}

// readJPEGHead walks the markers up to the first scan.
func readJPEGHead(src source) (*jpegHead, error) {
	j := &jpegHead{}
	for at := int64(2); ; {
		b, err := src.bytesAt(at, 4)
		if err != nil {
			return nil, err
		}
		if b[0] != 0xff {
			return nil, FormatError("jpeg: no marker where one must be; the file is damaged")
		}
		if b[1] == 0xff { // fill byte
			at++
			continue
		}
		if b[1] == 0x01 || b[1] >= 0xd0 && b[1] <= 0xd8 {
			at += 2
			continue
		}
		if b[1] == 0xd9 {
			return nil, FormatError("jpeg: it ends before its picture begins")
		}
		n := int64(binary.BigEndian.Uint16(b[2:]))
		if n < 2 {
			return nil, FormatError("jpeg: a marker of no length; the file is damaged")
		}
		body, err := src.bytesAt(at+4, n-2)
		if err != nil {
			return nil, err
		}
		at += 2 + n
		switch m := b[1]; {
		case m == 0xda:
			if j.w == 0 && j.h == 0 {
				return nil, FormatError("jpeg: a scan before the picture's size")
			}
			j.pixelsBytes = src.size - at
			return j, nil
		case m >= 0xc0 && m <= 0xcf && m != 0xc4 && m != 0xc8 && m != 0xcc:
			if len(body) < 6 {
				return nil, FormatError("jpeg: a short frame header; the file is damaged")
			}
			j.process, j.depth, j.components = m&15, int(body[0]), int(body[5])
			j.h, j.w = int64(binary.BigEndian.Uint16(body[1:])), int64(binary.BigEndian.Uint16(body[3:]))
		case m == 0xe0 && len(body) >= 12 && string(body[:5]) == "JFIF\x00":
			j.hasJFIF, j.unit = true, body[7]
			j.densX, j.densY = binary.BigEndian.Uint16(body[8:]), binary.BigEndian.Uint16(body[10:])
		case m == 0xe1 && len(body) >= 6 && string(body[:6]) == "Exif\x00\x00" && j.exif == exifData{}:
			j.exif = readEXIF(body)
		}
	}
}

// resolution takes JFIF's density when it is one, else EXIF's.
func (j *jpegHead) resolution(p *Picture) {
	p.Orientation = max(1, j.exif.orientation)
	x, y := 0.0, 0.0
	switch {
	case j.hasJFIF && j.unit == 1:
		x, y = perInch(float64(j.densX)), perInch(float64(j.densY))
	case j.hasJFIF && j.unit == 2:
		x, y = perInch(float64(j.densX)*cmPerInch), perInch(float64(j.densY)*cmPerInch)
	case j.hasJFIF && j.densX > 0 && j.densY > 0:
		p.ratioX, p.ratioY = float64(j.densX), float64(j.densY)
	}
	ex, ey := j.exif.x, j.exif.y
	if x > 0 && y > 0 {
		if ex > 0 && (ex < 0.99*x || ex > 1.01*x) {
			p.remark("It names two resolutions, %.5g pixels an inch (JFIF, taken) and %.5g (EXIF).", x, ex)
		}
		p.StoredXPerInch, p.StoredYPerInch = x, y
	} else if ex > 0 && ey > 0 {
		p.StoredXPerInch, p.StoredYPerInch = ex, ey
	}
}

// jpegCost is how many bytes a pixel costs in the decoder: a byte a component,
// and 4 more for the coefficients of a progressive one; full colour resolution
// is assumed.
func jpegCost(components int, process byte) int64 {
	n := int64(max(1, components))
	if process == 2 {
		n *= 5
	}
	return n + 1 // and the ink itself
}

// decodeJPEG reads a JPEG by image/jpeg.
func decodeJPEG(src source, l limits) (*Picture, error) {
	j, err := readJPEGHead(src)
	if err != nil {
		return nil, err
	}
	p := &Picture{Pages: 1, Lossy: true}
	if j.process > 2 {
		return nil, UnsupportedError{fmt.Sprintf("a JPEG of process %d (lossless or arithmetic)", j.process), saveAs}
	}
	if j.depth != 8 {
		return nil, UnsupportedError{fmt.Sprintf("a JPEG with %d bits a sample", j.depth), saveAs}
	}
	if err := l.check("jpeg", j.w, j.h, jpegCost(j.components, j.process)); err != nil {
		return nil, err
	}
	p.StoredWidth, p.StoredHeight = int(j.w), int(j.h)
	j.resolution(p)
	if p.Page, err = l.pageOf(1); err != nil || l.headOnly {
		return p, err
	}
	// Each block of 64 samples takes a bit at least, and a picture of one
	// component has the fewest blocks.
	if j.w*j.h/512 > j.pixelsBytes {
		return nil, io.ErrUnexpectedEOF
	}
	img, err := jpeg.Decode(bufio.NewReaderSize(src.section(0, src.size), 64<<10))
	if err != nil {
		if u, ok := err.(jpeg.UnsupportedError); ok {
			return nil, UnsupportedError{"a JPEG with " + string(u), saveAs}
		}
		return nil, err
	}
	if b := img.Bounds(); b.Dx() != p.StoredWidth || b.Dy() != p.StoredHeight {
		return nil, FormatError("jpeg: its picture has another size than its header says")
	}
	finishWhole(p, img)
	return p, nil
}
