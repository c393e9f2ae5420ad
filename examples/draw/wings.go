package main

import "stencilproof/raster/pen"

// wings is the wedding tumbler: drawn for the size it is carved at. It holds
// on a 3 mil film, and keeps 6 mm clear of ink all round for the tape.
func wings(ppi float64) *sheet {
	const w, h = 84.0, 66.0
	s := newSheet(w, h, ppi)
	tern(s, 31, 26)
	s.ink(centred(bold, "Fair Winds", 8.6, 0.5, w/2, 46.8))
	for i, waves := range []float64{9, 7} {
		const long = 5.2
		line := swell(w/2-waves*long/2, 51.0+2.2*float64(i), long, 0.55, waves)
		s.ink(pen.Stroke(line, lens(0.32, 0.62)))
	}
	s.ink(centred(medium, "Marit & Joen  ·  14 June 2027", 3.1, 0.24, w/2, 58.8))
	return s
}

// tern draws a tern in flight, its beak to the right, around (x, y).
func tern(s *sheet, x, y float64) {
	place := func(p pen.Path) pen.Path { return p.Turned(15).Scaled(0.92).Moved(x, y) }
	put := func(text string) pen.Path { return place(outline(text)) }
	// Body, forked tail and beak in one.
	s.ink(put(`M 36 0.6 L 28.4 -0.9 C 27 -3 24 -3.6 21.4 -2.6 C 15 -1.4 8 0.6 3 3.4
		C -2 6 -7 8 -13.4 12.2 C -9 12.1 -5 10.2 -1.4 8.8 C -3.8 11.6 -7.2 12 -9.6 15.6
		C -2 14.6 3 10 8 7.6 C 15 6.6 22 5.4 26 2.6 L 28.6 1.3 L 36 0.6`))
	// The far wing, and the near one before a rim of film.
	s.ink(put("M 18 -3.6 C 16 -10 9 -15.6 0 -19 C 5 -14 6.4 -7.6 6.6 1.6 L 14 2.6 L 18 -3.6"))
	near := outline("M 14.6 4.6 C 21 0 26.6 -9 25.4 -21 C 20.4 -12.6 14 -6 7.4 0.6 C 8 3.6 10 5 14.6 4.6")
	rim := near[0][:48]
	s.clear(place(pen.Stroke(rim, pen.Even(1.1))))
	s.ink(place(near))
	s.clear(place(pen.Disc(25.2, -0.9, 0.95))) // the eye
}
