package report

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
	"stencilproof/raster"
)

// choice is a choice with something of everything.
func choice() *preflight.Choice {
	r := sample()
	c := &preflight.Choice{Artwork: r.Artwork, Notes: r.Notes}
	for i, f := range preflight.Films()[:4] {
		c.Films = append(c.Films, preflight.FilmChoice{Film: f, Verdict: preflight.Verdict(min(i, 2)), Counts: r.Counts,
			FailsBelowWidthMM: 50, HoldsFromWidthMM: 60.12, Tightest: &preflight.Tightest{Kind: raster.Strip, WidthUM: 90, SafeUM: 100, At: preflight.PointMM{X: 1, Y: 2}}})
	}
	c.Films[0].Counts, c.Films[0].Tightest, c.Films[0].HoldsFromWidthMM = [4]preflight.Count{}, nil, 0
	c.Films[3].NeverHolds = true
	return c
}

func TestChooseJSONFitsItsSchema(t *testing.T) {
	s, err := jsonschema.NewCompiler().Compile(filepath.Join("..", "..", "testdata", "schema", "choose-1.json"))
	require.NoError(t, err)
	r := sample()
	for _, a := range []preflight.Advice{
		{Kind: preflight.UseFilm, Film: "2 mil", WidthMM: 72},
		{Kind: preflight.Mend, Film: "3 mil", WidthMM: 72, Marks: r.Marks, Enlarging: "2 mil", EnlargingWidth: 90},
		{Kind: preflight.Enlarge, Film: "2 mil", WidthMM: 90},
		{Kind: preflight.Nothing},
	} {
		c := choice()
		c.Advice = a
		var b bytes.Buffer
		require.NoError(t, ChooseJSON(&b, c))
		assert.Equal(t, 1, strings.Count(b.String(), "\n"))
		require.NoError(t, valid(t, s, b.Bytes()))
		assert.Contains(t, b.String(), `"holds_from_width_mm":null`)
		for _, bad := range [][2]string{{`"kind":"strip"`, `"kind":"gap"`}, {"choose/1", "choose/2"}, {`"verdict":"fails"`, `"verdict":"no"`}} {
			changed := strings.Replace(b.String(), bad[0], bad[1], 1)
			require.NotEqual(t, b.String(), changed)
			assert.Error(t, valid(t, s, []byte(changed)), bad[1])
		}
	}
}

func TestChooseText(t *testing.T) {
	c := choice()
	r := sample()
	for _, row := range []struct {
		a    preflight.Advice
		want []string
	}{
		{preflight.Advice{Kind: preflight.UseFilm, Film: "2 mil"}, []string{"2 mil holds everything at 71.97 mm wide."}},
		{preflight.Advice{Kind: preflight.Mend, Film: "3 mil", Marks: r.Marks[:1], Enlarging: "2 mil", EnlargingWidth: 90},
			[]string{"on 3 mil only this is to blame: a line of 0.061 mm (2.4 mil) at 12.30/4.10", "2 mil holds it from 90.00 mm wide on"}},
		{preflight.Advice{Kind: preflight.Enlarge, Film: "2 mil", WidthMM: 90.5}, []string{"The least enlargement: 90.50 mm wide, on 2 mil."}},
		// Rounded up, as in the table: at the width told it holds.
		{preflight.Advice{Kind: preflight.Enlarge, Film: "2 mil", WidthMM: 9.953}, []string{"The least enlargement: 9.96 mm wide"}},
		{preflight.Advice{Kind: preflight.Nothing}, []string{"must be mended"}},
	} {
		c.Advice = row.a
		for _, want := range row.want {
			assert.Contains(t, AdviceText(c), want)
		}
	}
	// What no film and no width helps with is said with the answer.
	c.Notes = []preflight.Note{{Code: preflight.NoteGreyAreas, Values: map[string]float64{"area_mm2": 3}}}
	assert.Contains(t, AdviceText(c), "Its grey parts may come out either way")
	c.Notes[0].Values["ruling_lpi"] = 60
	assert.NotContains(t, AdviceText(c), "grey", "a halftone is judged")
	c.Notes[0] = preflight.Note{Code: preflight.NoteCornersMeet, Count: 3}
	assert.Contains(t, AdviceText(c), "no width mends")
	c.Advice = preflight.Advice{Kind: preflight.UseFilm, Film: "2 mil"}
	assert.NotContains(t, AdviceText(c), "no width mends")
	c.Advice = preflight.Advice{Kind: preflight.Nothing}
	blank := &preflight.Choice{Films: []preflight.FilmChoice{{}}, Notes: []preflight.Note{{Code: preflight.NoteNoInk}}}
	assert.Contains(t, AdviceText(blank), "nothing would be carved, on any film")
	c.Notes = r.Notes
	var b bytes.Buffer
	require.NoError(t, ChooseText(&b, c))
	text := b.String()
	assert.True(t, strings.HasPrefix(text, "No film holds"), "the answer comes first")
	for _, want := range []string{"any width", "no width", "60.12 mm wide", "0 + 1", "3,600 + 0", "strip 0.090 mm", "grit:"} {
		assert.Contains(t, text, want)
	}
	for _, line := range strings.Split(text, "\n") {
		assert.LessOrEqual(t, len(line), 110, line)
	}
	assert.NotContains(t, text, "file: ")
	c.Artwork.Remarks = []string{"The edges are soft."}
	b.Reset()
	require.NoError(t, ChooseText(&b, c))
	assert.Contains(t, b.String(), "\nfile: The edges are soft.\n")
}

// A verdict that the film's own counts do not bear out is explained, and only then.
func TestChooseTextExplainsVerdicts(t *testing.T) {
	const thinner, larger = "the thinner film's verdict stands", "loses something at a larger width"
	told := func(change func(f *preflight.FilmChoice)) string {
		c := choice()
		change(&c.Films[1])
		var b bytes.Buffer
		require.NoError(t, ChooseText(&b, c))
		return strings.Join(strings.Fields(b.String()), " ")
	}
	plain := told(func(f *preflight.FilmChoice) {})
	assert.NotContains(t, plain, thinner)
	assert.NotContains(t, plain, larger)
	as := told(func(f *preflight.FilmChoice) { f.As = "2 mil" })
	assert.Contains(t, as, thinner)
	assert.Contains(t, as, "or the thinner one whose width it is, was judged not to hold")
	at := told(func(f *preflight.FilmChoice) { f.WorseAtMM = 85.3 })
	assert.Contains(t, at, larger+" (3 mil at 85.30 mm)")
}
