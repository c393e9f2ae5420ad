package proof

import (
	"math"
	"sort"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
)

// benchPages lays the bench sheet out on paper: one page.
func (b *bench) benchPages() []*sheet.Figure {
	m := &pageMaker{content: b.content, paper: b.paperOf(), kind: b.w.Bench.Sheet}
	f := m.open(b.w.BenchTitle)
	x := m.side
	y := m.head(f, b.w.BenchTitle) + 2
	y = b.lineBlock(f, x, y, m.wide()) + 2
	y = b.factBoxes(f, x, y, m.wide()) + 3

	// from the bottom: cautions, chart
	base := m.ht - m.bottom - 4.2
	cautions := &sheet.Figure{W: m.wide()}
	cy := 0.0
	if s := b.shopNotes(); s != "" {
		cy = cautions.Write(0, cy, m.wide(), span(b.w.Bench.AlsoNoted+" ", fontHintB), span(s, in(fontHint, inkText))) + 0.6
	}
	cautions.H = cautions.Write(0, cy, m.wide(), span(b.w.Bench.Cautions+" ", fontHintB), span(b.w.Bench.CautionsText, fontHint))
	f.Place(cautions, x, base-cautions.H)
	base -= cautions.H + 1.8
	f.Add(sheet.LineTo(x, base, x+m.wide(), base).Stroked(inkHair, 0.25))
	base -= 2.5

	order := b.orderTable(m.wide())
	const left, gutter, tight = 74.0, 6.0, 2.0
	watchFig := b.watchTable(m.wide() - left - gutter)
	least := math.Max(watchFig.H, 34) + 3 + order.H
	var chart *sheet.Figure
	chart, b.onPaper = b.roomFor(m.wide(), base+0.5-y-least-tight)
	need := order.H
	if chart != nil {
		need += chart.H + tight
	}
	room := base - y - need - 3
	mapFig := b.benchMap(left, math.Max(math.Min(room-4, 74), 34))
	b.addPlot(watchFig, math.Min(room, 80))
	f.Place(mapFig, x, y)
	f.Place(watchFig, x+left+gutter, y)
	y += math.Max(mapFig.H, watchFig.H) + 3
	f.Place(order, x, y)
	y += order.H + tight
	if chart != nil {
		f.Place(chart, x, y)
	}
	for i, f := range m.pages {
		m.pageLine(f, i+1, len(m.pages))
	}
	return m.pages
}

// leastFilms is how many films a chart shows at least; where the page has no
// room for all, those next to the job's.
const leastFilms = 3

func (b *bench) charted() bool { return len(b.facts.Films) > 0 && !b.blank() }

// roomFor draws as much of the chart as has room: all films, closer together if
// need be, or those next to the job's, and returns how many those are; nil when
// there is no room for any.
func (b *bench) roomFor(width, high float64) (chart *sheet.Figure, films int) {
	if !b.charted() {
		return nil, 0
	}
	all := len(b.facts.Films)
	for _, rows := range []plotRows{stripRows, stripTight} {
		if c := b.chart(width, all, rows); c.H <= high {
			return c, all
		}
	}
	for n := all - 1; n >= min(leastFilms, all); n-- {
		if c := b.chart(width, n, stripTight); c.H <= high {
			return c, n
		}
	}
	return nil, 0
}

// chart draws n films of the chart, and what it rests on.
func (b *bench) chart(width float64, n int, rows plotRows) *sheet.Figure {
	f := b.w.stripFigure(nextTo(b.facts.Films, b.r.Film, n), b.r.Artwork.WidthMM, b.r.Film.Name, b.job.Units, width, rows)
	basis := b.w.Bench.ChartBasis
	if n < len(b.facts.Films) {
		basis += " " + b.w.Bench.ChartSome
	}
	f.H = f.Write(0, f.H, width, span(basis, fontHint))
	return f
}

