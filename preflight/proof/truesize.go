package proof

import (
	"fmt"
	"math"

	"stencilproof/preflight/proof/sheet"
)

// The bank card that lets a reader check a size: ISO/IEC 7810, ID-1, 85.60 x
// 53.98 mm.
const (
	cardLong = 85.6
	cardHigh = 53.98
)

// reduction returns the scale at which an artwork of w x h fits into a box: 1
// if it can, else the largest of 1/2, 1/5, 1/10 of ISO 5455, else whatever fits.
func reduction(w, h, maxW, maxH float64) float64 {
	rulerRoom := 8.0
	for _, s := range []float64{1, 0.5, 0.2, 0.1} {
		if w*s <= maxW+1e-9 && h*s <= maxH+1e-9 {
			return s
		}
		maxH += rulerRoom // a reduced artwork has no ruler below it
		rulerRoom = 0
	}
	return math.Min(maxW/w, maxH/h)
}

// artworkFigure draws the artwork black on white at a scale, with its width as
// a dimension, and below it a ruler when it is drawn at its true size, else a
// bank card at the same scale.
func (c *content) artworkFigure(maxW, maxH float64) (f *sheet.Figure, scale float64) {
	a := c.art
	scale = reduction(a.widthM, a.height, maxW, maxH)
	w, h := a.widthM*scale, a.height*scale
	f = &sheet.Figure{W: math.Max(w, cardLong*scale) + 0.2, Alt: fmt.Sprintf(c.w.ArtworkAlt, c.sizePhrase())}
	f.Add(sheet.Picture{W: w, H: h, Source: whole{art: a, ink: inkBlack}, Alt: f.Alt})
	if c.blank() { // or there would be nothing to see
		f.Add(sheet.Rect(0.15, 0.15, w-0.3, h-0.3).Stroked(inkHair, 0.3))
	}
	f.Name(sheet.Box{Role: "artwork", W: w, H: h})
	y := dimension(f, 0, h+1, w, c.n.size(a.widthM))
	if scale == 1 {
		ruler := c.ruler()
		f.Place(ruler, 0, y+1.4)
		f.H = y + 1.4 + ruler.H
		f.W = math.Max(f.W, ruler.W)
		return f, scale
	}
	cw, ch := cardLong*scale, cardHigh*scale
	x, cy := 0.2, y+1.6
	if w+4+cw <= maxW { // beside the artwork where there is room
		x, cy = w+4, math.Max(0.2, h-ch-0.2) // a banner is lower than the card
		f.W = x + cw + 0.2
	}
	f.Add(sheet.RoundRect(x, cy, cw, ch, 3.2*scale).Stroked(inkSecond, 0.3))
	label := fontHint
	if label.Width(c.w.BankCard) < cw-2 && ch > 5 {
		f.Add(sheet.Text{X: x + cw/2, Y: cy + ch/2 + 0.9, S: c.w.BankCard, Font: label, Anchor: sheet.Middle})
	}
	f.H = math.Max(y, cy+ch) + 0.2
	f.W = math.Max(f.W, x+cw+0.2)
	return f, scale
}

// dimension draws a horizontal dimension in the manner of ISO 129: extension
// lines, and a line with oblique strokes and its value in a gap. It returns the
// bottom.
func dimension(f *sheet.Figure, x, y, w float64, value string) float64 {
	const high = 3.4
	font := in(fontFactM, inkText)
	tw := font.Width(value)
	my := y + high/2
	line := 0.2
	f.Add(sheet.LineTo(x+line/2, y, x+line/2, y+high).And(sheet.LineTo(x+w-line/2, y, x+w-line/2, y+high)).Stroked(inkText, line))
	if w > tw+7 {
		f.Add(sheet.LineTo(x, my, x+(w-tw)/2-1.2, my).And(sheet.LineTo(x+(w+tw)/2+1.2, my, x+w, my)).Stroked(inkText, line))
		f.Add(sheet.Text{X: x + w/2, Y: my + 0.95, S: value, Font: font, Anchor: sheet.Middle})
	} else {
		f.Add(sheet.LineTo(x, my, x+w, my).Stroked(inkText, line))
		f.Add(sheet.Text{X: x + w + 1.2, Y: my + 0.95, S: value, Font: font})
		f.W = math.Max(f.W, x+w+1.4+tw)
	}
	s := 0.7
	f.Add(sheet.LineTo(x-s+line/2+0.5, my+s, x+s+line/2, my-s).And(sheet.LineTo(x+w-s-line/2, my+s, x+w+s-line/2-0.5, my-s)).Stroked(inkText, 0.3))
	return y + high
}

// ruler draws a ruler as long as a bank card, in millimetres, or in sixteenths
// of an inch.
func (c *content) ruler() *sheet.Figure {
	f := &sheet.Figure{W: cardLong + 0.2}
	f.Add(sheet.LineTo(0, 0.15, cardLong, 0.15).Stroked(inkText, 0.3))
	var ticks sheet.Path
	tick := func(x, long float64) {
		x = math.Max(0.1, math.Min(cardLong-0.1, x))
		ticks = ticks.And(sheet.LineTo(x, 0.15, x, 0.15+long))
	}
	label := func(x float64, s string) {
		t := sheet.Text{X: x, Y: 6.1, S: s, Font: fontTick, Anchor: sheet.Middle}
		if x == 0 {
			t.Anchor = sheet.Start
		}
		f.Add(t)
	}
	if c.n.unit == "in" || c.n.unit == "mil" {
		for i := 0; float64(i)*25.4/16 <= cardLong; i++ {
			long := [...]float64{3.2, 1, 1.5, 1, 2, 1, 1.5, 1, 2.6, 1, 1.5, 1, 2, 1, 1.5, 1}[i%16]
			tick(float64(i)*25.4/16, long)
			if i%16 == 0 {
				label(float64(i)*25.4/16, c.n.count(i/16))
			}
		}
	} else {
		for i := 0; i <= 85; i++ {
			long := 1.2
			if i%10 == 0 {
				long = 3
				label(float64(i), c.n.count(i))
			} else if i%5 == 0 {
				long = 2
			}
			tick(float64(i), long)
		}
	}
	tick(cardLong, 4)
	f.Add(ticks.Stroked(inkText, 0.2))
	f.H = 6.6
	f.Name(sheet.Box{Role: "ruler", W: cardLong, H: f.H})
	return f
}

func (c *content) sizePhrase() string {
	return c.n.bare(c.art.widthM) + nbsp + "×" + nbsp + c.n.size(c.art.height)
}
