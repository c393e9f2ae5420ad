package proof

import (
	"fmt"
	"math"

	"stencilproof/preflight/proof/sheet"
)

// endBlock draws what would put it right and the answer; on a holding page the
// answer alone, across the page.
func (m *pageMaker) endBlock() *sheet.Figure {
	f := &sheet.Figure{W: m.wide()}
	if len(m.places) == 0 {
		a := m.answerFigure(m.wide())
		f.Place(a, 0, 0)
		f.H = a.H
		return f
	}
	const left, gutter = 74.0, 7.0
	r := m.remedyFigure(left)
	a := m.answerFigure(m.wide() - left - gutter)
	f.Place(r, 0, 0)
	f.Place(a, left+gutter, 0)
	f.H = math.Max(r.H, a.H)
	return f
}

func (m *pageMaker) remedyFigure(width float64) *sheet.Figure {
	f := &sheet.Figure{W: width}
	enough, not := m.remedies()
	y := f.Write(0, 0, width, span(m.w.Remedies, fontHead)) + 0.5
	y = f.Write(0, y, width, span(m.remedyIntro(len(enough)), fontCard2)) + 0.8
	for i, r := range enough {
		indent := 0.0
		if len(enough) > 1 {
			indent = 4.2
			f.Add(sheet.Text{X: 0, Y: y + fontCard.Baseline(), S: m.n.count(i+1) + ".", Font: fontCard})
		}
		y = f.Write(indent, y, width-indent, span(r.title+" ", fontCardB), span(r.text, fontCard)) + 0.6
	}
	if not != "" {
		y = f.Write(0, y, width, span(not, fontCard2))
	}
	f.H = y
	return f
}

// answerFigure draws the three boxes to tick and the lines to sign on.
func (m *pageMaker) answerFigure(width float64) *sheet.Figure {
	f := &sheet.Figure{W: width}
	y := f.Write(0, 0, width, span(m.w.Answer, fontHead)) + 1
	as := m.answers()
	const gapX = 2.6
	share := [3]float64{0.39, 0.32, 0.29}
	if width > 150 {
		share = [3]float64{0.36, 0.36, 0.28}
	}
	type boxed struct {
		x, w        float64
		title, text []sheet.Line
	}
	var bs []boxed
	high := 16.0
	if len(m.places) == 0 {
		high = 22 // room to write the change into
	}
	x := 0.0
	for i, a := range as {
		w := (width - 2*gapX) * share[i]
		inner := w - 7.6 - 1.6
		b := boxed{x: x, w: w, title: sheet.Wrap([]sheet.Span{span(a.title, fontCardB)}, inner, false),
			text: sheet.Wrap([]sheet.Span{span(a.text, fontFactT)}, inner, false)}
		h := 1.6 + float64(len(b.title))*fontCardB.LineHeight() + float64(len(b.text))*fontFactT.LineHeight() + 1.6
		high = math.Max(high, h)
		bs = append(bs, b)
		x += w + gapX
	}
	for i, b := range bs {
		f.Add(sheet.RoundRect(b.x+0.15, y, b.w-0.3, high, 1).Stroked(inkText, 0.3))
		f.Add(sheet.Rect(b.x+2, y+2, 4, 4).Stroked(inkText, 0.3))
		ty := f.Set(b.title, b.x+7.6, y+1.5)
		f.Set(b.text, b.x+7.6, ty)
		if as[i].mailto != "" {
			f.Add(sheet.Link{X: b.x, Y: y, W: b.w, H: high, URL: as[i].mailto})
		}
		f.Name(sheet.Box{Role: "answer", Place: fmt.Sprint(i + 1), X: b.x, Y: y, W: b.w, H: high})
	}
	y += high + 1.4
	const gapL = 5
	lines := [3]float64{0.42, 0.2, 0.38}
	x = 0
	for i, s := range []string{m.w.Name, m.w.DateLine, m.w.Signature} {
		w := (width - 2*gapL) * lines[i]
		f.Add(sheet.Text{X: x, Y: y + fontHint.Baseline(), S: s, Font: fontHint})
		f.Add(sheet.LineTo(x, y+8.6, x+w, y+8.6).Stroked(inkText, 0.25))
		x += w + gapL
	}
	f.H = f.Write(0, y+9.3, width, span(m.w.OnPaper, fontHint))
	return f
}

// judgedBlock draws the customer's notes and how the artwork was judged.
func (m *pageMaker) judgedBlock() *sheet.Figure {
	f := &sheet.Figure{W: m.wide()}
	y := 0.0
	for _, s := range m.notes() {
		y = f.Write(0, y, f.W, span(s, in(fontHint, inkText))) + 0.3
	}
	f.H = f.Write(0, y, f.W, span(m.w.Judged+" ", fontHintB), span(m.judged(), fontHint))
	return f
}