// addPlot draws the smallest of each kind below the table of what to watch, if
// that leaves the figure no higher than high.
func (b *bench) addPlot(f *sheet.Figure, high float64) {
	if b.blank() {
		return
	}
	plot := b.plotFigure(f.W, plotTight, b.w.Bench.Kind)
	const gap = 5
	head := fontHead.LineHeight() + 1.6
	if f.H+gap+head+plot.H > high {
		return
	}
	y := f.Write(0, f.H+gap, f.W, span(b.w.PlotTitle, fontHead)) + 1.6
	f.Place(plot, 0, y)
	f.H = y + plot.H
}

// nextTo returns the n films nearest to a film in thickness, thin ones first.
func nextTo(films []FilmOutcome, to preflight.Film, n int) []FilmOutcome {
	fs := append([]FilmOutcome(nil), films...)
	sort.SliceStable(fs, func(i, j int) bool { return fs[i].Film.ThicknessUM < fs[j].Film.ThicknessUM })
	far := func(o FilmOutcome) float64 { return math.Abs(math.Log(o.Film.ThicknessUM / to.ThicknessUM)) }
	for len(fs) > n {
		if far(fs[0]) > far(fs[len(fs)-1]) {
			fs = fs[1:]
		} else {
			fs = fs[:len(fs)-1]
		}
	}
	return fs
}

func (b *bench) lineBlock(f *sheet.Figure, x, y, width float64) float64 {
	word, text := b.line()
	y = f.Write(x, y, width, span(word, in(fontVerdict, verdictInk(b.tone()))), span(" "+text, fontVerdict2))
	// the customer's answer, to be written in
	font := fontFactM
	yy := y + 1.2
	f.Add(sheet.Text{X: x, Y: yy + font.Baseline(), S: b.w.Bench.Answer, Font: font})
	ax := x + font.Width(b.w.Bench.Answer) + 2
	f.Add(sheet.LineTo(ax, yy+font.LineHeight(), ax+78, yy+font.LineHeight()).Stroked(inkText, 0.25))
	bx := ax + 84
	f.Add(sheet.Rect(bx, yy-0.6, 4, 4).Stroked(inkText, 0.3))
	f.Add(sheet.Text{X: bx + 5.4, Y: yy + font.Baseline(), S: b.w.Bench.Seen, Font: font})
	return yy + font.LineHeight() + 1
}

func (b *bench) factBoxes(f *sheet.Figure, x, y, width float64) float64 {
	fs := b.five()
	w := width / float64(len(fs))
	high := 14.0
	type set struct{ value, basis []sheet.Line }
	var sets []set
	for _, v := range fs {
		s := set{sheet.Wrap([]sheet.Span{span(v.value, fontFactBig)}, w-4, false), sheet.Wrap([]sheet.Span{span(v.basis, fontHint)}, w-4, false)}
		h := 1.4 + fontHint.LineHeight() + float64(len(s.value))*fontFactBig.LineHeight() + float64(len(s.basis))*fontHint.LineHeight() + 1.6
		high = math.Max(high, h)
		sets = append(sets, s)
	}
	f.Add(sheet.RoundRect(x, y, width, high, 1).Stroked(inkText, 0.3))
	for i, s := range sets {
		bx := x + w*float64(i)
		if i > 0 {
			f.Add(sheet.LineTo(bx, y, bx, y+high).Stroked(inkHair, 0.25))
		}
		ty := f.Write(bx+2, y+1.4, w-4, span(fs[i].label, fontHint))
		ty = f.Set(s.value, bx+2, ty)
		f.Set(s.basis, bx+2, ty)
	}
	return y + high
}

