package raster

import (
	"math"
	"sync"
)

// field holds distances along a piece. Its pixels are numbered run by run, so
// that it costs what the piece covers, not what its box does; only where the box
// is not much larger are the numbers written out over it, for quick looks.
type field struct {
	runs []run
	y0   int
	rows []int32 // runs of row y0+i: runs[rows[i]:rows[i+1]]
	off  []int32 // number of a run's first pixel
	dist []float32

	box    []int32 // number + 1 by place in the box, 0 outside the piece; or nil
	x0     int     // of the box, which has a margin of 2
	stride int
	pos    []int32 // place in the box by number

	// queue holds pixels reached, by the whole part of their distance, of which
	// the low bits suffice: no step is longer than the root of 5.
	queue  [4][]int32
	queued int
}

// boxMost is how many times a piece's pixels its box may have to be written out.
const boxMost = 24

var boxes = sync.Pool{New: func() any { return new([]int32) }}

// newField takes the runs of a piece in reading order; nothing is reached yet.
// The caller calls done when it has finished with it.
func newField(runs []run) (f *field, done func()) {
	f = &field{runs: runs, y0: int(runs[0].y), off: make([]int32, len(runs)+1)}
	f.rows = make([]int32, 0, int(runs[len(runs)-1].y)-f.y0+2)
	x0, x1 := runs[0].x0, runs[0].x1
	for i, r := range runs {
		for len(f.rows) <= int(r.y)-f.y0 {
			f.rows = append(f.rows, int32(i))
		}
		f.off[i+1] = f.off[i] + r.x1 - r.x0
		x0, x1 = min(x0, r.x0), max(x1, r.x1)
	}
	f.rows = append(f.rows, int32(len(runs)))
	n := int(f.off[len(runs)])
	f.dist = make([]float32, n)
	f.reset()
	f.x0, f.stride = int(x0)-2, int(x1-x0)+4
	size := f.stride * (len(f.rows) + 3)
	if size > boxMost*n+4096 {
		return f, func() {}
	}
	buf := boxes.Get().(*[]int32)
	if cap(*buf) < size {
		*buf = make([]int32, size)
	}
	f.box = (*buf)[:size]
	clear(f.box)
	f.pos = make([]int32, n)
	q := int32(0)
	for _, r := range runs {
		at := int32((int(r.y)-f.y0+2)*f.stride + int(r.x0) - f.x0)
		for range r.x1 - r.x0 {
			f.pos[q] = at
			q++
			f.box[at] = q
			at++
		}
	}
	return f, func() { boxes.Put(buf) }
}

func (f *field) reset() {
	for q := range f.dist {
		f.dist[q] = math.MaxFloat32
	}
}

// at returns the number of pixel (x, y), or -1 outside the piece.
func (f *field) at(x, y int) int32 {
	y -= f.y0
	if f.box != nil {
		x -= f.x0
		if y < 0 || y+1 >= len(f.rows) || x < 0 || x >= f.stride {
			return -1
		}
		return f.box[(y+2)*f.stride+x] - 1
	}
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
	if f.box != nil {
		at := int(f.pos[q])
		return at%f.stride + f.x0, at/f.stride + f.y0 - 2
	}
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
	f.push(q)
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

// push queues q by its distance.
func (f *field) push(q int32) {
	b := &f.queue[int(f.dist[q])&3]
	*b = append(*b, q)
	f.queued++
}

// step is one of the 16-neighbourhood, of length d: 1, root 2 or root 5.
type step struct {
	dx, dy int
	d      float32
}

func (s step) knight() bool { return s.dx*s.dx+s.dy*s.dy == 5 }

var steps = func() (list []step) {
	for dy := -2; dy <= 2; dy++ {
		for dx := -2; dx <= 2; dx++ {
			if n := dx*dx + dy*dy; n == 1 || n == 2 || n == 5 {
				list = append(list, step{dx, dy, float32(math.Sqrt(float64(n)))})
			}
		}
	}
	return list
}()

// spread carries distances on from what is in the queue (Dijkstra, 1959, with
// the queue of Dial, 1969: no step is shorter than 1, so pixels whose distances
// have the same whole part cannot shorten each other's, and need no order). A
// knight's step goes only where the pixel between is in the piece too.
func (f *field) spread() {
	type boxStep struct {
		to, mid int32 // from a place in the box; mid 0 for the short steps
		d       float32
	}
	var inBox [16]boxStep
	for i, s := range steps {
		inBox[i] = boxStep{to: int32(s.dy*f.stride + s.dx), d: s.d}
		if s.knight() {
			inBox[i].mid = int32(s.dy/2*f.stride + s.dx/2)
		}
	}
	for now := 0; f.queued > 0; now++ {
		b := &f.queue[now&3]
		for i := 0; i < len(*b); i++ {
			from := (*b)[i]
			d := f.dist[from]
			if int(d) != now {
				continue // reached by a shorter way since
			}
			if f.box != nil {
				at := f.pos[from]
				for _, s := range inBox {
					n := f.box[at+s.to]
					if n == 0 || d+s.d >= f.dist[n-1] || s.mid != 0 && f.box[at+s.mid] == 0 {
						continue
					}
					f.dist[n-1] = d + s.d
					f.push(n - 1)
				}
				continue
			}
			x, y := f.place(from)
			for _, s := range steps {
				q := f.at(x+s.dx, y+s.dy)
				if q < 0 || d+s.d >= f.dist[q] || s.knight() && f.at(x+s.dx/2, y+s.dy/2) < 0 {
					continue
				}
				f.dist[q] = d + s.d
				f.push(q)
			}
		}
		f.queued -= len(*b)
		*b = (*b)[:0]
	}
}
