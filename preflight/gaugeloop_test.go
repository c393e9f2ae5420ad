package preflight

import (
	"fmt"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
)

// checked judges a gauge as check would judge its file.
func checked(t *testing.T, g *Gauge, film Film) *Report {
	t.Helper()
	k := g.Draw()
	r, err := Examine(&artwork.Picture{Format: "png", Ink: k, XPerInch: g.PPI, YPerInch: g.PPI, Pages: 1, Page: 1}, Order{File: "gauge"}, film, Options{})
	require.NoError(t, err)
	return r
}

// requireGaugeMarks compares a report's marks with what the gauge drew: every
// width under its safe limit is one mark of its kind and verdict, and nothing
// else on the sheet is marked. A wedge is one mark.
func requireGaugeMarks(t *testing.T, name string, g *Gauge, r *Report) {
	t.Helper()
	hits := make([]int, len(g.Elements))
	count := func(m *Mark, at PointMM) {
		const near = 0.3 // mm
		for i, e := range g.Elements {
			if e.Kind == m.Kind && at.X > e.Box.X0-near && at.X < e.Box.X1+near && at.Y > e.Box.Y0-near && at.Y < e.Box.Y1+near {
				hits[i]++
				limit := r.Film.Limits[e.Kind]
				want := limit.judge(e.WidthUM)
				if e.Wedge && e.WidthUM < limit.FailUM && 1.2*e.WidthUM > limit.FailUM {
					// A wedge is as narrow as it is over a stretch, and its end is none.
					want = limit.judge(m.WidthUM)
					assert.InDelta(t, 1.1*e.WidthUM, m.WidthUM, 0.1*e.WidthUM, "%s: wedge of %s", name, e.Kind)
				}
				assert.Equal(t, want, m.Verdict, "%s: %s step %d at %d degrees, wedge %v, drawn %.1f um, read %.1f", name, e.Kind, e.Step, e.Deg, e.Wedge, e.WidthUM, m.WidthUM)
				return
			}
		}
		assert.Fail(t, "marked beside the gauge", "%s: %s %.1f um at %.2f, %.2f", name, m.Kind, m.WidthUM, at.X, at.Y)
	}
	for i := range r.Marks {
		m := &r.Marks[i]
		if m.Count == 1 {
			count(m, m.At)
			continue
		}
		for _, b := range m.Boxes { // many alike are one mark with a box each
			count(m, PointMM{(b.X0 + b.X1) / 2, (b.Y0 + b.Y1) / 2})
		}
	}
	for i, e := range g.Elements {
		want := 0
		if r.Film.Limits[e.Kind].judge(e.WidthUM) != Holds {
			want = 1
		}
		assert.Equal(t, want, hits[i], "%s: marks on %s step %d at %d degrees, wedge %v, %.1f um", name, e.Kind, e.Step, e.Deg, e.Wedge, e.WidthUM)
	}
}

// Closing the loop: check of the printed gauge marks exactly the steps under
// the limits, of every kind. All films at 600, 1200 and 2400 dots an inch, grey
// and on whole pixels, take minutes: STENCILPROOF_LONG=1 asks for them.
func TestCheckMarksTheGauge(t *testing.T) {
	type print struct {
		film    int
		ppi     float64
		bilevel bool
	}
	prints := []print{{1, 600, false}, {3, 600, true}, {6, 600, false}}
	if os.Getenv("STENCILPROOF_LONG") != "" {
		prints = nil
		for i := range Films() {
			for _, ppi := range []float64{600, 1200, 2400} {
				prints = append(prints, print{i, ppi, false}, print{i, ppi, true})
			}
		}
	}
	for _, p := range prints {
		f := Films()[p.film]
		g, err := PlanGauge(f, p.ppi, p.bilevel)
		if p.bilevel && p.ppi == 600 && f.ThicknessUM < 80 && err != nil {
			continue // whole pixels of 42 um draw no comb for the thinnest films
		}
		require.NoError(t, err)
		requireGaugeMarks(t, fmt.Sprintf("%s, %g dpi, whole pixels %v", f.Name, p.ppi, p.bilevel), g, checked(t, g, f))
	}
}

