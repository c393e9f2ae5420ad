package artwork

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

// makePNG writes an opaque picture by image/png.
func makePNG(t testing.TB, w, h int, at func(x, y int) [3]byte) []byte {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := at(x, y)
			img.SetNRGBA(x, y, color.NRGBA{c[0], c[1], c[2], 255})
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}

// noise is an ink plane of random pixels, bilevel or grey.
func noise(seed uint64, w, h int, grey bool) *raster.Ink {
	rnd := rand.New(rand.NewPCG(seed, 8))
	c := newCanvas(w, h)
	row := make([]uint8, w)
	for y := range h {
		for x := range row {
			if row[x] = uint8(rnd.IntN(256)); !grey {
				row[x] = row[x] >> 7 * 255
			}
		}
		c.put(0, y, row)
	}
	return c.ink()
}

// TestOrient compares with the definition: where pixel (x, y) of the file goes.
func TestOrient(t *testing.T) {
	to := func(o, x, y, w, h int) (int, int) {
		switch o {
		case 2:
			return w - 1 - x, y
		case 3:
			return w - 1 - x, h - 1 - y
		case 4:
			return x, h - 1 - y
		case 5: // row 0 is the left side, column 0 the top
			return y, x
		case 6: // row 0 is the right side, column 0 the top
			return h - 1 - y, x
		case 7: // row 0 is the right side, column 0 the bottom
			return h - 1 - y, w - 1 - x
		case 8: // row 0 is the left side, column 0 the bottom
			return y, w - 1 - x
		}
		return x, y
	}
	for _, size := range [][2]int{{1, 1}, {3, 5}, {64, 64}, {65, 63}, {63, 130}, {128, 1}, {1, 128}, {200, 70}} {
		for o := 0; o <= 9; o++ {
			for _, grey := range []bool{false, true} {
				t.Run(fmt.Sprint(size, o, grey), func(t *testing.T) {
					k := noise(uint64(o), size[0], size[1], grey)
					before := coverages(k)
					got := orient(k, o)
					sane(t, got)
					after := coverages(got)
					for y := range size[1] {
						for x := range size[0] {
							u, v := to(o, x, y, size[0], size[1])
							if before[y*size[0]+x] != after[v*got.W+u] {
								require.Failf(t, "pixel in the wrong place", "(%d, %d) should be at (%d, %d)", x, y, u, v)
							}
						}
					}
				})
			}
		}
	}
}

// TestPackRow compares with one pixel at a time, at every offset.
func TestPackRow(t *testing.T) {
	rnd := rand.New(rand.NewPCG(9, 10))
	for n := range 140 {
		for _, x := range []int{0, 1, 7, 8, 31, 63, 64, 100} {
			cover, tone := make([]uint8, n), false
			for i := range cover {
				cover[i] = []uint8{0, 255, 0, 255, 127, 128, 1, 254}[rnd.IntN(4+4*(n&1))]
				tone = tone || cover[i] != 0 && cover[i] != 255
			}
			want, got := make([]uint64, 5), make([]uint64, 5)
			for i, v := range cover {
				if v >= 128 {
					want[(x+i)/64] |= 1 << ((x + i) % 64)
				}
			}
			require.Equal(t, tone, packRow(got, x, cover))
			require.Equal(t, want, got, "%d pixels at %d", n, x)
		}
	}
	// One tone at each place alone is found.
	for i := range 130 {
		cover := make([]uint8, 130)
		cover[i] = 1
		require.True(t, packRow(make([]uint64, 3), 0, cover))
		cover[i] = 254
		require.True(t, packRow(make([]uint64, 3), 0, cover))
	}
}

// TestPerMetre: every whole number of pixels an inch comes back from pixels per
// metre, rounded or cut off.
func TestPerMetre(t *testing.T) {
	for ppi := 2; ppi <= 10000; ppi++ {
		exact := float64(ppi) / 0.0254
		require.Equal(t, float64(ppi), perMetre(uint32(math.Round(exact))), "%d rounded", ppi)
		require.Equal(t, float64(ppi), perMetre(uint32(exact)), "%d cut off", ppi)
	}
	require.InDelta(t, 302.26, perMetre(11900), 1e-9) // nothing explains it
	for _, v := range []uint32{0, 1, 39, math.MaxUint32} {
		require.Zero(t, perMetre(v), "%d", v)
	}
}

func TestPerInch(t *testing.T) {
	for _, c := range []struct{ in, want float64 }{
		{300, 300}, {299.9994, 300}, {118.11 * 2.54, 300}, {472.44 * 2.54, 1200}, {299.72, 299.72}, {203.2, 203.2},
		{0, 0}, {1, 0}, {1e9, 0}, {math.NaN(), 0}, {math.Inf(1), 0}, {-300, 0},
	} {
		require.Equal(t, c.want, perInch(c.in), "%v", c.in)
	}
}

