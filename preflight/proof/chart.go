package proof

import (
	"fmt"
	"io"
	"math"
	"strings"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
)

// Chart is a drawing that stands alone.
type Chart struct{ figure *sheet.Figure }

// SVG writes the chart as an SVG document of its true size, fonts embedded.
func (c *Chart) SVG(w io.Writer) error { return c.figure.SVG(w, sheet.SVGOptions{Alone: true}) }

// PNG writes the chart as PNG.
func (c *Chart) PNG(w io.Writer) error { return c.figure.PNG(w, PNGPerInch) }

// StripChart draws which film holds an artwork at which engraved width: a row
// a film, thin on top. jobFilm is the name of the film that the job is judged
// on, jobWidthMM its engraved width; the chart is 190 mm wide with its margin,
// which keeps the words off whatever it is set on. Widths are told in hundredths
// of a millimetre, as the text and JSON of choose tell them, or for a unit of in
// or mil in thousandths of an inch.
func StripChart(films []FilmOutcome, jobWidthMM float64, jobFilm, lang, unit string) *Chart {
	w := lookUp(lang)
	const margin = 3
	inner := w.stripFigure(films, jobWidthMM, jobFilm, unit, 184, stripFine)
	f := &sheet.Figure{W: inner.W + 2*margin, H: inner.H + 2*margin, Alt: inner.Alt}
	f.Place(inner, margin, margin)
	return &Chart{f}
}

// chartTicks are the widths in millimetres that the axis may name.
var chartTicks = []float64{0.1, 0.2, 0.3, 0.5, 0.8, 1, 2, 3, 5, 8, 10, 15, 20, 30, 40, 50, 60, 80, 100, 150, 200, 300, 500, 800, 1000, 1500, 2000, 3000, 5000}

// stripRange returns the widths that the axis spans: half to seven times the
// job's, drawn in to what the films need.
func stripRange(films []FilmOutcome, job float64) (lo, hi float64) {
	lo, hi = job/2, job*7
	least, most := job, job
	for _, f := range films {
		if f.FailsBelowWidthMM > 0 {
			least = math.Min(least, f.FailsBelowWidthMM)
		}
		if !f.NeverHolds && f.HoldsFromWidthMM > 0 {
			least = math.Min(least, f.HoldsFromWidthMM)
			most = math.Max(most, f.HoldsFromWidthMM)
		}
	}
	lo = math.Max(lo, math.Min(least, job)*0.75)
	hi = math.Min(hi, math.Max(most*1.15, job*1.8))
	return lo, hi
}

// stripRows are the chart's rows; stripTight where a page is short of room, and
// stripFine where the chart stands beside a report.
var (
	stripRows  = plotRows{pitch: 6.6, bar: 4.4}
	stripTight = plotRows{pitch: 5, bar: 3.6}
	stripFine  = plotRows{pitch: 6.6, bar: 4.4, fine: true}
)

