package sheet

import (
	"fmt"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Weight is one of the three weights of the Go fonts.
type Weight int

// The weights.
const (
	Regular Weight = iota
	Medium
	Bold
)

// MMPerPt is one point in millimetres.
const MMPerPt = 25.4 / 72

// Missing stands for every character that the fonts lack.
const Missing = '\u25A1'

var weights = [...]struct {
	css  string
	data []byte
}{
	Regular: {"400", goregular.TTF},
	Medium:  {"500", gomedium.TTF},
	Bold:    {"700", gobold.TTF},
}

// face is a parsed font with the advances it was asked for.
type face struct {
	font *sfnt.Font
	mu   sync.Mutex
	buf  sfnt.Buffer
	adv  map[rune]float64 // in em
}

var faces = sync.OnceValue(func() [3]*face {
	var out [3]*face
	for w := range weights {
		f, err := sfnt.Parse(weights[w].data)
		if err != nil {
			panic(fmt.Sprintf("sheet: embedded font %d: %v", w, err)) // it is part of the program
		}
		out[w] = &face{font: f, adv: map[rune]float64{}}
	}
	return out
})

// advance returns the advance of r in em, and whether the font has r.
func (f *face) advance(r rune) (float64, bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if a, ok := f.adv[r]; ok {
		return a, a >= 0
	}
	a := -1.0
	if g, err := f.font.GlyphIndex(&f.buf, r); err == nil && g != 0 {
		em := fixed.Int26_6(f.font.UnitsPerEm())
		if v, err := f.font.GlyphAdvance(&f.buf, g, em, font.HintingNone); err == nil {
			a = float64(v) / float64(em)
		}
	}
	f.adv[r] = a
	return a, a >= 0
}

// Has reports whether the fonts have a character.
func Has(r rune) bool {
	_, ok := faces()[Regular].advance(r)
	return ok
}

// Width returns how long s runs in millimetres, without kerning: the writers
// set it so. Missing characters count as the sign that replaces them.
func (f Font) Width(s string) float64 {
	fc := faces()[f.Weight]
	w := 0.0
	for _, r := range s {
		a, ok := fc.advance(r)
		if !ok {
			a, _ = fc.advance(Missing)
		}
		w += a
	}
	return w * f.Pt * MMPerPt
}

// Plain makes a name from outside fit to be set on one line: control
// characters and line breaks become spaces, and characters that take no room or
// turn the reading direction vanish, so that a name cannot disturb the text
// around it.
func Plain(s string) string {
	s = strings.ToValidUTF8(s, string(Missing))
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\u2028' || r == '\u2029' || unicode.IsControl(r):
			return ' '
		case unicode.Is(unicode.Cf, r), r >= 0xFE00 && r <= 0xFE0F, r >= 0xE0000:
			return -1
		}
		return r
	}, s)
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }), " ")
}

// Settable replaces every character that the fonts lack by Missing, visibly;
// combining signs that they lack are left out.
func Settable(s string) string {
	return strings.Map(func(r rune) rune {
		if Has(r) {
			return r
		}
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return Missing
	}, s)
}
