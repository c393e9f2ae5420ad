package artwork

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

// benchPage is line art of A5 at 600 pixels an inch: rings and rays, about a
// quarter ink, with blended edges.
func benchPage() *raster.Ink {
	const w, h = 3496, 4960
	c := newCanvas(w, h)
	row := make([]uint8, w)
	for y := range h {
		for x := range row {
			cx, cy := float64(x%500)-250, float64(y%500)-250
			r := math.Hypot(cx, cy)
			d := min(math.Abs(math.Mod(r, 40)-20)-5, 220-r)
			row[x] = uint8(max(0, min(1, 0.5-d)) * 255)
		}
		c.put(0, y, row)
	}
	return c.ink()
}

// bench decodes a file over and over; a page counts one byte for each pixel.
func bench(b *testing.B, file []byte, pixels int) {
	b.SetBytes(int64(pixels))
	b.ReportAllocs()
	for b.Loop() {
		_, err := Decode(bytes.NewReader(file), int64(len(file)), Options{})
		require.NoError(b, err)
	}
}

func BenchmarkDecode(b *testing.B) {
	k := benchPage()
	bilevel := raster.NewBilevelInk(k.Bits)
	n := k.W * k.H
	var g4, png1, png8 bytes.Buffer
	require.NoError(b, EncodeG4TIFF(&g4, k.Bits, 600))
	require.NoError(b, EncodePNG(&png1, bilevel, 600))
	require.NoError(b, EncodePNG(&png8, k, 600))
	b.Run("TIFF Group 4", func(b *testing.B) { bench(b, g4.Bytes(), n) })
	b.Run("TIFF 8-bit LZW", func(b *testing.B) { bench(b, greyTIFF(b, k, compLZW), n) })
	b.Run("TIFF 8-bit deflate", func(b *testing.B) { bench(b, greyTIFF(b, k, compDeflate), n) })
	b.Run("PNG 1-bit", func(b *testing.B) { bench(b, png1.Bytes(), n) })
	b.Run("PNG 8-bit", func(b *testing.B) { bench(b, png8.Bytes(), n) })
}

// greyTIFF writes an 8-bit grey TIFF in strips of 16 rows.
func greyTIFF(b *testing.B, k *raster.Ink, compression uint32) []byte {
	le := binary.LittleEndian
	out := []byte("II*\x00\x00\x00\x00\x00")
	var offs, counts []uint32
	for y := 0; y < k.H; y += 16 {
		rows := bytes.Clone(k.Grey[y*k.W : min(y+16, k.H)*k.W])
		var packed []byte
		if compression == compLZW {
			packed = packLZW(rows, 4094)
		} else {
			var z bytes.Buffer
			w := zlib.NewWriter(&z)
			_, err := w.Write(rows)
			require.NoError(b, err)
			require.NoError(b, w.Close())
			packed = z.Bytes()
		}
		offs, counts = append(offs, uint32(len(out))), append(counts, uint32(len(packed)))
		out = append(out, packed...)
	}
	out, oAt := longs(out, offs...)
	out, cAt := longs(out, counts...)
	le.PutUint32(out[4:], uint32(len(out)))
	tags := [][3]uint32{{256, 1, uint32(k.W)}, {257, 1, uint32(k.H)}, {258, 1, 8}, {259, 1, compression}, {262, 1, 0},
		{273, uint32(len(offs)), oAt}, {277, 1, 1}, {278, 1, 16}, {279, uint32(len(counts)), cAt}}
	out = le.AppendUint16(out, uint16(len(tags)))
	for _, t := range tags {
		out = le.AppendUint16(out, uint16(t[0]))
		out = le.AppendUint16(out, 4)
		out = le.AppendUint32(le.AppendUint32(out, t[1]), t[2])
	}
	return append(out, 0, 0, 0, 0)
}
