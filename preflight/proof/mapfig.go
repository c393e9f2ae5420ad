package proof

import (
	"fmt"
	"math"
	"sort"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// bannerRatio is the width to height from which on letters stand above and
// below the map instead of beside it.
const bannerRatio = 1.8

// mapPPI is the resolution of the map: its grey is printed as a screen of dots,
// and those are no finer.
const mapPPI = 400

// mapFigure draws the artwork in grey with the places outlined and lettered.
// It is as wide as given and no higher than maxHigh, letters included.
func mapFigure(a *art, ps []*place, ms []preflight.Mark, width, maxHigh float64) *sheet.Figure {
	ratio := a.widthM / a.height
	if ratio > bannerRatio && len(ps) > 0 {
		return bannerMap(a, ps, ms, width, maxHigh)
	}
	const pad = ringDisc + 0.3
	pw := math.Min(width-2*ringMargin, a.widthM*mostLarger)
	ph := pw / ratio
	if high := maxHigh - 2*pad; ph > high {
		ph = high
		pw = ph * ratio
	}
	px, py := (width-pw)/2, pad
	os := outlines(ps, ms, pw/a.widthM, px, py)
	ls := ring(os, px, py, pw, ph)
	if over := overhang(ls); over > 0 {
		py += over
		os = outlines(ps, ms, pw/a.widthM, px, py)
		ls = ring(os, px, py, pw, ph)
	}
	return drawMap(a, ps, ms, os, ls, sheet.Picture{X: px, Y: py, W: pw, H: ph}, width)
}

// mostLarger is how many times larger a map shows a tiny artwork at most.
const mostLarger = 10

// overhang returns how far discs stand above the figure, of a picture so low
// that its margins have no room for them all.
func overhang(ls []leader) float64 {
	over := 0.0
	for _, l := range ls {
		over = math.Max(over, ringDisc+0.3-l.disc.Y)
	}
	return over
}

// bannerMap is the same with x and y exchanged: the ring is placed on the
// transposed map and turned back.
func bannerMap(a *art, ps []*place, ms []preflight.Mark, width, maxHigh float64) *sheet.Figure {
	ratio := a.widthM / a.height
	pw := math.Min(width-2*(ringDisc+0.3), a.widthM*mostLarger)
	ph := pw / ratio
	if high := maxHigh - 2*ringMargin; ph > high {
		ph = high
		pw = ph * ratio
	}
	px, py := (width-pw)/2, ringMargin
	os := outlines(ps, ms, pw/a.widthM, px, py)
	ls := ringAbove(os, px, py, pw, ph)
	return drawMap(a, ps, ms, os, ls, sheet.Picture{X: px, Y: py, W: pw, H: ph}, width)
}

// ringAbove is ring with the letters in margins above and below the picture.
func ringAbove(os []outline, px, py, pw, ph float64) []leader {
	turned := make([]outline, len(os))
	for i, o := range os {
		t := outline{box: rect{o.box.y0, o.box.x0, o.box.y1, o.box.x1}}
		for _, r := range o.rings {
			t.rings = append(t.rings, transpose(r))
		}
		turned[i] = t
	}
	ls := ring(turned, py, px, ph, pw)
	for i := range ls {
		l := &ls[i]
		l.disc, l.knee, l.anchor = swap(l.disc), swap(l.knee), swap(l.anchor)
	}
	return ls
}

func swap(p sheet.Pt) sheet.Pt { return sheet.Pt{X: p.Y, Y: p.X} }

func transpose(r []sheet.Pt) []sheet.Pt {
	out := make([]sheet.Pt, len(r))
	for i, p := range r {
		out[i] = swap(p)
	}
	return out
}

func outlines(ps []*place, ms []preflight.Mark, scale, ox, oy float64) []outline {
	os := make([]outline, len(ps))
	for i, p := range ps {
		if p.scattered {
			// the letter leads to the narrowest; every mark gets its own glyph
			m := *p.tightest
			c := sheet.Pt{X: ox + m.At.X*scale, Y: oy + m.At.Y*scale}
			os[i].rings = [][]sheet.Pt{offsetHull([]sheet.Pt{c}, scatterRing)}
			os[i].box = bounds(os[i].rings[0])
			continue
		}
		os[i] = outlineOf(p, ms, scale, ox, oy)
	}
	return os
}

// The signs of a scattered place, in millimetres of paper.
const (
	scatterGlyph = 1.5 // side of the glyph
	scatterRing  = 1.2 // radius of its ring
	scatterApart = 2.3 // least distance of two signs
)

func drawMap(a *art, ps []*place, ms []preflight.Mark, os []outline, ls []leader, pic sheet.Picture, width float64) *sheet.Figure {
	f := &sheet.Figure{W: width}
	pic.Source = whole{a, inkMap, pixelsAt(pic.W, mapPPI)}
	f.Add(pic)
	high := pic.Y + pic.H
	for _, l := range ls {
		f.Add(leadPath(l).Stroked(inkWhite, 1.1))
		high = math.Max(high, l.disc.Y+ringDisc)
	}
	// the bigger first, so that a hull within another shows
	byArea := make([]int, len(os))
	for i := range byArea {
		byArea[i] = i
	}
	sort.SliceStable(byArea, func(i, j int) bool { return os[byArea[i]].box.area() > os[byArea[j]].box.area() })
	for _, i := range byArea {
		if ps[i].scattered {
			continue
		}
		w := outlineCase
		if ps[i].kind == raster.Strip {
			w = doubleCase
		}
		f.Add(ringPath(os[i]).Stroked(inkWhite, w))
	}
	for _, i := range byArea {
		if ps[i].scattered {
			continue
		}
		p := ringPath(os[i])
		if ps[i].verdict == preflight.AtRisk {
			p.Dash = riskDash
		}
		ink := verdictInk(ps[i].verdict)
		if ps[i].kind == raster.Strip {
			f.Add(p.Stroked(ink, doubleLine))
			p.Dash = nil
			f.Add(p.Stroked(inkWhite, doubleGap))
			continue
		}
		f.Add(p.Stroked(ink, outlineLine))
	}
	scatterGlyphs(f, ps, ms, os, pic, a) // over the outlines, which are larger and may be cut
	for _, l := range ls {
		f.Add(leadPath(l).Stroked(inkText, 0.28), sheet.Circle(l.anchor.X, l.anchor.Y, 0.5).Filled(inkText))
	}
	for i, l := range ls {
		f.Place(letterDisc(ps[i].letter, ps[i].verdict == preflight.Fails, ringDisc), l.disc.X, l.disc.Y)
		f.Name(sheet.Box{Role: "label", Place: ps[i].letter, X: l.disc.X - ringDisc, Y: l.disc.Y - ringDisc, W: 2 * ringDisc, H: 2 * ringDisc})
		f.Name(sheet.Box{Role: "outline", Place: ps[i].letter, X: os[i].box.x0, Y: os[i].box.y0, W: os[i].box.x1 - os[i].box.x0, H: os[i].box.y1 - os[i].box.y0})
	}
	f.H = high + 0.5
	return f
}

func leadPath(l leader) sheet.Path {
	p := sheet.Poly(false, l.disc, l.knee, l.anchor)
	p.Round = true
	return p
}

func ringPath(o outline) sheet.Path {
	var p sheet.Path
	for _, r := range o.rings {
		p = p.And(sheet.Poly(true, r...))
	}
	return p
}

// scatterGlyphs draws a sign at every member of the scattered places: the
// kind's glyph in a ring, dashed when at risk.
func scatterGlyphs(f *sheet.Figure, ps []*place, ms []preflight.Mark, os []outline, pic sheet.Picture, a *art) {
	signs := scatterSigns(ps, ms, os, pic, a.widthM)
	for _, of := range signs {
		for _, q := range of {
			f.Add(sheet.Circle(q.X, q.Y, scatterRing+0.3).Filled(inkWhite))
		}
	}
	for i, p := range ps {
		ink := verdictInk(p.verdict)
		for _, q := range signs[i] {
			c := sheet.Circle(q.X, q.Y, scatterRing).Stroked(ink, 0.28)
			if p.verdict == preflight.AtRisk {
				c = c.Dashed(0.7, 0.45)
			}
			f.Add(c)
			f.Place(glyph(p.kind, scatterGlyph, ink), q.X-scatterGlyph/2, q.Y-scatterGlyph/2)
		}
	}
}

// scatterSigns returns where the signs of each place stand. The narrowest of
// each place has its sign, for the letter leads there. Then the places take
// turns, so that none crowds the others out, and a member whose sign would cover
// one that is there, or much of a small outline, does without. The picture shows
// an artwork so many millimetres wide.
func scatterSigns(ps []*place, ms []preflight.Mark, os []outline, pic sheet.Picture, widthMM float64) [][]sheet.Pt {
	scale := pic.W / widthMM
	var all []sheet.Pt
	signs := make([][]sheet.Pt, len(ps))
	queues := make([][]sheet.Pt, len(ps))
	left := 0
	for i, p := range ps {
		if !p.scattered {
			continue
		}
		at := func(q preflight.PointMM) sheet.Pt { return sheet.Pt{X: pic.X + q.X*scale, Y: pic.Y + q.Y*scale} }
		q := at(p.tightest.At)
		all, signs[i] = append(all, q), append(signs[i], q)
		for _, k := range p.marks {
			m := &ms[k]
			if len(m.Ats) == 0 {
				queues[i] = append(queues[i], at(m.At))
			}
			for _, q := range m.Ats {
				queues[i] = append(queues[i], at(q))
			}
		}
		left += len(queues[i])
	}
	for left > 0 {
		for i := range queues {
			for len(queues[i]) > 0 {
				q := queues[i][0]
				queues[i] = queues[i][1:]
				left--
				if !near(all, q, scatterApart) && !hides(ps, os, q) {
					all, signs[i] = append(all, q), append(signs[i], q)
					break
				}
			}
		}
	}
	return signs
}

// smallOutline is the longest side, in millimetres of paper, of an outline that
// a sign or two would hide.
const smallOutline = 8.0

// hides reports whether a sign at q would cover a small outline's line.
func hides(ps []*place, os []outline, q sheet.Pt) bool {
	for i, o := range os {
		b := o.box
		if ps[i].scattered || math.Max(b.x1-b.x0, b.y1-b.y0) > smallOutline {
			continue
		}
		for _, r := range o.rings {
			for k, p := range r {
				n := nearestOn(p, r[(k+1)%len(r)], q)
				if math.Hypot(n.X-q.X, n.Y-q.Y) < scatterRing+0.6 {
					return true
				}
			}
		}
	}
	return false
}

// near reports whether q is within d of one of ps.
func near(ps []sheet.Pt, q sheet.Pt, d float64) bool {
	for _, p := range ps {
		if math.Hypot(p.X-q.X, p.Y-q.Y) < d {
			return true
		}
	}
	return false
}

func (c *content) mapAlt() string { return fmt.Sprintf(c.w.MapAlt, c.w.letters(lettersOf(c.places))) }
