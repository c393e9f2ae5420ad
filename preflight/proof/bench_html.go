package proof

import "stencilproof/preflight/proof/sheet"

// benchHTML writes the bench sheet as a page.
func (b *bench) benchHTML() string {
	w := &b.w.Bench
	m := &markup{}
	b.startHTML(m, b.w.BenchTitle, w.Sheet)
	m.open("main", "class", "sheet bench")
	b.headHTML(m, b.w.BenchTitle)
	word, text := b.line()
	m.open("section", "class", "verdict "+verdictClass(b.tone()))
	m.open("div")
	m.open("h1")
	m.el("strong", word)
	m.text(" " + text)
	m.close(1)
	m.open("p", "class", "seen")
	m.el("span", w.Answer)
	m.el("span", "", "class", "fill")
	m.el("span", "", "class", "tick", "aria-hidden", "true")
	m.el("span", w.Seen)
	m.close(3)
	m.open("dl", "class", "five")
	for _, f := range b.five() {
		m.open("div")
		m.el("dt", f.label)
		m.el("dd", f.value, "class", "value")
		m.el("dd", f.basis)
		m.close(1)
	}
	m.close(1)
	m.open("div", "class", "bench-cols")
	m.open("figure")
	m.svg(b.benchMap(74, 74), sheet.SVGOptions{Class: "pic"})
	m.close(1)
	m.open("section", "class", "watch")
	m.el("h2", w.WatchTitle)
	if rows := b.watchRows(); len(rows) == 0 {
		m.el("p", b.nothingToWatch())
	} else {
		m.open("table", "class", "rows")
		m.open("thead").open("tr")
		m.el("td", "")
		for _, c := range []string{w.ColKind, w.ColCount, w.ColUM, w.ColLimit, w.ColWatch, w.ColOK} {
			m.el("th", c, "scope", "col")
		}
		m.close(2)
		m.open("tbody")
		for _, r := range rows {
			m.open("tr", "class", verdictClass(r.place.verdict))
			m.open("th", "scope", "row")
			disc(m, r.place, "")
			m.el("span", r.place.letter, "class", "unseen")
			m.svg(glyph(r.place.kind, glyphSize, inkText), sheet.SVGOptions{Class: "glyph", Hidden: true, Colours: glyphColours})
			m.close(1)
			m.el("td", r.kind, "data-label", w.ColKind)
			m.el("td", r.count, "class", "num", "data-label", w.ColCount)
			m.el("td", r.um, "class", "num", "data-label", w.ColUM)
			m.el("td", r.limit, "class", "num", "data-label", w.ColLimit)
			m.el("td", r.s, "data-label", w.ColWatch)
			m.open("td", "data-label", w.ColOK)
			m.el("span", "", "class", "tick")
			m.close(2)
		}
		m.close(2)
		m.el("p", b.ids(), "class", "hint")
	}
	if !b.blank() && len(b.places) <= 3 {
		m.open("div", "class", "plot")
		m.el("h3", b.w.PlotTitle)
		m.svg(b.plotFigure(plotOnScreen, plotTight, w.Kind), sheet.SVGOptions{Class: "pic"})
		m.close(1)
	}
	m.close(2)
	m.open("section")
	m.el("h2", w.InOrder)
	m.open("table", "class", "rows order")
	m.open("thead").open("tr")
	m.el("td", "")
	for _, c := range []string{w.ColStep, w.ColSet, w.ColBasis, w.ColNote} {
		m.el("th", c, "scope", "col")
	}
	m.close(2)
	m.open("tbody")
	for _, s := range b.steps() {
		m.open("tr")
		m.open("td", "class", "mark")
		m.el("span", "", "class", "tick")
		m.close(1)
		m.el("th", s.name, "scope", "row")
		m.el("td", s.set, "data-label", w.ColSet)
		m.el("td", s.basis, "class", "second", "data-label", w.ColBasis)
		if s.note != "" {
			m.el("td", s.note, "data-label", w.ColNote)
		} else {
			m.el("td", "", "class", "write", "data-label", w.ColNote)
		}
		m.close(1)
	}
	m.close(2)
	if wins := b.sheetWins(); wins != "" {
		m.el("p", wins, "class", "hint")
	}
	m.close(1)
	if b.charted() {
		m.open("section", "class", "strip")
		draw := func(films []FilmOutcome, class string, width float64, rows plotRows) {
			m.svg(b.w.stripFigure(films, b.r.Artwork.WidthMM, b.r.Film.Name, b.job.Units, width, rows), sheet.SVGOptions{Class: class})
		}
		if all := len(b.facts.Films); b.onPaper < all { // the printed page has room for some films only
			draw(b.facts.Films, "pic wide screen-only", 184, stripTight)
			draw(nextTo(b.facts.Films, b.r.Film, max(b.onPaper-1, min(leastFilms, all))), "pic paper", 184, stripTight)
		} else {
			draw(b.facts.Films, "pic wide", 184, stripTight)
		}
		draw(b.facts.Films, "pic narrow", narrowFigure, stripRows)
		m.el("p", w.ChartBasis, "class", "hint")
		m.close(1)
	}
	m.open("footer", "class", "judged")
	if s := b.shopNotes(); s != "" {
		m.open("p", "class", "note")
		m.el("strong", w.AlsoNoted)
		m.text(" " + s)
		m.close(1)
	}
	m.open("p")
	m.el("strong", w.Cautions)
	m.text(" " + w.CautionsText)
	m.close(1)
	m.open("p", "class", "screen").name(b.foot(w.Sheet))
	m.close(len(m.stack))
	return m.b.String()
}
