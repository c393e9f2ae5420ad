package preflight

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
	"stencilproof/raster/pen"
)

// varied draws a small artwork with one of each kind, or several, of random
// widths of 2.6 px and more.
func varied(seed int64) *raster.Ink {
	r := rand.New(rand.NewSource(seed))
	wide := func(from, to float64) float64 { return from * math.Pow(to/from, r.Float64()) }
	c := pen.NewCanvas(260, 200)
	c.Fill(pen.Line(raster.Point{X: 20, Y: 20 + 10*r.Float64()}, raster.Point{X: 120, Y: 25 + 20*r.Float64()}, wide(2.6, 12)))
	c.Fill(pen.Disc(160+5*r.Float64(), 30, wide(4, 20)))
	gap := wide(2.6, 14)
	c.Fill(pen.Rect(20, 70, 40, 60))
	c.Fill(pen.Rect(60+gap, 70, 40, 60))
	c.Fill(pen.Rect(150, 70, 80, 60))
	c.Erase(pen.Disc(185+8*r.Float64(), 100, wide(6, 30)))
	if seed%3 == 0 {
		c.Fill(pen.Ring(60, 165, 40, wide(3, 8)))
	}
	if seed%4 == 0 {
		c.Fill(pen.Rect(150, 160, 30, 30).Turned(0))
		c.Fill(pen.Rect(175, 172, 60, wide(3, 9)))
	}
	if seed%2 == 0 {
		return c.Bilevel()
	}
	return c.Ink()
}

func picture(k *raster.Ink, ppi float64) *artwork.Picture {
	return &artwork.Picture{Format: "png", Ink: k, XPerInch: ppi, YPerInch: ppi, Pages: 1, Page: 1}
}

// On 20 varied artworks: the smallest width found holds, judged afresh as check
// would at that size, and 2 % smaller does not; every verdict is at least as
// bad as check's; a thicker film never holds what a thinner one does not.
func TestChooseOnVariedArtworks(t *testing.T) {
	films := Films()
	seeds := int64(20)
	for seed := int64(1); seed <= seeds; seed++ {
		k := varied(seed)
		c, err := Choose(picture(k, 600), Order{}, films, Options{})
		require.NoError(t, err)
		name := fmt.Sprintf("seed %d", seed)
		for i, f := range c.Films {
			require.False(t, f.NeverHolds, name)
			require.Positive(t, f.HoldsFromWidthMM, name)
			assert.LessOrEqual(t, f.FailsBelowWidthMM, f.HoldsFromWidthMM+1e-9)
			if i > 0 {
				thin := c.Films[i-1]
				assert.GreaterOrEqual(t, f.Verdict, thin.Verdict, "%s: %s after %s", name, f.Film.Name, thin.Film.Name)
				assert.GreaterOrEqual(t, f.HoldsFromWidthMM, thin.HoldsFromWidthMM, name)
			}
			assert.Equal(t, f.Verdict == Holds, f.HoldsFromWidthMM <= c.Artwork.WidthMM, "%s: %s", name, f.Film.Name)
			if i%3 != int(seed)%3 {
				continue // every film's width is judged afresh on a third of the artworks
			}
			at := func(mm float64) Verdict {
				r, err := Examine(picture(k, 600), Order{Size: Size{WidthUM: mm * 1000}}, f.Film, Options{})
				require.NoError(t, err)
				return r.Verdict
			}
			assert.Equal(t, Holds, at(f.HoldsFromWidthMM), "%s: %s at %g mm", name, f.Film.Name, f.HoldsFromWidthMM)
			assert.NotEqual(t, Holds, at(0.98*f.HoldsFromWidthMM-0.01), "%s: %s 2 %% under %g mm", name, f.Film.Name, f.HoldsFromWidthMM)
			assert.GreaterOrEqual(t, f.Verdict, at(c.Artwork.WidthMM), "%s: %s", name, f.Film.Name)
			// And the width from which nothing fails, where no other film's says more.
			below := f.FailsBelowWidthMM
			require.Positive(t, below, name)
			assert.NotEqual(t, Fails, at(below), "%s: %s at %g mm", name, f.Film.Name, below)
			if below != f.HoldsFromWidthMM && math.Abs(below-c.Artwork.WidthMM) > 1e-6 {
				assert.Equal(t, Fails, at(0.98*below-0.01), "%s: %s 2 %% under %g mm", name, f.Film.Name, below)
			}
		}
	}
}

