package main

import (
	"math"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// plate is a name plate for a boathouse door, 150 x 40 mm. Its thin rules and
// a few gaps are at risk on a 3 mil film; nothing of it is sure to be lost.
func plate(ppi float64) *sheet {
	s := newSheet(150, 40, ppi)
	const w, h = 150.0, 40.0

	frame := func(in, width float64) {
		s.ink(append(notched(w, h, in, 4), notched(w, h, in+width, 4).Reversed()...))
	}
	frame(1.6, 0.7)
	frame(2.9, 0.1) // the thin rule: at risk

	monogram(s, 23.5, 20, 13)

	const mid = 87.0
	s.ink(centred(medium, "SKERRICK HAVEN", 3.9, 1.4, mid, 10.6))
	s.ink(centred(bold, "Orla Finch", 13, 0.25, mid, 23.3))
	for _, side := range []float64{-1, 1} { // a rule that swells towards the middle, either side of a lozenge
		s.ink(swellRule(mid+side*4, mid+side*46, 27.4))
		s.ink(pen.Polygon(pt(mid+side*2.3, 27.4-0.55), pt(mid+side*2.3+0.55, 27.4), pt(mid+side*2.3, 27.4+0.55), pt(mid+side*2.3-0.55, 27.4)))
	}
	s.ink(star(mid, 27.4, 1.25, 0.55, 4, -90))
	s.ink(centred(medium, "Master of the Regatta  1979 – 2027", 3.0, 0.32, mid, 33.2))
	return s
}

// swellRule is a rule from x = a, 0.3 mm thick, to z, 0.1 mm thick.
func swellRule(a, z, y float64) pen.Path {
	return pen.Polygon(pt(a, y-0.15), pt(z, y-0.05), pt(z, y+0.05), pt(a, y+0.15))
}

// notched is the rectangle of w x h less a rim of in all round, whose corners
// are bitten off by quarter rounds: the rim is as wide there.
func notched(w, h, in, bite float64) pen.Path {
	p := pen.Path{nil}
	r := bite + in
	skip := math.Asin(in/r) * 180 / math.Pi // where the round meets the straight side
	for i, c := range []raster.Point{pt(0, 0), pt(w, 0), pt(w, h), pt(0, h)} {
		for k := range 33 {
			p[0] = append(p[0], polar(c.X, c.Y, r, 90*float64(i+1)-skip-(90-2*skip)*float64(k)/32))
		}
	}
	return p
}

// monogram is O F in a ring, in a wreath of leaves of radius r.
func monogram(s *sheet, cx, cy, r float64) {
	leaf := outline("M 0 0 C 0.5 -0.85 1.9 -0.95 2.9 0 C 1.9 0.55 0.7 0.6 0 0")
	for i := range 15 {
		for _, side := range []float64{-1, 1} {
			// From the foot of the wreath up either side.
			deg := 90 - side*(13+10.2*float64(i))
			c := polar(cx, cy, r-1.1, deg)
			grow := 0.93 - 0.02*float64(i)
			for _, out := range []float64{-1, 1} {
				lean := deg - side*(90-out*34)
				foot := polar(c.X, c.Y, out*0.22, deg)
				p := leaf
				if (side > 0) == (out > 0) {
					p = p.Map(mirrored)
				}
				s.ink(p.Scaled(grow).Turned(lean).Moved(foot.X, foot.Y))
			}
		}
	}
	s.ink(pen.Ring(cx, cy, 2*0.66*r, 0.9))
	s.ink(pen.Ring(cx, cy, 2*0.66*r-1.7, 0.25))
	s.ink(centred(bold, "OF", 8.2, 0.5, cx, cy+2.95))
}

func mirrored(p raster.Point) raster.Point { return pt(p.X, -p.Y) }
