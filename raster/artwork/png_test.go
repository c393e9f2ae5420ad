package artwork

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

// slowCover is the rule of the package comment in floating point over what
// image/png decoded; it shares nothing with the readers.
func slowCover(img image.Image) []uint8 {
	b := img.Bounds()
	var out []uint8
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			c := color.NRGBA64Model.Convert(img.At(x, y)).(color.NRGBA64)
			lum := (0.2126*float64(c.R) + 0.7152*float64(c.G) + 0.0722*float64(c.B)) / 65535
			out = append(out, uint8(math.Round((1-lum)*float64(c.A)/65535*255)))
		}
	}
	return out
}

// requireCover compares coverages within one level, for the rules round at
// different steps; bilevel ones exactly.
func requireCover(t *testing.T, k *raster.Ink, want []uint8) {
	t.Helper()
	got := coverages(k)
	require.Len(t, got, len(want))
	slack := 1
	if k.Bilevel() {
		slack = 0
	}
	for i := range got {
		if abs(int(got[i])-int(want[i])) > slack {
			require.Failf(t, "coverage differs", "at (%d, %d): %d, want %d", i%k.W, i/k.W, got[i], want[i])
		}
	}
}

// TestPNGTwin compares every PNG form with image/png.
func TestPNGTwin(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(formsDir, "*.png"))
	require.NoError(t, err)
	require.Greater(t, len(files), 40)
	for _, name := range files {
		t.Run(filepath.Base(name), func(t *testing.T) {
			b, err := os.ReadFile(name)
			require.NoError(t, err)
			img, err := png.Decode(bytes.NewReader(b))
			require.NoError(t, err)
			p, err := decodeBytes(b, Options{})
			require.NoError(t, err)
			requireCover(t, p.Ink, slowCover(img))
		})
	}
}

// TestPNGSizes writes small pictures of many sizes by image/png, so that rows end
// at every place of a byte and a word, and reads them back.
func TestPNGSizes(t *testing.T) {
	rnd := rand.New(rand.NewPCG(6, 7))
	for _, w := range []int{1, 2, 3, 7, 8, 9, 63, 64, 65, 127, 128, 129, 200} {
		for _, h := range []int{1, 2, 5} {
			bw := image.NewPaletted(image.Rect(0, 0, w, h), color.Palette{color.White, color.Black})
			wb := image.NewPaletted(image.Rect(0, 0, w, h), color.Palette{color.Black, color.White})
			gray, rgba := image.NewGray(image.Rect(0, 0, w, h)), image.NewNRGBA(image.Rect(0, 0, w, h))
			for i := range bw.Pix {
				bw.Pix[i], wb.Pix[i] = uint8(rnd.IntN(2)), uint8(rnd.IntN(2))
				gray.Pix[i] = uint8(rnd.IntN(256))
			}
			for i := range rgba.Pix {
				rgba.Pix[i] = uint8(rnd.IntN(256))
			}
			for _, img := range []image.Image{bw, wb, gray, rgba} {
				var b bytes.Buffer
				require.NoError(t, png.Encode(&b, img))
				p, err := decodeBytes(b.Bytes(), Options{})
				require.NoError(t, err)
				sane(t, p.Ink)
				requireCover(t, p.Ink, slowCover(img))
			}
		}
	}
}

// TestPNGRoundTrip: what EncodePNG and EncodeG4TIFF write comes back bit for bit.
func TestPNGRoundTrip(t *testing.T) {
	for name, p := range g4Planes() {
		for form, write := range map[string]func(b *bytes.Buffer) error{
			"png":  func(b *bytes.Buffer) error { return EncodePNG(b, raster.NewBilevelInk(p), 1200) },
			"tiff": func(b *bytes.Buffer) error { return EncodeG4TIFF(b, p, 1200) },
		} {
			t.Run(name+" "+form, func(t *testing.T) {
				var b bytes.Buffer
				require.NoError(t, write(&b))
				got, err := decodeBytes(b.Bytes(), Options{})
				require.NoError(t, err)
				require.Equal(t, form, got.Format)
				require.True(t, got.Ink.Bilevel())
				require.Equal(t, p, got.Ink.Bits)
				require.Equal(t, [2]float64{1200, 1200}, [2]float64{got.XPerInch, got.YPerInch})
			})
		}
	}
}

// patchPNG returns the file with a chunk's data changed by do and its CRC right
// again.
func patchPNG(t *testing.T, b []byte, name string, do func(data []byte)) []byte {
	t.Helper()
	b = bytes.Clone(b)
	i := bytes.Index(b, []byte(name))
	require.Positive(t, i, name)
	n := int(be32(b[i-4:]))
	do(b[i+4 : i+4+n])
	putCRC(b[i : i+8+n])
	return b
}

// TestPNGRefuses has a row for each way in which a PNG can be broken.
func TestPNGRefuses(t *testing.T) {
	good := readForm(t, "png-grey8.png")
	pal := readForm(t, "png-pal8.png")
	for _, c := range []struct {
		name string
		file []byte
		err  string
	}{
		{"colour type", patchPNG(t, good, "IHDR", func(d []byte) { d[9] = 5 }), "colour type 5"},
		{"depth", patchPNG(t, good, "IHDR", func(d []byte) { d[8] = 3 }), "3 bits a sample"},
		{"filter method", patchPNG(t, good, "IHDR", func(d []byte) { d[11] = 1 }), "filter 1"},
		{"zero width", patchPNG(t, good, "IHDR", func(d []byte) { clear(d[:4]) }), "is not a picture"},
		{"too many rows", patchPNG(t, good, "IHDR", func(d []byte) { d[7]++ }), "the data end too early"},
		{"too few rows", patchPNG(t, good, "IHDR", func(d []byte) { d[7]-- }), "more picture data than its size"},
		{"CRC of IHDR", replace(good, "IHDR\x00", "IHDR\x01"), "IHDR chunk does not match its checksum"},
		{"CRC of IDAT", flipAt(good, bytes.Index(good, []byte("IDAT"))+14), ""},
		{"no IHDR", replace(good, "IHDR", "IHDr"), "where IHDR must stand"},
		{"no data", replace(replace(good, "IDAT", "iDAT"), "IDAT", "iDAT"), "no picture data"},
		{"unknown critical chunk", replace(good, "pHYs", "PHYs"), "unknown critical chunk"},
		{"palette of no length", replace(pal, "PLTE", "plTE"), "without palette"},
		{"palette index", palRows(t), "palette entry"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := decodeBytes(c.file, Options{})
			require.Error(t, err)
			require.ErrorContains(t, err, c.err)
		})
	}
	// A damaged pHYs is told, and the size then unknown.
	i := bytes.Index(good, []byte("pHYs"))
	p, err := decodeBytes(flipAt(good, i+6), Options{})
	require.NoError(t, err)
	require.Zero(t, p.XPerInch)
	require.Len(t, p.Remarks, 1)
	require.True(t, strings.Contains(p.Remarks[0], "pHYs"))
}

// palRows is a palette picture whose palette is too short for an index in it.
func palRows(t *testing.T) []byte {
	img := image.NewPaletted(image.Rect(0, 0, 8, 8), color.Palette{color.White, color.Black, color.Gray{9}})
	img.Pix[9] = 3 // 2 bits can hold it
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}
