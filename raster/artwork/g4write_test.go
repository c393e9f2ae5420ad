package artwork

import (
	"bytes"
	"encoding/binary"
	"image"
	"io"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/ccitt"
	"golang.org/x/image/tiff"

	"stencilproof/raster"
)

// g4Planes are planes that reach every mode and run code: runs around every
// make-up code and past two of the longest, in both colours, rows of noise of several
// densities, shifted stripes for the vertical modes, and edge widths.
func g4Planes() map[string]*raster.Bits {
	var lengths []int
	for n := range 130 {
		lengths = append(lengths, n)
	}
	for n := 192; n <= 5248; n += 64 {
		lengths = append(lengths, n-1, n, n+1)
	}
	out := map[string]*raster.Bits{
		"one clear pixel": raster.NewBits(1, 1),
		"one ink pixel":   raster.NewBits(1, 1),
		"64 wide":         raster.NewBits(64, 3),
		"runs":            raster.NewBits(10600, len(lengths)),
		"slants":          raster.NewBits(200, 150),
		"two strips":      raster.NewBits(70, g4StripRows+3),
	}
	out["one ink pixel"].Set(0, 0)
	for x := range 64 {
		out["64 wide"].Set(x, 1)
	}
	for y, n := range lengths { // n clear, n ink, the rest clear
		for x := n; x < 2*n; x++ {
			out["runs"].Set(x, y)
		}
	}
	for y := range 150 { // edges that move 0 to 4 px a row, both ways
		for x := range 12 {
			for s := range 5 {
				out["slants"].Set((s*40+s*y+x)%200, y)
			}
		}
	}
	for seed, density := range map[int64]int{1: 2, 2: 8, 3: 50} {
		r := rand.New(rand.NewSource(seed))
		b := raster.NewBits(131, 97)
		for y := range b.H {
			for x := range b.W {
				if r.Intn(density) == 0 {
					b.Set(x, y)
				}
			}
		}
		out["noise 1 in "+string(rune('0'+density%10))] = b
	}
	for y := range out["two strips"].H {
		out["two strips"].Set(y%70, y)
	}
	return out
}

func TestG4ReadsBackThroughCCITT(t *testing.T) {
	for name, b := range g4Planes() {
		h := min(b.H, g4StripRows)
		r := ccitt.NewReader(bytes.NewReader(g4Strip(b, 0, h)), ccitt.MSB, ccitt.Group4, b.W, h, &ccitt.Options{Invert: true})
		got, err := io.ReadAll(r)
		require.NoError(t, err, name)
		stride := (b.W + 7) / 8
		require.Len(t, got, stride*h, name)
		for y := range h {
			for x := range b.W {
				// With Invert, ccitt gives 1 for black.
				if b.Get(x, y) != (got[y*stride+x>>3]>>(7-x&7)&1 == 1) {
					t.Fatalf("%s: pixel %d,%d differs", name, x, y)
				}
			}
		}
	}
}

// requirePlane compares an image with a plane: ink is black.
func requirePlane(t *testing.T, name string, want *raster.Bits, got image.Image) {
	t.Helper()
	require.Equal(t, image.Rect(0, 0, want.W, want.H), got.Bounds(), name)
	for y := range want.H {
		for x := range want.W {
			v, _, _, _ := got.At(x, y).RGBA()
			if want.Get(x, y) != (v < 0x8000) {
				t.Fatalf("%s: pixel %d,%d differs", name, x, y)
			}
		}
	}
}

func TestG4TIFFReadsBackWhole(t *testing.T) {
	for name, b := range g4Planes() {
		var file bytes.Buffer
		require.NoError(t, EncodeG4TIFF(&file, b, 1200))
		im, err := tiff.Decode(bytes.NewReader(file.Bytes()))
		require.NoError(t, err, name)
		requirePlane(t, name, b, im)
		var again bytes.Buffer
		require.NoError(t, EncodeG4TIFF(&again, b, 1200))
		require.Equal(t, file.Bytes(), again.Bytes(), name)
	}
}

// needTool returns the path of a reference tool. Without it the test is
// skipped, but refused where CI says that the tools are there.
func needTool(t *testing.T, name, from string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is missing: install %s", name, from)
		}
		t.Skipf("%s is missing (Debian package %s): not compared with it", name, from)
	}
	return path
}

// The reference is libtiff: its tiffcp unpacks the file, and only then is it
// read here.
func TestG4TIFFReadsBackThroughLibtiff(t *testing.T) {
	tiffcp := needTool(t, "tiffcp", "libtiff-tools")
	dir := t.TempDir()
	for name, b := range g4Planes() {
		packed, plain := filepath.Join(dir, "packed.tif"), filepath.Join(dir, "plain.tif")
		var file bytes.Buffer
		require.NoError(t, EncodeG4TIFF(&file, b, 600.5))
		require.NoError(t, os.WriteFile(packed, file.Bytes(), 0o644))
		out, err := exec.Command(tiffcp, "-c", "none", packed, plain).CombinedOutput()
		require.NoError(t, err, "%s: %s", name, out)
		require.Empty(t, string(out), name)
		data, err := os.ReadFile(plain)
		require.NoError(t, err)
		im, err := tiff.Decode(bytes.NewReader(data))
		require.NoError(t, err, name)
		requirePlane(t, name, b, im)
	}
}

func TestG4TIFFResolution(t *testing.T) {
	for _, row := range []struct {
		ppi      float64
		num, den uint32
	}{{1200, 1200, 1}, {600.5, 6005000, 10000}, {299.9994, 2999994, 10000}} {
		var file bytes.Buffer
		require.NoError(t, EncodeG4TIFF(&file, raster.NewBits(8, 8), row.ppi))
		data := file.Bytes()
		le := binary.LittleEndian
		dir := data[le.Uint32(data[4:]):]
		seen := 0
		for i := range int(le.Uint16(dir)) {
			tag := dir[2+12*i:]
			switch le.Uint16(tag) {
			case 282, 283:
				at := data[le.Uint32(tag[8:]):]
				require.Equal(t, [2]uint32{row.num, row.den}, [2]uint32{le.Uint32(at), le.Uint32(at[4:])})
				seen++
			case 296:
				require.Equal(t, uint16(2), le.Uint16(tag[8:]))
				seen++
			}
		}
		require.Equal(t, 3, seen)
	}
}

func TestEncodersRefuse(t *testing.T) {
	var out bytes.Buffer
	b := raster.NewBits(8, 8)
	require.ErrorContains(t, EncodeG4TIFF(&out, raster.NewBits(0, 8), 600), "0 x 8 pixels")
	require.ErrorContains(t, EncodeG4TIFF(&out, b, 0), "no resolution")
	require.ErrorContains(t, EncodePNG(&out, raster.NewBilevelInk(b), -1), "no resolution")
	require.ErrorContains(t, EncodePNG(&out, raster.NewBilevelInk(raster.NewBits(8, 0)), 600), "8 x 0 pixels")
	require.Zero(t, out.Len(), "nothing is written before the checks")
}
