package raster

import (
	"math"
	"math/bits"
)

// piece is one connected piece of a shape in a window of the image, the box around it.
type piece struct {
	f      *sampler
	x0, y0 int // image coordinates of the window's first pixel
	own    *Bits
	size   int // pixels
}

// newPiece fills the piece that contains (x, y), inside box, 8-connected for
// ink and 4-connected for film, by whole runs of a row. In grey the saddle at a corner
// decides (see filmCrosses).
func newPiece(f *sampler, x, y int, box Box) *piece {
	x0, y0 := max(0, int(math.Floor(box.X0))), max(0, int(math.Floor(box.Y0)))
	x1, y1 := min(f.w, int(math.Ceil(box.X1))), min(f.h, int(math.Ceil(box.Y1)))
	if x < x0 || y < y0 || x >= x1 || y >= y1 || !f.in(x, y) {
		return nil
	}
	p := &piece{f: f, x0: x0, y0: y0, own: NewBits(x1-x0, y1-y0)}
	w, h := p.own.W, p.own.H
	left, top, right, bottom := w, h, 0, 0 // of the box around it
	touch := 1                             // how far beyond a run's ends its neighbours may lie
	if f.film && f.grey == nil {
		touch = 0
	}
	grey := Ink{W: f.w, H: f.h, Grey: f.grey}
	free := func(x, y int) bool { return f.in(x+x0, y+y0) && !p.own.Get(x, y) }
	// Whether (x, y) hangs together across a corner with (i, v) in a row next to it.
	across := func(x, y, i, v int) bool {
		return f.grey == nil || grey.filmCrosses(1, min(x, i)+x0, min(y, v)+y0) == f.film
	}
	var small [64][2]int
	stack := append(small[:0], [2]int{x - x0, y - y0})
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		sx, sy := at[0], at[1]
		if !free(sx, sy) {
			continue
		}
		a, b := sx, sx
		for a > 0 && free(a-1, sy) {
			a--
		}
		for b+1 < w && free(b+1, sy) {
			b++
		}
		for i := a; i <= b; i++ {
			p.own.Set(i, sy)
		}
		p.size += b - a + 1
		left, right = min(left, a), max(right, b+1)
		top, bottom = min(top, sy), max(bottom, sy+1)
		for _, ny := range [2]int{sy - 1, sy + 1} {
			if ny < 0 || ny >= h {
				continue
			}
			before := false
			for i := max(0, a-touch); i <= min(w-1, b+touch); i++ {
				now := free(i, ny) && (i >= a && i <= b || across(min(max(i, a), b), sy, i, ny))
				if now && !before {
					stack = append(stack, [2]int{i, ny})
				}
				before = now
			}
		}
	}
	p.cut(left, top, right, bottom)
	return p
}

// cut makes the window smaller: what box a piece was looked for in goes by the grid, and the
// coordinates that it is measured in are the window's.
func (p *piece) cut(left, top, right, bottom int) {
	if left == 0 && top == 0 && right == p.own.W && bottom == p.own.H {
		return
	}
	own := NewBits(right-left, bottom-top)
	for y := range own.H {
		from, to := p.own.Row(y+top), own.Row(y)
		for i := range to {
			to[i] = word64(from, left+i<<6)
		}
	}
	p.x0, p.y0, p.own = p.x0+left, p.y0+top, own
}

// first returns the piece's first pixel in reading order, in image coordinates.
func (p *piece) first() (x, y int) {
	for y := range p.own.H {
		for i, w := range p.own.Row(y) {
			if w != 0 {
				return p.x0 + i<<6 + bits.TrailingZeros64(w), p.y0 + y
			}
		}
	}
	return p.x0, p.y0
}

// value is the piece's coverage of a pixel (window coordinates): its own, and
// the fringe below half; another piece's pixels count as clear.
func (p *piece) value(x, y int) float64 {
	if p.own.Get(x, y) {
		return p.f.cover(x+p.x0, y+p.y0)
	}
	if p.f.in(x+p.x0, y+p.y0) {
		return 0
	}
	return p.f.cover(x+p.x0, y+p.y0)
}

// fringeReach is how many pixels beyond its own a piece may claim coverage: two
// hold all of a sharp edge, a blurred one runs on as long as it falls.
const fringeReach = 8

// area returns the sum of coverage over the piece and its fringe. A pixel of the
// fringe is claimed from its neighbour nearer to the piece while coverage
// falls; one that also touches another piece is shared by the number of pixels
// on either side.
func (p *piece) area() float64 {
	f := p.f
	if f.grey == nil {
		return float64(p.size)
	}
	sum := 0.0
	type spot struct {
		x, y int
		c    float64
	}
	var now, next []spot
	seen := NewBits(p.own.W+2*fringeReach, p.own.H+2*fringeReach)
	for y := 0; y < p.own.H; y++ {
		row := p.own.Row(y)
		for i, w := range row {
			if w == 0 {
				continue
			}
			inner := word64(row, i<<6-1) & word64(row, i<<6+1) // all four neighbours its own
			if y == 0 || y+1 == p.own.H {
				inner = 0
			} else {
				inner &= p.own.Row(y - 1)[i] & p.own.Row(y + 1)[i]
			}
			for rest := w; rest != 0; rest &= rest - 1 {
				x := i<<6 + bits.TrailingZeros64(rest)
				c := f.cover(x+p.x0, y+p.y0)
				sum += c
				if inner&(rest&-rest) == 0 {
					now = append(now, spot{x, y, c})
				}
			}
		}
	}
	for level := 1; level <= fringeReach && len(now) > 0; level++ {
		next = next[:0]
		for _, s := range now {
			for d := 0; d < 9; d++ {
				x, y := s.x+d%3-1, s.y+d/3-1
				gx, gy := x+p.x0, y+p.y0
				if d == 4 || uint(gx) >= uint(f.w) || uint(gy) >= uint(f.h) || f.in(gx, gy) {
					continue
				}
				c := f.cover(gx, gy)
				if c < rayClear || c > s.c+rayRise || seen.Get(x+fringeReach, y+fringeReach) {
					continue
				}
				seen.Set(x+fringeReach, y+fringeReach)
				mine, all := 0, 0
				for e := 0; e < 9; e++ {
					ex, ey := x+e%3-1, y+e/3-1
					if f.in(ex+p.x0, ey+p.y0) {
						all++
						if p.own.Get(ex, ey) {
							mine++
						}
					}
				}
				share := 1.0
				if all > 0 {
					share = float64(mine) / float64(all)
				}
				sum += c * share
				if mine == all {
					next = append(next, spot{x, y, c})
				}
			}
		}
		now, next = next, now
	}
	return sum
}
