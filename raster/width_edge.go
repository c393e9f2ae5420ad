package raster

import (
	"math"
	"slices"
)

// around is how many steps the way beside the shape from one foot of a chord to the other
// may be longer than the shortest there could be, for the chord to cut off nothing but a
// corner.
const around = 2

// aroundMost is the longest chord looked at, in pixels.
const aroundMost = 6

// oneEdge reports whether a chord through p along n, about width long, has both feet on
// one stretch of edge: it runs across a corner of the shape, as of the pixels of a stair
// beside which a line goes round a bend, and not from one side of it to the other. Beside
// a neck nothing leads from one foot to the other but a way round all the shape. That way
// is looked for in whole pixels. A foot on a speck, as the last pixel of a wedge that hangs
// on by its corner, is on no edge: specks are set aside.
func (f *sampler) oneEdge(p, n Point, width float64) bool {
	if width > aroundMost {
		return false
	}
	var feet [2][2]int
	for i, sign := range [2]float64{1, -1} {
		ok := false
		for t := 0.0; t <= width+2 && !ok; t += 0.25 {
			x, y := int(math.Floor(p.X+sign*t*n.X)), int(math.Floor(p.Y+sign*t*n.Y))
			feet[i], ok = [2]int{x, y}, !f.in(x, y)
		}
		if !ok {
			return false
		}
	}
	if f.onSpeck(feet[0]) || f.onSpeck(feet[1]) {
		return true
	}
	dx, dy := feet[1][0]-feet[0][0], feet[1][1]-feet[0][1]
	most := max(dx, -dx) + max(dy, -dy) + around
	if f.film { // ink hangs together across corners
		most = max(dx, -dx, dy, -dy) + around
	}
	const side = 2*(2*aroundMost+around+4) + 1
	var seen [side][side]bool
	if most >= side/2 {
		return false
	}
	to := [2]int{dx, dy}
	seen[side/2][side/2] = true
	edge := [][2]int{{}}
	for range most {
		var next [][2]int
		for _, q := range edge {
			for i := range offX {
				if !f.film && i%2 == 1 {
					continue
				}
				v := [2]int{q[0] + offX[i], q[1] + offY[i]}
				at := &seen[v[1]+side/2][v[0]+side/2]
				if *at || f.in(feet[0][0]+v[0], feet[0][1]+v[1]) {
					continue
				}
				if v == to {
					return true
				}
				*at = true
				next = append(next, v)
			}
		}
		edge = next
	}
	return false
}

// onSpeck reports whether a pixel outside the shape belongs to a piece of less than
// speckArea pixels.
func (f *sampler) onSpeck(at [2]int) bool {
	piece := append(make([][2]int, 0, speckArea), at)
	for i := 0; i < len(piece); i++ {
		for n := range offX {
			q := [2]int{piece[i][0] + offX[n], piece[i][1] + offY[n]}
			if !f.film && n%2 == 1 || f.in(q[0], q[1]) || slices.Contains(piece, q) {
				continue
			}
			if piece = append(piece, q); len(piece) == speckArea {
				return false
			}
		}
	}
	return true
}
