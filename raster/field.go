package raster

import (
	"math"
	"sync"
)

// field holds distances along a piece, by the pixels' ids. Where the piece's box
// is not much larger than the piece an id is a place in the box, and the distance
// outside the piece is -1, which nothing shortens; else the pixels are numbered
// run by run, which costs what the piece covers and looks that take longer.
type field struct {
	runs []run
	y0   int
	rows []int32   // runs of row y0+i: runs[rows[i]:rows[i+1]]
	off  []int32   // number of a run's first pixel, and that of all
	dist []float32 // by id

	boxed  bool
	ids    []int32 // by number, where boxed
	x0     int     // of the box, which has a margin of 2
	stride int

	// queue holds pixels reached, by the whole part of their distance, of which
	// the low bits suffice: no step is longer than the root of 5.
	queue  [4][]int32
	queued int

	whole, grown []uint64 // a piece by its rows, a word each, for within
}

// boxMost is how many times a piece's pixels its box may have to be written out, and
// boxPixels how many at all: ids of 32 bits count no more, and a gigabyte is enough.
const (
	boxMost   = 24
	boxPixels = 1 << 28
)

// outside is the distance of a place outside the piece.
const outside = -1

var fields = sync.Pool{New: func() any { return new(field) }}

// newField takes piece i of ps; nothing is reached yet. The caller calls done when
// it has finished with it.
func newField(ps *Pieces, i int) (f *field, done func()) {
	f = fields.Get().(*field)
	f.runs = ps.appendRuns(f.runs[:0], i)
	runs := f.runs
	f.y0 = int(runs[0].y)
	f.rows, f.off = f.rows[:0], append(f.off[:0], 0)
	x0, x1, n := runs[0].x0, runs[0].x1, int32(0)
	for i, r := range runs {
		for len(f.rows) <= int(r.y)-f.y0 {
			f.rows = append(f.rows, int32(i))
		}
		n += r.x1 - r.x0
		f.off = append(f.off, n)
		x0, x1 = min(x0, r.x0), max(x1, r.x1)
	}
	f.rows = append(f.rows, int32(len(runs)))
	f.x0, f.stride = int(x0)-2, int(x1-x0)+4
	size := f.stride * (len(f.rows) + 3)
	f.box(size <= min(boxPixels, boxMost*int(n)+4096), size)
	return f, func() { fields.Put(f) }
}

// box makes place for the distances, in the box or not.
func (f *field) box(boxed bool, size int) {
	f.boxed, f.ids = boxed, f.ids[:0]
	if !boxed {
		size = f.pixels()
	}
	if cap(f.dist) < size {
		f.dist = make([]float32, size)
	}
	f.dist = f.dist[:size]
	if boxed {
		for i := range f.dist {
			f.dist[i] = outside
		}
		for _, r := range f.runs {
			at := int32((int(r.y)-f.y0+2)*f.stride + int(r.x0) - f.x0)
			for i := range r.x1 - r.x0 {
				f.ids = append(f.ids, at+i)
			}
		}
	}
	f.reset()
}

// pixels is how many the piece has.
func (f *field) pixels() int { return int(f.off[len(f.runs)]) }

// id returns the id of the pixel of a number, in reading order.
func (f *field) id(number int) int32 {
	if f.boxed {
		return f.ids[number]
	}
	return int32(number)
}

func (f *field) reset() {
	for i := range f.pixels() {
		f.dist[f.id(i)] = math.MaxFloat32
	}
}

// at returns the id of pixel (x, y), or -1 outside the piece.
func (f *field) at(x, y int) int32 {
	y -= f.y0
	if y < 0 || y+1 >= len(f.rows) {
		return -1
	}
	if f.boxed {
		x -= f.x0
		if x < 0 || x >= f.stride || f.dist[(y+2)*f.stride+x] == outside {
			return -1
		}
		return int32((y+2)*f.stride + x)
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

// place returns the pixel of id q.
func (f *field) place(q int32) (x, y int) {
	if f.boxed {
		return int(q)%f.stride + f.x0, int(q)/f.stride + f.y0 - 2
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
	best, most := f.id(0), float32(outside)
	for i := range f.pixels() {
		q := f.id(i)
		if d := f.dist[q]; d < math.MaxFloat32 && d > most {
			best, most = q, d
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
		to, mid int32 // from an id; mid 0 for the short steps
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
			if f.boxed {
				for i := range inBox {
					s := &inBox[i]
					n := from + s.to
					if d+s.d >= f.dist[n] || s.mid != 0 && f.dist[from+s.mid] == outside {
						continue
					}
					f.dist[n] = d + s.d
					f.push(n)
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
