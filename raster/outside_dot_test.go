package raster

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestShortThinBarIsNoDot: a bar of 1 to 3 px and ten times as long is a line, and
// no larger disc fits in it than it is wide.
func TestShortThinBarIsNoDot(t *testing.T) {
	for _, w := range []float64{1, 1.5, 2, 3} {
		for _, a := range []float64{0, 0.1, 0.58, 1.5707963} {
			for _, phase := range []float64{0, 0.25, 0.5, 0.7} {
				d, c := square(10*w+14, phase)
				d.add(barPoly(c, a, 10*w, w))
				d.both(func(k *Ink, bilevel bool) {
					r := Measure(k, safe(w+2))
					what := fmt.Sprintf("%g px, %g rad, phase %g, bilevel %v: %s", w, a, phase, bilevel, told(r))
					assert.False(t, r.Finest[Dot].Found, "%s, a dot of %.2f", what, r.Finest[Dot].Width)
					assert.NotEmpty(t, ofKind(r, Line), what)
				})
			}
		}
	}
}
