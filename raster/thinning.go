package raster

import "sync"

// Thinning: pixels are taken off a plane from the north, south, west and east
// by turns as long as each is simple, that is, as long as taking it off joins
// or parts nothing; pinned pixels stay. What is left beyond the pinned ones are
// the arcs that join pinned to pinned, and the loops. Taking all simple pixels
// of one side off at once keeps the topology (Rosenfeld, A characterization of
// parallel thinning algorithms, Information and Control 29 (1975) 286; from
// memory); only a piece of two pixels with no pinned one may vanish.
//
// Simple is Yokoi's number = 1, for 64 pixels at a time: with neighbours
// e0..e7 counted round from the east, the sum over the four side neighbours of
// (a - a b c), a the neighbour (4-connected) or its complement (8-connected),
// b and c the next two on, likewise.

// thinner works on the words in which something can still go.
type thinner struct {
	s, pin *Bits
	eight  bool
	active []int32 // words to look at, ascending
	queued []bool  // by word
	del    []uint64
}

// thin takes off s, in place, what can go. pin must be a subset of s, or nil.
func thin(s, pin *Bits, eight bool) {
	t := &thinner{s: s, pin: pin, eight: eight, queued: make([]bool, len(s.Words))}
	for i, w := range s.Words {
		if w&^t.pinned(i) != 0 {
			t.active = append(t.active, int32(i))
			t.queued[i] = true
		}
	}
	for len(t.active) > 0 {
		t.round()
	}
}

func (t *thinner) pinned(i int) uint64 {
	if t.pin == nil {
		return 0
	}
	return t.pin.Words[i]
}

// round takes one layer off each of the four sides, then keeps the words that
// changed and their neighbours.
func (t *thinner) round() {
	if cap(t.del) < len(t.active) {
		t.del = make([]uint64, len(t.active))
	}
	changed := make([]uint8, len(t.active))
	for side := range 4 {
		del := t.del[:len(t.active)]
		t.each(func(lo, hi int) {
			for j, i := range t.active[lo:hi] {
				del[lo+j] = t.simple(int(i), side)
			}
		})
		for j, i := range t.active {
			if del[j] != 0 {
				t.s.Words[i] &^= del[j]
				changed[j] = 1
			}
		}
	}
	t.wake(changed)
}

// wake makes the changed words and their neighbours the active ones.
func (t *thinner) wake(changed []uint8) {
	for _, i := range t.active {
		t.queued[i] = false
	}
	old := t.active
	var next []int32
	st := int32(t.s.Stride)
	for j, i := range old {
		if changed[j] == 0 {
			continue
		}
		for _, d := range [9]int32{-st - 1, -st, -st + 1, -1, 0, 1, st - 1, st, st + 1} {
			n := i + d
			if n < 0 || int(n) >= len(t.queued) || t.queued[n] || t.s.Words[n]&^t.pinned(int(n)) == 0 {
				continue
			}
			t.queued[n] = true
			next = append(next, n)
		}
	}
	t.active = next
}

// each cuts the active words in two for the two halves to be looked at in
// parallel; looking writes nothing that the other half reads.
func (t *thinner) each(fn func(lo, hi int)) {
	n := len(t.active)
	if n < 4096 {
		fn(0, n)
		return
	}
	var wg sync.WaitGroup
	wg.Go(func() { fn(0, n/2) })
	fn(n/2, n)
	wg.Wait()
}

// simple returns the pixels of word i that are not pinned, have nothing on the
// given side (0 north, 1 south, 2 west, 3 east), and are simple.
func (t *thinner) simple(i, side int) uint64 {
	words, stride := t.s.Words, t.s.Stride
	w := words[i]
	cand := w
	if t.pin != nil {
		cand &^= t.pin.Words[i]
	}
	if cand == 0 {
		return 0
	}
	// The words round it; beyond the plane nothing is set.
	var n, so, west, east, ul, ur, dl, dr uint64
	x := i % stride
	first, last := x == 0, x == stride-1
	if up := i - stride; up >= 0 {
		n = words[up]
		if !first {
			ul = words[up-1] >> 63
		}
		if !last {
			ur = words[up+1] << 63
		}
	}
	if dn := i + stride; dn < len(words) {
		so = words[dn]
		if !first {
			dl = words[dn-1] >> 63
		}
		if !last {
			dr = words[dn+1] << 63
		}
	}
	if !first {
		west = words[i-1] >> 63
	}
	if !last {
		east = words[i+1] << 63
	}
	we, ea := w<<1|west, w>>1|east
	switch side {
	case 0:
		cand &^= n
	case 1:
		cand &^= so
	case 2:
		cand &^= we
	case 3:
		cand &^= ea
	}
	if cand == 0 {
		return 0
	}
	nw, ne := n<<1|ul, n>>1|ur
	sw, se := so<<1|dl, so>>1|dr
	if t.eight {
		n, ne, ea, se, so, sw, we, nw = ^n, ^ne, ^ea, ^se, ^so, ^sw, ^we, ^nw
	}
	t1, t2, t3, t4 := ea&^(ne&n), n&^(nw&we), we&^(sw&so), so&^(se&ea)
	one := t1 | t2
	more := t1 & t2
	more |= one & t3
	one |= t3
	more |= one & t4
	one |= t4
	return cand & one &^ more
}
