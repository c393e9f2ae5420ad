package raster

import (
	"encoding/json"
	"hash/crc32"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// outsideDir holds pictures and numbers made by other people's programs, with
// the script, the commands and the versions that made them.
const outsideDir = "../testdata/outside"

type golden struct {
	Versions map[string]string
	Planes   map[string]struct {
		Open, Far   []goldenPlane
		Ink8, Film4 struct{ Pieces, Largest, Squares, Holes int }
	}
	Branches map[string][]struct {
		X, Y  []int
		Width []float64
	}
	Stems []struct {
		File string
		EM   float64   `json:"em_px"`
		Box  []float64 // llx lly urx ury, thousandths of an em
	}
}

type goldenPlane struct {
	R      float64
	Pixels int
	CRC32  uint32
}

func readGolden(t *testing.T) (g golden) {
	data, err := os.ReadFile(filepath.Join(outsideDir, "golden.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &g))
	return g
}

// outsidePicture reads a PNG as ink: dark is ink. Pictures of pure black and
// white come back bilevel.
func outsidePicture(t *testing.T, name string) *Ink {
	f, err := os.Open(filepath.Join(outsideDir, name))
	require.NoError(t, err)
	defer f.Close()
	img, err := png.Decode(f)
	require.NoError(t, err)
	b := img.Bounds()
	grey := make([]uint8, 0, b.Dx()*b.Dy())
	bilevel := true
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r, _, _, _ := img.At(x, y).RGBA()
			v := 255 - uint8(r>>8)
			bilevel = bilevel && (v == 0 || v == 255)
			grey = append(grey, v)
		}
	}
	k := NewGreyInk(b.Dx(), b.Dy(), grey)
	if bilevel {
		return NewBilevelInk(k.Bits)
	}
	return k
}

// digest is what golden.py keeps of a plane: the pixels set, and the CRC-32 of
// one byte a pixel.
func digest(b *Bits) (int, uint32) {
	bytes := make([]byte, 0, b.W*b.H)
	for y := range b.H {
		for x := range b.W {
			v := byte(0)
			if b.Get(x, y) {
				v = 1
			}
			bytes = append(bytes, v)
		}
	}
	return b.Count(), crc32.ChecksumIEEE(bytes)
}

// TestOutsideOpening compares every pixel, by its checksum, with
// skimage.morphology.binary_opening by disk(r), and with the places farther than
// r from clear by scipy.ndimage.distance_transform_edt.
func TestOutsideOpening(t *testing.T) {
	g := readGolden(t)
	require.Len(t, g.Planes, 2)
	for name, want := range g.Planes {
		k := outsidePicture(t, name+".png")
		check := func(what string, p goldenPlane, got *Bits) {
			n, sum := digest(got)
			assert.Equal(t, p.Pixels, n, "%s of %s, r %g: pixels", what, name, p.R)
			assert.Equal(t, p.CRC32, sum, "%s of %s, r %g: as many pixels, but others", what, name, p.R)
		}
		for _, p := range want.Open {
			check("opening", p, Open(k.Bits, p.R))
		}
		for _, p := range want.Far {
			check("erosion", p, Erode(k.Bits, p.R))
		}
	}
}

// TestOutsideLabels compares pieces, areas and holes with skimage.measure.label
// and euler_number: ink by eight neighbours, film by four.
func TestOutsideLabels(t *testing.T) {
	g := readGolden(t)
	for name, want := range g.Planes {
		k := outsidePicture(t, name+".png")
		film := k.Bits.Clone()
		film.Complement()
		for _, c := range []struct {
			what string
			b    *Bits
			ink  bool
			want struct{ Pieces, Largest, Squares, Holes int }
		}{{"ink", k.Bits, true, want.Ink8}, {"film", film, false, want.Film4}} {
			got := struct{ Pieces, Largest, Squares, Holes int }{}
			for _, p := range Label(c.b, c.ink).List {
				got.Pieces++
				got.Largest = max(got.Largest, p.Area)
				got.Squares += p.Area * p.Area
				got.Holes += p.Holes
			}
			assert.Equal(t, c.want, got, "%s of %s", c.what, name)
		}
	}
}

// TestOutsideLocalWidth sets our widths beside scikit-image's local width, which
// is twice the distance map on its medial axis, on its own horse and page, over
// stretches where that width stays about the same (golden.py says which).
//
// The map runs from pixel centre to pixel centre: n pixels across read n or n+1,
// less where the axis lies off the middle. So the largest of the stretch is
// taken, less half a pixel, and then it is known to within half a pixel and no
// better. Ours, the median of its cross-sections, must lie within half a pixel
// rms, 19 of 20 within one. Worst: a stretch that bends into a bowl.
func TestOutsideLocalWidth(t *testing.T) {
	bounds := map[string]struct{ rms, mean, worst float64 }{
		"horse":      {0.5, 0.5, 1}, // three stretches, two of its film
		"horse film": {0.5, 0.5, 1},
		"page":       {0.5, 0.1, 2.2},
		"page film":  {0.5, 0.15, 2},
	}
	g := readGolden(t)
	require.Len(t, g.Branches, len(bounds))
	for name, list := range g.Branches {
		require.NotEmpty(t, list)
		k := outsidePicture(t, strings.Fields(name)[0]+".png")
		sum, sq, worst, at, far := 0.0, 0.0, 0.0, Point{}, 0
		for _, br := range list {
			var c Course
			for i := range br.X {
				c.Path = append(c.Path, Point{float64(br.X[i]) + 0.5, float64(br.Y[i]) + 0.5})
			}
			p := Shape{Ink: k, Film: strings.HasSuffix(name, "film")}.MeasureCourse(c, 2*slices.Max(br.Width))
			if !assert.NotEmpty(t, p.Sections, "%s: nothing measured at %v", name, c.Path[0]) {
				continue
			}
			var ours []float64
			for _, s := range p.Sections {
				ours = append(ours, s.Width)
			}
			slices.Sort(ours)
			d := ours[len(ours)/2] - (slices.Max(br.Width) - 0.5)
			sum += d
			sq += d * d
			if math.Abs(d) > 1 {
				far++
			}
			if math.Abs(d) > math.Abs(worst) {
				worst, at = d, p.At
			}
		}
		n := float64(len(list))
		t.Logf("%s: %d stretches: mean %+.2f rms %.2f worst %+.2f at %.0f,%.0f", name, len(list), sum/n, math.Sqrt(sq/n), worst, at.X, at.Y)
		b := bounds[name]
		assert.LessOrEqual(t, math.Abs(sum/n), b.mean, "%s: mean", name)
		assert.LessOrEqual(t, math.Sqrt(sq/n), b.rms, "%s: rms", name)
		assert.LessOrEqual(t, float64(far), n/20, "%s: farther than a pixel", name)
		assert.LessOrEqual(t, math.Abs(worst), b.worst, "%s: worst, at %v", name, at)
	}
}

// TestOutsideStems reads the stems of Nimbus Sans l and I, drawn by FreeType,
// against the character boxes of its AFM file: 84/1000 and 94/1000 of an em
// (Adobe Font Metrics format; fonts-urw-base35 20200910). Font outlines are in
// whole thousandths, FreeType rounds places to 1/64 px and coverage to 1/256.
func TestOutsideStems(t *testing.T) {
	g := readGolden(t)
	require.Len(t, g.Stems, 6)
	for _, s := range g.Stems {
		want := (s.Box[2] - s.Box[0]) / 1000 * s.EM
		for _, bilevel := range []bool{false, true} {
			k := outsidePicture(t, s.File)
			bound := 0.04
			if bilevel {
				k = NewBilevelInk(k.Bits)
				bound = 1
			}
			f := theOne(t, Measure(k, safe(want*1.2)), Line, s.File)
			t.Logf("%s bilevel %v: %.3f px for %.3f, +-%.2f", s.File, bilevel, f.Width, want, f.PlusMinus)
			assert.InDelta(t, want, f.Width, bound, s.File)
			assert.InDelta(t, want, f.Width, f.PlusMinus, "%s: within its own plus or minus", s.File)
			assert.InDelta(t, 0, math.Abs(f.Across.Y), 0.01, "%s: its cross-section runs along x", s.File)
		}
	}
}

// safe asks for one limit for all kinds.
func safe(d float64) Request { return Request{Safe: [4]float64{d, d, d, d}} }

// ofKind returns the features of a kind.
func ofKind(r *Result, k Kind) (out []Feature) {
	for _, f := range r.Features {
		if f.Kind == k {
			out = append(out, f)
		}
	}
	return out
}

// theOne returns the only feature of a result, which must be of the kind.
func theOne(t *testing.T, r *Result, k Kind, what any) Feature {
	t.Helper()
	if len(r.Features) != 1 || r.Features[0].Kind != k {
		t.Errorf("%v: want one %v, have %s", what, k, told(r))
		if l := ofKind(r, k); len(l) > 0 {
			return l[0]
		}
		return Feature{}
	}
	return r.Features[0]
}

// told puts a result in a line of text.
func told(r *Result) string {
	out := ""
	for _, f := range r.Features {
		out += f.Kind.String() + " " + fix(f.Width) + " at " + fix(f.At.X) + "," + fix(f.At.Y) + "; "
	}
	return out + "points " + fix(float64(len(r.Tips)))
}

func fix(v float64) string {
	b, _ := json.Marshal(math.Round(v*100) / 100)
	return string(b)
}
