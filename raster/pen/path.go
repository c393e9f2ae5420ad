package pen

import (
	"math"

	"stencilproof/raster"
)

// Path is a shape: closed rings of corners, filled by the non-zero rule. A
// hole is a ring that turns the other way round.
type Path [][]raster.Point

// bounds returns the whole pixels that p may touch on a canvas of w x h.
func (p Path) bounds(w, h int) (x0, y0, x1, y1 int, ok bool) {
	lx, ly, hx, hy := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, ring := range p {
		for _, q := range ring {
			lx, hx = math.Min(lx, q.X), math.Max(hx, q.X)
			ly, hy = math.Min(ly, q.Y), math.Max(hy, q.Y)
		}
	}
	x0, y0 = int(math.Max(0, math.Floor(lx))), int(math.Max(0, math.Floor(ly)))
	x1, y1 = int(math.Min(float64(w), math.Ceil(hx))), int(math.Min(float64(h), math.Ceil(hy)))
	return x0, y0, x1, y1, x0 < x1 && y0 < y1
}

// Map returns p with every corner moved by f.
func (p Path) Map(f func(raster.Point) raster.Point) Path {
	out := make(Path, len(p))
	for i, ring := range p {
		out[i] = make([]raster.Point, len(ring))
		for j, q := range ring {
			out[i][j] = f(q)
		}
	}
	return out
}

// Moved returns p shifted by (dx, dy).
func (p Path) Moved(dx, dy float64) Path {
	return p.Map(func(q raster.Point) raster.Point { return raster.Point{X: q.X + dx, Y: q.Y + dy} })
}

// Scaled returns p scaled about the origin.
func (p Path) Scaled(k float64) Path {
	return p.Map(func(q raster.Point) raster.Point { return raster.Point{X: q.X * k, Y: q.Y * k} })
}

// Turned returns p turned about the origin by deg degrees, from x towards y.
func (p Path) Turned(deg float64) Path {
	s, c := math.Sincos(deg * math.Pi / 180)
	return p.Map(func(q raster.Point) raster.Point {
		return raster.Point{X: q.X*c - q.Y*s, Y: q.X*s + q.Y*c}
	})
}

// Reversed returns p with its rings turning the other way: as a hole in
// something else.
func (p Path) Reversed() Path {
	out := make(Path, len(p))
	for i, ring := range p {
		for j := range ring {
			out[i] = append(out[i], ring[len(ring)-1-j])
		}
	}
	return out
}

// Rect returns the rectangle with one corner at (x, y).
func Rect(x, y, w, h float64) Path {
	return Path{{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}}
}

// Polygon returns the ring through the corners.
func Polygon(corners ...raster.Point) Path { return Path{corners} }

// discCorners is how many corners stand for a circle. At 720 the polygon's
// area is short by 1.3e-5 of the disc's, less than an eighth of a grey step on
// a disc of 100 px.
const discCorners = 720

// Disc returns a disc of diameter d around (x, y).
func Disc(x, y, d float64) Path {
	ring := make([]raster.Point, discCorners)
	for i := range ring {
		s, c := math.Sincos(2 * math.Pi * float64(i) / discCorners)
		ring[i] = raster.Point{X: x + d/2*c, Y: y + d/2*s}
	}
	return Path{ring}
}

// Ring returns the ring of the given width whose middle line is the circle of
// diameter d around (x, y).
func Ring(x, y, d, width float64) Path {
	return append(Disc(x, y, d+width), Disc(x, y, d-width).Reversed()...)
}

// Line returns the straight line from a to z, width wide, with square ends at
// a and z.
func Line(a, z raster.Point, width float64) Path {
	dx, dy := z.X-a.X, z.Y-a.Y
	l := math.Hypot(dx, dy)
	nx, ny := -dy/l*width/2, dx/l*width/2
	return Polygon(
		raster.Point{X: a.X + nx, Y: a.Y + ny}, raster.Point{X: z.X + nx, Y: z.Y + ny},
		raster.Point{X: z.X - nx, Y: z.Y - ny}, raster.Point{X: a.X - nx, Y: a.Y - ny})
}

// Stroke returns the line along a curve given by closely spaced points, whose
// width at share t of its length (0 to 1) is width(t). The ends are square. A
// curve that turns tighter than half the width folds over itself.
func Stroke(curve []raster.Point, width func(t float64) float64) Path {
	along := make([]float64, len(curve))
	for i := 1; i < len(curve); i++ {
		along[i] = along[i-1] + math.Hypot(curve[i].X-curve[i-1].X, curve[i].Y-curve[i-1].Y)
	}
	total := along[len(along)-1]
	left := make([]raster.Point, 0, 2*len(curve))
	var right []raster.Point
	for i, q := range curve {
		a, z := curve[max(i-1, 0)], curve[min(i+1, len(curve)-1)]
		dx, dy := z.X-a.X, z.Y-a.Y
		l := math.Hypot(dx, dy)
		half := width(along[i]/total) / 2
		nx, ny := -dy/l*half, dx/l*half
		left = append(left, raster.Point{X: q.X + nx, Y: q.Y + ny})
		right = append(right, raster.Point{X: q.X - nx, Y: q.Y - ny})
	}
	for i := len(right) - 1; i >= 0; i-- {
		left = append(left, right[i])
	}
	return Path{left}
}

// Even is a width for Stroke that is the same all along.
func Even(width float64) func(float64) float64 { return func(float64) float64 { return width } }
