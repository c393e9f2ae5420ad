package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
	"stencilproof/raster/pen"
)

// The artwork of these tests: 19.5 x 16.1 mm at 600 pixels an inch, a solid
// square and a rule of a known width, 6 mm and more from every edge. On a 3 mil film a
// line fails under 0.0762 mm and holds from 0.1143 mm.
const (
	artworkW, artworkH = 460, 380
	pxPerMM            = 600 / 25.4
)

// rule draws the artwork with a rule of the width in millimetres.
func rule(widthMM float64) *raster.Ink {
	c := pen.NewCanvas(artworkW, artworkH)
	c.Fill(pen.Rect(150, 150, 60, 60))
	c.Fill(pen.Rect(300, 150, widthMM*pxPerMM, 80))
	return c.Ink()
}

// pngOf is a picture as a PNG file, without a resolution when ppi is 0.
func pngOf(t *testing.T, k *raster.Ink, ppi float64) []byte {
	t.Helper()
	var b bytes.Buffer
	if ppi > 0 {
		require.NoError(t, artwork.EncodePNG(&b, k, ppi))
		return b.Bytes()
	}
	require.NoError(t, artwork.EncodePNG(&b, k, 300))
	// Without its pHYs chunk: 4 bytes of length, the name, 9 of data, 4 of check.
	i := bytes.Index(b.Bytes(), []byte("pHYs")) - 4
	require.Greater(t, i, 0)
	return append(append([]byte{}, b.Bytes()[:i]...), b.Bytes()[i+21:]...)
}

var deskCache map[string][]byte

// deskFiles makes the artwork of a desk, once.
func deskFiles(t *testing.T) map[string][]byte {
	t.Helper()
	if deskCache == nil {
		var g4 bytes.Buffer
		require.NoError(t, artwork.EncodeG4TIFF(&g4, rule(0.32).Bits, 600))
		deskCache = map[string][]byte{
			"holds.png":  pngOf(t, rule(0.32), 600),
			"risk.png":   pngOf(t, rule(0.095), 600),
			"fails.png":  pngOf(t, rule(0.06), 600),
			"blank.png":  pngOf(t, pen.NewCanvas(200, 100).Ink(), 600),
			"nosize.png": pngOf(t, rule(0.32), 0),
			"broken.png": pngOf(t, rule(0.32), 600)[:300],
			"words.txt":  []byte("no picture"),
			"fax.tif":    g4.Bytes(),
		}
	}
	return deskCache
}

// desk fills a folder with artwork and makes it the working folder.
func desk(t *testing.T) string {
	t.Helper()
	emptyHome(t)
	dir := t.TempDir()
	t.Chdir(dir)
	for name, data := range deskFiles(t) {
		put(t, name, data)
	}
	return dir
}

func put(t *testing.T, name string, data []byte) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
	require.NoError(t, os.WriteFile(name, data, 0o644))
}

// files lists the files below the working folder that were not there before.
func files(t *testing.T, before ...string) []string {
	t.Helper()
	var list []string
	require.NoError(t, filepath.WalkDir(".", func(name string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			list = append(list, filepath.ToSlash(name))
		}
		return err
	}))
	var out []string
	for _, name := range list {
		if i := sort.SearchStrings(before, name); i == len(before) || before[i] != name {
			out = append(out, name)
		}
	}
	return out
}

