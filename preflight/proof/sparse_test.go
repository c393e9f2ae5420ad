package proof

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// manyAt is one mark of many dots of 0.1 mm at the given places.
func manyAt(ps ...preflight.PointMM) preflight.Mark {
	m := preflight.Mark{ID: 1, Kind: raster.Dot, Verdict: preflight.Fails, Count: len(ps), WidthUM: 100, FailUM: 114, SafeUM: 152, At: ps[0]}
	for _, p := range ps {
		m.Boxes = append(m.Boxes, preflight.BoxMM{X0: p.X - 0.05, Y0: p.Y - 0.05, X1: p.X + 0.05, Y1: p.Y + 0.05})
		m.Ats = append(m.Ats, p)
	}
	m.Box = m.Boxes[0]
	for _, b := range m.Boxes {
		m.Box = union(m.Box, b)
	}
	return m
}

// TestSparse: an outline stands for what fills it; what lies along a ring, in
// far corners or in a box that it does not fill gets a sign each.
func TestSparse(t *testing.T) {
	var field, ring []preflight.PointMM
	for y := 20.0; y < 60; y++ {
		for x := 20.0; x < 60; x++ {
			field = append(field, preflight.PointMM{X: x, Y: y})
		}
	}
	for i := range 120 {
		s, c := math.Sincos(float64(i) * math.Pi / 60)
		ring = append(ring, preflight.PointMM{X: 40 + 30*c, Y: 40 + 30*s})
	}
	longBox := manyAt(field[:30]...)
	longBox.Boxes[7] = preflight.BoxMM{X0: 5, Y0: 5, X1: 70, Y1: 70}
	for _, c := range []struct {
		name string
		mark preflight.Mark
		want bool
	}{
		{"a halftone over a quarter of the artwork", manyAt(field...), false},
		{"a word's width of dots", manyAt(field[:12]...), false},
		{"a ring of dots", manyAt(ring...), true},
		{"the four corners", manyAt([]preflight.PointMM{{X: 2, Y: 2}, {X: 78, Y: 2}, {X: 2, Y: 78}, {X: 78, Y: 78}}...), true},
		{"two dots far apart", manyAt(field[0], field[len(field)-1]), true},
		{"one of them a ring as wide as the artwork", longBox, true},
		{"one dot", manyAt(field[0]), false},
	} {
		r := &preflight.Report{Artwork: preflight.Artwork{WidthMM: 80, HeightMM: 80}, Marks: []preflight.Mark{c.mark}}
		ps := places(r)
		require.Len(t, ps, 1)
		assert.Equal(t, c.want, ps[0].scattered, c.name)
	}
}

