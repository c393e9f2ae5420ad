package raster

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A gap of one pixel astride two rows covers half of each: it is told under every limit
// that it is under, whether it opens at the edge of a plate on whole pixels, ends inside it
// or is enclosed.
func TestGapAstrideTwoRows(t *testing.T) {
	for name, span := range map[string][2]int{"across": {40, 380}, "half way": {40, 300}, "enclosed": {80, 300}} {
		grey := make([]uint8, 420*300)
		for y := 40; y < 260; y++ {
			for x := 40; x < 380; x++ {
				grey[y*420+x] = 255
			}
		}
		for x := span[0]; x < span[1]; x++ {
			grey[149*420+x], grey[150*420+x] = 128, 128
		}
		for _, limit := range []float64{0.8, 0.95, 1.1, 1.35, 1.6, 2.2} {
			r := Measure(NewGreyInk(420, 300, grey), Request{Safe: [4]float64{limit, limit * 4 / 3, limit * 4 / 3, limit * 8 / 3}})
			strips := ofKind(r, Strip)
			if assert.Len(t, strips, 1, "%s, limit %g", name, limit) {
				assert.InDelta(t, 1, strips[0].Width, 0.05, "%s, limit %g", name, limit)
			}
		}
	}
}

// A hairline astride two rows that joins two blocks whose sides cover part of a pixel reads
// as wide as it is, whatever its length: none of it is read along itself.
func TestHairlineAstrideBetweenBlocks(t *testing.T) {
	for _, side := range []uint8{0, 48, 128} {
		for n := 6; n < 24; n++ {
			const w = 80
			grey := make([]uint8, w*60)
			for y := 25; y < 35; y++ {
				for x := 15; x < 25; x++ {
					grey[y*w+x], grey[y*w+x+n+10] = 255, 255
				}
				grey[y*w+25], grey[y*w+24+n] = side, side
			}
			for _, y := range [2]int{29, 30} {
				for x := 25; x < 25+n; x++ {
					grey[y*w+x] = 127
				}
				half := uint8(255 - (255-int(side))/2)
				grey[y*w+25], grey[y*w+24+n] = half, half
			}
			for _, limit := range []float64{1.2, 2} {
				r := Measure(NewGreyInk(w, 60, grey), Request{Safe: [4]float64{limit, limit, limit, limit}})
				name := fmt.Sprintf("side %d, %d px long, limit %g", side, n, limit)
				if lines := ofKind(r, Line); assert.Len(t, lines, 1, name) {
					assert.InDelta(t, 1, lines[0].Width, 0.15, name)
				}
			}
		}
	}
}

// A slot of eight rows, longer than the limit, with a neck of seven rows: under limits
// between the two it is told, though the same disc fits round pixels of both.
func TestNeckOfARowLess(t *testing.T) {
	const w = 640
	grey := make([]uint8, w*48)
	for i := range grey {
		grey[i] = 255
	}
	for y := 20; y < 28; y++ {
		for x := 20; x < 620; x++ {
			if y < 27 || x < 312 || x >= 328 {
				grey[y*w+x] = 0
			}
		}
	}
	for _, limit := range []float64{7.3, 7.6, 7.9} {
		for x := 20; x < 620; x++ {
			grey[19*w+x] = 235 // grey
		}
		r := Measure(NewGreyInk(w, 48, grey), Request{Safe: [4]float64{limit, limit, limit, limit}})
		strips := ofKind(r, Strip)
		if assert.Len(t, strips, 1, "limit %g", limit) {
			assert.InDelta(t, 7.08, strips[0].Width, 0.05)
		}
	}
}
