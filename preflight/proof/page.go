package proof

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// paper is a sheet with its grid, in millimetres.
type paper struct {
	wd, ht              float64
	side, top, bottom   float64
	left, gutter, right float64 // the two columns
}

// paperOf returns the grid for a job's paper: A4, or Letter (8.5 x 11 in).
func (c *content) paperOf() paper {
	p := paper{wd: 210, ht: 297, side: 13, top: 9, bottom: 8, left: 86, gutter: 7}
	if strings.EqualFold(c.job.Paper, "letter") || c.job.Paper == "" && !c.w.A4 {
		p.wd, p.ht = 215.9, 279.4
	}
	p.right = p.wd - 2*p.side - p.left - p.gutter
	return p
}

// wide is the width of the type area.
func (p paper) wide() float64 { return p.wd - 2*p.side }

// pageMaker lays pages out one after the other.
type pageMaker struct {
	*content
	paper
	pages []*sheet.Figure
	kind  string // what the foot calls it: "proof"
}

// proofPages lays the proof out on paper.
func (c *content) proofPages() []*sheet.Figure {
	m := &pageMaker{content: c, paper: c.paperOf(), kind: c.w.ProofNo}
	f := m.open(c.w.Title)
	x := m.side
	y := m.verdictBlock(f, x, m.head(f, c.w.Title)+2.6)

	judged := m.judgedBlock()
	base := m.ht - m.bottom - 4.2 // the page line lies below
	f.Place(judged, x, base-judged.H)
	base -= judged.H + 1.8
	f.Add(sheet.LineTo(x, base, x+m.wide(), base).Stroked(inkHair, 0.25))
	base -= 2

	end := m.endBlock()
	if len(c.places) == 0 {
		m.holdingBody(f, x, y+2.5, base, end)
	} else {
		f.Place(end, x, base-end.H)
		base -= end.H + 2.2
		f.Add(sheet.LineTo(x, base, x+m.wide(), base).Stroked(inkText, 0.35))
		base -= 1.5
		rest := m.body(f, x, y+2.5, base)
		m.cardPages(rest)
	}
	m.fullSizePage()
	for i, f := range m.pages {
		m.pageLine(f, i+1, len(m.pages))
	}
	return m.pages
}

func (m *pageMaker) open(title string) *sheet.Figure {
	f := &sheet.Figure{W: m.wd, H: m.ht, Alt: title}
	m.pages = append(m.pages, f)
	return f
}

func (m *pageMaker) pageLine(f *sheet.Figure, i, n int) {
	s := m.foot(m.kind)
	page := fmt.Sprintf(m.w.PageOf, m.n.count(i), m.n.count(n))
	y := m.ht - m.bottom - 0.4
	right := fontHint.Width(page)
	f.Add(sheet.Text{X: m.side, Y: y, S: fontHint.Cut(sheet.Settable(s), m.wide()-right-6), Font: fontHint})
	f.Add(sheet.Text{X: m.side + m.wide(), Y: y, S: page, Font: fontHint, Anchor: sheet.End})
}

