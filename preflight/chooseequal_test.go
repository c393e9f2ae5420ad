package preflight

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// Choose says of each film what a check of its own says: the verdict, the counts
// of every kind, and every mark with its plus and minus, also where the file is
// lossy, so that plus and minus are wider. (What was judged worse at a larger width is in
// TestWorseAtALargerWidthStands.)
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
			assert.Zero(t, f.WorseAtMM, name)
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

// Also where a film holds from a width at which its limits span less than two
// pixels, the width is judged there: lines and gaps of under two pixels.
func TestChooseJudgesSmallLimitsToo(t *testing.T) {
	films := Films()
	for _, w := range []float64{0.9, 1.3, 1.7} {
		c := pen.NewCanvas(160, 120)
		c.Fill(pen.Line(raster.Point{X: 20, Y: 20}, raster.Point{X: 120, Y: 32}, w))
		c.Fill(pen.Rect(20, 50, 40, 50))
		c.Fill(pen.Rect(60+1.2*w, 50, 40, 50))
		c.Fill(pen.Ring(130, 80, 20, 1.1*w))
		k := c.Ink()
		got, err := Choose(picture(k, 600), Order{}, films, Options{})
		require.NoError(t, err)
		for _, i := range []int{0, 6} {
			f := got.Films[i]
			at := func(mm float64) Verdict {
				r, err := Examine(picture(k, 600), Order{Size: Size{WidthUM: mm * 1000}}, f.Film, Options{})
				require.NoError(t, err)
				return r.Verdict
			}
			assert.Equal(t, Holds, at(f.HoldsFromWidthMM), "%s, %g px: %g mm", f.Film.Name, w, f.HoldsFromWidthMM)
			assert.NotEqual(t, Holds, at(0.98*f.HoldsFromWidthMM-0.01), "%s, %g px: 2 %% under %g mm", f.Film.Name, w, f.HoldsFromWidthMM)
		}
	}
}

// In pixels the usual films are one, at widths as they are thick: what is a width of one is
// a width of all, to the last digit, so that finding it costs the others no survey. And it
// is a width that can be written down.
func TestAlikeFilmsShareTheirWidths(t *testing.T) {
	films := Films()
	for seed := int64(1); seed <= 6; seed++ {
		pic := picture(varied(seed), 600)
		look, err := lookAt(pic, Order{})
		require.NoError(t, err)
		c := newChooser(pic.Ink, look, Order{}, Options{})
		for _, f := range films {
			c.judge(f, c.asked)
		}
		for _, level := range []Verdict{Holds, AtRisk} {
			first := c.smallest(films[0], level)
			c.widths = append(c.widths, first)
			made := c.made
			for _, f := range films[1:] {
				w := c.smallest(f, level)
				name := fmt.Sprintf("seed %d, %s", seed, f.Name)
				assert.InEpsilon(t, first.mm*f.ThicknessUM/films[0].ThicknessUM, w.mm, 1e-12, name)
				assert.Equal(t, w.mm, math.Round(w.mm*1e4)/1e4, name)
			}
			assert.Equal(t, made, c.made, "seed %d", seed)
		}
	}
}

// Where a film was judged worse at a larger width than the one asked for, that stands, and
// the width is told.
func TestWorseAtALargerWidthStands(t *testing.T) {
	c := pen.NewCanvas(300, 100)
	c.Fill(pen.Rect(50, 40, 200, 20)) // 20 px at 600 an inch: wider than any limit
	pic := picture(c.Ink(), 600)
	look, err := lookAt(pic, Order{})
	require.NoError(t, err)
	film := Films()[0]
	find := func(tried ...judgement) FilmChoice {
		ch := newChooser(pic.Ink, look, Order{}, Options{})
		ch.judged = []judgement{{film, ch.asked, ch.judge(film, ch.asked)}}
		ch.tried = append(ch.tried, tried...)
		return ch.film(film)
	}
	plain := find()
	assert.Equal(t, Holds, plain.Verdict)
	assert.Zero(t, plain.WorseAtMM)
	asked := look.Artwork.WidthMM
	worse := find(judgement{film, 3 * asked, &Report{Film: film, Verdict: Fails}})
	assert.Equal(t, AtRisk, worse.Verdict)
	assert.GreaterOrEqual(t, worse.WorseAtMM, 3*asked)
	assert.Greater(t, worse.HoldsFromWidthMM, worse.WorseAtMM)
	assert.Less(t, worse.HoldsFromWidthMM, 3.1*asked)
}