// benchMap draws the map with the tape's margin around the ink.
func (b *bench) benchMap(width, maxHigh float64) *sheet.Figure {
	a := b.art
	win, margin, ok := b.window()
	all := preflight.BoxMM{X1: a.widthM, Y1: a.height}
	if ok {
		all = union(all, win)
	}
	ratio := (all.X1 - all.X0) / (all.Y1 - all.Y0)
	around := ring
	beside, pad := ringMargin, ringDisc+0.3 // what the letters need
	if ratio > bannerRatio && len(b.places) > 0 {
		around = ringAbove
		beside, pad = pad, beside
	}
	pw := math.Min(width-2*beside, (all.X1-all.X0)*mostLarger)
	ph := pw / ratio
	if high := maxHigh - 2*pad; ph > high {
		ph = high
		pw = ph * ratio
	}
	scale := pw / (all.X1 - all.X0)
	px, py := (width-pw)/2, pad
	ox, oy := px-all.X0*scale, py-all.Y0*scale
	os := outlines(b.places, b.r.Marks, scale, ox, oy)
	ls := around(os, px, py, pw, ph)
	if over := overhang(ls); over > 0 {
		py, oy = py+over, oy+over
		os = outlines(b.places, b.r.Marks, scale, ox, oy)
		ls = around(os, px, py, pw, ph)
	}
	pic := sheet.Picture{X: ox, Y: oy, W: a.widthM * scale, H: a.height * scale}
	f := drawMap(a, b.places, b.r.Marks, os, ls, pic, width)
	f.Alt = b.mapAlt()
	if b.blank() {
		f.Add(sheet.Rect(pic.X, pic.Y, pic.W, pic.H).Stroked(inkHair, 0.3))
	}
	if ok {
		x0, y0, x1, y1 := ox+win.X0*scale, oy+win.Y0*scale, ox+win.X1*scale, oy+win.Y1*scale
		frame := &sheet.Figure{}
		frame.Add(sheet.Rect(x0, y0, x1-x0, y1-y0).Stroked(inkSecond, 0.3).Dashed(2.4, 1, 0.5, 1))
		// its width, between the ink's lower edge and the tape
		m := margin * scale
		cx := (x0 + x1) / 2
		s := b.n.size(margin)
		frame.Add(sheet.LineTo(cx, y1-m, cx, y1).Stroked(inkSecond, 0.25))
		for _, yy := range []float64{y1 - m, y1} {
			frame.Add(sheet.LineTo(cx-1, yy, cx+1, yy).Stroked(inkSecond, 0.3))
		}
		frame.Add(sheet.Text{X: cx, Y: y1 + 3, S: put(b.w.Bench.TapeMargin, s), Font: fontHint, Anchor: sheet.Middle})
		f.Items = append(append([]sheet.Item{f.Items[0]}, frame.Items...), f.Items[1:]...)
		f.H = math.Max(f.H, y1+4)
	}
	f.H = math.Max(f.H, py+ph+pad)
	return f
}

const checkBox = 3.8

func (b *bench) watchTable(width float64) *sheet.Figure {
	w := &b.w.Bench
	f := &sheet.Figure{W: width}
	y := f.Write(0, 0, width, span(w.WatchTitle, fontHead)) + 1
	rows := b.watchRows()
	if len(rows) == 0 {
		y = f.Write(0, y, width, span(b.nothingToWatch(), fontCard))
		f.H = y
		return f
	}
	kindW, numW, umW, limW := fontHint.Width(w.ColKind), fontHint.Width(w.ColCount), fontHint.Width(w.ColUM), fontHint.Width(w.ColLimit)
	for _, r := range rows {
		kindW = math.Max(kindW, fontFactM.Width(r.kind))
		numW = math.Max(numW, fontFactM.Width(r.count))
		umW = math.Max(umW, fontFactM.Width(r.um))
		limW = math.Max(limW, fontFactM.Width(r.limit))
	}
	kx := 10.6
	nx := kx + kindW + 2.2 + numW // right edges
	ux := nx + 2.6 + umW
	lx := ux + 2.6 + limW
	wx := lx + 2.4
	ox := width - checkBox - 0.2
	const row = 5.4
	head := func(x float64, s string, a sheet.Anchor) {
		f.Add(sheet.Text{X: x, Y: y + fontHint.Baseline(), S: s, Font: fontHint, Anchor: a})
	}
	head(kx, w.ColKind, sheet.Start)
	head(nx, w.ColCount, sheet.End)
	head(ux, w.ColUM, sheet.End)
	head(lx, w.ColLimit, sheet.End)
	head(wx, w.ColWatch, sheet.Start)
	head(ox, w.ColOK, sheet.Start)
	y += fontHint.LineHeight() + 0.8
	for _, r := range rows {
		f.Add(sheet.LineTo(0, y, width, y).Stroked(inkHair, 0.25))
		lines := sheet.Wrap([]sheet.Span{span(r.s, fontFactT)}, ox-1.5-wx, true)
		h := math.Max(row, float64(len(lines))*fontFactT.LineHeight()+1.2)
		mid := y + h/2
		f.Place(letterDisc(r.place.letter, r.place.verdict == preflight.Fails, 2.1), 2.1, mid)
		f.Place(glyph(r.place.kind, 3.2, inkText), 5.6, mid-1.6)
		cell := func(x float64, s string, a sheet.Anchor) {
			f.Add(sheet.Text{X: x, Y: mid + 0.95, S: s, Font: fontFactM, Anchor: a})
		}
		cell(kx, r.kind, sheet.Start)
		cell(nx, r.count, sheet.End)
		cell(ux, r.um, sheet.End)
		cell(lx, r.limit, sheet.End)
		f.Set(lines, wx, mid-float64(len(lines))*fontFactT.LineHeight()/2)
		f.Add(sheet.Rect(ox, mid-checkBox/2, checkBox, checkBox).Stroked(inkText, 0.3))
		y += h
	}
	f.Add(sheet.LineTo(0, y, width, y).Stroked(inkHair, 0.25))
	f.H = f.Write(0, y+0.8, width, span(b.ids(), fontHint))
	return f
}

