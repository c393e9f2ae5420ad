package pen

import (
	"fmt"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"stencilproof/raster"
)

// Face is a typeface whose letters are drawn as shapes. Any number of
// goroutines may draw with it at once.
type Face struct {
	font *sfnt.Font
	em   float64 // font units an em
}

// NewFace reads a TrueType or OpenType font.
func NewFace(data []byte) (*Face, error) {
	f, err := sfnt.Parse(data)
	if err != nil {
		return nil, fmt.Errorf("reading the typeface: %w", err)
	}
	return &Face{font: f, em: float64(f.UnitsPerEm())}, nil
}

// curveSteps is how many straight pieces stand for one curve of a letter. The
// largest sag of a quarter round of 1 em cut in 12 is 0.2 % of an em: a tenth
// of a pixel on lettering 50 px high.
const curveSteps = 12

// Letter returns a letter's shape and advance with 1 em = size, its origin at
// (0, 0) and y down. A letter the face does not have is an error.
func (f *Face) Letter(r rune, size float64) (Path, float64, error) {
	var buf sfnt.Buffer // of this call alone, for a face is shared
	g, err := f.font.GlyphIndex(&buf, r)
	if err != nil {
		return nil, 0, fmt.Errorf("reading letter %q: %w", r, err)
	}
	if g == 0 {
		return nil, 0, fmt.Errorf("the typeface has no letter %q", r)
	}
	// One pixel an em unit: the outline comes in the font's own units, unrounded.
	ppem := fixed.I(int(f.em))
	segments, err := f.font.LoadGlyph(&buf, g, ppem, nil)
	if err != nil {
		return nil, 0, fmt.Errorf("reading letter %q: %w", r, err)
	}
	k := size / f.em
	pt := func(q fixed.Point26_6) raster.Point {
		return raster.Point{X: float64(q.X) / 64 * k, Y: float64(q.Y) / 64 * k}
	}
	var out Path
	var at raster.Point
	put := func(q raster.Point) {
		out[len(out)-1] = append(out[len(out)-1], q)
		at = q
	}
	for _, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			out = append(out, nil)
			put(pt(s.Args[0]))
		case sfnt.SegmentOpLineTo:
			put(pt(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			a, b, c := at, pt(s.Args[0]), pt(s.Args[1])
			for i := 1; i <= curveSteps; i++ {
				t := float64(i) / curveSteps
				put(mix(mix(a, b, t), mix(b, c, t), t))
			}
		case sfnt.SegmentOpCubeTo:
			a, b, c, d := at, pt(s.Args[0]), pt(s.Args[1]), pt(s.Args[2])
			for i := 1; i <= curveSteps; i++ {
				t := float64(i) / curveSteps
				ab, bc, cd := mix(a, b, t), mix(b, c, t), mix(c, d, t)
				put(mix(mix(ab, bc, t), mix(bc, cd, t), t))
			}
		}
	}
	adv, err := f.font.GlyphAdvance(&buf, g, ppem, font.HintingNone)
	if err != nil {
		return nil, 0, fmt.Errorf("reading letter %q: %w", r, err)
	}
	return out, float64(adv) / 64 * k, nil
}

func mix(a, b raster.Point, t float64) raster.Point {
	return raster.Point{X: a.X + (b.X-a.X)*t, Y: a.Y + (b.Y-a.Y)*t}
}

// letter is Letter for text of our own: a missing letter is a caller's bug.
func (f *Face) letter(r rune, size float64) (Path, float64) {
	p, adv, err := f.Letter(r, size)
	if err != nil {
		panic(err)
	}
	return p, adv
}

// Width returns how far a line of text runs, each letter followed by extra
// space; the last one's is not counted. It panics on a letter the face lacks.
func (f *Face) Width(text string, size, extra float64) float64 {
	w := -extra
	for _, r := range text {
		_, adv := f.letter(r, size)
		w += adv + extra
	}
	return math.Max(0, w)
}

// Text returns a line of text that starts at the origin, on the base line y =
// 0. It panics on a letter the face lacks.
func (f *Face) Text(text string, size, extra float64) Path {
	var out Path
	x := 0.0
	for _, r := range text {
		p, adv := f.letter(r, size)
		out = append(out, p.Moved(x, 0)...)
		x += adv + extra
	}
	return out
}

// Arc returns a line of text on a circle of radius r around the origin, its
// middle at deg degrees (0 to the right, 90 down). Its letters' feet point to
// the centre, or away from it when inside is set, so that text along the
// bottom of a ring reads upright. The base line is the circle.
func (f *Face) Arc(text string, size, extra, r, deg float64, inside bool) Path {
	var out Path
	way := 1.0
	if inside {
		way = -1
	}
	along := -f.Width(text, size, extra) / 2
	for _, c := range text {
		p, adv := f.letter(c, size)
		turn := deg + way*(along+adv/2)/r*180/math.Pi
		if inside {
			p = p.Moved(-adv/2, r).Turned(turn - 90)
		} else {
			p = p.Moved(-adv/2, -r).Turned(turn + 90)
		}
		out = append(out, p...)
		along += adv + extra
	}
	return out
}
