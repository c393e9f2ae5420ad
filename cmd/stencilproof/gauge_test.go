package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/tiff"

	"stencilproof/preflight"
	"stencilproof/raster"
)

func TestGaugePrintAndRecord(t *testing.T) {
	usual := emptyHome(t)
	dir := t.TempDir()
	out := filepath.Join(dir, "gauge.tif")
	r := runIt("gauge", "print", "--film", "10 mil", "--dpi", "600", "--out", out)
	require.Zero(t, r.status, r.err)
	assert.Empty(t, r.err)
	data, err := os.ReadFile(out)
	require.NoError(t, err)
	im, err := tiff.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	assert.Greater(t, im.Bounds().Dx(), 3000)
	sheet, err := os.ReadFile(filepath.Join(dir, "gauge-sheet.html"))
	require.NoError(t, err)
	assert.Contains(t, string(sheet), "--whole-dots 600")

	// The first recording makes the file, the second keeps a copy of it.
	r = runIt("gauge", "record", "--film", "10 mil", "--whole-dots", "600", "--line", "8,9", "--runs", "2", "--strip", "9,9")
	require.Zero(t, r.status, r.err)
	assert.Contains(t, r.out, usual)
	first, err := os.ReadFile(usual)
	require.NoError(t, err)
	r = runIt("gauge", "record", "--film", "10 mil", "--whole-dots", "600", "--line", "5", "--dot", "7", "--island", "7")
	assert.NotContains(t, r.err, "lettered WHOLE")
	require.Zero(t, r.status, r.err)
	kept, err := os.ReadFile(usual + ".1.bak")
	require.NoError(t, err)
	assert.Equal(t, string(first), string(kept))

	shop, err := loadShop("")
	require.NoError(t, err)
	f, err := preflight.ParseFilm("10 mil", shop.Films())
	require.NoError(t, err)
	assert.True(t, f.Measured)
	g, err := preflight.PlanGauge(preflight.DefaultFilm("10 mil", 254), 600, true)
	require.NoError(t, err)
	want, err := g.Limits(preflight.GaugeReading{raster.Line: {8, 9, 5}})
	require.NoError(t, err)
	assert.Equal(t, want[raster.Line].FailUM, f.Limits[raster.Line].FailUM, "three readings in two sittings")
	assert.Equal(t, want[raster.Line].SafeUM, f.Limits[raster.Line].SafeUM)
	assert.Contains(t, runIt("films").out, "measured in this shop")
}

// A shop file that is a link to one on a shared disk stays a link.
func TestGaugeRecordThroughALink(t *testing.T) {
	emptyHome(t)
	dir := t.TempDir()
	real, link := filepath.Join(dir, "shared", "shop.toml"), filepath.Join(dir, "shop.toml")
	put(t, real, []byte("[shop]\nname = \"Tern & Tide\"\n"))
	if err := os.Symlink(real, link); err != nil {
		t.Skip("this system makes no links: ", err)
	}
	r := runIt("gauge", "record", "--shop", link, "--film", "3 mil", "--line", "7")
	require.Zero(t, r.status, r.err)
	assert.Contains(t, r.err, "one lettered WHOLE") // which gauge it was, nobody said
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&os.ModeSymlink)
	data, err := os.ReadFile(real)
	require.NoError(t, err)
	assert.Contains(t, string(data), "3 mil")
}

