package raster

import "math"

// cornerSide is how many pixels a side the blocks of ink have that meet at a corner, and
// cornerFilm those of film between them. Smaller ones may be a hairline's, which leans.
const (
	cornerSide = 3
	cornerFilm = 2
)

// meetAtCorner marks the lines that are no more than the corner by which two blocks of
// solid ink meet: however many pixels they are drawn with, nothing lies between them.
func (r *Result) meetAtCorner(k *Ink) {
	for i := range r.Features {
		f := &r.Features[i]
		f.Corner = f.Kind == Line && f.Width <= touching+1e-6 && k.cornerAt(f.At)
	}
}

// cornerAt reports whether blocks of solid ink meet, and blocks of clear film, at the corner
// of four pixels that is nearest to p.
func (k *Ink) cornerAt(p Point) bool {
	x, y := int(math.Round(p.X)), int(math.Round(p.Y))
	if math.Hypot(p.X-float64(x), p.Y-float64(y)) > 0.5 {
		return false
	}
	// block tells of the pixels towards (dx, dy).
	block := func(dx, dy, side int, ink bool) bool {
		level := uint8(0)
		if ink {
			level = 255
		}
		for j := range side {
			for i := range side {
				u, v := x+dx*i, y+dy*j
				if dx < 0 {
					u--
				}
				if dy < 0 {
					v--
				}
				inside := u >= 0 && v >= 0 && u < k.W && v < k.H
				switch {
				case !inside && ink, inside && k.Bits.Get(u, v) != ink:
					return false
				case inside && k.Grey != nil && k.Grey[v*k.W+u] != level:
					return false
				}
			}
		}
		return true
	}
	for _, d := range [2]int{1, -1} { // the ink lies along one diagonal or the other
		if block(-d, -1, cornerSide, true) && block(d, 1, cornerSide, true) && block(d, -1, cornerFilm, false) && block(-d, 1, cornerFilm, false) {
			return true
		}
	}
	return false
}
