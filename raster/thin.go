package raster

import (
	"math"
	"math/bits"
)

// Thin parts of a shape, found on a grid by a disc of the safe limit, measured
// on the artwork. The disc only proposes; the measured width decides.
//
// Let d be the limit in grid pixels. A disc of that diameter fits round a pixel
// when nothing of the other side lies within d/2 + 1/2 of it: half a pixel more
// than the limit, so that too much is proposed and never too little. E are the
// pixels it fits round. A bar near the limit is in E here and there, by the
// luck of the grid, and a stump of bar cut off between such a place and the
// bar's end reads far too narrow; so a part of E counts only if somewhere in it
// a disc an eighth larger fits.
//
// O is what the discs of E cover, K what they leave. A tip is a place of K
// farthest from O along the shape, by tipReach limits or more. The shape is
// then thinned with E and the tips held fast. What remains are the arcs that
// join E to E (necks, however short, also where nothing of K is left), E to
// tips (spurs), and in a piece without E all of its centre lines.

const (
	// strongDisc is how much larger a disc must fit somewhere in a part of E.
	// Less and bars of 1.05 limits still break up at a pixel's jitter; more
	// and short necks next to parts barely over the limit lose their ends.
	strongDisc = 1.12
	// tipReach: a spur is told from one limit on; the pixels reach up to half
	// a pixel less than the shape.
	tipReach = 0.9
	// tipRounds bounds how many tips one piece of K can have; more branches
	// than this are no lettering, and their ends then belong to one feature.
	tipRounds = 12
)

// pixel is a pixel of the grid by its number, y*W + x. (32 bits would not do: a
// page of 139 million pixels, refined fourfold, has 2,200 million.)
type pixel int

// at returns the place of a pixel on a plane w wide.
func (q pixel) at(w int) (x, y int) { return int(q) % w, int(q) / w }

// arc is a chain of thinned pixels between ends.
type arc struct {
	path     []pixel
	closed   bool
	from, to end
	group    int // arcs joined outside E share one
}

// end says what an arc runs into.
type end uint8

const (
	endThick    end = iota // E: the shape goes on, thick
	endJunction            // other arcs
	endTip                 // nothing: the shape ends
)

// partition is a shape taken apart by one disc.
type partition struct {
	g       *grid
	film    bool
	d       float64 // limit in grid pixels
	shape   *Bits
	pieces  *Pieces // of shape
	e       *Bits   // E
	k       *Bits   // K, shape less O; until the tips are found
	counts  []int32 // how many runs each row of K has
	ks      *Pieces // of K
	rims    *Bits   // a bit a word: shape has more than E there; nil where that is not known
	thinned *Bits   // the arcs
	hasE    []bool  // by piece
	plain   []bool  // by piece: E has its form, so that nothing but tips can be found in it
	rest    *Pieces // what E leaves of the plane; nil without others
	// others are the pieces of the other side, to be given back; nil to do without.
	others func() (o *Pieces, done func())
	spares *spares // where its planes come from
	skip   []bool  // by piece: judged as a whole (dots, islands), no thin parts looked for
	inner  []bool  // by piece, without E: looked through for necks, see innerPieces; nil for none
	arcs   []arc
	tips   []tip
	ends   []*pieceEnds // by piece, what is known of those without E; nil for nothing
}

// tip is an end of the shape: a pixel, and how far it lies from O along it.
type tip struct {
	pixel pixel
	reach float64 // grid pixels
}

// fit finds E, K and which pieces have any E.
func (p *partition) fit() {
	rc := p.d/2 + 0.5
	p.e = p.spares.take(p.shape)
	counts := erodeInto(p.e, p.shape, rc)
	parts := labelCounted(p.e, !p.film, counts)
	ok := parts.roomy(p.shape, strongRadius(p.d), nil)
	parts.keep(p.e, ok)
	p.hasE, p.plain = make([]bool, len(p.pieces.List)), make([]bool, len(p.pieces.List))
	for i, c := range parts.List {
		if ok[i] {
			piece := p.pieces.At(c.SeedX, c.SeedY)
			// One part of E with as many holes as the piece has: round each hole
			// of E lies one of the piece at least, for what keeps a disc from
			// fitting is nearer than the ring of E around.
			p.plain[piece] = !p.hasE[piece] && c.Holes == p.pieces.List[piece].Holes
			p.hasE[piece] = true
		}
	}
	if p.others != nil {
		p.rest = parts.gaps(p.shape.W, ok, p.film)
	}
	parts.release()
	p.k = p.spares.take(p.shape)
	p.rims, p.counts = uncovered(p.k, p.shape, p.e, rc)
}

