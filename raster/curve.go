package raster

import "math"

// curveStep is the distance between stations of a centre line, in pixels: half
// a pixel, for a pixel's own blur is as wide as that; smaller repeats itself.
const curveStep = 0.5

// resampled returns points every step (about want) along pts, and that step.
// Points in the same place are dropped. A closed line does not repeat its first
// point. Fewer than two places give those back, with step 0.
func resampled(a *scratch, pts []Point, closed bool, want float64) ([]Point, float64) {
	src := a.ofPoints(len(pts) + 1)[:0]
	for _, p := range pts {
		if n := len(src); n > 0 && src[n-1] == p {
			continue
		}
		src = append(src, p)
	}
	if closed && len(src) > 1 && src[0] != src[len(src)-1] {
		src = append(src, src[0])
	}
	total := 0.0
	for i := 1; i < len(src); i++ {
		total += dist(src[i-1], src[i])
	}
	if len(src) < 2 || total == 0 {
		return src, 0
	}
	n := max(1, int(math.Round(total/want)))
	step := total / float64(n)
	out := a.ofPoints(n + 1)[:0]
	seg, done := 1, 0.0 // done: length before segment seg
	l := dist(src[0], src[1])
	for k := 0; k <= n; k++ {
		s := float64(k) * step
		for seg < len(src)-1 && done+l < s {
			done += l
			seg++
			l = dist(src[seg-1], src[seg])
		}
		u := min(1, max(0, (s-done)/l))
		p, q := src[seg-1], src[seg]
		out = append(out, Point{p.X + (q.X-p.X)*u, p.Y + (q.Y-p.Y)*u})
	}
	if closed {
		out = out[:n]
	}
	return out, step
}

// smoothed fits, at every point of an evenly spaced line, a straight line to
// its neighbours by weighted least squares: weight[j] (nil: all 1) times a
// Gaussian of sigma (pixels). It returns the fitted places and unit directions.
// In the middle of a run that is the Gaussian mean; unlike a mean it stays
// straight to the ends of a straight run, where its window is lopsided.
func smoothed(a *scratch, pts []Point, weight []float64, closed bool, step, sigma float64) (place, dir []Point) {
	n := len(pts)
	place, dir = a.ofPoints(n), a.ofPoints(n)
	reach := int(math.Ceil(3 * sigma / step))
	if closed {
		reach = min(reach, (n-1)/2)
	}
	// The kernel and the places of its taps, from -reach on.
	kernel, arc := a.ofFloats(2*reach+1), a.ofFloats(2*reach+1)
	for i := range kernel {
		arc[i] = float64(i-reach) * step
		d := math.Abs(arc[i]) / sigma
		kernel[i] = math.Exp(-d * d / 2)
	}
	// A closed line is written out beyond its ends.
	at, first := pts, 0
	if closed {
		at, first = wrapped(pts, reach), reach
		if weight != nil {
			weight = wrapped(weight, reach)
		}
	}
	var mid [3]float64
	for i := range pts {
		// Taps [lo, hi) of the kernel lie on the line, from point from on.
		lo, hi := max(0, reach-first-i), min(len(kernel), len(at)-first-i+reach)
		from := first + i - reach + lo
		taps, arcs, near := kernel[lo:hi], arc[lo:hi], at[from:from+hi-lo]
		var w0, w1, w2, x0, x1, y0, y1 float64
		if weight == nil {
			// The same for all places away from the ends.
			if whole := len(taps) == len(kernel); whole && mid[0] > 0 {
				w0, w1, w2 = mid[0], mid[1], mid[2]
			} else {
				for k, w := range taps {
					s := arcs[k]
					w0 += w
					w1 += w * s
					w2 += w * s * s
				}
				if whole {
					mid = [3]float64{w0, w1, w2}
				}
			}
			if len(taps) == len(kernel) {
				// The taps before the middle and behind it weigh the same.
				last := len(taps) - 1
				x0, y0 = taps[reach]*near[reach].X, taps[reach]*near[reach].Y
				for k, w := range taps[:reach] {
					ws, p, q := w*arcs[k], near[k], near[last-k]
					x0 += w * (p.X + q.X)
					x1 += ws * (p.X - q.X)
					y0 += w * (p.Y + q.Y)
					y1 += ws * (p.Y - q.Y)
				}
			} else {
				for k, w := range taps {
					ws, p := w*arcs[k], near[k]
					x0 += w * p.X
					x1 += ws * p.X
					y0 += w * p.Y
					y1 += ws * p.Y
				}
			}
		} else {
			heavy := weight[from : from+hi-lo]
			for k, w := range taps {
				s, p := arcs[k], near[k]
				w *= heavy[k]
				ws := w * s
				w0 += w
				w1 += ws
				w2 += ws * s
				x0 += w * p.X
				x1 += ws * p.X
				y0 += w * p.Y
				y1 += ws * p.Y
			}
		}
		det := w0*w2 - w1*w1
		if w0 <= 0 || det <= 1e-9*w0*w0 {
			place[i] = pts[i]
			continue
		}
		dx, dy := (w0*x1-w1*x0)/det, (w0*y1-w1*y0)/det
		place[i] = Point{(x0 - dx*w1) / w0, (y0 - dy*w1) / w0}
		dir[i] = unit(Point{dx, dy})
	}
	for i := range dir { // a place without a direction takes a neighbour's
		if dir[i] == (Point{}) && i > 0 {
			dir[i] = dir[i-1]
		}
	}
	for i := n - 1; i >= 0; i-- {
		if dir[i] != (Point{}) {
			continue
		}
		dir[i] = Point{1, 0} // no direction anywhere: any will do
		if i < n-1 {
			dir[i] = dir[i+1]
		}
	}
	return place, dir
}

// wrapped returns a closed list with its last n values before it and its first n
// after it; n is no more than its length.
func wrapped[T any](list []T, n int) []T {
	out := make([]T, 0, len(list)+2*n)
	out = append(out, list[len(list)-n:]...)
	out = append(out, list...)
	return append(out, list[:n]...)
}

func dist(a, b Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// unit returns p scaled to length 1, or zero where p is zero.
func unit(p Point) Point {
	l := math.Hypot(p.X, p.Y)
	if l == 0 {
		return Point{}
	}
	return Point{p.X / l, p.Y / l}
}

// along returns the point d from p in the direction v.
func along(p, v Point, d float64) Point { return Point{p.X + v.X*d, p.Y + v.Y*d} }

// normal returns v turned by a quarter.
func normal(v Point) Point { return Point{-v.Y, v.X} }
