package artwork

import (
	"bytes"
	"image"
	_ "image/gif"
	_ "image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	_ "golang.org/x/image/bmp"
	_ "golang.org/x/image/tiff"
	_ "golang.org/x/image/webp"
)

// outsideFiles lists pictures that others made: PngSuite and more in the Go
// installation, and those of golang.org/x/image.
func outsideFiles(t *testing.T) []string {
	var files []string
	for _, c := range [][]string{
		{"src/image/png/testdata/*.png", "env", "GOROOT"},
		{"src/image/png/testdata/pngsuite/*.png", "env", "GOROOT"},
		{"src/image/testdata/*", "env", "GOROOT"},
		{"testdata/*", "list", "-m", "-f", "{{.Dir}}", "golang.org/x/image"},
	} {
		dir, err := exec.Command("go", c[1:]...).Output()
		require.NoError(t, err)
		found, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(dir)), c[0]))
		require.NoError(t, err)
		files = append(files, found...)
	}
	if len(files) < 100 {
		if os.Getenv("CI") != "" {
			t.Fatalf("only %d of the pictures of the Go installation and of x/image are there", len(files))
		}
		t.Skip("the pictures of the Go installation and of x/image are not there")
	}
	return files
}

// TestOutsideFiles reads them as the ready-made decoders do, and refuses those
// that are broken by intent.
func TestOutsideFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("the twin asks for every pixel by its interface")
	}
	broken := map[string]string{
		"invalid-crc32.png": "checksum", "invalid-noend.png": "too early", "invalid-palette.png": "",
		"invalid-trunc.png": "too early", "invalid-zlib.png": "", "invalid-palette-ref.tiff": "",
	}
	compared, refused := 0, 0
	for _, name := range outsideFiles(t) {
		b, err := os.ReadFile(name)
		require.NoError(t, err)
		base := filepath.Base(name)
		if form, dec := sniff(b[:min(len(b), 16)]); dec == nil || form == "" {
			continue
		}
		p, err := decodeBytes(b, Options{})
		if want, ok := broken[base]; ok {
			require.Error(t, err, base)
			require.ErrorContains(t, err, want, base)
			refused++
			continue
		}
		img, _, imgErr := image.Decode(bytes.NewReader(b))
		if imgErr != nil && err != nil {
			continue
		}
		require.NoError(t, imgErr, base)
		require.NoError(t, err, base)
		sane(t, p.Ink)
		const slack = 1 // the two round at different steps
		got, want := coverages(p.Ink), slowCover(img)
		require.Len(t, got, len(want), base)
		for i := range got {
			if abs(int(got[i])-int(want[i])) > slack {
				require.Failf(t, "coverage differs", "%s at (%d, %d): %d, want %d", base, i%p.Ink.W, i/p.Ink.W, got[i], want[i])
			}
		}
		compared++
	}
	t.Logf("%d files read alike, %d broken ones refused", compared, refused)
	require.Greater(t, compared, 100)
	require.Equal(t, len(broken), refused)
}
