package proof

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestLook writes the pages into the folder that LOOK names, to be looked at.
func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip("set LOOK to a folder to write the pages there")
	}
	for name, doc := range samplesAt(1200) {
		for i := range doc.Pages {
			out, err := os.Create(filepath.Join(dir, name+"-p-"+string(rune('1'+i))+".png"))
			require.NoError(t, err)
			require.NoError(t, doc.PNGPage(out, i))
			require.NoError(t, out.Close())
		}
		out, err := os.Create(filepath.Join(dir, name+".pdf"))
		require.NoError(t, err)
		require.NoError(t, doc.PDF(out))
		require.NoError(t, out.Close())
		out, err = os.Create(filepath.Join(dir, name+".html"))
		require.NoError(t, err)
		require.NoError(t, doc.HTML(out))
		require.NoError(t, out.Close())
	}
}

// samplesAt builds the proofs that the tests look at, at a resolution.
func samplesAt(ppi float64) map[string]*Document {
	out := map[string]*Document{}
	only := os.Getenv("ONLY")
	add := func(name string, build func() *Document) {
		if only == "" || only == name {
			out[name] = build()
		}
	}
	add("crest", func() *Document {
		e := crest(ppi, true)
		j := testJob()
		j.Films = filmsFor(e.r)
		return Build(e.r, e.ink, j)
	})
	add("holds", func() *Document { e := crest(ppi, false); return Build(e.r, e.ink, testJob()) })
	return out
}

func htmlOf(t *testing.T, d *Document) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, d.HTML(&b))
	return b.String()
}

// TestLookChart writes the chart of films into the folder that LOOK names.
func TestLookChart(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip("set LOOK to a folder to write the chart there")
	}
	e := crest(300, true)
	never := filmsFor(e.r)
	never[6].NeverHolds = true
	for name, c := range map[string]*Chart{"chart": StripChart(filmsFor(e.r), 72, "3 mil", "en"), "chart-de": StripChart(never, 150, "4 mil", "de")} {
		var b bytes.Buffer
		require.NoError(t, c.PNG(&b))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".png"), b.Bytes(), 0o644))
		b.Reset()
		require.NoError(t, c.SVG(&b))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".svg"), b.Bytes(), 0o644))
	}
}
