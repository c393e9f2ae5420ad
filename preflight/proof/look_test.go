package proof

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
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

// samplesAt builds all the pages that the tests look at, or the one that ONLY
// names.
func samplesAt(ppi float64) map[string]*Document {
	out := map[string]*Document{}
	only := os.Getenv("ONLY")
	for name, build := range sampleBuilders(ppi) {
		if only == "" || only == name {
			out[name] = build()
		}
	}
	return out
}

func sampleAt(name string, ppi float64) *Document { return sampleBuilders(ppi)[name]() }

func sampleBuilders(ppi float64) map[string]func() *Document {
	out := map[string]func() *Document{}
	add := func(name string, build func() *Document) { out[name] = build }
	add("crest", func() *Document {
		e := crest(ppi, true)
		j := testJob()
		j.Films = filmsFor(e.r)
		return Build(e.r, e.ink, j)
	})
	add("bench", func() *Document {
		e := crest(ppi, true)
		j := testJob()
		j.Films = filmsFor(e.r)
		return BuildBench(e.r, e.ink, j, benchFacts(e.r))
	})
	add("holds", func() *Document { e := crest(ppi, false); return Build(e.r, e.ink, testJob()) })
	add("crest-de", func() *Document {
		e := crest(ppi, true)
		j := testJob()
		j.Lang, j.Films = "de", filmsFor(e.r)
		return Build(e.r, e.ink, j)
	})
	add("bench-de-letter", func() *Document {
		e := crest(ppi, true)
		j := testJob()
		j.Lang, j.Films, j.Paper = "de", filmsFor(e.r), "letter"
		return BuildBench(e.r, e.ink, j, benchFacts(e.r))
	})
	add("bench-twelve", func() *Document {
		e := some(ppi, 80, 70, 12, preflight.Fails)
		j := testJob()
		j.Lang, j.Films, j.Paper, j.Units = "de", filmsFor(e.r), "letter", "in"
		return BuildBench(e.r, e.ink, j, benchFacts(e.r))
	})
	add("bench-holds", func() *Document {
		e := crest(ppi, false)
		return BuildBench(e.r, e.ink, testJob(), BenchFacts{Facts: preflight.Facts(&e.r.Film, nil)})
	})
	add("letter-in", func() *Document {
		e := crest(ppi, true)
		j := testJob()
		j.Paper, j.Units, j.Films = "letter", "in", filmsFor(e.r)
		return Build(e.r, e.ink, j)
	})
	add("letter-mil-holds", func() *Document {
		e := crest(ppi, false)
		j := testJob()
		j.Paper, j.Units = "letter", "mil"
		return Build(e.r, e.ink, j)
	})
	add("risk", func() *Document { e := some(ppi, 72, 60, 3, preflight.AtRisk); return Build(e.r, e.ink, testJob()) })
	add("one", func() *Document { e := some(ppi, 30, 74, 1, preflight.Fails); return Build(e.r, e.ink, testJob()) })
	add("twelve", func() *Document { e := some(ppi, 80, 70, 12, preflight.Fails); return Build(e.r, e.ink, testJob()) })
	add("sixty", func() *Document { e := some(ppi, 80, 70, 60, preflight.Fails); return Build(e.r, e.ink, testJob()) })
	add("scatter", func() *Document { e := some(ppi, 80, 70, 400, preflight.Fails); return Build(e.r, e.ink, testJob()) })
	add("pattern", func() *Document { e := pattern(ppi); return Build(e.r, e.ink, testJob()) })
	add("banner", func() *Document { e := some(ppi, 180, 45, 8, preflight.Fails); return Build(e.r, e.ink, testJob()) })
	add("banner-small", func() *Document { e := some(ppi, 80, 30, 2, preflight.Fails); return Build(e.r, e.ink, testJob()) })
	add("banner-holds", func() *Document {
		e := some(ppi, 150, 50, 0, preflight.Holds)
		return Build(e.r, e.ink, testJob())
	})
	add("large", func() *Document {
		e := some(ppi, 150, 160, 5, preflight.Fails)
		e.r.Artwork.Negative = true
		for _, c := range []preflight.NoteCode{preflight.NoteSizeDoubtful, preflight.NoteLowResolution, preflight.NoteGreyAreas, preflight.NoteLossy, preflight.NoteMaybeNegative, preflight.NotePoints} {
			e.r.Notes = append(e.r.Notes, preflight.Note{Code: c, Count: 3, Values: map[string]float64{"needed_ppi": 1180}})
		}
		for i := range e.r.Marks {
			e.r.Marks[i].PlusMinusUM = 40
		}
		return Build(e.r, e.ink, testJob())
	})
	add("hostile", func() *Document { e := some(ppi, 60, 60, 2, preflight.Fails); return Build(e.r, e.ink, hostileJob()) })
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
	for name, c := range map[string]*Chart{"chart": StripChart(filmsFor(e.r), 72, "3 mil", "en", "mm"), "chart-de": StripChart(never, 150, "4 mil", "de", "in")} {
		var b bytes.Buffer
		require.NoError(t, c.PNG(&b))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".png"), b.Bytes(), 0o644))
		b.Reset()
		require.NoError(t, c.SVG(&b))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".svg"), b.Bytes(), 0o644))
	}
}
