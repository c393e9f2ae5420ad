package artwork

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// seed adds the form files whose names match, all of them small.
func seed(f *testing.F, patterns ...string) {
	for _, pattern := range patterns {
		names, err := filepath.Glob(filepath.Join(formsDir, pattern))
		require.NoError(f, err)
		require.NotEmpty(f, names)
		for _, n := range names {
			b, err := os.ReadFile(n)
			require.NoError(f, err)
			f.Add(b)
		}
	}
}

// fuzzOne holds what must hold of any bytes whatever: a picture within the limit
// that the header announced and whose planes agree, or an error; and no panic,
// not even one that Decode would turn into an error.
func fuzzOne(t *testing.T, b []byte) {
	const most = 1 << 20
	head, headErr := DecodeHeader(bytes.NewReader(b), int64(len(b)))
	p, err := decodeBytes(b, Options{MaxPixels: most})
	for _, e := range []error{err, headErr} {
		if e != nil && strings.Contains(e.Error(), "gave up") {
			t.Fatal(e)
		}
	}
	if err != nil {
		return
	}
	require.NoError(t, headErr)
	require.Equal(t, head, Header{p.Format, p.Ink.W, p.Ink.H, p.XPerInch, p.YPerInch, p.Pages})
	require.LessOrEqual(t, p.Ink.W*p.Ink.H, most)
	require.LessOrEqual(t, len(p.Colours), mainColours)
	sane(t, p.Ink)
	again, err := decodeBytes(b, Options{MaxPixels: most})
	require.NoError(t, err)
	require.Equal(t, p, again, "read twice")
}

func FuzzTIFF(f *testing.F) {
	seed(f, "*.tif")
	f.Fuzz(fuzzOne)
}

// FuzzPNG mends the CRCs of what the fuzzer made, or it would get no further.
func FuzzPNG(f *testing.F) {
	seed(f, "*.png")
	f.Fuzz(func(t *testing.T, b []byte) {
		b = bytes.Clone(b)
		for at := len(pngMagic); at+12 <= len(b); {
			n := int(be32(b[at:]))
			if n < 0 || n > len(b)-at-12 {
				break
			}
			putCRC(b[at+4 : at+12+n])
			at += 12 + n
		}
		fuzzOne(t, b)
	})
}

// FuzzMeta is for the other forms and their metadata.
func FuzzMeta(f *testing.F) {
	seed(f, "*.jpg", "*.bmp", "*.webp", "*.gif")
	f.Fuzz(fuzzOne)
}
