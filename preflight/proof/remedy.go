package proof

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stencilproof/preflight"
	"stencilproof/raster"
)

// practical reports whether an engraved width is worth advising.
func (c *content) practical(mm float64) bool {
	return mm <= preflight.MuchLarger*c.r.Artwork.WidthMM
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
	switch text, ok := c.larger(); {
	case ok:
		enough = append(enough, remedy{c.w.LargerTitle, text})
	case text != "":
		nots = append(nots, text)
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

// remedyIntro says of so many remedies how far they help. None helps with grey that is no
// halftone.
func (c *content) remedyIntro(n int) string {
	switch {
	case preflight.GreyParts(c.r.Notes):
		return c.w.GreyFirst
	case n == 1:
		return c.w.OnlyOne
	}
	return c.w.AnyOne
}

// larger says from which engraved width on all comes out, with the dust and
// without it, as it was judged there; ok is false when that is no remedy, for being too
// much larger. It says nothing when all comes out as it is, or at no width looked at.
func (c *content) larger() (text string, ok bool) {
	if c.r.CornersMeet() {
		return "", false
	}
	asked, dusty := c.r.Artwork.WidthMM, slices.ContainsFunc(c.r.Marks, func(m preflight.Mark) bool { return m.Specks })
	all, clean := c.r.HoldsFromWidthMM, c.r.CleanFromWidthMM
	switch far := c.r.SufficesFromWidthMM; {
	case all > asked:
		text = fmt.Sprintf(c.w.LargerText, c.n.sizeUp(all))
		switch {
		case !dusty || clean == 0 || c.n.sizeUp(clean) == c.n.sizeUp(all):
		case clean <= asked:
			text += " " + c.w.Specks.CleanHere
		default:
			text += " " + fmt.Sprintf(c.w.Specks.CleanFrom, c.n.sizeUp(clean))
		}
		return text, true
	case dusty && clean > asked:
		return fmt.Sprintf(c.w.Specks.LargerClean, c.n.sizeUp(clean)), true
	case dusty && clean > 0: // erasing the dust is enough
	case far > asked && c.practical(far) && c.r.HoldsUntried:
		return fmt.Sprintf(c.w.LargerAbout, c.n.sizeUp(far)), false
	case far > asked && !c.practical(far):
		return fmt.Sprintf(c.w.LargerNot, c.n.count(int(math.Round(far/asked)))), false
	}
	return "", false
}

// changes lists what to change, a part a kind, in the order of the places.
func (c *content) changes(ps []*place) []string {
	var parts []string
	for _, k := range kindsOf(ps) {
		n := 0
		var ls []string
		pattern, striped, safe := false, false, 0.0
		for _, p := range ps {
			if p.kind == k && !p.specks && !p.tightest.Corner {
				n += p.count
				ls = append(ls, p.letter)
				pattern = pattern || p.pattern()
				striped = striped || p.striped()
				safe = math.Max(safe, p.tightest.SafeUM)
			}
		}
		switch {
		case n == 0:
		case pattern:
			parts = append(parts, fmt.Sprintf(c.w.ChangePattern, c.n.widthUp(safe), c.w.letters(ls)))
		case n == 1 && striped:
			parts = append(parts, fmt.Sprintf(c.w.Stripe.Change, c.w.letters(ls)))
		case n == 1:
			parts = append(parts, fmt.Sprintf(c.w.Change[k][0], c.w.letters(ls)))
		default:
			parts = append(parts, fmt.Sprintf(c.w.Change[k][1], c.n.count(n), c.w.letters(ls)))
		}
	}
	apart := func(words oneMany, of func(*place) bool) {
		n := 0
		var ls []string
		for _, p := range ps {
			if of(p) {
				n += p.count
				ls = append(ls, p.letter)
			}
		}
		switch n {
		case 0:
		case 1:
			parts = append(parts, fmt.Sprintf(words[0], c.w.letters(ls)))
		default:
			parts = append(parts, fmt.Sprintf(words[1], c.n.count(n), c.w.letters(ls)))
		}
	}
	apart(c.w.Corner.Change, func(p *place) bool { return p.tightest.Corner })
	apart(c.w.Specks.Change, func(p *place) bool { return p.specks })
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
