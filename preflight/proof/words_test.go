package proof

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight/proof/sheet"
)

// walkWords calls f for every text of a wording, with its path.
func walkWords(path string, v reflect.Value, f func(path, s string)) {
	switch v.Kind() {
	case reflect.String:
		f(path, v.String())
	case reflect.Array, reflect.Slice:
		for i := 0; i < v.Len(); i++ {
			walkWords(fmt.Sprintf("%s[%d]", path, i), v.Index(i), f)
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			walkWords(fmt.Sprintf("%s[%v]", path, k), v.MapIndex(k), f)
		}
	case reflect.Struct:
		for i := 0; i < v.NumField(); i++ {
			walkWords(path+"."+v.Type().Field(i).Name, v.Field(i), f)
		}
	}
}

// TestLanguagesAreComplete holds every language to the same texts with the
// same room for numbers as English, and to letters that the fonts have.
func TestLanguagesAreComplete(t *testing.T) {
	want := map[string]int{}
	walkWords("", reflect.ValueOf(english), func(p, s string) { want[p] = strings.Count(s, "%s") })
	for _, code := range Languages() {
		w := lookUp(code)
		require.Equal(t, code, w.Code)
		got := map[string]bool{}
		walkWords("", reflect.ValueOf(*w), func(p, s string) {
			got[p] = true
			assert.NotEmpty(t, s, "%s %s", code, p)
			for _, r := range s {
				assert.True(t, sheet.Has(r), "%s %s: the fonts lack %q", code, p, r)
			}
			if n, ok := want[p]; ok {
				assert.Equal(t, n, strings.Count(s, "%s"), "%s %s: %q", code, p, s)
			}
		})
		for p := range want {
			assert.True(t, got[p], "%s lacks %s", code, p)
		}
	}
	assert.Same(t, &german, lookUp("de-AT"))
	assert.Same(t, &english, lookUp("xx"))
}

// TestNoJargonForCustomers: the proof's words leave out the shop's.
func TestNoJargonForCustomers(t *testing.T) {
	w := english
	w.Bench = benchWording{}
	walkWords("", reflect.ValueOf(w), func(p, s string) {
		for _, bad := range []string{"stencil", "resist", "undercut", "polarity", "ppi", "opening", "halftone"} {
			assert.NotContains(t, strings.ToLower(s), bad, p)
		}
	})
}

// luminance and contrast by WCAG 2.2, "relative luminance".
func luminance(c sheet.Ink) float64 {
	lin := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}