// head draws the shop's block, the title and the job's facts; it returns the
// bottom.
func (m *pageMaker) head(f *sheet.Figure, title string) float64 {
	x, y := m.side, m.top
	shop := m.job.Shop
	const high = 12.5
	if shop.Logo != nil && !shop.Logo.Bounds().Empty() {
		b := shop.Logo.Bounds()
		w, h := 16.0, 9.0
		if r := float64(b.Dx()) / float64(b.Dy()); r < w/h {
			w = h * r
		} else {
			h = w / r
		}
		f.Add(sheet.Picture{X: x, Y: y + (high-h)/2, W: w, H: h, Source: logo{shop.Logo}, Alt: shop.Name})
		x += w + 2.6
	}
	// right: title and facts
	right := m.side + m.wide()
	f.Add(sheet.Text{X: right, Y: y + fontTitle.Baseline(), S: title, Font: fontTitle, Anchor: sheet.End})
	ry := y + fontTitle.LineHeight() + 0.3
	taken := fontTitle.Width(title)
	facts := m.wide() * 0.53
	if x == m.side && shop.Name == "" && len(shopLines(shop, m.wide())) == 0 { // all the room is theirs
		facts = m.wide()
	}
	for _, row := range m.factRows(facts) {
		w := 0.0
		for _, t := range row {
			w = math.Max(w, t.X+t.Font.Width(t.S))
		}
		taken = math.Max(taken, w)
		for _, t := range row {
			t.X += right - w
			t.Y = ry + fontFact.Baseline()
			f.Add(t)
		}
		ry += fontFact.LineHeight()
	}
	// left: the shop has the room that is left; its name may take two lines
	room := right - taken - 8 - x
	ty := y + 0.4
	if shop.Name != "" {
		lines := sheet.Wrap([]sheet.Span{span(sheet.Settable(shop.Name), fontShop)}, room, false)
		for much := 1.9; len(lines) > 2; much -= 0.3 {
			lines = sheet.Wrap([]sheet.Span{span(fontShop.Cut(sheet.Settable(shop.Name), room*much), fontShop)}, room, false)
		}
		ty = f.Set(lines, x, ty)
	}
	for _, s := range shopLines(shop, room) {
		f.Add(sheet.Text{X: x, Y: ty + fontFact.Baseline(), S: fontFact.Cut(sheet.Settable(s), room), Font: fontFact})
		ty += fontFact.LineHeight()
	}
	y = math.Max(math.Max(ty, ry), y+high) + 1.4
	f.Add(sheet.LineTo(m.side, y, right, y).Stroked(inkText, 0.45))
	return y
}

// fewLines is how many lines the shop's block has, if joining some makes them so few.
const fewLines = 4

// shopLines are the lines of the shop's block, in a room so wide.
func shopLines(s Shop, room float64) []string {
	lines := append([]string(nil), s.Address...)
	fits := func(s string) bool { return fontFact.Width(sheet.Settable(s)) <= room }
	both := s.Email + " · " + s.Phone
	switch {
	case s.Email != "" && s.Phone != "" && fits(both):
		lines = append(lines, both)
	case s.Email != "" && s.Phone != "":
		lines = append(lines, s.Email, s.Phone)
	case s.Email+s.Phone != "":
		lines = append(lines, s.Email+s.Phone)
	}
	for i := 0; len(lines) > fewLines && i+1 < len(s.Address) && i+1 < len(lines); i++ {
		if joined := lines[i] + ", " + lines[i+1]; fits(joined) {
			lines = slices.Replace(lines, i, i+2, joined)
			s.Address = s.Address[1:]
			i--
		}
	}
	return lines
}

// factRows sets the facts in rows no wider than avail, at most three; a fact
// too long for a row is cut.
func (c *content) factRows(avail float64) [][]sheet.Text {
	var rows [][]sheet.Text
	x := 0.0
	const space = 3.2
	for _, f := range c.facts() {
		label := sheet.Text{S: f[0] + nbsp, Font: fontFact}
		lw := label.Font.Width(label.S)
		value := sheet.Text{S: fontFactM.Cut(sheet.Settable(f[1]), avail-lw), Font: fontFactM}
		w := lw + value.Font.Width(value.S)
		if len(rows) == 0 || x+space+w > avail {
			rows = append(rows, nil)
			x = 0
		} else {
			x += space
		}
		label.X, value.X = x, x+lw
		rows[len(rows)-1] = append(rows[len(rows)-1], label, value)
		x += w
	}
	return rows
}

// verdictBlock draws the verdict, returns the bottom.
func (m *pageMaker) verdictBlock(f *sheet.Figure, x, y float64) float64 {
	title, text := m.verdict()
	const side = 7.6
	f.Place(verdictSign(m.tone(), side), x, y+1.4)
	lines := sheet.Wrap([]sheet.Span{span(title, in(fontVerdict, verdictInk(m.tone())))}, m.wide()-side-3, false)
	lines = append(lines, sheet.Wrap([]sheet.Span{span(text, fontVerdict2)}, m.wide()-side-3, true)...)
	return f.Set(lines, x+side+3, y)
}

