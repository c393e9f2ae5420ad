package raster_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"stencilproof/raster"
)

// Where a shape hangs together by the corners of pixels its width is doubtful,
// but a line is there: 0 is said of none, and plus and minus reaches down to it.
func TestPixelsThatTouchAtACorner(t *testing.T) {
	pictures := map[string]func(x, y int) bool{
		"two blocks":         func(x, y int) bool { return x < 40 && y < 40 || x >= 40 && y >= 40 },
		"a diagonal":         func(x, y int) bool { return x == y || x < 20 && y < 20 || x >= 60 && y >= 60 },
		"a staircase":        func(x, y int) bool { return x/3 == y/3 },
		"four blocks round":  func(x, y int) bool { return (x < 40) == (y < 40) && (x-40)*(x-40)+(y-40)*(y-40) < 900 },
		"blobs in a diamond": func(x, y int) bool { return abs(x%20-10)+abs(y%20-10) <= 9 },
	}
	for name, in := range pictures {
		for _, grey := range []bool{false, true} {
			const n = 80
			b := raster.NewBits(n, n)
			v := make([]byte, n*n)
			for y := 4; y < n-4; y++ {
				for x := 4; x < n-4; x++ {
					if in(x, y) {
						b.Set(x, y)
						v[y*n+x] = 255
					}
				}
			}
			k := raster.NewBilevelInk(b)
			if grey {
				v[0] = 20 // the levels of this file are not two
				k = raster.NewGreyInk(n, n, v)
			}
			for _, safe := range []float64{3, 6, 12} {
				res := raster.Measure(k, raster.Request{Safe: [4]float64{safe, safe, safe, safe}})
				lines := 0
				for _, f := range res.Features {
					if f.Kind == raster.Line {
						lines++
					}
					assert.Greater(t, f.Width, 0.3, "%s, grey %v, limit %v: a %v at %v", name, grey, safe, f.Kind, f.At)
					if f.Kind == raster.Line && f.Width < 0.5 {
						assert.GreaterOrEqual(t, f.PlusMinus, 0.4, "%s, grey %v, limit %v: a %v at %v", name, grey, safe, f.Kind, f.At)
					}
				}
				if name == "two blocks" {
					assert.Equal(t, 1, lines, "%s, grey %v, limit %v: waists", name, grey, safe)
				}
			}
		}
	}
}

func abs(a int) int { return max(a, -a) }
