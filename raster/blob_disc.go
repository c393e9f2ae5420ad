package raster

import "math"

// largestDisc returns the centre and diameter of the largest disc inside the
// contours: the pixel farthest from every pixel outside the piece, then from
// there uphill in the distance to the contours themselves.
func (p *piece) largestDisc(loops []loop) (Point, float64) {
	c := p.deepest()
	depth := math.Inf(1) // squared, as all distances here
	for _, l := range loops {
		for i := range l {
			depth = min(depth, segmentDistance2(c, l[i], l[(i+1)%len(l)]))
		}
	}
	if math.IsInf(depth, 1) {
		return c, 0
	}
	// The centre moves by at most a few steps of the deepest pixel's grid, so
	// only edges near the disc's rim can ever be nearest.
	span := 2.0 * float64(p.coarse())
	rim := math.Sqrt(depth) + 2*span + 2
	var near [][2]Point
	for _, l := range loops {
		for i := range l {
			a, b := l[i], l[(i+1)%len(l)]
			if dx, dy := a.X-c.X, a.Y-c.Y; dx*dx+dy*dy <= rim*rim {
				near = append(near, [2]Point{a, b})
			}
		}
	}
	// deeper reports whether q lies deeper than depth, and how deep. The edge
	// that stopped the last place is asked first.
	last := 0
	deeper := func(q Point) (float64, bool) {
		d := math.Inf(1)
		for i := range near {
			j := i + last
			if j >= len(near) {
				j -= len(near)
			}
			d = min(d, segmentDistance2(q, near[j][0], near[j][1]))
			if d <= depth+1e-9 {
				last = j
				return d, false
			}
		}
		return d, true
	}
	start := c
	for step := span / 4; step >= 0.02; {
		better := false
		for _, u := range eightWays {
			q := Point{c.X + step*u.X, c.Y + step*u.Y}
			// Beyond the piece the distance to its edge grows again.
			if dist(q, start) > span || !p.own.Get(int(math.Floor(q.X)), int(math.Floor(q.Y))) {
				continue
			}
			if d, ok := deeper(q); ok {
				depth, c, better = d, q, true
				break
			}
		}
		if !better {
			step /= 2
		}
	}
	return c, 2 * math.Sqrt(depth)
}

var eightWays = [8]Point{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {0.7, 0.7}, {-0.7, -0.7}, {0.7, -0.7}, {-0.7, 0.7}}

// segmentDistance2 returns the squared distance from p to the segment a b.
func segmentDistance2(p, a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	px, py := p.X-a.X, p.Y-a.Y
	if dot := px*dx + py*dy; dot > 0 {
		t := min(1, dot/(dx*dx+dy*dy))
		px, py = px-t*dx, py-t*dy
	}
	return px*px + py*py
}

// discWindow is the most pixels the distance map is worked on; a larger piece
// is thinned out first, which only moves the start of the search.
const discWindow = 1 << 20

// coarse returns the spacing of the pixels that the distance map looks at.
func (p *piece) coarse() int {
	k := 1
	for (p.own.W/k+2)*(p.own.H/k+2) > discWindow {
		k++
	}
	return k
}

// deepest returns, in the window, the centre of the piece's pixel that lies farthest from all
// pixels outside it, by an exact squared distance map in two passes: along
// columns, then the lower envelope of parabolas along rows (Felzenszwalb and
// Huttenlocher, Distance Transforms of Sampled Functions, Theory of Computing 8
// (2012) 415).
func (p *piece) deepest() Point {
	k := p.coarse()
	w, h := (p.own.W+k-1)/k+2, (p.own.H+k-1)/k+2
	column := make([]float64, w*h) // distance to the nearest outside pixel in the column
	inside := func(x, y int) bool { return p.own.Get((x-1)*k+k/2, (y-1)*k+k/2) }
	for x := 0; x < w; x++ {
		run := 0.0
		for y := 0; y < h; y++ {
			run++
			if x == 0 || y == 0 || x == w-1 || y == h-1 || !inside(x, y) {
				run = 0
			}
			column[y*w+x] = run
		}
		run = 0
		for y := h - 1; y >= 0; y-- {
			run++
			if column[y*w+x] == 0 {
				run = 0
			}
			column[y*w+x] = min(column[y*w+x], run)
		}
	}
	// Of pixels equally deep the middle one: the first may lie in a corner that
	// the smoothed contour cuts off.
	best, tied := -1.0, make([][2]int, 0, 64)
	hull := make([]int, w)
	from := make([]float64, w+1)
	for y := 1; y < h-1; y++ {
		row := column[y*w : (y+1)*w]
		n := 0
		hull[0], from[0] = 0, math.Inf(-1)
		for x := 1; x < w; x++ {
			for {
				o := hull[n]
				s := (row[x]*row[x] + float64(x*x) - row[o]*row[o] - float64(o*o)) / float64(2*(x-o))
				if s <= from[n] && n > 0 {
					n--
					continue
				}
				if s <= from[n] {
					hull[0] = x
				} else {
					n++
					hull[n], from[n] = x, s
				}
				break
			}
		}
		from[n+1] = math.Inf(1)
		j := 0
		for x := 1; x < w-1; x++ {
			for from[j+1] < float64(x) {
				j++
			}
			if row[x] == 0 {
				continue
			}
			o := hull[j]
			d := float64((x-o)*(x-o)) + row[o]*row[o]
			if d > best {
				best, tied = d, tied[:0]
			}
			if d == best {
				tied = append(tied, [2]int{x, y})
			}
		}
	}
	if best < 0 { // every looked-at pixel missed it
		for y := 0; y < p.own.H; y++ {
			for x := 0; x < p.own.W; x++ {
				if p.own.Get(x, y) {
					return Point{float64(x) + 0.5, float64(y) + 0.5}
				}
			}
		}
	}
	at := tied[len(tied)/2]
	return Point{float64((at[0]-1)*k+k/2) + 0.5, float64((at[1]-1)*k+k/2) + 0.5}
}
