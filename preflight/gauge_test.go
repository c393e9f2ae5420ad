package preflight

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

var march = time.Date(2027, 3, 1, 0, 0, 0, 0, time.UTC)

func planned(t *testing.T, film string, ppi float64, bilevel bool) *Gauge {
	t.Helper()
	f, err := ParseFilm(film, Films())
	require.NoError(t, err)
	g, err := PlanGauge(f, ppi, bilevel)
	require.NoError(t, err)
	return g
}

// ISO 3: R20 has 20 steps a decade. The comb starts under 0.56 of the fail
// limit, ends over 1.6 times the safe limit, and both limits stay at least 0.24
// of a step from every step.
func TestGaugeSteps(t *testing.T) {
	for _, f := range Films() {
		for k, l := range f.Limits {
			w := gaugeWidths(l)
			for i := 1; i < len(w); i++ {
				assert.InDelta(t, math.Pow(10, 0.05), w[i]/w[i-1], 1e-9)
			}
			assert.Less(t, w[0], 0.56*l.FailUM)
			assert.Greater(t, w[len(w)-1], 1.6*l.SafeUM)
			assert.LessOrEqual(t, len(w), 15, "what fits a sheet")
			for _, limit := range []float64{l.FailUM, l.SafeUM} {
				for _, v := range w {
					assert.Greater(t, 20*math.Abs(math.Log10(v/limit)), 0.24, "%s %s %g", f.Name, raster.Kind(k), v)
				}
			}
		}
	}
}

// A number means the same width at any resolution and after any recording.
func TestGaugeNumbersStay(t *testing.T) {
	wide := planned(t, "3 mil", 2400, false)
	coarse := planned(t, "3 mil", 600, false)
	own := wide.Film
	own.Name, own.Measured = "Harbour", true
	own.Limits[raster.Line] = Limit{FailUM: 10, SafeUM: 500}
	shop, err := PlanGauge(own, 2400, false)
	require.NoError(t, err)
	for k := range wide.Steps {
		byNumber := map[int]float64{}
		for i, s := range wide.Steps[k] {
			assert.Equal(t, s, shop.Steps[k][i])
			byNumber[s.Number] = s.WidthUM
		}
		for _, s := range coarse.Steps[k] {
			assert.Equal(t, byNumber[s.Number], s.WidthUM)
		}
		assert.Equal(t, 1, wide.Steps[k][0].Number)
		assert.Greater(t, coarse.Steps[k][0].WidthUM, 2*25400/600.0-1)
	}
	assert.Equal(t, [4]bool{}, wide.TooFine)
	assert.True(t, coarse.TooFine[raster.Line], "two pixels of 42 um are wider than 76 um")
}

// On whole pixels every width is one: 1200 ppi is 21.17 um a pixel.
func TestGaugeOnWholePixels(t *testing.T) {
	g := planned(t, "4 mil", 1200, true)
	px := 25400 / 1200.0
	for _, kind := range []raster.Kind{raster.Line, raster.Strip} {
		for _, step := range g.Steps[kind] {
			assert.InDelta(t, math.Round(step.WidthUM/px), step.WidthUM/px, 1e-9)
		}
	}
	// By hand: a disc 5 across takes 21 pixels, one 6 across 32.
	assert.InDelta(t, 2*math.Sqrt(21/math.Pi), wholeDisc(5), 1e-12)
	assert.InDelta(t, 2*math.Sqrt(32/math.Pi), wholeDisc(6), 1e-12)
	k := g.Draw()
	assert.True(t, k.Bilevel())
	for _, e := range g.Elements {
		if e.Wedge {
			continue
		}
		if e.Kind == raster.Dot || e.Kind == raster.Island {
			n := 0
			for y := int((e.Box.Y0-0.3)*1000/px) + 1; y < int((e.Box.Y1+0.3)*1000/px); y++ {
				for x := int((e.Box.X0-0.3)*1000/px) + 1; x < int((e.Box.X1+0.3)*1000/px); x++ {
					n += is(k.Bits.Get(x, y) == (e.Kind == raster.Dot))
				}
			}
			assert.InDelta(t, math.Pi/4*math.Pow(e.WidthUM/px, 2), float64(n), 1e-6, "%+v", e)
			continue
		}
		// The middle of the bar, crossed: so many pixels, or diagonals of half the
		// diagonal's length, apart.
		cx, cy := (e.Box.X0+e.Box.X1)/2*1000/px, (e.Box.Y0+e.Box.Y1)/2*1000/px
		want := e.Kind == raster.Line
		n := 0
		switch e.Deg {
		case 90:
			for x := int(cx) - 40; x < int(cx)+40; x++ {
				n += is(k.Bits.Get(x, int(cy)) == want)
			}
			assert.Equal(t, int(math.Round(e.WidthUM/px)), n, "%+v", e)
		case 0:
			for y := int(cy) - 40; y < int(cy)+40; y++ {
				n += is(k.Bits.Get(int(cx), y) == want)
			}
			assert.Equal(t, int(math.Round(e.WidthUM/px)), n, "%+v", e)
		case 45:
			// Walk across in diagonal steps of both lattices: (+1,-1) meets every second.
			for d := -40; d < 40; d++ {
				x, y := int(cx)+d/2+d&1*is(d > 0)-d&1*is(d < 0), int(cy)-d/2
				n += is(k.Bits.Get(x, y) == want)
			}
			assert.InDelta(t, e.WidthUM/px*math.Sqrt2, float64(n), 1.01, "%+v", e)
		}
	}
}

