package sheet

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// Draw returns the figure as pixels on white, ppi of them an inch.
func (f *Figure) Draw(ppi float64) *image.RGBA {
	s := ppi / 25.4
	w, h := int(math.Round(f.W*s)), int(math.Round(f.H*s))
	img := image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
	draw.Draw(img, img.Bounds(), image.White, image.Point{}, draw.Src)
	c := canvas{img: img, s: s, faces: map[faceKey]font.Face{}}
	c.draw(f.Items)
	return img
}

// PNG writes the figure as a PNG of at most 256 colours that tells its
// resolution, so that it prints at its true size.
func (f *Figure) PNG(w io.Writer, ppi float64) error {
	return WritePNG(w, Reduce(f.Draw(ppi)), ppi)
}

// Program is what a picture says made it.
const Program = "stencilproof"

// WritePNG writes an image with its resolution in pixels a metre and the program's name
// (chunks pHYs and tEXt, W3C PNG 11.3.4.3 and 11.3.3.3).
func WritePNG(w io.Writer, img image.Image, ppi float64) error {
	var b bytes.Buffer
	enc := png.Encoder{CompressionLevel: png.DefaultCompression}
	if err := enc.Encode(&b, img); err != nil {
		return err
	}
	raw := b.Bytes()
	const head = 8 + 25 // signature and IHDR, which comes first
	perMetre := uint32(math.Round(ppi / 0.0254))
	var size [9]byte
	binary.BigEndian.PutUint32(size[0:], perMetre)
	binary.BigEndian.PutUint32(size[4:], perMetre)
	size[8] = 1 // the unit is the metre
	parts := [][]byte{raw[:head], chunk("pHYs", size[:]), chunk("tEXt", []byte("Software\x00"+Program)), raw[head:]}
	for _, part := range parts {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// chunk is a chunk of a PNG.
func chunk(kind string, data []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	b = append(append(b, kind...), data...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

type faceKey struct {
	w  Weight
	pt float64
}

type canvas struct {
	img   draw.Image
	s     float64 // pixels a millimetre
	faces map[faceKey]font.Face
	ras   vector.Rasterizer
}

func (c *canvas) draw(items []Item) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			if it.Fill.A > 0 {
				c.fill(it.flatten(0.02), it.Fill)
			}
			if it.Stroke.A > 0 && it.Width > 0 {
				c.fill(stroke(it, 0.02), it.Stroke)
			}
		case Text:
			c.text(it)
		case Picture:
			c.picture(it)
		case Clip:
			sub := c.img.(interface {
				SubImage(image.Rectangle) image.Image
			}).SubImage(c.rect(it.X, it.Y, it.W, it.H))
			in := *c
			in.img = sub.(draw.Image)
			in.draw(it.Items)
		}
	}
}

// rect returns a rectangle snapped to whole pixels.
func (c *canvas) rect(x, y, w, h float64) image.Rectangle {
	r := func(v float64) int { return int(math.Round(v * c.s)) }
	return image.Rect(r(x), r(y), r(x+w), r(y+h))
}

// fill fills outlines that all run the same way round, or cut holes.
func (c *canvas) fill(lines []polyline, ink Ink) {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, l := range lines {
		for _, p := range l.pts {
			x0, x1 = math.Min(x0, p.X), math.Max(x1, p.X)
			y0, y1 = math.Min(y0, p.Y), math.Max(y1, p.Y)
		}
	}
	if x0 > x1 {
		return
	}
	r := image.Rect(int(math.Floor(x0*c.s)), int(math.Floor(y0*c.s)), int(math.Ceil(x1*c.s))+1, int(math.Ceil(y1*c.s))+1)
	if r.Intersect(c.img.Bounds()).Empty() {
		return
	}
	c.ras.Reset(r.Dx(), r.Dy())
	to := func(p Pt) (float32, float32) {
		return float32(p.X*c.s - float64(r.Min.X)), float32(p.Y*c.s - float64(r.Min.Y))
	}
	for _, l := range lines {
		if len(l.pts) < 3 {
			continue
		}
		c.ras.MoveTo(to(l.pts[0]))
		for _, p := range l.pts[1:] {
			c.ras.LineTo(to(p))
		}
		c.ras.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, r.Dx(), r.Dy()))
	c.ras.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	draw.DrawMask(c.img, r, image.NewUniform(opaque(ink)), image.Point{}, mask, image.Point{}, draw.Over)
}

func opaque(c Ink) color.Color { c.A = 255; return c }

func (c *canvas) text(t Text) {
	key := faceKey{t.Font.Weight, t.Font.Pt}
	fc := c.faces[key]
	if fc == nil {
		var err error
		fc, err = opentype.NewFace(faces()[key.w].font, &opentype.FaceOptions{Size: key.pt, DPI: c.s * 25.4, Hinting: font.HintingNone})
		if err != nil {
			return // NewFace never fails on a parsed font
		}
		c.faces[key] = fc
	}
	s := Settable(t.S)
	x := t.X
	switch t.Anchor {
	case Middle:
		x -= t.Font.Width(s) / 2
	case End:
		x -= t.Font.Width(s)
	}
	src := image.NewUniform(opaque(t.Font.Ink))
	for len(s) > 0 {
		r, n := utf8.DecodeRuneInString(s)
		dot := fixed.Point26_6{X: fixed.Int26_6(math.Round(x * c.s * 64)), Y: fixed.Int26_6(math.Round(t.Y * c.s * 64))}
		if dr, mask, mp, _, ok := fc.Glyph(dot, r); ok {
			draw.DrawMask(c.img, dr, src, image.Point{}, mask, mp, draw.Over)
		}
		x += t.Font.Width(s[:n])
		s = s[n:]
	}
}

func (c *canvas) picture(p Picture) {
	r := c.rect(p.X, p.Y, p.W, p.H)
	if r.Empty() {
		return
	}
	img := p.Source.Pixels(r.Dx(), r.Dy())
	draw.Draw(c.img, r, img, img.Bounds().Min, draw.Over)
}