func contrast(a, b sheet.Ink) float64 {
	x, y := luminance(a), luminance(b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

// TestContrast: text 4.5 to 1, outlines on the map 3 to 1 (WCAG 2.2, 1.4.3 and
// 1.4.11), on paper, on the page and in the dark; and the style sheet uses no
// other colours than these.
func TestContrast(t *testing.T) {
	assert.InDelta(t, 21, contrast(inkWhite, inkBlack), 1e-9, "the formula, by its definition")
	hex := sheet.Hex
	for _, p := range []struct {
		name string
		a, b sheet.Ink
		min  float64
	}{
		{"text", inkText, inkWhite, 4.5}, {"second", inkSecond, inkWhite, 4.5}, {"second on page", inkSecond, hex("#F3F1EC"), 4.5},
		{"fails", inkFails, inkWhite, 4.5}, {"risk", inkRisk, inkWhite, 4.5}, {"holds", inkHolds, inkWhite, 4.5},
		{"zone name fails", inkFails, wash[2], 4.5}, {"zone name risk", inkRisk, wash[1], 4.5}, {"number on holds", inkHolds, wash[0], 4.5}, {"text on holds", inkText, wash[0], 4.5}, {"second on holds", inkSecond, wash[0], 4.5},
		{"fails on map", inkFails, inkMap, 3}, {"risk on map", inkRisk, inkMap, 3}, {"leader on map", inkText, inkMap, 4.5},
		{"dark text", hex("#E8E6E0"), hex("#1B252D"), 4.5}, {"dark second", hex("#A9B4BC"), hex("#1B252D"), 4.5},
		{"dark fails", hex("#FF9350"), hex("#1B252D"), 4.5}, {"dark risk", hex("#56B4E9"), hex("#1B252D"), 4.5}, {"dark holds", hex("#4CC3A0"), hex("#1B252D"), 4.5},
		{"dark letter on fails", hex("#14212B"), hex("#FF9350"), 4.5},
	} {
		assert.GreaterOrEqual(t, contrast(p.a, p.b), p.min, p.name)
	}
	for _, c := range []string{"#14212B", "#46545F", "#A64500", "#00598C", "#00694D", "#C3CBD1", "#F3F1EC", "#E8E6E0", "#A9B4BC", "#FF9350", "#56B4E9", "#4CC3A0", "#1B252D"} {
		assert.Contains(t, pageCSS, c)
	}
}

// TestNumbers are worked by hand.
func TestNumbers(t *testing.T) {
	mm, de, in, mil := english.numbers("mm"), german.numbers("mm"), english.numbers("in"), english.numbers("mil")
	assert.Equal(t, "2,114", mm.count(2114))
	assert.Equal(t, "2.114", de.count(2114))
	assert.Equal(t, "999", mm.count(999))
	assert.Equal(t, "1,234,567", mm.count(1234567))
	assert.Equal(t, "0.06"+nbsp+"mm", mm.width(60))
	assert.Equal(t, "0,06"+nbsp+"mm", de.width(60))
	assert.Equal(t, "0.0024"+nbsp+"in", in.width(60.96))
	assert.Equal(t, "2.4"+nbsp+"mil", mil.width(60.96))
	assert.Equal(t, "72"+nbsp+"mm", mm.size(72.0004))
	assert.Equal(t, "72.5"+nbsp+"mm", mm.size(72.5))
	assert.Equal(t, "138"+nbsp+"mm", mm.sizeUp(137.16))
	assert.Equal(t, "3.1"+nbsp+"mm", mm.sizeUp(3.01))
	assert.Equal(t, "0.15"+nbsp+"mm", mm.sizeUp(0.141))
	assert.Equal(t, "0.0056"+nbsp+"in", in.sizeUp(0.141)) // 0.00555
	assert.Equal(t, "under"+nbsp+"0.01"+nbsp+"mm", mm.width(4.9), "nothing is told to be 0.00 wide")
	assert.Equal(t, "unter"+nbsp+"0,01"+nbsp+"mm", de.width(0.11))
	assert.Equal(t, "0.01"+nbsp+"mm", mm.width(5))
	assert.Equal(t, "137"+nbsp+"mm", mm.sizeUp(137.0000000001))
	fine := mm
	fine.fine = true
	assert.Equal(t, "42.01"+nbsp+"mm", fine.sizeUp(42.001))
	assert.Equal(t, "42.01"+nbsp+"mm", fine.size(42.01))
	assert.Equal(t, "7.5"+nbsp+"mm", fine.size(7.5))
	assert.Equal(t, "80"+nbsp+"mm", fine.size(80))
	assert.Equal(t, "5.41"+nbsp+"in", in.sizeUp(137.4)) // 137.4 / 25.4 = 5.4094
	for _, c := range []struct {
		why        string
		w, f, s    float64
		sw, sf, ss string
	}{
		{"plain", 60, 76.2, 114.3, "0.06", "0.08", "0.12"},
		{"the safe limit goes up", 100, 76.2, 114.3, "0.10", "0.08", "0.12"},
		{"reads as the failing limit at 0.01 and at 0.001", 75.6, 76.2, 114.3, "0.0756", "0.0762", "0.1143"},
		{"would read as the safe limit", 115.0, 80, 116, "0.115", "0.080", "0.116"},
		{"at the failing limit it does not fail", 76.2, 76.2, 114.3, "0.08", "0.08", "0.12"},
		{"just over the failing limit, written under it", 76.2, 74.6, 114.3, "0.08", "0.07", "0.12"},
		{"thinner than the last figure written", 0.11, 76.2, 114.3, "under" + nbsp + "0.01", "0.08", "0.12"},
		{"holds at its limit", 120, 80, 120, "0.12", "0.08", "0.12"},
		{"holds just above, limit goes up", 114.5, 76.2, 114.3, "0.115", "0.076", "0.115"},
	} {
		w, f, s := mm.judged(c.w, c.f, c.s)
		u := nbsp + "mm"
		assert.Equal(t, [3]string{c.sw + u, c.sf + u, c.ss + u}, [3]string{w, f, s}, c.why)
	}
}

func TestLetters(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"A", "A"}, {"AB", "A and B"}, {"ABC", "A to C"}, {"ABD", "A, B and D"}, {"ABCDF", "A to D and F"}, {"GHJ", "G to J"}, {"", ""},
	} {
		assert.Equal(t, c.want, english.letters(strings.Split(c.in, "")), c.in)
	}
	assert.Equal(t, "A bis C und F", german.letters([]string{"A", "B", "C", "F"}))
}