func is(b bool) int {
	if b {
		return 1
	}
	return 0
}

func TestGaugeRefuses(t *testing.T) {
	f := Films()[0]
	for _, ppi := range []float64{0, 150, 6000, math.NaN()} {
		_, err := PlanGauge(f, ppi, false)
		assert.ErrorContains(t, err, "cannot be drawn at", "%g", ppi)
	}
	_, err := PlanGauge(f, 300, true)
	assert.ErrorContains(t, err, "too coarse")
}

// By hand from the steps: fail is the last lost, safe the one after the first
// whole, each but for what a step may be read wrong by.
func TestGaugeLimits(t *testing.T) {
	g := planned(t, "3 mil", 2400, false)
	w := func(k raster.Kind, n int) float64 { return g.Steps[k][n-1].WidthUM }
	const within, discs = 1.005, 1.025
	got, err := g.Limits(GaugeReading{raster.Line: {7}, raster.Strip: {9, 7, 8}, raster.Dot: {1}, raster.Island: {13}})
	require.NoError(t, err)
	assert.InDelta(t, w(raster.Line, 6)*within, got[raster.Line].FailUM, 0.051)
	assert.InDelta(t, w(raster.Line, 8)/within, got[raster.Line].SafeUM, 0.051)
	assert.InDelta(t, w(raster.Strip, 6)*within, got[raster.Strip].FailUM, 0.051, "several runs: the lowest fail")
	assert.InDelta(t, w(raster.Strip, 10)/within, got[raster.Strip].SafeUM, 0.051, "and the highest safe")
	assert.InDelta(t, w(raster.Dot, 1)/math.Pow(10, 0.05)*discs, got[raster.Dot].FailUM, 0.051, "nothing lost: a step below the narrowest")
	assert.InDelta(t, w(raster.Island, 13)*math.Pow(10, 0.05)/discs, got[raster.Island].SafeUM, 0.051)

	_, err = g.Limits(GaugeReading{})
	assert.ErrorContains(t, err, "no step was read")
	_, err = g.Limits(GaugeReading{raster.Line: {16}})
	assert.ErrorContains(t, err, "no line step 16")
	assert.Contains(t, hintOf(err), "14, 15")
	_, err = g.Limits(GaugeReading{raster.Line: {0}})
	assert.ErrorContains(t, err, "no line step 0")
}

// Whatever step is recorded, the limits judge the gauge's own steps so: lost
// ones fail, the first whole one is at risk, all wider ones hold.
func TestGaugeLimitsJudgeItsSteps(t *testing.T) {
	for _, bilevel := range []bool{false, true} {
		for _, f := range Films() {
			g := planned(t, f.Name, 1200, bilevel)
			for k, steps := range g.Steps {
				for i, s := range steps {
					var r GaugeReading
					r[k] = []int{s.Number}
					got, err := g.Limits(r)
					require.NoError(t, err)
					for j, other := range steps {
						want := Fails
						if j == i {
							want = AtRisk
						} else if j > i {
							want = Holds
						}
						assert.Equal(t, want, got[raster.Kind(k)].judge(other.WidthUM), "%s %s recorded %d, step %d", f.Name, raster.Kind(k), s.Number, other.Number)
					}
				}
			}
		}
	}
}

const ownShop = `# our films
[shop]
name = "Tern & Tide"   # since 1887

[[film]]
name = "2 mil"
thickness = "2 mil"

# the good one
[[film]]
name = "3 MIL"
thickness = "0.003 in"

[film.limits]
# lamp 2
line = { fail = "80 um", safe = "112 um", basis = "measured", date = 2027-02-01, remark = "by } hand" }   # keep an eye on it
strip = { fail = "114.3 um", safe = "152.4 um", basis = "shop rule" }

[film.process]
exposure = "50 s"

# last year's
[[film]]
name = "old roll"
thickness = "5 mil"
`

