package artwork

import (
	"encoding/binary"
	"fmt"
	"io"

	"golang.org/x/image/webp"
)

// decodeWebP reads a still WebP by x/image/webp, after a walk over its RIFF chunks
// of our own for what that does not tell.
func decodeWebP(src source, l limits) (*Picture, error) {
	h, err := src.bytesAt(0, 12)
	if err != nil {
		return nil, err
	}
	le := binary.LittleEndian
	end := 8 + int64(le.Uint32(h[4:]))
	if end > src.size {
		return nil, io.ErrUnexpectedEOF
	}
	p := &Picture{Pages: 1, Orientation: 1}
	var w, hgt int64 // the largest that any chunk says, for the limit
	shown := false
	frames := 0
	for at := int64(12); at+8 <= end; {
		b, err := src.bytesAt(at, 8)
		if err != nil {
			return nil, err
		}
		name, n := string(b[:4]), int64(le.Uint32(b[4:]))
		if n > end-at-8 {
			return nil, io.ErrUnexpectedEOF
		}
		head, err := src.bytesAt(at+8, min(n, 16))
		if err != nil {
			return nil, err
		}
		var cw, ch int64
		switch {
		case name == "VP8X" && n >= 10:
			cw = 1 + int64(head[4]) + int64(head[5])<<8 + int64(head[6])<<16
			ch = 1 + int64(head[7]) + int64(head[8])<<8 + int64(head[9])<<16
			shown = true
			p.StoredWidth, p.StoredHeight = int(cw), int(ch)
		case name == "VP8 " && n >= 10:
			cw, ch = int64(le.Uint16(head[6:])&0x3fff), int64(le.Uint16(head[8:])&0x3fff)
			p.Lossy = true
			frames++
		case name == "VP8L" && n >= 5:
			v := le.Uint32(head[1:])
			cw, ch = 1+int64(v&0x3fff), 1+int64(v>>14&0x3fff)
			frames++
		case name == "ANMF":
			return nil, UnsupportedError{"an animated WebP", "save one picture of it as PNG or TIFF"}
		case name == "EXIF" && n <= maxKept:
			body, err := src.bytesAt(at+8, n)
			if err != nil {
				return nil, err
			}
			e := readEXIF(body)
			p.StoredXPerInch, p.StoredYPerInch, p.Orientation = e.x, e.y, max(1, e.orientation)
		}
		if cw > 0 && !shown {
			p.StoredWidth, p.StoredHeight = int(cw), int(ch)
		}
		w, hgt = max(w, cw), max(hgt, ch)
		at += 8 + n + n&1
	}
	if frames != 1 {
		return nil, FormatError("webp: no picture in it, or more than one")
	}
	if err := l.check("webp", w, hgt, webpCost); err != nil {
		return nil, err
	}
	if p.Page, err = l.pageOf(1); err != nil || l.headOnly {
		return p, err
	}
	img, err := webp.Decode(src.section(0, end))
	if err != nil {
		return nil, err
	}
	if b := img.Bounds(); b.Dx() != p.StoredWidth || b.Dy() != p.StoredHeight {
		return nil, FormatError(fmt.Sprintf("webp: a picture of %d x %d pixels on a sheet of %d x %d", b.Dx(), b.Dy(), p.StoredWidth, p.StoredHeight))
	}
	finishWhole(p, img)
	return p, nil
}

// webpCost is the bytes a pixel of the decoder: 4 of NRGBA, as many while a
// transform is undone, and the ink.
const webpCost = 9
