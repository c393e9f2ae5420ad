package raster

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A hairline along the rows of pixels, or a slot as fine, is there wherever it lies
// between two rows: it covers some of the one and the rest of the other.
func TestHairlinesAtEveryPhase(t *testing.T) {
	const w, h = 160, 120
	rows := func(width, phase float64) (a, b float64) { // of rows 60 and 61
		return math.Min(1, 1-phase), math.Max(0, width+phase-1)
	}
	for _, wide := range []float64{0.9, 1, 1.1, 1.2, 1.3} {
		within := 0.15
		if wide < 1 { // where the cut parts one row from the other a corner is left out
			within = 0.35
		}
		for n := range 40 {
			phase := (float64(n) + 0.5) / 40
			if wide+phase > 2 {
				continue
			}
			a, b := rows(wide, phase)
			a = math.Min(a, wide)
			for _, safe := range []float64{3.6, 5.4, 9} {
				for _, scene := range []string{"line", "spur", "slot", "cut"} {
					grey := make([]uint8, w*h)
					block := func(x0, y0, x1, y1 int, v float64) {
						for y := y0; y < y1; y++ {
							for x := x0; x < x1; x++ {
								grey[y*w+x] = uint8(math.Round(255 * v))
							}
						}
					}
					kind := Strip
					x0, x1 := 40, 130
					switch scene {
					case "line", "spur":
						kind = Line
						if scene == "spur" {
							block(20, 20, 45, 100, 1)
						}
						block(45, 60, 130, 61, a)
						block(45, 61, 130, 62, b)
					case "cut":
						x0, x1 = 0, w
						fallthrough
					case "slot":
						block(20, 20, 140, 100, 1)
						block(max(x0, 20), 60, min(x1, 140), 61, 1-a)
						block(max(x0, 20), 61, min(x1, 140), 62, 1-b)
					}
					k := NewGreyInk(w, h, grey)
					found := false
					for _, f := range Measure(k, Request{Safe: [4]float64{safe, safe * 4 / 3, safe * 4 / 3, safe * 8 / 3}, Bare: true}).Features {
						width := f.Width
						if f.Kind == Island { // as wide by 4A/P as a strip of half of it
							width /= 2
						}
						if (f.Kind == kind || f.Kind == Island && kind == Strip) && math.Abs(width-wide) < within {
							found = true
						}
					}
					assert.True(t, found, "%s of %g px at %g, limit %g", scene, wide, phase, safe)
				}
			}
		}
	}
}
