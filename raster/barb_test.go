package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A hairline of 10 px and more that stands on a body is a line, however small the body,
// in grey and in whole pixels. (With what stairs are averaged over, a body under 48 px
// across made a point of it: 1113 of these 1200 in whole pixels went unsaid.)
func TestBarbOnASmallBody(t *testing.T) {
	n := 20
	if testing.Short() {
		n = 5
	}
	for _, bilevel := range []bool{false, true} {
		tried, missed := 0, 0
		for _, safe := range []float64{1.5, 2.4, 3, 4.5} {
			for _, body := range []float64{20, 30, 40} {
				for _, long := range []float64{10, 12} {
					for _, width := range []float64{1, 1.3, 1.5} {
						if width > 0.8*safe || long < 2.2*safe {
							continue
						}
						rng := rand.New(rand.NewPCG(83, uint64(100*safe+body+long)))
						for range n {
							a := rng.Float64() * 2 * math.Pi
							d, c := canvas(rng, body/2+long+12)
							d.add(barPoly(c, a, body, body))
							d.add(barPoly(polar(c, body/2+long/2-1, a), a, long+2, width))
							r := Measure(d.ink(rendering{bilevel: bilevel}), Request{Safe: [4]float64{safe, safe * 4 / 3, safe * 4 / 3, safe * 8 / 3}, Bare: true})
							tried++
							if len(ofKind(r, Line)) == 0 {
								missed++
							}
						}
					}
				}
			}
		}
		t.Logf("bilevel %v: %d of %d missed", bilevel, missed, tried)
		assert.LessOrEqual(t, missed, tried/50, "bilevel %v", bilevel)
	}
}
