package raster

import (
	"math/bits"
	"runtime"
)

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
	rims   *Bits    // a bit a word: it is to be looked at first; nil: all are
	went   *Bits    // a bit a word: it changed, or what went from the one beside it touched it
	active []int32  // words to look at, ascending
	lo, hi int      // rows [lo, hi) have all of them
	rows   []int32  // those of row y between: active[rows[y]:rows[y+1]]
	gone   []uint64 // of each active word what went in this round
	works  []*sweep // one for each band of rows
	lists  [][]int32
}

// thinIn takes off s, in place, what can go, in that many bands; 0 leaves it to the work and
// the processors. pin must be a subset of s. rims tells, a bit a word, in which words s may
// have more than pin; nil: in all.
func thinIn(s, pin *Bits, eight bool, rims *Bits, bands int) {
	if s.W == 0 || s.H == 0 {
		return
	}
	if bands == 0 && s.Stride == 1 {
		thinNarrow(s, pin, eight)
		return
	}
	t := &thinner{s: s, pin: pin, eight: eight, rims: rims, hi: s.H, rows: make([]int32, s.H+1)}
	for t.gather(); len(t.active) > 0; t.gather() {
		t.round(bands)
	}
}

// thinNarrow is thin for a plane of up to 64 pixels across: a word a row, each side
// in one go, and nothing to be kept about which words are worth a look.
func thinNarrow(s, pin *Bits, eight bool) {
	rows, pins := s.Words, pin.Words
	for changed := true; changed; {
		changed = false
		for side := range 4 {
			above := uint64(0) // as it was before this side
			for y, here := range rows {
				below := uint64(0)
				if y+1 < len(rows) {
					below = rows[y+1]
				}
				if here&^pins[y] != 0 {
					gone := simpleOn(side, here&^pins[y], eight,
						above>>1, above, above<<1, here>>1, here<<1, below>>1, below, below<<1)
					rows[y] &^= gone
					changed = changed || gone != 0
				}
				above = here
			}
		}
	}
}

// gather lists the words in which something is not pinned: in the first round
// all of them, then those that changed, their neighbours above and below, and
// those beside where the first or the last pixel of a word went.
func (t *thinner) gather() {
	s := t.s
	first := t.went == nil
	if first {
		t.went = NewBits(s.Stride, s.H)
	}
	a, z := max(0, t.lo-1), min(s.H, t.hi+1)
	n := max(1, min(runtime.GOMAXPROCS(0), (z-a)/64))
	top := func(band int) int { return a + (z-a)*band/n }
	for len(t.lists) < n {
		t.lists = append(t.lists, nil)
	}
	inParallel(n, func(band int) {
		list := t.lists[band][:0]
		add := func(i int) {
			if s.Words[i]&^t.pin.Words[i] != 0 {
				list = append(list, int32(i))
			}
		}
		for y := top(band); y < top(band+1); y++ {
			t.rows[y] = int32(len(list))
			if first && t.rims == nil {
				for i := y * s.Stride; i < (y+1)*s.Stride; i++ {
					add(i)
				}
				continue
			}
			up, mid, dn := t.went.Row(max(0, y-1)), t.went.Row(y), t.went.Row(min(s.H-1, y+1))
			if first {
				mid = t.rims.Row(y) // and nothing has gone yet
			}
			for i := range mid {
				for q := up[i] | mid[i] | dn[i]; q != 0; q &= q - 1 {
					add(y*s.Stride + i<<6 + bits.TrailingZeros64(q))
				}
			}
		}
		t.lists[band] = list
	})
	t.active = t.active[:0]
	for band, list := range t.lists[:n] {
		for y := top(band); y < top(band+1); y++ {
			t.rows[y] += int32(len(t.active))
		}
		t.active = append(t.active, list...)
	}
	t.rows[z] = int32(len(t.active))
	clear(t.went.Words[a*t.went.Stride : z*t.went.Stride])
	for a < z && t.rows[a] == t.rows[a+1] {
		a++
	}
	for a < z && t.rows[z-1] == t.rows[z] {
		z--
	}
	t.lo, t.hi = a, z
}

// thinBand is the least active words for which a band of rows is worth a processor.
const thinBand = 4096

// round takes one layer off each of the four sides, in bands of rows in parallel.
func (t *thinner) round(n int) {
	if n == 0 {
		n = max(1, min(runtime.GOMAXPROCS(0), len(t.active)/thinBand))
	}
	if cap(t.gone) < len(t.active) {
		t.gone = make([]uint64, len(t.active))
	}
	t.gone = t.gone[:len(t.active)]
	for len(t.works) < n {
		t.works = append(t.works, newSweep(t))
	}
	// Bands end where equal shares of the active words do.
	y := t.lo
	for i, w := range t.works[:n] {
		w.y0 = y
		for y < t.hi && (i == n-1 || int(t.rows[y])*n < (i+1)*len(t.active)) {
			y++
		}
		w.y1 = y
	}
	// What the bands see of each other is as it was before the round.
	for _, w := range t.works[:n] {
		w.copyRims()
	}
	inParallel(n, func(i int) { t.works[i].run() })
}

// A sweep takes one layer off each side of a band of rows [y0, y1) in one go over
// the rows, each side two rows behind the one before, so that a row stays in the
// processor's cache for all four: what goes from a row is taken off it once the
// next row has been looked at, and not before. Beyond the band it works on copies
// of rimRows rows, of which each side leaves one less right.
type sweep struct {
	t      *thinner
	y0, y1 int
	rims   [2][rimRows][]uint64 // rows y0-1, y0-2, .. and y1, y1+1, ..
	clear  []uint64             // a row outside the plane
	del    [4][2][]uint64       // by side, and by the row's parity
}

