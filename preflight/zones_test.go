package preflight

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Zones of one survey against surveys of their own: a film of k times the
// limits at k times the width is the same question in pixels, so measuring it
// afresh there must give the same zones; the survey's own film has its report's.
func TestZonesAgainstFreshSurveys(t *testing.T) {
	films := Films()
	own := films[2] // thinner ones and thicker ones
	for seed := int64(1); seed <= 6; seed++ {
		pic := picture(varied(seed), 600)
		s, err := Take(pic, Order{}, own)
		require.NoError(t, err)
		r := Judge(s, own, Options{})
		zones := s.Zones(films, Options{})
		require.Len(t, zones, len(films))
		for i, z := range zones {
			name := fmt.Sprintf("seed %d, %s", seed, z.Film.Name)
			k := z.Film.ThicknessUM / own.ThicknessUM
			require.LessOrEqual(t, z.FailsBelowWidthMM, z.HoldsFromWidthMM, name)
			if i > 0 {
				require.GreaterOrEqual(t, z.HoldsFromWidthMM, zones[i-1].HoldsFromWidthMM, "%s: never less than a thinner film needs", name)
			}
			order := Order{Size: Size{WidthUM: 1000 * k * s.Artwork.WidthMM}}
			if k <= 1 {
				order.Size.WidthUM = 1000 * s.Artwork.WidthMM
				// at this width the survey's disc is the larger one, so only what is narrow for it may differ
				assert.InEpsilon(t, r.SufficesFromWidthMM*k, z.HoldsFromWidthMM, 1e-9, name)
				continue
			}
			fresh, err := Examine(pic, order, z.Film, Options{})
			require.NoError(t, err)
			assert.InEpsilon(t, fresh.SufficesFromWidthMM, z.HoldsFromWidthMM, 1e-6, name)
			assert.InEpsilon(t, fresh.Film.failsBelow(fresh.Finest)*fresh.Artwork.WidthMM, z.FailsBelowWidthMM, 1e-6, name)
		}
		z := zones[2]
		assert.Equal(t, r.SufficesFromWidthMM, z.HoldsFromWidthMM)
		assert.Equal(t, r.Verdict, z.VerdictAt(s.Artwork.WidthMM), "seed %d", seed)
	}
}

// A film of other proportions is judged by its own limits, on either side of
// what the survey covers.
func TestZonesOfAFilmOfItsOwn(t *testing.T) {
	own := Films()[1]
	s, err := Take(picture(varied(3), 600), Order{}, own)
	require.NoError(t, err)
	odd := own
	odd.Name = "odd"
	odd.Limits[0].SafeUM *= 3 // its lines alone are beyond the survey
	z := s.Zones([]Film{odd, own}, Options{})
	line := s.Measured.Finest[0].Width * s.Artwork.UMPerPx()
	assert.GreaterOrEqual(t, z[0].HoldsFromWidthMM, odd.Limits[0].SafeUM/line*s.Artwork.WidthMM*(1-1e-6)) // widths are rounded to the nanometre
	assert.Greater(t, z[0].HoldsFromWidthMM, z[1].HoldsFromWidthMM)
	assert.InEpsilon(t, z[0].FailsBelowWidthMM, z[1].FailsBelowWidthMM, 1e-6, "its failing limits are the same")
	assert.Equal(t, []Verdict{Fails, AtRisk, Holds}, []Verdict{z[0].VerdictAt(z[0].FailsBelowWidthMM * 0.999), z[0].VerdictAt(z[0].FailsBelowWidthMM), z[0].VerdictAt(z[0].HoldsFromWidthMM)})
}