func TestRecordGauge(t *testing.T) {
	g := planned(t, "3 mil", 1200, false)
	out, done, err := RecordGauge("shop.toml", []byte(ownShop), g, GaugeReading{raster.Line: {6}, raster.Strip: {9}, raster.Dot: {5}}, false, march)
	require.NoError(t, err)
	require.Len(t, done, 3)
	text := string(out)

	// Every old line stands, but for the two that were renewed.
	at := 0
	for _, line := range strings.Split(ownShop, "\n") {
		if strings.HasPrefix(line, "line =") || strings.HasPrefix(line, "strip =") {
			continue
		}
		i := strings.Index(text[at:], line)
		require.GreaterOrEqual(t, i, 0, "%q is gone or has moved", line)
		at += i
	}
	assert.Contains(t, text, "# keep an eye on it")

	shop, err := ParseShop("shop.toml", out)
	require.NoError(t, err)
	require.Len(t, shop.OwnFilms, 3)
	f := shop.OwnFilms[1]
	want, err := g.Limits(GaugeReading{raster.Line: {6}, raster.Strip: {9}, raster.Dot: {5}})
	require.NoError(t, err)
	assert.Equal(t, math.Min(80, want[raster.Line].FailUM), f.Limits[raster.Line].FailUM, "widened, not narrowed")
	assert.Equal(t, 112.0, f.Limits[raster.Line].SafeUM)
	assert.Equal(t, "fail: gauge, step 6 the first whole; safe: by } hand, 2027-02-01", f.Limits[raster.Line].Remark, "each number says where it comes from")
	assert.Equal(t, want[raster.Strip].SafeUM, f.Limits[raster.Strip].SafeUM, "a rule gives way to a measurement")
	assert.Equal(t, march, f.Limits[raster.Dot].Date)
	assert.Equal(t, "gauge, step 5 the first whole", f.Limits[raster.Dot].Remark)
	assert.Equal(t, []ProcessRule{{"exposure", "50 s", ""}}, f.Process)

	// The history is data, in the film's own part.
	assert.Equal(t, 2, strings.Count(text, "[[film.was]]"))
	assert.Contains(t, text, "fail = \"80 um\"\nsafe = \"112 um\"\nbasis = \"measured\"\ndate = 2027-02-01\nremark = \"by } hand\"\nuntil = 2027-03-01\n")
	assert.Less(t, strings.LastIndex(text, "[[film.was]]"), strings.Index(text, "# last year's"))

	// Recorded again, anew: the first recording goes to the history too.
	again, _, err := RecordGauge("shop.toml", out, g, GaugeReading{raster.Line: {8}}, true, march.AddDate(0, 1, 0))
	require.NoError(t, err)
	shop, err = ParseShop("shop.toml", again)
	require.NoError(t, err)
	eight, _ := g.Limits(GaugeReading{raster.Line: {8}})
	assert.Equal(t, eight[raster.Line].FailUM, shop.OwnFilms[1].Limits[raster.Line].FailUM)
	assert.Equal(t, 3, strings.Count(string(again), "[[film.was]]"))
}

// A pair widened time and again says of each number which reading it comes from, and
// the narrowest step of a gauge too coarse for the film tells nothing of what fails.
func TestWidenedPairsSayWhereTheyComeFrom(t *testing.T) {
	g := planned(t, "4 mil", 1200, false)
	var text []byte
	for _, c := range []struct {
		numbers []int
		remark  string
	}{
		{[]int{5}, "gauge, step 5 the first whole"},
		{[]int{2, 13}, "gauge, 2 runs, steps 2, 13 the first whole"},
		{[]int{7, 8}, "gauge, 2 runs, steps 2, 13 the first whole"},
		{[]int{1}, "fail: gauge, step 1 the first whole; safe: gauge, 2 runs, steps 2, 13 the first whole"},
		{[]int{9}, "fail: gauge, step 1 the first whole; safe: gauge, 2 runs, steps 2, 13 the first whole"},
		{[]int{15}, "fail: gauge, step 1 the first whole; safe: gauge, step 15 the first whole"},
	} {
		var err error
		text, _, err = RecordGauge("shop.toml", text, g, GaugeReading{raster.Line: c.numbers}, false, march)
		require.NoError(t, err)
		shop, err := ParseShop("shop.toml", text)
		require.NoError(t, err)
		assert.Equal(t, c.remark, shop.OwnFilms[0].Limits[raster.Line].Remark)
	}
	// What holds the reading already stays to the letter; an older number keeps its date.
	later := march.AddDate(1, 0, 0)
	same, done, err := RecordGauge("shop.toml", text, g, GaugeReading{raster.Line: {9}}, false, later)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(same))
	require.Len(t, done, 1)
	assert.Equal(t, *done[0].Before, done[0].Limit)
	old := []byte("[[film]]\nname = \"4 mil\"\nthickness = \"4 mil\"\n[film.limits]\nline = { fail = \"40 um\", safe = \"60 um\", basis = \"measured\", date = 2020-01-05 }\n")
	text, _, err = RecordGauge("shop.toml", old, g, GaugeReading{raster.Line: {9}}, false, later)
	require.NoError(t, err)
	shop, err := ParseShop("shop.toml", text)
	require.NoError(t, err)
	l := shop.OwnFilms[0].Limits[raster.Line]
	assert.Equal(t, 40.0, l.FailUM)
	assert.Equal(t, 147.2, l.SafeUM)
	assert.Equal(t, "fail: measured, 2020-01-05; safe: gauge, step 9 the first whole", l.Remark)

	coarse := planned(t, "3 mil", 1200, true)
	require.True(t, coarse.TooFine[raster.Dot])
	limits, err := coarse.Limits(GaugeReading{raster.Dot: {coarse.Steps[raster.Dot][0].Number}})
	require.NoError(t, err)
	assert.LessOrEqual(t, limits[raster.Dot].FailUM, 114.3, "not over the starting value")
}

