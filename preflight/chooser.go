package preflight

import (
	"cmp"
	"math"
	"slices"

	"stencilproof/raster"
)

// chooser measures an artwork for several films and at several sizes.
//
// In pixels a limit is the limit over the size of a pixel, so a film at one size
// is another film, of the same proportions, at another; the usual films all have
// the same. Surveys are therefore kept by their reach in pixels. What they have
// in common, whatever their reach, the raster package remembers for all of them
// (raster.Known): grids, pieces, dots and islands, the ends of pieces in which no disc
// fits, the centre lines of long courses, how deep pixels lie, and the thin parts found by the
// least disc, which under 2.75 pixels is the disc of every limit.
//
// Beyond that a survey of one reach does not stand for another's: a larger disc
// parts the shape otherwise, joins places that a smaller one counts singly, and
// averages over longer stretches. So each film is surveyed with its own disc, also where
// one of larger limits holds: a slot shorter than its limit is no thin part to that.
type chooser struct {
	ink     *raster.Ink
	opt     Options // without Checks
	order   Order
	asked   float64 // engraved width, mm
	look    *Survey // not measured
	known   raster.Known
	surveys []*Survey           // of several reaches
	made    int                 // how many surveys were made
	likely  int                 // and how many there may be
	full    map[*Survey]*Survey // those that know the narrowest of each kind
	judged  []judgement         // at the size asked for
	tried   []judgement         // at any
	widths  []width
}

// judgement is a film judged at an engraved width.
type judgement struct {
	film Film
	mm   float64
	*Report
}

// Bounds of the search for the smallest width. A survey whose reach is the film's
// to within sameReach, the last digits, serves as the film's own (to within a
// five-hundredth, 1 in 120 of the widths found did not hold); nearEnough of a
// width that holds need not hold.
const (
	mostSteps  = 12
	sameReach  = 1 + 1e-9
	nearEnough = 0.98
)

func newChooser(ink *raster.Ink, look *Survey, order Order, opt Options) *chooser {
	opt.Checks = nil
	return &chooser{ink: ink, opt: opt, order: order, asked: look.Artwork.WidthMM, look: look, full: map[*Survey]*Survey{}}
}

// films finds how the artwork fares on every film, the thinnest first.
func (c *chooser) films(films []Film) []FilmChoice {
	films = slices.Clone(films)
	slices.SortStableFunc(films, func(a, b Film) int {
		return cmp.Or(cmp.Compare(b.ThicknessUM, a.ThicknessUM), cmp.Compare(b.Limits[raster.Line].SafeUM, a.Limits[raster.Line].SafeUM))
	})
	c.likely = len(films) + 3
	for _, f := range films {
		for _, l := range f.Limits {
			c.known.Reach = math.Max(c.known.Reach, l.SafeUM/c.look.Artwork.UMPerPx())
		}
	}
	for _, f := range films {
		c.judged = append(c.judged, judgement{f, c.asked, c.judge(f, c.asked)})
	}
	var out []FilmChoice
	for _, f := range films {
		out = append(out, c.film(f))
	}
	slices.SortStableFunc(out, func(a, b FilmChoice) int { return cmp.Compare(a.Film.ThicknessUM, b.Film.ThicknessUM) })
	c.raise(out)
	return out
}

// raise raises the width a film holds from to that of one of no larger limits, under
// which it cannot hold either, and judges it there: it may need a larger one still. What a
// film is raised to may itself be raised, so those of the least limits come first.
func (c *chooser) raise(films []FilmChoice) {
	byLimits := make([]*FilmChoice, len(films))
	for i := range films {
		byLimits[i] = &films[i]
	}
	sum := func(f *FilmChoice) (all float64) {
		for _, l := range f.Film.Limits {
			all += l.FailUM + l.SafeUM
		}
		return all
	}
	slices.SortStableFunc(byLimits, func(a, b *FilmChoice) int { return cmp.Compare(sum(a), sum(b)) })
	for i, f := range byLimits {
		least := f.HoldsFromWidthMM
		for _, g := range byLimits[:i] {
			if noLess(&f.Film, &g.Film) && !g.NeverHolds {
				least = math.Max(least, g.HoldsFromWidthMM)
			}
		}
		if f.NeverHolds || least <= f.HoldsFromWidthMM {
			continue
		}
		f.HoldsFromWidthMM = least
		if c.judge(f.Film, least).Verdict > Holds {
			w := c.search(f.Film, Holds)
			f.HoldsFromWidthMM, f.NeverHolds = w.mm, w.never
		}
	}
}

// judgedAsked returns how a film was judged at the size asked for.
func (c *chooser) judgedAsked(f Film) *Report {
	for _, g := range c.judged {
		if g.film == f {
			return g.Report
		}
	}
	return nil
}

// film puts together how the artwork fares on one film.
func (c *chooser) film(f Film) FilmChoice {
	out := FilmChoice{Film: f}
	w := c.smallest(f, Holds)
	r := c.judgedAsked(f)
	if !w.never && r.Verdict != Holds && w.mm <= c.asked {
		w = c.search(f, Holds) // beyond the size asked for
	}
	if !w.never && r.Verdict == Holds && w.mm > c.asked && nearEnough*w.mm <= c.asked {
		// The width found is the one asked for, but for the rounding up or for
		// what the search does not look into.
		w.mm = c.asked
	}
	c.widths = append(c.widths, w)
	out.HoldsFromWidthMM, out.NeverHolds = w.mm, w.never
	if w.never || w.mm > c.asked {
		if r.Verdict == Holds {
			out.WorseAtMM = w.lost
		}
		out.Verdict, out.Counts, out.Marks = max(r.Verdict, AtRisk), r.Counts, r.Marks
	}
	fails := c.smallest(f, AtRisk)
	c.widths = append(c.widths, fails)
	if out.FailsBelowWidthMM = fails.mm; fails.never {
		out.FailsBelowWidthMM = math.Inf(1)
	}
	out.Tightest = f.tightest(c.finest(f))
	return out
}