// mapRoom is the height that the map needs with its heading and key, and with
// the words around the artwork above it.
const mapRoom = 92.0

// body draws the columns of a page with places, returns the cards for which
// there was no room.
func (m *pageMaker) body(f *sheet.Figure, x, y, base float64) []card {
	if m.art.widthM/m.art.height > bannerRatio {
		return m.bannerBody(f, x, y, base)
	}
	share := 0.46
	if len(m.cards) > onPageOne { // the map needs more of the page
		share = 0.42
	}
	high := math.Min(74, (base-y)*share)
	if _, s := m.artworkFigure(m.left, high); s < 1 {
		// reduced anyway: leave the map the room it needs
		for fig, _ := m.artworkFigure(m.left, high); high > 20 && fig.H > base-y-mapRoom; {
			high *= 0.9
			fig, _ = m.artworkFigure(m.left, high)
		}
	}
	ly := m.trueSize(f, x, y, m.left, high)
	m.whereToLook(f, x, ly+2.6, m.left, base)
	rx := x + m.left + m.gutter
	rest := m.column(f, rx, y, m.right, base, m.cards)
	return rest
}

// trueSize draws the artwork with its ruler and hint, returns the bottom.
func (m *pageMaker) trueSize(f *sheet.Figure, x, y, width, maxHigh float64) float64 {
	fig, scale := m.artworkFigure(width, maxHigh)
	head, hint := m.w.TrueSize, fmt.Sprintf(m.w.RulerHint, m.cardLength())
	if scale != 1 {
		head, hint = fmt.Sprintf(m.w.Reduced, m.fraction(scale)), m.w.CardHint
		if m.fullSizeFits() {
			hint += " " + m.w.FullSizePage
		}
	}
	y = f.Write(x, y, width, span(head, fontHead)) + 0.4
	y = f.Write(x, y, width, span(m.w.BlackCarved, fontCardM)) + 1.2
	f.Place(fig, x, y)
	return f.Write(x, y+fig.H+0.4, width, span(hint, fontHint))
}

// cardLength is the length of a bank card in the reader's units.
func (c *content) cardLength() string {
	if c.n.unit == "in" || c.n.unit == "mil" {
		return c.n.fixed(cardLong/25.4, 2) + nbsp + "in"
	}
	return c.n.fixed(cardLong, 1) + nbsp + "mm"
}

// whereToLook draws the map and its key.
func (m *pageMaker) whereToLook(f *sheet.Figure, x, y, width, base float64) float64 {
	y = f.Write(x, y, width, span(m.w.Where, fontHead)) + 0.6
	key := m.keyFigure(width)
	fig := mapFigure(m.art, m.places, m.r.Marks, width, base-y-key.H-1)
	fig.Alt = m.mapAlt()
	f.Place(fig, x, y)
	y += fig.H + 1
	f.Place(key, x, y)
	return y + key.H
}

// keyFigure explains the outlines that the map has.
func (c *content) keyFigure(width float64) *sheet.Figure {
	f := &sheet.Figure{W: width}
	const row = 4.6
	x, y := 0.0, 0.0
	entry := func(ps []*place, text string) {
		if len(ps) == 0 {
			return
		}
		w := 6 + fontHint.Width(text) + 5
		if x > 0 && x+w-5 > width {
			x, y = 0, y+row
		}
		f.Place(letterDisc(ps[0].letter, ps[0].verdict == preflight.Fails, 1.95), x+2, y+row/2)
		f.Add(sheet.Text{X: x + 5.2, Y: y + row/2 + 0.9, S: text, Font: in(fontHint, inkText)})
		x += w
	}
	fails, risk := c.split()
	entry(fails, c.w.KeyFails)
	entry(risk, c.w.KeyRisk)
	f.H = y + row
	return f
}

