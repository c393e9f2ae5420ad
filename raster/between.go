package raster

import "math"

// betweenMost is the longest arc, in limits, that is looked between: over longer
// stretches E comes apart only where the shape really is narrow.
const betweenMost = 2

// passes reports whether the disc passes along an arc from E to E after all,
// when its centre may also lie half-way between pixels. E is a set of places,
// and its pixels are a sample of them: where the shape is an even number of
// pixels wide no pixel's centre lies in its middle, and the E of a line of 1.2
// limits would come apart at every step of its stair. The disc is E's own.
func (p *partition) passes(path []pixel) bool {
	if float64(len(path)) > betweenMost*p.d {
		return false
	}
	w := p.shape.W
	first, last := path[0], path[len(path)-1]
	x0, y0, x1, y1 := w, p.shape.H, 0, 0
	for _, q := range path {
		x, y := q.at(w)
		x0, x1, y0, y1 = min(x0, x), max(x1, x), min(y0, y), max(y1, y)
	}
	// Places within a pixel of the path, in half pixels: pixel x has its centre at 2x.
	x0, y0 = 2*x0-2, 2*y0-2
	bw, bh := 2*x1+2-x0+1, 2*y1+2-y0+1
	const (
		far    = iota // not near the path
		near          // not looked at yet
		goal          // E next to an end of the path
		passed        // looked at
	)
	state := make([]uint8, bw*bh)
	for _, q := range path {
		cx, cy := q.at(w)
		cx, cy = 2*cx-x0, 2*cy-y0
		for j := cy - 2; j <= cy+2; j++ {
			for i := cx - 2; i <= cx+2; i++ {
				state[j*bw+i] = near
			}
		}
	}
	goals := 0
	var stack [][2]int
	for _, q := range [2]pixel{first, last} {
		cx, cy := q.at(w)
		for n := range 8 {
			x, y := cx+offX[n], cy+offY[n]
			if at := (2*y-y0)*bw + 2*x - x0; state[at] == near && p.e.Get(x, y) {
				state[at] = goal
				goals++
				stack = append(stack[:0], [2]int{2 * x, 2 * y})
			}
		}
	}
	if goals < 2 {
		return false
	}
	state[(stack[0][1]-y0)*bw+stack[0][0]-x0] = passed
	goals--
	rc := p.d/2 + 0.5
	for len(stack) > 0 && goals > 0 {
		c := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for n := range 8 {
			x, y := c[0]+offX[n], c[1]+offY[n]
			i, j := x-x0, y-y0
			if i < 0 || j < 0 || i >= bw || j >= bh {
				continue
			}
			s := state[j*bw+i]
			if s != near && s != goal {
				continue
			}
			state[j*bw+i] = passed
			if s == goal {
				goals--
			} else if !fitsAt(p.shape, x, y, rc) {
				continue
			}
			stack = append(stack, [2]int{x, y})
		}
	}
	return goals == 0
}

// fitsAt reports whether every pixel within r of a place, given in half pixels,
// is set. Like Erode it takes what lies outside the plane as set.
func fitsAt(b *Bits, x2, y2 int, r float64) bool {
	cx, cy := float64(x2)/2, float64(y2)/2
	for y := max(0, int(math.Ceil(cy-r))); y <= min(b.H-1, int(math.Floor(cy+r))); y++ {
		dy := float64(y) - cy
		half := math.Sqrt(max(0, r*r-dy*dy)) + 1e-9
		x0, x1 := max(0, int(math.Ceil(cx-half))), min(b.W-1, int(math.Floor(cx+half)))
		if x0 <= x1 && !allSet(b.Row(y), x0, x1+1) {
			return false
		}
	}
	return true
}
