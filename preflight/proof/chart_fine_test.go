package proof

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
)

// The chart beside choose's words tells widths as they do, to the hundredth of a
// millimetre and rounded up; on a page they are rougher, but never past the job's
// own width when they do not lie past it.
func TestChartTellsWidthsAsTheReport(t *testing.T) {
	limit := preflight.Limit{FailUM: 100, SafeUM: 150}
	films := []FilmOutcome{{
		Film:              preflight.Film{Name: "3 mil", ThicknessUM: 76.2, Limits: [4]preflight.Limit{limit, limit, limit, limit}},
		FailsBelowWidthMM: 28.001, HoldsFromWidthMM: 42.003,
	}}
	for _, c := range []struct {
		unit string
		job  float64
		rows plotRows
		from string
		this string
		alt  string
	}{
		{"mm", 42.27, stripFine, "from 42.01", "this job: 42.27_mm wide", "28.01_mm"},
		{"mm", 80, stripFine, "from 42.01", "this job: 80_mm wide", "28.01_mm"},
		{"in", 80, stripFine, "from 1.654", "this job: 3.150_in wide", "1.103_in"}, // 42.003 / 25.4 = 1.65366
		{"mil", 80, stripFine, "from 1.654", "this job: 3.150_in wide", "1.103_in"},
		{"mm", 80, stripRows, "from 43", "this job: 80_mm wide", "29_mm"},
		{"mm", 42.27, stripRows, "from 42.01", "this job: 42.3_mm wide", "29_mm"},
		{"mm", 40, stripRows, "from 43", "this job: 40_mm wide", "29_mm"},
	} {
		f := lookUp("en").stripFigure(films, c.job, "3 mil", c.unit, 184, c.rows)
		var all []string
		for _, it := range f.Items {
			if x, ok := it.(sheet.Text); ok {
				all = append(all, strings.ReplaceAll(x.S, nbsp, "_"))
			}
		}
		name := fmt.Sprint(c)
		assert.Contains(t, all, c.from, name)
		assert.Contains(t, strings.Join(all, "\n"), c.this, name)
		assert.Contains(t, strings.ReplaceAll(f.Alt, nbsp, "_"), c.alt, name)
	}
}
