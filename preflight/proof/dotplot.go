package proof

import (
	"fmt"
	"math"
	"strings"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// plotRows is how high a row of the plot and its bar are, and whether sizes are
// told as finely as the reports tell them.
type plotRows struct {
	pitch, bar float64
	fine       bool
}

var plotTight, plotRoomy = plotRows{pitch: 6.4, bar: 3.2}, plotRows{pitch: 11, bar: 5}

// plotFigure draws "The smallest of each, against what can be carved": a row
// a kind, the zones of its two limits, and the smallest width as the letter of
// its place, or as a green diamond with its number when it holds. The kinds have
// the names given, the customer's or the shop's.
func (c *content) plotFigure(width float64, rows plotRows, names [4]string) *sheet.Figure {
	label := 0.0
	for _, k := range raster.Kinds {
		label = math.Max(label, fontFactM.Width(names[k]))
	}
	left := glyphSize + 1.5 + label + 2.5
	const right = 4.0
	span := width - left - right
	f := &sheet.Figure{W: width, Alt: c.plotAlt(names)}
	u, places, unit := c.n.widthUnit()
	top, step := c.plotAxis(u)
	x := func(um float64) float64 { return left + span*math.Min(um/u/top, 1) }
	const head = 4.6
	pitch, bar := rows.pitch, rows.bar
	bottom := head + pitch*4 - (pitch - bar) + 1
	decimals := max(0, min(places, int(math.Ceil(-math.Log10(step)-1e-9))))
	for v := 0.0; v < top+step/2; v += step {
		px := left + span*v/top
		f.Add(sheet.LineTo(px, head-0.9, px, bottom).Stroked(inkHair, 0.2))
		s := c.n.fixed(v, decimals)
		if v == 0 {
			s = "0"
		}
		t := sheet.Text{X: px, Y: head - 1.7, S: s, Font: in(fontTick, inkSecond), Anchor: sheet.Middle}
		last := c.n.fixed(v+step, decimals) + nbsp + unit
		switch {
		case v+step > top+step/2:
			t.S += nbsp + unit
			t.Anchor, t.X = sheet.End, width
		case v+2*step > top+step/2 && px+t.Font.Width(s)/2+1.2 > width-t.Font.Width(last):
			continue // the last one, with its unit, has no room beside it
		}
		f.Add(t)
	}
	for _, k := range raster.Kinds {
		y := head + pitch*float64(k)
		lim := c.r.Film.Limit(k)
		f.Place(glyph(k, glyphSize, inkText), 0, y+bar/2-glyphSize/2)
		f.Add(sheet.Text{X: glyphSize + 1.5, Y: y + bar/2 + 0.95, S: names[k], Font: fontFactM})
		xf, xs := x(lim.FailUM), x(lim.SafeUM)
		zone(f, preflight.Fails, left, y, xf-left, bar)
		zone(f, preflight.AtRisk, xf, y, xs-xf, bar)
		zone(f, preflight.Holds, xs, y, left+span-xs, bar)
		f.Add(sheet.LineTo(xf, y-0.4, xf, y+bar+0.4).And(sheet.LineTo(xs, y-0.4, xs, y+bar+0.4)).Stroked(inkText, 0.3))
		fin := c.r.Finest[k]
		my := y + bar/2
		switch p := c.tightestOf(k); {
		case p != nil:
			f.Place(letterDisc(p.letter, p.verdict == preflight.Fails, 2), x(p.tightest.WidthUM), my)
		case fin.Found:
			px := x(fin.WidthUM)
			s := c.numberOnly(fin.WidthUM)
			off := fin.WidthUM/u > top
			d := 1.5
			f.Add(sheet.Poly(true, sheet.Pt{X: px, Y: my - d}, sheet.Pt{X: px + d, Y: my}, sheet.Pt{X: px, Y: my + d}, sheet.Pt{X: px - d, Y: my}).Filled(inkHolds).Stroked(inkWhite, 0.3))
			t := sheet.Text{X: px + d + 0.8, Y: my + 0.92, S: s, Font: in(fontTickB, inkHolds)}
			if off { // the axis is broken on the way
				bx := px - d - 0.8 - t.Font.Width(s) - 1.6
				for _, dx := range [2]float64{0, 0.9} {
					f.Add(sheet.LineTo(bx+dx-0.5, y+bar+0.3, bx+dx+0.5, y-0.3).Stroked(inkWhite, 0.5))
				}
			}
			if off || px+d+1+t.Font.Width(s) > width-right {
				t.Anchor, t.X = sheet.End, px-d-0.8
			}
			f.Add(t)
		default:
			f.Add(sheet.Text{X: xs + 1.5, Y: my + 0.92, S: c.w.NoneFound, Font: in(fontTick, inkSecond)})
		}
	}
	// the key, from under the bars on where it has room, else from the margin
	key := []struct {
		v preflight.Verdict
		s string
	}{{preflight.Fails, c.w.Lost}, {preflight.AtRisk, c.w.MayLost}, {preflight.Holds, c.w.HoldsZone}}
	const sample, gap = 5.0, 4.0
	long := -gap
	for _, z := range key {
		long += sample + fontTick.Width(z.s) + gap
	}
	y := bottom + 1.2
	px := math.Max(0, math.Min(left, width-long))
	for _, z := range key {
		zone(f, z.v, px, y, 4, 2.4)
		f.Add(sheet.Text{X: px + sample, Y: y + 2.1, S: z.s, Font: in(fontTick, inkSecond)})
		px += sample + fontTick.Width(z.s) + gap
	}
	f.H = y + 3
	return f
}

// plotAxis returns the end of the axis and the distance of its numbers, in
// units of width: the next tenth above 1.2 times the largest value or limit. A
// value far beyond the limits is drawn at the end, lest it squeeze the zones.
func (c *content) plotAxis(u float64) (top, step float64) {
	limit := 0.0
	for _, k := range raster.Kinds {
		limit = math.Max(limit, c.r.Film.Limit(k).SafeUM)
	}
	most := limit
	for _, k := range raster.Kinds {
		if v := c.r.Finest[k]; v.Found && v.WidthUM < 3*limit {
			most = math.Max(most, v.WidthUM)
		}
	}
	most *= 1.2 / u
	for _, s := range []float64{0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500} {
		if most/s <= 6 {
			return math.Ceil(most/s-1e-9) * s, s
		}
	}
	return most, most
}

// tightestOf returns the place of a kind with the smallest width, or nil.
func (c *content) tightestOf(k raster.Kind) *place {
	var best *place
	for _, p := range c.places {
		if p.kind == k && (best == nil || p.tightest.WidthUM < best.tightest.WidthUM) {
			best = p
		}
	}
	return best
}

func (c *content) plotAlt(names [4]string) string {
	var b strings.Builder
	b.WriteString(c.w.PlotAlt)
	for _, k := range raster.Kinds {
		um := c.r.Finest[k].WidthUM
		if p := c.tightestOf(k); p != nil {
			um = p.tightest.WidthUM
		} else if !c.r.Finest[k].Found {
			continue
		}
		lim := c.r.Film.Limit(k)
		w, fl, s := c.n.judged(um, lim.FailUM, lim.SafeUM)
		b.WriteString(" " + fmt.Sprintf(c.w.PlotRow, capital(names[k]), w, fl, s))
	}
	return b.String()
}

// zone fills a part of a bar: hatched where it fails, dotted where it is at
// risk, plain where it holds, so that grey print tells them apart.
func zone(f *sheet.Figure, v preflight.Verdict, x, y, w, h float64) {
	if w <= 0 {
		return
	}
	f.Add(sheet.Rect(x, y, w, h).Filled(wash[v]))
	switch v {
	case preflight.Fails:
		var p sheet.Path
		const pitch = 1.3
		for c := math.Ceil((x-h)/pitch) * pitch; c < x+w; c += pitch {
			// from (c, y+h) up to (c+h, y), cut to the bar
			x0, x1 := math.Max(c, x), math.Min(c+h, x+w)
			if x1 > x0 {
				p = p.And(sheet.LineTo(x0, y+h-(x0-c), x1, y+h-(x1-c)))
			}
		}
		f.Add(p.Stroked(sheet.Hex("#D08A5C"), 0.42))
	case preflight.AtRisk:
		var p sheet.Path
		const pitch = 0.95
		for i := 0; ; i++ {
			cx := x + 0.5 + float64(i)*pitch
			if cx > x+w-0.3 {
				break
			}
			for j := 0; ; j++ {
				cy := y + 0.5 + float64(j)*pitch
				if cy > y+h-0.3 {
					break
				}
				p = p.And(sheet.Rect(cx-0.17, cy-0.17, 0.34, 0.34))
			}
		}
		if p.D != nil {
			f.Add(p.Filled(sheet.Hex("#7FA6C6")))
		}
	}
}
