package preflight

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
)

// noteOf returns the report's only note of a code.
func noteOf(t *testing.T, r *Report, code NoteCode) Note {
	t.Helper()
	var found []Note
	for _, n := range r.Notes {
		if n.Code == code {
			found = append(found, n)
		}
	}
	require.Len(t, found, 1, "notes of code %s among %v", code, r.Notes)
	return found[0]
}

func hasNote(r *Report, code NoteCode) bool {
	for _, n := range r.Notes {
		if n.Code == code {
			return true
		}
	}
	return false
}

func TestSizeSettle(t *testing.T) {
	for _, c := range []struct {
		name string
		ask  Size
		meta float64
		ppi  float64
		from string
	}{
		{"metadata", Size{}, 300, 300, "metadata"},
		{"width wins over metadata", Size{WidthUM: 50800}, 300, 500, "width"},
		{"height", Size{HeightUM: 25400}, 0, 400, "height"},
		{"dpi", Size{PxPerInch: 600}, 300, 600, "dpi"},
	} {
		ppi, from, err := c.ask.settle(1000, 400, c.meta)
		require.NoError(t, err, c.name)
		assert.Equal(t, c.ppi, ppi, c.name)
		assert.Equal(t, c.from, from, c.name)
	}
	for _, c := range []struct {
		name string
		ask  Size
		hint string
	}{
		{"unknown", Size{}, "--width 80mm"},
		{"no size at all", Size{WidthUM: 1}, "check the number"},
		{"absurd dpi", Size{PxPerInch: 1e9}, "check the number"},
		{"not a number", Size{PxPerInch: math.Inf(1)}, "check the number"},
	} {
		_, _, err := c.ask.settle(1000, 400, 0)
		var p *Problem
		require.True(t, errors.As(err, &p), c.name)
		assert.Contains(t, p.Do, c.hint, c.name)
	}
}

func TestSizeDoubts(t *testing.T) {
	for _, c := range []struct {
		name string
		a    Artwork
		why  string
	}{
		{"300 ppi", Artwork{PxPerInch: 300, SizeFrom: "metadata", WidthMM: 80, HeightMM: 60}, ""},
		{"72 ppi", Artwork{PxPerInch: 72, SizeFrom: "metadata", WidthMM: 80, HeightMM: 60}, "unset"},
		{"72 ppi as PNG says it", Artwork{PxPerInch: 2835 * .0254, SizeFrom: "metadata", WidthMM: 80, HeightMM: 60}, "unset"},
		{"96 ppi", Artwork{PxPerInch: 96.012, SizeFrom: "metadata", WidthMM: 80, HeightMM: 60}, "unset"},
		{"72 ppi by choice", Artwork{PxPerInch: 72, SizeFrom: "dpi", WidthMM: 80, HeightMM: 60}, ""},
		{"73 ppi", Artwork{PxPerInch: 73, SizeFrom: "metadata", WidthMM: 80, HeightMM: 60}, ""},
		{"smaller than a badge", Artwork{PxPerInch: 300, SizeFrom: "dpi", WidthMM: 4.9, HeightMM: 3}, "small"},
		{"a badge", Artwork{PxPerInch: 300, SizeFrom: "dpi", WidthMM: 3, HeightMM: 5}, ""},
		{"a door panel", Artwork{PxPerInch: 300, SizeFrom: "dpi", WidthMM: 900, HeightMM: 2500}, ""},
		{"larger", Artwork{PxPerInch: 300, SizeFrom: "width", WidthMM: 900, HeightMM: 2501}, "large"},
	} {
		notes := sizeDoubts(&c.a)
		if c.why == "" {
			assert.Empty(t, notes, c.name)
			continue
		}
		require.Len(t, notes, 1, c.name)
		assert.Equal(t, c.why, notes[0].Words["why"], c.name)
	}
}

func TestLowResolution(t *testing.T) {
	// 100 um a pixel, line's safe limit 150 um: 1.5 px. Four pixels in 150 um are
	// 677 to the inch, and the next that can be asked for is 900.
	s := surveyOf()
	assert.False(t, hasNote(Judge(s, plainFilm, Options{}), NoteLowResolution), "grey edges say more than pixels")
	s.Artwork.Bilevel = true
	n := noteOf(t, Judge(s, plainFilm, Options{}), NoteLowResolution)
	assert.Equal(t, 900.0, n.Values["needed_ppi"])
	assert.InDelta(t, 1.5, n.Values["safe_px"], 1e-9)
	assert.Zero(t, n.Count)
	// At exactly four pixels there is enough.
	s.Artwork.PxPerInch = 4 * 25400 / 150.0
	assert.False(t, hasNote(Judge(s, plainFilm, Options{}), NoteLowResolution))
}

