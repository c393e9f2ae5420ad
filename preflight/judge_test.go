package preflight

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

// surveyOf makes a survey of 1000 x 800 px at 254 ppi, so that a pixel is 100
// um and the artwork 100 x 80 mm, with ink that raises no note.
func surveyOf(features ...raster.Feature) *Survey {
	s := &Survey{
		Artwork:  Artwork{File: "a.png", Format: "png", WidthPx: 1000, HeightPx: 800, PxPerInch: 254, SizeFrom: "metadata", WidthMM: 100, HeightMM: 80},
		Measured: &raster.Result{Features: features},
		Reach:    [4]float64{100, 100, 100, 100},
		Field:    Field{InkShare: 0.2, Ink: raster.Box{X0: 100, Y0: 100, X1: 900, Y1: 700}},
		Pages:    1, Page: 1,
	}
	for _, f := range features {
		if b := &s.Measured.Finest[f.Kind]; !b.Found || f.Width < b.Width {
			*b = raster.Finest{Found: true, Width: f.Width, PlusMinus: f.PlusMinus, At: f.At}
		}
	}
	return s
}

// feature of a width in px, its box 2 px around (x, y).
func feature(k raster.Kind, width, x, y float64) raster.Feature {
	return raster.Feature{Kind: k, Width: width, At: raster.Point{X: x, Y: y}, Box: raster.Box{X0: x - 1, Y0: y - 1, X1: x + 1, Y1: y + 1}}
}

var plainFilm = Film{Name: "test", ThicknessUM: 100, Limits: [4]Limit{
	raster.Line: {FailUM: 100, SafeUM: 150}, raster.Dot: {FailUM: 150, SafeUM: 200},
	raster.Strip: {FailUM: 150, SafeUM: 200}, raster.Island: {FailUM: 300, SafeUM: 400}}}

// width < fail fails; fail <= width < safe is at risk; width >= safe holds.
func TestLimitJudge(t *testing.T) {
	l := Limit{FailUM: 76.2, SafeUM: 114.3}
	for _, c := range []struct {
		name  string
		width float64
		want  Verdict
	}{
		{"nothing", 0, Fails},
		{"just under fail", math.Nextafter(76.2, 0), Fails},
		{"at fail", 76.2, AtRisk},
		{"just over fail", math.Nextafter(76.2, 100), AtRisk},
		{"just under safe", math.Nextafter(114.3, 0), AtRisk},
		{"at safe", 114.3, Holds},
		{"wide", 5000, Holds},
		{"not a number never holds", math.NaN(), Fails},
	} {
		assert.Equal(t, c.want, l.judge(c.width), c.name)
	}
}

// Every default limit of every film, reached by way of pixels at a scale that
// is exact in binary: 25.4 um a pixel at 1000 ppi is not, 100 um is.
func TestVerdictFlipsAtTheLimits(t *testing.T) {
	for _, film := range append(Films(), plainFilm) {
		for _, k := range raster.Kinds {
			l := film.Limit(k)
			for _, c := range []struct {
				um   float64
				want Verdict
			}{
				{l.FailUM - 1e-6, Fails}, {l.FailUM + 1e-6, AtRisk},
				{l.SafeUM - 1e-6, AtRisk}, {l.SafeUM + 1e-6, Holds},
			} {
				r := Judge(surveyOf(feature(k, c.um/100, 50, 50)), film, Options{})
				assert.Equal(t, c.want, r.Verdict, "%s %v %v", film.Name, k, c.um)
				if c.want == Holds {
					assert.Empty(t, r.Marks)
				} else {
					require.Len(t, r.Marks, 1)
					assert.Equal(t, l.FailUM, r.Marks[0].FailUM)
					assert.Equal(t, l.SafeUM, r.Marks[0].SafeUM)
				}
			}
		}
	}
}

func TestJudgeReport(t *testing.T) {
	line := feature(raster.Line, 0.8, 300, 200)
	line.Across, line.Length, line.Area, line.PlusMinus = raster.Point{X: 0, Y: -1}, 50, 40, 0.05
	line.Path = []raster.Point{{X: 290, Y: 200}, {X: 310, Y: 200}}
	s := surveyOf(
		feature(raster.Strip, 1.9, 100, 100),  // at risk, 0.95 of safe
		line,                                  // fails, 0.53 of safe
		feature(raster.Dot, 1.0, 400, 100),    // fails, 0.5 of safe
		feature(raster.Line, 1.2, 500, 100),   // at risk, 0.8 of safe
		feature(raster.Island, 4.0, 600, 100), // holds at its limit
		feature(raster.Dot, 1.0, 200, 100),    // as the other dot, but further left
		feature(raster.Dot, 1.0, 700, 99),     // and one higher up
	)
	r := Judge(s, plainFilm, Options{})
	assert.Equal(t, Fails, r.Verdict)
	assert.Equal(t, [4]Count{raster.Line: {1, 1}, raster.Dot: {3, 0}, raster.Strip: {0, 1}}, r.Counts)
	var order []float64
	for i, m := range r.Marks {
		assert.Equal(t, i+1, m.ID)
		order = append(order, m.At.X)
	}
	assert.Equal(t, []float64{70, 20, 40, 30, 50, 10}, order)

	m := r.Marks[3]
	assert.Equal(t, raster.Line, m.Kind)
	assert.InDelta(t, 80, m.WidthUM, 1e-9)
	assert.InDelta(t, 5, m.PlusMinusUM, 1e-9)
	assert.InDelta(t, 5, m.LengthMM, 1e-9)
	assert.InDelta(t, 0.4, m.AreaMM2, 1e-9)
	assert.InDelta(t, 90, m.AcrossDeg, 1e-9)
	assert.InDelta(t, 29.9, m.Box.X0, 1e-9)
	assert.Equal(t, []PointMM{{29, 20}, {31, 20}}, roundPoints(m.Path))
	assert.True(t, math.IsNaN(r.Marks[0].AcrossDeg))

	// The narrowest against its safe limit is a dot at half of it: twice the size.
	assert.InDelta(t, 200, r.SufficesFromWidthMM, 1e-9)
	assert.InDelta(t, 400, r.Finest[raster.Island].WidthUM, 1e-9)
}