// requireStepsJudged requires that limits recorded at a step fail what is narrower, hold
// what is wider and put the step itself at risk: every bar and disc, whichever way it
// lies and however check may read it.
func requireStepsJudged(t *testing.T, g *Gauge, k raster.Kind, at int, l Limit) {
	t.Helper()
	within := 0.0024 // see readWithin
	if k == raster.Dot || k == raster.Island {
		within = 0.0205
	}
	for _, e := range g.Elements {
		if e.Kind != k || e.Step == 0 {
			continue
		}
		want := Holds
		switch {
		case e.Step < at:
			want = Fails
		case e.Step == at:
			want = AtRisk
		}
		for _, read := range [2]float64{e.WidthUM * (1 - within), e.WidthUM * (1 + within)} {
			require.Equal(t, want, l.judge(read), "%s, %g dpi, whole pixels %v, recorded at %d: %s %d at %d degrees, drawn %.1f um, read %.1f", g.Film.Name, g.PPI, g.Bilevel, at, e.Kind, e.Step, e.Deg, e.WidthUM, read)
		}
	}
}

// A gauge recorded at any of its steps judges all of them accordingly.
func TestAnyStepRecordedJudgesTheOthers(t *testing.T) {
	n := 0
	for _, f := range Films() {
		for _, ppi := range []float64{600, 1200, 2400} {
			for _, bilevel := range []bool{false, true} {
				g, err := PlanGauge(f, ppi, bilevel)
				if err != nil {
					require.ErrorContains(t, err, "too coarse", "%s, %g dpi, whole pixels %v", f.Name, ppi, bilevel)
					continue
				}
				for k, steps := range g.Steps {
					for _, s := range steps {
						var r GaugeReading
						r[k] = []int{s.Number}
						limits, err := g.Limits(r)
						require.NoError(t, err)
						requireStepsJudged(t, g, raster.Kind(k), s.Number, limits[raster.Kind(k)])
						n++
					}
				}
			}
		}
	}
	assert.Greater(t, n, 1000)
}

// The other way round: a gauge recorded at any step gives limits that judge
// the gauge's own steps accordingly, through the whole of check. All films at
// 600, 1200 and 2400 dots an inch, grey and on whole pixels, each recorded at an
// early and a late step, take minutes: STENCILPROOF_LONG=1 asks for them. Late is
// where safe is a tenth over the starting one: the lettering is drawn for that,
// and beyond it check marks its strokes too, and rightly.
func TestRecordedLimitsJudgeTheGauge(t *testing.T) {
	loop := func(name string, ppi float64, bilevel bool, most float64) {
		f, err := ParseFilm(name, Films())
		require.NoError(t, err)
		g, err := PlanGauge(f, ppi, bilevel)
		if err != nil {
			require.ErrorContains(t, err, "too coarse", "%s, %g dpi, whole pixels %v", name, ppi, bilevel)
			return
		}
		var reading GaugeReading
		for k, steps := range g.Steps {
			i := 0
			for i+2 < len(steps) && steps[i+2].WidthUM <= most*f.Limits[k].SafeUM {
				i++
			}
			if steps[i+1].WidthUM <= most*f.Limits[k].SafeUM {
				reading[k] = []int{steps[i].Number}
			}
		}
		if len(reading[0])+len(reading[1])+len(reading[2])+len(reading[3]) == 0 {
			return
		}
		text, done, err := RecordGauge("shop.toml", nil, g, reading, false, march)
		require.NoError(t, err)
		shop, err := ParseShop("shop.toml", text)
		require.NoError(t, err)
		film, err := ParseFilm(name, shop.Films())
		require.NoError(t, err)
		guess := slices.ContainsFunc(done, func(d Recorded) bool { return d.Limit.FailBasis != Measured })
		require.Equal(t, len(done) == 4 && !guess, film.Measured)
		requireGaugeMarks(t, fmt.Sprintf("%s, %g dpi, whole pixels %v, recorded at %v", name, ppi, bilevel, reading), g, checked(t, g, film))
		for k, numbers := range reading {
			if len(numbers) > 0 { // else all that is drawn is wider
				requireStepsJudged(t, g, raster.Kind(k), numbers[0], film.Limits[k])
			}
		}
	}
	if os.Getenv("STENCILPROOF_LONG") == "" {
		loop("8 mil", 600, false, 0.8)
		loop("8 mil", 600, false, 1.1)
		loop("8 mil", 600, true, 1.1)
		return
	}
	for _, f := range Films() {
		for _, ppi := range []float64{600, 1200, 2400} {
			for _, bilevel := range []bool{false, true} {
				loop(f.Name, ppi, bilevel, 0.8)
				loop(f.Name, ppi, bilevel, 1.1)
			}
		}
	}
}
