package raster_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// Two shapes whose corners meet, overlap by less than a pixel or lie less than one
// apart are told by what is between them, a bridge or a gap, whatever their angle: they
// look like a break in a hairline, but there is none. (223 of the 900 went unsaid when
// all that looked like one was left out.)
func TestContactsAreToldApartFromBreaks(t *testing.T) {
	shapes := map[string]func(gap float64) (a, b pen.Path){
		"bars, corner to corner": func(gap float64) (a, b pen.Path) {
			return pen.Rect(-14, -30, 14, 30), pen.Rect(0, 0, 14, 30).Moved(gap*0.7071, gap*0.7071)
		},
		"slanted feet": func(gap float64) (a, b pen.Path) {
			g := gap / 2
			return pen.Polygon(pt(-g, 0), pt(-g-12, 0), pt(-g-26, -25), pt(-g-14, -25)),
				pen.Polygon(pt(g, 0), pt(g+12, 0), pt(g+26, -25), pt(g+14, -25)).Reversed()
		},
		"a corner at a wall": func(gap float64) (a, b pen.Path) {
			return pen.Rect(-30, -30, 30, 30).Turned(-45).Moved(-gap, 0), pen.Rect(0, -30, 14, 60)
		},
	}
	tried, missed := 0, 0
	for name, shape := range shapes {
		for _, safe := range []float64{2.25, 3, 5} {
			for _, gap := range []float64{-0.3, 0, 0.3, 0.5, 0.7} {
				rng := rand.New(rand.NewPCG(53, uint64(100*(gap+1))))
				a, b := shape(gap)
				for range 20 {
					deg, dx, dy := 360*rng.Float64(), rng.Float64(), rng.Float64()
					c := pen.NewCanvas(120, 120)
					for _, p := range []pen.Path{a, b} {
						c.Fill(p.Turned(deg).Moved(60+dx, 60+dy))
					}
					r := raster.Measure(c.Ink(), raster.Request{Safe: [4]float64{safe, safe * 4 / 3, safe * 4 / 3, safe * 8 / 3}, Bare: true})
					tried++
					if len(r.Features) == 0 {
						missed++
						t.Logf("%s, %g px apart, a limit of %g px, turned by %.1f degrees", name, gap, safe, deg)
					}
				}
			}
		}
	}
	t.Logf("%d of %d", missed, tried)
	assert.LessOrEqual(t, missed, tried/100)
}

// pt is a corner of a drawing.
func pt(x, y float64) raster.Point { return raster.Point{X: x, Y: y} }
