package raster

import (
	"math"
	"slices"
)

// MeasureBlob measures the whole piece of s that contains pixel (x, y):
// 8-connected for ink, 4-connected for film. box must hold all of it; what lies
// beyond is taken as another piece. A pixel outside the shape gives zero.
//
// Area is the sum of coverage, which is exact; the contour's own area is short
// by a tenth of a pixel of width. Perimeter is the contour's length, holes
// counted, with its corners repaired. Hydraulic = 4A/P is never more than the
// diameter of a disc of the same area.
func (s Shape) MeasureBlob(x, y int, box Box) Blob { return s.measureBlob(x, y, box, nil, nil) }

// measureBlob is MeasureBlob with what has been measured already at hand: of this
// artwork, and of pieces alike. Either may be nil.
func (s Shape) measureBlob(x, y int, box Box, known *Known, like *alikeBlobs) Blob {
	p := newPiece(newSampler(s), x, y, box)
	if p == nil {
		return Blob{}
	}
	return known.blob(p, like)
}

// measure measures the piece. It works in the window's coordinates, so that pieces
// alike give the same numbers to the last digit wherever they lie.
func (p *piece) measure(like *alikeBlobs) Blob {
	key := like.key(p)
	b, ok := like.get(key)
	if !ok {
		b = p.measureHere()
		like.put(key, b)
	}
	b.Centre.X, b.Centre.Y = b.Centre.X+float64(p.x0), b.Centre.Y+float64(p.y0)
	return b
}

// measureHere is measure, the centre left in the window's coordinates.
func (p *piece) measureHere() Blob {
	f := p.f
	var b Blob
	b.Area = p.area()
	loops := p.loops()
	doubt := 0.0
	measure := func(soft float64) {
		b.Perimeter, doubt = 0, 0
		for _, l := range loops {
			length, off := l.perimeter(f.grey == nil, soft)
			b.Perimeter, doubt = b.Perimeter+length, doubt+off
		}
	}
	measure(1)
	if f.grey != nil && 4*b.Area > softWidth*b.Perimeter { // what is narrower is never steep
		if soft := p.softness(loops); soft > 1 {
			measure(soft)
		}
	}
	b.Hydraulic = 2 * math.Sqrt(b.Area/math.Pi)
	if b.Perimeter > 0 {
		b.Hydraulic = min(b.Hydraulic, 4*b.Area/b.Perimeter)
	}
	b.Extent = extent(loops)
	if f.grey == nil { // a disc between the teeth of a stair is too small
		for i, l := range loops {
			if pts, step := resampled(nil, l, true, 0.5); step > 0 && len(pts) > 12 {
				loops[i] = loopSmoothed(pts, 1/step)
			}
		}
	}
	less := 0.0
	if b.Centre, b.Disc = p.largestDisc(loops); b.Disc > b.Hydraulic {
		b.Centre, b.Disc, less = betweenNotches(loops, b.Centre, b.Disc, f.grey == nil)
	}
	b.Width = max(b.Hydraulic, b.Disc)
	b.PlusMinus = blobDoubt(b.Width, f.grey == nil) + notchDoubt*min(less, b.Width)
	if b.Perimeter > 0 && b.Width == b.Hydraulic {
		b.PlusMinus += b.Width*min(doubt/b.Perimeter, mostDoubt) + raysDoubt(loops, b.Width, f.grey == nil)
	}
	return b
}

// mostDoubt is the most that corners add to plus and minus, of the width: three of 60 degrees
// of which nothing is left take it.
const mostDoubt = 0.4

// blobDoubt is the plus and minus of a piece's width in pixels: 95 of 100 discs, squares,
// triangles and slots lie within. Of small ones the corners are not to be seen.
func blobDoubt(width float64, bilevel bool) float64 {
	if bilevel {
		return 0.6 + 0.6*min(1, max(0, (7-width)/3))
	}
	return 0.2 + 0.25*min(1, max(0, (6-width)/2))
}

// extent returns the greatest distance between two points of the contours, by
// way of their convex hull.
func extent(loops []loop) float64 {
	var pts []Point
	for _, l := range loops {
		pts = append(pts, l...)
	}
	hull := convexHull(pts)
	best := 0.0
	for i, a := range hull {
		for _, b := range hull[i+1:] {
			dx, dy := a.X-b.X, a.Y-b.Y
			best = max(best, dx*dx+dy*dy)
		}
	}
	return math.Sqrt(best)
}

// convexHull sorts pts and returns the corners of their hull (A. Andrew, 1979:
// the lower chain, then the upper one).
func convexHull(pts []Point) []Point {
	slices.SortFunc(pts, func(a, b Point) int {
		switch {
		case a.X < b.X || a.X == b.X && a.Y < b.Y:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	var hull []Point
	for pass := 0; pass < 2; pass++ {
		start := len(hull)
		for _, p := range pts {
			for len(hull) >= start+2 {
				a, b := hull[len(hull)-2], hull[len(hull)-1]
				if (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) > 0 {
					break
				}
				hull = hull[:len(hull)-1]
			}
			hull = append(hull, p)
		}
		if len(hull) > 1 {
			hull = hull[:len(hull)-1]
		}
		slices.Reverse(pts)
	}
	return hull
}