// column draws cards in one column down to base; with three or fewer, the plot
// below them. It returns the cards that are left.
func (m *pageMaker) column(f *sheet.Figure, x, y, width, base float64, cards []card) []card {
	figs := make([]*sheet.Figure, len(cards))
	for i, k := range cards {
		figs[i] = m.cardFigure(k, width)
	}
	note := fontHint.LineHeight() + 0.6
	n, used := 0, 0.0
	for n < len(figs) {
		need := used + figs[n].H
		if n+1 < len(figs) {
			need += note // the rest may have to be announced
		}
		if y+need > base+0.01 {
			break
		}
		used += figs[n].H
		n++
	}
	if n+1 == len(figs) && y+used+figs[n].H <= base+0.01 {
		used += figs[n].H
		n++
	}
	gapBetween := 0.0
	if n == len(figs) && n > 3 {
		gapBetween = math.Min(2.2, (base-y-used)/float64(n))
	}
	for i := 0; i < n; i++ {
		f.Place(figs[i], x, y)
		y += figs[i].H + gapBetween
	}
	if n < len(cards) {
		left := len(cards) - n
		text := fmt.Sprintf(m.w.Further[1], m.n.count(left), "2")
		if left == 1 {
			text = fmt.Sprintf(m.w.Further[0], "2")
		}
		f.Add(sheet.LineTo(x, y, x+width, y).Stroked(inkHair, 0.25))
		f.Write(x, y+0.8, width, span(text, in(fontHint, inkText)))
	}
	if len(cards) <= 3 {
		y = f.Write(x, y+4, width, span(m.w.PlotTitle, fontHead)) + 1.2
		plot := m.plotFigure(width, plotTight, m.w.KindName)
		if y+plot.H <= base {
			f.Place(plot, x, y)
		}
	}
	return cards[n:]
}

// cardFigure draws a place's card: its close-up left, its words right.
func (m *pageMaker) cardFigure(k card, width float64) *sheet.Figure {
	f := &sheet.Figure{W: width}
	const top = 1.7
	f.Add(sheet.LineTo(0, 0, width, 0).Stroked(inkHair, 0.25))
	f.Place(k.figure, 0.15, top)
	capY := f.Write(0, top+closeH+0.5, closeW, span(k.caption, fontHint))
	x := closeW + 3.2
	tw := width - x
	y := top - 0.4
	f.Place(letterDisc(k.place.letter, k.place.verdict == preflight.Fails, 2.3), x+2.3, y+2.3)
	f.Place(glyph(k.place.kind, glyphSize, verdictInk(k.place.verdict)), x+5.5, y+0.5)
	const hang = 10.3
	y = f.Set(sheet.Wrap([]sheet.Span{span(k.head, fontPlace)}, tw-hang, true), x+hang, y+0.35)
	y = math.Max(y, top+4.6)
	y = f.Set(sheet.Wrap([]sheet.Span{span(k.effect, fontCard)}, tw, true), x, y)
	y = f.Set(sheet.Wrap([]sheet.Span{span(k.limits, fontCard)}, tw, true), x, y)
	y = f.Set(sheet.Wrap([]sheet.Span{span(k.advice, fontCardM)}, tw, true), x, y)
	if k.extra != "" {
		y = f.Write(x, y, tw, span(k.extra, fontHint))
	}
	f.H = math.Max(capY, y) + 1.3
	f.Name(sheet.Box{Role: "card", Place: k.place.letter, W: width, H: f.H})
	return f
}

// cardPages draws the cards that page 1 has no room for, in two columns.
func (m *pageMaker) cardPages(cards []card) {
	const gutter = 8
	w := (m.wide() - gutter) / 2
	for len(cards) > 0 {
		f := m.open(m.w.Title)
		top := m.head(f, m.w.Title) + 4
		base := m.ht - m.bottom - 5
		y := top
		for len(cards) > 0 {
			row := cards[:min(2, len(cards))]
			var figs []*sheet.Figure
			high := 0.0
			for _, k := range row {
				g := m.cardFigure(k, w)
				figs = append(figs, g)
				high = math.Max(high, g.H)
			}
			if y+high > base && y > top {
				break
			}
			for i, g := range figs {
				f.Place(g, m.side+float64(i)*(w+gutter), y)
			}
			y += high
			cards = cards[len(row):]
		}
	}
}

