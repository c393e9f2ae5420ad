package raster

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// readings counts how many widths lie within their own plus or minus, and how far
// they are off.
type readings struct {
	n, outside int
	sq, worst  float64
}

func (a *readings) add(t *testing.T, f Feature, want float64, what string, args ...any) {
	t.Helper()
	d := f.Width - want
	a.n++
	a.sq += d * d
	a.worst = math.Max(a.worst, math.Abs(d))
	if math.Abs(d) > f.PlusMinus {
		a.outside++
		t.Logf(what+": %.3f px for %.3f, +-%.3f", append(args, f.Width, want, f.PlusMinus)...)
	}
}

// holds asks that 95 % lie within their plus or minus, and for the bounds.
func (a *readings) holds(t *testing.T, what string, rms, worst float64) {
	t.Helper()
	t.Logf("%s: %d widths, %d outside their plus or minus, rms %.3f, worst %.3f", what, a.n, a.outside, math.Sqrt(a.sq/float64(a.n)), a.worst)
	assert.LessOrEqual(t, float64(a.outside), float64(a.n)/20, "%s: outside plus or minus", what)
	assert.LessOrEqual(t, math.Sqrt(a.sq/float64(a.n)), rms, "%s: rms", what)
	assert.LessOrEqual(t, a.worst, worst, "%s: worst", what)
}

// TestUSAF1951 draws the three bars of each element from the formula of
// MIL-STD-150A, 2^(G + (E-1)/6) line pairs a millimetre, so a bar is 500/R um
// wide (the bars five widths long is from memory), at 1200 px an inch, level and
// turned, and reads every bar and both spaces between.
func TestUSAF1951(t *testing.T) {
	const um = 25400.0 / 1200
	var grey, bi readings
	for g := 0; g <= 3; g++ {
		for e := 1; e <= 6; e++ {
			w := 500 / math.Pow(2, float64(g)+float64(e-1)/6) / um
			if w < 1.5 {
				continue // under the finest that the width tests promise anything for
			}
			angles := []float64{0, 3, 90, 33}
			for i, deg := range angles[2*(e%2) : 2*(e%2)+2] {
				d, c := square(9*w+12, 0.13*float64(e+i))
				a := deg * math.Pi / 180
				for k := -1.0; k <= 1; k++ {
					d.add(barPoly(polar(c, 2*k*w, a+math.Pi/2), a, 5*w, w))
				}
				d.both(func(k *Ink, bilevel bool) {
					r := Measure(k, safe(w*1.25+1))
					a := &grey
					if bilevel {
						a = &bi
					}
					lines, strips := ofKind(r, Line), ofKind(r, Strip)
					if !assert.Len(t, lines, 3, "group %d element %d at %g: %s", g, e, deg, told(r)) ||
						!assert.Len(t, strips, 2, "group %d element %d at %g: %s", g, e, deg, told(r)) {
						return
					}
					for _, f := range r.Features {
						a.add(t, f, w, "group %d element %d at %g bilevel %v %v", g, e, deg, bilevel, f.Kind)
					}
				})
			}
		}
	}
	grey.holds(t, "USAF 1951, grey", 0.03, 0.15)
	bi.holds(t, "USAF 1951, bilevel", 0.45, 1)
}

// TestSiemensStar reads the sectors of a star of 72 (36 of ink) at three
// diameters: pi D / n along the arc, and so far D tan(pi/n) across, which is
// 0.07 % more.
func TestSiemensStar(t *testing.T) {
	const sectors, size = 72, 360
	star, c := square(size, 0.21)
	rim := func(i float64) Point { return polar(c, 170, i*2*math.Pi/sectors) }
	for i := 0.0; i < sectors; i += 2 {
		a, b := rim(i), rim(i+1)
		star.add([]Point{c, a, b})
	}
	star.both(func(k *Ink, bilevel bool) {
		bound := 0.1
		if bilevel {
			bound = 0.6
		}
		worst := 0.0
		for i := range sectors {
			var co Course
			for r := 60.0; r <= 160; r += 1.5 {
				co.Path = append(co.Path, polar(c, r, (float64(i)+0.5)*2*math.Pi/sectors))
			}
			p := Shape{Ink: k, Film: i%2 == 1}.MeasureCourse(co, 20)
			require.NotEmpty(t, p.Sections, "sector %d", i)
			for _, d := range []float64{150, 220, 290} {
				// The sector widens evenly, so the mean of the 16 px around the
				// diameter stands for it: a cross-section a pixel, grey ones two.
				sum, n := 0.0, 0.0
				for _, x := range p.Sections {
					if r := dist(x.At, c); math.Abs(r-d/2) < 8 {
						sum += x.Width / r
						n++
					}
				}
				require.Greater(t, n, 14.0, "sector %d has cross-sections at diameter %g", i, d)
				want, got := math.Pi*d/sectors, sum/n*d/2
				worst = math.Max(worst, math.Abs(got-want))
				assert.InDelta(t, want, got, bound, "sector %d, diameter %g, bilevel %v", i, d, bilevel)
			}
		}
		t.Logf("bilevel %v: worst %.3f", bilevel, worst)
	})
}

// TestWedgeLostTip: a disc of radius r stops r/sin(q/2) - r short of a tip of
// full angle q (by drawing the disc into the corner). Bound: three pixels, for
// the last pixels of a tip are narrower than a pixel and one diagonal step more
// or less of the grid is 1.4 of them.
func TestWedgeLostTip(t *testing.T) {
	for _, d := range []float64{7, 12, 24} {
		for _, q := range []float64{20, 25, 30} {
			want := d/2/math.Sin(q/2*math.Pi/180) - d/2
			worst := 0.0
			for i := range 3 {
				wedge(d, q, float64(i)*72+5+q).both(func(k *Ink, bilevel bool) {
					r := Measure(k, safe(d))
					if assert.Len(t, r.Tips, 1, "D %g, %g degrees, bilevel %v: %s", d, q, bilevel, told(r)) {
						worst = math.Max(worst, math.Abs(r.Tips[0].Lost-want))
						assert.InDelta(t, want, r.Tips[0].Lost, 3, "D %g, %g degrees, bilevel %v", d, q, bilevel)
						assert.False(t, r.Tips[0].Film)
					}
				})
			}
			t.Logf("D %g, %g degrees: %.2f px lost, worst %.2f off", d, q, want, worst)
		}
	}
}

// TestHydraulicDiameter: 4A/P of a disc is its diameter, of a square its side.
func TestHydraulicDiameter(t *testing.T) {
	var grey, bi readings
	for i := range 60 {
		d := 3 + 0.45*float64(i)
		pic, c := square(1.5*d+8, 0.37*float64(i%3)+0.23*float64(i%5))
		if i%2 == 0 {
			pic.add(discPoly(c, d/2))
		} else {
			pic.add(barPoly(c, float64(i)*0.23, d, d))
		}
		pic.both(func(k *Ink, bilevel bool) {
			b := Shape{Ink: k}.MeasureBlob(int(c.X), int(c.Y), Box{0, 0, float64(k.W), float64(k.H)})
			a := &grey
			if bilevel {
				a = &bi
			}
			a.add(t, Feature{Width: b.Hydraulic, PlusMinus: b.PlusMinus}, d, "row %d", i)
		})
	}
	grey.holds(t, "4A/P, grey", 0.1, 0.3)
	bi.holds(t, "4A/P, bilevel", 0.35, 0.9)
}