func TestDoubtfulWidths(t *testing.T) {
	for _, c := range []struct {
		name              string
		width, plusMinus  float64 // px of 100 um; line fails below 1, safe from 1.5
		doubtful, changed bool
	}{
		{"sure", 0.8, 0.1, false, false},
		{"fails, or at risk", 0.95, 0.1, true, true},
		{"may just reach the limit", 0.75, 0.25, true, true},
		{"at the limit and may be under", 1, 0.01, true, true},
		{"at the limit and sure", 1, 0, false, false},
		{"at risk, or holds", 1.45, 0.1, true, true},
		{"holds, or at risk", 1.55, 0.1, true, false}, // no mark, but the finest line
		{"holds", 1.7, 0.1, false, false},
	} {
		f := feature(raster.Line, c.width, 10, 10)
		f.PlusMinus = c.plusMinus
		r := Judge(surveyOf(f), plainFilm, Options{})
		require.Equal(t, c.doubtful, hasNote(r, NoteLowResolution), c.name)
		if c.doubtful {
			n := noteOf(t, r, NoteLowResolution)
			assert.Equal(t, 1, n.Count, c.name)
			assert.Greater(t, n.Values["needed_ppi"], 254.0, c.name)
		}
		changed := false
		for i := range r.Marks {
			changed = changed || r.Marks[i].CouldChange()
		}
		assert.Equal(t, c.changed, changed, c.name)
	}
}

// drawn reads a plane drawn with # for ink and . for film.
func drawn(art string) *raster.Bits {
	rows := strings.Fields(art)
	b := raster.NewBits(len(rows[0]), len(rows))
	for y, row := range rows {
		for x, c := range row {
			if c == '#' {
				b.Set(x, y)
			}
		}
	}
	return b
}

func TestSurveyField(t *testing.T) {
	f := surveyField(drawn(`
		......
		..##..
		.###..
		......
		......`))
	assert.InDelta(t, 5.0/30, f.InkShare, 1e-12)
	assert.Zero(t, f.FrameShare)
	assert.Equal(t, raster.Box{X0: 1, Y0: 1, X1: 4, Y1: 3}, f.Ink)
	assert.Equal(t, [4]raster.Point{{X: 1.5, Y: 2.5}, {X: 3, Y: 1.5}, {X: 3.5, Y: 2}, {X: 2.5, Y: 2.5}}, f.Nearest)

	assert.Equal(t, Field{}, surveyField(drawn("...")))
	f = surveyField(drawn("#"))
	assert.Equal(t, 1.0, f.InkShare)
	assert.Equal(t, 1.0, f.FrameShare)
	// The frame of 3 x 2 is all six pixels, of 3 x 3 eight of nine.
	assert.InDelta(t, 0.5, surveyField(drawn("### ...")).FrameShare, 1e-12)
	assert.InDelta(t, 3.0/8, surveyField(drawn("### .#. ...")).FrameShare, 1e-12)
}

// The slow twin: every pixel by itself.
func TestSurveyFieldEqualsPixels(t *testing.T) {
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 3))
		b := raster.NewBits(1+rng.IntN(200), 1+rng.IntN(40))
		for range rng.IntN(20) {
			b.Set(rng.IntN(b.W), rng.IntN(b.H))
		}
		n, box := 0, raster.Box{X0: 1e9, Y0: 1e9}
		for y := range b.H {
			for x := range b.W {
				if b.Get(x, y) {
					n++
					box = raster.Box{X0: min(box.X0, float64(x)), Y0: min(box.Y0, float64(y)), X1: max(box.X1, float64(x+1)), Y1: max(box.Y1, float64(y+1))}
				}
			}
		}
		f := surveyField(b)
		require.InDelta(t, float64(n)/float64(b.W*b.H), f.InkShare, 1e-12)
		if n > 0 {
			require.Equal(t, box, f.Ink, "seed %d", seed)
		}
	}
}

func TestEdgeTouch(t *testing.T) {
	s := surveyOf() // ink 100 px = 10 mm clear of every side
	assert.False(t, hasNote(Judge(s, plainFilm, Options{}), NoteEdgeTouch))
	s.Field.Ink.X0, s.Field.Nearest[0] = 59, raster.Point{X: 59.5, Y: 300}
	n := noteOf(t, Judge(s, plainFilm, Options{}), NoteEdgeTouch)
	assert.Equal(t, 1, n.Count)
	assert.InDelta(t, 5.9, n.Values["left_mm"], 1e-9)
	assert.Equal(t, 6.0, n.Values["margin_mm"])
	assert.NotContains(t, n.Values, "top_mm")
	assert.InDelta(t, 5.95, n.Places[0].X, 1e-9)
	s.Field.Ink.X0 = 60
	assert.False(t, hasNote(Judge(s, plainFilm, Options{}), NoteEdgeTouch), "at the margin it is clear")
	assert.Equal(t, 4, noteOf(t, Judge(s, plainFilm, Options{TapeMarginMM: 12}), NoteEdgeTouch).Count)
}