// leastBanner is the height in millimetres that the map of a wide artwork keeps,
// letters included.
const leastBanner = 38.0

// bannerBody draws a wide artwork across the page, its map below, and cards in
// two columns below that as far as there is room.
func (m *pageMaker) bannerBody(f *sheet.Figure, x, y, base float64) []card {
	full := m.wide()
	y = m.trueSize(f, x, y, full, 74) + 2.6
	const gutter = 8
	w := (full - gutter) / 2
	limit := math.Max(math.Min(base-y-12, 78), leastBanner)
	rowsHigh, high := 0.0, 0.0
	for i, k := range m.cards {
		high = math.Max(high, m.cardFigure(k, w).H)
		if i%2 == 1 || i == len(m.cards)-1 {
			rowsHigh, high = rowsHigh+high, 0
		}
	}
	if all := base - y - 13 - rowsHigh; all >= leastBanner { // a smaller map leaves room for all of them
		limit = math.Min(limit, all)
	}
	y = m.whereToLook(f, x, y, full, y+limit+10) + 1.6
	cards := m.cards
	note := fontHint.LineHeight() + 1
	for len(cards) > 0 {
		row := cards[:min(2, len(cards))]
		var figs []*sheet.Figure
		high := 0.0
		for _, k := range row {
			g := m.cardFigure(k, w)
			figs = append(figs, g)
			high = math.Max(high, g.H)
		}
		need := high
		if len(cards) > len(row) {
			need += note
		}
		if y+need > base {
			break
		}
		for i, g := range figs {
			f.Place(g, x+float64(i)*(w+gutter), y)
		}
		y += high
		cards = cards[len(row):]
	}
	if n := len(m.cards); n <= 3 && len(cards) == 0 {
		plot := m.plotFigure(w, plotTight, m.w.KindName)
		if head := fontHead.LineHeight() + 1.2; y+4+head+plot.H <= base {
			f.Place(plot, x, f.Write(x, y+4, w, span(m.w.PlotTitle, fontHead))+1.2)
		}
	}
	if n := len(cards); n > 0 {
		text := fmt.Sprintf(m.w.Further[1], m.n.count(n), "2")
		if n == len(m.cards) {
			text = put(m.w.PlacesOn, "2")
		} else if n == 1 {
			text = fmt.Sprintf(m.w.Further[0], "2")
		}
		f.Write(x, y+0.8, full, span(text, in(fontHint, inkText)))
	}
	return cards
}

// holdingBody draws the page of an artwork that holds: the artwork, beside it
// the plot and the closest call, below them the smallest of each kind, as large
// as the page allows, and the answer.
func (m *pageMaker) holdingBody(f *sheet.Figure, x, y, base float64, end *sheet.Figure) {
	f.Place(end, x, base-end.H)
	base -= end.H + 2.2
	f.Add(sheet.LineTo(x, base, x+m.wide(), base).Stroked(inkText, 0.35))
	base -= 4
	full := m.wide()
	if m.art.widthM/m.art.height > bannerRatio {
		y = m.trueSize(f, x, y, full, math.Min(74, (base-y)*0.4)) + 5
		y = m.holdingWords(f, x, y, full, true) + 5
	} else {
		ly := m.trueSize(f, x, y, m.left, math.Min(74, (base-y)*0.6))
		ry := m.holdingWords(f, x+m.left+m.gutter, y, m.right, false)
		y = math.Max(ly, ry) + 6
	}
	m.holdingLooks(f, x, y, full, base)
}

