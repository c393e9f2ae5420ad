package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Discs, squares, rectangles and triangles of one width in a file that is blurred: the blur
// rounds their corners off, and they read as wide as they were drawn. Where they are so
// small that a corner cannot be told from a disc's bend, plus and minus tells.
func TestSoftPieces(t *testing.T) {
	shapes := []struct {
		name string
		draw func(d *drawing, c Point, turn, width float64)
	}{
		{"disc", func(d *drawing, c Point, _, w float64) { d.add(discPoly(c, w/2)) }},
		{"square", func(d *drawing, c Point, turn, w float64) { d.add(barPoly(c, turn, w, w)) }},
		{"rectangle", func(d *drawing, c Point, turn, w float64) { d.add(barPoly(c, turn, 1.5*w, 0.75*w)) }},
		{"triangle", func(d *drawing, c Point, turn, w float64) {
			third := 2 * math.Pi / 3
			d.add([]Point{polar(c, w, turn), polar(c, w, turn+third), polar(c, w, turn+2*third)})
		}},
	}
	for _, s := range shapes {
		for _, width := range []float64{5, 8, 12, 16, 24} {
			for _, sigma := range []float64{0, 0.5, 0.7, 1, 1.5} {
				mean, beyond := 0.0, 0
				const n = 8
				for seed := range uint64(n) {
					rng := rand.New(rand.NewPCG(seed, 87))
					d, c := canvas(rng, 2*width+10)
					s.draw(&d, c, rng.Float64()*math.Pi, width)
					k := d.ink(rendering{blur: sigma})
					b := Shape{Ink: k}.MeasureBlob(int(c.X), int(c.Y), Box{0, 0, float64(d.w), float64(d.h)})
					mean += (b.Width - width) / n
					if math.Abs(b.Width-width) > b.PlusMinus+0.05 {
						beyond++
					}
				}
				assert.LessOrEqual(t, beyond, 1, "%s of %g px, sigma %g: off by %.2f on average", s.name, width, sigma, mean)
				if width >= 12 && sigma <= 1 {
					assert.InDelta(t, 0, mean, 0.15, "%s of %g px, sigma %g", s.name, width, sigma)
				}
			}
		}
	}
}
