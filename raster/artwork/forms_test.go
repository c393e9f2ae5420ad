package artwork

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

const formsDir = "../../testdata/forms"

// form is a row of forms.tsv, which testdata/forms/make.py wrote.
type form struct {
	file, ref, how string
	tol, pages     int
	x, y           float64
}

func readForms(t testing.TB) []form {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(formsDir, "forms.tsv"))
	require.NoError(t, err)
	var out []form
	for _, line := range strings.Split(strings.TrimSpace(string(b)), "\n")[1:] {
		c := strings.Split(line, "\t")
		require.Len(t, c, 7, line)
		f := form{file: c[0], ref: c[1], how: c[6]}
		for i, p := range []any{&f.tol, &f.x, &f.y, &f.pages} {
			_, err := fmt.Sscan(c[2+i], p)
			require.NoError(t, err, line)
		}
		out = append(out, f)
	}
	return out
}

// readPGM reads a binary PGM of 8 bits as coverage.
func readPGM(t testing.TB, name string) (w, h int, cover []uint8) {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(formsDir, name))
	require.NoError(t, err)
	fields := bytes.SplitN(b, []byte("\n"), 4)
	require.Len(t, fields, 4)
	require.Equal(t, "P5", string(fields[0]))
	size := strings.Fields(string(fields[1]))
	w, err = strconv.Atoi(size[0])
	require.NoError(t, err)
	h, err = strconv.Atoi(size[1])
	require.NoError(t, err)
	cover = fields[3]
	require.Len(t, cover, w*h)
	for i := range cover {
		cover[i] = 255 - cover[i]
	}
	return w, h, cover
}

func decodeBytes(b []byte, opt Options) (*Picture, error) {
	return Decode(bytes.NewReader(b), int64(len(b)), opt)
}

// coverages returns the coverage of every pixel, a byte each.
func coverages(k *raster.Ink) []uint8 {
	out := make([]uint8, k.W*k.H)
	for y := range k.H {
		coverRow(out[y*k.W:(y+1)*k.W], k, y)
	}
	return out
}

// sane checks what must hold of every ink plane.
func sane(t *testing.T, k *raster.Ink) {
	t.Helper()
	require.Equal(t, [2]int{k.W, k.H}, [2]int{k.Bits.W, k.Bits.H})
	if k.Grey != nil {
		require.True(t, slices.Equal(raster.NewGreyInk(k.W, k.H, k.Grey).Bits.Words, k.Bits.Words), "Bits is not the cut at half")
		tone := false
		for _, v := range k.Grey {
			tone = tone || v != 0 && v != 255
		}
		require.True(t, tone, "grey without a tone")
	}
	for y := range k.H {
		if k.Bits.Row(y)[k.Bits.Stride-1]&^k.Bits.LastMask() != 0 {
			require.Failf(t, "bits beyond the end of a row", "row %d", y)
		}
	}
}

// TestForms reads each file form as ImageMagick and libtiff do.
func TestForms(t *testing.T) {
	forms := readForms(t)
	require.Greater(t, len(forms), 200)
	for _, f := range forms {
		t.Run(f.file, func(t *testing.T) {
			b, err := os.ReadFile(filepath.Join(formsDir, f.file))
			require.NoError(t, err)
			p, err := decodeBytes(b, Options{})
			require.NoError(t, err)
			sane(t, p.Ink)
			w, h, want := readPGM(t, f.ref)
			require.Equal(t, [2]int{w, h}, [2]int{p.Ink.W, p.Ink.H})
			got := coverages(p.Ink)
			bad, first, worst := 0, -1, 0
			for i := range got {
				d := abs(int(got[i]) - int(want[i]))
				worst = max(worst, d)
				if d > f.tol {
					if bad++; first < 0 {
						first = i
					}
				}
			}
			if bad > 0 {
				t.Errorf("%d pixels of %d differ by more than %d (worst %d), the first at (%d, %d): coverage %d, want %d; made: %s",
					bad, w*h, f.tol, worst, first%w, first/w, got[first], want[first], f.how)
			}
			require.InDelta(t, f.x, p.XPerInch, 1e-9)
			require.InDelta(t, f.y, p.YPerInch, 1e-9)
			require.Equal(t, f.pages, p.Pages)
			require.Equal(t, 1, p.Page)
			require.Equal(t, strings.Contains(f.file, "jpeg") || strings.Contains(f.file, "lossy"), p.Lossy)
			require.Equal(t, strings.HasPrefix(f.file, "bi-") || strings.HasSuffix(f.file, "bilevel.tif"), p.Ink.Bilevel() && strings.HasSuffix(f.file, ".tif") && !strings.HasPrefix(f.file, "pal"))

			head, err := DecodeHeader(bytes.NewReader(b), int64(len(b)))
			require.NoError(t, err)
			require.Equal(t, Header{p.Format, p.Ink.W, p.Ink.H, p.XPerInch, p.YPerInch, p.Pages}, head)
		})
	}
}