func (w *wording) stripFigure(films []FilmOutcome, job float64, jobFilm, unit string, width float64, rows plotRows) *sheet.Figure {
	n := w.numbers(unit)
	n.fine = rows.fine
	up := func(mm float64) string {
		m := n
		// Not past the job's width what does not lie past it.
		m.fine = n.fine || mm <= job && n.sizeUp(mm) == n.sizeUp(job) && n.sizeUp(job) != n.size(job)
		return m.sizeUp(mm)
	}
	fs := append([]FilmOutcome(nil), films...)
	for i := range fs { // thin on top; insertion keeps equals in order
		for j := i; j > 0 && fs[j].Film.ThicknessUM < fs[j-1].Film.ThicknessUM; j-- {
			fs[j], fs[j-1] = fs[j-1], fs[j]
		}
	}
	f := &sheet.Figure{W: width, Alt: w.stripAlt(up, fs)}
	f.Write(0, 0, width, span(w.Chart.Title, fontHead))
	const head = 13.6
	bar, pitch := rows.bar, rows.pitch
	nameW, thickW := 0.0, 0.0
	for _, o := range fs {
		nameW = math.Max(nameW, chartName(o, jobFilm).Width(name(o)))
		thickW = math.Max(thickW, fontHint.Width(n.thickness(o.Film.ThicknessUM)))
	}
	nameW = math.Min(nameW, 26)
	left := nameW + 3 + thickW + 3
	right := width - 1.5
	lo, hi := stripRange(fs, job)
	x := func(mm float64) float64 {
		t := math.Log(mm/lo) / math.Log(hi/lo)
		return left + (right-left)*math.Max(0, math.Min(1, t))
	}
	bottom := head + pitch*float64(len(fs)) - (pitch - bar)
	// axis
	lastX := math.Inf(-1)
	inches := n.unit == "in" || n.unit == "mil"
	var shown []float64
	for _, t := range chartTicks {
		if inches { // ticks of 1 to 5000 mm are as good as 0.1 to 500 in
			t *= 2.54
		}
		if t >= lo*0.999 && t <= hi*1.001 && x(t)-lastX > 11 {
			shown = append(shown, t)
			lastX = x(t)
		}
	}
	for i, t := range shown {
		f.Add(sheet.LineTo(x(t), head-1.8, x(t), bottom+1.2).Stroked(inkHair, 0.2))
		s, unit := n.bare(t), "mm"
		if inches {
			v := t / 25.4
			s, unit = n.fixed(v, 0), "in"
			if math.Abs(v-math.Round(v)) > 0.01 {
				s = n.fixed(v, 1)
			}
		}
		tx := sheet.Text{X: x(t), Y: head - 2.8, S: s, Font: in(fontTick, inkSecond), Anchor: sheet.Middle}
		if i == len(shown)-1 {
			tx.S = fmt.Sprintf(w.Chart.Unit, s+nbsp+unit)
			if half := tx.Font.Width(tx.S) / 2; tx.X+half > width {
				tx.X, tx.Anchor = width, sheet.End
			}
		}
		f.Add(tx)
	}
	labelled := [3]bool{}
	for i, o := range fs {
		y := head + pitch*float64(i)
		base := y + bar/2 + 1
		font := chartName(o, jobFilm)
		f.Add(sheet.Text{X: 0, Y: base, S: font.Cut(sheet.Settable(name(o)), nameW), Font: font})
		f.Add(sheet.Text{X: nameW + 3 + thickW, Y: base, S: n.thickness(o.Film.ThicknessUM), Font: fontHint, Anchor: sheet.End})
		xf, xh := x(math.Max(o.FailsBelowWidthMM, lo)), x(math.Max(o.HoldsFromWidthMM, lo))
		if o.FailsBelowWidthMM <= 0 {
			xf = left
		}
		if o.NeverHolds {
			xh = right
			if o.FailsBelowWidthMM <= 0 && o.Verdict == preflight.Fails || o.FailsBelowWidthMM > hi {
				xf = right
			}
		}
		xh = math.Max(xh, xf)
		zone(f, preflight.Fails, left, y, xf-left, bar)
		zone(f, preflight.AtRisk, xf, y, xh-xf, bar)
		if right > xh {
			f.Add(sheet.Rect(xh, y, right-xh, bar).Filled(inkHolds))
		}
		onZone := func(v preflight.Verdict, s string, from, to float64) {
			tw := fontTickB.Width(s)
			if labelled[v] || to-from < tw+4 {
				return
			}
			labelled[v] = true
			mid := (from + to) / 2
			if jx := x(job); math.Abs(jx-mid) < tw/2+2.5 { // keep off the job's rule
				switch {
				case jx+3+tw+1 < to:
					mid = jx + 3 + tw/2
				case jx-3-tw-1 > from:
					mid = jx - 3 - tw/2
				default:
					return
				}
			}
			f.Add(sheet.RoundRect(mid-tw/2-0.8, y+bar/2-1.6, tw+1.6, 3.2, 0.5).Filled(wash[v]))
			f.Add(sheet.Text{X: mid, Y: base - 0.1, S: s, Font: in(fontTickB, verdictInk(v)), Anchor: sheet.Middle})
		}
		from := fmt.Sprintf(w.Chart.From, bare(up(o.HoldsFromWidthMM)))
		free := xh // what is written at the end of a row keeps its place
		switch room := math.Max(13, fontTickB.Width(from)+3); {
		case o.NeverHolds:
			free = math.Min(xh, right-fontTickB.Width(w.Chart.Never)-3.4)
		case o.HoldsFromWidthMM > 0 && right-xh < room:
			free = xh - fontTickB.Width(from) - 3.2
		}
		onZone(preflight.Fails, w.Chart.Fails, left, math.Min(xf, free))
		onZone(preflight.AtRisk, w.Chart.Risk, xf, free)
		switch {
		case o.NeverHolds:
			s := w.Chart.Never
			f.Add(sheet.RoundRect(right-fontTickB.Width(s)-2.6, y+bar/2-1.7, fontTickB.Width(s)+2, 3.4, 0.5).Filled(inkWhite))
			f.Add(sheet.Text{X: right - 1.6, Y: base - 0.1, S: s, Font: in(fontTickB, inkText), Anchor: sheet.End})
		case o.HoldsFromWidthMM <= 0:
			if !labelled[preflight.Holds] {
				labelled[preflight.Holds] = true
				f.Add(sheet.Text{X: left + 2, Y: base - 0.1, S: w.Chart.Hold, Font: in(fontTickB, inkWhite)})
			}
		case right-xh >= math.Max(13, fontTickB.Width(from)+3):
			s := from
			tx := sheet.Text{X: xh + 1.6, Y: base - 0.1, S: s, Font: in(fontTickB, inkWhite)}
			tw := fontTickB.Width(s)
			if jx := x(job); jx > tx.X-3 && jx < tx.X+tw+3 { // off the job's ring
				tx.X = jx + 3
			}
			f.Add(tx)
			more := sheet.Text{X: tx.X + tw + 4, Y: tx.Y, S: w.Chart.Hold, Font: in(fontTickB, inkWhite)}
			end := fontTickB.Width(more.S)
			if jx := x(job); jx > more.X-2 && jx < more.X+end+2 {
				more.X = jx + 3
			}
			if !labelled[preflight.Holds] && more.X+end < right-1 {
				labelled[preflight.Holds] = true
				f.Add(more)
			}
		default:
			tw := fontTickB.Width(from)
			f.Add(sheet.RoundRect(xh-tw-2.4, y+bar/2-1.7, tw+1.8, 3.4, 0.5).Filled(inkWhite))
			f.Add(sheet.Text{X: xh - 1.5, Y: base - 0.1, S: from, Font: in(fontTickB, inkHolds), Anchor: sheet.End})
		}
	}
	// this job
	jx := x(job)
	f.Add(sheet.LineTo(jx, head-1.8, jx, bottom+2).Stroked(inkWhite, 1.3), sheet.LineTo(jx, head-1.8, jx, bottom+2).Stroked(inkText, 0.5))
	for i, o := range fs {
		if o.Film.Name == jobFilm {
			y := head + pitch*float64(i) + bar/2
			f.Add(sheet.Circle(jx, y, 1.7).Filled(inkWhite).Stroked(inkWhite, 1.6), sheet.Circle(jx, y, 1.5).Filled(inkWhite).Stroked(inkText, 0.7))
		}
	}
	this := fmt.Sprintf(w.Chart.ThisSize, n.size(job))
	if jobFilm != "" {
		this = fmt.Sprintf(w.Chart.ThisJob, n.size(job), strings.ReplaceAll(jobFilm, " ", nbsp))
	}
	label := sheet.Text{X: jx, Y: bottom + 5.4, S: sheet.Settable(this), Font: in(fontTickB, inkText), Anchor: sheet.Middle}
	half := label.Font.Width(label.S) / 2
	label.X = math.Max(half, math.Min(width-half, label.X))
	f.Add(label)
	f.H = bottom + 7
	return f
}

func name(o FilmOutcome) string { return strings.ReplaceAll(sheet.Plain(o.Film.Name), " ", nbsp) }

func chartName(o FilmOutcome, jobFilm string) sheet.Font {
	f := fontFactM
	f.Weight = sheet.Regular
	if o.Film.Name == jobFilm {
		f.Weight = sheet.Bold
	}
	return f
}

// bare is a size without its unit.
func bare(size string) string { return size[:strings.LastIndex(size, nbsp)] }

func (w *wording) stripAlt(up func(mm float64) string, fs []FilmOutcome) string {
	var b strings.Builder
	b.WriteString(w.Chart.Alt)
	for _, o := range fs {
		if o.NeverHolds {
			b.WriteString(" " + fmt.Sprintf(w.Chart.RowNever, name(o)))
		} else {
			b.WriteString(" " + fmt.Sprintf(w.Chart.Row, name(o), up(o.FailsBelowWidthMM), up(o.HoldsFromWidthMM)))
		}
	}
	return b.String()
}
