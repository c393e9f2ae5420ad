package artwork

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
)

// deflate packs n zeros.
func deflate(t testing.TB, n int) []byte {
	t.Helper()
	var b bytes.Buffer
	z, err := zlib.NewWriterLevel(&b, 9)
	require.NoError(t, err)
	zeros := make([]byte, 1<<16)
	for ; n > 0; n -= len(zeros) {
		_, err := z.Write(zeros[:min(n, len(zeros))])
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

// sized sets width and height of a TIFF.
func sized(t testing.TB, b []byte, w, h uint32) []byte {
	return retag(t, retag(t, b, tagImageWidth, 1, w), tagImageLength, 1, h)
}

// strips points a TIFF's strips to the given data, n times the same.
func strips(t testing.TB, b, data []byte, n int) []byte {
	at := uint32(len(b))
	b = append(bytes.Clone(b), data...)
	offs, counts := make([]uint32, n), make([]uint32, n)
	for i := range offs {
		offs[i], counts[i] = at, uint32(len(data))
	}
	b, oAt := longs(b, offs...)
	b, cAt := longs(b, counts...)
	if n == 1 {
		oAt, cAt = at, uint32(len(data))
	}
	return retag(t, retag(t, b, tagStripOffsets, uint32(n), oAt), tagStripByteCounts, uint32(n), cAt)
}

func pngSize(w, h uint32) func(d []byte) {
	return func(d []byte) {
		binary.BigEndian.PutUint32(d, w)
		binary.BigEndian.PutUint32(d[4:], h)
	}
}

// spliceIDAT replaces the data of a PNG.
func spliceIDAT(t testing.TB, b, data []byte) []byte {
	i := bytes.Index(b, []byte("IDAT"))
	require.Positive(t, i)
	out := append(bytes.Clone(b[:i-4]), binary.BigEndian.AppendUint32(nil, uint32(len(data)))...)
	chunk := append(append([]byte("IDAT"), data...), 0, 0, 0, 0)
	putCRC(chunk)
	out = append(out, chunk...)
	end := append([]byte{0, 0, 0, 0}, "IEND\x00\x00\x00\x00"...)
	putCRC(end[4:])
	return append(out, end...)
}

// TestBombs: files that ask for far more than they are, among them every one of
// the list that took other decoders gigabytes or minutes. Each must be refused
// for its stated reason, allocating less than 200 MB in all (a byte is counted
// even when it is freed again).
func TestBombs(t *testing.T) {
	if testing.Short() {
		t.Skip("measures memory, of which the race detector takes several times as much")
	}
	tif := readForm(t, "bi-wiz-none.tif")
	g4 := readForm(t, "bi-wiz-g4.tif")
	zip := readForm(t, "bi-wiz-zip.tif")
	grey := readForm(t, "png-grey8.png")
	tile := readForm(t, "bi-wiz-none-tile.tif")
	jpg := readForm(t, "jpeg-grey.jpg")
	jpgTIFF := readForm(t, "jpeg-grey.tif")
	gif := readForm(t, "gif16.gif")
	bmp := readForm(t, "bmp24.bmp")
	webp := readForm(t, "webp-lossless.webp")
	big := readForm(t, "bi-bigtiff.tif")
	sof := func(w, h uint16) []byte {
		b := bytes.Clone(jpg)
		i := bytes.Index(b, []byte{0xff, 0xc0})
		binary.BigEndian.PutUint16(b[i+5:], h)
		binary.BigEndian.PutUint16(b[i+7:], w)
		return b
	}
	at := func(b []byte, i int, v ...byte) []byte {
		b = bytes.Clone(b)
		copy(b[i:], v)
		return b
	}
	oneStrip := func(b []byte, w, h uint32) []byte { return retag(t, sized(t, b, w, h), tagRowsPerStrip, 1, h) }
	noise := bytes.Repeat([]byte{0x80}, 4<<20)
	const limit, format, unsupported = "limit", "format", "unsupported"
	for _, c := range []struct {
		name, kind, err string
		file            []byte
	}{
		{"tiff 2^20 square", limit, "1048576 x 1048576", sized(t, tif, 1<<20, 1<<20)},
		{"tiff 60000 square", limit, "3600 million", sized(t, tif, 60000, 60000)},
		{"tiff under the limit, without data", format, "", sized(t, tif, 26000, 26000)},
		{"tiff under the limit, one strip, without data", format, "too early", strips(t, oneStrip(tif, 26000, 26000), []byte{1, 2}, 1)},
		{"tiff 2^30 square", limit, "", sized(t, tif, 1<<30, 1<<30)},
		{"tiff 2^31-1 by 2^29", limit, "", sized(t, tif, math.MaxInt32, 1<<29)},
		{"tiff 2^32-1 square", limit, "", sized(t, tif, math.MaxUint32, math.MaxUint32)},
		{"tiff zero width", format, "is not a picture", sized(t, tif, 0, 10)},
		{"tiff deflate bomb", format, "unpacks to more", strips(t, oneStrip(zip, 4000, 4000), deflate(t, 128<<20), 1)},
		{"tiff strips all one bomb", format, "more bytes than the file", strips(t, retag(t, sized(t, zip, 16000, 16000), tagRowsPerStrip, 1, 160), deflate(t, 320000), 100)},
		{"tiff g4 2^20 by 3000, rows sharing 4 bytes", limit, "", strips(t, retag(t, sized(t, g4, 1<<20, 3000), tagRowsPerStrip, 1, 1), []byte{0xff, 0xff, 0xff, 0xff}, 3000)},
		{"tiff g4 2^20 by 600, rows sharing 40 bytes", format, "more bytes than the file", strips(t, retag(t, sized(t, g4, 1<<20, 600), tagRowsPerStrip, 1, 1), bytes.Repeat([]byte{0xff}, 40), 600)},
		{"tiff packbits of no-ops", format, "too early", strips(t, retag(t, oneStrip(tif, 20000, 20000), tagCompression, 1, compPackBits), noise, 1)},
		{"tiff directory beyond the end", format, "not in the file", at(tif, 4, 0xff, 0xff, 0xff, 0x7f)},
		{"tiff directory at 0", format, "no directory", at(tif, 4, 0, 0, 0, 0)},
		{"tiff directory of 65535 entries", format, "not in the file", at(tif, int(binary.LittleEndian.Uint32(tif[4:])), 0xff, 0xff)},
		{"tiff strip count 0", format, "lists 0 of 4", retag(t, tif, tagStripOffsets, 0, 0)},
		{"tiff strips 2^32-1", format, "too short for them", retag(t, sized(t, tif, 1, 1<<20), tagStripOffsets, math.MaxUint32, 8)},
		{"tiff one strip too few", format, "lists 3 of 4", retag(t, tif, tagStripOffsets, 3, binary.LittleEndian.Uint32(tif[tagAt(t, tif, tagStripOffsets)+8:]))},
		{"tiff tile length 0", format, "tiles of 16 x 0", retag(t, tile, tagTileLength, 1, 0)},
		{"tiff tile 2^20 square", unsupported, "tiles over 64 MB", retag(t, retag(t, tile, tagTileWidth, 1, 1<<20), tagTileLength, 1, 1<<20)},
		{"tiff tile beyond every side", format, "tiles of", retag(t, tile, tagTileWidth, 1, math.MaxUint32)},
		{"tiff samples 65535", unsupported, "65535 samples", retag(t, tif, tagSamplesPerPixel, 1, 65535)},
		{"tiff jpeg part of another size", format, "a JPEG part of", sized(t, jpgTIFF, 5000, 61)},
		{"bigtiff 2^63 entries", format, "more entries", at(big, int(binary.LittleEndian.Uint64(big[8:])), 0, 0, 0, 0, 0, 0, 0, 0x80)},
		{"bigtiff directory at 2^63", format, "not in the file", at(big, 8, 0, 0, 0, 0, 0, 0, 0, 0x80)},
		{"png 2^20 square", limit, "", patchPNG(t, grey, "IHDR", pngSize(1<<20, 1<<20))},
		{"png 60000 square", limit, "3600 million", patchPNG(t, grey, "IHDR", pngSize(60000, 60000))},
		{"png under the limit, without data", format, "too early", patchPNG(t, grey, "IHDR", pngSize(26000, 26000))},
		{"png 2^31-1 square", limit, "", patchPNG(t, grey, "IHDR", pngSize(math.MaxInt32, math.MaxInt32))},
		{"png 2^32-1 wide", limit, "", patchPNG(t, grey, "IHDR", pngSize(math.MaxUint32, 1))},
		{"png deflate bomb", format, "more picture data", spliceIDAT(t, grey, deflate(t, 128<<20))},
		{"png interlaced, under the limit, without data", format, "too early", patchPNG(t, grey, "IHDR", func(d []byte) { pngSize(26000, 26000)(d); d[12] = 1 })},
		{"jpeg 65535 square", limit, "", sof(65535, 65535)},
		{"jpeg under the limit, without data", format, "too early", sof(18000, 18000)},
		{"jpeg progressive", limit, "counts 6-fold", bytes.Replace(sof(18000, 18000), []byte{0xff, 0xc0}, []byte{0xff, 0xc2}, 1)},
		{"gif 65535 square", limit, "", at(gif, 6, 0xff, 0xff, 0xff, 0xff)},
		{"bmp wide", limit, "", at(bmp, 18, 0xff, 0xff, 0xff, 0x7f)},
		{"bmp height -2^31", limit, "", at(bmp, 22, 0, 0, 0, 0x80)},
		{"bmp under the limit, without data", format, "too early", at(bmp, 18, 0, 100, 0, 0, 0, 100, 0, 0)},
		{"webp 16384 square", limit, "", webpSize(t, webp)},
	} {
		t.Run(c.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := decodeBytes(c.file, Options{})
			runtime.ReadMemStats(&after)
			require.Error(t, err)
			t.Log(err)
			require.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(200e6))
			require.ErrorContains(t, err, c.err)
			var l LimitError
			var f FormatError
			var u UnsupportedError
			require.Equal(t, c.kind == limit, errors.As(err, &l))
			require.Equal(t, c.kind == format, errors.As(err, &f))
			require.Equal(t, c.kind == unsupported, errors.As(err, &u))

			runtime.ReadMemStats(&before)
			_, _ = DecodeHeader(bytes.NewReader(c.file), int64(len(c.file)))
			runtime.ReadMemStats(&after)
			require.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(10e6))
		})
	}
}

