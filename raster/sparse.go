package raster

import (
	"math"
	"math/bits"
	"sync"
)

// sparse is a piece by the words, 64 pixels side by side each, that hold any of it, and
// which lie beside which: thinning it costs what the piece covers, however large its box is,
// and no looking for what is left to do. Word 0 stands for all around, which is clear.
type sparse struct {
	words, pins []uint64
	near        [][8]int32 // the word to the east, north-east, north, .. of each, see offX
	x, y        []int32    // of each word, x in words
	y0          int32
	rows        []int32 // words of row y0+i: rows[i] up to rows[i+1]

	whole        []uint64 // the words as they were
	grown        []uint64 // and as they grow again
	gone, went   []uint64
	active, next []int32
	listed       []bool // those in next
}

var sparses = sync.Pool{New: func() any { return new(sparse) }}

// newSparse takes a piece by its runs, in reading order. The caller calls done when it has
// finished with it.
func newSparse(runs []run) (s *sparse, done func()) {
	s = sparses.Get().(*sparse)
	s.words, s.x, s.y = append(s.words[:0], 0), append(s.x[:0], math.MinInt32), append(s.y[:0], math.MinInt32)
	s.y0, s.rows = runs[0].y, s.rows[:0]
	for _, r := range runs {
		for i := r.x0 >> 6; i <= (r.x1-1)>>6; i++ {
			last := len(s.words) - 1
			if s.y[last] != r.y || s.x[last] != i {
				for int(r.y-s.y0) >= len(s.rows) {
					s.rows = append(s.rows, int32(len(s.words)))
				}
				s.words, s.x, s.y = append(s.words, 0), append(s.x, i), append(s.y, r.y)
				last++
			}
			from, to := max(r.x0, i<<6)&63, min(r.x1-1, i<<6+63)&63
			s.words[last] |= ^uint64(0) << from & (^uint64(0) >> (63 - to))
		}
	}
	s.rows = append(s.rows, int32(len(s.words)))
	n := len(s.words)
	s.pins, s.gone, s.went = zeroed(s.pins, n), zeroed(s.gone, n), zeroed(s.went, n)
	s.whole = append(s.whole[:0], s.words...)
	s.near, s.listed = zeroed(s.near, n), zeroed(s.listed, n)
	s.link()
	return s, func() { sparses.Put(s) }
}

// zeroed returns n zeros, in the room of a where that is enough.
func zeroed[T any](a []T, n int) []T {
	if cap(a) < n {
		return make([]T, n)
	}
	a = a[:n]
	clear(a)
	return a
}

// link finds out which words lie beside which.
func (s *sparse) link() {
	const east, northEast, north, northWest, west, southWest, south, southEast = 0, 1, 2, 3, 4, 5, 6, 7
	for row := range len(s.rows) - 1 {
		lo, hi := s.rows[row], s.rows[row+1]
		above := lo // the words of the row above are before
		if row > 0 {
			above = s.rows[row-1]
		}
		for i := lo; i < hi; i++ {
			x := s.x[i]
			if i > lo && s.x[i-1] == x-1 {
				s.near[i][west], s.near[i-1][east] = i-1, i
			}
			for above < lo && s.x[above] < x-1 {
				above++
			}
			for j := above; j < lo && s.x[j] <= x+1; j++ {
				switch s.x[j] {
				case x - 1:
					s.near[i][northWest], s.near[j][southEast] = j, i
				case x:
					s.near[i][north], s.near[j][south] = j, i
				case x + 1:
					s.near[i][northEast], s.near[j][southWest] = j, i
				}
			}
		}
	}
}

// pin holds pixel (x, y), which is the piece's.
func (s *sparse) pin(x, y int) {
	lo, hi := s.rows[int32(y)-s.y0], s.rows[int32(y)-s.y0+1]
	for at := int32(x >> 6); lo < hi; {
		if m := (lo + hi) / 2; s.x[m] < at {
			lo = m + 1
		} else {
			hi = m
		}
	}
	s.pins[lo] |= 1 << (x & 63)
}