func roundPoints(ps []PointMM) []PointMM {
	out := make([]PointMM, len(ps))
	for i, p := range ps {
		out[i] = PointMM{roundMicro(p.X), roundMicro(p.Y)}
	}
	return out
}

func TestAcross(t *testing.T) {
	for _, c := range []struct {
		x, y, want float64
	}{
		{1, 0, 0}, {-1, 0, 0}, {0, 1, 90}, {0, -1, 90}, {1, 1, 45}, {-1, -1, 45}, {-1, 1, 135}, {1, -1, 135},
		{-1, -1e-300, 0}, // a hair over the far side is no 180
	} {
		assert.InDelta(t, c.want, across(raster.Point{X: c.x, Y: c.y}), 1e-9, "%v %v", c.x, c.y)
	}
}

// Judging the same survey on thicker films never loses a failure or a risk.
func TestThickerFilmNeverFewerFailures(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		var fs []raster.Feature
		for range rng.IntN(60) {
			f := feature(raster.Kind(rng.IntN(4)), rng.Float64()*12, rng.Float64()*1000, rng.Float64()*800)
			fs = append(fs, f)
		}
		s := surveyOf(fs...)
		var last *Report
		for _, film := range Films() {
			r := Judge(s, film, Options{})
			if last != nil {
				assert.GreaterOrEqual(t, r.Verdict, last.Verdict)
				assert.GreaterOrEqual(t, r.SufficesFromWidthMM, last.SufficesFromWidthMM)
				for k := range r.Counts {
					assert.GreaterOrEqual(t, r.Counts[k].Fails, last.Counts[k].Fails)
					assert.GreaterOrEqual(t, r.Counts[k].Fails+r.Counts[k].AtRisk, last.Counts[k].Fails+last.Counts[k].AtRisk)
				}
			}
			last = r
		}
	}
}

// At the width the report names everything holds; a thousandth below, not.
func TestHoldsFromWidth(t *testing.T) {
	s := surveyOf(feature(raster.Line, 0.8, 10, 10), feature(raster.Island, 2.2, 50, 50), feature(raster.Strip, 1.7, 80, 80))
	r := Judge(s, plainFilm, Options{})
	assert.Equal(t, Holds, Judge(s.AtWidth(r.SufficesFromWidthMM*(1+1e-12)), plainFilm, Options{}).Verdict)
	assert.Equal(t, AtRisk, Judge(s.AtWidth(r.SufficesFromWidthMM*0.999), plainFilm, Options{}).Verdict)
	assert.Zero(t, Judge(surveyOf(), plainFilm, Options{}).SufficesFromWidthMM)
}

// Fewer pixels an inch make the limits shorter in pixels, so a smaller engraved
// size may need a survey of its own, and a larger never does.
func TestSurveyCovers(t *testing.T) {
	s := surveyOf()
	s.Reach = [4]float64{1.5, 2, 2, 4}
	assert.True(t, s.Covers(&plainFilm))
	assert.True(t, s.AtWidth(200).Covers(&plainFilm))
	assert.False(t, s.AtWidth(99).Covers(&plainFilm))
	assert.Panics(t, func() { Judge(s.AtWidth(50), plainFilm, Options{}) })
}

func TestChecksAddNotes(t *testing.T) {
	check := func(s *Survey, r *Report) []Note { return []Note{{Code: NoteGrit, Count: len(r.Marks)}} }
	r := Judge(surveyOf(feature(raster.Line, 0.8, 10, 10)), plainFilm, Options{Checks: []Check{check}})
	assert.Equal(t, []Note{{Code: NoteGrit, Count: 1}}, r.Notes)
}

// Specks that stand alone are judged, all of a side in one mark, unless dropped.
func TestDust(t *testing.T) {
	s := surveyOf()
	speck := func(x, y float64, film bool) raster.Speck {
		return raster.Speck{Film: film, Area: 1, Box: raster.Box{X0: x, Y0: y, X1: x + 1, Y1: y + 1}}
	}
	s.Dust = []raster.Speck{speck(10, 10, false), speck(500, 500, false), speck(900, 700, false), speck(300, 300, true)}
	r := Judge(s, plainFilm, Options{})
	assert.Equal(t, Fails, r.Verdict)
	require.Len(t, r.Marks, 2)
	assert.Equal(t, [4]Count{raster.Dot: {3, 0}, raster.Island: {1, 0}}, r.Counts)
	dots := r.Marks[1]
	assert.Equal(t, raster.Dot, dots.Kind)
	assert.Equal(t, 3, dots.Count)
	assert.Len(t, dots.Boxes, 3)
	assert.InDelta(t, 100*2/math.Sqrt(math.Pi), dots.WidthUM, 1e-9) // 2 sqrt(A/pi), A one pixel of 100 um
	note := noteOf(t, r, NoteSpecks)
	assert.Equal(t, 4, note.Count)
	assert.Equal(t, "yes", note.Words["judged"])

	r = Judge(s, plainFilm, Options{DropSpecks: true})
	assert.Equal(t, Holds, r.Verdict)
	assert.Empty(t, r.Marks)
	assert.Equal(t, "no", noteOf(t, r, NoteSpecks).Words["judged"])
}
