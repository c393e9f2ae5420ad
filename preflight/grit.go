package preflight

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// Grit is an abrasive as its standard sizes it. Micrometres.
type Grit struct {
	Name     string  // "F180", "JIS #320"
	MeanUM   float64 // the mean, or for fine grits the median by volume (ds50, D50)
	CoarseUM float64 // the size that all but the last few grains stay under
	Coarse   string  // what CoarseUM is in the standard's words
	Basis    Basis   // of CoarseUM
	Source   string  // the standard, and what is from memory of it
}

const (
	isoMacro = "ISO 8486-1:1996"
	isoMicro = "ISO 8486-2:2007"
	jis1987  = "JIS R 6001:1987"
)

// grits are the rows of the standards. F36 to F220 are sieved, F230 and finer
// settled in water; JIS R 6001 takes the F grits over unchanged and adds its
// own # sizes. ANSI B74.12 has the same sieve limits for 120, 150, 180 and 220.
// For # sizes the coarse limit is D3, as for F230 and finer.
var grits = sync.OnceValue(func() []Grit {
	var t []Grit
	for _, r := range [][3]float64{
		{36, 525, 850}, {46, 370, 600}, {60, 260, 425}, {80, 185, 300}, {100, 129, 212},
		{120, 109, 180}, {150, 82, 150}, {180, 69, 125}, {220, 58, 106},
	} {
		g := Grit{Name: fmt.Sprintf("F%g", r[0]), MeanUM: r[1], CoarseUM: r[2], Coarse: "all passes this sieve", Basis: Memory, Source: isoMacro + ", from memory"}
		if r[0] == 80 {
			g.Basis, g.Source = Published, "sieves of ANSI B74.12-2001 (300, 212, 180, 150, 125 um); mean from memory"
		}
		t = append(t, g)
	}
	for _, r := range [][3]float64{
		{230, 53.0, 82}, {240, 44.5, 70}, {280, 36.5, 59}, {320, 29.2, 49}, {360, 22.8, 40},
		{400, 17.3, 32}, {500, 12.8, 25}, {600, 9.3, 19},
	} {
		t = append(t, Grit{fmt.Sprintf("F%g", r[0]), r[1], r[2], "ds3: 3 % lie above", Memory, isoMicro + ", from memory"})
	}
	for _, r := range [][3]float64{
		{240, 57, 103}, {280, 48, 87}, {320, 40, 74}, {360, 35, 66}, {400, 30, 58}, {500, 25, 50}, {600, 20, 43},
	} {
		t = append(t, Grit{fmt.Sprintf("JIS #%g", r[0]), r[1], r[2], "D3: 3 % lie above", Published, jis1987})
	}
	return t
})

// Grits returns the abrasives that ParseGrit knows, F grits from coarse to
// fine, then the # sizes of JIS.
func Grits() []Grit { return append([]Grit(nil), grits()...) }

var gritName = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(F|JIS#|JIS|#|)(\d+)$`) })

// ParseGrit finds an abrasive by name: "F180", "#320" or "JIS #320", or
// "120", "150", "180", "220", plain or with #, which the systems size alike. From 240 up a plain
// number means different grains in different systems and is refused. Errors
// are of type *Problem.
func ParseGrit(s string) (Grit, error) {
	m := gritName().FindStringSubmatch(strings.ToUpper(strings.Join(strings.Fields(s), "")))
	if m == nil {
		return Grit{}, &Problem{fmt.Sprintf("%q is no grit", s), "name it as on its bag: F180, JIS #320, or plain 120, 150, 180, 220"}
	}
	n, err := strconv.Atoi(m[2])
	if err != nil {
		return Grit{}, &Problem{fmt.Sprintf("%q is no grit", s), "grits run from F36 to F600"}
	}
	name := fmt.Sprintf("F%d", n)
	switch {
	case m[1] != "F" && sameInAll(n):
	case m[1] == "#" || strings.HasPrefix(m[1], "JIS"):
		name = fmt.Sprintf("JIS #%d", n)
	case m[1] == "" && n >= 240:
		what := fmt.Sprintf("grit %d means two things", n)
		f, okF := gritNamed(fmt.Sprintf("F%d", n))
		j, okJ := gritNamed(fmt.Sprintf("JIS #%d", n))
		if okF && okJ {
			what = fmt.Sprintf("grit %d means two things: F%d grains measure %g um, JIS #%d grains %g um", n, n, f.MeanUM, n, j.MeanUM)
		}
		return Grit{}, &Problem{what, fmt.Sprintf("look at the bag and write F%d or JIS #%d", n, n)}
	case m[1] == "":
		return Grit{}, &Problem{fmt.Sprintf("grit %d does not say its system", n), fmt.Sprintf("look at the bag and write, for example, F%d; plain 120, 150, 180 and 220 are the same in all", n)}
	}
	if g, ok := gritNamed(name); ok {
		return g, nil
	}
	var known []string
	for _, g := range grits() {
		if strings.HasPrefix(g.Name, "F") == strings.HasPrefix(name, "F") {
			known = append(known, g.Name)
		}
	}
	return Grit{}, &Problem{fmt.Sprintf("no grit %s is known", name), "known are " + strings.Join(known, ", ")}
}

// sameInAll reports whether a number sizes alike in all systems.
func sameInAll(n int) bool { return n == 120 || n == 150 || n == 180 || n == 220 }

func gritNamed(name string) (Grit, bool) {
	for _, g := range grits() {
		if g.Name == name {
			return g, true
		}
	}
	return Grit{}, false
}

// OpenShare is the share of an opening of width w that a grain of size d can
// strike, both of its edges cleared: 1 - d/w, and 0 when it cannot enter.
// Derived; no source gives a number for the narrowest opening by grain size.
func OpenShare(d, w float64) float64 { return max(0, 1-d/w) }

// Enters says how a grit gets into an opening.
type Enters int

// From worst to best.
const (
	CannotEnter Enters = iota // the coarsest grains are as wide as the opening, or wider
	Slowly                    // the mean grain strikes under half of it
	Freely
)

// Into says how the grit gets into an opening w micrometres wide.
func (g Grit) Into(w float64) Enters {
	switch {
	case w <= g.CoarseUM:
		return CannotEnter
	case OpenShare(g.MeanUM, w) < 0.5:
		return Slowly
	}
	return Freely
}

// ReachUM is the width from which on every opening is entered freely.
func (g Grit) ReachUM() float64 { return max(g.CoarseUM, 2*g.MeanUM) }

// GritFor returns the coarsest F grit that enters an opening w micrometres
// wide freely; ok is false when none does.
func GritFor(w float64) (g Grit, ok bool) {
	for _, g := range grits() {
		if strings.HasPrefix(g.Name, "F") && g.Into(w) == Freely {
			return g, true
		}
	}
	return Grit{}, false
}