// The shapes that a shop file may have before the first recording.
func TestRecordGaugeFindsItsPlace(t *testing.T) {
	g := planned(t, "3 mil", 1200, false)
	all := GaugeReading{raster.Line: {7}, raster.Dot: {5}, raster.Strip: {9}, raster.Island: {6}}
	for name, text := range map[string]string{
		"no file yet":         "",
		"another film":        "[[film]]\nname = \"x\"\nthickness = \"1mm\"\n",
		"habits alone":        "[habits]\nunits = \"in\"\n",
		"the draft":           ShopDraft,
		"no limits":           "[[film]]\nname = \"3 mil\"\nthickness = \"3 mil\"\n[[film]]\nname = \"x\"\nthickness = \"1mm\"\n",
		"empty limits":        "[[film]]\nname = \"3 mil\"\nthickness = \"3 mil\"\n[film.limits]\n\n[film.process]\ndrying = \"1 s\"\n",
		"dotted keys":         "[[film]]\nname = \"3 mil\"\nthickness = \"3 mil\"\nlimits.line = { fail = \"16um\", safe = \"20um\", basis = \"shop rule\" } # x\n",
		"no newline at end":   "[habits]\nunits = \"in\"",
		"lines of windows":    "[[film]]\r\nname = \"3 mil\"\r\nthickness = \"3 mil\"\r\n[film.limits]\r\nline = { fail = \"16um\", safe = \"20um\", basis = \"shop rule\" }\r\n",
		"a history before it": "[[film]]\nname = \"3 mil\"\nthickness = \"3 mil\"\n[[film.was]]\nkind = \"dot\"\nfail = \"1um\"\nsafe = \"2um\"\nbasis = \"measured\"\ndate = 2027-01-01\n",
	} {
		out, done, err := RecordGauge("shop.toml", []byte(text), g, all, false, march)
		if !assert.NoError(t, err, name) {
			continue
		}
		assert.Len(t, done, 4, name)
		shop, err := ParseShop("shop.toml", out)
		require.NoError(t, err, name)
		f, err := ParseFilm("3 mil", shop.Films())
		require.NoError(t, err, name)
		assert.True(t, f.Measured, name)
		assert.Equal(t, strings.Contains(text, "\r\n"), strings.Contains(string(out), "\r\n"), name)
		assert.NotRegexp(t, "[^\r]\n", strings.Repeat(string(out), is(name == "lines of windows")), name)
	}
	for name, text := range map[string]string{
		"over many lines": "[[film]]\nname = \"3 mil\"\nthickness = \"3 mil\"\n[film.limits.line]\nfail = \"16um\"\nsafe = \"20um\"\nbasis = \"shop rule\"\n",
		"all on one line": "[[film]]\nname = \"3 mil\"\nthickness = \"3 mil\"\nlimits = { line = { fail = \"16um\", safe = \"20um\", basis = \"shop rule\" } }\n",
	} {
		_, _, err := RecordGauge("shop.toml", []byte(text), g, all, false, march)
		assert.ErrorContains(t, err, "shop.toml:4: ", name)
		assert.Contains(t, hintOf(err), "nothing was changed", name)
	}
	blue, err := PlanGauge(DefaultFilm("blue", 76.2), 1200, false)
	require.NoError(t, err)
	_, _, err = RecordGauge("shop.toml", []byte("[[film]]\nname = \"blue\"\nthickness = \"4 mil\"\n"), blue, all, false, march)
	assert.ErrorContains(t, err, "101.6 um thick")
	_, _, err = RecordGauge("shop.toml", []byte("x = 1"), g, all, false, march)
	assert.ErrorContains(t, err, "shop.toml:1: ")
}
