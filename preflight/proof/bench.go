package proof

import (
	"fmt"
	"math"
	"math/bits"
	"slices"
	"strings"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// BenchFacts is what the bench sheet says beyond the proof.
type BenchFacts struct {
	Facts        []preflight.Fact // of the work with the film
	Grit         *preflight.Grit  // nil: not chosen
	DepthUM      float64          // asked for; 0: none
	TapeMarginUM float64          // film kept free around the ink; 0: the shop file says none
	// Films are all films at all widths, for the chart; without them there is
	// none. They are worked out from the widths of the report.
	Films []FilmOutcome
}

// BuildBench lays out the shop's sheet that goes with the job to the exposure
// unit and the blasting cabinet. It says the same as the proof, of the same
// report, in the shop's words. See Build for r and k.
func BuildBench(r *preflight.Report, k *raster.Ink, job Job, facts BenchFacts) *Document {
	b := &bench{content: newContent(r, k, job), facts: facts}
	return &Document{Pages: b.benchPages(), about: b.about(b.w.BenchTitle), html: b.benchHTML}
}

type bench struct {
	*content
	facts   BenchFacts
	onPaper int // how many films the chart on the printed page has
}

// line returns the verdict's word and its sentence.
func (b *bench) line() (word, text string) {
	w := &b.w.Bench
	fails, risk := b.split()
	f, k := features(fails), features(risk)
	if b.blank() {
		return w.Blank, w.BlankText
	}
	switch b.r.Verdict {
	case preflight.Holds:
		return w.Holds, w.AllHold
	case preflight.AtRisk:
		return w.Risk, put(w.RiskOnly.pick(k), b.n.count(k)) + " " + w.Approval
	}
	text = put(w.FailPart.pick(f), b.n.count(f))
	if k > 0 {
		text += put(w.RiskPart.pick(k), b.n.count(k))
	}
	return w.Fails, text + ". " + w.Approval
}

// fact is one of the five boxes at the top.
type fact struct{ label, value, basis string }

func (b *bench) five() []fact {
	w := &b.w.Bench
	name := sheet.Plain(b.r.Film.Name)
	thick := b.n.thickness(b.r.Film.ThicknessUM)
	film := fact{w.Film, name, thick + "; " + b.limitsWord()}
	if name == "" {
		film.value, film.basis = thick, b.limitsWord()
	}
	if why := b.filmWhy(); why != "" {
		film.basis += ". " + why
	}
	polarity := fact{w.Polarity, w.Positive, w.BlackCarves}
	if b.r.Artwork.Negative {
		polarity = fact{w.Polarity, w.Negative, w.ClearCarves}
	}
	return []fact{film, {w.Size, b.sizePhrase(), w.SizeFrom[b.r.Artwork.SizeFrom]}, polarity, b.grit(), b.depth()}
}

// filmWhy says how this film stands beside the others at the job's size: the
// thickest that holds stands longest in the cabinet.
func (b *bench) filmWhy() string {
	if b.blank() || len(b.facts.Films) == 0 {
		return ""
	}
	var thickest *FilmOutcome
	for i := range b.facts.Films {
		o := &b.facts.Films[i]
		if o.Verdict == preflight.Holds && (thickest == nil || o.Film.ThicknessUM > thickest.Film.ThicknessUM) {
			thickest = o
		}
	}
	w := &b.w.Bench
	this := b.r.Film.ThicknessUM
	switch holds := b.r.Verdict == preflight.Holds; {
	case thickest == nil && !holds:
		return w.WhyNone
	case thickest != nil && holds && thickest.Film.ThicknessUM > this:
		return fmt.Sprintf(w.WhyToo, filmName(b.n, &thickest.Film))
	case holds:
		return w.WhyThickest
	case thickest.Film.ThicknessUM < this:
		return fmt.Sprintf(w.WhyThinner, filmName(b.n, &thickest.Film))
	}
	return "" // limits of its own hold less than a thicker film's: say nothing
}

// filmName is a film's name, or its thickness where it has none.
func filmName(n numbers, f *preflight.Film) string {
	if s := sheet.Plain(f.Name); s != "" {
		return strings.ReplaceAll(s, " ", nbsp)
	}
	return n.thickness(f.ThicknessUM)
}

func (b *bench) limitsWord() string {
	switch b.w.limitsBasis(&b.r.Film) {
	case b.w.JudgedMeasured:
		return b.w.Bench.MeasuredLimits
	case b.w.JudgedDefault:
		return b.w.Bench.Starting
	}
	return b.w.Bench.Mixed
}

// openings are the places where abrasive goes in, dust aside, and the narrowest
// width.
func (b *bench) openings() (ps []*place, narrowest float64, at *place) {
	narrowest = math.Inf(1)
	for _, k := range [2]raster.Kind{raster.Line, raster.Dot} {
		if f := b.r.Finest[k]; f.Found && !b.dust(k, f.WidthUM) {
			narrowest = math.Min(narrowest, f.WidthUM)
		}
	}
	for _, p := range b.places {
		if !p.specks && (p.kind == raster.Line || p.kind == raster.Dot) {
			ps = append(ps, p)
			if p.tightest.WidthUM <= narrowest {
				narrowest, at = p.tightest.WidthUM, p
			}
		}
	}
	return ps, narrowest, at
}

// dust reports whether a kind's narrowest width is a speck's.
func (b *bench) dust(k raster.Kind, widthUM float64) bool {
	for _, p := range b.places {
		if p.specks && p.kind == k && p.tightest.WidthUM <= widthUM {
			return true
		}
	}
	return false
}

func (b *bench) grit() fact {
	w := &b.w.Bench
	ps, narrowest, _ := b.openings()
	f := fact{label: w.Grit}
	if math.IsInf(narrowest, 1) {
		f.value, f.basis = "–", w.NoOpening
		if b.facts.Grit != nil {
			f.value = b.facts.Grit.Name
		}
		return f
	}
	g := b.facts.Grit
	if g == nil {
		f.value = w.NoGrit
		if enough, ok := preflight.GritFor(narrowest); ok {
			f.basis = fmt.Sprintf(w.GritEnters, enough.Name)
		}
		return f
	}
	f.value = g.Name
	size := b.n.width(g.CoarseUM)
	if u, places, name := b.n.widthUnit(); name == "mm" {
		size = b.n.fixed(g.CoarseUM/u, places+1) + nbsp + name
	}
	if g.Into(narrowest) == preflight.Freely {
		f.basis = fmt.Sprintf(w.GritFree, size)
		return f
	}
	// What the places name, and how many openings they hold; the note counts those that
	// hold on the film, too.
	var named [preflight.Freely + 1][]string
	var lettered, all [preflight.Freely + 1]int
	for _, p := range ps {
		how := g.Into(p.tightest.WidthUM)
		named[how] = append(named[how], p.letter)
		for _, i := range p.marks {
			m := &b.r.Marks[i]
			lettered[g.Into(m.WidthUM)] += max(m.Count, 1)
		}
	}
	for _, note := range b.r.Notes {
		if note.Code == preflight.NoteGrit && note.Words["grit"] == g.Name {
			all[preflight.CannotEnter], all[preflight.Slowly] = int(note.Values["cannot_enter"]), int(note.Values["slow"])
		}
	}
	parts := []string{fmt.Sprintf(w.GritCoarse, size)}
	tell := func(how preflight.Enters, at string, in oneMany) {
		letters := b.w.letters(named[how])
		switch n := all[how]; {
		case n > lettered[how] && len(named[how]) > 0:
			parts = append(parts, fmt.Sprintf(w.AmongThem, put(in.pick(n), b.n.count(n)), letters))
		case n > lettered[how]:
			parts = append(parts, put(in.pick(n), b.n.count(n)))
		case len(named[how]) > 0:
			parts = append(parts, fmt.Sprintf(at, letters))
		}
	}
	tell(preflight.CannotEnter, w.GritStops, w.GritStopsIn)
	tell(preflight.Slowly, w.GritSlow, w.GritSlowIn)
	if len(parts) == 1 { // the narrowest holds on the film, so no place names it
		s := w.GritSlow
		if g.Into(narrowest) == preflight.CannotEnter {
			s = w.GritStops
		}
		parts = append(parts, fmt.Sprintf(s, b.n.width(narrowest)))
	}
	f.basis = strings.Join(parts, "; ")
	return f
}

func (b *bench) depth() fact {
	w := &b.w.Bench
	ps, narrowest, at := b.openings()
	f := fact{label: w.Depth}
	if math.IsInf(narrowest, 1) {
		f.value, f.basis = "–", w.NoOpening
		return f
	}
	if d := b.facts.DepthUM; d > 0 {
		f.value = b.n.width(d)
		n := 0
		for _, note := range b.r.Notes {
			if note.Code == preflight.NoteDepth && note.Values["depth_um"] == d {
				n = note.Count
			}
		}
		if n == 0 {
			for _, p := range ps {
				for _, i := range p.marks {
					if m := &b.r.Marks[i]; m.WidthUM < d {
						n += max(m.Count, 1)
					}
				}
			}
		}
		if n == 0 && narrowest < d {
			n = 1
		}
		if f.basis = w.DepthFine; n > 0 {
			f.basis = put(w.DepthAsked.pick(n), b.n.count(n))
		}
		return f
	}
	f.value, f.basis = b.n.width(narrowest), w.DepthNarrowest
	if at != nil {
		f.basis = fmt.Sprintf(w.DepthAt, at.letter)
	}
	return f
}

// inkBox is the box around all ink in millimetres; ok is false without ink.
func (a *art) inkBox() (preflight.BoxMM, bool) {
	k := a.ink
	x0, y0, x1, y1 := k.W, k.H, -1, -1
	for y := 0; y < k.H; y++ {
		row := k.Bits.Row(y)
		for i, v := range row {
			if v == 0 {
				continue
			}
			y0, y1 = min(y0, y), y
			x0 = min(x0, i*64+bits.TrailingZeros64(v))
			x1 = max(x1, i*64+63-bits.LeadingZeros64(v))
		}
	}
	if y1 < 0 {
		return preflight.BoxMM{}, false
	}
	return preflight.BoxMM{X0: float64(x0) * a.mm, Y0: float64(y0) * a.mm, X1: float64(x1+1) * a.mm, Y1: float64(y1+1) * a.mm}, true
}

// window is the box that the tape leaves open: the ink and the margin of film.
func (b *bench) window() (preflight.BoxMM, float64, bool) {
	m := b.facts.TapeMarginUM / 1000
	box, ok := b.art.inkBox()
	if !ok || !(m > 0) {
		return box, 0, false
	}
	return preflight.BoxMM{X0: box.X0 - m, Y0: box.Y0 - m, X1: box.X1 + m, Y1: box.Y1 + m}, m, true
}

// nothingToWatch is what stands in place of an empty table.
func (b *bench) nothingToWatch() string {
	if b.blank() {
		return b.w.Bench.BlankWash
	}
	return b.w.Bench.NothingToWatch
}

// watch is a row of the table of what to watch.
type watch struct {
	place                     *place
	kind, count, um, limit, s string
}

func (b *bench) watchRows() []watch {
	w := &b.w.Bench
	var out []watch
	for _, p := range b.places {
		m := p.tightest
		um, fail, safe := b.um(m.WidthUM, m.FailUM, m.SafeUM)
		what := w.Watch[p.kind]
		if p.specks {
			what = b.w.Specks.Watch[p.kind]
		}
		out = append(out, watch{p, w.Kind[p.kind], b.n.count(p.count), um, fail + " / " + safe, what})
	}
	return out
}

// um writes a width and its limits in whole micrometres, or with a decimal
// where rounding would hide which side of a limit the width is on.
func (b *bench) um(w, f, s float64) (string, string, string) {
	for p := 0; ; p++ {
		rw, rf, rs := roundTo(w, p), roundTo(f, p), ceilTo(s, p)
		if p == 2 || (w < f) == (rw < rf) && (w < s) == (rw < rs) {
			return b.n.fixed(rw, p), b.n.fixed(rf, p), b.n.fixed(rs, p)
		}
	}
}

// ids tells which marks of the report each place stands for.
func (b *bench) ids() string {
	if len(b.places) == 0 {
		return ""
	}
	var parts []string
	for _, p := range b.places {
		var runs []string
		for i := 0; i < len(p.marks); {
			j := i
			for j+1 < len(p.marks) && b.r.Marks[p.marks[j+1]].ID == b.r.Marks[p.marks[j]].ID+1 {
				j++
			}
			a, z := b.n.count(b.r.Marks[p.marks[i]].ID), b.n.count(b.r.Marks[p.marks[j]].ID)
			switch {
			case j == i:
				runs = append(runs, a)
			case j == i+1:
				runs = append(runs, a, z)
			default:
				runs = append(runs, fmt.Sprintf(b.w.Range, a, z))
			}
			i = j + 1
			if len(runs) == 6 && i < len(p.marks) {
				runs = append(runs, "…")
				break
			}
		}
		parts = append(parts, fmt.Sprintf(b.w.Bench.Marks.pick(len(p.marks)), p.letter, strings.Join(runs, ", ")))
	}
	return b.w.Bench.Letters + " " + strings.Join(parts, "; ") + "."
}

// step is a row of "In order".
type step struct{ name, set, basis, note string }

func (b *bench) steps() []step {
	w := &b.w.Bench
	basis := func(v preflight.Basis) string { return w.Basis[v] }
	usual := map[string]preflight.Fact{}
	for _, f := range b.facts.Facts {
		usual[f.Step] = f
	}
	fromFact := func(name string) (set, why string) {
		f, ok := usual[name]
		if !ok {
			return "", ""
		}
		set = sheet.Plain(f.Set)
		if t, ok := w.Facts[f.Set]; ok && f.Basis == preflight.Memory {
			set = t
		}
		if r := sheet.Plain(f.Remark); r != "" {
			set += " (" + r + ")"
		}
		if f.Basis == preflight.Memory {
			return set, w.Usual
		}
		return set, basis(f.Basis)
	}
	letters := b.w.letters(lettersOf(b.places))
	join := func(sep string, parts ...string) string {
		var kept []string
		for _, p := range parts {
			if p != "" {
				kept = append(kept, p)
			}
		}
		return strings.Join(kept, sep)
	}
	var out []step
	print := fmt.Sprintf(w.PrintSet, b.sizePhrase())
	if b.r.Artwork.Negative {
		print = fmt.Sprintf(w.PrintInverted, print)
	}
	out = append(out, step{w.Steps[0], print, w.BasisPrint, w.PrintNote})
	set, why := fromFact("exposure")
	out = append(out, step{w.Steps[1], set, why, w.ExposeNote})
	set, why = fromFact("wash-out")
	if letters != "" {
		set, why = join("; ", set, fmt.Sprintf(w.WashSet, letters)), join("; ", why, w.BasisWash)
	}
	out = append(out, step{w.Steps[2], set, why, w.WashNote})
	set, why = fromFact("drying")
	if keeps, from := fromFact("storage"); keeps != "" {
		if set = join("; ", set, fmt.Sprintf(w.Keeps, keeps)); from != why {
			why = join("; ", why, from)
		}
	}
	out = append(out, step{w.Steps[3], set, why, ""})
	if win, m, ok := b.window(); ok {
		size := b.n.bare(win.X1-win.X0) + nbsp + "×" + nbsp + b.n.size(win.Y1-win.Y0)
		out = append(out, step{w.Steps[4], fmt.Sprintf(w.TapeSet, b.n.size(m), size), basis(preflight.ShopRule), ""})
	} else {
		out = append(out, step{w.Steps[4], w.TapeSetNone, "", w.TapeNote})
	}
	blast, grounds := "", ""
	if g := b.facts.Grit; g != nil {
		blast = fmt.Sprintf(w.BlastGrit, g.Name, b.n.thickness(g.CoarseUM))
		grounds = g.Name + ": " + basis(g.Basis)
	}
	if _, narrowest, at := b.openings(); !math.IsInf(narrowest, 1) {
		s := b.n.width(narrowest)
		if at != nil {
			s += " (" + at.letter + ")"
		}
		blast, grounds = join("; ", blast, fmt.Sprintf(w.BlastDepth, s)), join("; ", grounds, w.BasisBlast)
	}
	out = append(out, step{w.Steps[5], blast, grounds, w.BlastNote})
	inspect := w.InspectHolds
	if letters != "" {
		inspect = fmt.Sprintf(w.InspectSet, letters)
	}
	out = append(out, step{w.Steps[6], inspect, "", ""})
	for i := range out { // a blank to fill in stays with its word
		out[i].note = strings.ReplaceAll(out[i].note, " ____", nbsp+"____")
	}
	return out
}

// sheetWins says that what is only usual gives way; "" where all is the shop's own.
func (b *bench) sheetWins() string {
	if slices.ContainsFunc(b.facts.Facts, func(f preflight.Fact) bool { return f.Basis == preflight.Memory }) {
		return b.w.Bench.SheetWins
	}
	return ""
}

// shopNotes puts the report's notes into the shop's words.
func (b *bench) shopNotes() string {
	var out []string
	for _, n := range b.r.Notes {
		if lpi := n.Values["ruling_lpi"]; n.Code == preflight.NoteGreyAreas && lpi > 0 {
			out = append(out, put(b.w.Bench.Halftone, b.n.count(int(math.Round(lpi)))))
			continue
		}
		if t, ok := b.w.Bench.Notes[n.Code]; ok {
			if n.Code == preflight.NotePoints && n.Count == 0 {
				continue // only ends of tips that broke off
			}
			out = append(out, put(t.pick(n.Count), b.n.count(n.Count)))
		}
	}
	return strings.Join(out, " ")
}
