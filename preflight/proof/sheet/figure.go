package sheet

import (
	"image"
	"image/color"
)

// Ink is a colour; one with A == 0 is no colour at all. Partly clear colours
// are not supported: every A above 0 is drawn opaque.
type Ink = color.NRGBA

// Hex returns the colour written as "#RRGGBB". It panics on anything else: the
// colours of this program are constants.
func Hex(s string) Ink {
	var v [6]byte
	if len(s) != 7 || s[0] != '#' {
		panic("sheet: bad colour " + s)
	}
	for i := range v {
		switch c := s[i+1]; {
		case c >= '0' && c <= '9':
			v[i] = c - '0'
		case c >= 'A' && c <= 'F':
			v[i] = c - 'A' + 10
		default:
			panic("sheet: bad colour " + s)
		}
	}
	return Ink{R: v[0]<<4 | v[1], G: v[2]<<4 | v[3], B: v[4]<<4 | v[5], A: 255}
}

// Pt is a place in millimetres.
type Pt struct{ X, Y float64 }

// Item is one thing on a figure: Text, Path, Picture, Clip, or Link.
type Item interface {
	moved(dx, dy float64) Item
}

// Anchor says which point of a text its place is.
type Anchor int

// The three anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Font is one of the three weights at a size and in a colour.
type Font struct {
	Weight Weight
	Pt     float64
	Ink    Ink
}

// Text is one run on one line.
type Text struct {
	X, Y   float64 // the anchor on the baseline
	S      string
	Font   Font
	Anchor Anchor
}

// Picture shows an image in a rectangle.
type Picture struct {
	X, Y, W, H float64
	Source     Source
	Alt        string
}

// Source makes the pixels of a picture at the size that a writer asks for.
type Source interface {
	// Pixels returns the picture as w x h pixels, w and h at least 1.
	Pixels(w, h int) *image.Paletted
	// Finest returns how many pixels wide the source itself is for this
	// picture; asking for more brings nothing.
	Finest() int
}

// Clip draws its items inside a rectangle only.
type Clip struct {
	X, Y, W, H float64
	Items      []Item
}

// Link makes a rectangle of the PDF lead to a URL; the other writers ignore it.
type Link struct {
	X, Y, W, H float64
	URL        string
}

// Box is a named rectangle of the layout, told so that tests and scripts can
// check it: a letter's disc, a card, the ruler.
type Box struct {
	Role  string // "label", "card", "ruler", "picture", ...
	Place string // the letter it belongs to, or ""
	X, Y  float64
	W, H  float64
}

// Figure is a drawing, or a whole page.
type Figure struct {
	W, H  float64
	Items []Item
	Boxes []Box
	Alt   string // what it shows, in words
}

// Add appends items.
func (f *Figure) Add(items ...Item) { f.Items = append(f.Items, items...) }

// Name tells a rectangle of the layout.
func (f *Figure) Name(b Box) { f.Boxes = append(f.Boxes, b) }

// Place appends everything of g, its origin at (x, y).
func (f *Figure) Place(g *Figure, x, y float64) {
	for _, it := range g.Items {
		f.Items = append(f.Items, it.moved(x, y))
	}
	for _, b := range g.Boxes {
		b.X += x
		b.Y += y
		f.Boxes = append(f.Boxes, b)
	}
}

func (t Text) moved(dx, dy float64) Item { t.X += dx; t.Y += dy; return t }

func (p Picture) moved(dx, dy float64) Item { p.X += dx; p.Y += dy; return p }

func (l Link) moved(dx, dy float64) Item { l.X += dx; l.Y += dy; return l }

func (c Clip) moved(dx, dy float64) Item {
	in := c.Items
	c.X += dx
	c.Y += dy
	c.Items = make([]Item, len(in))
	for i, it := range in {
		c.Items[i] = it.moved(dx, dy)
	}
	return c
}
