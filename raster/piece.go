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
	// Each piece's runs by their numbers, in reading order: the first, and after
	// each the next, below 0 after the last.
	first, next []int32
}

// rowRuns appends the runs of a row to list. Words that go on as the one before
// ended are passed at a glance: of most rows most are.
func rowRuns(list []run, row []uint64, y int32) []run {
	open, same := int32(-1), uint64(0) // where a run began; a word that changes nothing
	for i, w := range row {
		if w == same {
			continue
		}
		base := int32(i << 6)
		if open >= 0 {
			n := bits.TrailingZeros64(^w)
			list = append(list, run{x0: open, x1: base + int32(n), y: y})
			open, same = -1, 0
			w &^= 1<<n - 1
		}
		for w != 0 {
			s := bits.TrailingZeros64(w)
			n := bits.TrailingZeros64(^(w >> s))
			if s+n >= 64 {
				open, same = base+int32(s), ^uint64(0)
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

// eachGap calls fn for the gaps of row y, w pixels wide, between the runs of the
// pieces of p that ok accepts, nil for all.
func (p *Pieces) eachGap(y, w int, ok []bool, fn func(x0, x1 int32)) {
	x := int32(0)
	for _, r := range p.row(y) {
		if ok != nil && !ok[r.piece] {
			continue
		}
		if r.x0 > x {
			fn(x, r.x0)
		}
		x = r.x1
	}
	if x < int32(w) {
		fn(x, int32(w))
	}
}

// runsIn returns how many runs a row has: set pixels with a clear one on their left.
func runsIn(row []uint64) (n int32) {
	same := uint64(0) // a word that changes nothing
	for _, w := range row {
		if w != same {
			n += int32(bits.OnesCount64(w &^ (w<<1 | same>>63)))
			same = -(w >> 63)
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
func Label(b *Bits, eight bool) *Pieces { return labelIn(b, eight, nil, labelBands(b.H)) }

// labelCounted is Label where it is known how many runs each row has.
func labelCounted(b *Bits, eight bool, counts []int32) *Pieces {
	return labelIn(b, eight, counts, labelBands(b.H))
}

// labelBands is in how many bands so many rows are labelled.
func labelBands(h int) int { return max(1, min(bandsEach*runtime.GOMAXPROCS(0), h/labelBand)) }

// bandsEach is how many bands a processor has to label: ink lies unevenly.
const bandsEach = 4

func labelIn(b *Bits, eight bool, counts []int32, bands int) *Pieces {
	return labelRows(b.H, eight, bands,
		func(y0, y1 int) (n int32) {
			for y := y0; y < y1; y++ {
				if counts != nil {
					n += counts[y]
				} else {
					n += runsIn(b.Row(y))
				}
			}
			return n
		},
		func(list []run, y int) []run { return rowRuns(list, b.Row(y), int32(y)) })
}

// gaps labels what the pieces of p that ok accepts, nil for all, leave of their
// plane, w pixels wide: what Label gives for its complement.
func (p *Pieces) gaps(w int, ok []bool, eight bool) *Pieces {
	h := len(p.rows) - 1
	return labelRows(h, eight, labelBands(h),
		func(y0, y1 int) (n int32) {
			for y := y0; y < y1; y++ {
				p.eachGap(y, w, ok, func(int32, int32) { n++ })
			}
			return n
		},
		func(list []run, y int) []run {
			p.eachGap(y, w, ok, func(x0, x1 int32) { list = append(list, run{x0: x0, x1: x1, y: int32(y)}) })
			return list
		})
}

// labelRows labels h rows in bands. count tells how many runs rows y0 to y1 have,
// and add appends those of one.
func labelRows(h int, eight bool, bands int, count func(y0, y1 int) int32, add func(list []run, y int) []run) *Pieces {
	top := func(i int) int { return h * i / bands }
	starts := make([]int32, bands+1)
	inParallel(bands, func(i int) { starts[i+1] = count(top(i), top(i+1)) })
	for i := range bands {
		starts[i+1] += starts[i]
	}
	n := starts[bands]
	p := &Pieces{rows: make([]int32, h+1)}
	p.rows[h] = n
	l := labellers.Get().(*labeller)
	defer labellers.Put(l)
	inParallel(2, func(i int) { // fresh memory has to be cleared
		if i == 0 {
			p.runs = takeRuns(int(n))
		} else {
			p.next = make([]int32, n)
			l.ready(int(n))
		}
	})
	l.p, l.reach = p, 0
	if eight {
		l.reach = 1
	}
	inParallel(bands, func(i int) {
		l.start(starts[i], starts[i+1])
		list := p.runs[starts[i]:starts[i]:starts[i+1]]
		for y := top(i); y < top(i+1); y++ {
			first := starts[i] + int32(len(list))
			p.rows[y] = first
			list = add(list, y)
			if y > top(i) {
				l.join(p.rows[y-1], first, starts[i]+int32(len(list)))
			}
		}
	})
	for i := range bands {
		if y := top(i); y > 0 && y < top(i+1) {
			l.join(p.rows[y-1], p.rows[y], p.rows[y+1])
		}
	}
	l.gather(starts)
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
func (l *labeller) ready(n int) {
	for _, list := range []*[]int32{&l.parent, &l.touches, &l.shared} {
		if cap(*list) < n {
			*list = make([]int32, n+n/8)
		}
		*list = (*list)[:n]
	}
}

// start makes the runs [from, to) pieces of their own.
func (l *labeller) start(from, to int32) {
	clear(l.touches[from:to])
	clear(l.shared[from:to])
	for i := from; i < to; i++ {
		l.parent[i] = i
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

// gather lists the pieces and numbers the runs by them, band i of the runs being
// [starts[i], starts[i+1]). Each band by itself numbers its roots, which are in the
// order of the pieces; then it adds up what it has of its own pieces in the list, and
// of those that begin in a band above in a list beside it.
func (l *labeller) gather(starts []int32) {
	p, bands := l.p, len(starts)-1
	firsts := make([]int32, bands+1) // the first piece that begins in each
	inParallel(bands, func(i int) {
		n := int32(0)
		for r := starts[i]; r < starts[i+1]; r++ {
			if l.parent[r] == r {
				p.runs[r].piece = n
				n++
			}
		}
		firsts[i+1] = n
	})
	for i := range bands {
		firsts[i+1] += firsts[i]
	}
	p.List, p.first = make([]Piece, firsts[bands]), make([]int32, firsts[bands])
	last := make([]int32, firsts[bands]) // run of each piece so far
	type part struct {
		Piece
		root        int32 // of all of it, a run
		first, last int32
	}
	guests := make([][]part, bands) // of pieces that begin above the band
	inParallel(bands, func(i int) {
		slots := map[int32]int32{} // of guests, by root
		for r := starts[i]; r < starts[i+1]; r++ {
			q := &p.runs[r]
			// The parent comes before the run; of one in this band the piece is known:
			// its number, or below 0 the slot of the guest.
			switch parent := l.parent[r]; {
			case parent == r:
				q.piece += firsts[i]
				p.first[q.piece], last[q.piece] = r, r
				p.List[q.piece] = Piece{X0: int(q.x0), Y0: int(q.y), X1: int(q.x1), Y1: int(q.y), SeedX: int(q.x0), SeedY: int(q.y), Holes: 1}
			case parent >= starts[i]:
				q.piece = p.runs[parent].piece
			default:
				for l.parent[parent] != parent {
					parent = l.parent[parent]
				}
				slot, ok := slots[parent]
				if !ok {
					slot = int32(len(guests[i]))
					slots[parent] = slot
					guests[i] = append(guests[i], part{Piece{X0: int(q.x0), X1: int(q.x1)}, parent, r, r})
				}
				q.piece = ^slot
			}
			var c *Piece
			var before *int32
			if q.piece < 0 {
				g := &guests[i][^q.piece]
				c, before = &g.Piece, &g.last
			} else {
				c, before = &p.List[q.piece], &last[q.piece]
			}
			p.next[*before], p.next[r] = r, -1
			*before = r
			c.Area += int(q.x1 - q.x0)
			c.X0, c.X1, c.Y1 = min(c.X0, int(q.x0)), max(c.X1, int(q.x1)), int(q.y)+1
			c.Cracks += 2 + 2*int(q.x1-q.x0) - 2*int(l.shared[r])
			c.Holes += int(l.touches[r]) - 1
		}
	})
	for _, list := range guests {
		for k := range list {
			g := &list[k]
			g.root = p.runs[g.root].piece // its number from here on
			c := &p.List[g.root]
			p.next[last[g.root]], last[g.root] = g.first, g.last
			c.Area += g.Area
			c.X0, c.X1, c.Y1 = min(c.X0, g.X0), max(c.X1, g.X1), g.Y1
			c.Cracks += g.Cracks
			c.Holes += g.Holes
		}
	}
	inParallel(bands, func(i int) {
		if len(guests[i]) == 0 {
			return
		}
		for r := starts[i]; r < starts[i+1]; r++ {
			if q := &p.runs[r]; q.piece < 0 {
				q.piece = guests[i][^q.piece].root
			}
		}
	})
}

// appendRuns appends the runs of piece i to list, in reading order.
func (p *Pieces) appendRuns(list []run, i int) []run {
	for r := p.first[i]; r >= 0; r = p.next[r] {
		list = append(list, p.runs[r])
	}
	return list
}

// runsOf returns the runs of piece i in reading order. The caller calls done when
// it has finished with them.
func (p *Pieces) runsOf(i int) (list []run, done func()) {
	keep := runLists.Get().(*[]run)
	*keep = p.appendRuns((*keep)[:0], i)
	return *keep, func() { runLists.Put(keep) }
}

var runLists = sync.Pool{New: func() any { return new([]run) }}

// release gives the memory of the runs back, after which nothing but the list is
// to be used.
func (p *Pieces) release() {
	list := p.runs
	spareRuns.Put(&list)
	p.runs, p.rows, p.first, p.next = nil, nil, nil, nil
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
	bands(b.H, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			row := b.Row(y)
			for _, r := range p.row(y) {
				if !ok[r.piece] {
					fillRun(row, int(r.x0), int(r.x1), false)
				}
			}
		}
	})
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
	p.link()
}

// link finds each piece's runs anew.
func (p *Pieces) link() {
	p.first, p.next = p.first[:len(p.List)], p.next[:len(p.runs)]
	for i := range p.first {
		p.first[i] = -1
	}
	for r := len(p.runs) - 1; r >= 0; r-- {
		first := &p.first[p.runs[r].piece]
		p.next[r], *first = *first, int32(r)
	}
}
