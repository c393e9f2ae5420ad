package proof

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestLook writes the pages into the folder that LOOK names, to be looked at.
func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip("set LOOK to a folder to write the pages there")
	}
	for name, doc := range samples() {
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
		out, err = os.Create(filepath.Join(dir, name+".2.pdf"))
		require.NoError(t, err)
		require.NoError(t, doc.PDF(out))
		require.NoError(t, out.Close())
	}
}

func samples() map[string]*Document {
	out := map[string]*Document{}
	only := os.Getenv("ONLY")
	add := func(name string, build func() *Document) {
		if only == "" || only == name {
			out[name] = build()
		}
	}
	add("crest", func() *Document {
		e := crest(1200, true)
		j := testJob()
		j.Films = filmsFor(e.r)
		return Build(e.r, e.ink, j)
	})
	add("holds", func() *Document { e := crest(1200, false); return Build(e.r, e.ink, testJob()) })
	return out
}