// Scripts of the command: arguments, what comes in, and what goes out.
func TestCheckScripts(t *testing.T) {
	holds := pngOf(t, rule(0.32), 600)
	for _, c := range []struct {
		name   string
		args   string // split at spaces; ~ stands for one
		stdin  []byte
		status int
		out    []string // each found on standard output; none: it is empty
		err    []string // each found on standard error; none: it is empty
	}{
		{name: "holds", args: "--film 3mil --no-proof holds.png", status: 0,
			out: []string{`^HOLDS  holds\.png on 3 mil film, carved 19\.47 x 16\.09 mm\n`, `Nothing fails and nothing is at risk`}},
		{name: "at risk is no failure", args: "--film 3mil --no-proof risk.png", status: 0,
			out: []string{`^AT RISK  risk\.png`, `(?m)^1 +line +at risk +0\.09\d mm`}},
		{name: "fails", args: "--film 3mil --no-proof fails.png", status: 1,
			out: []string{`^FAILS  fails\.png`, `Will fail: 1 line\.`, `(?m)^1 +line +fails +0\.0[56]\d mm \(2\.\d mil\) +0\.0762 mm +0\.1143 mm`}},
		{name: "the same status as JSON", args: "--film 3mil --no-proof --format json fails.png", status: 1,
			out: []string{`^\{"schema":"stencilproof/report/1".*"verdict":"fails".*\}\n$`}},
		{name: "a thicker film", args: "--film 10~mil --no-proof holds.png", status: 0, out: []string{`^AT RISK  holds`}},
		{name: "enlarged it holds", args: "--film 3mil --no-proof --width 40mm fails.png", status: 0, out: []string{`^HOLDS`, `40 x 33\.04 mm, from the width given`}},
		{name: "reduced it fails", args: "--film 3mil --no-proof --height 0.12in holds.png", status: 1, out: []string{`^FAILS`, `from the height given`}},
		{name: "by dpi", args: "--film 3mil --no-proof --dpi 300 fails.png", status: 0, out: []string{`^HOLDS`, `from the pixels an inch given`}},
		{name: "a thickness is a film", args: "--film 76um --no-proof holds.png", status: 0, out: []string{`on 76 um film`}},
		{name: "group 4", args: "--film 3mil --no-proof fax.tif", status: 0, out: []string{`^HOLDS  fax\.tif`, `tiff, 460 x 380 pixels, pure black and white`}},
		{name: "negative", args: "--film 3mil --no-proof --negative holds.png", status: 0,
			out: []string{`read as a negative, white is carved`, `maybe-negative: .* leave out --negative`}},
		{name: "standard input", args: "--film 3mil --no-proof -", stdin: holds, status: 0, out: []string{`^HOLDS  - on`}},
		{name: "standard input, a proof with no place", args: "--film 3mil -", stdin: holds, status: 0,
			out: []string{`^HOLDS  - on`}, err: []string{`^no proof was written for standard input; --out DIR`}},
		{name: "grit", args: "--film 3mil --no-proof --grit F80 holds.png", status: 0,
			out: []string{`grit: F80 enters every opening, but 1 is carved slowly`}},
		{name: "depth", args: "--film 3mil --no-proof --depth 0.5mm holds.png", status: 0,
			out: []string{`depth: 1 opening is narrower than the carving is deep \(0\.5 mm\)`, `published: a line cannot`}},
		{name: "depth within reach", args: "--film 3mil --no-proof --depth 0.2mm holds.png", status: 0, out: []string{`depth: Every opening is at least as wide`}},

		{name: "no artwork", args: "--film 3mil", status: 2, err: []string{`no artwork named`, `hint: `}},
		{name: "no film", args: "gone.png", status: 2, err: []string{`no film named`, `hint: --film "3 mil"`}},
		{name: "bad film", args: "--film velvet gone.png", status: 2, err: []string{`no film "velvet"`, `hint: name one of "2 mil"`}},
		{name: "bare width", args: "--film 3mil --width 80 gone.png", status: 2, err: []string{`--width: "80" has no unit`, `hint: write the unit, for example 80mm`}},
		{name: "two sizes", args: "--film 3mil --width 80mm --dpi 600 gone.png", status: 2, err: []string{`--width and --dpi each give the size`}},
		{name: "no dpi", args: "--film 3mil --dpi 0 gone.png", status: 2, err: []string{`--dpi 0 is no resolution`}},
		{name: "NaN dpi", args: "--film 3mil --dpi NaN gone.png", status: 2, err: []string{`--dpi NaN is no resolution`}},
		{name: "format", args: "--film 3mil --format yaml gone.png", status: 2, err: []string{`no format "yaml"`}},
		{name: "date", args: "--film 3mil --date 3.5.2027 gone.png", status: 2, err: []string{`--date "3\.5\.2027" is no date`, `2027-05-03`}},
		{name: "language", args: "--film 3mil --lang xx gone.png", status: 2, err: []string{`no --lang "xx"`, `en or de`}},
		{name: "grit without a system", args: "--film 3mil --grit 320 gone.png", status: 2, err: []string{`--grit: `, `hint: `}},
		{name: "depth without a unit", args: "--film 3mil --depth 2 gone.png", status: 2, err: []string{`--depth: "2" has no unit`}},
		{name: "jobs", args: "--film 3mil --jobs 0 gone.png", status: 2, err: []string{`--jobs must be 1 or more`}},
		{name: "page", args: "--film 3mil --page 0 gone.png", status: 2, err: []string{`--page counts from 1`}},
		{name: "unknown flag", args: "--film 3mil --colour gone.png", status: 2, err: []string{`unknown flag: --colour`, `hint: stencilproof check --help`}},
		{name: "a slip in a flag", args: "--flim=3mil gone.png", status: 2, err: []string{`unknown flag: --flim`, `hint: --film is one; `}},
		{name: "one dash", args: "-film 3mil gone.png", status: 2, err: []string{`flags have two dashes: --film`}},
		{name: "shop file", args: "--film 3mil --shop gone.toml gone.png", status: 2, err: []string{`no shop file gone\.toml`}},

		{name: "gone", args: "--film 3mil gone.png", status: 2, err: []string{`stencilproof: gone\.png: no such file or folder\nhint: check the name`}},
		{name: "size unknown", args: "--film 3mil nosize.png", status: 2,
			err: []string{`stencilproof: nosize\.png: the engraved size is not known`, `hint: give one of --width 80mm`}},
		{name: "cut off", args: "--film 3mil broken.png", status: 2, err: []string{`stencilproof: broken\.png: .*cut off`}},
		{name: "no picture", args: "--film 3mil words.txt", status: 2, err: []string{`stencilproof: words\.txt: `}},
		{name: "too many pixels", args: "--film 3mil --max-pixels 1000 holds.png", status: 2, err: []string{`stencilproof: holds\.png: .*over the limit`}},
		{name: "no such page", args: "--film 3mil --page 2 holds.png", status: 2, err: []string{`stencilproof: holds\.png: .*page`}},
		{name: "empty standard input", args: "--film 3mil -", status: 2, err: []string{`stencilproof: -: `}},
		{name: "standard input twice", args: "--film 3mil - -", status: 2, err: []string{`- is named more than once`}},
		{name: "a pattern that matches nothing", args: "--film 3mil *.psd", status: 2, err: []string{`nothing matches the pattern`}},

		{name: "the worst of several", args: "--film 3mil --no-proof holds.png fails.png risk.png", status: 1,
			out: []string{`(?s)^HOLDS  holds.*\n\nFAILS  fails.*\n\nAT RISK  risk`},
			err: []string{`3 artworks: 1 hold, 1 at risk, 1 fail, 0 not checked\n`, `(?m)^  fails +fails\.png +line of 0\.0`}},
		{name: "a bad one outweighs a failing one and stops none", args: "--film 3mil --no-proof broken.png fails.png gone.png holds.png", status: 2,
			out: []string{`(?s)^FAILS  fails.*\n\nHOLDS  holds`},
			err: []string{`stencilproof: broken\.png`, `stencilproof: gone\.png`, `4 artworks: 1 hold, 0 at risk, 1 fail, 2 not checked`}},
		{name: "nothing to carve holds nothing", args: "--film 3mil --no-proof blank.png holds.png", status: 0,
			out: []string{`^NOTHING TO CARVE  blank`}, err: []string{`2 artworks: 1 hold, 0 at risk, 0 fail, 0 not checked, 1 with nothing to carve\n`}},
		{name: "quiet", args: "--film 3mil --no-proof --quiet holds.png risk.png", status: 0, out: []string{`HOLDS`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			desk(t)
			before := files(t)
			args := []string{"check"}
			for _, a := range strings.Fields(c.args) {
				args = append(args, strings.ReplaceAll(a, "~", " "))
			}
			var out, errs strings.Builder
			status := run(args, bytes.NewReader(c.stdin), &out, &errs)
			assert.Equal(t, c.status, status, "%s", errs.String())
			found(t, "standard output", c.out, out.String())
			found(t, "standard error", c.err, errs.String())
			assert.Empty(t, files(t, before...), "a run that keeps no proof leaves no file")
		})
	}
}

