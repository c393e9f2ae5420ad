package proof

import (
	"image"
	"image/color"
	"math"
	"math/bits"

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
}

// cover returns the mean coverage, 0 to 255, of w x h equal boxes that divide
// the pixel rectangle (x0, y0)-(x1, y1); outside the plane is clear. Each
// source row is read once: a box's share of it is a count of set bits between
// two columns, plus the fractions of the pixels that its sides cut. Cost: the
// source rows times w. Exact but for floating point.
func (a *art) cover(x0, y0, x1, y1 float64, w, h int) []uint8 {
	out := make([]uint8, w*h)
	sx, sy := (x1-x0)/float64(w), (y1-y0)/float64(h)
	cols := make([]float64, w+1)
	for i := range cols {
		cols[i] = x0 + sx*float64(i)
	}
	row := make([]float64, w)
	sums := make([]float64, w)
	lastY := math.MinInt
	for j := 0; j < h; j++ {
		clear(sums)
		top, low := y0+sy*float64(j), y0+sy*float64(j+1)
		for y := int(math.Floor(top)); float64(y) < low; y++ {
			part := math.Min(low, float64(y+1)) - math.Max(top, float64(y))
			if part <= 0 || y < 0 || y >= a.ink.H {
				continue
			}
			if y != lastY {
				a.row(y, cols, row)
				lastY = y
			}
			for i, v := range row {
				sums[i] += v * part
			}
		}
		for i, v := range sums {
			out[j*w+i] = uint8(math.Min(255, math.Round(255*v/(sx*sy))))
		}
	}
	return out
}

// row fills out with the coverage, in pixels, of row y between neighbouring
// columns.
func (a *art) row(y int, cols, out []float64) {
	if a.ink.Grey != nil {
		g := a.ink.Grey[y*a.ink.W : (y+1)*a.ink.W]
		for i := range out {
			s := 0.0
			for x := int(math.Floor(cols[i])); float64(x) < cols[i+1]; x++ {
				if x >= 0 && x < len(g) && g[x] > 0 {
					s += float64(g[x]) / 255 * (math.Min(cols[i+1], float64(x+1)) - math.Max(cols[i], float64(x)))
				}
			}
			out[i] = s
		}
		return
	}
	words := a.ink.Bits.Row(y)
	before := a.upTo(words, cols[0])
	for i := range out {
		next := a.upTo(words, cols[i+1])
		if next.word == before.word {
			m := (uint64(1)<<next.bit - 1) &^ (uint64(1)<<before.bit - 1)
			out[i] = float64(bits.OnesCount64(before.bits&m)) + next.part - before.part
		} else {
			n := bits.OnesCount64(before.bits &^ (uint64(1)<<before.bit - 1))
			for k := before.word + 1; k < next.word; k++ {
				n += bits.OnesCount64(words[k])
			}
			n += bits.OnesCount64(next.bits & (uint64(1)<<next.bit - 1))
			out[i] = float64(n) + next.part - before.part
		}
		before = next
	}
}

// column is a place in a row of bits: the whole pixels before it, and the share
// of the pixel that it cuts.
type column struct {
	word int
	bit  uint
	bits uint64
	part float64
}

func (a *art) upTo(words []uint64, x float64) column {
	x = math.Max(0, math.Min(x, float64(a.ink.W)))
	i := int(x)
	c := column{word: i >> 6, bit: uint(i & 63)}
	if c.word < len(words) {
		c.bits = words[c.word]
		c.part = float64(c.bits>>c.bit&1) * (x - float64(i))
	}
	return c
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
	art *art
	ink color.NRGBA
}

func (s whole) Finest() int { return s.art.ink.W }

func (s whole) Pixels(w, h int) *image.Paletted {
	k := s.art.ink
	return paletted(s.art.cover(0, 0, float64(k.W), float64(k.H), w, h), w, h, s.ink)
}

// window shows a part of the artwork, enlarged: w x h millimetres around a
// place in millimetres.
type window struct {
	art          *art
	cx, cy, w, h float64
}

func (s window) Finest() int {
	// enlarged pixels need no more than a few a millimetre of paper to look
	// smooth; writers cap this at their own resolution
	return 1 << 20
}

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