// holdingWords draws the plot and the closest call, side by side or one below
// the other; of a blank artwork, what to do.
func (m *pageMaker) holdingWords(f *sheet.Figure, x, y, width float64, beside bool) float64 {
	if m.blank() {
		return f.Write(x, y, width, span(m.closest(), fontCall))
	}
	y = f.Write(x, y, width, span(m.w.PlotTitle, fontHead)) + 1.6
	call := []sheet.Span{span(m.closest(), fontCall)}
	if beside {
		plot := m.plotFigure(width*0.55, plotRoomy, m.w.KindName)
		f.Place(plot, x, y)
		f.Write(x+width*0.6, y+4, width*0.4, call...)
		return y + plot.H
	}
	plot := m.plotFigure(width, plotRoomy, m.w.KindName)
	f.Place(plot, x, y)
	return f.Set(sheet.Wrap(call, width, false), x, y+plot.H+5)
}

// holdingLooks draws the smallest of each kind in a row, or two by two where
// the page has room for that.
func (m *pageMaker) holdingLooks(f *sheet.Figure, x, y, width, base float64) {
	found := len(m.smallest(closeW, closeH))
	if found == 0 {
		return
	}
	const gutter, words = 4.0, 9.0
	cols := found
	if found == 4 && base-y > 2*(36+words) {
		cols = 2
	}
	rows := float64((found + cols - 1) / cols)
	w := (width - gutter*float64(cols-1)) / float64(cols)
	w = math.Min(w, 90)
	head := fontHead.LineHeight() + 1.6
	h := math.Min((base-y-head)/rows-words, math.Min(w, 60))
	if h < 14 {
		return
	}
	if spare := base - y - head - rows*(h+words); spare > 0 {
		y += spare * 0.4
	}
	y = f.Write(x, y, width, span(m.w.SmallestOfEach, fontHead)) + 1.6
	for i, l := range m.smallest(w-0.3, h) {
		px, py := x+float64(i%cols)*(w+gutter), y+float64(i/cols)*(h+words)
		f.Place(l.figure, px+0.15, py)
		f.Place(glyph(l.kind, glyphSize, inkHolds), px, py+h+1)
		cy := f.Write(px+glyphSize+1, py+h+1.1, w-glyphSize-1, span(l.head, in(fontCardB, inkHolds)))
		f.Write(px+glyphSize+1, cy, w-glyphSize-1, span(l.caption, fontHint))
	}
}

// smallLook is a close-up of the smallest of a kind on a holding page.
type smallLook struct {
	kind          raster.Kind
	head, caption string
	figure        *sheet.Figure
}

func (c *content) smallest(w, h float64) []smallLook {
	var out []smallLook
	for _, k := range raster.Kinds {
		fin := c.r.Finest[k]
		if !fin.Found || !(fin.WidthUM > 0) || enlargement(fin.WidthUM/1000) < 1 {
			continue // nobody needs to be shown what is that large
		}
		lim := c.r.Film.Limit(k)
		width, _, _ := c.n.judged(fin.WidthUM, lim.FailUM, lim.SafeUM)
		l := smallLook{kind: k, head: capital(c.w.KindName[k]) + ", " + width}
		l.figure, l.caption = c.closeUpOf(look{kind: k, verdict: preflight.Holds, at: fin.At, across: math.NaN(), widthMM: fin.WidthUM / 1000, value: width}, w, h)
		l.figure.Alt = l.head
		out = append(out, l)
	}
	return out
}

// fullSizeFits reports whether the artwork, too large for its box on page 1,
// fits on a page of its own.
func (m *pageMaker) fullSizeFits() bool {
	return m.art.widthM <= m.wide()+1e-9 && m.art.height <= m.ht-m.top-m.bottom-36
}

// fullSizePage adds the artwork at its true size when page 1 had to reduce it.
func (m *pageMaker) fullSizePage() {
	maxW, maxH := m.left, 74.0
	if m.art.widthM/m.art.height > bannerRatio {
		maxW = m.wide()
	}
	if reduction(m.art.widthM, m.art.height, maxW, maxH) == 1 || !m.fullSizeFits() {
		return
	}
	f := m.open(m.w.Title)
	y := m.head(f, m.w.Title) + 4
	m.trueSize(f, m.side, y, m.wide(), m.ht)
}
