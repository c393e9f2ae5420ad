package preflight

import (
	"math"
	"strconv"
	"strings"

	"golang.org/x/image/font/gofont/gomedium"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// gaugeShape is one thing to draw, in pixels: ink, or film cut out of it.
type gaugeShape struct {
	path pen.Path
	film bool
}

// Millimetres that are the same on every gauge. A bar is long enough to be a
// line at the widest step of the thickest film; a block of ink beside a strip
// is wide enough to hold on it.
const (
	gaugeBarMM   = 5.0
	gaugeBlockMM = 1.7
	gaugeRimMM   = 3.0 // from the sheet's edge to the frame
	gaugeFrameMM = 0.9
	gaugeInnerMM = 4.0 // from the frame to what it holds
	gaugeRulerMM = 80.0
)

// gaugeBoard is a gauge being laid out, from the top down.
type gaugeBoard struct {
	g     *Gauge
	face  *pen.Face
	px    float64 // millimetres a pixel
	em    float64 // height of an em of the lettering
	gap   float64 // film that holds on this film with room to spare
	pitch float64 // of the columns
	left  float64 // where the first column begins
	y     float64
}

// layOut places everything. Lettering, frame and ruler must hold on the film
// themselves: the lettering's em is 36 times the film's thickness or more, which
// makes its thinnest strokes about 1.7 t wide, and the eyes of its letters 5 t.
func (g *Gauge) layOut() {
	face, err := pen.NewFace(gomedium.TTF)
	if err != nil {
		panic(err) // the font is part of the program
	}
	b := &gaugeBoard{g: g, face: face, px: 25.4 / g.PPI}
	scale := 0.0 // the thickness whose default limits these are, or wider ones
	most := 0.0
	for k, l := range g.Film.Limits {
		scale = math.Max(scale, l.SafeUM/1000/[4]float64{1.5, 2, 2, 4}[k])
		steps := g.Steps[k]
		most = math.Max(most, steps[len(steps)-1].WidthUM/1000)
	}
	b.em = math.Max(2.4, 36*scale)
	b.gap = math.Max(1, 5*scale)
	strips := g.Steps[raster.Strip]
	slant := (gaugeBarMM + 2*gaugeBlockMM + strips[len(strips)-1].WidthUM/1000) / math.Sqrt2
	b.pitch = math.Max(math.Max(slant, most+2*gaugeBlockMM), 1.3*b.em) + b.gap
	b.left = gaugeRimMM + gaugeFrameMM + gaugeInnerMM
	b.y = b.left

	b.word(b.g.Lettering(), b.left)
	b.y += 1.1 * b.em
	for _, k := range raster.Kinds {
		b.y += 1.6 * b.gap
		b.word(strings.ToUpper(k.String()), b.left)
		b.y += b.gap
		b.numbers(k)
		switch k {
		case raster.Line:
			b.lines()
		case raster.Strip:
			b.strips()
		case raster.Dot:
			b.dots()
		case raster.Island:
			b.islands()
		}
	}
	b.y += b.gap
	b.ruler()

	columns := 0
	for _, s := range g.Steps {
		columns = max(columns, len(s))
	}
	right := b.left + math.Max(float64(columns)*b.pitch, gaugeRulerMM+b.em)
	right = math.Max(right, b.left+b.face.Width(b.g.Lettering(), b.em, b.em*letterSpace))
	g.WidthMM = b.snap(right + gaugeInnerMM + gaugeFrameMM + gaugeRimMM)
	g.HeightMM = b.snap(b.y + gaugeInnerMM + gaugeFrameMM + gaugeRimMM)
	outer := pen.Rect(b.snap(gaugeRimMM), b.snap(gaugeRimMM), b.snap(g.WidthMM-2*gaugeRimMM), b.snap(g.HeightMM-2*gaugeRimMM))
	in := b.snap(gaugeRimMM + gaugeFrameMM)
	inner := pen.Rect(in, in, b.snap(g.WidthMM-2*in), b.snap(g.HeightMM-2*in))
	b.ink(append(outer, inner.Reversed()...))
}

// Lettering is what a gauge is known by: the film's thickness in micrometres and the
// dots an inch, whole or not. No name of the shop's is lettered, for it might not hold on
// the film.
func (g *Gauge) Lettering() string {
	words := []string{"GAUGE", strconv.FormatFloat(g.Film.ThicknessUM, 'f', -1, 64)}
	if g.Bilevel {
		words = append(words, "WHOLE")
	}
	return strings.Join(append(words, strconv.FormatFloat(g.PPI, 'f', -1, 64)), "  ")
}

// snap moves a length to a whole number of pixels.
func (b *gaugeBoard) snap(mm float64) float64 { return math.Round(mm/b.px) * b.px }

// ink and film add shapes given in millimetres.
func (b *gaugeBoard) ink(p pen.Path) {
	b.g.draw = append(b.g.draw, gaugeShape{p.Scaled(1 / b.px), false})
}

func (b *gaugeBoard) film(p pen.Path) {
	b.g.draw = append(b.g.draw, gaugeShape{p.Scaled(1 / b.px), true})
}

// letterSpace is the room added between letters, in ems.
const letterSpace = 0.08

// word writes lettering with its top at b.y and moves below it.
func (b *gaugeBoard) word(text string, x float64) {
	b.ink(b.face.Text(text, b.em, b.em*letterSpace).Moved(x, b.y+0.73*b.em))
	b.y += 0.75 * b.em
}

// column is the middle of column i, from 0.
func (b *gaugeBoard) column(i int) float64 { return b.left + (float64(i)+0.5)*b.pitch }

// numbers writes the numbers of a comb's steps over its columns.
func (b *gaugeBoard) numbers(k raster.Kind) {
	for i, s := range b.g.Steps[k] {
		text := strconv.Itoa(s.Number)
		w := b.face.Width(text, b.em, b.em*letterSpace)
		b.ink(b.face.Text(text, b.em, b.em*letterSpace).Moved(b.column(i)-w/2, b.y+0.73*b.em))
	}
	b.y += 0.75*b.em + b.gap
}

// element notes what was drawn at a place.
func (b *gaugeBoard) element(e GaugeElement, x0, y0, x1, y1 float64) {
	e.Box = BoxMM{x0, y0, x1, y1}
	b.g.Elements = append(b.g.Elements, e)
}

// ruler is a scale to check the print with: 80 mm, a tick every 5.
func (b *gaugeBoard) ruler() {
	thick := b.snap(math.Max(0.5, b.gap/4))
	x, y := b.snap(b.left), b.snap(b.y)
	b.ink(pen.Rect(x, y, b.snap(gaugeRulerMM)+thick, thick))
	for mm := 0; mm <= gaugeRulerMM; mm += 5 {
		long := 2.0
		if mm%10 == 0 {
			long = 3.4
		}
		at := x + b.snap(float64(mm))
		b.ink(pen.Rect(at, y, thick, thick+long))
		if mm%20 == 0 {
			text := strconv.Itoa(mm)
			w := b.face.Width(text, b.em, b.em*letterSpace)
			b.ink(b.face.Text(text, b.em, b.em*letterSpace).Moved(math.Max(x, at+thick/2-w/2), y+thick+3.4+b.gap+0.73*b.em))
		}
	}
	b.y = y + thick + 3.4 + b.gap + 0.75*b.em
}