// thin is thinIn, of the piece.
func (s *sparse) thin(eight bool) {
	s.active = s.active[:0]
	for i := 1; i < len(s.words); i++ {
		if s.words[i]&^s.pins[i] != 0 {
			s.active = append(s.active, int32(i))
		}
	}
	for len(s.active) > 0 {
		for side := range 4 {
			for _, i := range s.active {
				s.gone[i] = s.simple(int(i), side, eight)
			}
			for _, i := range s.active {
				s.words[i] &^= s.gone[i]
				s.went[i] |= s.gone[i]
			}
		}
		// What comes next are those that changed, their neighbours above and below,
		// and those beside where the first or the last pixel of a word went.
		s.next = s.next[:0]
		for _, i := range s.active {
			went := s.went[i]
			if went == 0 {
				continue
			}
			s.went[i] = 0
			n := &s.near[i]
			s.list(i, n[2], n[6])
			if went&1 != 0 {
				s.list(n[3], n[4], n[5])
			}
			if went>>63 != 0 {
				s.list(n[1], n[0], n[7])
			}
		}
		for _, i := range s.next {
			s.listed[i] = false
		}
		s.active, s.next = s.next, s.active
	}
}

// list lists words for the next round in which something may still go.
func (s *sparse) list(words ...int32) {
	for _, i := range words {
		if !s.listed[i] && s.words[i]&^s.pins[i] != 0 {
			s.listed[i] = true
			s.next = append(s.next, i)
		}
	}
}

// simple returns which pixels of a word are not pinned, have nothing on the given side, and
// are simple.
func (s *sparse) simple(i, side int, eight bool) uint64 {
	here, near := s.words[i], &s.near[i]
	cand := here &^ s.pins[i]
	if cand == 0 {
		return 0
	}
	n, so := s.words[near[2]], s.words[near[6]]
	ea, we := here>>1|s.words[near[0]]<<63, here<<1|s.words[near[4]]>>63
	ne, nw := n>>1|s.words[near[1]]<<63, n<<1|s.words[near[3]]>>63
	se, sw := so>>1|s.words[near[7]]<<63, so<<1|s.words[near[5]]>>63
	return simpleOn(side, cand, eight, ne, n, nw, ea, we, se, so, sw)
}

// pixels calls fn for each pixel, in reading order.
func (s *sparse) pixels(fn func(x, y int)) {
	for i := 1; i < len(s.words); i++ {
		for w := s.words[i]; w != 0; w &= w - 1 {
			fn(int(s.x[i])<<6+bits.TrailingZeros64(w), int(s.y[i]))
		}
	}
}

// within is within, of the piece: whether it is certain that steps together shorter than
// reach lead from what is left of it to all of it.
func (s *sparse) within(eight bool, reach float64) bool {
	const short = 1e-3 // see within
	s.active, s.grown = s.active[:0], append(s.grown[:0], s.words...)
	for i := 1; i < len(s.words); i++ {
		if s.words[i] != s.whole[i] {
			s.active = append(s.active, int32(i))
		}
	}
	left := reach - short
	for ; eight && left > math.Sqrt2 && len(s.active) > 0; left -= math.Sqrt2 {
		s.grow(true)
	}
	for ; left > 1 && len(s.active) > 0; left-- {
		s.grow(false)
	}
	return len(s.active) == 0
}

// grow grows what is left by a pixel, in the words in which it is not all yet.
func (s *sparse) grow(across bool) {
	for _, i := range s.active {
		near := &s.near[i]
		n, so := s.grown[near[2]], s.grown[near[6]]
		here, e, w := s.grown[i], s.grown[near[0]], s.grown[near[4]]
		grown := n | here | so
		if across {
			e |= s.grown[near[1]] | s.grown[near[7]]
			w |= s.grown[near[3]] | s.grown[near[5]]
			here = grown
		}
		s.gone[i] = (grown | here<<1 | here>>1 | e<<63 | w>>63) & s.whole[i]
	}
	rest := s.active[:0]
	for _, i := range s.active {
		if s.grown[i] = s.gone[i]; s.grown[i] != s.whole[i] {
			rest = append(rest, i)
		}
	}
	s.active = rest
}
