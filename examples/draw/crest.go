package main

import (
	"math"

	"stencilproof/raster/pen"
)

// crest is the cup's badge as the sailing club sent it: good at 140 mm on a
// bowl, asked for at 72 mm on a tumbler. At 72 mm a 3 mil film loses of it
//   - lines: the hairline inside the rope and the rhumb lines of the rose;
//   - a strip: the gap of the double ring;
//   - dots: the pearls between the two lines of lettering;
//   - islands: the counters of the small lettering below the waves.
//
// The thin ticks of the degree scale are at risk, and there is dust of a scan.
func crest(ppi float64) *sheet {
	s := newSheet(72, 72, ppi)
	const cx, cy = 36.0, 36.0

	s.ink(rope(cx, cy, 33.4, 3.6, 0.24, 80))
	s.ink(pen.Ring(cx, cy, 2*31.0, 0.34))
	s.ink(pen.Ring(cx, cy, 2*30.42, 0.06)) // the hairline

	s.ink(bold.Arc("HARBOUR REGATTA", 5.0, 0.75, 25.35, -90, false).Moved(cx, cy))
	s.ink(bold.Arc("TERN & TIDE CUP", 4.6, 0.9, 28.75, 90, true).Moved(cx, cy))
	for _, side := range []float64{0, 180} {
		c := polar(cx, cy, 27, side)
		s.ink(star(c.X, c.Y, 1.5, 0.62, 5, -90))
		for i, d := range []float64{0.42, 0.3, 0.21, 0.15, 0.105, 0.075} { // the pearls
			for _, way := range []float64{-1, 1} {
				p := polar(cx, cy, 27, side+way*(4.6+1.6*float64(i)))
				s.ink(pen.Disc(p.X, p.Y, d))
			}
		}
	}

	s.ink(pen.Ring(cx, cy, 2*23.9, 0.36))
	s.ink(pen.Ring(cx, cy, 2*(23.9-0.18-0.10-0.08), 0.16)) // leaves 0.10 mm of film
	for i := range 120 {
		deg, from, width := float64(i)*3, 22.75, 0.09
		switch {
		case i%10 == 0:
			from, width = 21.7, 0.26
		case i%5 == 0:
			from, width = 22.25, 0.16
		}
		s.ink(pen.Line(polar(cx, cy, from, deg), polar(cx, cy, 23.25, deg), width))
	}

	rose(s, cx, 29.2, 12.9)
	sea(s, cx, 47.3)
	s.ink(centred(medium, "Skerrick Haven Sailing Club", 1.5, 0.07, cx, 53.2))
	s.ink(centred(regular, "presented by the harbour masters, 1887", 0.98, 0.05, cx, 55.2))

	for _, d := range [][3]float64{ // dust: x, y, size
		{9.31, 61.24, 0.030}, {15.07, 8.66, 0.034}, {47.52, 41.83, 0.028}, {61.9, 12.2, 0.036}, {24.66, 49.1, 0.032}, {70.2, 66.3, 0.03},
	} {
		s.ink(pen.Disc(d[0], d[1], d[2]))
	}
	return s
}

// star has n points of radius r, and inner corners at radius in; its first
// point looks to deg.
func star(cx, cy, r, in float64, n int, deg float64) pen.Path {
	p := pen.Path{nil}
	for i := range 2 * n {
		d := r
		if i%2 == 1 {
			d = in
		}
		p[0] = append(p[0], polar(cx, cy, d, deg+float64(i)*180/float64(n)))
	}
	return p
}

// rose draws a compass rose of radius r: eight points, each half dark and half
// open, over rhumb lines.
func rose(s *sheet, cx, cy, r float64) {
	for i := range 16 {
		deg := float64(i)*22.5 + 11.25
		s.ink(pen.Line(polar(cx, cy, 0.52*r, deg), polar(cx, cy, 0.8*r, deg), 0.055)) // rhumb lines
	}
	s.ink(pen.Ring(cx, cy, 2*0.52*r, 0.2))
	s.ink(pen.Ring(cx, cy, 2*0.47*r, 0.2))
	for _, set := range []struct{ first, long, waist float64 }{{45, 0.66, 0.17}, {0, 0.88, 0.2}} {
		for i := range 4 {
			deg := set.first + 90*float64(i)
			tip := polar(cx, cy, set.long*r, deg)
			left, right := polar(cx, cy, set.waist*r, deg-45), polar(cx, cy, set.waist*r, deg+45)
			body := pen.Polygon(pt(cx, cy), left, tip, right)
			s.clear(body)
			s.ink(pen.Polygon(pt(cx, cy), tip, right))
			s.ink(pen.Line(left, tip, 0.2))
			s.ink(pen.Line(pt(cx, cy), left, 0.2))
		}
	}
	s.ink(pen.Disc(cx, cy, 0.1*r))
	for i, letter := range []string{"N", "E", "S", "W"} {
		c := polar(cx, cy, 1.0*r, -90+90*float64(i))
		const size = 2.9
		s.ink(centred(bold, letter, size, 0, c.X, c.Y+0.36*size))
	}
}

// sea draws three rows of waves, y the middle row's height. Each wave is
// drawn as with a broad pen: thick down its lee side, thin up the other.
func sea(s *sheet, cx, y float64) {
	for i, waves := range []float64{7, 8, 7} {
		const long = 4.3
		line := swell(cx-waves*long/2, y+2.1*float64(i-1), long, 0.62, waves)
		s.ink(pen.Stroke(line, func(t float64) float64 {
			pen := 0.4 + 0.24*math.Sin(2*math.Pi*t*waves-0.9)
			return 0.17 + pen*math.Min(1, 5*math.Min(t, 1-t))
		}))
	}
}
