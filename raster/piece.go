package raster

import (
	"math/bits"
	"runtime"
	"sync"
)

// run is a horizontal run of set pixels [x0, x1) of row y, and its piece.
type run struct {
	x0, x1, y int32
	piece     int32
}

// Piece is a connected piece of a plane.
type Piece struct {
	Area   int // pixels
	X0, Y0 int // the box around it, [X0, X1) x [Y0, Y1)
	X1, Y1 int
	SeedX  int // a pixel of it: the leftmost of its top row's first run
	SeedY  int
	Cracks int // length of its outline along pixel sides, holes included
	Holes  int // what it encloses
}

// Pieces are the connected pieces of a plane, numbered by their first pixel in
// reading order.
type Pieces struct {
	List []Piece
	rows []int32 // runs of row y: runs[rows[y]:rows[y+1]]
	runs []run

	sorted []run   // the same by piece, in reading order within each; made on demand
	starts []int32 // runs of piece i: sorted[starts[i]:starts[i+1]]
}

// rowRuns appends the runs of a row to list.
func rowRuns(list []run, row []uint64, y int32) []run {
	open := int32(-1)
	for i, w := range row {
		base := int32(i << 6)
		if open >= 0 {
			n := bits.TrailingZeros64(^w)
			if n == 64 {
				continue
			}
			list = append(list, run{x0: open, x1: base + int32(n), y: y})
			open = -1
			w &^= 1<<n - 1
		}
		for w != 0 {
			s := bits.TrailingZeros64(w)
			n := bits.TrailingZeros64(^(w >> s))
			if s+n >= 64 {
				open = base + int32(s)
				break
			}
			list = append(list, run{x0: base + int32(s), x1: base + int32(s+n), y: y})
			w &^= (1<<n - 1) << s
		}
	}
	if open >= 0 {
		list = append(list, run{x0: open, x1: int32(len(row) << 6), y: y})
	}
	return list
}

// countRuns returns how many runs rows y0 to y1 of b have: set pixels with a
// clear one on their left.
func countRuns(b *Bits, y0, y1 int) (n int) {
	for y := y0; y < y1; y++ {
		carry := uint64(0)
		for _, w := range b.Row(y) {
			n += bits.OnesCount64(w &^ (w<<1 | carry))
			carry = w >> 63
		}
	}
	return n
}

// labelBand is the least rows of a band that is labelled by itself.
const labelBand = 256

// Label finds the connected pieces of b by runs and union-find (Wu, Otoo,
// Suzuki, Pattern Anal. Appl. 2009), 8-connected when eight, else 4-connected.
// Cost: one pass over the words, and a few steps a run. Bands of rows are
// labelled in parallel and joined at their seams.
func Label(b *Bits, eight bool) *Pieces {
	count := max(1, min(runtime.GOMAXPROCS(0), b.H/labelBand))
	return labelIn(b, eight, count)
}

func labelIn(b *Bits, eight bool, bands int) *Pieces {
	top := func(i int) int { return b.H * i / bands }
	starts := make([]int, bands+1)
	inParallel(bands, func(i int) { starts[i+1] = countRuns(b, top(i), top(i+1)) })
	for i := range bands {
		starts[i+1] += starts[i]
	}
	n := starts[bands]
	p := &Pieces{rows: make([]int32, b.H+1), runs: make([]run, n)}
	p.rows[b.H] = int32(n)
	l := labellers.Get().(*labeller)
	defer labellers.Put(l)
	l.ready(p, n)
	l.reach = 0
	if eight {
		l.reach = 1
	}
	inParallel(bands, func(i int) {
		list := p.runs[starts[i]:starts[i]:starts[i+1]]
		for y := top(i); y < top(i+1); y++ {
			first := starts[i] + len(list)
			p.rows[y] = int32(first)
			list = rowRuns(list, b.Row(y), int32(y))
			for j := first; j < starts[i]+len(list); j++ {
				l.parent[j] = int32(j)
			}
			if y > top(i) {
				l.join(p.rows[y-1], int32(first), int32(starts[i]+len(list)))
			}
		}
	})
	for i := range bands {
		if y := top(i); y > 0 && y < top(i+1) {
			l.join(p.rows[y-1], p.rows[y], p.rows[y+1])
		}
	}
	p.gather(l.parent, l.touches, l.shared)
	l.p = nil
	return p
}

// labeller joins runs into pieces. Euler's number of a piece is its runs less
// the touches between runs of neighbouring rows; one less it is the number of
// holes.
type labeller struct {
	p       *Pieces
	reach   int32   // 1 where runs also touch across a corner
	parent  []int32 // by run; a root is the lowest run of its piece
	touches []int32 // by run, touches with the row above
	shared  []int32 // by run, pixel sides shared with the row above
}

var labellers = sync.Pool{New: func() any { return new(labeller) }}

// ready makes place for n runs.
func (l *labeller) ready(p *Pieces, n int) {
	l.p = p
	for _, list := range []*[]int32{&l.parent, &l.touches, &l.shared} {
		if cap(*list) < n {
			*list = make([]int32, n+n/8)
		}
		*list = (*list)[:n]
		clear(*list)
	}
}

func (l *labeller) find(i int32) int32 {
	for l.parent[i] != i {
		l.parent[i] = l.parent[l.parent[i]]
		i = l.parent[i]
	}
	return i
}

