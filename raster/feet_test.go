package raster

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The gap between the feet of two letters is as wide as its pixels say, whatever its
// depth, the letters above, and the limit: film, and with the sides exchanged ink.
func TestGapBetweenFeet(t *testing.T) {
	const size, mid, floor = 300, 120, 220
	for _, safe := range []float64{12, 24, 32, 48} {
		for _, wide := range []int{2, 3, 5, 8, 10, 12, 15, 22, 31} {
			for _, deep := range []int{4, 6, 8, 10, 12, 14, 17, 20, 26, 34} {
				if float64(wide) > 0.9*safe {
					continue
				}
				b := NewBits(size, size)
				block := func(x0, y0, x1, y1 int) {
					for y := y0; y < y1; y++ {
						fillRun(b.Row(y), x0, x1, true)
					}
				}
				block(20, floor-deep, mid, floor)
				block(mid+wide, floor-deep, size-20, floor)
				block(20, 60, mid-30, floor-deep)
				block(mid+wide+40, 60, size-20, floor-deep)
				for _, ink := range []bool{false, true} {
					k, kind := NewBilevelInk(b.Clone()), Strip
					if ink {
						k.Invert()
						kind = Line
					}
					var gap []Feature
					for _, f := range Measure(k, Request{Safe: [4]float64{safe, safe, safe, safe}, Bare: true}).Features {
						if x := f.At.X - mid; f.Kind == kind && x > 0 && x < float64(wide) {
							gap = append(gap, f)
						}
					}
					name := fmt.Sprintf("%s of %d px, %d deep, limit %v", kind, wide, deep, safe)
					if assert.Len(t, gap, 1, name) {
						assert.InDelta(t, wide, gap[0].Width, 0.5, name)
					}
				}
			}
		}
	}
}
