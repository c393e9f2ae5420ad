package raster

import (
	"math"
	"math/rand/v2"
	"slices"
)

// The drawer of test pictures: polygons, coverage exact in x and by 64
// scanlines a pixel in y, winding not zero. It shares no code with the package.
type drawing struct {
	w, h  int
	polys [][]Point
}

func (d *drawing) add(poly []Point) { d.polys = append(d.polys, poly) }

// hole adds a polygon turned the other way round.
func (d *drawing) hole(poly []Point) {
	q := slices.Clone(poly)
	slices.Reverse(q)
	d.polys = append(d.polys, q)
}

func (d *drawing) coverage() []float64 {
	const lines = 64
	out := make([]float64, d.w*d.h)
	type crossing struct {
		x   float64
		dir int
	}
	rows := make([][]crossing, d.h*lines)
	for _, poly := range d.polys {
		for i, a := range poly {
			b := poly[(i+1)%len(poly)]
			dir := 1
			if a.Y > b.Y {
				a, b, dir = b, a, -1
			}
			k0 := int(math.Ceil(a.Y*lines - 0.5))
			for k := max(k0, 0); k < d.h*lines; k++ {
				y := (float64(k) + 0.5) / lines
				if y >= b.Y {
					break
				}
				rows[k] = append(rows[k], crossing{a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y), dir})
			}
		}
	}
	for k, cs := range rows {
		slices.SortFunc(cs, func(a, b crossing) int {
			switch {
			case a.x < b.x:
				return -1
			case a.x > b.x:
				return 1
			}
			return 0
		})
		row := out[k/lines*d.w : (k/lines+1)*d.w]
		wind := 0
		for i := 0; i+1 < len(cs); i++ {
			wind += cs[i].dir
			if wind == 0 {
				continue
			}
			x0, x1 := math.Max(cs[i].x, 0), math.Min(cs[i+1].x, float64(d.w))
			for x := int(x0); x < d.w && float64(x) < x1; x++ {
				row[x] += (math.Min(x1, float64(x+1)) - math.Max(x0, float64(x))) / lines
			}
		}
	}
	return out
}

// rendering is how coverage becomes pixels.
type rendering struct {
	bilevel, invert bool
	blur            float64 // sigma of a Gaussian, pixels
	paper, ink      uint8   // levels; both 0: 0 and 255
}

func (d *drawing) ink(p rendering) *Ink {
	cov := d.coverage()
	if p.blur > 0 {
		cov = blurred(cov, d.w, d.h, p.blur)
	}
	grey := make([]uint8, len(cov))
	bits := NewBits(d.w, d.h)
	for i, c := range cov {
		if p.invert {
			c = 1 - c
		}
		c = math.Min(1, math.Max(0, c))
		if p.bilevel {
			if c >= 0.5 {
				bits.Set(i%d.w, i/d.w)
			}
			continue
		}
		if p.ink > p.paper {
			c = (float64(p.paper) + c*(float64(p.ink)-float64(p.paper))) / 255
		}
		grey[i] = uint8(math.Round(c * 255))
	}
	if p.bilevel {
		return NewBilevelInk(bits)
	}
	return NewGreyInk(d.w, d.h, grey)
}

func blurred(v []float64, w, h int, sigma float64) []float64 {
	r := int(math.Ceil(4 * sigma))
	kernel := make([]float64, 2*r+1)
	sum := 0.0
	for i := range kernel {
		kernel[i] = math.Exp(-float64((i-r)*(i-r)) / (2 * sigma * sigma))
		sum += kernel[i]
	}
	a, b := make([]float64, len(v)), make([]float64, len(v))
	for y := 0; y < h; y++ {
		for x := 0; x < w; x++ {
			for i, k := range kernel {
				a[y*w+x] += k / sum * v[y*w+min(max(x+i-r, 0), w-1)]
			}
		}
	}
	for y := 0; y < h; y++ {
		for x := 0; x < w; x++ {
			for i, k := range kernel {
				b[y*w+x] += k / sum * a[min(max(y+i-r, 0), h-1)*w+x]
			}
		}
	}
	return b
}

func polar(c Point, r, a float64) Point {
	return Point{c.X + r*math.Cos(a), c.Y + r*math.Sin(a)}
}

// barPoly is a rectangle round c, long along angle a.
func barPoly(c Point, a, length, width float64) []Point {
	u := Point{math.Cos(a), math.Sin(a)}
	n := Point{-u.Y, u.X}
	at := func(s, t float64) Point { return Point{c.X + u.X*s + n.X*t, c.Y + u.Y*s + n.Y*t} }
	l, w := length/2, width/2
	return []Point{at(-l, -w), at(l, -w), at(l, w), at(-l, w)}
}

func discPoly(c Point, r float64) []Point {
	n := max(64, int(r*20))
	p := make([]Point, n)
	// The polygon's area, not its corners, is the disc's.
	r *= math.Sqrt(2 * math.Pi / float64(n) / math.Sin(2*math.Pi/float64(n)))
	for i := range p {
		p[i] = polar(c, r, 2*math.Pi*float64(i)/float64(n))
	}
	return p
}

// arcPoly is the band of the given width round an arc of radius r.
func arcPoly(c Point, r, width, a0, a1 float64) []Point {
	n := max(48, int(math.Abs(a1-a0)*r*4))
	var p []Point
	for i := 0; i <= n; i++ {
		p = append(p, polar(c, r+width/2, a0+(a1-a0)*float64(i)/float64(n)))
	}
	for i := n; i >= 0; i-- {
		p = append(p, polar(c, r-width/2, a0+(a1-a0)*float64(i)/float64(n)))
	}
	return p
}

// roughPath makes of a true centre line what a pixel skeleton might give: a
// point a pixel, each up to a pixel off, rounded to pixel centres.
func roughPath(rng *rand.Rand, true_ []Point, closed bool) []Point {
	pts, _ := resampledPlain(true_, closed)
	var out []Point
	for _, p := range pts {
		a, r := rng.Float64()*2*math.Pi, math.Sqrt(rng.Float64())
		p = polar(p, r, a)
		q := Point{math.Floor(p.X) + 0.5, math.Floor(p.Y) + 0.5}
		if len(out) == 0 || out[len(out)-1] != q {
			out = append(out, q)
		}
	}
	return out
}

// resampledPlain walks a polyline in steps of one pixel.
func resampledPlain(pts []Point, closed bool) ([]Point, float64) {
	if closed {
		pts = append(slices.Clone(pts), pts[0])
	}
	out := []Point{pts[0]}
	left := 1.0
	total := 0.0
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		l := math.Hypot(b.X-a.X, b.Y-a.Y)
		total += l
		s := left
		for ; s <= l; s++ {
			out = append(out, Point{a.X + (b.X-a.X)*s/l, a.Y + (b.Y-a.Y)*s/l})
		}
		left = s - l
	}
	return out, total
}