// rimRows is how many rows round a band bear on it: one for each side.
const rimRows = 4

func newSweep(t *thinner) *sweep {
	st := t.s.Stride
	rows := make([]uint64, st*(1+2*4))
	w := &sweep{t: t, clear: rows[:st:st]}
	for i := range 2 * 4 {
		w.del[i/2][i%2] = rows[st*(i+1) : st*(i+2) : st*(i+2)]
	}
	return w
}

func (w *sweep) copyRims() {
	for n := range rimRows {
		for i, y := range [2]int{w.y0 - 1 - n, w.y1 + n} {
			w.rims[i][n] = w.rims[i][n][:0]
			if y >= 0 && y < w.t.s.H {
				w.rims[i][n] = append(w.rims[i][n], w.t.s.Row(y)...)
			}
		}
	}
}

// row returns the words of row y as this band sees it.
func (w *sweep) row(y int) []uint64 {
	switch {
	case y < 0 || y >= w.t.s.H:
		return w.clear
	case y < w.y0:
		return w.rims[0][w.y0-1-y]
	case y >= w.y1:
		return w.rims[1][y-w.y1]
	}
	return w.t.s.Row(y)
}

func (w *sweep) run() {
	last := 2*len(w.del) - 1 // rows behind the first side, of the last taking
	for y, idle := w.y0-rimRows, 0; y < w.y1+rimRows+last; y++ {
		// Rows in which nothing is active are passed at once.
		idle++
		if y >= w.t.lo && y < w.t.hi && w.t.rows[y] < w.t.rows[y+1] {
			idle = 0
		}
		if idle > last {
			continue
		}
		for side := range w.del {
			rim := rimRows - 1 - side
			lo, hi := max(w.t.lo, w.y0-rim), min(w.t.hi, w.y1+rim)
			if v := y - 2*side; v >= lo && v < hi && w.t.rows[v] < w.t.rows[v+1] {
				w.look(side, v)
			}
			if v := y - 2*side - 1; v >= lo && v < hi && w.t.rows[v] < w.t.rows[v+1] {
				w.take(side, v)
			}
		}
	}
}

// actives returns the active words of row y, of which there are some.
func (w *sweep) actives(y int) []int32 { return w.t.active[w.t.rows[y]:w.t.rows[y+1]] }

// take takes off row y what was found to go from a side of it.
func (w *sweep) take(side, y int) {
	list := w.actives(y)
	row, first := w.row(y), int32(y*w.t.s.Stride)
	del := w.del[side][y&1]
	for j, i := range list {
		row[i-first] &^= del[j]
	}
	if y < w.y0 || y >= w.y1 {
		return
	}
	gone, went := w.t.gone[w.t.rows[y]:w.t.rows[y+1]], w.t.went.Row(y)
	if side == 0 {
		clear(gone)
	}
	for j := range list {
		gone[j] |= del[j]
	}
	if side < len(w.del)-1 {
		return
	}
	for j, i := range list {
		d := gone[j]
		if d == 0 {
			continue
		}
		x := int(i - first)
		went[x>>6] |= 1 << (x & 63)
		if d&1 != 0 && x > 0 {
			went[(x-1)>>6] |= 1 << ((x - 1) & 63)
		}
		if d>>63 != 0 && x+1 < len(row) {
			went[(x+1)>>6] |= 1 << ((x + 1) & 63)
		}
	}
}

// look finds in the active words of row y the pixels that are not pinned, have
// nothing on the given side (0 north, 1 south, 2 west, 3 east), and are simple.
// Beyond the plane nothing is set.
func (w *sweep) look(side, y int) {
	list := w.actives(y)
	eight := w.t.eight
	pin, first := w.t.pin.Row(y), y*w.t.s.Stride
	up, mid, dn := w.row(y-1), w.row(y), w.row(y+1)
	up, dn, pin = up[:len(mid)], dn[:len(mid)], pin[:len(mid)]
	del := w.del[side][y&1][:len(list)]
	for j, at := range list {
		x := int(at) - first
		cand := mid[x] &^ pin[x]
		n, so, we, ea := up[x], dn[x], mid[x]<<1, mid[x]>>1
		nw, ne, sw, se := n<<1, n>>1, so<<1, so>>1
		if x > 0 {
			we, nw, sw = we|mid[x-1]>>63, nw|up[x-1]>>63, sw|dn[x-1]>>63
		}
		if x+1 < len(mid) {
			ea, ne, se = ea|mid[x+1]<<63, ne|up[x+1]<<63, se|dn[x+1]<<63
		}
		del[j] = simpleOn(side, cand, eight, ne, n, nw, ea, we, se, so, sw)
	}
}

// simpleOn returns which of 64 pixels have nothing on the given side (0 north, 1
// south, 2 west, 3 east) and are simple, by their eight neighbours.
func simpleOn(side int, cand uint64, eight bool, ne, n, nw, ea, we, se, so, sw uint64) uint64 {
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
	if eight {
		n, ne, ea, se, so, sw, we, nw = ^n, ^ne, ^ea, ^se, ^so, ^sw, ^we, ^nw
	}
	return cand & once(ea&^(ne&n), n&^(nw&we), we&^(sw&so), so&^(se&ea))
}

// once returns the bits set in just one of four words.
func once(a, b, c, d uint64) uint64 {
	return (a^b)&^(c|d) | (c^d)&^(a|b)
}
