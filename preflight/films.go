package preflight

import (
	"fmt"
	"strconv"
	"strings"

	"stencilproof/raster"
)

// defaultRules are the starting limits as multiples of the film's thickness t.
// One row is published; the others are common practice or derived, and say so.
// A shop replaces them with its own.
var defaultRules = [4]struct {
	fail, safe           float64
	failBasis, safeBasis Basis
	failWhy, safeWhy     string
}{
	raster.Line: {1, 1.5, Published, Memory,
		"1 t: a line thinner than the film is thick may not come out (R. Dobbins, A&E Magazine)",
		"1.5 t: common practice, from memory, no published source"},
	raster.Dot: {1.5, 2, Memory, Memory,
		"1.5 t: common practice, from memory, no published source",
		"2 t: common practice, from memory, no published source"},
	raster.Strip: {1.5, 2, Memory, Memory,
		"1.5 t: common practice, from memory, no published source",
		"2 t: common practice, from memory, no published source"},
	raster.Island: {3, 4, Derived, Derived,
		"3 t: from the strip's 1.5 t by glued area over side area, a piece holds like a strip of half its 4A/P",
		"4 t: from the strip's 2 t by glued area over side area, a piece holds like a strip of half its 4A/P"},
}

// filmMils are the usual thicknesses in mil. Films run from about 2 to 10 mil
// (A&E Magazine, August 2018, p. 66).
var filmMils = []float64{2, 3, 4, 5, 6, 8, 10}

// Thinnest and thickest film that ParseFilm takes, in micrometres. Five times
// below and eight times above what is sold, so that a wrong unit is caught and
// an unusual film is not.
const (
	thinnestUM = 10
	thickestUM = 2000

	// mostThicknesses is the largest limit that a shop file may give, in thicknesses
	// of its film: five times the usual largest.
	mostThicknesses = 20

	// leastThicknesses is the least limit there, a fifth of the usual least: what is so much
	// narrower than the film is thick is no limit, but another unit.
	leastThicknesses = 0.2
)

// Films returns the usual films, thinnest first, with the default limits.
func Films() []Film {
	films := make([]Film, len(filmMils))
	for i, mil := range filmMils {
		films[i] = DefaultFilm(strconv.FormatFloat(mil, 'f', -1, 64)+" mil", roundMicro(mil*25.4))
	}
	return films
}

// DefaultFilm returns a film of the given thickness in micrometres with the
// default limits, which are starting values and not measured.
func DefaultFilm(name string, thicknessUM float64) Film {
	f := Film{Name: name, ThicknessUM: thicknessUM}
	for k, r := range defaultRules {
		f.Limits[k] = Limit{
			FailUM: roundMicro(r.fail * thicknessUM), SafeUM: roundMicro(r.safe * thicknessUM),
			FailBasis: r.failBasis, SafeBasis: r.safeBasis,
			FailWhy: r.failWhy, SafeWhy: r.safeWhy,
		}
	}
	return f
}

// ParseFilm finds a film by its name in the table ("3 mil"; case and spaces do
// not matter) or makes one of the thickness given ("3mil", "76um", "0.1mm")
// with the default limits. A thickness equal to one of the table's is that
// film. Errors are of type *Problem.
func ParseFilm(s string, table []Film) (Film, error) {
	squeeze := func(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), "")) }
	want := squeeze(s)
	for _, f := range table {
		if want != "" && squeeze(f.Name) == want {
			return f, nil
		}
	}
	um, err := ParseLength(s)
	if err != nil {
		names := make([]string, len(table))
		for i, f := range table {
			names[i] = strconv.Quote(f.Name)
		}
		hint := "give a thickness with its unit, such as 3mil, 76um or 0.1mm"
		if len(names) > 0 {
			hint = "name one of " + strings.Join(names, ", ") + ", or " + hint
		}
		return Film{}, &Problem{fmt.Sprintf("no film %q", s), hint}
	}
	if um < thinnestUM || um > thickestUM {
		return Film{}, &Problem{fmt.Sprintf("a film %s thick is not possible", strings.TrimSpace(s)),
			"films are 0.05 to 0.25 mm (2 to 10 mil) thick: check the number and its unit"}
	}
	for _, f := range table {
		if named, err := ParseLength(f.Name); err == nil && named == um && f.ThicknessUM == um && !f.Measured {
			return f, nil
		}
	}
	return DefaultFilm(spaceUnit(s), um), nil
}

// spaceUnit writes a length with one space before its unit: "76um" is "76 um".
func spaceUnit(s string) string {
	s = strings.ToLower(strings.TrimSpace(s))
	i := strings.LastIndexAny(s, "0123456789.,")
	return s[:i+1] + " " + strings.TrimSpace(s[i+1:])
}
