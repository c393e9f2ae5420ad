package artwork

import (
	"bytes"
	"errors"
	"io"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestUnsupported: what is sound but not read is named, with something to do.
func TestUnsupported(t *testing.T) {
	tif, grey, rgb, jpg := readForm(t, "bi-wiz-none.tif"), readForm(t, "grey8.tif"), readForm(t, "rgb8.tif"), readForm(t, "jpeg-grey.jpg")
	g4, ycc := readForm(t, "bi-wiz-g4.tif"), readForm(t, "jpeg-ycc.tif")
	comp := func(v uint32) []byte { return retag(t, tif, tagCompression, 1, v) }
	// Tags that the files lack take the place of one that is not needed.
	with := func(b []byte, instead, tag uint16, value uint32) []byte {
		return rename(t, retag(t, b, instead, 1, value), instead, tag)
	}
	sof := func(marker byte) []byte { return bytes.Replace(jpg, []byte{0xff, 0xc0}, []byte{0xff, marker}, 1) }
	bmp := readForm(t, "bmp24.bmp")
	bmpAt := func(i int, v byte) []byte { b := bytes.Clone(bmp); b[i] = v; return b }
	for _, c := range []struct {
		what string
		file []byte
	}{
		{"a TIFF with old-style JPEG compression", comp(6)},
		{"a TIFF with JBIG compression", comp(34661)},
		{"a TIFF with JPEG 2000 compression", comp(34712)},
		{"a TIFF with LZMA compression", comp(34925)},
		{"a TIFF with Zstandard compression", comp(50000)},
		{"a TIFF with WebP compression", comp(50001)},
		{"a TIFF with unknown (number 4711) compression", comp(4711)},
		{"a TIFF with old-style LZW compression", strips(t, retag(t, comp(compLZW), tagRowsPerStrip, 1, 61), []byte{0, 1, 2, 3}, 1)},
		{"a TIFF with the uncompressed mode of CCITT compression", with(g4, tagResolutionUnit, tagT6Options, 2)},
		{"a TIFF with floating-point samples", with(grey, tagResolutionUnit, tagSampleFormat, 3)},
		{"a TIFF with signed samples", with(grey, tagResolutionUnit, tagSampleFormat, 2)},
		{"a TIFF with 32 bits a sample", retag(t, grey, tagBitsPerSample, 1, 32)},
		{"a TIFF with a predictor over 1-bit samples", with(comp(compLZW), tagResolutionUnit, tagPredictor, 2)},
		{"a TIFF with the floating-point predictor", with(retag(t, grey, tagCompression, 1, compLZW), tagResolutionUnit, tagPredictor, 3)},
		{"a TIFF whose picture is a transparency mask", retag(t, tif, tagPhotometric, 1, 4)},
		{"a TIFF in Lab colour", retag(t, rgb, tagPhotometric, 1, 8)},
		{"a TIFF in YCbCr without JPEG compression", retag(t, rgb, tagPhotometric, 1, 6)},
		{"a TIFF in YCbCr with its channels stored apart", retag(t, ycc, tagPlanarConfig, 1, 2)},
		{"a TIFF with photometric interpretation 77", retag(t, tif, tagPhotometric, 1, 77)},
		{"a TIFF of raw camera data", retag(t, rgb, tagPhotometric, 1, 32803)},
		{"a TIFF that does not say whether 0 is black or white (no PhotometricInterpretation)", rename(t, tif, tagPhotometric, 60000)},
		{"a TIFF of separations other than CMYK", with(readForm(t, "cmyk8.tif"), tagResolutionUnit, tagInkSet, 2)},
		{"a JPEG of process 3 (lossless or arithmetic)", sof(0xc3)},
		{"a JPEG of process 9 (lossless or arithmetic)", sof(0xc9)},
		{"a BMP with compression 1", bmpAt(30, 1)},
		{"a BMP with packed colours", bmpAt(30, 3)},
		{"a BMP with 16 bits a pixel", bmpAt(28, 16)},
		{"a PDF", []byte("%PDF-1.7\n")},
		{"an EPS file", []byte("\xc5\xd0\xd3\xc6....")},
		{"a HEIF or AVIF picture", []byte("\x00\x00\x00\x20ftypheic")},
		{"an SVG drawing", []byte("<svg xmlns=")},
		{"a PNG whose line ends were changed on the way (sent as text)", []byte("\x89PNG\n\x1a\n....")},
	} {
		t.Run(c.what, func(t *testing.T) {
			_, err := decodeBytes(c.file, Options{})
			var u UnsupportedError
			require.ErrorAs(t, err, &u)
			require.Equal(t, c.what, u.What)
			require.NotEmpty(t, u.Advice)
		})
	}
}

// TestBroken has a row for each way in which a TIFF can contradict itself.
func TestBroken(t *testing.T) {
	tif, pal, rgb := readForm(t, "bi-wiz-none.tif"), readForm(t, "pal4.tif"), readForm(t, "rgb8.tif")
	for _, c := range []struct {
		name, err string
		file      []byte
	}{
		{"strip beyond the end", "reaches beyond the end", strips(t, retag(t, tif, tagRowsPerStrip, 1, 61), make([]byte, 12*61), 1)[:len(tif)]},
		{"an empty strip among others", "part 2 of 4 is empty", emptyStrip(t, tif)},
		{"palette too short", "a palette of 47 values where 48", retagCount(t, pal, tagColorMap, 47)},
		{"no palette", "a palette of 0 values", rename(t, pal, tagColorMap, 60000)},
		{"fewer samples than the colour", "too few for rgb", retag(t, retag(t, rgb, tagSamplesPerPixel, 1, 2), tagBitsPerSample, 1, 8)},
		{"planar configuration", "PlanarConfiguration 3", rename(t, retag(t, rgb, tagResolutionUnit, 1, 3), tagResolutionUnit, tagPlanarConfig)},
		{"resolution outside the file", "XResolution at byte", outsideTag(t, tif, tagXResolution)},
		{"fax of two samples", "CCITT compression with", retag(t, rgb, tagCompression, 1, compG4)},
		{"empty file", "the file is empty", nil},
		{"text", "not an artwork file", []byte("Dear shop, attached is our logo")},
		{"only the first bytes", "too early", []byte("II*\x00")},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := decodeBytes(c.file, Options{})
			var f FormatError
			require.ErrorAs(t, err, &f)
			require.ErrorContains(t, err, c.err)
		})
	}
}

