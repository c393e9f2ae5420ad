package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster/artwork"
	"stencilproof/raster/pen"
)

// barFile is an artwork of one line 10 px wide.
func barFile(t *testing.T, ppi float64) string {
	t.Helper()
	c := pen.NewCanvas(300, 100)
	c.Fill(pen.Rect(40, 40, 200, 10))
	var b bytes.Buffer
	require.NoError(t, artwork.EncodePNG(&b, c.Ink(), ppi))
	name := filepath.Join(t.TempDir(), "bar.png")
	require.NoError(t, os.WriteFile(name, b.Bytes(), 0o644))
	return name
}

func TestChoose(t *testing.T) {
	emptyHome(t)
	bar := barFile(t, 600) // 0.423 mm wide: 10 mil holds it
	r := runIt("choose", bar, "--grit", "F60")
	require.Zero(t, r.status, r.err)
	assert.Contains(t, r.out, "10 mil holds everything at 12.7 mm wide.")
	assert.Contains(t, r.out, "grit:")

	r = runIt("choose", bar, "--width", "1.5mm", "--format", "json") // 0.05 mm: fails on all
	assert.Equal(t, 1, r.status, r.err)
	var j struct {
		Schema string
		Films  []struct{ Verdict string }
		Advice struct{ Film, Kind string }
	}
	require.NoError(t, json.Unmarshal([]byte(r.out), &j))
	assert.Equal(t, "stencilproof/choose/1", j.Schema)
	assert.Len(t, j.Films, 7)
	assert.Equal(t, "mend", j.Advice.Kind)

	dir := t.TempDir()
	svg, png := filepath.Join(dir, "c.svg"), filepath.Join(dir, "c.png")
	r = runIt("choose", bar, "--chart", svg, "--chart", png)
	require.Zero(t, r.status, r.err)
	for name, start := range map[string]string{svg: "<svg", png: "\x89PNG"} {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.Contains(t, string(data[:min(200, len(data))]), start)
	}

	// The chart marks the film that the answer names, whatever film the shop has by habit.
	shop, own := filepath.Join(dir, "shop.toml"), filepath.Join(dir, "own.svg")
	put(t, shop, []byte("[habits]\nfilm = \"3 mil\"\n"))
	r = runIt("choose", bar, "--shop", shop, "--chart", own)
	require.Zero(t, r.status, r.err)
	data, err := os.ReadFile(own)
	require.NoError(t, err)
	assert.Regexp(t, `this job: [^<]*10.mil`, string(data))
}

func TestChooseRefuses(t *testing.T) {
	emptyHome(t)
	bar := barFile(t, 600)
	before, err := os.ReadFile(bar)
	require.NoError(t, err)
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"choose"}, "takes one artwork"},
		{[]string{"choose", bar, bar}, "takes one artwork"},
		{[]string{"choose", bar, "--width", "80"}, "no unit"},
		{[]string{"choose", bar, "--width", "80mm", "--dpi", "600"}, "each give the size"},
		{[]string{"choose", bar, "--grit", "320"}, "two things"},
		{[]string{"choose", bar, "--format", "xml"}, "no format"},
		{[]string{"choose", bar, "--chart", "c.gif"}, "no kind of file"},
		{[]string{"choose", bar, "--chart", bar}, "onto the artwork"},
		{[]string{"choose", bar, "--chart", filepath.Dir(bar) + "/./" + filepath.Base(bar)}, "onto the artwork"},
		{[]string{"choose", "nowhere.png"}, "no such file"},
		{[]string{"choose", bar, "--shop", "nowhere.toml"}, "no shop file"},
	} {
		r := runIt(c.args...)
		assert.Equal(t, 2, r.status, c.args)
		assert.Empty(t, r.out, c.args)
		assert.Contains(t, r.err, c.want, c.args)
	}
	after, err := os.ReadFile(bar)
	require.NoError(t, err)
	assert.Equal(t, before, after)
}

// What stands under the name of a chart or a gauge, an artwork perhaps, is kept
// as a copy; the same again makes none.
func TestNothingIsLostUnderAChosenName(t *testing.T) {
	emptyHome(t)
	dir := t.TempDir()
	chart, gauge := filepath.Join(dir, "c.svg"), filepath.Join(dir, "g.tif")
	for _, name := range []string{chart, gauge} {
		require.NoError(t, os.WriteFile(name, []byte("precious"), 0o600))
	}
	for round := range 2 {
		r := runIt("choose", "--width", "80mm", "--chart", chart, "../../examples/fair-winds.png")
		require.NotEqual(t, statusBroken, r.status, r.err)
		assert.Equal(t, round == 0, strings.Contains(r.err, "is kept as "+chart+".1.bak"), r.err)
		r = runIt("gauge", "print", "--film", "10 mil", "--dpi", "600", "--out", gauge)
		require.Zero(t, r.status, r.err)
	}
	for _, name := range []string{chart, gauge} {
		kept, err := os.ReadFile(name + ".1.bak")
		require.NoError(t, err)
		assert.Equal(t, "precious", string(kept))
		assert.NoFileExists(t, name+".2.bak")
	}
}

// Only the limit that --max-pixels raises is said to be raised by it.
func TestNoHintAtAnotherLimit(t *testing.T) {
	assert.Empty(t, artworkHint(artwork.LimitError{What: "1000001 x 1 pixels", Over: "the limit of 1000000 pixels a side"}))
	assert.NotEmpty(t, artworkHint(artwork.LimitError{What: "30000 x 30000 pixels", Over: "the limit of 700 million pixels", Pixels: true}))
}

// What cannot be judged is refused with its name, what is wrong, and what to do.
func TestChooseRefusesWithAHint(t *testing.T) {
	emptyHome(t)
	dir := t.TempDir()
	empty, other := filepath.Join(dir, "empty.png"), filepath.Join(dir, "other.png")
	require.NoError(t, os.WriteFile(empty, nil, 0o600))
	require.NoError(t, os.WriteFile(other, []byte("Tern & Tide"), 0o600))
	for _, c := range []struct {
		args      []string
		what, tip string
	}{
		{[]string{dir}, "it is a folder", "name one artwork in it"},
		{[]string{empty}, "the file is empty", "ask for it again"},
		{[]string{other}, "not an artwork file", "as PNG or TIFF"},
		{[]string{"--max-pixels", "100", "../../examples/fair-winds.png"}, "over the limit of 100 pixels", "--max-pixels N raises"},
		{[]string{filepath.Join(dir, "none.png")}, "no such file", "check the name"},
	} {
		r := runIt(append([]string{"choose"}, c.args...)...)
		assert.Equal(t, statusBroken, r.status, c.args)
		assert.Empty(t, r.out, c.args)
		assert.Contains(t, r.err, c.args[len(c.args)-1]+": ")
		assert.Contains(t, r.err, c.what)
		assert.Regexp(t, "\nhint: .*"+c.tip, r.err)
	}
}
