package raster

import "math"

// Where the point of a cusp reaches into a line from one side, the pixels' blur blunts it, and
// the line is narrower there than it looks. What is taken off for curvature goes by how the
// width grows, and between a cusp and a straight side that grows half as fast as between two
// cusps: it is not always enough. How far the side bends away within a pixel of the place
// says how sharp it is (see notchRule).
const (
	// cuspShare is how much of what a point has lost plus and minus is at least, and
	// cuspLeast what it is besides.
	cuspShare, cuspLeast = 1.5, 0.1
	cuspMost             = 1.4
	// cuspBend is the bend from which on a side is no curve: that of one of 4 px radius.
	cuspBend = 0.12
)

// cuspDoubt is the least that plus and minus may be at the narrowest place of a profile.
func (m *measurer) cuspDoubt(p *Profile) float64 {
	dir := Point{p.Across.Y, -p.Across.X}
	most := p.Width/2 + 3
	var bends [2]float64
	for i, n := range [2]Point{p.Across, {-p.Across.X, -p.Across.Y}} {
		bends[i] = (m.edgeFrom(along(p.At, dir, 1), n, most)+m.edgeFrom(along(p.At, dir, -1), n, most))/2 - m.edgeFrom(p.At, n, most)
	}
	lost := 0.0
	for i, bend := range bends {
		// A line that bends has one side bent away and the other towards.
		if other := bends[1-i]; math.IsNaN(bend+other) || bend < cuspBend || other < -0.3*bend {
			continue
		}
		rule := notchRule[false]
		lost += min(notchMost, rule.share*bend-rule.slack)
	}
	if lost == 0 {
		return 0
	}
	return min(cuspMost, cuspShare*lost+cuspLeast)
}

// edgeFrom is how far from p along n coverage falls to one half; not a number where it does not
// before most, as beside a wall, or from a place outside.
func (m *measurer) edgeFrom(p, n Point, most float64) float64 {
	before := m.f.at(p.X, p.Y)
	if before < 0.5 {
		return math.NaN()
	}
	for t := rayStep; t <= most; t += rayStep {
		q := along(p, n, t)
		c := m.f.at(q.X, q.Y)
		if c < 0.5 {
			return t - rayStep*(0.5-c)/(before-c)
		}
		before = c
	}
	return math.NaN()
}