func TestMaybeNegative(t *testing.T) {
	s := surveyOf()
	for _, c := range []struct {
		ink, frame float64
		want       bool
	}{{0.2, 0, false}, {0.5, 0.5, false}, {0.51, 0, true}, {0.2, 0.75, true}} {
		s.Field.InkShare, s.Field.FrameShare = c.ink, c.frame
		assert.Equal(t, c.want, hasNote(Judge(s, plainFilm, Options{}), NoteMaybeNegative), "%v", c)
	}
	s.Artwork.Negative = true
	assert.Equal(t, "negative", noteOf(t, Judge(s, plainFilm, Options{}), NoteMaybeNegative).Words["taken_as"])
}

// Where two parts of the ink meet by a corner neither a finer file nor a larger size is asked
// for; they are gathered by themselves.
func TestCornersMeetNote(t *testing.T) {
	line := feature(raster.Line, 0.47, 300, 300)
	line.PlusMinus, line.Corner = 1.9, true
	s := surveyOf(line)
	r := Judge(s, plainFilm, Options{})
	require.Len(t, r.Marks, 1)
	assert.Equal(t, Fails, r.Verdict)
	assert.True(t, r.Marks[0].Corner)
	assert.False(t, r.Marks[0].CouldChange())
	assert.True(t, r.CornersMeet())
	assert.Empty(t, r.doubtful())
	n := noteOf(t, r, NoteCornersMeet)
	assert.Equal(t, 1, n.Count)
	assert.Equal(t, []PointMM{r.Marks[0].At}, n.Places)
	same := Confirm(r, s, nil, Options{}, nil)
	assert.Zero(t, same.HoldsFromWidthMM, "no width is tried")

	line.Corner = false
	assert.False(t, hasNote(Judge(surveyOf(line), plainFilm, Options{}), NoteCornersMeet))
	assert.Len(t, Judge(surveyOf(line), plainFilm, Options{}).doubtful(), 1)

	var many []raster.Feature
	for i := range 40 {
		f := feature(raster.Line, 0.47, 100+10*float64(i), 100)
		f.Corner = i%2 == 0
		many = append(many, f)
	}
	r = Judge(surveyOf(many...), plainFilm, Options{})
	require.Len(t, r.Marks, 2, "by themselves")
	n = noteOf(t, r, NoteCornersMeet)
	assert.Equal(t, 20, n.Count)
	assert.Len(t, n.Places, mostPlaces)
}

func TestPlainNotes(t *testing.T) {
	s := surveyOf()
	assert.Empty(t, Judge(s, plainFilm, Options{}).Notes)
	s.Lossy, s.Pages, s.Page = true, 3, 2
	s.Levels = Levels{Paper: 20, Ink: 230, Stretched: true}
	s.Measured.Tips = []raster.Tip{{At: raster.Point{X: 10}, Lost: 2}, {Film: true, At: raster.Point{X: 20}, Lost: 5}}
	s.Reach = [4]float64{3, 4, 4, 8} // twice the film's limits: half of what was lost there
	r := Judge(s, plainFilm, Options{})
	assert.Equal(t, 2.0, noteOf(t, r, NoteMorePages).Values["page"])
	assert.True(t, hasNote(r, NoteLossy))
	assert.InDelta(t, 7.84, noteOf(t, r, NoteNotSolid).Values["paper_pct"], 0.01)
	s.Levels = Levels{}
	s.Colours = []artwork.Colour{{R: 0xc0, G: 0x20, B: 0x30, Cover: 170}, {B: 0x40, Cover: 250}, {R: 0xff, G: 0xff, B: 0xd0, Cover: 5}}
	assert.Equal(t, map[string]string{"colours": "#c02030 67 %"}, noteOf(t, Judge(s, plainFilm, Options{}), NoteNotSolid).Words)
	n := noteOf(t, r, NotePoints)
	assert.InDelta(t, 0.25, n.Values["lost_mm"], 1e-9)
	assert.Equal(t, []PointMM{{2, 0}, {1, 0}}, n.Places)
	assert.Equal(t, Holds, r.Verdict, "notes never weigh")

	s = surveyOf()
	s.Field = Field{}
	assert.True(t, hasNote(Judge(s, plainFilm, Options{}), NoteNoInk))
	s.Dust = []raster.Speck{{Area: 1, Box: raster.Box{X1: 1, Y1: 1}}}
	assert.False(t, hasNote(Judge(s, plainFilm, Options{}), NoteNoInk), "there are specks, and they are judged")
	assert.True(t, hasNote(Judge(s, plainFilm, Options{DropSpecks: true}), NoteNoInk))
}
