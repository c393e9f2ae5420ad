package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/gif"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/bmp"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/tiff"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
	"stencilproof/raster/pen"
)

// The same artwork in 40 file forms and more gives the same JSON but for the
// file's name, its sum and its format. The forms are written by Go's libraries,
// by our own writers, and by libtiff's tiffcp.
func TestOneArtworkInManyForms(t *testing.T) {
	tiffcp, err := exec.LookPath("tiffcp")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("tiffcp is missing, and CI has it")
		}
		t.Skip("needs tiffcp (Debian: libtiff-tools)")
	}
	dir := t.TempDir()
	ink := manyFormsArtwork(t)
	names := []string{filepath.Join(dir, "own-g4.tif")} // the first is what the others are held to
	writeForm(t, names[0], func(w io.Writer) error { return artwork.EncodeG4TIFF(w, ink.Bits, 600) })
	add := func(name string, write func(io.Writer) error) {
		names = append(names, filepath.Join(dir, name))
		writeForm(t, names[len(names)-1], write)
	}
	add("own.png", func(w io.Writer) error { return artwork.EncodePNG(w, ink, 600) })
	for name, m := range picturesOf(ink) {
		add(name+".png", func(w io.Writer) error { return png.Encode(w, m) })
		add(name+"-tall.png", func(w io.Writer) error {
			return (&png.Encoder{CompressionLevel: png.NoCompression}).Encode(w, m)
		})
		if name == "alpha" || name == "alpha16" {
			continue // x/image's TIFF and BMP keep alpha in ways of their own: see the matrix
		}
		add(name+".tif", func(w io.Writer) error { return tiff.Encode(w, m, nil) })
		add(name+"-deflate.tif", func(w io.Writer) error {
			return tiff.Encode(w, m, &tiff.Options{Compression: tiff.Deflate, Predictor: true})
		})
		if name != "grey16" {
			add(name+".bmp", func(w io.Writer) error { return bmp.Encode(w, m) })
		}
		if p, ok := m.(*image.Paletted); ok {
			add(name+".gif", func(w io.Writer) error { return gif.Encode(w, p, nil) })
		}
	}
	for i, flags := range [][]string{
		{"-c", "none"}, {"-c", "lzw"}, {"-c", "packbits"}, {"-c", "zip"}, {"-c", "g3"}, {"-c", "g3:2d"}, {"-c", "g3:fill"}, {"-c", "g4"},
		{"-c", "none", "-r", "1"}, {"-c", "lzw", "-r", "7"}, {"-c", "g4", "-r", "16"}, {"-c", "g3:2d", "-r", "33"},
		{"-c", "none", "-f", "lsb2msb"}, {"-c", "g4", "-f", "lsb2msb"}, {"-c", "g3", "-f", "lsb2msb"},
		{"-c", "none", "-8"}, {"-c", "lzw", "-8"}, {"-c", "g4", "-8"}, {"-c", "g4", "-B"}, {"-c", "lzw", "-B"}, {"-c", "zip", "-B", "-8"},
		{"-c", "none", "-t", "-w", "64", "-l", "64"}, {"-c", "lzw", "-t", "-w", "128", "-l", "32"}, {"-c", "g4", "-t", "-w", "256", "-l", "256"},
	} {
		name := filepath.Join(dir, fmt.Sprintf("libtiff-%02d.tif", i))
		out, err := exec.Command(tiffcp, append(flags, names[0], name)...).CombinedOutput()
		require.NoError(t, err, "%v: %s", flags, out)
		names = append(names, name)
	}
	require.GreaterOrEqual(t, len(names), 40)
	var first map[string]any
	for _, name := range names {
		var out, errs bytes.Buffer
		status := run([]string{"check", "--film", "4 mil", "--dpi", "600", "--format", "json", "--no-proof", name}, nil, &out, &errs)
		require.Equal(t, statusFails, status, "%s: %s", filepath.Base(name), errs.String())
		var got map[string]any
		require.NoError(t, json.Unmarshal(out.Bytes(), &got))
		art := got["artwork"].(map[string]any)
		for _, key := range []string{"file", "sha256", "format"} {
			require.Contains(t, art, key)
			delete(art, key)
		}
		if first == nil {
			first = got
			require.NotEmpty(t, got["marks"])
			continue
		}
		assert.Equal(t, first, got, filepath.Base(name))
	}
	t.Logf("%d forms", len(names))
}

// manyFormsArtwork is solid black on clear, so that every form can hold it: a
// word with hairlines, dots, and a gap too narrow.
func manyFormsArtwork(t *testing.T) *raster.Ink {
	c := pen.NewCanvas(418, 203)
	face, err := pen.NewFace(gomedium.TTF)
	require.NoError(t, err)
	c.Fill(face.Text("Regatta", 84, 0).Moved(30, 120))
	c.Fill(pen.Line(raster.Point{X: 30, Y: 150}, raster.Point{X: 380, Y: 163}, 2.2))
	c.Fill(pen.Rect(60, 170, 100, 20))
	c.Fill(pen.Rect(163, 170, 100, 20))
	c.Fill(pen.Disc(300, 180, 4))
	return c.Bilevel()
}

// picturesOf returns the ink as pictures of Go's kinds, black on white.
func picturesOf(k *raster.Ink) map[string]image.Image {
	box := image.Rect(0, 0, k.W, k.H)
	two := color.Palette{color.White, color.Black}
	many := color.Palette{}
	for i := range 20 {
		many = append(many, color.Gray{Y: uint8(255 - i)})
	}
	many[0], many[13] = color.Gray{Y: 255}, color.Gray{}
	grey, grey16 := image.NewGray(box), image.NewGray16(box)
	rgb, clear, clear16 := image.NewRGBA(box), image.NewNRGBA(box), image.NewNRGBA64(box)
	pal, pal20 := image.NewPaletted(box, two), image.NewPaletted(box, many)
	for y := range k.H {
		for x := range k.W {
			black := k.Bits.Get(x, y)
			v := color.Gray{Y: 255}
			if black {
				v.Y = 0
				clear.Set(x, y, color.Black) // elsewhere nothing: paper shows
				clear16.Set(x, y, color.Black)
				pal.SetColorIndex(x, y, 1)
				pal20.SetColorIndex(x, y, 13)
			}
			grey.SetGray(x, y, v)
			grey16.Set(x, y, v)
			rgb.Set(x, y, v)
		}
	}
	return map[string]image.Image{"grey": grey, "grey16": grey16, "rgb": rgb, "alpha": clear, "alpha16": clear16, "two": pal, "twenty": pal20}
}

func writeForm(t *testing.T, name string, write func(io.Writer) error) {
	var b bytes.Buffer
	require.NoError(t, write(&b), name)
	require.NoError(t, os.WriteFile(name, b.Bytes(), 0o644))
}