// found asserts that every pattern is in the text, as it is or with its lines
// joined, or that it is empty when there are none.
func found(t *testing.T, where string, patterns []string, text string) {
	t.Helper()
	if len(patterns) == 0 {
		assert.Empty(t, text, where)
	}
	joined := strings.Join(strings.Fields(text), " ")
	for _, p := range patterns {
		if !regexp.MustCompile(p).MatchString(joined) {
			assert.Regexp(t, p, text, where)
		}
	}
}

func TestHelp(t *testing.T) {
	emptyHome(t)
	for _, args := range [][]string{{"--help"}, {"-h"}, {"help"}} {
		r := runIt(args...)
		assert.Zero(t, r.status)
		assert.Empty(t, r.err)
		for _, c := range commands {
			assert.Regexp(t, `(?m)^  stencilproof `+c.name+` `, r.out, "%v lists %s", args, c.name)
		}
	}
	for _, c := range commands {
		r := runIt(c.name, "--help")
		assert.Zero(t, r.status)
		assert.Empty(t, r.err)
		assert.Equal(t, r, runIt("help", c.name))
		assert.Regexp(t, `^stencilproof `+c.name, r.out)
		for i, line := range strings.Split(r.out, "\n") {
			assert.LessOrEqual(t, len(line), 80, "%s, line %d", c.name, i+1)
		}
	}
	// Nothing is listed that is not there, and every flag of check is told.
	for _, m := range regexp.MustCompile(`(?m)^  stencilproof (\w+) `).FindAllStringSubmatch(runIt("--help").out, -1) {
		assert.Contains(t, helps, m[1])
	}
	told := 0
	for _, flag := range regexp.MustCompile(`&f\.\w+, "([a-z-]+)"`).FindAllStringSubmatch(flagSource(t), -1) {
		told++
		assert.Contains(t, helpCheck, "--"+flag[1])
	}
	assert.Equal(t, 24, told)
	assert.Equal(t, statusBroken, runIt().status)
	assert.Equal(t, statusBroken, runIt("carve").status)
	assert.Equal(t, statusBroken, runIt("help", "carve").status)
}

