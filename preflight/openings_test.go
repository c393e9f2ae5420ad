package preflight

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// Specks that are judged are openings to the notes on grit and depth too, and specks left
// out are none.
func TestNotesCountSpecksAsTheVerdictDoes(t *testing.T) {
	c := pen.NewCanvas(400, 300)
	c.Fill(pen.Rect(50, 50, 300, 60))
	for x := range 5 {
		c.Fill(pen.Rect(60+float64(40*x), 200, 1, 1))
	}
	film := Films()[1]
	pic := picture(c.Bilevel(), 1200)
	s, err := Take(pic, Order{OpeningsUM: 400}, film)
	require.NoError(t, err)
	grit, err := ParseGrit("F150")
	require.NoError(t, err)
	for _, drop := range []bool{false, true} {
		var cannot, shallow Note
		r := Judge(s, film, Options{DropSpecks: drop, Checks: []Check{func(s *Survey, r *Report) []Note {
			cannot, _ = GritNote(grit, s.Openings, r.Finest)
			shallow, _ = DepthNote(400, s.Openings, r.Finest)
			return nil
		}}})
		want := 5
		if drop {
			want = 0
		}
		assert.Equal(t, want, r.Counts[raster.Dot].Fails, "drop %t", drop)
		assert.Equal(t, want, cannot.Count, "drop %t", drop)
		assert.Equal(t, want, shallow.Count, "drop %t", drop)
		if !drop {
			assert.Equal(t, r.Finest[raster.Dot].WidthUM, cannot.Values["narrowest_um"])
		}
	}
	assert.Empty(t, s.Openings, "the survey is as it was")
}
