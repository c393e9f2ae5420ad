package proof

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
)

// The width a film holds from stays clear of the ring that marks the job, also
// where the two are the same width.
func TestWidthsOffTheJobsRing(t *testing.T) {
	const job, ring = 70.0, 2.5 // mm wide; mm on the chart, with its white rim
	limit := preflight.Limit{FailUM: 100, SafeUM: 150}
	seen := 0
	for share := 0.5; share < 3; share *= 1.01 {
		one := FilmOutcome{
			Film:              preflight.Film{Name: "3 mil", ThicknessUM: 76.2, Limits: [4]preflight.Limit{limit, limit, limit, limit}},
			FailsBelowWidthMM: 20, HoldsFromWidthMM: share * job,
		}
		other := one
		other.Film.Name, other.HoldsFromWidthMM, other.Film.ThicknessUM = "4 mil", 200, 101.6
		w := lookUp("en")
		f := w.stripFigure([]FilmOutcome{one, other}, job, "3 mil", "mm", 184, stripFine)
		at := -1.0
		for _, it := range f.Items {
			if x, ok := it.(sheet.Text); ok && x.Anchor == sheet.Middle && strings.HasPrefix(x.S, "this job") {
				at = x.X
			}
		}
		require.Positive(t, at)
		for _, it := range f.Items {
			x, ok := it.(sheet.Text)
			if !ok || !strings.HasPrefix(x.S, "from") {
				continue
			}
			seen++
			from, to := x.X, x.X+x.Font.Width(x.S)
			if x.Anchor == sheet.End {
				from, to = x.X-x.Font.Width(x.S), x.X
			}
			assert.False(t, from < at+ring && to > at-ring, "%q at %.1f to %.1f, the ring at %.1f", x.S, from, to, at)
		}
	}
	require.Greater(t, seen, 100)
}
