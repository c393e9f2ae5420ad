package proof

import (
	"math"
	"strconv"
	"strings"
)

// nbsp joins a number to its unit.
const nbsp = "\u00A0"

// numbers writes numbers in a language and a system of units.
type numbers struct {
	unit     string // mm, in, mil
	decimal  string
	thousand string
	under    string // the word before a limit
	fine     bool   // sizes are told to the hundredth of a millimetre, the thousandth of an inch
}

// width units: micrometres a unit and the places that 0.01 mm comes to.
func (n numbers) widthUnit() (um float64, places int, name string) {
	switch n.unit {
	case "in":
		return 25400, 4, "in"
	case "mil":
		return 25.4, 1, "mil"
	}
	return 1000, 2, "mm"
}

// fixed writes v with so many decimals.
func (n numbers) fixed(v float64, places int) string {
	s := strconv.FormatFloat(v, 'f', places, 64)
	whole, frac, _ := strings.Cut(s, ".")
	whole = n.group(whole)
	if frac == "" {
		return whole
	}
	return whole + n.decimal + frac
}

// count writes a whole number with its thousands set apart.
func (n numbers) count(v int) string { return n.group(strconv.Itoa(v)) }

func (n numbers) group(s string) string {
	sign := ""
	if strings.HasPrefix(s, "-") {
		sign, s = "-", s[1:]
	}
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + n.thousand + s[i:]
	}
	return sign + s
}

func roundTo(v float64, places int) float64 {
	p := math.Pow(10, float64(places))
	return math.Round(v*p) / p
}

// ceilTo rounds up; a millionth of the last place is taken for rounding noise.
func ceilTo(v float64, places int) float64 {
	p := math.Pow(10, float64(places))
	return math.Ceil(v*p-1e-6) / p
}

// width writes a width given in micrometres, to the nearest 0.01 mm; one that
// would be written as nothing is "under" the smallest number there is.
func (n numbers) width(um float64) string {
	u, places, name := n.widthUnit()
	if roundTo(um/u, places) == 0 {
		return n.least(places, name)
	}
	return n.fixed(um/u, places) + nbsp + name
}

// least writes that a width is under the smallest number of so many places.
func (n numbers) least(places int, name string) string {
	return n.under + nbsp + n.fixed(math.Pow(10, -float64(places)), places) + nbsp + name
}

// widthUp writes a width rounded up: what to make a thing at least.
func (n numbers) widthUp(um float64) string {
	u, places, name := n.widthUnit()
	return n.fixed(ceilTo(um/u, places), places) + nbsp + name
}

// doubt writes how far off a width may be, rounded up to a place more than a width has.
func (n numbers) doubt(um float64) string {
	u, places, name := n.widthUnit()
	return n.fixed(ceilTo(um/u, places+1), places+1) + nbsp + name
}

// judged writes a width with its two limits so that the written numbers stand
// in the same order as the true ones: the limits decide by <, so does the
// reader. Usually that takes two decimals of a millimetre; more are added, at
// most three, while rounding would hide which side of a limit the width is on.
// The failing limit is rounded to the nearest, the safe one up.
func (n numbers) judged(widthUM, failUM, safeUM float64) (width, fail, safe string) {
	u, places, name := n.widthUnit()
	w, f, s := widthUM/u, failUM/u, safeUM/u
	for extra := 0; ; extra++ {
		p := places + extra
		rw, rf, rs := roundTo(w, p), roundTo(f, p), ceilTo(s, p)
		if extra == 3 || (w < f) == (rw < rf) && (w < s) == (rw < rs) {
			width = n.fixed(rw, p) + nbsp + name
			if rw == 0 {
				width = n.least(p, name)
			}
			return width, n.fixed(rf, p) + nbsp + name, n.fixed(rs, p) + nbsp + name
		}
	}
}

// size writes the engraved size of an artwork, given in millimetres.
func (n numbers) size(mm float64) string {
	v, places, name := n.sizeUnit(mm)
	return n.fixed(v, places) + nbsp + name
}

// bare writes a size without its unit.
func (n numbers) bare(mm float64) string {
	v, places, _ := n.sizeUnit(mm)
	return n.fixed(v, places)
}

// sizeUp writes a size rounded up: whole millimetres, tenths below ten of them
// and hundredths below one, or hundredths of an inch.
func (n numbers) sizeUp(mm float64) string {
	switch {
	case n.unit != "mm" && n.unit != "":
		places := 2
		switch {
		case mm < 2.54:
			places = 4
		case n.fine:
			places = 3
		}
		return n.fixed(ceilTo(mm/25.4, places), places) + nbsp + "in"
	case mm < 1 || n.fine:
		return n.fixed(ceilTo(mm, 2), 2) + nbsp + "mm"
	case mm < 10:
		return n.fixed(ceilTo(mm, 1), 1) + nbsp + "mm"
	}
	return n.fixed(ceilTo(mm, 0), 0) + nbsp + "mm"
}

func (n numbers) sizeUnit(mm float64) (v float64, places int, name string) {
	if n.unit == "in" || n.unit == "mil" {
		if mm < 2.54 {
			return mm / 25.4, 4, "in"
		}
		if n.fine {
			return mm / 25.4, 3, "in"
		}
		return mm / 25.4, 2, "in"
	}
	switch {
	case n.fine && mm >= 0.1:
		places = 2
		for places > 0 && ceilTo(mm, 2) == ceilTo(mm, places-1) {
			places--
		}
		return mm, places, "mm"
	case mm < 0.1:
		return mm, 3, "mm"
	case mm < 0.95:
		return mm, 2, "mm"
	case math.Abs(mm-math.Round(mm)) < 0.05:
		return mm, 0, "mm"
	}
	return mm, 1, "mm"
}

// thickness writes a film's thickness; films are told to a thousandth of a
// millimetre, as their makers do.
func (n numbers) thickness(um float64) string {
	switch n.unit {
	case "in":
		return n.fixed(um/25400, 4) + nbsp + "in"
	case "mil":
		return n.fixed(um/25.4, 1) + nbsp + "mil"
	}
	return n.fixed(um/1000, 3) + nbsp + "mm"
}
