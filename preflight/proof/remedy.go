package proof

import (
	"fmt"
	"math"
	"strings"

	"stencilproof/preflight"
	"stencilproof/raster"
)

// muchLarger is how many times as wide an artwork may have to be carved for
// that to be worth the advice: a badge for a tumbler still fits a bowl.
const muchLarger = 5

// practical reports whether an engraved width is worth advising.
func (c *content) practical(mm float64) bool { return mm <= muchLarger*c.r.Artwork.WidthMM }

// cleanWidth returns the engraved width in millimetres from which on all but the
// dust holds, and whether there is dust among the marks. What is no mark holds
// at the size judged, so that width needs no more than the marks.
func (c *content) cleanWidth() (mm float64, dusty bool) {
	grow := 1.0
	for i := range c.r.Marks {
		if m := &c.r.Marks[i]; m.Specks {
			dusty = true
		} else {
			grow = math.Max(grow, m.SafeUM/m.WidthUM)
		}
	}
	return c.r.Artwork.WidthMM * grow, dusty
}

// remedy is one way to put things right.
type remedy struct{ title, text string }

// remedies returns what would put it right, each enough by itself, and a
// sentence or two about what would not.
func (c *content) remedies() (enough []remedy, not string) {
	if len(c.places) == 0 {
		return nil, ""
	}
	fails, risk := c.split()
	first := fails
	if len(fails) == 0 {
		first = risk
	}
	text := capital(c.w.list(c.changes(first))) + "."
	if len(fails) > 0 && len(risk) > 0 {
		text += " " + fmt.Sprintf(c.w.ToBeSafe.pick(len(risk)), c.w.letters(lettersOf(risk)))
	}
	enough = append(enough, remedy{c.w.ChangeTitle, text})
	var nots []string
	if w := c.r.HoldsFromWidthMM; w > c.r.Artwork.WidthMM {
		text, ok := c.larger(w)
		switch {
		case ok:
			enough = append(enough, remedy{c.w.LargerTitle, text})
		case text != "":
			nots = append(nots, text)
		}
	}
	var best, thinnest *FilmOutcome
	for i := range c.job.Films {
		f := &c.job.Films[i]
		if f.Film.ThicknessUM >= c.r.Film.ThicknessUM {
			continue
		}
		if f.Verdict == preflight.Holds && (best == nil || f.Film.ThicknessUM > best.Film.ThicknessUM) {
			best = f
		}
		if thinnest == nil || f.Film.ThicknessUM < thinnest.Film.ThicknessUM {
			thinnest = f
		}
	}
	switch {
	case best != nil:
		enough = append(enough, remedy{c.w.FilmTitle, fmt.Sprintf(c.w.FilmText, c.n.thickness(best.Film.ThicknessUM))})
	case thinnest != nil:
		var lost []string
		for _, p := range c.places {
			for _, i := range p.marks {
				if m := &c.r.Marks[i]; m.WidthUM < thinnest.Film.Limit(m.Kind).SafeUM {
					lost = append(lost, p.letter)
					break
				}
			}
		}
		if len(lost) > 0 {
			nots = append(nots, fmt.Sprintf(c.w.FilmNotEnough, c.n.thickness(thinnest.Film.ThicknessUM), c.w.letters(lost)))
		}
	}
	return enough, strings.Join(nots, " ")
}

// larger says from which engraved width on all comes out, with the dust and
// without it; ok is false when that is no remedy, for being too much larger.
func (c *content) larger(w float64) (text string, ok bool) {
	clean, dusty := c.cleanWidth()
	switch {
	case !c.practical(w) && dusty && clean <= c.r.Artwork.WidthMM:
		return "", false // erasing the dust is enough
	case !c.practical(w) && dusty && c.practical(clean):
		return fmt.Sprintf(c.w.Specks.LargerClean, c.n.sizeUp(clean)), true
	case !c.practical(w):
		return fmt.Sprintf(c.w.LargerNot, c.n.sizeUp(w)), false
	}
	text = fmt.Sprintf(c.w.LargerText, c.n.sizeUp(w))
	switch {
	case !dusty || c.n.sizeUp(clean) == c.n.sizeUp(w):
		return text, true
	case clean <= c.r.Artwork.WidthMM:
		return text + " " + c.w.Specks.CleanHere, true
	}
	return text + " " + fmt.Sprintf(c.w.Specks.CleanFrom, c.n.sizeUp(clean)), true
}

// changes lists what to change, a part a kind, in the order of the places.
func (c *content) changes(ps []*place) []string {
	var parts []string
	for _, k := range kindsOf(ps) {
		n := 0
		var ls []string
		pattern, safe := false, 0.0
		for _, p := range ps {
			if p.kind == k && !p.specks {
				n += p.count
				ls = append(ls, p.letter)
				pattern = pattern || p.pattern()
				safe = math.Max(safe, p.tightest.SafeUM)
			}
		}
		switch {
		case n == 0:
		case pattern:
			parts = append(parts, fmt.Sprintf(c.w.ChangePattern, c.n.widthUp(safe), c.w.letters(ls)))
		case n == 1:
			parts = append(parts, fmt.Sprintf(c.w.Change[k][0], c.w.letters(ls)))
		default:
			parts = append(parts, fmt.Sprintf(c.w.Change[k][1], c.n.count(n), c.w.letters(ls)))
		}
	}
	n := 0
	var ls []string
	for _, p := range ps {
		if p.specks {
			n += p.count
			ls = append(ls, p.letter)
		}
	}
	switch n {
	case 0:
	case 1:
		parts = append(parts, fmt.Sprintf(c.w.Specks.Change[0], c.w.letters(ls)))
	default:
		parts = append(parts, fmt.Sprintf(c.w.Specks.Change[1], c.n.count(n), c.w.letters(ls)))
	}
	return parts
}

func kindsOf(ps []*place) []raster.Kind {
	var ks []raster.Kind
	seen := map[raster.Kind]bool{}
	for _, p := range ps {
		if !seen[p.kind] {
			seen[p.kind] = true
			ks = append(ks, p.kind)
		}
	}
	return ks
}