// strongRadius is that of the disc that must fit somewhere in a part of E.
func strongRadius(d float64) float64 { return strongDisc*d/2 + 0.5 }

// anySet reports whether a row has a set pixel in [x0, x1).
func anySet(row []uint64, x0, x1 int) bool {
	for i := x0 >> 6; i <= (x1-1)>>6; i++ {
		m := row[i]
		if i == x0>>6 {
			m &= ^uint64(0) << (x0 & 63)
		}
		if i == (x1-1)>>6 {
			m &= ^uint64(0) >> (63 - (x1-1)&63)
		}
		if m != 0 {
			return true
		}
	}
	return false
}

// takeApart finds the arcs. reach is the shortest spur to look for, in grid pixels.
func (p *partition) takeApart(reach float64) {
	// Pieces judged whole, and pieces without E and without holes that end up
	// as a single pixel, must not be thinned to nothing: they are left out.
	var bare []bool
	if p.rest != nil {
		bare = p.bareRims()
	}
	p.findTips(reach)
	// K is in its pieces from here on, so its plane serves again.
	s := p.k
	s.copyFrom(p.shape)
	p.k = nil
	ok := make([]bool, len(p.pieces.List))
	for i := range ok {
		ok[i] = !p.skip[i] && !p.plain[i]
	}
	for _, t := range p.tips {
		ok[p.pieces.At(t.pixel.at(s.W))] = true
	}
	p.pieces.keep(s, ok)
	if p.rest != nil {
		arcs := make([]bool, len(bare))
		for i := range arcs {
			arcs[i] = !bare[i]
		}
		for _, t := range p.tips {
			arcs[p.rest.At(t.pixel.at(s.W))] = true
		}
		p.rest.keep(s, arcs)
		p.rest.release()
		p.rest = nil
	}
	// E and the tips are held. (Of a piece left out E alone is there.)
	pin := p.e
	for _, t := range p.tips {
		pin.Set(t.pixel.at(pin.W))
	}
	thinIn(s, pin, !p.film, p.rims, 0)
	for _, t := range p.tips {
		pin.Clear(t.pixel.at(pin.W))
	}
	counts := subtract(s, s, p.e)
	p.thinned = s
	p.trace(s, counts)
}

// bareRims tells of the pieces of the rest, what E leaves of the plane, in which there
// are no arcs but to tips. In such a piece lie a piece of the other side, the rim of
// shape around it and in its holes, and now and then, where E is broken, more. Where it
// is one alone, and each of its holes holds one part of E, or is a piece of the shape
// without E that is left out, thinning takes the rim off and leaves nothing. There are
// at least as many holes round parts of E as the piece has that hold E, so that the
// numbers say it; at the edge of the plane, where holes are open, they say nothing.
func (p *partition) bareRims() []bool {
	rest := p.rest
	others, done := p.others()
	defer done()
	within, holes := make([]int32, len(rest.List)), make([]int32, len(rest.List))
	for i := range others.List {
		c := &others.List[i]
		at := rest.At(c.SeedX, c.SeedY)
		within[at]++
		holes[at] += int32(c.Holes)
	}
	for i := range p.pieces.List {
		if p.hasE[i] {
			continue
		}
		c := &p.pieces.List[i]
		if at := rest.At(c.SeedX, c.SeedY); p.skip[i] {
			holes[at]--
		} else {
			within[at]++
		}
	}
	bare := make([]bool, len(rest.List))
	for i := range bare {
		c := &rest.List[i]
		edge := c.X0 == 0 || c.Y0 == 0 || c.X1 == p.shape.W || c.Y1 == p.shape.H
		bare[i] = !edge && within[i] == 1 && c.Holes == int(holes[i])
	}
	return bare
}

// neighbour offsets counted round from the east.
var (
	offX = [8]int{1, 1, 0, -1, -1, -1, 0, 1}
	offY = [8]int{0, -1, -1, -1, 0, 1, 1, 1}
)

