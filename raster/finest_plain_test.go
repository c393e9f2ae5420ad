package raster

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The finest of a plain shape is its width, whatever the limit it is looked for
// under, and its square corners are no lines: a solid plate has none, a thick
// bar and a frame read as thick as they are.
func TestFinestOfPlainShapes(t *testing.T) {
	type box struct{ x0, y0, x1, y1 int }
	draw := func(w, h int, inked bool, boxes ...box) *Ink {
		b := NewBits(w, h)
		if inked {
			b.Complement()
		}
		for _, r := range boxes {
			for y := r.y0; y < r.y1; y++ {
				fillRun(b.Row(y), r.x0, r.x1, !inked)
			}
		}
		return NewBilevelInk(b)
	}
	for name, c := range map[string]struct {
		ink         *Ink
		line, strip float64 // 0: none
	}{
		"all ink":           {draw(600, 400, true), 0, 0},
		"solid plate":       {draw(600, 400, false, box{40, 40, 560, 360}), 0, 0},
		"thick bar":         {draw(600, 400, false, box{40, 150, 560, 250}), 100, 0},
		"bar as high as it": {draw(1000, 400, false, box{5, 40, 995, 360}), 320, 0},
		"frame":             {draw(600, 400, true, box{40, 40, 560, 360}), 40, 0},
		"two plates":        {draw(600, 400, false, box{40, 40, 280, 360}, box{310, 40, 560, 360}), 0, 30},
	} {
		for _, limit := range []float64{3, 4.3, 5, 7} {
			res := Measure(c.ink, Request{Safe: [4]float64{limit, limit, limit, 2 * limit}})
			assert.Empty(t, res.Features, name)
			for kind, want := range map[Kind]float64{Line: c.line, Strip: c.strip} {
				got := res.Finest[kind]
				if assert.Equal(t, want > 0, got.Found, "%s, limit %v: finest %v %.2f at %v", name, limit, kind, got.Width, got.At) && got.Found {
					assert.InDelta(t, want, got.Width, math.Max(0.1, got.PlusMinus), "%s, limit %v: %v", name, limit, kind)
				}
			}
		}
	}
}
