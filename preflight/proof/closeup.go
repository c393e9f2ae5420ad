package proof

import (
	"fmt"
	"math"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// A close-up's frame on paper, in millimetres.
const (
	closeW, closeH = 38.0, 24.0
	arrowLong      = 7.0
	headLong       = 2.6
	headWide       = 1.9
	arrowStem      = 0.45
	valueHigh      = 4.6
	drawnAtLeast   = 1.2 // the narrowest width as it is drawn
	closePPI       = 300 // an enlarged pixel is larger than this shows
)

// scales are the enlargements of ISO 5455 that close-ups use.
var scales = []float64{0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50}

// enlargement returns the smallest scale that draws a width at least 1.2 mm
// wide, or the largest.
func enlargement(widthMM float64) float64 {
	for _, s := range scales {
		if widthMM*s >= drawnAtLeast-1e-9 {
			return s
		}
	}
	return scales[len(scales)-1]
}

// look is what a close-up shows: a place of the artwork with its width.
type look struct {
	kind    raster.Kind
	verdict preflight.Verdict
	at      preflight.PointMM
	across  float64 // degrees; NaN when the report has none
	widthMM float64
	safeMM  float64 // 0: no width to aim for is drawn
	value   string
}

// closeUp draws a look in its frame, with the width as a dimension: arrows from
// outside pointing at the edges, and the value at one arrow's far end. Dashes
// show the width to aim for. Nothing covers the edges that are measured.
func closeUp(a *art, l look, w, h float64) (f *sheet.Figure, scale float64) {
	scale = enlargement(l.widthMM)
	f = &sheet.Figure{W: w, H: h}
	deg := l.across
	if math.IsNaN(deg) {
		deg = a.narrowest(l)
	}
	s, c := math.Sincos(deg * math.Pi / 180)
	nx, ny := c, s
	if ny > 1e-9 || math.Abs(ny) <= 1e-9 && nx > 0 {
		nx, ny = -nx, -ny // the first arrow comes from above, or from the left
	}
	cx, cy := w/2, h/2
	half := l.widthMM * scale / 2
	ink := verdictInk(l.verdict)
	clip := sheet.Clip{W: w, H: h}
	clip.Items = append(clip.Items, sheet.Picture{W: w, H: h,
		Source: window{a, l.at.X, l.at.Y, w / scale, h / scale, pixelsAt(w, closePPI)}})
	if l.safeMM > 0 {
		clip.Items = append(clip.Items, aim(l, cx, cy, nx, ny, l.safeMM*scale/2, ink)...)
	}
	// the value's box at the far end of the second arrow, or of the first one
	// when that leaves more room to the measured spot
	wide := fontDimension.Width(l.value) + 2.4
	box := roomiest(w, h, nx, ny, half, wide)
	for _, sign := range []float64{1, -1} {
		clip.Items = append(clip.Items, arrow(cx, cy, sign*nx, sign*ny, half, ink)...)
	}
	f.Add(clip)
	f.Add(sheet.Rect(0.15, 0.15, w-0.3, h-0.3).Stroked(inkText, 0.3))
	f.Add(sheet.RoundRect(box.x0, box.y0, wide, valueHigh, 0.7).Filled(inkWhite).Stroked(ink, 0.4))
	f.Add(sheet.Text{X: box.x0 + wide/2, Y: box.y0 + valueHigh/2 + fontDimension.Pt*sheet.MMPerPt*0.36, S: l.value, Font: in(fontDimension, ink), Anchor: sheet.Middle})
	f.Name(sheet.Box{Role: "value", X: box.x0, Y: box.y0, W: wide, H: valueHigh})
	return f, scale
}

// valueBox returns where the value stands when its arrow comes from (nx, ny),
// pushed into the frame.
func valueBox(w, h, nx, ny, half, wide float64) rect {
	// from the middle of a box to its side in this direction
	out := math.Min(wide/2/math.Max(math.Abs(nx), 1e-9), valueHigh/2/math.Max(math.Abs(ny), 1e-9))
	d := half + arrowLong + out - 0.3
	x, y := w/2+nx*d, h/2+ny*d
	const edge = 0.8
	x = math.Max(edge+wide/2, math.Min(w-edge-wide/2, x))
	y = math.Max(edge+valueHigh/2, math.Min(h-edge-valueHigh/2, y))
	return rect{x - wide/2, y - valueHigh/2, x + wide/2, y + valueHigh/2}
}

// roomiest returns where the value stands: at the far end of the second arrow
// or of the first, or aside of that end where the frame is too narrow for both,
// so that it covers neither the measured spot nor an arrow's head.
func roomiest(w, h, nx, ny, half, wide float64) rect {
	const enough = 0.5
	box, room := rect{}, math.Inf(-1)
	for _, aside := range []float64{0, 1, -1} {
		for _, sign := range []float64{-1, 1} {
			b := valueBox(w, h, sign*nx, sign*ny, half, wide)
			if aside != 0 {
				// past the stem by half the box and the head
				d := aside * (headWide/2 + 0.7 + math.Abs(ny)*wide/2 + math.Abs(nx)*valueHigh/2)
				dx, dy := -ny*d, nx*d
				b.x0, b.x1, b.y0, b.y1 = b.x0+dx, b.x1+dx, b.y0+dy, b.y1+dy
				if b.x0 < 0.8 || b.y0 < 0.8 || b.x1 > w-0.8 || b.y1 > h-0.8 {
					continue
				}
			}
			d := gap(b, w/2, h/2) - half
			for _, s := range []float64{-1, 1} {
				for _, along := range []float64{0, headLong / 2, headLong} {
					d = math.Min(d, gap(b, w/2+s*nx*(half+along), h/2+s*ny*(half+along))-headWide/2*along/headLong)
				}
			}
			if d > room+1e-9 {
				box, room = b, d
			}
		}
		if room >= enough {
			break
		}
	}
	return box
}

// gap returns the distance of a point from a box.
func gap(b rect, x, y float64) float64 {
	return math.Hypot(math.Max(0, math.Max(b.x0-x, x-b.x1)), math.Max(0, math.Max(b.y0-y, y-b.y1)))
}

// arrow returns an arrow whose tip stands half a width from the middle. The
// white casing that shows it on black begins 1.4 mm behind the tip.
func arrow(cx, cy, nx, ny, half float64, ink sheet.Ink) []sheet.Item {
	at := func(along, aside float64) sheet.Pt {
		d := half + along
		return sheet.Pt{X: cx + nx*d - ny*aside, Y: cy + ny*d + nx*aside}
	}
	w := headWide / 2
	head := sheet.Poly(true, at(0, 0), at(headLong, w), at(headLong, -w))
	a, b := at(headLong*0.8, 0), at(arrowLong, 0)
	stem := sheet.LineTo(a.X, a.Y, b.X, b.Y)
	const clear = 1.4
	v := headWide / 2 * clear / headLong
	cased := sheet.Poly(true, at(clear, v), at(headLong, w), at(headLong, -w), at(clear, -v))
	return []sheet.Item{
		stem.Stroked(inkWhite, arrowStem+0.9),
		cased.Stroked(inkWhite, 0.9),
		stem.Stroked(ink, arrowStem),
		head.Filled(ink),
	}
}

// aim returns dashes at the width to aim for: two parallels, a circle for a dot.
func aim(l look, cx, cy, nx, ny, half float64, ink sheet.Ink) []sheet.Item {
	var p sheet.Path
	if l.kind == raster.Dot {
		p = sheet.Circle(cx, cy, half)
	} else {
		const reach = 4.5
		for _, s := range []float64{1, -1} {
			x, y := cx+s*nx*half, cy+s*ny*half
			p = p.And(sheet.LineTo(x+ny*reach, y-nx*reach, x-ny*reach, y+nx*reach))
		}
	}
	return []sheet.Item{p.Stroked(inkWhite, 0.35), p.Stroked(ink, 0.35).Dashed(1, 0.7)}
}

// narrowest returns the direction, in degrees, of the shortest chord through a
// place where the report gives none. It only turns the arrows; the width that
// they tell is the report's.
func (a *art) narrowest(l look) float64 {
	sh := raster.Shape{Ink: a.ink, Film: l.kind == raster.Strip || l.kind == raster.Island}
	at := raster.Point{X: l.at.X / a.mm, Y: l.at.Y / a.mm}
	if sh.Sample(at) < 0.5 {
		return 0
	}
	limit := l.widthMM / a.mm * 4
	step := math.Max(limit/400, 0.1)
	ray := func(c, s float64) float64 {
		d := 0.0
		for d < limit && sh.Sample(raster.Point{X: at.X + d*c, Y: at.Y + d*s}) >= 0.5 {
			d += step
		}
		return d
	}
	chord := func(d int) float64 {
		s, c := math.Sincos(float64(d) * math.Pi / 180)
		return ray(c, s) + ray(-c, -s)
	}
	// Round shapes, and those as round as pixels can be, stay at 0. Of a straight
	// one several directions are as short but for the pixels: the middle of them.
	best, most := math.Inf(1), 0.0
	for d := range 180 {
		best, most = math.Min(best, chord(d)), math.Max(most, chord(d))
	}
	if most < best*1.5 {
		return 0
	}
	var x, y float64 // of the doubled angles, for 179 degrees is next to 0
	for d := range 180 {
		if chord(d) <= best*1.01+step {
			s, c := math.Sincos(float64(2*d) * math.Pi / 180)
			x, y = x+c, y+s
		}
	}
	return math.Mod(math.Atan2(y, x)*90/math.Pi+180, 180)
}

// caption tells a close-up's scale in words.
func (c *content) caption(scale float64) string {
	switch {
	case scale == 1:
		return c.w.AtSize
	case scale < 1:
		return fmt.Sprintf(c.w.Smaller, c.fraction(scale))
	}
	return fmt.Sprintf(c.w.Larger, c.n.count(int(scale)))
}

// fraction names one of the reducing scales.
func (c *content) fraction(s float64) string {
	switch {
	case s > 0.4:
		return c.w.Fractions[0]
	case s > 0.15:
		return c.w.Fractions[1]
	}
	return c.w.Fractions[2]
}