// join joins the runs [first, last) of a row to those of the row above, which
// are [above, first).
func (l *labeller) join(above, first, last int32) {
	runs, j := l.p.runs, above
	for i := first; i < last; i++ {
		r := runs[i]
		for j < first && runs[j].x1+l.reach <= r.x0 {
			j++
		}
		for k := j; k < first && runs[k].x0 < r.x1+l.reach; k++ {
			l.touches[i]++
			l.shared[i] += max(0, min(r.x1, runs[k].x1)-max(r.x0, runs[k].x0))
			a, c := l.find(i), l.find(k)
			if a < c {
				l.parent[c] = a
			} else {
				l.parent[a] = c
			}
		}
	}
}

func (p *Pieces) gather(parent, touches, shared []int32) {
	roots := 0
	for i, q := range parent {
		if int(q) == i {
			roots++
		}
	}
	p.List = make([]Piece, 0, roots)
	for y := 0; y+1 < len(p.rows); y++ {
		for i := p.rows[y]; i < p.rows[y+1]; i++ {
			r := &p.runs[i]
			// A root is its piece's lowest run, so parents come before children.
			if root := parent[i]; root == i {
				r.piece = int32(len(p.List))
				p.List = append(p.List, Piece{X0: int(r.x0), Y0: y, X1: int(r.x1), Y1: y, SeedX: int(r.x0), SeedY: y, Holes: 1})
			} else {
				r.piece = p.runs[root].piece
			}
			c := &p.List[r.piece]
			c.Area += int(r.x1 - r.x0)
			c.X0, c.X1, c.Y1 = min(c.X0, int(r.x0)), max(c.X1, int(r.x1)), y+1
			c.Cracks += 2 + 2*int(r.x1-r.x0) - 2*int(shared[i])
			c.Holes += int(touches[i]) - 1
		}
	}
}

// runsOf returns the runs of piece i in reading order.
func (p *Pieces) runsOf(i int) []run {
	if p.starts == nil {
		p.starts = make([]int32, len(p.List)+1)
		for _, r := range p.runs {
			p.starts[r.piece+1]++
		}
		for i := range p.List {
			p.starts[i+1] += p.starts[i]
		}
		next := append([]int32(nil), p.starts...)
		p.sorted = takeRuns(len(p.runs))
		for _, r := range p.runs {
			p.sorted[next[r.piece]] = r
			next[r.piece]++
		}
	}
	return p.sorted[p.starts[i]:p.starts[i+1]]
}

// forget gives the memory of runsOf back: nothing that it returned may be in use.
func (p *Pieces) forget() {
	if list := p.sorted; list != nil {
		spareRuns.Put(&list)
	}
	p.starts, p.sorted = nil, nil
}

// spareRuns holds lists of runs that nobody uses: for a page they are megabytes.
var spareRuns sync.Pool

// takeRuns returns n runs that hold anything.
func takeRuns(n int) []run {
	if list, _ := spareRuns.Get().(*[]run); list != nil && cap(*list) >= n {
		return (*list)[:n]
	}
	return make([]run, n)
}

func (p *Pieces) row(y int) []run { return p.runs[p.rows[y]:p.rows[y+1]] }

// At returns the piece that holds pixel (x, y), or -1.
func (p *Pieces) At(x, y int) int {
	if y < 0 || y+1 >= len(p.rows) {
		return -1
	}
	row := p.row(y)
	lo, hi := 0, len(row)
	for lo < hi {
		m := (lo + hi) / 2
		if row[m].x1 <= int32(x) {
			lo = m + 1
		} else {
			hi = m
		}
	}
	if lo < len(row) && row[lo].x0 <= int32(x) {
		return int(row[lo].piece)
	}
	return -1
}

// fillRun sets or clears the pixels [x0, x1) of a row.
func fillRun(row []uint64, x0, x1 int, set bool) {
	for i := x0 >> 6; i <= (x1-1)>>6 && x0 < x1; i++ {
		m := ^uint64(0)
		if i == x0>>6 {
			m &= ^uint64(0) << (x0 & 63)
		}
		if i == (x1-1)>>6 {
			m &= ^uint64(0) >> (63 - (x1-1)&63)
		}
		if set {
			row[i] |= m
		} else {
			row[i] &^= m
		}
	}
}

// keep clears in b, of which p are the pieces, every piece that ok refuses.
func (p *Pieces) keep(b *Bits, ok []bool) {
	for y := 0; y < b.H; y++ {
		row := b.Row(y)
		for _, r := range p.row(y) {
			if !ok[r.piece] {
				fillRun(row, int(r.x0), int(r.x1), false)
			}
		}
	}
}

// without takes every piece that ok refuses off the list, as if what is left had
// been labelled anew.
func (p *Pieces) without(ok []bool) {
	number := make([]int32, len(p.List))
	list := p.List[:0]
	for i, c := range p.List {
		number[i] = int32(len(list))
		if ok[i] {
			list = append(list, c)
		}
	}
	p.List = list
	runs := p.runs[:0]
	for y := 0; y+1 < len(p.rows); y++ {
		row := p.row(y)
		p.rows[y] = int32(len(runs))
		for _, r := range row {
			if ok[r.piece] {
				r.piece = number[r.piece]
				runs = append(runs, r)
			}
		}
	}
	p.rows[len(p.rows)-1] = int32(len(runs))
	p.runs = runs
	p.forget()
}