// TestSpecks: dust is a place of its own with words of its own, and the remedies
// say what holds without it.
func TestSpecks(t *testing.T) {
	e := some(600, 40, 40, 3, preflight.Fails)
	dust := manyAt(preflight.PointMM{X: 1, Y: 1}, preflight.PointMM{X: 39, Y: 39})
	dust.Specks, dust.WidthUM = true, 10
	for i := range 15 { // enough to be joined
		m := manyAt(preflight.PointMM{X: 20 + float64(i)/20, Y: 20})
		m.ID = i + 10
		e.r.Marks = append(e.r.Marks, m)
	}
	e.r.Marks = append(e.r.Marks, dust)
	e.r.SufficesFromWidthMM, e.r.HoldsFromWidthMM = 40*15.2, 0 // for the dust, which is a fifteenth of its limit
	const clean = 57.3
	e.r.CleanFromWidthMM = clean
	e.r.Verdict = preflight.Fails
	job := testJob()
	job.Artwork = ""
	e.r.Artwork.File = "orders/may/crest.png"
	c := newContent(e.r, e.ink, job)
	n := 0
	for _, k := range c.cards {
		if k.place.specks {
			n++
			assert.Len(t, k.place.marks, 1)
			assert.Contains(t, k.head, "2 black specks")
			assert.Contains(t, k.effect, "Probably dust")
		}
	}
	require.Equal(t, 1, n)
	enough, _ := c.remedies()
	require.Len(t, enough, 2)
	assert.Contains(t, enough[0].text, "erase 2 specks")
	assert.Equal(t, "Once the specks are erased, all of it comes out as drawn from "+c.n.sizeUp(clean)+" wide.", enough[1].text)
	e.r.HoldsFromWidthMM = 40 * 4
	text, ok := c.larger()
	assert.True(t, ok)
	assert.Equal(t, "From "+c.n.sizeUp(160)+" wide all of it comes out as drawn. Without the specks, from "+c.n.sizeUp(clean)+".", text)
	assert.Equal(t, "crest.png", c.job.Artwork)

	e.r.Marks, e.r.CleanFromWidthMM = []preflight.Mark{dust}, 40
	enough, _ = newContent(e.r, e.ink, job).remedies()
	assert.Equal(t, "Erase 2 specks (A).", enough[0].text)
	assert.Contains(t, enough[1].text, "Without the specks all comes out at this size.")
	e.r.HoldsFromWidthMM = 0
	enough, not := newContent(e.r, e.ink, job).remedies()
	assert.Len(t, enough, 1, "erasing them is enough")
	assert.NotContains(t, not, "Carving it larger")

	c = newContent(e.r, e.ink, job)
	assert.Equal(t, c.w.OnlyOne, c.remedyIntro(1))
	assert.Equal(t, c.w.AnyOne, c.remedyIntro(2))
	notes := e.r.Notes
	e.r.Notes = []preflight.Note{{Code: preflight.NoteGreyAreas, Values: map[string]float64{"area_mm2": 3}}}
	assert.Equal(t, c.w.GreyFirst, c.remedyIntro(1), "erasing them is not enough")
	e.r.Notes[0].Values["ruling_lpi"] = 60
	assert.Equal(t, c.w.OnlyOne, c.remedyIntro(1))
	e.r.Notes = notes

	// corners that meet: neither thickening nor a size helps
	corner := manyAt(preflight.PointMM{X: 20, Y: 20})
	corner.Corner, corner.Kind = true, raster.Line
	all, from := e.r.Marks, e.r.HoldsFromWidthMM
	e.r.Marks, e.r.HoldsFromWidthMM = []preflight.Mark{corner}, 60
	c = newContent(e.r, e.ink, job)
	enough, not = c.remedies()
	require.Len(t, enough, 1)
	assert.Contains(t, enough[0].text, "oin or part")
	assert.NotContains(t, not, "arger")
	assert.Contains(t, c.cards[0].advice, "Join them or part them")
	assert.Empty(t, c.cards[0].extra)
	e.r.Marks, e.r.HoldsFromWidthMM = all, from

	// without dust: what is too much larger is told, and is no remedy
	m := manyAt(preflight.PointMM{X: 20, Y: 20})
	m.WidthUM = m.SafeUM / 15.2
	e.r.Marks, e.r.CleanFromWidthMM = []preflight.Mark{m}, 0
	c = newContent(e.r, e.ink, job)
	enough, not = c.remedies()
	assert.Len(t, enough, 1)
	assert.Contains(t, not, "only at about 15 times the width.")
	assert.NotContains(t, c.cards[0].advice, "carve the whole")

	// near enough by the widths, but none that was judged holds: nothing is said
	e.r.SufficesFromWidthMM = 60
	enough, not = c.remedies()
	assert.Len(t, enough, 1)
	assert.NotContains(t, not, "larger")
}

// TestValueClearsTheArrows: wherever the arrows come from, the value's box covers
// neither of their heads and stays in the frame.
func TestValueClearsTheArrows(t *testing.T) {
	for deg := 0.0; deg < 180; deg += 5 {
		for _, half := range []float64{0.3, 0.6, 1.5, 3} {
			s, c := math.Sincos(deg * math.Pi / 180)
			b := roomiest(closeW, closeH, -c, -s, half, 17)
			assert.True(t, b.x0 >= 0.8-1e-9 && b.y0 >= 0.8-1e-9 && b.x1 <= closeW-0.8+1e-9 && b.y1 <= closeH-0.8+1e-9, "%v at %v leaves the frame", half, deg)
			for _, sign := range []float64{-1, 1} {
				for _, along := range []float64{0, headLong} {
					d := half + along
					assert.Greater(t, gap(b, closeW/2+sign*c*d, closeH/2+sign*s*d), 0.2, "half %v at %v degrees, along %v", half, deg, along)
				}
			}
		}
	}
}

