package preflight

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

// The rows as this project's references give them (ISO 8486-1:1996 and
// 8486-2:2007 from memory, F80's sieves seen in ANSI B74.12-2001, JIS R
// 6001:1987 seen): name, mean, coarse limit.
func TestGritTable(t *testing.T) {
	want := `
F36 525 850 from memory
F46 370 600 from memory
F60 260 425 from memory
F80 185 300 ANSI B74.12-2001
F100 129 212 from memory
F120 109 180 from memory
F150 82 150 from memory
F180 69 125 from memory
F220 58 106 from memory
F230 53 82 from memory
F240 44.5 70 from memory
F280 36.5 59 from memory
F320 29.2 49 from memory
F360 22.8 40 from memory
F400 17.3 32 from memory
F500 12.8 25 from memory
F600 9.3 19 from memory
JIS #240 57 103 JIS R 6001:1987
JIS #280 48 87 JIS R 6001:1987
JIS #320 40 74 JIS R 6001:1987
JIS #360 35 66 JIS R 6001:1987
JIS #400 30 58 JIS R 6001:1987
JIS #500 25 50 JIS R 6001:1987
JIS #600 20 43 JIS R 6001:1987
`
	got := "\n"
	for _, g := range Grits() {
		from := "from memory"
		switch {
		case g.Name == "F80":
			from = "ANSI B74.12-2001"
			assert.Contains(t, g.Source, "300, 212, 180, 150, 125", "F80's sieve row")
			assert.Equal(t, Published, g.Basis)
		case g.Basis == Published:
			from = "JIS R 6001:1987"
		}
		assert.Contains(t, g.Source, from, g.Name)
		got += fmt.Sprintf("%s %g %g %s\n", g.Name, g.MeanUM, g.CoarseUM, from)
	}
	assert.Equal(t, want, got)
}

func TestParseGrit(t *testing.T) {
	for in, want := range map[string]string{
		"F180": "F180", "f 180": "F180", " F220 ": "F220", "F600": "F600",
		"#320": "JIS #320", "JIS #320": "JIS #320", "jis320": "JIS #320", "JIS # 600": "JIS #600",
		"120": "F120", "150": "F150", "180": "F180", "220": "F220", "#220": "F220", "JIS #120": "F120",
	} {
		g, err := ParseGrit(in)
		if assert.NoError(t, err, in) {
			assert.Equal(t, want, g.Name, in)
		}
	}
	for in, want := range map[string][2]string{
		"240":                   {"F240 grains measure 44.5 um, JIS #240 grains 57 um", "F240 or JIS #240"},
		"320":                   {"F320 grains measure 29.2 um, JIS #320 grains 40 um", "look at the bag"},
		"1000":                  {"two things", "F1000 or JIS #1000"},
		"80":                    {"does not say its system", "F80"},
		"F90":                   {"no grit F90", "F80"},
		"#230":                  {"no grit JIS #230", "JIS #240"},
		"sand":                  {"is no grit", "F180"},
		"":                      {"is no grit", "F180"},
		"F-180":                 {"is no grit", ""},
		"F99999999999999999999": {"is no grit", ""},
	} {
		_, err := ParseGrit(in)
		var p *Problem
		if assert.ErrorAs(t, err, &p, in) {
			assert.Contains(t, p.What, want[0], in)
			assert.Contains(t, p.Do, want[1], in)
		}
	}
}

// Derived: the open share is 0 at w = d, half at 2 d, two thirds at 3 d.
func TestOpenShare(t *testing.T) {
	assert.Equal(t, 0.0, OpenShare(50, 50))
	assert.Equal(t, 0.5, OpenShare(50, 100))
	assert.InDelta(t, 2.0/3, OpenShare(50, 150), 1e-12)
	assert.Equal(t, 0.0, OpenShare(50, 20))
}