func emptyStrip(t *testing.T, b []byte) []byte {
	b, at := longs(b, 12*16, 0, 12*16, 12*13)
	return retag(t, b, tagStripByteCounts, 4, at)
}

func retagCount(t *testing.T, b []byte, tag uint16, n byte) []byte {
	b = bytes.Clone(b)
	b[tagAt(t, b, tag)+4] = n
	return b
}

func outsideTag(t *testing.T, b []byte, tag uint16) []byte {
	b = bytes.Clone(b)
	copy(b[tagAt(t, b, tag)+8:], []byte{0xff, 0xff, 0xff, 0x7f})
	return b
}

// TestPages reads each page of a file with three, and refuses a fourth.
func TestPages(t *testing.T) {
	b := readForm(t, "bi-pages.tif")
	first, err := decodeBytes(b, Options{})
	require.NoError(t, err)
	second, err := decodeBytes(b, Options{Page: 2})
	require.NoError(t, err)
	require.Equal(t, 2, second.Page)
	require.Equal(t, 3, second.Pages)
	second.Ink.Invert() // the art of page 2 is the complement of page 1's
	require.Equal(t, first.Ink, second.Ink)
	third, err := decodeBytes(b, Options{Page: 3})
	require.NoError(t, err)
	upsideDown(third.Ink)
	require.Equal(t, first.Ink, third.Ink)
	for page, advice := range map[int]string{4: "choose a page from 1 to 3", -1: "numbered from 1"} {
		_, err = decodeBytes(b, Options{Page: page})
		var u UnsupportedError
		require.ErrorAs(t, err, &u)
		require.Contains(t, u.Advice, advice)
	}
	_, err = decodeBytes(readForm(t, "png-grey8.png"), Options{Page: 2})
	require.ErrorContains(t, err, "one page")
	thumb, err := decodeBytes(readForm(t, "bi-thumb.tif"), Options{Page: 1})
	require.NoError(t, err)
	require.Equal(t, first.Ink, thumb.Ink)
}

// TestLimits: a limit of exactly the picture's size passes, one less does not.
func TestLimits(t *testing.T) {
	for _, f := range []struct {
		name string
		cost int64
	}{{"bi-wiz-g4.tif", 1}, {"png-grey8.png", 1}, {"png-rgb16-i.png", 1}, {"bmp24.bmp", 1}, {"jpeg-grey.jpg", 2}, {"jpeg-444.jpg", 4}, {"jpeg-420.jpg", 16}, {"gif16.gif", 2}, {"webp-lossless.webp", 9}} {
		t.Run(f.name, func(t *testing.T) {
			b := readForm(t, f.name)
			_, err := decodeBytes(b, Options{MaxPixels: 93 * 61 * f.cost, MaxBytes: int64(len(b))})
			require.NoError(t, err)
			var l LimitError
			_, err = decodeBytes(b, Options{MaxPixels: 93*61*f.cost - 1})
			require.ErrorAs(t, err, &l)
			_, err = decodeBytes(b, Options{MaxBytes: int64(len(b)) - 1})
			require.ErrorAs(t, err, &l)
		})
	}
	// Squaring counts too: 93 x 31 pixels become 93 x 65.
	_, err := decodeBytes(readForm(t, "fax-204x98.tif"), Options{MaxPixels: 93 * 65})
	require.NoError(t, err)
	var l LimitError
	_, err = decodeBytes(readForm(t, "fax-204x98.tif"), Options{MaxPixels: 93*65 - 1})
	require.ErrorAs(t, err, &l)
}

