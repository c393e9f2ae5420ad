package proof

import (
	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// glyphSize is the side of a glyph's square on paper, in millimetres.
const glyphSize = 3.6

// glyph returns the sign of a kind, a small picture of the thing itself, in a
// square of the given side. Its white parts are left open.
func glyph(k raster.Kind, side float64, ink sheet.Ink) *sheet.Figure {
	f := &sheet.Figure{W: side, H: side}
	u := side / 3.6
	bar := func(dx, dy float64) sheet.Path {
		return sheet.LineTo((0.75+dx)*u, (2.85+dy)*u, (2.85+dx)*u, (0.75+dy)*u)
	}
	switch k {
	case raster.Line:
		f.Add(bar(0, 0).Stroked(ink, 0.75*u).Rounded())
	case raster.Strip:
		for _, d := range []float64{-0.52, 0.52} {
			f.Add(sheet.LineTo((1.0+d)*u, (2.6+d)*u, (2.6+d)*u, (1.0+d)*u).Stroked(ink, 0.85*u).Rounded())
		}
	case raster.Dot:
		f.Add(sheet.Circle(1.8*u, 1.8*u, 0.95*u).Filled(ink))
	case raster.Island:
		f.Add(sheet.Rect(0.35*u, 0.35*u, 2.9*u, 2.9*u).And(sheet.Hole(1.8*u, 1.8*u, 0.72*u)).Filled(ink))
	}
	return f
}

// letterDisc returns the disc with a place's letter about the origin: filled
// when it fails, open when it is at risk.
func letterDisc(letter string, fails bool, r float64) *sheet.Figure {
	f := &sheet.Figure{}
	font := fontLetter
	if r < 2.6 {
		font.Pt = fontLetter.Pt * r / 2.9
	}
	if font.Pt < 7 {
		font.Pt = 7
	}
	dy := font.Pt * sheet.MMPerPt * 0.36
	if fails {
		f.Add(sheet.Circle(0, 0, r).Filled(inkFails))
		font.Ink = inkWhite
	} else {
		f.Add(sheet.Circle(0, 0, r-0.25).Filled(inkWhite).Stroked(inkRisk, 0.5))
		font.Ink = inkRisk
	}
	f.Add(sheet.Text{X: 0, Y: dy, S: letter, Font: font, Anchor: sheet.Middle})
	return f
}

// verdictSign returns the box with a tick that says "holds", the box with a cross that
// says "fails", or the box with a rising stroke of "at risk".
func verdictSign(v preflight.Verdict, side float64) *sheet.Figure {
	f := &sheet.Figure{W: side, H: side}
	u := side / 10
	switch v {
	case preflight.Holds:
		f.Add(sheet.RoundRect(0.5*u, 0.5*u, 9*u, 9*u, u).Stroked(inkHolds, 0.9*u),
			sheet.Poly(false, sheet.Pt{X: 2.6 * u, Y: 5.3 * u}, sheet.Pt{X: 4.4 * u, Y: 7.1 * u}, sheet.Pt{X: 7.6 * u, Y: 2.9 * u}).Stroked(inkHolds, 1.3*u))
	case preflight.AtRisk:
		f.Add(sheet.RoundRect(0.5*u, 0.5*u, 9*u, 9*u, u).Stroked(inkRisk, 0.9*u).Dashed(1.7*u, 0.9*u),
			sheet.LineTo(5*u, 2.2*u, 5*u, 5.9*u).Stroked(inkRisk, 1.3*u), sheet.Circle(5*u, 7.6*u, 0.8*u).Filled(inkRisk))
	default:
		f.Add(sheet.RoundRect(0, 0, 10*u, 10*u, u).Filled(inkFails),
			sheet.LineTo(3*u, 3*u, 7*u, 7*u).Stroked(inkWhite, 1.5*u), sheet.LineTo(7*u, 3*u, 3*u, 7*u).Stroked(inkWhite, 1.5*u))
	}
	return f
}
