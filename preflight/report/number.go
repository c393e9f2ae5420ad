package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// plain writes a number with as many decimals as it has, and no more than six.
func plain(v float64) string { return trim(strconv.FormatFloat(v, 'f', 6, 64)) }

// trim takes the zeros off the end of decimals.
func trim(s string) string {
	if !strings.Contains(s, ".") {
		return s
	}
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// roundTo rounds to so many decimals.
func roundTo(v float64, places int) float64 {
	if p := math.Pow10(places); math.Abs(v)*p < 1<<53 {
		return math.Round(v*p) / p
	}
	return v
}

// roundUp rounds up to so many decimals: to no less than was judged. A millionth
// of the last place is noise.
func roundUp(v float64, places int) float64 {
	p := math.Pow10(places)
	return math.Ceil(v*p-1e-6)/p + 0 // of nothing -0
}

// mostPlaces is how far decimals are added before a number is given in full.
const mostPlaces = 9

// besides rounds v to places decimals, and to more where fewer would put it on
// the other side of a limit than it is: a width that fails never prints as one
// that reaches the limit. Below is <, as in the verdict.
func besides(v float64, places int, limits ...float64) (rounded float64, decimals int) {
	for ; places <= mostPlaces; places++ {
		r := roundTo(v, places)
		same := true
		for _, l := range limits {
			same = same && (r < l) == (v < l)
		}
		if same {
			return r, places
		}
	}
	return v, -1
}

// closePlaces is to how many decimals a width is written before it is said to be just
// under a limit: a line of three pixels, 3 mil at 1000 an inch, is measured a billionth
// less.
const closePlaces = 5

// width writes a width in millimetres and mil, on the right side of its limits.
func width(um float64, limits ...float64) string {
	in := func(unit float64, places int) string {
		scaled := make([]float64, len(limits))
		for i, l := range limits {
			scaled[i] = roundTo(l/unit, 9)
		}
		r, decimals := besides(um/unit, places, scaled...)
		if decimals < 0 || decimals > closePlaces {
			for _, l := range scaled {
				if v := um / unit; v < l && roundTo(v, closePlaces) >= l {
					return "just under " + strconv.FormatFloat(l, 'f', -1, 64)
				}
			}
		}
		return strconv.FormatFloat(r, 'f', decimals, 64)
	}
	return fmt.Sprintf("%s mm (%s mil)", in(1000, 3), in(25.4, 1))
}

// mm writes a length or a place in millimetres.
func mm(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }

// size writes the length of a side in millimetres, to the hundredth.
func size(v float64) string { return trim(mm(v)) }

// count writes a number of things: "1 line", "1,204 lines".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return thousands(n) + " " + many
}

// thousands sets the thousands of a whole number apart with commas.
func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// list joins words as in a sentence.
func list(words []string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// Shown is a name as it is when every character of it prints, else quoted,
// so that a hostile file name cannot steer a terminal.
func Shown(s string) string {
	for _, r := range s {
		if !strconv.IsPrint(r) || r == utf8.RuneError {
			return strconv.Quote(s)
		}
	}
	return s
}