// orderTable draws the steps of the work, each with a box to tick.
func (b *bench) orderTable(width float64) *sheet.Figure {
	w := &b.w.Bench
	f := &sheet.Figure{W: width}
	y := f.Write(0, 0, width, span(w.InOrder, fontHead)) + 0.8
	x1, x2 := 6.0, 6.0+width*0.185
	x3 := x2 + width*0.335
	x4 := x3 + width*0.27
	for _, c := range []struct {
		x float64
		s string
	}{{x1, w.ColStep}, {x2, w.ColSet}, {x3, w.ColBasis}, {x4, w.ColNote}} {
		f.Add(sheet.Text{X: c.x, Y: y + fontHint.Baseline(), S: c.s, Font: fontHint})
	}
	y += fontHint.LineHeight() + 0.6
	for _, s := range b.steps() {
		f.Add(sheet.LineTo(0, y, width, y).Stroked(inkHair, 0.25))
		name := sheet.Wrap([]sheet.Span{span(s.name, fontCardB)}, x2-x1-2, false)
		set := sheet.Wrap([]sheet.Span{span(s.set, fontFactT)}, x3-x2-3, false)
		basis := sheet.Wrap([]sheet.Span{span(s.basis, fontHint)}, x4-x3-3, false)
		high := 5.6
		for _, c := range []struct {
			n int
			f sheet.Font
		}{{len(name), fontCardB}, {len(set), fontFactT}, {len(basis), fontHint}} {
			high = math.Max(high, float64(c.n)*c.f.LineHeight()+1.4)
		}
		mid := y + high/2
		f.Add(sheet.Rect(0.2, mid-checkBox/2, checkBox, checkBox).Stroked(inkText, 0.3))
		f.Set(name, x1, mid-float64(len(name))*fontCardB.LineHeight()/2)
		f.Set(set, x2, mid-float64(len(set))*fontFactT.LineHeight()/2)
		f.Set(basis, x3, mid-float64(len(basis))*fontHint.LineHeight()/2)
		if s.note != "" {
			f.Set(sheet.Wrap([]sheet.Span{span(s.note, fontFactT)}, width-x4, false), x4, mid-fontFactT.LineHeight()/2)
		} else {
			f.Add(sheet.LineTo(x4, mid+1.6, width, mid+1.6).Stroked(inkSecond, 0.2))
		}
		y += high
	}
	f.Add(sheet.LineTo(0, y, width, y).Stroked(inkHair, 0.25))
	if f.H = y; b.sheetWins() != "" {
		f.H = f.Write(0, y+0.8, width, span(b.sheetWins(), fontHint))
	}
	return f
}
