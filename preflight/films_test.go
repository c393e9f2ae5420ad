package preflight

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

// The multiples of the thickness are section 3 of the design; a published
// source stands behind the line's fail limit only (R. Dobbins, A&E Magazine).
func TestDefaultLimits(t *testing.T) {
	f := DefaultFilm("x", 100)
	assert.Equal(t, [2]float64{100, 150}, [2]float64{f.Limit(raster.Line).FailUM, f.Limit(raster.Line).SafeUM})
	assert.Equal(t, [2]float64{150, 200}, [2]float64{f.Limit(raster.Dot).FailUM, f.Limit(raster.Dot).SafeUM})
	assert.Equal(t, [2]float64{150, 200}, [2]float64{f.Limit(raster.Strip).FailUM, f.Limit(raster.Strip).SafeUM})
	assert.Equal(t, [2]float64{300, 400}, [2]float64{f.Limit(raster.Island).FailUM, f.Limit(raster.Island).SafeUM})
	for _, k := range raster.Kinds {
		l := f.Limit(k)
		assert.NotEmpty(t, l.FailWhy, k)
		assert.NotEmpty(t, l.SafeWhy, k)
		for _, basis := range []Basis{l.FailBasis, l.SafeBasis} {
			assert.Less(t, basis, ShopRule, "a default limit is neither a shop's nor measured: %v", k)
		}
	}
	assert.Equal(t, Published, f.Limit(raster.Line).FailBasis)
}

func TestFilms(t *testing.T) {
	films := Films()
	var names []string
	var um []float64
	for _, f := range films {
		names, um = append(names, f.Name), append(um, f.ThicknessUM)
	}
	assert.Equal(t, []string{"2 mil", "3 mil", "4 mil", "5 mil", "6 mil", "8 mil", "10 mil"}, names)
	assert.Equal(t, []float64{50.8, 76.2, 101.6, 127, 152.4, 203.2, 254}, um)
	for i := 1; i < len(films); i++ {
		for _, k := range raster.Kinds {
			assert.Less(t, films[i-1].Limit(k).FailUM, films[i].Limit(k).FailUM)
			assert.Less(t, films[i-1].Limit(k).SafeUM, films[i].Limit(k).SafeUM)
		}
	}
}

func TestParseFilm(t *testing.T) {
	shop := append([]Film{{Name: "Own green", ThicknessUM: 76.2}}, append(Films(), Film{Name: "Blue sheet", ThicknessUM: 90, Measured: true})...)
	for _, c := range []struct {
		in, name string
		um       float64
	}{
		{"3 mil", "3 mil", 76.2}, {"3mil", "3 mil", 76.2}, {" 3  MIL", "3 mil", 76.2},
		{"76.2um", "3 mil", 76.2}, {"0.003in", "3 mil", 76.2},
		{"76um", "76 um", 76}, {"0.1mm", "0.1 mm", 100}, {"7 mil", "7 mil", 177.8},
		{"blue sheet", "Blue sheet", 90}, {"bluesheet", "Blue sheet", 90},
		{"90um", "90 um", 90}, // a measured film is never taken for its thickness alone
	} {
		f, err := ParseFilm(c.in, shop)
		require.NoError(t, err, c.in)
		assert.Equal(t, c.name, f.Name, c.in)
		assert.Equal(t, c.um, f.ThicknessUM, c.in)
		if c.name == "Blue sheet" {
			assert.True(t, f.Measured)
		} else {
			assert.Equal(t, DefaultFilm(c.name, c.um).Limits, f.Limits, c.in)
		}
	}
	for _, c := range []struct{ in, what, hint string }{
		{"3", `no film "3"`, `"3 mil"`},
		{"", `no film ""`, "3mil"},
		{"velvet", `no film "velvet"`, "76um"},
		{"3mm", "3mm thick is not possible", "2 to 10 mil"},
		{"3um", "3um thick is not possible", "check the number and its unit"},
	} {
		_, err := ParseFilm(c.in, shop)
		var p *Problem
		require.True(t, errors.As(err, &p), "%q: %v", c.in, err)
		assert.Contains(t, p.What, c.what)
		assert.Contains(t, p.Do, c.hint)
	}
}