// failing is a reader that fails after n bytes for a reason of its own.
type failing struct {
	b   []byte
	n   int64
	err error
}

func (f failing) ReadAt(p []byte, off int64) (int, error) {
	if off+int64(len(p)) > f.n {
		return 0, f.err
	}
	return bytes.NewReader(f.b).ReadAt(p, off)
}

// TestReaderFails: trouble of the reader is passed on as it is, and not called a
// damaged file.
func TestReaderFails(t *testing.T) {
	trouble := errors.New("the stick was pulled out")
	for _, name := range []string{"bi-wiz-g4.tif", "bi-wiz-zip.tif", "bi-wiz-lzw.tif", "grey8-packbits.tif", "png-grey8.png", "jpeg-grey.jpg", "bmp24.bmp", "gif16.gif", "webp-lossy.webp"} {
		t.Run(name, func(t *testing.T) {
			b := readForm(t, name)
			for n := int64(0); n < int64(len(b)); n += 1 + int64(len(b)/10) {
				_, err := Decode(failing{b, n, trouble}, int64(len(b)), Options{})
				require.ErrorIs(t, err, trouble, "after %d bytes", n)
				var f FormatError
				require.False(t, errors.As(err, &f))
			}
			// A reader shorter than it was said to be is a cut-off file.
			_, err := Decode(failing{b, int64(len(b)) / 2, io.EOF}, int64(len(b)), Options{})
			var f FormatError
			require.ErrorAs(t, err, &f)
		})
	}
}

// TestColours: what the main colours of the art become, greys and blended edges
// left out.
func TestColours(t *testing.T) {
	// 40 % red, 20 % yellow, 10 % black, 29 % white, 1 % grey.
	b := makePNG(t, 10, 100, func(x, y int) [3]byte {
		switch {
		case y < 40:
			return [3]byte{255, 0, 0}
		case y < 60:
			return [3]byte{255, 255, 0}
		case y < 70:
			return [3]byte{0, 0, 0}
		case y < 99:
			return [3]byte{255, 255, 255}
		}
		return [3]byte{128, 128, 128}
	})
	p, err := decodeBytes(b, Options{})
	require.NoError(t, err)
	require.True(t, p.Colour)
	require.False(t, p.Alpha)
	require.Equal(t, "rgb", p.Model)
	// By hand: 255 (1 - 0.2126) = 200.8, 255 * 0.0722 = 18.4.
	require.Equal(t, []Colour{{255, 0, 0, 0.4, 201}, {255, 255, 0, 0.2, 18}}, p.Colours)
	for y, want := range map[int]uint8{0: 201, 50: 18, 65: 255, 80: 0, 99: 127} {
		require.Equal(t, want, p.Ink.Grey[y*10], "row %d", y)
	}
	for _, name := range []string{"grey8.tif", "bi-wiz-g4.tif", "png-grey16.png", "jpeg-grey.jpg"} {
		p, err := decodeBytes(readForm(t, name), Options{})
		require.NoError(t, err)
		require.False(t, p.Colour, name)
		require.Empty(t, p.Colours, name)
	}
	for name, alpha := range map[string]bool{"rgb8.tif": false, "rgba8-extra2.tif": true, "rgba8-extra1.tif": true, "png-la8.png": true, "png-pal8-alpha.png": true, "png-grey4-key.png": true, "png-grey8-key.png": true, "webp-lossless.webp": true, "webp-lossy.webp": false} {
		p, err := decodeBytes(readForm(t, name), Options{})
		require.NoError(t, err)
		require.Equal(t, alpha, p.Alpha, name)
	}
}

// TestRemarks: what was assumed or left out is said, and nothing else is.
func TestRemarks(t *testing.T) {
	for name, want := range map[string]string{
		"rgba8-extra0.tif": "taken for transparency", "greyalpha-extra0.tif": "taken for transparency",
		"cmyk8-spot.tif": "one more channel", "rgb8-two-extra.tif": "2 more channels", "fax-204x98.tif": "not square (204 x 98)",
		"rgba8-extra2.tif": "", "rgb8.tif": "", "bi-wiz-g4.tif": "", "bi-orient6.tif": "", "png-grey8.png": "",
	} {
		p, err := decodeBytes(readForm(t, name), Options{})
		require.NoError(t, err)
		if want == "" {
			require.Empty(t, p.Remarks, name)
			continue
		}
		require.Len(t, p.Remarks, 1, name)
		require.Contains(t, p.Remarks[0], want)
	}
}
