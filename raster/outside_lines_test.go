package raster

import (
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// everything asks for the whole sets, not the seeded part of a normal run.
var everything = os.Getenv("STENCILPROOF_ALL") == "1"

// lineWidths are the widths of lines of ISO 128-20:1996 clause 4, now ISO 128-2,
// in millimetres (0.13 from memory).
var lineWidths = []float64{0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1, 1.4, 2}

// TestISO128Lines reads lines of the standard widths at odd angles in artwork of
// 300, 600 and 1200 px an inch.
//
// A bilevel line long enough holds its width to a tenth of a pixel, but for an
// angle of few small steps; plus_minus tells them apart, so that is what it is
// held to.
func TestISO128Lines(t *testing.T) {
	angles := []float64{7.3, 23, 41.7, 67, 101, 152.4}
	var grey, bi readings
	i := 0
	for _, ppi := range []float64{300, 600, 1200} {
		for _, mm := range lineWidths {
			w := mm / 25.4 * ppi
			for j, deg := range angles {
				i++
				if !everything && j != i/6%6 {
					continue
				}
				d, c := square(math.Max(7*w, 60)+10, 0.1*float64(i%10))
				d.add(barPoly(c, deg*math.Pi/180, math.Max(6.5*w, 50), w))
				d.both(func(k *Ink, bilevel bool) {
					f := theOne(t, Measure(k, safe(w*1.2+1)), Line, [3]float64{mm, ppi, deg})
					if bilevel {
						bi.add(t, f, w, "%g mm at %g ppi, %g degrees, bilevel", mm, ppi, deg)
					} else {
						grey.add(t, f, w, "%g mm at %g ppi, %g degrees", mm, ppi, deg)
					}
				})
			}
		}
	}
	grey.holds(t, "ISO 128, grey", 0.02, 0.06)
	bi.holds(t, "ISO 128, bilevel", 0.15, 0.5)
}

// TestISO3098Strokes writes upright letters of type B, whose strokes are a tenth
// of their height (ISO 3098), round at the ends, at 600 px an inch, and reads
// the finest line of each: H of bars that cross at right angles, N of bars that
// meet in acute corners, O of two half rings.
func TestISO3098Strokes(t *testing.T) {
	var grey, bi readings
	for _, h := range []float64{1.8, 2.5, 3.5, 5, 7, 10, 14, 20} {
		if h > 7 && !everything {
			continue
		}
		for _, letter := range "HNO" {
			px := h / 25.4 * 600
			w := px / 10
			d, c := square(px*1.3+10, 0.3+h/10)
			at := func(x, y float64) Point { return Point{c.X + x*px, c.Y + y*px} }
			stroke := func(a, b Point) {
				m := Point{(a.X + b.X) / 2, (a.Y + b.Y) / 2}
				d.add(barPoly(m, math.Atan2(b.Y-a.Y, b.X-a.X), dist(a, b), w))
				d.add(discPoly(a, w/2))
				d.add(discPoly(b, w/2))
			}
			switch letter {
			case 'H':
				stroke(at(-0.3, -0.45), at(-0.3, 0.45))
				stroke(at(0.3, -0.45), at(0.3, 0.45))
				stroke(at(-0.3, 0), at(0.3, 0))
			case 'N':
				stroke(at(-0.3, -0.45), at(-0.3, 0.45))
				stroke(at(0.3, -0.45), at(0.3, 0.45))
				stroke(at(-0.3, -0.45), at(0.3, 0.45))
			case 'O':
				d.add(arcPoly(at(0, -0.15), 0.3*px, w, math.Pi, 2*math.Pi))
				d.add(arcPoly(at(0, 0.15), 0.3*px, w, 0, math.Pi))
				d.add(barPoly(at(-0.3, 0), math.Pi/2, 0.31*px, w))
				d.add(barPoly(at(0.3, 0), math.Pi/2, 0.31*px, w))
			}
			d.both(func(k *Ink, bilevel bool) {
				r := Measure(k, safe(w*1.2+1))
				if !assert.True(t, r.Finest[Line].Found, "%c of %g mm: %s", letter, h, told(r)) {
					return
				}
				f := Feature{Width: r.Finest[Line].Width, PlusMinus: r.Finest[Line].PlusMinus}
				if bilevel {
					bi.add(t, f, w, "%c of %g mm, bilevel", letter, h)
				} else {
					grey.add(t, f, w, "%c of %g mm", letter, h)
				}
			})
		}
	}
	grey.holds(t, "ISO 3098, grey", 0.05, 0.15)
	bi.holds(t, "ISO 3098, bilevel", 0.5, 1)
}

// eanCode is the bars and spaces of an EAN-13 in modules, from the left guard to
// the right one: ISO/IEC 15420 (the GS1 General Specifications print the same
// tables). Elements alternate, bar first.
func eanCode(digits string) (modules []int) {
	// Number set A as the widths space, bar, space, bar; C is A turned into bar,
	// space, bar, space, and B is C backwards.
	a := [10][4]int{{3, 2, 1, 1}, {2, 2, 2, 1}, {2, 1, 2, 2}, {1, 4, 1, 1}, {1, 1, 3, 2},
		{1, 2, 3, 1}, {1, 1, 1, 4}, {1, 3, 1, 2}, {1, 2, 1, 3}, {3, 1, 1, 2}}
	sets := [10]string{"AAAAAA", "AABABB", "AABBAB", "AABBBA", "ABAABB", "ABBAAB", "ABBBAA", "ABABAB", "ABABBA", "ABBABA"}
	modules = append(modules, 1, 1, 1)
	for i := range 6 {
		e := a[digits[i+1]-'0']
		if sets[digits[0]-'0'][i] == 'B' {
			e[0], e[1], e[2], e[3] = e[3], e[2], e[1], e[0]
		}
		modules = append(modules, e[:]...)
	}
	modules = append(modules, 1, 1, 1, 1, 1)
	for i := range 6 {
		e := a[digits[i+7]-'0']
		modules = append(modules, e[:]...)
	}
	return append(modules, 1, 1, 1)
}

// TestEAN13 reads zint's EAN-13 at 100 %: X is 0.330 mm (GS1 General
// Specifications), ten pixels of the picture. Every bar and space of one module
// must be found, at its width and at its place, and nothing wider.
func TestEAN13(t *testing.T) {
	const number = "2001234567879" // with its check digit
	const x, umPerPx = 10.0, 33.0
	k := outsidePicture(t, "ean13.png")
	require.True(t, k.Bilevel())
	require.Equal(t, 113*10, k.W, "95 modules and quiet zones of 11 and 7: 37.29 mm")
	modules := eanCode(number)
	r := Measure(k, safe(1.9*x))
	at := 11 * x
	want := 0
	for i, m := range modules {
		mid, kind := at+float64(m)*x/2, Kind(Line)
		if i%2 == 1 {
			kind = Strip
		}
		at += float64(m) * x
		var found []Feature
		for _, f := range r.Features {
			if f.Kind == kind && math.Abs(f.At.X-mid) < 2 {
				found = append(found, f)
			}
		}
		if m > 1 {
			assert.Empty(t, found, "element %d of %d modules", i, m)
			continue
		}
		want++
		if assert.Len(t, found, 1, "element %d, one module, a %v at %g", i, kind, mid) {
			assert.InDelta(t, x, found[0].Width, 0.05, "element %d: a bilevel line along an axis is its whole pixels", i)
			assert.InDelta(t, 330, found[0].Width*umPerPx, found[0].PlusMinus*umPerPx, "element %d", i)
			assert.InDelta(t, 1, math.Abs(found[0].Across.X), 1e-3)
		}
	}
	assert.Equal(t, 113-7.0, at/x, "the right guard ends before the quiet zone")
	assert.Len(t, r.Features, want)
	for _, kind := range []Kind{Line, Strip} {
		assert.InDelta(t, 330, r.Finest[kind].Width*umPerPx, 2, "narrowest %v, um", kind)
	}
}

// TestEAN13Shifts: in the digits 1, 2, 7 and 8 bars are made a thirteenth of a
// module wider or narrower, and spaces the other way (GS1; the thirteenth from
// memory; zint draws whole modules). At 600 px an inch that is 0.6 px: it must
// show in grey, and lies within plus or minus in bilevel.
func TestEAN13Shifts(t *testing.T) {
	const x = 0.330 / 25.4 * 600
	d := &drawing{w: 400, h: 150}
	at := 20.37
	var bars []float64
	for _, set := range [][4]float64{{2, 2, 2, 1}, {2, 1, 2, 2}, {1, 3, 1, 2}, {1, 2, 1, 3}} { // 1, 2, 7, 8 of set A
		shift := x / 13
		if set[0] == 2 {
			shift = -shift
		}
		for i, m := range set {
			w := m*x + shift
			if i%2 == 0 {
				at += m*x - shift
				continue
			}
			bars = append(bars, w, at)
			d.add([]Point{{at, 20}, {at + w, 20}, {at + w, 130}, {at, 130}})
			at += w
		}
	}
	d.both(func(k *Ink, bilevel bool) {
		lines := ofKind(Measure(k, safe(3.5*x)), Line)
		require.Len(t, lines, len(bars)/2)
		for i := 0; i < len(bars); i += 2 {
			near := 0
			for _, f := range lines {
				if math.Abs(f.At.X-bars[i+1]-bars[i]/2) < 1 {
					near++
					bound := 0.05
					if bilevel {
						bound = f.PlusMinus
					}
					assert.InDelta(t, bars[i], f.Width, bound, "bar %d, bilevel %v", i/2, bilevel)
				}
			}
			assert.Equal(t, 1, near, "bar %d", i/2)
		}
	})
}
