package raster

import "math"

// field holds distances along a piece. Its pixels are numbered run by run, so
// that it costs what the piece covers, not what its box does.
type field struct {
	runs []run
	y0   int
	rows []int32 // runs of row y0+i: runs[rows[i]:rows[i+1]]
	off  []int32 // number of a run's first pixel
	dist []float32
	heap []reached
}

// reached is a pixel and a distance at which it was reached.
type reached struct {
	d float32
	q int32
}

// newField takes the runs of a piece in reading order; nothing is reached yet.
func newField(runs []run) *field {
	f := &field{runs: runs, y0: int(runs[0].y), off: make([]int32, len(runs)+1)}
	f.rows = make([]int32, 0, int(runs[len(runs)-1].y)-f.y0+2)
	for i, r := range runs {
		for len(f.rows) <= int(r.y)-f.y0 {
			f.rows = append(f.rows, int32(i))
		}
		f.off[i+1] = f.off[i] + r.x1 - r.x0
	}
	f.rows = append(f.rows, int32(len(runs)))
	f.dist = make([]float32, f.off[len(runs)])
	f.reset()
	return f
}

func (f *field) reset() {
	for q := range f.dist {
		f.dist[q] = math.MaxFloat32
	}
}

// at returns the number of pixel (x, y), or -1 outside the piece.
func (f *field) at(x, y int) int32 {
	y -= f.y0
	if y < 0 || y+1 >= len(f.rows) {
		return -1
	}
	lo, hi := f.rows[y], f.rows[y+1]
	for lo < hi {
		m := (lo + hi) / 2
		if f.runs[m].x1 <= int32(x) {
			lo = m + 1
		} else {
			hi = m
		}
	}
	if lo < f.rows[y+1] && f.runs[lo].x0 <= int32(x) {
		return f.off[lo] + int32(x) - f.runs[lo].x0
	}
	return -1
}

// place returns the pixel of number q.
func (f *field) place(q int32) (x, y int) {
	lo, hi := 0, len(f.runs)
	for lo < hi {
		m := (lo + hi) / 2
		if f.off[m+1] <= q {
			lo = m + 1
		} else {
			hi = m
		}
	}
	return int(f.runs[lo].x0 + q - f.off[lo]), int(f.runs[lo].y)
}

// start makes q a pixel at distance 0.
func (f *field) start(q int32) {
	f.dist[q] = 0
	f.push(q, 0)
}

// farthest returns the first pixel of those reached that lie farthest.
func (f *field) farthest() int32 {
	best := int32(0)
	for q, d := range f.dist {
		if d < math.MaxFloat32 && (d > f.dist[best] || f.dist[best] == math.MaxFloat32) {
			best = int32(q)
		}
	}
	return best
}

func (f *field) push(q int32, d float32) {
	f.heap = append(f.heap, reached{d, q})
	i := len(f.heap) - 1
	for i > 0 {
		up := (i - 1) / 2
		if f.heap[up].d <= f.heap[i].d {
			break
		}
		f.heap[up], f.heap[i] = f.heap[i], f.heap[up]
		i = up
	}
}

func (f *field) pop() reached {
	top := f.heap[0]
	n := len(f.heap) - 1
	f.heap[0] = f.heap[n]
	f.heap = f.heap[:n]
	for i := 0; ; {
		c := 2*i + 1
		if c >= n {
			break
		}
		if c+1 < n && f.heap[c+1].d < f.heap[c].d {
			c++
		}
		if f.heap[i].d <= f.heap[c].d {
			break
		}
		f.heap[i], f.heap[c] = f.heap[c], f.heap[i]
		i = c
	}
	return top
}

// steps of the 16-neighbourhood: lengths 1, root 2, root 5.
var steps = func() (s []struct {
	dx, dy int
	d      float32
}) {
	for dy := -2; dy <= 2; dy++ {
		for dx := -2; dx <= 2; dx++ {
			n := dx*dx + dy*dy
			if n == 1 || n == 2 || n == 5 {
				s = append(s, struct {
					dx, dy int
					d      float32
				}{dx, dy, float32(math.Sqrt(float64(n)))})
			}
		}
	}
	return s
}()

// spread carries distances on from what is in the heap (Dijkstra, 1959). A
// knight's step goes only where the pixel between is in the piece too.
func (f *field) spread() {
	for len(f.heap) > 0 {
		r := f.pop()
		if r.d > f.dist[r.q] {
			continue
		}
		x, y := f.place(r.q)
		for _, s := range steps {
			q := f.at(x+s.dx, y+s.dy)
			if q < 0 || r.d+s.d >= f.dist[q] {
				continue
			}
			if (s.dx == 2 || s.dx == -2 || s.dy == 2 || s.dy == -2) && f.at(x+s.dx/2, y+s.dy/2) < 0 {
				continue
			}
			f.dist[q] = r.d + s.d
			f.push(q, f.dist[q])
		}
	}
}