// By hand: a line of 10 px and nothing else. At 600 ppi it is 423.3 um wide:
// every film's safe line limit (381 um at 10 mil) is under that.
func TestChooseByHand(t *testing.T) {
	c := pen.NewCanvas(300, 100)
	c.Fill(pen.Rect(40, 40, 200, 10))
	k := c.Ink()
	got, err := Choose(picture(k, 600), Order{}, Films(), Options{})
	require.NoError(t, err)
	assert.Equal(t, Advice{Kind: UseFilm, Film: "10 mil", WidthMM: 12.7}, got.Advice)
	for _, f := range got.Films {
		// Safe is 1.5 t, so it holds from 12.7 mm * 1.5 t / 423.3 um on.
		assert.InDelta(t, 12.7*1.5*f.Film.ThicknessUM/(25400/60.0), f.HoldsFromWidthMM, 0.02*f.HoldsFromWidthMM+0.02, f.Film.Name)
		assert.InDelta(t, f.HoldsFromWidthMM/1.5, f.FailsBelowWidthMM, 0.03*f.HoldsFromWidthMM)
		require.NotNil(t, f.Tightest)
		assert.Equal(t, raster.Line, f.Tightest.Kind)
		assert.InDelta(t, 423.3, f.Tightest.WidthUM, 5)
	}

	// At half the size the line is 211.7 um: holds up to 5 mil (190.5), not 6 (228.6).
	got, err = Choose(picture(k, 1200), Order{}, Films(), Options{})
	require.NoError(t, err)
	assert.Equal(t, "5 mil", got.Advice.Film)
	assert.Equal(t, AtRisk, got.Films[4].Verdict)
	assert.Equal(t, Count{AtRisk: 1}, got.Films[4].Counts[raster.Line])

	// At an eighth it is 52.9 um: no film holds it, it alone is to blame.
	got, err = Choose(picture(k, 4800), Order{}, Films(), Options{})
	require.NoError(t, err)
	a := got.Advice
	assert.Equal(t, Mend, a.Kind)
	assert.Equal(t, "10 mil", a.Film, "the thickest on which it alone is to blame")
	require.Len(t, a.Marks, 1)
	assert.InDelta(t, 52.9, a.Marks[0].WidthUM, 1)
	assert.Equal(t, "2 mil", a.Enlarging)
	assert.Equal(t, got.Films[0].HoldsFromWidthMM, a.EnlargingWidth)

	// Many such lines: enlarge.
	many := pen.NewCanvas(300, 400)
	for i := range 12 {
		many.Fill(pen.Rect(40, 20+30*float64(i), 200, 10))
	}
	got, err = Choose(picture(many.Ink(), 4800), Order{}, Films(), Options{})
	require.NoError(t, err)
	assert.Equal(t, Enlarge, got.Advice.Kind)
	assert.Equal(t, "2 mil", got.Advice.Film)

	// Nothing to carve holds anywhere.
	got, err = Choose(picture(pen.NewCanvas(50, 50).Ink(), 600), Order{}, Films(), Options{})
	require.NoError(t, err)
	assert.Equal(t, UseFilm, got.Advice.Kind)
	assert.Zero(t, got.Films[6].HoldsFromWidthMM)
	assert.Nil(t, got.Films[6].Tightest)
	assert.False(t, got.Films[6].NeverHolds)
}

// What is to blame for a verdict that is a thinner film's is not among a film's own
// marks: to mend those is no advice.
func TestMendingIsAdvisedOnAFilmsOwnVerdict(t *testing.T) {
	films := Films()
	one := []Mark{{Kind: raster.Line, Verdict: Fails, Count: 1}}
	c := &Choice{Films: []FilmChoice{
		{Film: films[0], Verdict: Fails, Marks: []Mark{{Kind: raster.Strip, Verdict: Fails, Count: 9}}, HoldsFromWidthMM: 80},
		{Film: films[1], Verdict: Fails, Marks: one, HoldsFromWidthMM: 90},
	}}
	assert.Equal(t, Mend, c.advise().Kind)
	c.Films[1].As = films[0].Name
	assert.Equal(t, Enlarge, c.advise().Kind)
}

// A size not known is refused, and a shop's own film is judged by its own limits.
func TestChooseOrders(t *testing.T) {
	_, err := Choose(picture(varied(1), 0), Order{}, Films(), Options{})
	assert.ErrorContains(t, err, "size is not known")

	own := DefaultFilm("harbour", 76.2)
	for k := range own.Limits {
		own.Limits[k].FailUM, own.Limits[k].SafeUM = 300, 420
	}
	c := pen.NewCanvas(300, 100)
	c.Fill(pen.Rect(40, 40, 200, 10))
	got, err := Choose(picture(c.Ink(), 600), Order{}, append(Films(), own), Options{})
	require.NoError(t, err)
	for _, f := range got.Films {
		if f.Film.Name == "harbour" {
			assert.InDelta(t, 12.7*420/(25400/60.0), f.HoldsFromWidthMM, 0.3)
		}
	}
}

// A plate with twelve slots open at its rim, 7 px wide and 15 deep at 1200 pixels an inch.
// Under the limits of 6 mil and more a slot is shorter than a limit, and no thin part; 4
// mil loses all of them, so no thicker film is said to hold the plate.
func TestChooseJudgesEveryFilm(t *testing.T) {
	const slots, wide, deep = 12, 7.0, 15.0
	r := slots * (wide + 12) / (2 * math.Pi)
	mid := r + deep + 20
	c := pen.NewCanvas(int(2*mid), int(2*mid))
	c.Fill(pen.Disc(mid, mid, 2*(r+deep)))
	for i := range slots {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / slots)
		at := func(x, y float64) raster.Point { return raster.Point{X: mid + x*cos - y*sin, Y: mid + x*sin + y*cos} }
		c.Erase(pen.Polygon(at(r, -wide/2), at(r+deep+5, -wide/2), at(r+deep+5, wide/2), at(r, wide/2)))
	}
	pic := picture(c.Ink(), 1200)
	choice, err := Choose(pic, Order{}, Films(), Options{})
	require.NoError(t, err)
	worst := Holds
	for _, f := range choice.Films {
		own, err := Examine(pic, Order{}, f.Film, Options{})
		require.NoError(t, err)
		worst = max(worst, own.Verdict)
		assert.Equal(t, worst, f.Verdict, f.Film.Name)
		assert.Equal(t, own.Counts, f.Counts, f.Film.Name)
		assert.Equal(t, own.Verdict < worst, f.As != "", f.Film.Name)
	}
	assert.Equal(t, Fails, worst)
	assert.Equal(t, "2 mil", choice.Advice.Film)
}