// By hand, for F180 (mean 69, coarse limit 125): cannot enter up to 125, slowly
// under 138, freely from there.
func TestGritNote(t *testing.T) {
	g, err := ParseGrit("F180")
	require.NoError(t, err)
	for w, want := range map[float64]Enters{60: CannotEnter, 125: CannotEnter, 125.1: Slowly, 137.9: Slowly, 138: Freely, 500: Freely} {
		assert.Equal(t, want, g.Into(w), "%g um", w)
	}
	assert.Equal(t, 138.0, g.ReachUM())

	// 20 um a pixel.
	features := []raster.Feature{
		{Kind: raster.Line, Width: 6.5, At: raster.Point{X: 100, Y: 50}}, // 130 um
		{Kind: raster.Strip, Width: 1},
		{Kind: raster.Dot, Width: 5, At: raster.Point{X: 10, Y: 20}},  // 100 um
		{Kind: raster.Line, Width: 3, At: raster.Point{X: 30, Y: 40}}, // 60 um
		{Kind: raster.Island, Width: 1},
		{Kind: raster.Line, Width: 20}, // 400 um
	}
	open := Openings(features, 20)
	require.Len(t, open, 4)
	n, ok := GritNote(g, open, [4]Finest{})
	require.True(t, ok)
	assert.Equal(t, 2, n.Count)
	assert.Equal(t, map[string]float64{"cannot_enter": 2, "slow": 1, "coarse_um": 125, "mean_um": 69, "narrowest_um": 60}, n.Values)
	assert.Equal(t, []PointMM{{0.6, 0.8}, {0.2, 0.4}, {2, 1}}, n.Places)
	// 60 um: F240's coarse limit 70 does not enter, F280 (36.5, 59) enters but
	// carves slowly, F320 (29.2, 49) is free.
	assert.Equal(t, "F320", n.Words["enough"])

	var finest [4]Finest
	finest[raster.Line] = Finest{Found: true, WidthUM: 900}
	n, ok = GritNote(g, nil, finest)
	require.True(t, ok, "all is wide: still told")
	assert.Zero(t, n.Count)
	assert.Equal(t, "F46", n.Words["enough"]) // F36 (525, 850) enters 900 um but covers more than half of it
	_, ok = GritNote(g, nil, [4]Finest{})
	assert.False(t, ok, "nothing to carve")

	n, _ = GritNote(g, Openings([]raster.Feature{{Kind: raster.Dot, Width: 0.5}}, 20), [4]Finest{})
	assert.NotContains(t, n.Words, "enough", "no grit enters 10 um")
}

// T2, published: not deeper than wide. Derived: walls meet at 1.37 w for 70
// degrees.
func TestDepthNote(t *testing.T) {
	assert.InDelta(t, 1.3737, MeetUM(1), 1e-4)
	features := []raster.Feature{
		{Kind: raster.Line, Width: 10}, {Kind: raster.Line, Width: 15}, {Kind: raster.Dot, Width: 25}, {Kind: raster.Line, Width: 24.99},
	}
	n, ok := DepthNote(500, Openings(features, 20), [4]Finest{}) // 200, 300, 500, 499.8 um
	require.True(t, ok)
	assert.Equal(t, 3, n.Count, "as deep as wide is possible")
	assert.Equal(t, 2.0, n.Values["walls_meet"], "200 um: 275; 300 um: 412; 499.8 um: 687")
	assert.InDelta(t, 200*1.3737, n.Values["narrowest_meet_um"], 0.1)
	assert.Contains(t, n.Words["rule"], "published")
	assert.Contains(t, n.Words["walls"], "from memory")

	many := make([]raster.Feature, 40)
	for i := range many {
		many[i] = raster.Feature{Kind: raster.Dot, Width: 1 + float64(i)/100}
	}
	n, _ = DepthNote(500, Openings(many, 20), [4]Finest{})
	assert.Equal(t, 40, n.Count)
	assert.Len(t, n.Places, notePlaces)
	assert.False(t, math.IsInf(n.Values["narrowest_um"], 0))
}
