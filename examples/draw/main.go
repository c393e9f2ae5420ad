// Command draw draws the example artwork of the Tern & Tide glass workshop
// into the folder above it. The workshop, its town and its customers are
// invented.
//
//	go run ./examples/draw        writes examples/*.png and *.tif
package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"stencilproof/raster/artwork"
)

// piece is one file of artwork: .png keeps 16 greys in its edges, .tif is 1
// bit a pixel.
type piece struct {
	name string
	draw func(ppi float64) *sheet
	ppi  float64
}

var pieces = []piece{
	{"regatta-crest.png", crest, 1200},
	{"regatta-crest.tif", crest, 1200},
	{"boathouse-plate.png", plate, 600},
	{"cutter-dots.png", regatta, 600},
	{"cutter-dots.tif", regatta, 1200},
	{"fair-winds.png", wings, 900},
}

func main() {
	dir := flag.String("out", "examples", "folder to write to")
	flag.Parse()
	if err := write(*dir); err != nil {
		fmt.Fprintln(os.Stderr, "draw:", err)
		os.Exit(1)
	}
}

func write(dir string) error {
	for _, p := range pieces {
		s := p.draw(p.ppi)
		data, err := s.encode(p.name)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, p.name), data, 0o644); err != nil {
			return err
		}
		fmt.Printf("%s: %d x %d pixels, %d bytes\n", p.name, s.W, s.H, len(data))
	}
	return nil
}

// encode returns the drawing as the kind of file that its name says.
func (s *sheet) encode(name string) ([]byte, error) {
	var out bytes.Buffer
	var err error
	switch filepath.Ext(name) {
	case ".png":
		err = artwork.EncodePNG(&out, s.sixteenGreys(), s.ppi)
	case ".tif":
		err = artwork.EncodeG4TIFF(&out, s.Bilevel().Bits, s.ppi)
	default:
		err = fmt.Errorf("%s: no kind of file that is drawn here", name)
	}
	return out.Bytes(), err
}
