package proof

import (
	"math"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
)

// When the outline of several features says no more than "all over", each gets
// its own sign instead. The hull of their boxes is compared with what they
// fill of it, each grown by nearReach of the artwork's longer side, the distance
// at which two still read as neighbours: a halftone's dots fill their hull, a
// ring of ticks does not. A hull that takes up wideHull of the artwork must be
// filled well, a smaller one half.
const (
	nearReach  = 1.0 / 50
	wideHull   = 0.12
	wideFilled = 0.85
	leastFill  = 0.5
	fillCells  = 160 // along the artwork's longer side
)

// members returns the boxes of all features of a place.
func (p *place) members(ms []preflight.Mark) []preflight.BoxMM {
	var out []preflight.BoxMM
	for _, i := range p.marks {
		if bs := ms[i].Boxes; len(bs) > 0 {
			out = append(out, bs...)
		} else {
			out = append(out, ms[i].Box)
		}
	}
	return out
}

// sparse reports whether a place's outline would be mostly empty, or would
// cover much of the artwork without being filled.
func sparse(r *preflight.Report, p *place) bool {
	boxes := p.members(r.Marks)
	if len(boxes) < 2 {
		return false
	}
	side := math.Max(r.Artwork.WidthMM, r.Artwork.HeightMM)
	for _, b := range boxes {
		// a long bent line or a ring is not where its box is
		if math.Max(b.X1-b.X0, b.Y1-b.Y0) > side/4 {
			return true
		}
	}
	cell, reach := side/fillCells, side*nearReach
	var pts []sheet.Pt
	for _, b := range boxes {
		pts = append(pts, corners(rect{b.X0 - reach, b.Y0 - reach, b.X1 + reach, b.Y1 + reach})...)
	}
	h := hull(pts)
	all := math.Abs(polygonArea(h))
	if !(all > 0) {
		return false
	}
	o := bounds(h)
	w, n := int((o.x1-o.x0)/cell)+1, int((o.y1-o.y0)/cell)+1
	filled := make([]bool, w*n)
	count := 0
	clampTo := func(v float64, most int) int { return max(0, min(int(v), most)) }
	for _, b := range boxes {
		x1, y1 := clampTo((b.X1+reach-o.x0)/cell+0.5, w), clampTo((b.Y1+reach-o.y0)/cell+0.5, n)
		for y := clampTo((b.Y0-reach-o.y0)/cell+0.5, n); y < y1; y++ {
			for x := clampTo((b.X0-reach-o.x0)/cell+0.5, w); x < x1; x++ {
				if !filled[y*w+x] {
					filled[y*w+x] = true
					count++
				}
			}
		}
	}
	fill := float64(count) * cell * cell / all
	return fill < leastFill || fill < wideFilled && all > wideHull*r.Artwork.WidthMM*r.Artwork.HeightMM
}

// polygonArea is the signed area of a closed polygon.
func polygonArea(h []sheet.Pt) float64 {
	s := 0.0
	for i, p := range h {
		q := h[(i+1)%len(h)]
		s += p.X*q.Y - q.X*p.Y
	}
	return s / 2
}
