package raster

import (
	"image"
	"image/color"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// sketch draws test artwork with the exact-area rasteriser of x/image/vector,
// which shares no code with this package.
type sketch struct {
	w, h int
	r    *vector.Rasterizer
	grey []uint8
}

func newSketch(w, h int) *sketch {
	return &sketch{w: w, h: h, r: vector.NewRasterizer(w, h), grey: make([]uint8, w*h)}
}

// polygon adds ink inside a polygon given as x0, y0, x1, y1, ...
func (s *sketch) polygon(p ...float64) *sketch {
	s.r.Reset(s.w, s.h)
	s.r.MoveTo(float32(p[0]), float32(p[1]))
	for i := 2; i < len(p); i += 2 {
		s.r.LineTo(float32(p[i]), float32(p[i+1]))
	}
	s.r.ClosePath()
	s.flush(255)
	return s
}

// flush blends what the rasteriser holds: to 255 is ink, to 0 clear.
func (s *sketch) flush(to uint8) {
	a := image.NewAlpha(image.Rect(0, 0, s.w, s.h))
	s.r.Draw(a, a.Bounds(), image.NewUniform(color.Opaque), image.Point{})
	for i, v := range a.Pix {
		o := int(s.grey[i])
		s.grey[i] = uint8((o*(255-int(v)) + int(to)*int(v) + 127) / 255)
	}
}

// bar adds a bar of a length and width round a middle, turned by deg.
func (s *sketch) bar(cx, cy, length, width, deg float64) *sketch {
	return s.polygon(barCorners(cx, cy, length, width, deg)...)
}

func barCorners(cx, cy, length, width, deg float64) []float64 {
	c, n := math.Cos(deg*math.Pi/180), math.Sin(deg*math.Pi/180)
	var p []float64
	for _, q := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		u, v := q[0]*length/2, q[1]*width/2
		p = append(p, cx+u*c-v*n, cy+u*n+v*c)
	}
	return p
}

// disc adds a disc of a diameter.
func (s *sketch) disc(cx, cy, d float64) *sketch {
	var p []float64
	for i := range 720 {
		a := float64(i) * math.Pi / 360
		p = append(p, cx+d/2*math.Cos(a), cy+d/2*math.Sin(a))
	}
	return s.polygon(p...)
}

// erase clears a polygon.
func (s *sketch) erase(p ...float64) *sketch {
	s.r.Reset(s.w, s.h)
	s.r.MoveTo(float32(p[0]), float32(p[1]))
	for i := 2; i < len(p); i += 2 {
		s.r.LineTo(float32(p[i]), float32(p[i+1]))
	}
	s.r.ClosePath()
	s.flush(0)
	return s
}

// glyph adds a character with its origin at (x, y), em pixels an em.
func (s *sketch) glyph(f *sfnt.Font, r rune, em, x, y float64) *sketch {
	var buf sfnt.Buffer
	i, err := f.GlyphIndex(&buf, r)
	if err != nil {
		panic(err)
	}
	const unit = 1000
	segs, err := f.LoadGlyph(&buf, i, fixed.I(unit), nil)
	if err != nil {
		panic(err)
	}
	s.r.Reset(s.w, s.h)
	pt := func(p fixed.Point26_6) (float32, float32) {
		return float32(x + float64(p.X)/64/unit*em), float32(y + float64(p.Y)/64/unit*em)
	}
	for _, g := range segs {
		switch g.Op {
		case sfnt.SegmentOpMoveTo:
			s.r.ClosePath()
			a, b := pt(g.Args[0])
			s.r.MoveTo(a, b)
		case sfnt.SegmentOpLineTo:
			a, b := pt(g.Args[0])
			s.r.LineTo(a, b)
		case sfnt.SegmentOpQuadTo:
			a, b := pt(g.Args[0])
			c, d := pt(g.Args[1])
			s.r.QuadTo(a, b, c, d)
		case sfnt.SegmentOpCubeTo:
			a, b := pt(g.Args[0])
			c, d := pt(g.Args[1])
			e, h := pt(g.Args[2])
			s.r.CubeTo(a, b, c, d, e, h)
		}
	}
	s.r.ClosePath()
	s.flush(255)
	return s
}

// ink returns what was drawn, with its grey edges.
func (s *sketch) ink() *Ink { return NewGreyInk(s.w, s.h, append([]uint8(nil), s.grey...)) }

// bilevel returns it cut at half.
func (s *sketch) bilevel() *Ink { return NewBilevelInk(s.ink().Bits) }
