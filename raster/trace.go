package raster

import "slices"

// trace cuts what thinning left into arcs between ends: chains of pixels with
// at most two neighbours. Pixels with more are junctions; an arc that runs into
// one has it as its last point. counts is how many runs each row of s has.
func (p *partition) trace(s *Bits, counts []int32) {
	groups := labelCounted(s, !p.film, counts)
	stepsOf := 8
	if p.film {
		stepsOf = 4
	}
	found := make([][]arc, len(groups.List))
	inParallel(len(found), func(g int) {
		t := tracer{p: p, s: s, stepsOf: stepsOf}
		runs, done := groups.runsOf(g)
		defer done()
		t.group(runs, g)
		found[g] = t.arcs
	})
	groups.release()
	for _, arcs := range found {
		p.arcs = append(p.arcs, arcs...)
	}
}

type tracer struct {
	p       *partition
	s       *Bits
	stepsOf int // neighbours that count: 8 or 4
	seen    map[pixel]bool
	arcs    []arc
}

// joint describes a thinned pixel.
type joint struct {
	list  [8]pixel
	n     int  // how many of list there are
	thick bool // E is next to it
}

// next returns the thinned neighbours.
func (j *joint) next() []pixel { return j.list[:j.n] }

// look describes pixel q; 4-connected neighbours are every other.
func (t *tracer) look(q pixel) (j joint) {
	x, y := q.at(t.s.W)
	for n := 0; n < 8; n += 8 / t.stepsOf {
		X, Y := x+offX[n], y+offY[n]
		if t.s.Get(X, Y) {
			j.list[j.n] = pixel(Y*t.s.W + X)
			j.n++
		} else if t.p.e.Get(X, Y) {
			j.thick = true
		}
	}
	return j
}

func (j *joint) junction() bool { return j.n > 2 || j.n == 2 && j.thick }

func (t *tracer) group(runs []run, g int) {
	var pixels []pixel
	t.seen = map[pixel]bool{}
	for _, r := range runs {
		for x := r.x0; x < r.x1; x++ {
			pixels = append(pixels, pixel(r.y)*pixel(t.s.W)+pixel(x))
		}
	}
	add := func(a arc) {
		a.group = g
		t.arcs = append(t.arcs, a)
	}
	// Chains that end somewhere first, then what is left are rings.
	for _, q := range pixels {
		j := t.look(q)
		if t.seen[q] || j.junction() || j.n == 2 && !t.nextToJunction(j) {
			continue
		}
		add(t.walk(q, j))
	}
	for _, q := range pixels {
		j := t.look(q)
		if t.seen[q] || j.junction() {
			continue
		}
		a := t.walk(q, j)
		a.closed = true
		add(a)
	}
	// Two junctions side by side need no arc; a lone junction touching E on
	// all sides has no chain: it is an arc of its own.
	if len(pixels) == 1 && !t.seen[pixels[0]] {
		add(arc{path: pixels, from: endThick, to: endThick})
	}
}

func (t *tracer) nextToJunction(j joint) bool {
	return slices.ContainsFunc(j.next(), func(n pixel) bool { k := t.look(n); return k.junction() })
}

// walk follows a chain from its end pixel q.
func (t *tracer) walk(q pixel, j joint) arc {
	var a arc
	// What lies before q: a junction, E, or nothing.
	a.from = endTip
	at := -1
	for i, n := range j.next() {
		if k := t.look(n); k.junction() {
			a.from, at = endJunction, i
			a.path = append(a.path, n)
			break
		}
	}
	if a.from == endTip && j.thick && j.n < 2 {
		a.from = endThick
	}
	prev := pixel(-1)
	if at >= 0 {
		prev = j.list[at]
	}
	first := q
	for {
		a.path = append(a.path, q)
		t.seen[q] = true
		next := pixel(-1)
		for _, n := range j.next() {
			if n != prev && n != first {
				next = n
			}
		}
		if next < 0 || t.seen[next] {
			a.to = endTip
			if j.thick && (q != first || j.n == 0 || a.from == endJunction) {
				a.to = endThick
			}
			return a
		}
		k := t.look(next)
		if k.junction() {
			a.to = endJunction
			a.path = append(a.path, next)
			return a
		}
		prev, q, j = q, next, k
	}
}
