package raster

import (
	"math"
	"slices"
	"sync"
)

// centreLines remembers the centre lines found on one side of a grid. A line narrower
// than two discs is thinned to the same course under either, pixel for pixel, and only how
// its widths are averaged goes by the limit: the rings and rails of a drawing are met again
// under limit after limit. (Short courses gain nothing by it.) What is not met again under
// the next is forgotten. A nil one remembers nothing.
type centreLines struct {
	mu          sync.Mutex
	now, before map[courseKey]*centreLine
	size        int // of now, in bytes
}

// courseKey is what courses are told apart by at first sight.
type courseKey struct {
	first, last Point
	n           int

	closed, tipStart, tipEnd bool
}

// centreLine is the path of a course, and the strand found along it, in the coordinates of the sampler
// (which begin at winX, winY).
type centreLine struct {
	path        []Point
	winX, winY  int
	k           strand // its slices are its own
	blur, reach float64
	seen        seenTo
	chord       chordSeen
}

// seenTo is how far away from a centre line its measuring looked.
type seenTo struct {
	limit float64 // that it was looked under: no farther
	far   float64 // the farthest found
	none  bool    // somewhere there was no end within the limit
}

// under reports whether looking under another limit sees the same.
func (s seenTo) under(limit float64) bool {
	return s.far <= limit && (limit <= s.limit || !s.none)
}

// chordSeen is the shortest chord along a centre line: under most, chord px long; infinite
// when there was none.
type chordSeen struct {
	looked      bool
	most, chord float64
	at, dir     Point
}

// under returns the shortest chord under most, if that is known. None longer than farthest,
// but for a step, would have been found.
func (s chordSeen) under(most, farthest float64) (chordSeen, bool) {
	switch {
	case !s.looked:
		return s, false
	case math.IsInf(s.chord, 1):
		return s, min(most, farthest+chordStride) <= s.most
	case s.chord >= most:
		s.chord = math.Inf(1)
		return s, true
	}
	return s, s.chord <= farthest
}

const (
	// againLeast is how long a course must be to be remembered, in places of its path.
	againLeast = 48
	// againMost bounds what is remembered of a measuring on one side of one grid, in bytes;
	// two measurings, two sides and two grids are kept.
	againMost = 16 << 20
)

// next says that the measuring for another limit begins.
func (a *centreLines) next() {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.now, a.before, a.size = map[courseKey]*centreLine{}, a.now, 0
}

func keyOf(c Course) courseKey {
	return courseKey{c.Path[0], c.Path[len(c.Path)-1], len(c.Path), c.Closed, c.TipStart, c.TipEnd}
}

// get returns what is known of a course, if looking under the limit would see the same.
// (Whether it is tight only short ones are asked, and they are not remembered.)
func (a *centreLines) get(c Course, f *sampler, limit float64) *centreLine {
	if a == nil || len(c.Path) < againLeast {
		return nil
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	key := keyOf(c)
	l := a.now[key]
	if l == nil {
		l = a.before[key]
	}
	if l == nil || l.winX != f.winX || l.winY != f.winY || !l.seen.under(limit) || !slices.Equal(l.path, c.Path) {
		return nil
	}
	a.keep(key, l)
	return l
}

// keep keeps what is known of a course for the next limit.
func (a *centreLines) keep(key courseKey, l *centreLine) {
	const perPlace, perStation = 16, 80
	if a.now == nil || a.now[key] == l {
		return
	}
	if n := perPlace*len(l.path) + perStation*len(l.k.p); a.size+n <= againMost {
		a.size += n
		a.now[key] = l
	}
}

// put remembers the strand found along a course, and returns what is remembered; nil when
// nothing is.
func (a *centreLines) put(c Course, k *strand, m *measurer) *centreLine {
	if a == nil || len(c.Path) < againLeast || k == nil || k.straight {
		return nil
	}
	l := &centreLine{path: c.Path, winX: m.f.winX, winY: m.f.winY, k: *k, blur: m.blur, reach: m.reach, seen: m.f.seen}
	l.seen.limit = m.limit
	l.k.p, l.k.dir, l.k.st = slices.Clone(k.p), slices.Clone(k.dir), slices.Clone(k.st)
	a.mu.Lock()
	defer a.mu.Unlock()
	a.keep(keyOf(c), l)
	return l
}

// strand returns the strand, its stations a copy, for finding the narrowest drops some.
func (l *centreLine) strand(m *measurer) *strand {
	k := l.k
	k.st = m.scratch.ofStations(len(l.k.st))
	copy(k.st, l.k.st)
	m.blur, m.reach = l.blur, l.reach
	return &k
}
