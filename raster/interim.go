package raster

import "math"

// The first, plain way of measuring courses and blobs. The sub-pixel procedure
// of issue 3 (width.go, bilevel.go, blob.go) replaces this whole file.

// MeasureCourse measures a thin part along its rough centre line: coverage
// integrated along the normal of the smoothed line, each side up to the middle
// of its surroundings.
func (s Shape) MeasureCourse(c Course, safe float64) (p Profile) {
	n := len(c.Path)
	if n < 1 {
		return
	}
	sm := make([]Point, n)
	for i := range c.Path {
		h := min(6, min(i, n-1-i))
		var a Point
		for k := -h; k <= h; k++ {
			a.X += c.Path[i+k].X
			a.Y += c.Path[i+k].Y
		}
		sm[i] = Point{a.X / float64(2*h+1), a.Y / float64(2*h+1)}
	}
	arcLen := make([]float64, n)
	for i := 1; i < n; i++ {
		arcLen[i] = arcLen[i-1] + math.Hypot(sm[i].X-sm[i-1].X, sm[i].Y-sm[i-1].Y)
	}
	p.Length = arcLen[n-1]
	p.Width = math.Inf(1)
	for i := range sm {
		a, b := max(0, i-3), min(n-1, i+3)
		tx, ty := sm[b].X-sm[a].X, sm[b].Y-sm[a].Y
		l := math.Hypot(tx, ty)
		if l == 0 || s.Sample(sm[i]) < 0.3 {
			continue
		}
		nx, ny := -ty/l, tx/l
		w := 0.0
		for side := -1.0; side <= 1; side += 2 {
			prev := s.Sample(sm[i])
			past := 0.0
			for t := 0.125; t < 4*safe+8; t += 0.25 {
				v := s.Sample(Point{sm[i].X + side*nx*t, sm[i].Y + side*ny*t})
				if past > 0 && (v > prev || past > 2) {
					break
				}
				if v < 0.5 {
					past += 0.25
				}
				w += v * 0.25
				prev = v
			}
		}
		if c.TipStart && arcLen[i] < w+2 || c.TipEnd && p.Length-arcLen[i] < w+2 {
			continue
		}
		q := Section{arcLen[i], sm[i], Point{nx, ny}, w}
		p.Sections = append(p.Sections, q)
		if w < p.Width {
			p.Width, p.At, p.Across = w, q.At, q.Across
		}
	}
	p.PlusMinus = 0.1
	if s.Ink.Bilevel() {
		p.PlusMinus = 0.8
	}
	return p
}

// MeasureBlob measures the piece that holds pixel (x, y), inside box.
func (s Shape) MeasureBlob(x, y int, box Box) (b Blob) {
	x0, y0 := int(math.Floor(box.X0))-2, int(math.Floor(box.Y0))-2
	x1, y1 := int(math.Ceil(box.X1))+2, int(math.Ceil(box.Y1))+2
	g := NewBits(x1-x0, y1-y0)
	for j := range g.H {
		for i := range g.W {
			if s.Cover(i+x0, j+y0) >= 0.5 {
				g.Set(i, j)
			}
		}
	}
	l := Label(g, !s.Film)
	id := l.At(x-x0, y-y0)
	if id < 0 {
		return b
	}
	ok := make([]bool, len(l.List))
	ok[id] = true
	l.keep(g, ok)
	c := l.List[id]
	var edge []Point
	cover := func(i, j int) float64 {
		for dj := -1; dj <= 1; dj++ {
			for di := -1; di <= 1; di++ {
				if g.Get(i+di, j+dj) {
					return s.Cover(i+x0, j+y0)
				}
			}
		}
		return 0
	}
	for j := range g.H - 1 {
		for i := range g.W - 1 {
			v := [4]float64{cover(i, j), cover(i+1, j), cover(i+1, j+1), cover(i, j+1)}
			b.Area += v[0]
			at := [4]Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}}
			var cross []Point
			for e := range 4 {
				a, z := v[e], v[(e+1)%4]
				if (a >= 0.5) != (z >= 0.5) {
					t := (0.5 - a) / (z - a)
					p, q := at[e], at[(e+1)%4]
					cross = append(cross, Point{float64(i+x0) + 0.5 + p.X + (q.X-p.X)*t, float64(j+y0) + 0.5 + p.Y + (q.Y-p.Y)*t})
				}
			}
			for e := 0; e+1 < len(cross); e += 2 {
				b.Perimeter += math.Hypot(cross[e].X-cross[e+1].X, cross[e].Y-cross[e+1].Y)
			}
			edge = append(edge, cross...)
		}
	}
	if b.Perimeter == 0 {
		return b
	}
	if s.Ink.Bilevel() {
		b.Perimeter *= 0.948
	}
	b.Hydraulic = 4 * b.Area / b.Perimeter
	b.Extent = math.Hypot(float64(c.X1-c.X0), float64(c.Y1-c.Y0))
	b.Centre = Point{(box.X0 + box.X1) / 2, (box.Y0 + box.Y1) / 2}
	step := max(1, int(math.Sqrt(float64(c.Area)*float64(len(edge))/4e6)))
	for j := 0; j < g.H; j += step {
		for i := 0; i < g.W; i += step {
			if !g.Get(i, j) {
				continue
			}
			p := Point{float64(i+x0) + 0.5, float64(j+y0) + 0.5}
			least := math.Inf(1)
			for _, e := range edge {
				least = math.Min(least, math.Hypot(e.X-p.X, e.Y-p.Y))
			}
			if 2*least > b.Disc {
				b.Disc, b.Centre = 2*least, p
			}
		}
	}
	b.Width = math.Max(b.Hydraulic, b.Disc)
	b.PlusMinus = 0.2
	if s.Ink.Bilevel() {
		b.PlusMinus = 0.6
	}
	return b
}