// TestResolutions patches the tags of a TIFF.
func TestResolutions(t *testing.T) {
	rational := func(b []byte, tag uint16, num, den uint32) []byte {
		b, at := longs(b, num, den)
		b = retag(t, b, tag, 1, at)
		b[tagAt(t, b, tag)+2] = 5
		return b
	}
	base := readForm(t, "bi-wiz-none.tif")
	set := func(xn, xd, yn, yd, unit uint32) []byte {
		return retag(t, rational(rational(base, tagXResolution, xn, xd), tagYResolution, yn, yd), tagResolutionUnit, 1, unit)
	}
	for _, c := range []struct {
		name      string
		file      []byte
		x, y      float64
		w, h      int
		resampled bool
	}{
		{"inch", set(1200, 1, 1200, 1, 2), 1200, 1200, 93, 61, false},
		{"centimetre", set(47244, 100, 47244, 100, 3), 1200, 1200, 93, 61, false},
		{"no unit", set(1200, 1, 1200, 1, 1), 0, 0, 93, 61, false},
		{"no unit, ratio 2", set(2, 1, 1, 1, 1), 0, 0, 93, 122, true},
		{"ratio 2 in inches", set(400, 1, 200, 1, 2), 400, 400, 93, 122, true},
		{"coarser across", set(200, 1, 400, 1, 2), 400, 400, 186, 61, true},
		{"within a thousandth", set(3003, 10, 300, 1, 2), 300.3, 300, 93, 61, false},
		{"over a thousandth", set(3004, 10, 300, 1, 2), 300.4, 300.4, 93, 61, false},
		{"zero", set(0, 1, 0, 1, 2), 0, 0, 93, 61, false},
		{"one axis", set(300, 1, 0, 1, 2), 300, 300, 93, 61, false},
		{"zero over zero", set(0, 0, 0, 0, 2), 0, 0, 93, 61, false},
		{"one per inch is no size", set(1, 1, 1, 1, 2), 0, 0, 93, 61, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := decodeBytes(c.file, Options{})
			require.NoError(t, err)
			sane(t, p.Ink)
			require.Equal(t, []float64{c.x, c.y}, []float64{p.XPerInch, p.YPerInch})
			require.Equal(t, []int{c.w, c.h}, []int{p.Ink.W, p.Ink.H})
			require.Equal(t, c.resampled, p.Resampled)
			require.Equal(t, c.resampled, len(p.Remarks) > 0)
			h, err := DecodeHeader(bytes.NewReader(c.file), int64(len(c.file)))
			require.NoError(t, err)
			require.Equal(t, Header{"tiff", c.w, c.h, c.x, c.y, 1}, h)
		})
	}
	_, err := decodeBytes(set(3000, 1, 300, 1, 2), Options{})
	var u UnsupportedError
	require.ErrorAs(t, err, &u)
	require.Contains(t, u.Advice, "the same resolution")
	// Turned by 90 degrees the axes change places, before squaring as after it.
	p, err := decodeBytes(rename(t, retag(t, set(400, 1, 200, 1, 2), tagSamplesPerPixel, 1, 6), tagSamplesPerPixel, tagOrientation), Options{})
	require.NoError(t, err)
	require.Equal(t, []int{122, 93}, []int{p.Ink.W, p.Ink.H})
	require.Equal(t, []float64{400, 400}, []float64{p.XPerInch, p.YPerInch})
	require.Equal(t, []float64{400, 200}, []float64{p.StoredXPerInch, p.StoredYPerInch})
}

// TestStretch: an enlarged bar keeps its width, measured as the integral of
// coverage, and its place; a picture of one tone stays; nothing moves sideways.
func TestStretch(t *testing.T) {
	for _, h := range []int{24, 25, 37, 48, 100} {
		k := raster.NewBilevelInk(raster.NewBits(70, 24))
		for y := 10; y < 13; y++ {
			for x := 5; x < 66; x++ {
				k.Bits.Set(x, y)
			}
		}
		got := stretch(k, 70, h)
		sane(t, got)
		sum, moment := 0.0, 0.0
		cover := coverages(got)
		for y := range h {
			require.Zero(t, cover[y*70+4])
			require.Zero(t, cover[y*70+66])
			v := float64(cover[y*70+30]) / 255
			sum += v
			moment += v * (float64(y) + 0.5)
		}
		scale := float64(h) / 24
		require.InDelta(t, 3*scale, sum, 0.1, "width at %d rows", h)
		require.InDelta(t, 11.5*scale, moment/sum, 0.05, "centre at %d rows", h)
		across := transpose(stretch(transpose(k), h, 70))
		require.Equal(t, cover, coverages(across), "the axes are treated alike")
	}
	solid := raster.NewBilevelInk(raster.NewBits(70, 24))
	solid.Bits.Complement()
	require.True(t, stretch(solid, 70, 50).Bilevel())
	require.Equal(t, 70*50, stretch(solid, 70, 50).Bits.Count())
}
