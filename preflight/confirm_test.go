package preflight

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
	"stencilproof/raster/pen"
)

// A width that Confirm gives was judged to hold by a check of its own, on the side of
// the size asked for that the widths point to, and none is given beyond what is worth
// advising.
func TestConfirmedWidthsHold(t *testing.T) {
	given, moved := 0, 0
	for seed := int64(1); seed <= 12; seed++ {
		for _, film := range []Film{Films()[0], Films()[3], Films()[6]} {
			name := fmt.Sprintf("seed %d, %s", seed, film.Name)
			pic := picture(varied(seed), 600)
			s, err := Take(pic, Order{}, film)
			require.NoError(t, err)
			r := Judge(s, film, Options{})
			got := Confirm(r, s, pic, Options{}, nil)
			assert.Equal(t, r.SufficesFromWidthMM, got.SufficesFromWidthMM, name)
			w, asked := got.HoldsFromWidthMM, r.Artwork.WidthMM
			if w == 0 {
				continue
			}
			given++
			if w > r.Film.upStep(r.SufficesFromWidthMM) {
				moved++
			}
			assert.LessOrEqual(t, w, MuchLarger*asked, name)
			assert.Equal(t, r.Verdict == Holds, w <= asked, name)
			at, err := Examine(pic, Order{Size: Size{WidthUM: 1000 * w}}, film, Options{})
			require.NoError(t, err)
			assert.Equal(t, Holds, at.Verdict, "%s at %g mm", name, w)
		}
	}
	assert.Greater(t, given, 15)
	t.Logf("%d widths given, %d not the first tried", given, moved)
}

// By hand: a line of 10 px, at 2400 pixels an inch 105.8 um, holds from 1.5 t on: on
// 4 mil, 152.4 um, from 1.44 times as wide. A speck beside it holds nowhere near: without
// it the line's width stands.
func TestConfirmByHand(t *testing.T) {
	c := pen.NewCanvas(300, 100)
	c.Fill(pen.Rect(40, 40, 200, 10))
	film := Films()[2]
	confirmed := func(k *raster.Ink) *Report {
		pic := &artwork.Picture{Format: "png", Ink: k, XPerInch: 2400, YPerInch: 2400, Pages: 1, Page: 1}
		s, err := Take(pic, Order{}, film)
		require.NoError(t, err)
		return Confirm(Judge(s, film, Options{}), s, pic, Options{}, nil)
	}
	const asked = 300 * 25.4 / 2400
	r := confirmed(c.Ink())
	assert.InDelta(t, 1.44*asked, r.HoldsFromWidthMM, 0.02*asked)
	assert.Zero(t, r.CleanFromWidthMM, "there is no dust")

	c.Fill(pen.Rect(270, 80, 1, 1))
	r = confirmed(c.Ink())
	assert.Zero(t, r.HoldsFromWidthMM, "a pixel is 10.6 um, and a dot of 203.2 holds")
	assert.InDelta(t, 1.44*asked, r.CleanFromWidthMM, 0.02*asked)
}
