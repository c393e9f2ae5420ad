package preflight

import (
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/draw"

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

// TestRoughWidthsLieWithin: bars in pictures that are noisy, scanned, saved anew after JPEG
// or enlarged lie within plus and minus too, and the artwork says what it looks like; in a
// drawing nothing of the kind is said.
func TestRoughWidthsLieWithin(t *testing.T) {
	const ppi = 300.0
	film, err := ParseFilm("6 mil", Films())
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(89, 1))
	noisy := func(c *pen.Canvas, paper, ink, sigma float64) *raster.Ink {
		for i, v := range c.Grey {
			c.Grey[i] = uint8(math.Min(math.Max(paper+(ink-paper)*float64(v)/255+sigma*rng.NormFloat64(), 0), 255) + 0.5)
		}
		return c.Ink()
	}
	for name, way := range map[string]struct {
		grow float64 // the artwork is drawn this many times smaller
		make func(c *pen.Canvas) *raster.Ink
		says string
	}{
		"a drawing": {1, func(c *pen.Canvas) *raster.Ink { return c.Ink() }, ""},
		"noise":     {1, func(c *pen.Canvas) *raster.Ink { return noisy(c, 0, 255, 5) }, "grain or ripples"},
		"a scan":    {1, func(c *pen.Canvas) *raster.Ink { return noisy(c, 20, 225, 5) }, ""},
		"JPEG saved anew": {1, func(c *pen.Canvas) *raster.Ink {
			img := &image.Gray{Pix: c.Grey, Stride: c.W, Rect: image.Rect(0, 0, c.W, c.H)}
			var buf bytes.Buffer
			require.NoError(t, jpeg.Encode(&buf, img, &jpeg.Options{Quality: 70}))
			again, err := jpeg.Decode(&buf)
			require.NoError(t, err)
			return raster.NewGreyInk(c.W, c.H, again.(*image.Gray).Pix)
		}, "grain or ripples"},
		"enlarged twofold": {2, func(c *pen.Canvas) *raster.Ink {
			small := &image.Gray{Pix: c.Grey, Stride: c.W, Rect: image.Rect(0, 0, c.W, c.H)}
			big := image.NewGray(image.Rect(0, 0, 2*c.W, 2*c.H))
			draw.CatmullRom.Scale(big, big.Rect, small, small.Rect, draw.Src, nil)
			return raster.NewGreyInk(2*c.W, 2*c.H, big.Pix)
		}, "edges are soft"},
	} {
		n, outside := 0, 0
		for i := range 20 {
			w := 2.2 + float64(i)*0.06 // of what is judged
			c := pen.NewCanvas(int(160/way.grow), int(160/way.grow))
			k := 1 / way.grow
			c.Fill(pen.Rect(-50*k, -w/2*k, 100*k, w*k).Turned(4+float64(i)*8.7).Moved(55.3*k, 54.6*k))
			c.Fill(pen.Rect(-50*k, -9*k, 100*k, 18*k).Turned(40).Moved(105*k, 115*k)) // bold
			pic := picture(way.make(c), ppi)
			r, err := Examine(pic, Order{}, film, Options{})
			require.NoError(t, err)
			f := r.Finest[raster.Line]
			if !assert.True(t, f.Found, "%s: %.2f px", name, w) {
				continue
			}
			n++
			um := 25400 / ppi
			if math.Abs(f.WidthUM/um-w) > f.PlusMinusUM/um {
				outside++
				t.Logf("%s: %.3f px for %.3f, +-%.3f", name, f.WidthUM/um, w, f.PlusMinusUM/um)
			}
			soft := slices.ContainsFunc(r.Notes, func(n Note) bool { return n.Code == NoteLowResolution && n.Values["soft_px"] > softEdges })
			assert.Equal(t, name == "enlarged twofold", soft, name)
			if told := strings.Join(r.Artwork.Remarks, " "); way.says == "" {
				assert.Empty(t, told, name)
			} else {
				assert.Contains(t, told, way.says, name)
			}
		}
		assert.LessOrEqual(t, float64(outside), 0.1*float64(n), name)
	}
}
