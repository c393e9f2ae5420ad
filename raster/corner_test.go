package raster

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Two blocks that meet by a corner do so however large they are drawn; a hairline that leans
// is a chain of pixels that meet by corners, and has a width.
func TestCornersThatMeet(t *testing.T) {
	for _, side := range []int{8, 12, 24} {
		for _, turned := range []bool{false, true} {
			grey := make([]uint8, 100*100)
			for y := range side {
				for x := range side {
					u, v := 50+x, 50+y
					if turned {
						u = 49 - x
					}
					grey[v*100+u] = 255
					grey[(99-v)*100+99-u] = 255
				}
			}
			for _, k := range []*Ink{NewGreyInk(100, 100, grey), bilevelOf(NewGreyInk(100, 100, grey))} {
				for _, safe := range []float64{1.2, 3} {
					r := Measure(k, Request{Safe: [4]float64{safe, 1, safe, 1}, Bare: true})
					got := ofKind(r, Line)
					require.Len(t, got, 1, "%d px, limit %g", side, safe)
					assert.True(t, got[0].Corner)
					assert.InDelta(t, touching, got[0].Width, 0.01)
				}
			}
			assert.False(t, NewGreyInk(100, 100, grey).cornerAt(Point{51, 50}))
		}
	}
	hair := NewBits(60, 60)
	for i := 10; i < 50; i++ {
		hair.Set(i, i)
	}
	for _, f := range Measure(NewBilevelInk(hair), Request{Safe: [4]float64{3, 1, 3, 1}, Bare: true}).Features {
		assert.False(t, f.Corner)
	}
	grey := make([]uint8, 60*60) // a bridge of half a pixel
	for y := range 20 {
		for x := range 20 {
			grey[(30+y)*60+30+x], grey[(29-y)*60+29-x] = 255, 255
		}
	}
	grey[29*60+30] = 128
	r := Measure(NewGreyInk(60, 60, grey), Request{Safe: [4]float64{3, 1, 3, 1}, Bare: true})
	require.NotEmpty(t, ofKind(r, Line))
	assert.False(t, ofKind(r, Line)[0].Corner)
}
