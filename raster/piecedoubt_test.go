package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Of small pieces whose corners are hardly to be seen 95 of 100 widths lie within their
// plus and minus: discs, squares, triangles, hexagons and slots of 2.5 to 10 px.
func TestSmallPiecesLieWithin(t *testing.T) {
	regular := func(c Point, n int, r, a float64) (p []Point) {
		for i := range n {
			p = append(p, polar(c, r, a+2*math.Pi*float64(i)/float64(n)))
		}
		return p
	}
	// Each drawn with a width 4A/P of w at the angle a.
	shapes := map[string]func(d *drawing, c Point, w, a float64){
		"disc":     func(d *drawing, c Point, w, a float64) { d.add(discPoly(c, w/2)) },
		"square":   func(d *drawing, c Point, w, a float64) { d.add(barPoly(c, a, w, w)) },
		"triangle": func(d *drawing, c Point, w, a float64) { d.add(regular(c, 3, w, a)) },
		"hexagon":  func(d *drawing, c Point, w, a float64) { d.add(regular(c, 6, w/math.Sqrt(3), a)) },
		"slot": func(d *drawing, c Point, w, a float64) { // four times as long as wide
			d.add(barPoly(c, a, 2.5*w, 0.625*w))
		},
	}
	for _, bilevel := range []bool{false, true} {
		all, allOut := 0, 0
		for _, name := range []string{"disc", "square", "triangle", "hexagon", "slot"} {
			rng := rand.New(rand.NewPCG(101, 3))
			out := 0
			const n = 300
			for range n {
				w, a := 2.5*math.Pow(4, rng.Float64()), rng.Float64()*2*math.Pi
				d, c := canvas(rng, 3*w+6)
				shapes[name](&d, c, w, a)
				k := d.ink(rendering{bilevel: bilevel})
				b := Shape{Ink: k}.MeasureBlob(int(c.X), int(c.Y), Box{0, 0, float64(k.W), float64(k.H)})
				if math.Abs(b.Width-w) > b.PlusMinus {
					out++
				}
			}
			t.Logf("bilevel %v, %s: %d of %d beyond", bilevel, name, out, n)
			all, allOut = all+n, allOut+out
		}
		assert.LessOrEqual(t, allOut, all/20, "bilevel %v", bilevel)
	}
}