// webpSize makes all sizes in a WebP 16384 x 16384.
func webpSize(t *testing.T, b []byte) []byte {
	b = bytes.Clone(b)
	i := bytes.Index(b, []byte("VP8L"))
	require.Positive(t, i)
	copy(b[i+9:], []byte{0xff, 0xff, 0xff, 0x0f})
	if j := bytes.Index(b, []byte("VP8X")); j > 0 {
		copy(b[j+12:], []byte{0xff, 0x3f, 0, 0xff, 0x3f, 0})
	}
	return b
}

// TestHarmless: what looks hostile and is not.
func TestHarmless(t *testing.T) {
	tif := readForm(t, "bi-wiz-none.tif")
	want, err := decodeBytes(tif, Options{})
	require.NoError(t, err)
	loop := bytes.Clone(tif)
	dir := binary.LittleEndian.Uint32(loop[4:])
	n := uint32(binary.LittleEndian.Uint16(loop[dir:]))
	binary.LittleEndian.PutUint32(loop[dir+2+12*n:], dir)
	for name, b := range map[string][]byte{
		"directory that follows itself": loop,
		"rows per strip 0":              strips(t, retag(t, tif, tagRowsPerStrip, 1, 0), tif[8:8+12*61], 1),
		"bytes after the end":           append(bytes.Clone(tif), "more"...),
		"strip longer than its rows":    strips(t, retag(t, tif, tagRowsPerStrip, 1, 1000), append(bytes.Clone(tif[8:8+12*61]), 0, 0, 0, 0), 1),
	} {
		t.Run(name, func(t *testing.T) {
			got, err := decodeBytes(b, Options{})
			require.NoError(t, err)
			require.Equal(t, 1, got.Pages)
			require.Equal(t, want.Ink, got.Ink)
		})
	}
}

