package preflight

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Choose says of each film what a check of its own says: the verdict, the counts
// of every kind, and every mark with its plus and minus, also where the file is
// lossy, so that plus and minus are wider. A disc of another size now and then
// finds something worse for a thinner film, or at a larger width, which check
// confirms here; then that verdict stands.
func TestChooseSaysWhatCheckSays(t *testing.T) {
	films := Films()
	for seed := int64(21); seed <= 26; seed++ {
		pic := picture(varied(seed), 600)
		pic.Lossy = seed%2 == 1
		c, err := Choose(pic, Order{}, films, Options{})
		require.NoError(t, err)
		marked, worst := false, Holds
		for _, f := range c.Films {
			name := fmt.Sprintf("seed %d, %s", seed, f.Film.Name)
			r, err := Examine(pic, Order{}, f.Film, Options{})
			require.NoError(t, err)
			worst = max(worst, r.Verdict)
			if worst == Holds && f.Verdict == AtRisk {
				require.Greater(t, f.HoldsFromWidthMM, c.Artwork.WidthMM, name)
				larger := 0.98*f.HoldsFromWidthMM - 0.01
				t.Logf("%s: at %g mm, and %g asked for", name, larger, c.Artwork.WidthMM)
				require.Greater(t, larger, c.Artwork.WidthMM, name)
				at, err := Examine(pic, Order{Size: Size{WidthUM: 1000 * larger}}, f.Film, Options{})
				require.NoError(t, err)
				worst = at.Verdict
			}
			assert.Equal(t, worst, f.Verdict, name)
			assert.Equal(t, r.Counts, f.Counts, name)
			require.Len(t, f.Marks, len(r.Marks), name)
			for i := range r.Marks {
				marked = true
				assert.Equal(t, r.Marks[i].WidthUM, f.Marks[i].WidthUM, name)
				assert.Equal(t, r.Marks[i].PlusMinusUM, f.Marks[i].PlusMinusUM, name)
			}
		}
		require.True(t, marked, "seed %d: nothing to compare", seed)
	}
}
