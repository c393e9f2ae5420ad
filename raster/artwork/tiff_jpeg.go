package artwork

import (
	"bytes"
	"errors"
	"image"
	"image/jpeg"
)

// jpegChunk decodes a JPEG strip or tile (TIFF Technical Note 2, compression 7).
func (w *tiffWorker) jpegChunk(chunk, x, y, width, rows int) error {
	g := w.g
	planes := len(w.planes)
	imgs := make([]image.Image, planes)
	for p := range imgs {
		raw, err := g.rawChunk(chunk + p*g.across*g.bands)
		if err != nil {
			return err
		}
		whole, err := wrapJPEG(g.jpegTables, raw, g.photometric == 6 && !g.apart)
		if err != nil {
			return err
		}
		// The size is checked before a pixel is allocated: a strip's JPEG may not
		// be larger than a whole strip, nor smaller than the rows that count.
		head, err := readJPEGHead(source{bytes.NewReader(whole), int64(len(whole))})
		if err != nil {
			return err
		}
		if head.w != int64(g.cw) || head.h < int64(rows) || head.h > int64(g.ch) {
			return formatf("tiff: a JPEG part of %d x %d pixels where %d x %d belong", head.w, head.h, g.cw, rows)
		}
		if head.w*head.h*jpegCost(head.components, head.process) > maxJPEGPart {
			return UnsupportedError{"a TIFF with JPEG compression in parts over 700 MB", saveAs}
		}
		if head.w*head.h/512 > int64(len(whole)) {
			return FormatError("tiff: a JPEG part is cut off")
		}
		if imgs[p], err = jpeg.Decode(bytes.NewReader(whole)); err != nil {
			var u jpeg.UnsupportedError
			if errors.As(err, &u) {
				return UnsupportedError{"a TIFF with JPEG compression with " + string(u), saveAs}
			}
			return err
		}
	}
	rowBufs := make([][]byte, planes)
	for row := range rows {
		for p, img := range imgs {
			b, err := componentRow(img, row, g)
			if err != nil {
				return err
			}
			rowBufs[p] = b
		}
		if err := w.emit(x, y+row, width, rowBufs); err != nil {
			return err
		}
	}
	return nil
}

// maxJPEGPart bounds what decoding one part may take.
const maxJPEGPart = 700e6

// componentRow returns a row of a decoded part as stored samples. Which type
// image/jpeg returns follows from the marker that wrapJPEG put in front.
func componentRow(img image.Image, row int, g *tiffPage) ([]byte, error) {
	n := g.samples
	if g.apart {
		n = 1
	}
	switch m := img.(type) {
	case *image.Gray:
		if n == 1 {
			return m.Pix[row*m.Stride : row*m.Stride+g.cw], nil
		}
	case *image.RGBA:
		if n == 3 {
			out := make([]byte, 0, 3*g.cw)
			for i := range g.cw {
				o := row*m.Stride + 4*i
				out = append(out, m.Pix[o], m.Pix[o+1], m.Pix[o+2])
			}
			return out, nil
		}
	case *image.YCbCr:
		if n == 3 {
			out, line := make([]byte, 3*g.cw), make([]uint16, 3*g.cw)
			fillRow(line, m, 0, row, g.cw, 3)
			for i, v := range line {
				out[i] = byte(v >> 8)
			}
			return out, nil
		}
	case *image.CMYK:
		// Behind an Adobe marker image/jpeg takes inks as stored inverted, as Adobe's
		// own files are; in a TIFF they are not.
		if n == 4 {
			out := make([]byte, 4*g.cw)
			for i := range out {
				out[i] = 255 - m.Pix[row*m.Stride+i]
			}
			return out, nil
		}
	}
	return nil, formatf("tiff: a JPEG part does not have the %d samples a pixel that the file says", n)
}
