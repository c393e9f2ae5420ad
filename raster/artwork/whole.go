package artwork

import (
	"image"
	"image/color"
)

// paintWhole puts a picture that a decoder returned whole onto the canvas with
// its top left corner at (x, y), clipped to the canvas on the right and below.
func paintWhole(c *canvas, x, y int, img image.Image, conv *converter) {
	b := img.Bounds()
	w, h := min(b.Dx(), c.bits.W-x), min(b.Dy(), c.bits.H-y)
	row := make([]uint16, w*conv.samples)
	cover := make([]uint8, w)
	for v := range h {
		fillRow(row, img, b.Min.X, b.Min.Y+v, w, conv.samples)
		conv.shadeRow(cover, row)
		c.put(x, y+v, cover)
	}
}

// wholeModel is the model in which fillRow gives the pixels of img.
func wholeModel(img image.Image) *model {
	switch img.(type) {
	case *image.Gray:
		return &model{depth: 8, samples: 1, alpha: -1}
	case *image.YCbCr:
		return &model{space: rgbSpace, depth: 8, samples: 3, alpha: -1}
	case *image.CMYK:
		return &model{space: cmykSpace, depth: 8, samples: 4, alpha: -1}
	case *image.RGBA: // of an RGB JPEG, or premultiplied
		return &model{space: rgbSpace, depth: 8, samples: 4, alpha: 3, premul: true}
	}
	return &model{space: rgbSpace, depth: 8, samples: 4, alpha: 3}
}

// fillRow writes w pixels of img from (x, y) on as samples of wholeModel.
func fillRow(row []uint16, img image.Image, x, y, w, samples int) {
	wide := func(src []uint8) {
		for i, v := range src[:w*samples] {
			row[i] = uint16(v) * 257
		}
	}
	switch m := img.(type) {
	case *image.Gray:
		wide(m.Pix[m.PixOffset(x, y):])
	case *image.CMYK:
		wide(m.Pix[m.PixOffset(x, y):])
	case *image.RGBA:
		wide(m.Pix[m.PixOffset(x, y):])
	case *image.NRGBA:
		wide(m.Pix[m.PixOffset(x, y):])
	case *image.YCbCr:
		for i := range w {
			yi, ci := m.YOffset(x+i, y), m.COffset(x+i, y)
			r, g, b := color.YCbCrToRGB(m.Y[yi], m.Cb[ci], m.Cr[ci])
			row[3*i], row[3*i+1], row[3*i+2] = uint16(r)*257, uint16(g)*257, uint16(b)*257
		}
	default:
		for i := range w {
			c := color.NRGBA64Model.Convert(img.At(x+i, y)).(color.NRGBA64)
			row[4*i], row[4*i+1], row[4*i+2], row[4*i+3] = c.R, c.G, c.B, c.A
		}
	}
}

// finishWhole makes the picture of an image that fills it.
func finishWhole(p *Picture, img image.Image) {
	m := wholeModel(img)
	c := newCanvas(p.StoredWidth, p.StoredHeight)
	conv := newConverter(m, p.StoredWidth, false)
	paintWhole(c, 0, 0, img, conv)
	p.Model, p.Depth = m.space.String(), m.depth
	conv.finish().tell(p)
	p.Ink = c.ink()
}