// findTips looks in each piece of K for its ends. Distance is counted along the
// piece in steps of 1 and the root of 2 from O; after each tip found, from the
// way back from it too.
func (p *partition) findTips(reach float64) {
	// Joined as the shape is: two pieces of film that meet at a corner are two.
	ks := labelCounted(p.k, !p.film, p.counts)
	p.ks = ks
	f := &flood{p: p}
	found := make([][]tip, len(ks.List))
	inParallel(len(ks.List), func(i int) {
		c := &ks.List[i]
		piece := p.pieces.At(c.SeedX, c.SeedY)
		if piece < 0 || p.skip[piece] {
			return
		}
		// The farthest pixel cannot be farther than the piece has pixels, each
		// step at most root 2.
		if p.hasE[piece] && 1.5*float64(c.Area) < reach {
			return
		}
		if p.hasE[piece] && f.near(ks, i, reach) {
			return
		}
		if p.hasE[piece] || p.ends == nil {
			found[i], _ = f.tips(ks, i, p.hasE[piece], reach)
			return
		}
		tips, ok := p.ends[piece].under(reach)
		if !ok {
			e := &pieceEnds{whole: c.Holes == 0}
			e.tips, e.least = f.tips(ks, i, false, reach)
			p.ends[piece], tips = e, e.tips
		}
		found[i] = tips
	})
	for _, t := range found {
		p.tips = append(p.tips, t...)
	}
}

// pieceEnds are the tips of a piece without E, which but for how many there are do not go
// by the disc: each is the farthest from what was held before.
type pieceEnds struct {
	tips  []tip
	whole bool    // the first two are its ends, however near
	least float64 // with this reach there may be more
}

// under returns the tips of a reach, if they are known.
func (e *pieceEnds) under(reach float64) (tips []tip, ok bool) {
	if e == nil || reach <= e.least {
		return nil, false
	}
	for i, t := range e.tips {
		if (i > 1 || !e.whole) && t.reach < reach {
			return e.tips[:i], true
		}
	}
	return e.tips, true
}

// flood measures distances within one piece of K.
type flood struct{ p *partition }

// near reports whether it is certain, and quick to tell, that none of piece i of K lies
// reach away from O.
func (f *flood) near(ks *Pieces, i int, reach float64) bool {
	c := &ks.List[i]
	if c.X1-c.X0 > mostTouching {
		return false
	}
	fl := fields.Get().(*field)
	defer fields.Put(fl)
	n := c.Y1 - c.Y0
	fl.whole = append(fl.whole[:0], make([]uint64, n)...)
	fl.grown = append(fl.grown[:0], make([]uint64, n)...)
	for r := ks.first[i]; r >= 0; r = ks.next[r] {
		q := &ks.runs[r]
		y, at := int(q.y)-c.Y0, int(q.x0)-c.X0+1
		row := uint64(1)<<(q.x1-q.x0) - 1
		fl.whole[y] |= row << at
		fl.grown[y] |= f.touchesO(int(q.x0), int(q.y)) & row << at
	}
	return within(fl.whole, fl.grown, !f.p.film, reach)
}

// tips returns the ends of piece i of K, and the largest reach with which there may be more
// of a piece without E.
func (f *flood) tips(ks *Pieces, i int, hasE bool, reach float64) (tips []tip, least float64) {
	fl, done := newField(ks, i)
	defer done()
	w := f.p.k.W
	var held []int32 // pixels that the centre lines must keep: contacts with O, tips
	add := func(q int32, d float32) {
		x, y := fl.place(q)
		tips = append(tips, tip{pixel(y*w + x), float64(d)})
		held = append(held, q)
	}
	switch {
	case hasE:
		number := 0
		for _, r := range fl.runs {
			for x := int(r.x0); x < int(r.x1); x += mostTouching {
				n := min(mostTouching, int(r.x1)-x)
				for w := f.touchesO(x, int(r.y)) & (1<<n - 1); w != 0; w &= w - 1 {
					q := fl.id(number + bits.TrailingZeros64(w))
					fl.start(q)
					held = append(held, q)
				}
				number += n
			}
		}
		fl.spread()
		q := fl.farthest()
		if float64(fl.dist[q]) < reach {
			return nil, 0
		}
		add(q, fl.dist[q])
	case ks.List[i].Holes == 0:
		// No thick part to start from: the two ends farthest apart, whatever
		// their distance (one sweep from anywhere, one from where it ended).
		fl.start(fl.id(0))
		fl.spread()
		a := fl.farthest()
		fl.reset()
		fl.start(a)
		fl.spread()
		b := fl.farthest()
		add(a, fl.dist[b])
		add(b, fl.dist[b])
	}
	// Further ends are those farthest from the centre lines so far. (From the
	// shortest way to a tip, which keeps to one side, the other side of a bar
	// as wide as the limit would be an end all along.)
	fl.reset()
	for len(tips) < tipRounds {
		core, near := f.core(fl, &ks.List[i], held, reach)
		if near {
			return tips, math.Nextafter(reach, 0)
		}
		for _, q := range core {
			if fl.dist[q] > 0 { // the others have been spread from before
				fl.start(q)
			}
		}
		fl.spread()
		q := fl.farthest()
		if d := float64(fl.dist[q]); d < reach {
			return tips, d
		}
		add(q, fl.dist[q])
	}
	return tips, 0
}