func TestGaugeRefusesWithoutATrace(t *testing.T) {
	usual := emptyHome(t)
	dir := t.TempDir()
	out := filepath.Join(dir, "g.png")
	broken := filepath.Join(dir, "broken.toml")
	require.NoError(t, os.WriteFile(broken, []byte("[shop"), 0o644))
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"gauge"}, "print or record"},
		{[]string{"gauge", "show"}, "print or record"},
		{[]string{"gauge", "print", "--film", "3mil", "--out", out}, "how fine"},
		{[]string{"gauge", "print", "--film", "3mil", "--dpi", "1200"}, "where should"},
		{[]string{"gauge", "print", "--dpi", "1200", "--out", out}, "which film"},
		{[]string{"gauge", "print", "--film", "3mil", "--dpi", "100", "--out", out}, "cannot be drawn at 100"},
		{[]string{"gauge", "print", "--film", "3mil", "--dpi", "1200", "--out", filepath.Join(dir, "g.jpg")}, "no kind of file"},
		{[]string{"gauge", "print", "--film", "thick", "--dpi", "1200", "--out", out}, `no film "thick"`},
		{[]string{"gauge", "print", "--film", "3mil", "--dpi", "1200", "--out", out, "--line", "7"}, "has no --line"},
		{[]string{"gauge", "record", "--film", "3mil", "--line", "7", "--out", out}, "has no --out"},
		{[]string{"gauge", "record", "--film", "3mil", "--line", "7", "--dpi", "0"}, "--dpi must be"},
		{[]string{"gauge", "record", "--film", "3mil", "--line", "7", "--dpi", "1200", "--whole-dots", "1200"}, "contradict"},
		{[]string{"gauge", "record", "--film", "3mil", "--line", "1", "--dpi", "1200"}, "no line step 1"},
		{[]string{"gauge", "record", "--film", "3mil", "--line", "7", "--line", "8"}, "given twice"},
		{[]string{"gauge", "record", "--film", "3mil"}, "no step was read"},
		{[]string{"gauge", "record", "--film", "3mil", "--line", "seven"}, "no step's number"},
		{[]string{"gauge", "record", "--film", "3mil", "--line", "7", "--runs", "2"}, "--runs says 2"},
		{[]string{"gauge", "record", "--film", "3mil", "--line", "77"}, "no line step 77"},
		{[]string{"gauge", "record", "--film", "3mil", "--line", "7", "--runs", "0"}, "--runs must be"},
		{[]string{"gauge", "record", "--film", "3mil", "--line", "7", "--whole-dots", "0"}, "--whole-dots must be"},
		{[]string{"gauge", "record", "--film", "3mil", "--line", "7", "--shop", broken}, "broken.toml:1"},
	} {
		r := runIt(c.args...)
		assert.Equal(t, 2, r.status, c.args)
		assert.Empty(t, r.out, c.args)
		assert.Contains(t, r.err, c.want, c.args)
	}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 1, "nothing was written")
	assert.NoFileExists(t, usual)
}

// A fail limit that no step of the gauge showed is filed as what it is, and read as that.
func TestGaugeRecordFilesAGuess(t *testing.T) {
	emptyHome(t)
	shop := filepath.Join(t.TempDir(), "shop.toml")
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--line", "1"}, `basis = "measured", fail-basis = "from memory"`},
		{[]string{"--line", "2", "--dpi", "1200"}, `fail-basis = "from memory"`},
		{[]string{"--line", "2"}, `fail-basis = "from memory"`}, // widened: step 1's stays
		{[]string{"--line", "2", "--anew"}, `basis = "measured", date`},
	} {
		r := runIt(append([]string{"gauge", "record", "--film", "3mil", "--shop", shop}, c.args...)...)
		require.Equal(t, 0, r.status, r.err)
		data, err := os.ReadFile(shop)
		require.NoError(t, err)
		line := ""
		for _, l := range strings.Split(string(data), "\n") {
			if strings.HasPrefix(l, "line") {
				line = l
			}
		}
		assert.Contains(t, line, c.want, c.args)
		films := runIt("films", "--shop", shop)
		guess := "from memory, for nothing that fails was seen on the gauge"
		if strings.Contains(c.want, "fail-basis") {
			assert.Contains(t, strings.Join(strings.Fields(films.out), " "), guess, c.args)
		} else {
			assert.NotContains(t, strings.Join(strings.Fields(films.out), " "), guess, c.args)
		}
	}
}
