package preflight

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseLength(t *testing.T) {
	for _, c := range []struct {
		in string
		um float64
	}{
		{"80mm", 80000}, {"80 mm", 80000}, {" 80 MM ", 80000}, {"8cm", 80000},
		{"3in", 76200}, {`3"`, 76200}, {"3 inch", 76200}, {"3.5in", 88900},
		{"3mil", 76.2}, {"7 mil", 177.8}, {"76um", 76}, {"76µm", 76}, {"76 μm", 76},
		{"0.1mm", 100}, {".1mm", 100}, {"0,1 mm", 100}, {"0,125 mm", 125}, {"1,25 mm", 1250}, {"1,2000mm", 1200},
		{"72pt", 25400}, {"1pt", 352.777778},
	} {
		um, err := ParseLength(c.in)
		require.NoError(t, err, c.in)
		assert.Equal(t, c.um, um, c.in)
	}
}

func TestParseLengthRefuses(t *testing.T) {
	for _, c := range []struct{ in, what, hint string }{
		{"80", `"80" has no unit`, "write the unit, for example 80mm or 80in"},
		{"", `"" is not a length`, "80mm"},
		{"mm", `"mm" is not a length`, "80mm"},
		{"1e3mm", `not a length`, "units are"},
		{"0x10mm", `not a length`, "units are"},
		{"infmm", `not a length`, "units are"},
		{"nan um", `not a length`, "units are"},
		{"1.2.3mm", `not a length`, "units are"},
		{"80 px", `not a length`, "units are mm, cm, um, mil, in or pt"},
		{"1,200mm", "may be 1200 or 1.200", "without a comma"},
		{"80,000 um", "may be 80000 or 80.000", "without a comma"},
		{"0mm", "not above zero", "more than nothing"},
		{"-3mm", "not above zero", "more than nothing"},
		{"0.00000001um", "out of all proportion", "check the number"},
	} {
		_, err := ParseLength(c.in)
		var p *Problem
		require.True(t, errors.As(err, &p), "%q: %v", c.in, err)
		assert.Contains(t, p.What, c.what, c.in)
		assert.Contains(t, p.Do, c.hint, c.in)
	}
}
