package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// sheet is a piece of artwork being drawn in millimetres from its top left
// corner.
type sheet struct {
	*pen.Canvas
	ppi float64
}

func newSheet(widthMM, heightMM, ppi float64) *sheet {
	px := func(mm float64) int { return int(math.Round(mm / 25.4 * ppi)) }
	return &sheet{pen.NewCanvas(px(widthMM), px(heightMM)), ppi}
}

// ink and clear draw a shape given in millimetres.
func (s *sheet) ink(p pen.Path)   { s.Fill(p.Scaled(s.ppi / 25.4)) }
func (s *sheet) clear(p pen.Path) { s.Erase(p.Scaled(s.ppi / 25.4)) }

func pt(x, y float64) raster.Point { return raster.Point{X: x, Y: y} }

// sixteenGreys rounds the greys of the edges to 16 levels. It halves the file
// and moves an edge by a thirtieth of a pixel at most.
func (s *sheet) sixteenGreys() *raster.Ink {
	grey := make([]uint8, len(s.Grey))
	for i, v := range s.Grey {
		grey[i] = uint8((int(v)+8)/17) * 17
	}
	return raster.NewGreyInk(s.W, s.H, grey)
}

// polar is a point at distance r from (cx, cy), deg 0 to the right, 90 down.
func polar(cx, cy, r, deg float64) raster.Point {
	s, c := math.Sincos(deg * math.Pi / 180)
	return pt(cx+r*c, cy+r*s)
}

// The typefaces, all from the Go font family.
var (
	regular = face(goregular.TTF)
	medium  = face(gomedium.TTF)
	bold    = face(gobold.TTF)
)

func face(data []byte) *pen.Face {
	f, err := pen.NewFace(data)
	if err != nil {
		panic(err) // the fonts are part of the program
	}
	return f
}

// centred is a line of text with the middle of its base line at (x, y).
func centred(f *pen.Face, text string, size, extra, x, y float64) pen.Path {
	return f.Text(text, size, extra).Moved(x-f.Width(text, size, extra)/2, y)
}

// outline reads a shape from a text: "M x y" begins a ring, "L x y" runs
// straight, "C x y x y x y" is a cubic curve. Rings close by themselves.
func outline(text string) pen.Path {
	var p pen.Path
	words := strings.Fields(text)
	num := func(i int) float64 {
		v, err := strconv.ParseFloat(words[i], 64)
		if err != nil {
			panic(fmt.Sprintf("outline: %v", err))
		}
		return v
	}
	point := func(i int) raster.Point { return pt(num(i), num(i+1)) }
	for i := 0; i < len(words); {
		switch words[i] {
		case "M":
			p = append(p, []raster.Point{point(i + 1)})
			i += 3
		case "L":
			p[len(p)-1] = append(p[len(p)-1], point(i+1))
			i += 3
		case "C":
			ring := p[len(p)-1]
			from := ring[len(ring)-1]
			p[len(p)-1] = append(ring, bow(from, point(i+1), point(i+3), point(i+5))...)
			i += 7
		default:
			panic("outline: no command " + words[i])
		}
	}
	return p
}

// bow returns points along a cubic curve, without its first.
func bow(a, b, c, d raster.Point) []raster.Point {
	const steps = 48
	out := make([]raster.Point, steps)
	for i := range out {
		t := float64(i+1) / steps
		u := 1 - t
		out[i] = pt(
			u*u*u*a.X+3*u*u*t*b.X+3*u*t*t*c.X+t*t*t*d.X,
			u*u*u*a.Y+3*u*u*t*b.Y+3*u*t*t*c.Y+t*t*t*d.Y)
	}
	return out
}

// swell returns points along a row of n waves from (x, y) on, each long and
// 2*high from trough to crest.
func swell(x, y, long, high float64, n float64) []raster.Point {
	steps := int(48 * n)
	out := make([]raster.Point, steps+1)
	for i := range out {
		t := float64(i) / 48
		// A crest sharper than its trough: a second harmonic, in phase on top.
		out[i] = pt(x+t*long, y-high*(math.Cos(2*math.Pi*t)+0.22*math.Cos(4*math.Pi*t)))
	}
	return out
}

// lens is a stroke's width that grows from end to most in the middle.
func lens(end, most float64) func(float64) float64 {
	return func(t float64) float64 { return end + (most-end)*math.Sin(math.Pi*t) }
}