// flagSource is the part of check.go that adds its flags.
func flagSource(t *testing.T) string {
	t.Helper()
	src, err := os.ReadFile("check.go")
	require.NoError(t, err)
	_, rest, ok := strings.Cut(string(src), "var f checkFlags")
	require.True(t, ok)
	part, _, ok := strings.Cut(rest, "f.set = ")
	require.True(t, ok)
	return part
}

// One object a line, in the order of the arguments, whatever is done at once;
// folders are searched in the order of their names.
func TestFolderAsJSON(t *testing.T) {
	desk(t)
	for _, name := range []string{"orders/b/2.png", "orders/a.png", "orders/b/1.TIF", "orders/z.jpeg.txt", "orders/.hidden/x.png", "orders/.y.png"} {
		put(t, name, pngOf(t, rule(0.32), 600))
	}
	put(t, "orders/b/3.png", []byte("broken"))
	r := runIt("check", "--film", "3mil", "--no-proof", "--format", "json", "--jobs", "4", "orders", "fails.png", "holds.png")
	assert.Equal(t, statusBroken, r.status)
	var names []string
	for _, line := range strings.Split(strings.TrimSpace(r.out), "\n") {
		var one struct {
			Artwork struct{ File, SHA256 string }
		}
		require.NoError(t, json.Unmarshal([]byte(line), &one), line)
		names = append(names, filepath.ToSlash(one.Artwork.File))
		assert.Len(t, one.Artwork.SHA256, 64)
	}
	assert.Equal(t, []string{"orders/a.png", "orders/b/1.TIF", "orders/b/2.png", "fails.png", "holds.png"}, names)
	assert.Contains(t, filepath.ToSlash(r.err), "orders/b/3.png: ")
	assert.Contains(t, r.err, "6 artworks: 4 hold, 0 at risk, 1 fail, 1 not checked")

	require.NoError(t, os.Mkdir("empty", 0o755))
	r = runIt("check", "--film", "3mil", "empty")
	assert.Equal(t, statusBroken, r.status)
	assert.Contains(t, r.err, "empty: no artwork in this folder")
}

// The film, the margin and the name come from the shop file when it says so.
func TestCheckTakesTheShopsFilm(t *testing.T) {
	desk(t)
	put(t, "shop.toml", []byte("[habits]\nfilm = \"5 mil\"\n"))
	r := runIt("check", "--shop", "shop.toml", "--no-proof", "risk.png")
	assert.Equal(t, statusFails, r.status, r.err)
	assert.Contains(t, r.out, "on 5 mil film")
	r = runIt("check", "--shop", "shop.toml", "--film", "2 mil", "--no-proof", "risk.png")
	assert.Zero(t, r.status)
}
