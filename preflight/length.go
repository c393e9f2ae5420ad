package preflight

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// unitsUM lists the units a length may carry and their size in micrometres.
// 1 in = 25.4 mm exactly (international inch, 1959), 1 mil = 1/1000 in,
// 1 pt = 1/72 in (the point of digital artwork). The longer name comes first
// where one ends in another.
var unitsUM = []struct {
	name string
	um   float64
}{
	{"mil", 25.4},
	{"mm", 1000},
	{"cm", 10000},
	{"um", 1},
	{"µm", 1}, // U+00B5 micro sign
	{"μm", 1}, // U+03BC Greek mu
	{"inch", 25400},
	{"in", 25400},
	{`"`, 25400},
	{"pt", 25400.0 / 72},
}

// UnitNames is what a person may write after a number.
const UnitNames = "mm, cm, um, mil, in or pt"

// ParseLength reads a length with its unit, such as "80mm", "3 in", "76um" or
// "0.5 pt", and returns micrometres, rounded to a millionth of one so that
// 3 mil is 76.2 and not a hair less. The number is plain decimal, above zero;
// a decimal comma is taken as a point, and refused where it may as well set thousands
// apart. A bare number is refused: mm and mil differ by a factor of 39, and a guess
// would carve the wrong size. Errors are of type *Problem.
func ParseLength(s string) (um float64, err error) {
	text := strings.ToLower(strings.TrimSpace(s))
	number, unit := text, 0.0
	for _, u := range unitsUM {
		if rest, ok := strings.CutSuffix(text, u.name); ok {
			number, unit = strings.TrimSpace(rest), u.um
			break
		}
	}
	v, ok := parseDecimal(number)
	switch {
	case ok && unit == 0:
		return 0, &Problem{fmt.Sprintf("%q has no unit", s), fmt.Sprintf("write the unit, for example %smm or %sin", number, number)}
	case !ok:
		return 0, &Problem{fmt.Sprintf("%q is not a length", s), "write a number and a unit, for example 80mm, 3in or 76um; units are " + UnitNames}
	case thousands().MatchString(number):
		whole, part, _ := strings.Cut(number, ",")
		return 0, &Problem{fmt.Sprintf("%q may be %s%s or %s.%s", s, whole, part, whole, part), "write it without a comma"}
	case v <= 0:
		return 0, &Problem{fmt.Sprintf("%q is not above zero", s), "a length here is always more than nothing"}
	}
	um = roundMicro(v * unit)
	if um == 0 || math.IsInf(um, 0) {
		return 0, &Problem{fmt.Sprintf("%q is out of all proportion", s), "check the number and its unit"}
	}
	return um, nil
}

// thousands is a number whose comma may be of either kind.
var thousands = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[1-9]\d{0,2},\d{3}$`) })

// parseDecimal reads digits with at most one decimal point or comma and an
// optional sign: no exponent, no hexadecimal, no "inf".
func parseDecimal(s string) (float64, bool) {
	s = strings.Replace(s, ",", ".", 1)
	digits := false
	for i, r := range s {
		switch {
		case r >= '0' && r <= '9':
			digits = true
		case r == '.', (r == '-' || r == '+') && i == 0:
		default:
			return 0, false
		}
	}
	if !digits {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// roundMicro rounds to a millionth, which takes the last digits of binary
// fractions out of products such as 3 * 25.4.
func roundMicro(v float64) float64 { return math.Round(v*1e6) / 1e6 }
