package report

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
)

func TestGaugeSheet(t *testing.T) {
	film := preflight.DefaultFilm("the <blue> one", 76.2)
	for _, bilevel := range []bool{false, true} {
		g, err := preflight.PlanGauge(film, 1200, bilevel)
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, GaugeSheet(&b, g, "gauge.png", ""))
		page := b.String()
		assert.Contains(t, page, "Gauge for the &lt;blue&gt; one")
		assert.NotContains(t, page, "<blue>")
		for _, steps := range g.Steps {
			for _, s := range steps {
				assert.Contains(t, page, fmt.Sprintf("<td>%d</td><td>%s</td><td>%s</td>", s.Number, span(s.LeastUM, s.MostUM, 1), span(s.LeastUM/25.4, s.MostUM/25.4, 2)))
			}
		}
		assert.Equal(t, bilevel, bytes.Contains(b.Bytes(), []byte("--whole-dots 1200")), "the command knows what was printed")
		assert.Equal(t, bilevel, bytes.Contains(b.Bytes(), []byte("whole dots allow")))
		assert.NotContains(t, page, "http", "the page needs nothing from elsewhere")
	}
	assert.Equal(t, "59.9 to 63.5", span(59.867, 63.5, 1))
	assert.Equal(t, "63.5", span(63.5, 63.5, 1))
	g, err := preflight.PlanGauge(film, 600, false)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, GaugeSheet(&b, g, "gauge.png", ""))
	assert.Contains(t, b.String(), "Use a finer printer", "42 um a pixel draws no line under 76 um")
}

// Where a wedge on whole dots begins later than its comb, the sheet says at which number.
func TestGaugeSheetSaysWhereWedgesBegin(t *testing.T) {
	film := preflight.DefaultFilm("3 mil", 76.2)
	for _, c := range []struct {
		ppi     float64
		bilevel bool
		says    string
	}{
		// Wedges begin at three dots: 127 um at 600 an inch, 31.75 at 2400.
		{600, true, "that of the lines at 11, that of the strips at 7."},
		{600, false, ""},
		{2400, true, ""},
	} {
		g, err := preflight.PlanGauge(film, c.ppi, c.bilevel)
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, GaugeSheet(&b, g, "gauge.tif", ""))
		if c.says == "" {
			assert.NotContains(t, b.String(), "not every wedge begins")
		} else {
			assert.Contains(t, b.String(), c.says)
		}
	}
}