// TestBenchLeavesDustAside: what the abrasive has to enter, and how deep, is not
// ruled by dust.
func TestBenchLeavesDustAside(t *testing.T) {
	e := some(600, 40, 40, 0, preflight.Fails)
	dust := manyAt(preflight.PointMM{X: 1, Y: 1}, preflight.PointMM{X: 39, Y: 39})
	dust.Specks, dust.WidthUM = true, 10
	dot := manyAt(preflight.PointMM{X: 20, Y: 20})
	dot.ID = 2
	e.r.Marks = []preflight.Mark{dust, dot}
	e.r.Finest = [4]preflight.Finest{raster.Dot: {Found: true, WidthUM: 10}}
	b := &bench{content: newContent(e.r, e.ink, testJob())}
	ps, narrowest, at := b.openings()
	require.Len(t, ps, 1)
	assert.Same(t, ps[0], at)
	assert.Equal(t, dot.WidthUM, narrowest)
}

// TestScatteredPlacesTakeTurns: of two scattered places that cover the same
// ground neither crowds the other's signs out, and no sign covers another.
func TestScatteredPlacesTakeTurns(t *testing.T) {
	var at [2][]preflight.PointMM
	for y := 1.0; y < 40; y++ {
		for x := 1.0; x < 40; x++ {
			i := int(x) % 2
			at[i] = append(at[i], preflight.PointMM{X: x, Y: y})
		}
	}
	ms := []preflight.Mark{manyAt(at[0]...), manyAt(at[1]...)}
	var ps []*place
	for i := range ms {
		ps = append(ps, &place{kind: raster.Dot, verdict: [2]preflight.Verdict{preflight.Fails, preflight.AtRisk}[i], marks: []int{i}, tightest: &ms[i], scattered: true})
	}
	signs := scatterSigns(ps, ms, nil, sheet.Picture{W: 60}, 40)
	require.Len(t, signs, 2)
	assert.Greater(t, len(signs[0]), 100)
	assert.InDelta(t, len(signs[0]), len(signs[1]), 0.1*float64(len(signs[0])))
	all := append(append([]sheet.Pt(nil), signs[0]...), signs[1]...)
	for i, p := range all[2:] { // the first of each is its narrowest, wherever that is
		assert.False(t, near(all[2:][:i], p, scatterApart), "signs on each other at %v", p)
	}

	// a small outline among them stays free
	one := manyAt(preflight.PointMM{X: 20, Y: 20})
	ps, ms = append(ps, &place{kind: raster.Dot, marks: []int{2}, tightest: &one}), append(ms, one)
	os := outlines(ps, ms, 1.5, 0, 0)
	signs = scatterSigns(ps, ms, os, sheet.Picture{W: 60}, 40)
	assert.Empty(t, signs[2])
	for _, of := range signs[:2] {
		for _, q := range of[1:] {
			assert.False(t, hides(ps, os, q), "a sign on the outline at %v", q)
		}
	}
}

// TestBenchSaysWhyThisFilm: how the film stands beside the others at this size.
func TestBenchSaysWhyThisFilm(t *testing.T) {
	e := some(300, 40, 40, 0, preflight.Holds)
	film := func(name string, um float64, v preflight.Verdict) FilmOutcome {
		return FilmOutcome{Film: preflight.Film{Name: name, ThicknessUM: um}, Verdict: v}
	}
	const holds, risk, fails = preflight.Holds, preflight.AtRisk, preflight.Fails
	for _, c := range []struct {
		why           string
		mine          preflight.Verdict
		two, me, four preflight.Verdict
		want          string
	}{
		{"a thicker one stands longer", holds, holds, holds, holds, "4" + nbsp + "mil would hold it too."},
		{"nothing better", holds, holds, holds, risk, "The thickest that holds it."},
		{"a thinner one would do", fails, holds, fails, fails, "2" + nbsp + "mil would hold it."},
		{"none", risk, risk, risk, fails, "None holds it at this size."},
		{"odd limits", risk, fails, risk, holds, ""},
	} {
		e.r.Verdict = c.mine
		b := &bench{content: newContent(e.r, e.ink, testJob())}
		assert.Empty(t, b.filmWhy(), "no films to compare with")
		b.facts.Films = []FilmOutcome{film("2 mil", 50.8, c.two), film("3 mil", 76.2, c.me), film("4 mil", 101.6, c.four)}
		assert.Equal(t, c.want, b.filmWhy(), c.why)
	}
}
