package preflight

import (
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
	"stencilproof/raster/pen"
)

// TestLossyWidthsLieWithin: bars saved as JPEG at three qualities, at angles off
// the axes: at least 95 in 100 of their true widths lie within the plus and minus
// of their marks, and of the same picture saved without loss plus and minus is
// what the pixels alone say.
func TestLossyWidthsLieWithin(t *testing.T) {
	const ppi = 300.0
	film, err := ParseFilm("6 mil", Films())
	require.NoError(t, err)
	n, outside, worst, sum := 0, 0, 0.0, 0.0
	for _, quality := range []int{60, 75, 90} {
		for i := range 20 {
			w := 1.5 + float64(i)*0.06
			deg := 4 + float64(i)*8.7
			c := pen.NewCanvas(110, 110)
			c.Fill(pen.Rect(-40, -w/2, 80, w).Turned(deg).Moved(55.3, 54.6))
			img := &image.Gray{Pix: make([]uint8, len(c.Grey)), Stride: c.W, Rect: image.Rect(0, 0, c.W, c.H)}
			for j, v := range c.Grey {
				img.Pix[j] = 255 - v
			}
			var buf bytes.Buffer
			require.NoError(t, jpeg.Encode(&buf, img, &jpeg.Options{Quality: quality}))
			pic, err := artwork.Decode(bytes.NewReader(buf.Bytes()), int64(buf.Len()), artwork.Options{})
			require.NoError(t, err)
			r, err := Examine(pic, Order{Size: Size{PxPerInch: ppi}}, film, Options{})
			require.NoError(t, err)
			if !assert.True(t, r.Finest[raster.Line].Found, "%.2f px, quality %d", w, quality) {
				continue
			}
			um := 25400 / ppi
			f := r.Finest[raster.Line]
			off := f.WidthUM/um - w
			n++
			sum += off
			worst = math.Max(worst, math.Abs(off))
			if math.Abs(off) > f.PlusMinusUM/um {
				outside++
				t.Logf("quality %d, %g degrees: %.3f px for %.3f, +-%.3f", quality, deg, f.WidthUM/um, w, f.PlusMinusUM/um)
			}
			assert.Greater(t, f.PlusMinusUM/um, lossyDoubt)
		}
	}
	t.Logf("%d bars in JPEG: %.3f px off on average, worst %.3f, %d outside plus or minus", n, sum/float64(n), worst, outside)
	assert.LessOrEqual(t, float64(outside), 0.05*float64(n))
}
