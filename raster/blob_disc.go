package raster

import "math"

// largestDisc returns the centre and diameter of the largest disc inside the
// contours: the pixel farthest from every pixel outside the piece, then from
// there uphill in the distance to the contours themselves.
func (p *piece) largestDisc(loops []loop) (Point, float64) {
	c := p.deepest()
	depth := math.Inf(1)
	for _, l := range loops {
		for i := range l {
			depth = math.Min(depth, segmentDistance(c, l[i], l[(i+1)%len(l)]))
		}
	}
	if math.IsInf(depth, 1) {
		return c, 0
	}
	// The centre moves by at most a few steps of the deepest pixel's grid, so
	// only edges within the disc's rim and that can ever be nearest.
	span := 2.0 * float64(p.coarse())
	var near [][2]Point
	for _, l := range loops {
		for i := range l {
			a, b := l[i], l[(i+1)%len(l)]
			if dist(c, a) <= depth+2*span+2 {
				near = append(near, [2]Point{a, b})
			}
		}
	}
	room := func(q Point) float64 {
		d := math.Inf(1)
		for _, s := range near {
			d = math.Min(d, segmentDistance(q, s[0], s[1]))
			if d < depth {
				break
			}
		}
		return d
	}
	start := c
	for step := span / 4; step >= 0.01; {
		better := false
		for i := 0; i < 8; i++ {
			sin, cos := math.Sincos(float64(i) * math.Pi / 4)
			q := Point{c.X + step*cos, c.Y + step*sin}
			if dist(q, start) > span {
				continue
			}
			if d := room(q); d > depth+1e-9 {
				depth, c, better = d, q, true
				break
			}
		}
		if !better {
			step /= 2
		}
	}
	return c, 2 * depth
}

func segmentDistance(p, a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = math.Min(1, math.Max(0, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/l))
	}
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
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

// deepest returns the centre of the piece's pixel that lies farthest from all
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
			column[y*w+x] = math.Min(column[y*w+x], run)
		}
	}
	best, at := -1.0, [2]int{}
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
			if d := float64((x-o)*(x-o)) + row[o]*row[o]; d > best {
				best, at = d, [2]int{x, y}
			}
		}
	}
	if best < 0 { // every looked-at pixel missed it
		for y := 0; y < p.own.H; y++ {
			for x := 0; x < p.own.W; x++ {
				if p.own.Get(x, y) {
					return Point{float64(x+p.x0) + 0.5, float64(y+p.y0) + 0.5}
				}
			}
		}
	}
	return Point{float64(p.x0+(at[0]-1)*k+k/2) + 0.5, float64(p.y0+(at[1]-1)*k+k/2) + 0.5}
}
