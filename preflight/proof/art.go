package proof

import (
	"image"
	"image/color"
	"math"

	"github.com/disintegration/imaging"

	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// art is the ink plane at its engraved size.
type art struct {
	ink    *raster.Ink
	mm     float64 // of one pixel
	widthM float64 // of the whole, millimetres
	height float64
	fourth *cells // the plane in cells of 4 x 4 pixels; nil until it is asked for
}

// shades is how many tones a picture of the artwork has: enough for smooth
// edges, and four bits a pixel in a PNG.
const shades = 16

// tones returns the palette from white to ink.
func tones(ink color.NRGBA) color.Palette {
	p := make(color.Palette, shades)
	for i := range p {
		mix := func(c uint8) uint8 {
			return uint8(math.Round(255 + (float64(c)-255)*float64(i)/(shades-1)))
		}
		p[i] = color.RGBA{R: mix(ink.R), G: mix(ink.G), B: mix(ink.B), A: 255}
	}
	return p
}

func paletted(cover []uint8, w, h int, ink color.NRGBA) *image.Paletted {
	img := image.NewPaletted(image.Rect(0, 0, w, h), tones(ink))
	for i, v := range cover {
		img.Pix[i] = uint8((int(v)*(shades-1) + 127) / 255)
	}
	return img
}

// whole shows the whole artwork in one colour of ink.
type whole struct {
	art  *art
	ink  color.NRGBA
	most int // pixels wide at most; 0: as many as the writer asks for
}

func (s whole) Finest() int { return atMost(s.art.ink.W, s.most) }

func atMost(n, most int) int {
	if most > 0 {
		return min(n, most)
	}
	return n
}

// pixelsAt returns how many pixels a width in millimetres has at a resolution.
func pixelsAt(mm, ppi float64) int { return max(int(math.Ceil(mm/25.4*ppi)), 1) }

func (s whole) Pixels(w, h int) *image.Paletted {
	k := s.art.ink
	return paletted(s.art.cover(0, 0, float64(k.W), float64(k.H), w, h), w, h, s.ink)
}

// window shows a part of the artwork, enlarged: w x h millimetres around a
// place in millimetres.
type window struct {
	art          *art
	cx, cy, w, h float64
	most         int // pixels wide at most
}

func (s window) Finest() int { return s.most }

// Pixels returns real pixels of the artwork. Where they have to be enlarged,
// Lanczos interpolation rounds the steps between them; where they have to be
// reduced, box averages do.
func (s window) Pixels(w, h int) *image.Paletted {
	a := s.art
	x0, y0 := (s.cx-s.w/2)/a.mm, (s.cy-s.h/2)/a.mm
	pw, ph := s.w/a.mm, s.h/a.mm
	scale := float64(w) / pw
	if scale <= 1.5 {
		return paletted(a.cover(x0, y0, x0+pw, y0+ph, w, h), w, h, inkBlack)
	}
	const margin = 4 // Lanczos of three lobes looks three pixels far
	ix, iy := int(math.Floor(x0))-margin, int(math.Floor(y0))-margin
	iw, ih := int(math.Ceil(x0+pw))+margin-ix, int(math.Ceil(y0+ph))+margin-iy
	src := image.NewNRGBA(image.Rect(0, 0, iw, ih))
	shape := raster.Shape{Ink: a.ink}
	for y := 0; y < ih; y++ {
		for x := 0; x < iw; x++ {
			v := uint8(math.Round(255 * (1 - shape.Cover(ix+x, iy+y))))
			src.SetNRGBA(x, y, color.NRGBA{R: v, G: v, B: v, A: 255})
		}
	}
	bw, bh := int(math.Round(float64(iw)*scale)), int(math.Round(float64(ih)*scale))
	big := imaging.Resize(src, bw, bh, imaging.Lanczos)
	view := imaging.New(w, h, color.White)
	dx := int(math.Round((float64(ix) - x0) * float64(bw) / float64(iw)))
	dy := int(math.Round((float64(iy) - y0) * float64(bh) / float64(ih)))
	view = imaging.Paste(view, big, image.Pt(dx, dy))
	cover := make([]uint8, w*h)
	for i := range cover {
		cover[i] = 255 - view.Pix[4*i]
	}
	return paletted(cover, w, h, inkBlack)
}

// logo shows the shop's logo, fitted into its box.
type logo struct{ img image.Image }

func (s logo) Finest() int { return s.img.Bounds().Dx() }

// Pixels returns the logo in at most 256 colours, on white.
func (s logo) Pixels(w, h int) *image.Paletted {
	b := s.img.Bounds()
	src := image.NewNRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	for y := 0; y < b.Dy(); y++ {
		for x := 0; x < b.Dx(); x++ {
			src.Set(x, y, s.img.At(b.Min.X+x, b.Min.Y+y))
		}
	}
	fit := imaging.Resize(src, w, h, imaging.Lanczos)
	flat := imaging.Overlay(imaging.New(w, h, color.White), fit, image.Point{}, 1)
	return reduce(flat)
}

// reduce brings an image that lies on white to 256 colours.
func reduce(img *image.NRGBA) *image.Paletted {
	b := img.Bounds()
	rgba := image.NewRGBA(b)
	copy(rgba.Pix, img.Pix) // opaque, so both hold the same bytes
	return sheet.Reduce(rgba)
}