// mostTouching is how many pixels touchesO tells of.
const mostTouching = 62

// touchesO tells of the pixels of K from (x, y) on, a bit each, which have a
// neighbour in O, in film one that is not across a corner between two places of ink.
func (f *flood) touchesO(x, y int) uint64 {
	// Each row's pixels from x-1 on, of the shape and of O: those on the left of
	// each pixel; shifted by one those in its own column, by two those on its right.
	var shape, o [3]uint64
	for i := range shape {
		if v := y + i - 1; v >= 0 && v < f.p.k.H {
			shape[i] = word64(f.p.shape.Row(v), x-1)
			o[i] = shape[i] &^ word64(f.p.k.Row(v), x-1)
		}
	}
	over, under := o[0]|o[0]>>2, o[2]|o[2]>>2 // across a corner
	touch := o[0]>>1 | o[2]>>1 | o[1] | o[1]>>2
	if !f.p.film {
		return touch | over | under
	}
	up, down := shape[0]>>1, shape[2]>>1
	return touch | over&up | under&down | (o[0]|o[2])&shape[1] | (o[0]|o[2])>>2&(shape[1]>>2)
}

// core returns the centre lines of a piece: what thinning leaves of it with
// some pixels held. near says that it is certain that none of the piece lies reach away
// from them; then it does not return them.
func (f *flood) core(fl *field, c *Piece, held []int32, reach float64) (core []int32, near bool) {
	if c.X1-c.X0 > mostTouching {
		return f.coreOfWide(fl, held, reach)
	}
	b := NewBits(c.X1-c.X0+2, c.Y1-c.Y0+2)
	for _, r := range fl.runs {
		fillRun(b.Row(int(r.y)-c.Y0+1), int(r.x0)-c.X0+1, int(r.x1)-c.X0+1, true)
	}
	pin := NewBits(b.W, b.H)
	for _, q := range held {
		x, y := fl.place(q)
		pin.Set(x-c.X0+1, y-c.Y0+1)
	}
	fl.whole = append(fl.whole[:0], b.Words...)
	thinNarrow(b, pin, !f.p.film)
	fl.grown = append(fl.grown[:0], b.Words...)
	if within(fl.whole, fl.grown, !f.p.film, reach) {
		return nil, true
	}
	var list []run
	for y := range b.H {
		list = rowRuns(list[:0], b.Row(y), int32(y))
		for _, r := range list {
			for x := r.x0; x < r.x1; x++ {
				core = append(core, fl.at(int(x)+c.X0-1, y+c.Y0-1))
			}
		}
	}
	return core, false
}

// coreOfWide is core of a piece that no word a row holds.
func (f *flood) coreOfWide(fl *field, held []int32, reach float64) (core []int32, near bool) {
	s, done := newSparse(fl.runs)
	defer done()
	for _, q := range held {
		s.pin(fl.place(q))
	}
	s.thin(!f.p.film)
	if s.within(!f.p.film, reach) {
		return nil, true
	}
	s.pixels(func(x, y int) { core = append(core, fl.at(x, y)) })
	return core, false
}

// within reports whether steps inside whole, a plane of up to 64 pixels across by its
// rows, that are together shorter than reach lead from core to all of it. It takes
// steps across corners, if at all, first, and grows core by them.
func within(whole, core []uint64, eight bool, reach float64) bool {
	const short = 1e-3 // for what a sum of rounded steps may be over
	grow := func(across bool) (all bool) {
		all = true
		above := uint64(0) // as it was
		for y, here := range core {
			below := uint64(0)
			if y+1 < len(core) {
				below = core[y+1]
			}
			w := above | here | below
			if across {
				w |= w<<1 | w>>1
			} else {
				w |= here<<1 | here>>1
			}
			core[y] = w & whole[y]
			all = all && core[y] == whole[y]
			above = here
		}
		return all
	}
	left := reach - short
	for ; eight && left > math.Sqrt2; left -= math.Sqrt2 {
		if grow(true) {
			return true
		}
	}
	for ; left > 1; left-- {
		if grow(false) {
			return true
		}
	}
	return false
}
