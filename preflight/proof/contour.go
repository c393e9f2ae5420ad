package proof

import (
	"math"

	"stencilproof/preflight/proof/sheet"
)

// around returns the outlines at a distance half from a centre line: the level
// line of its distance, traced by marching squares on a grid of 0.3 mm. So a
// line that crosses itself, turns sharply or closes gets one clean outline (and
// a second one inside, when it is a ring). With square ends the distance at the
// two ends is measured along and across the line.
func around(pts []sheet.Pt, closed bool, half float64, square bool) [][]sheet.Pt {
	pts = simplify(pts, 0.08)
	if closed {
		pts = append(pts, pts[0])
	}
	b := bounds(pts)
	step := math.Max(0.3, math.Max(b.x1-b.x0, b.y1-b.y0)/240)
	pad := half*1.5 + 2*step
	w := int((b.x1-b.x0+2*pad)/step) + 2
	h := int((b.y1-b.y0+2*pad)/step) + 2
	x0, y0 := b.x0-pad, b.y0-pad
	f := make([]float64, w*h)
	for j := 0; j < h; j++ {
		for i := 0; i < w; i++ {
			f[j*w+i] = reach(sheet.Pt{X: x0 + float64(i)*step, Y: y0 + float64(j)*step}, pts, square && !closed) - half
		}
	}
	rings := march(f, w, h)
	for _, r := range rings {
		for i := range r {
			r[i] = sheet.Pt{X: x0 + r[i].X*step, Y: y0 + r[i].Y*step}
		}
	}
	for i := range rings {
		rings[i] = simplify(rings[i], 0.02)
	}
	return rings
}

// reach returns the distance of q from a polyline.
func reach(q sheet.Pt, pts []sheet.Pt, square bool) float64 {
	best, seg, par := math.Inf(1), 0, 0.0
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		dx, dy := b.X-a.X, b.Y-a.Y
		l := dx*dx + dy*dy
		t := 0.0
		if l > 0 {
			t = ((q.X-a.X)*dx + (q.Y-a.Y)*dy) / l
		}
		c := math.Max(0, math.Min(1, t))
		d := math.Hypot(q.X-a.X-c*dx, q.Y-a.Y-c*dy)
		if d < best {
			best, seg, par = d, i, t
		}
	}
	if square && (seg == 1 && par < 0 || seg == len(pts)-1 && par > 1) {
		a, b := pts[seg-1], pts[seg]
		if l := math.Hypot(b.X-a.X, b.Y-a.Y); l > 0 {
			ux, uy := (b.X-a.X)/l, (b.Y-a.Y)/l
			e := a
			if par > 1 {
				e = b
			}
			along := math.Abs((q.X-e.X)*ux + (q.Y-e.Y)*uy)
			perp := math.Abs((q.Y-e.Y)*ux - (q.X-e.X)*uy)
			return math.Max(along, perp)
		}
	}
	return best
}

// march traces the zero line of f on a grid of w x h, in grid units. Every
// ring runs with the negative side on one hand. The border must be positive.
func march(f []float64, w, h int) [][]sheet.Pt {
	// edges: 2*(y*w+x) leads right from (x, y), +1 leads down
	next := map[int]int{}
	at := func(e int) sheet.Pt {
		v := e / 2
		x, y := v%w, v/w
		a := f[v]
		if e&1 == 0 {
			return sheet.Pt{X: float64(x) + a/(a-f[v+1]), Y: float64(y)}
		}
		return sheet.Pt{X: float64(x), Y: float64(y) + a/(a-f[v+w])}
	}
	for y := 0; y+1 < h; y++ {
		for x := 0; x+1 < w; x++ {
			v := y*w + x
			c := 0
			for k, u := range [4]int{v, v + 1, v + w + 1, v + w} {
				if f[u] < 0 {
					c |= 1 << k
				}
			}
			top, right, low, left := 2*v, 2*(v+1)+1, 2*(v+w), 2*v+1
			link := func(a, b int) { next[a] = b }
			switch c {
			case 1:
				link(left, top)
			case 2:
				link(top, right)
			case 3:
				link(left, right)
			case 4:
				link(right, low)
			case 5:
				link(left, top)
				link(right, low)
			case 6:
				link(top, low)
			case 7:
				link(left, low)
			case 8:
				link(low, left)
			case 9:
				link(low, top)
			case 10:
				link(top, right)
				link(low, left)
			case 11:
				link(low, right)
			case 12:
				link(right, left)
			case 13:
				link(right, top)
			case 14:
				link(top, left)
			}
		}
	}
	var rings [][]sheet.Pt
	for y := 0; y < h; y++ {
		for x := 0; x < w; x++ {
			for k := 0; k < 2; k++ {
				e := 2*(y*w+x) + k
				var ring []sheet.Pt
				for {
					n, ok := next[e]
					if !ok {
						break
					}
					ring = append(ring, at(e))
					delete(next, e)
					e = n
				}
				if len(ring) > 3 {
					rings = append(rings, ring)
				}
			}
		}
	}
	return rings
}

// simplify leaves out points that lie within tol of the line through those
// kept (Douglas and Peucker, Cartographica 10, 1973).
func simplify(pts []sheet.Pt, tol float64) []sheet.Pt {
	if len(pts) < 3 {
		return pts
	}
	keep := make([]bool, len(pts))
	keep[0], keep[len(pts)-1] = true, true
	type part struct{ a, b int }
	open := []part{{0, len(pts) - 1}}
	for len(open) > 0 {
		s := open[len(open)-1]
		open = open[:len(open)-1]
		far, at := tol, -1
		a, b := pts[s.a], pts[s.b]
		l := math.Hypot(b.X-a.X, b.Y-a.Y)
		for i := s.a + 1; i < s.b; i++ {
			d := math.Hypot(pts[i].X-a.X, pts[i].Y-a.Y)
			if l > 0 {
				d = math.Abs(cross(a, b, pts[i])) / l
			}
			if d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			open = append(open, part{s.a, at}, part{at, s.b})
		}
	}
	var out []sheet.Pt
	for i, k := range keep {
		if k {
			out = append(out, pts[i])
		}
	}
	return out
}
