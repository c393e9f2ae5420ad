package raster

import "sync"

// scratch lends the slices that the measuring of one course needs and drops, so
// that thousands of courses do not each ask the heap for them. What it lends is
// zeroed, and cut so that appending beyond its capacity does not run into the
// next. A nil scratch lends from the heap.
type scratch struct {
	points   shelf[Point]
	stations shelf[station]
	floats   shelf[float64]
}

var scratches = sync.Pool{New: func() any { return new(scratch) }}

// borrow returns a scratch; the caller calls done when nothing lent is in use any
// more.
func borrow() (s *scratch, done func()) {
	s = scratches.Get().(*scratch)
	return s, func() {
		s.points.used, s.stations.used, s.floats.used = 0, 0, 0
		scratches.Put(s)
	}
}

func (s *scratch) ofPoints(n int) []Point {
	if s == nil {
		return make([]Point, n)
	}
	return s.points.lend(n)
}

func (s *scratch) ofStations(n int) []station {
	if s == nil {
		return make([]station, n)
	}
	return s.stations.lend(n)
}

func (s *scratch) ofFloats(n int) []float64 {
	if s == nil {
		return make([]float64, n)
	}
	return s.floats.lend(n)
}

// shelf is a slice lent piece by piece.
type shelf[T any] struct {
	all  []T
	used int
}

func (s *shelf[T]) lend(n int) []T {
	if s.used+n > len(s.all) {
		// What is lent already stays where it is.
		s.all, s.used = make([]T, max(2*len(s.all), n, 256)), 0
	}
	out := s.all[s.used : s.used+n : s.used+n]
	s.used += n
	clear(out)
	return out
}
