package sheet

import (
	"bytes"
	"fmt"
	"image/png"
	"io"
	"math"
	"slices"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// About is what a PDF tells of itself.
type About struct {
	Title, Author, Lang string
	Date                time.Time // its creation and modification date
}

// picturePPI is the finest resolution at which pictures are embedded: what an
// office printer can show.
const picturePPI = 600

// PDF writes the figures as the pages of a document, with the fonts embedded
// as far as they are used.
func PDF(w io.Writer, pages []*Figure, about About) error {
	if len(pages) == 0 {
		return fmt.Errorf("writing PDF: no pages")
	}
	size := func(f *Figure) fpdf.SizeType { return fpdf.SizeType{Wd: f.W, Ht: f.H} }
	doc := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: size(pages[0])})
	doc.SetCatalogSort(true)
	doc.SetCreationDate(about.Date)
	doc.SetModificationDate(about.Date)
	doc.SetTitle(Settable(about.Title), true)
	doc.SetAuthor(Settable(about.Author), true)
	doc.SetCreator("stencilproof", true)
	doc.SetProducer(Program, false)
	doc.SetLang(about.Lang)
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	for wt := range weights {
		doc.AddUTF8FontFromBytes(family(Weight(wt)), "", weights[wt].data)
	}
	p := pdf{doc: doc, widths: map[int]bool{}}
	for _, f := range pages {
		doc.AddPageFormat("P", size(f))
		p.draw(f.Items)
	}
	return doc.Output(w)
}

func family(w Weight) string { return "go" + weights[w].css }

type pdf struct {
	doc    *fpdf.Fpdf
	images int
	widths map[int]bool // of the images, in pixels
}

func (p *pdf) draw(items []Item) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			p.path(it)
		case Text:
			p.text(it)
		case Picture:
			p.picture(it)
		case Clip:
			p.doc.ClipRect(it.X, it.Y, it.W, it.H, false)
			p.draw(it.Items)
			p.doc.ClipEnd()
		case Link:
			p.doc.LinkString(it.X, it.Y, it.W, it.H, it.URL)
		}
	}
}

func (p *pdf) path(it Path) {
	d := p.doc
	style := ""
	if it.Fill.A > 0 {
		d.SetFillColor(int(it.Fill.R), int(it.Fill.G), int(it.Fill.B))
		style = "F"
	}
	if it.Stroke.A > 0 && it.Width > 0 {
		d.SetDrawColor(int(it.Stroke.R), int(it.Stroke.G), int(it.Stroke.B))
		d.SetLineWidth(it.Width)
		cp, jn := "butt", "miter"
		switch {
		case it.Round:
			cp, jn = "round", "round"
		case slices.ContainsFunc(it.D, func(s Seg) bool { return s.Op == 'C' }):
			// Closing a curve leaves a stretch as short as the digits are coarse,
			// of any direction: mitred it would grow a spike.
			jn = "round"
		}
		d.SetLineCapStyle(cp)
		d.SetLineJoinStyle(jn)
		d.SetDashPattern(it.Dash, 0)
		if style == "F" {
			style = "FD"
		} else {
			style = "D"
		}
	}
	if style == "" {
		return
	}
	for _, s := range it.D {
		switch s.Op {
		case 'M':
			d.MoveTo(s.P[0].X, s.P[0].Y)
		case 'L':
			d.LineTo(s.P[0].X, s.P[0].Y)
		case 'C':
			d.CurveBezierCubicTo(s.P[0].X, s.P[0].Y, s.P[1].X, s.P[1].Y, s.P[2].X, s.P[2].Y)
		case 'Z':
			d.ClosePath()
		}
	}
	d.DrawPath(style)
}

func (p *pdf) text(t Text) {
	s := Settable(t.S)
	x := t.X
	switch t.Anchor {
	case Middle:
		x -= t.Font.Width(s) / 2
	case End:
		x -= t.Font.Width(s)
	}
	p.doc.SetFont(family(t.Font.Weight), "", t.Font.Pt)
	p.doc.SetTextColor(int(t.Font.Ink.R), int(t.Font.Ink.G), int(t.Font.Ink.B))
	p.doc.Text(x, t.Y, s)
}

func (p *pdf) picture(it Picture) {
	// The library orders images by their width, and equals as a map happens to
	// give them: a pixel less keeps every width unique and the file the same.
	w := pictureWidth(it)
	for p.widths[w] && w > 1 {
		w--
	}
	p.widths[w] = true
	b := encode(it, w)
	p.images++
	name := fmt.Sprintf("picture %d", p.images)
	opt := fpdf.ImageOptions{ImageType: "PNG"}
	p.doc.RegisterImageOptionsReader(name, opt, bytes.NewReader(b))
	p.doc.ImageOptions(name, it.X, it.Y, it.W, it.H, false, opt, 0, "")
}

// pictureWidth is how many pixels wide a picture is embedded: the finest useful
// resolution.
func pictureWidth(it Picture) int {
	return max(min(it.Source.Finest(), int(math.Ceil(it.W/25.4*picturePPI))), 1)
}

// encode returns a picture as PNG, w pixels wide.
func encode(it Picture, w int) []byte {
	h := max(int(math.Round(float64(w)*it.H/it.W)), 1)
	var b bytes.Buffer
	enc := png.Encoder{CompressionLevel: png.DefaultCompression}
	if err := enc.Encode(&b, it.Source.Pixels(w, h)); err != nil {
		panic("sheet: " + err.Error()) // a buffer takes everything, and a palette is at most 256
	}
	return b.Bytes()
}