// at is a survey at an engraved width. At the one asked for it is left as it
// is, to the last digit, for the width is rounded to the nanometre.
func (c *chooser) at(s *Survey, widthMM float64) *Survey {
	if widthMM == c.asked {
		return s
	}
	return s.AtWidth(widthMM)
}

// reach is the safe limits of a film at an engraved width, in pixels.
func (c *chooser) reach(f Film, widthMM float64) (reach [4]float64) {
	um := c.at(c.look, widthMM).Artwork.UMPerPx()
	for k, l := range f.Limits {
		reach[k] = l.SafeUM / um
	}
	return reach
}

// surveyed returns the survey whose reach is a film's at an engraved width; nil
// when there is none.
func (c *chooser) surveyed(reach [4]float64) *Survey {
	var best *Survey
	bestOver := sameReach
	for _, s := range c.surveys {
		over := 1.0
		for k := range reach {
			if s.Reach[k] < reach[k]*(1-1e-9) {
				over = math.Inf(1)
				break
			}
			over = math.Max(over, s.Reach[k]/reach[k])
		}
		if over <= bestOver {
			best, bestOver = s, over
		}
	}
	return best
}

// measure measures for a reach. The widths of lines and strips of which none is
// under its limit are left out.
func (c *chooser) measure(reach [4]float64, enough bool) *Survey {
	s := *c.look
	s.Reach = reach
	req := raster.Request{Bare: true, Enough: enough, Known: &c.known}
	if tell := c.order.telling("measuring"); tell != nil {
		made := float64(min(c.made, c.likely-1))
		req.Progress = func(share float64) { tell((made + share) / float64(c.likely)) }
	}
	c.made++
	s.measure(c.ink, req)
	return &s
}

// judge judges a film at an engraved width on a survey whose reach is that of
// the film there, as check would make it.
func (c *chooser) judge(f Film, widthMM float64) *Report {
	reach := c.reach(f, widthMM)
	s := c.surveyed(reach)
	if s == nil {
		s = c.measure(reach, false)
		c.surveys = append(c.surveys, s)
	}
	r := Judge(c.at(s, widthMM), f, c.opt)
	c.tried = append(c.tried, judgement{f, widthMM, r})
	return r
}

// does reports whether a film's verdict at an engraved width is no worse than level.
// Where it does not hold the measuring stops at the first place that says so, if holding
// is what is asked for.
func (c *chooser) does(f Film, widthMM float64, level Verdict) bool {
	reach := c.reach(f, widthMM)
	s := c.surveyed(reach)
	if s == nil && level == Holds {
		s = c.measure(reach, true)
		if len(s.Measured.Features) > 0 { // it stopped: not all of them are known
			return false
		}
		c.surveys = append(c.surveys, s)
	}
	return c.judge(f, widthMM).Verdict <= level
}

// inFull is a film's survey at the size asked for, with the narrowest of each
// kind whether it holds or not, as Take makes it.
func (c *chooser) inFull(f Film) *Survey {
	c.judge(f, c.asked)
	bare := c.surveyed(c.reach(f, c.asked))
	if s := c.full[bare]; s != nil {
		return s
	}
	s, m := *bare, *bare.Measured
	for _, k := range [2]raster.Kind{raster.Line, raster.Strip} {
		if m.Finest[k].Found {
			continue
		}
		if m.Finest[k] = raster.Narrowest(c.ink, k, s.Reach[k]); m.Finest[k].Found {
			m.Finest[k].PlusMinus += s.doubt
		}
	}
	s.Measured = &m
	c.full[bare] = &s
	return &s
}

// notes are those of a film at the size asked for, as check gives them.
func (c *chooser) notes(f Film, opt Options) []Note {
	c.judge(f, c.asked)
	s := *c.surveyed(c.reach(f, c.asked))
	if len(opt.Checks) > 0 || c.mayDoubt(f, &s) {
		s = *c.inFull(f)
	}
	s.Openings = openingsUnder(c.ink, &s, c.order.OpeningsUM)
	return Judge(&s, f, opt).Notes
}

// mayDoubt reports whether the narrowest line or strip that a film's survey did
// not find, for it holds, may lie so near its limit that a note must say so. What
// surveys of larger reach read may be wider than it: 16 % was seen, on
// boathouse-plate, and a third is allowed. A width is sure to two pixels, with grey edges
// to one and a half, and what soft and grainy ones add: of the accuracy table's sets the
// least sure are so to 1.75 and 1.27.
func (c *chooser) mayDoubt(f Film, s *Survey) bool {
	finest := c.finest(f)
	sure := 2 * c.look.Artwork.UMPerPx()
	if !c.ink.Bilevel() {
		sure = (1.5 + s.doubt) * c.look.Artwork.UMPerPx()
	}
	for _, k := range [2]raster.Kind{raster.Line, raster.Strip} {
		if s.Measured.Finest[k].Found {
			continue
		}
		least := 0.0 // as far as is known
		for _, g := range c.judged {
			if noLess(&g.film, &f) {
				least = math.Max(least, g.film.Limits[k].SafeUM)
			}
		}
		if finest[k].Found {
			least = finest[k].WidthUM
		}
		if least < f.Limits[k].SafeUM*4/3+sure {
			return true
		}
	}
	return false
}
