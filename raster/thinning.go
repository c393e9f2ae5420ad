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
	active []int32  // words to look at, ascending
	queued []bool   // by word
	del    []uint64 // by active word: what goes from the side at hand
	gone   []uint64 // by active word: what went in this round
	next   []int32
}

// thin takes off s, in place, what can go. pin must be a subset of s, or nil.
func thin(s, pin *Bits, eight bool) {
	t := &thinner{s: s, pin: pin, eight: eight, queued: make([]bool, len(s.Words))}
	if pin == nil {
		t.pin = NewBits(s.W, s.H)
	}
	for i, w := range s.Words {
		if w&^t.pin.Words[i] != 0 {
			t.active = append(t.active, int32(i))
			t.queued[i] = true
		}
	}
	for len(t.active) > 0 {
		t.round()
	}
}

// round takes one layer off each of the four sides, then keeps the words that
// changed and their neighbours.
func (t *thinner) round() {
	n := len(t.active)
	if cap(t.del) < n {
		t.del, t.gone = make([]uint64, n+n/4), make([]uint64, n+n/4)
	}
	gone := t.gone[:n]
	clear(gone)
	for side := range 4 {
		del := t.del[:n]
		t.each(func(lo, hi int) { t.simple(del[lo:hi], t.active[lo:hi], side) })
		t.each(func(lo, hi int) {
			for j := lo; j < hi; j++ {
				if d := del[j]; d != 0 {
					t.s.Words[t.active[j]] &^= d
					gone[j] |= d
				}
			}
		})
	}
	t.wake(gone)
}

// wake makes the changed words and those next to what went from them the active
// ones: above and below, and beside where it was the first or the last pixel.
func (t *thinner) wake(gone []uint64) {
	for _, i := range t.active {
		t.queued[i] = false
	}
	next := t.next[:0]
	st := int32(t.s.Stride)
	add := func(n int32) {
		if n < 0 || int(n) >= len(t.queued) || t.queued[n] || t.s.Words[n]&^t.pin.Words[n] == 0 {
			return
		}
		t.queued[n] = true
		next = append(next, n)
	}
	for j, i := range t.active {
		d := gone[j]
		if d == 0 {
			continue
		}
		add(i - st)
		add(i)
		add(i + st)
		if d&1 != 0 {
			add(i - st - 1)
			add(i - 1)
			add(i + st - 1)
		}
		if d>>63 != 0 {
			add(i - st + 1)
			add(i + 1)
			add(i + st + 1)
		}
	}
	t.active, t.next = next, t.active
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

// simple writes to del, for each of the words of list, the pixels that are not
// pinned, have nothing on the given side (0 north, 1 south, 2 west, 3 east), and
// are simple. Beyond the plane nothing is set.
func (t *thinner) simple(del []uint64, list []int32, side int) {
	words, pins, stride := t.s.Words, t.pin.Words, t.s.Stride
	del = del[:len(list)]
	for j, at := range list {
		i := int(at)
		w := words[i]
		cand := w &^ pins[i]
		x := i % stride
		first, last := x == 0, x == stride-1
		// What lies on the side first: most words have nothing to lose there.
		switch side {
		case 0:
			if i >= stride {
				cand &^= words[i-stride]
			}
		case 1:
			if i+stride < len(words) {
				cand &^= words[i+stride]
			}
		case 2:
			cand &^= w << 1
			if cand&1 != 0 && !first {
				cand &^= words[i-1] >> 63
			}
		case 3:
			cand &^= w >> 1
			if cand>>63 != 0 && !last {
				cand &^= words[i+1] << 63
			}
		}
		if cand == 0 {
			del[j] = 0
			continue
		}
		var n, so, west, east, ul, ur, dl, dr uint64
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
		del[j] = cand & one &^ more
	}
}
