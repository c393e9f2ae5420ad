package raster

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

func TestBlobTable(t *testing.T) {
	for _, bilevel := range []bool{false, true} {
		for _, shape := range []string{"disc", "square", "annulus"} {
			for _, film := range []bool{false, true} {
				rng := rand.New(rand.NewPCG(3, 3))
				hyd := &tally{name: fmt.Sprint(shape, film, bilevel, " 4A/P")}
				disc := &tally{name: "disc"}
				ext := &tally{name: "extent"}
				wid := &tally{name: "width"}
				for i := 0; i < 150; i++ {
					size := uniform(rng, 3, 30)
					d, c := canvas(rng, size)
					a := rng.Float64() * math.Pi
					truth, e := size, size
					switch shape {
					case "disc":
						d.add(discPoly(c, size/2))
					case "square":
						d.add(barPoly(c, a, size, size))
						e = size * math.Sqrt2
					case "annulus":
						size = uniform(rng, 12, 30)
						d, c = canvas(rng, size)
						hole := uniform(rng, 3, 8)
						d.add(discPoly(c, size/2))
						d.hole(discPoly(c, hole/2))
						truth, e = size-hole, size
					}
					ink := d.ink(rendering{bilevel: bilevel, invert: film})
					x, y := int(c.X), int(c.Y)
					if shape == "annulus" {
						x = int(c.X + size/2 - truth/4)
					}
					b := Shape{Ink: ink, Film: film}.MeasureBlob(x, y, Box{0, 0, float64(ink.W), float64(ink.H)})
					if film && shape == "annulus" {
						truth = size - truth*0 - (size - truth)
					}
					q := func(v float64) Profile {
						return Profile{Sections: make([]Section, 1), Width: v, PlusMinus: b.PlusMinus}
					}
					hyd.add(q(b.Hydraulic), truth, nil)
					if shape == "annulus" {
						truth /= 2
					}
					disc.add(q(b.Disc), truth, nil)
					ext.add(q(b.Extent), e, nil)
					wid.add(q(b.Width), max(truth, truth), nil)
				}
				fmt.Println(hyd.row())
				fmt.Println(disc.row())
				fmt.Println(ext.row())
			}
		}
	}
}

func BenchmarkBlob10(b *testing.B) {
	d := drawing{w: 40, h: 40}
	d.add(discPoly(Point{20.3, 20.2}, 5))
	s := Shape{Ink: d.ink(rendering{})}
	b.ReportAllocs()
	for b.Loop() {
		s.MeasureBlob(20, 20, Box{14, 14, 27, 27})
	}
}

func BenchmarkCourse150(b *testing.B) {
	rng := rand.New(rand.NewPCG(3, 3))
	d, c := canvas(rng, 80)
	d.add(barPoly(c, 0.3, 150, 6))
	s := Shape{Ink: d.ink(rendering{})}
	path := roughPath(rng, []Point{polar(c, -74, 0.3), polar(c, 74, 0.3)}, false)
	b.ReportAllocs()
	for b.Loop() {
		s.MeasureCourse(Course{Path: path, TipStart: true, TipEnd: true}, 8)
	}
}