// TestCutOff: no form is read from a file that lacks its end, however little.
func TestCutOff(t *testing.T) {
	for _, f := range readForms(t) {
		t.Run(f.file, func(t *testing.T) {
			b := readForm(t, f.file)
			for _, n := range cuts(len(b)) {
				p, err := decodeBytes(b[:n], Options{})
				if err == nil {
					require.Failf(t, "cut-off file read", "%d of %d bytes gave %d x %d pixels", n, len(b), p.Ink.W, p.Ink.H)
				}
				var l LimitError
				require.False(t, errors.As(err, &l), "%v", err)
			}
		})
	}
}

// cuts lists lengths to cut a file of n bytes to: some near both ends, and 20 in
// between.
func cuts(n int) []int {
	var out []int
	for i := 0; i < n; i += max(1, n/20) {
		out = append(out, i)
	}
	for _, k := range []int{1, 2, 3, 4, 5, 8, 12, 13, 20} {
		out = append(out, max(0, n-k))
	}
	return out
}

// TestNeverPanics flips bits all over every form: an error or a picture, but never
// a decoder of ours that gives up by panic.
func TestNeverPanics(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(formsDir, "*.*"))
	require.NoError(t, err)
	for _, name := range files {
		b, err := os.ReadFile(name)
		require.NoError(t, err)
		places := 20
		if testing.Short() {
			places = 8
		}
		for i := 0; i < len(b); i += 1 + len(b)/places {
			c := bytes.Clone(b)
			c[i] ^= 1 << (i % 8)
			p, err := decodeBytes(c, Options{MaxPixels: 1e5})
			if err == nil {
				sane(t, p.Ink)
			} else {
				require.NotContains(t, err.Error(), "gave up", "%s, byte %d", name, i)
			}
		}
	}
}
