package raster

import (
	"math"
	"math/bits"
	"runtime"
	"sync/atomic"
)

// disc is a Euclidean disc on the pixel grid: the pixels whose centre lies
// within r of the middle pixel's centre. half[dy] is the half-width of the rows
// dy above and below the middle, floor(sqrt(r^2 - dy^2)).
type disc struct {
	r    float64
	half []int
}

func newDisc(r float64) disc {
	n := int(math.Floor(r))
	d := disc{r: r, half: make([]int, n+1)}
	for dy := range d.half {
		// 1e-9 keeps exact squares (3-4-5) inside whatever the root rounds to.
		d.half[dy] = int(math.Floor(math.Sqrt(r*r-float64(dy*dy)) + 1e-9))
	}
	return d
}

// bands runs fn over [0, h) cut into bands of whole rows, in parallel. fn must
// write only to its own rows, so the result does not depend on the cut.
func bands(h int, fn func(y0, y1 int)) {
	n := runtime.GOMAXPROCS(0)
	if n > (h+63)/64 {
		n = (h + 63) / 64
	}
	if n <= 1 {
		fn(0, h)
		return
	}
	var c crew
	for i := range n {
		c.run(func() { fn(h*i/n, h*(i+1)/n) })
	}
	c.wait()
}

// inParallel runs fn for 0 up to n, each once, on all processors. fn must write
// only what is its own.
func inParallel(n int, fn func(i int)) { inParallelBy(runtime.GOMAXPROCS(0), n, fn) }

// inParallelBy is inParallel on so many processors.
func inParallelBy(workers, n int, fn func(i int)) {
	if workers = min(workers, n); workers <= 1 {
		for i := range n {
			fn(i)
		}
		return
	}
	var next atomic.Int64
	var c crew
	for range workers {
		c.run(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				fn(i)
			}
		})
	}
	c.wait()
}

// dilate works out, row by row, the pixels within the disc of a pixel of src, or of its
// complement inside the plane, in a row of dst each, and hands the row to finish, which
// may change it. What lies outside the plane adds nothing. wanted tells, a bit a word,
// which words of a row matter: the others may miss some. nil: all do. dst and src have
// one size and are not the same.
//
// A row is widened step by step from the disc's outermost row inwards, and at
// each width ORed into the two rows that far above and below: r+1 widenings and
// 2r+1 ORs a row, 64 pixels at a time, of the stretches of words that hold a pixel
// and are near one that matters. That is near the edges of ink, mostly.
func dilate(dst, src *Bits, d disc, complement bool, wanted func(y int, words []uint64), finish func(y int, row []uint64)) {
	n := len(d.half) - 1
	if d.r >= farDisc {
		dilateFar(dst, src, d, complement, finish)
		return
	}
	if d.r >= 64 { // reaches farther than one word
		wanted = nil
	}
	count := max(1, min(bandsEach*runtime.GOMAXPROCS(0), src.H/max(64, 8*n)))
	inParallel(count, func(band int) {
		s := newSpreading(src, d, complement, wanted, src.H*band/count, src.H*(band+1)/count)
		// Rows are cleared and finished as late and as soon as may be, while the
		// processor has them at hand.
		begun, done := s.y0, s.y0
		for y := max(0, s.y0-n); y < min(src.H, s.y1+n); y++ {
			for ; begun < min(s.y1, y+n+1); begun++ {
				clear(dst.Row(begun))
			}
			s.load(y)
			for lo, hi := s.next(0); lo >= 0; lo, hi = s.next(hi + 1) {
				s.spread(dst, y, lo, hi)
			}
			for ; done < min(s.y1, y-n+1); done++ {
				finish(done, dst.Row(done))
			}
		}
		for ; done < s.y1; done++ {
			finish(done, dst.Row(done))
		}
	})
}

// spreading is a band of rows [y0, y1) being dilated.
type spreading struct {
	src         *Bits
	d           disc
	complement  bool
	y0, y1      int
	wide, spare []uint64
	live        []uint64 // a bit a word: it has to be dilated
	wanted      func(y int, words []uint64)
	wants       []uint64 // what the rows of the band want, one after the other
	asked       int      // the first row that has not been asked yet
}

func newSpreading(src *Bits, d disc, complement bool, wanted func(y int, words []uint64), y0, y1 int) *spreading {
	s := &spreading{src: src, d: d, complement: complement, wanted: wanted, y0: y0, y1: y1, asked: y0}
	s.wide, s.spare = make([]uint64, src.Stride+2), make([]uint64, src.Stride+2)
	s.live = make([]uint64, (src.Stride+63)/64)
	if wanted != nil {
		s.wants = make([]uint64, (y1-y0)*len(s.live))
	}
	return s
}

// load finds which words of row y are live.
func (s *spreading) load(y int) {
	row := s.src.Row(y)
	if s.complement {
		// The bits beyond the plane are as good as set.
		last := len(row) - 1
		differ(s.live, row, ^uint64(0))
		if row[last] == s.src.LastMask() {
			s.live[last>>6] &^= 1 << (last & 63)
		}
	} else {
		differ(s.live, row, 0)
	}
	if s.wanted == nil {
		return
	}
	n := len(s.d.half) - 1
	size := len(s.live)
	for ; s.asked < min(s.y1, y+n+1); s.asked++ {
		i := (s.asked - s.y0) * size
		s.wanted(s.asked, s.wants[i:i+size])
	}
	near := s.wants[(max(s.y0, y-n)-s.y0)*size : (min(s.y1, y+n+1)-s.y0)*size]
	carry := uint64(0) // of the word before, what lies next to this one
	or := func(i int) (w uint64) {
		for ; i < len(near); i += size {
			w |= near[i]
		}
		return w
	}
	here := or(0)
	for i := range s.live {
		next := uint64(0)
		if i+1 < len(s.live) {
			next = or(i + 1)
		}
		s.live[i] &= here | here<<1 | here>>1 | carry | next<<63
		carry = here >> 63
		here = next
	}
}

// differ tells, a bit a word, which words of a row are other than plain.
func differ(words, row []uint64, plain uint64) {
	for k := range words {
		m := uint64(0)
		for j, w := range row[k<<6 : min(k<<6+64, len(row))] {
			if w != plain {
				m |= 1 << (j & 63)
			}
		}
		words[k] = m
	}
}

// gapLeast is how many words that are not live part two stretches: each has a word more
// on either side to be looked at.
const gapLeast = 3

// next returns the first stretch of live words from word i on, lo to hi; lo < 0 when
// there is none.
func (s *spreading) next(i int) (lo, hi int) {
	lo = nextSet(s.live, i)
	if lo < 0 {
		return -1, -1
	}
	hi = lo
	for {
		i := nextSet(s.live, hi+1)
		if i < 0 || i > hi+gapLeast {
			return lo, hi
		}
		hi = i
	}
}

// nextSet returns the first bit set from bit i on, or -1.
func nextSet(words []uint64, i int) int {
	for k := i >> 6; k < len(words); k++ {
		w := words[k]
		if k == i>>6 {
			w &= ^uint64(0) << (i & 63)
		}
		if w != 0 {
			return k<<6 + bits.TrailingZeros64(w)
		}
	}
	return -1
}

// spread ORs the words lo to hi of row y, dilated, into the rows of the band.
func (s *spreading) spread(dst *Bits, y, lo, hi int) {
	wide, next := s.wide, s.spare
	copy(wide[1+lo:2+hi], s.src.Row(y)[lo:hi+1])
	if s.complement {
		for i := 1 + lo; i < 2+hi; i++ {
			wide[i] = ^wide[i]
		}
		if hi == dst.Stride-1 {
			wide[1+hi] &= s.src.LastMask()
		}
	}
	h := 0
	for dy := len(s.d.half) - 1; dy >= 0; dy-- {
		for ; h < s.d.half[dy]; h++ {
			if lo > 0 && wide[lo+1]&1 != 0 {
				lo--
			}
			if hi < dst.Stride-1 && wide[hi+1]>>63 != 0 {
				hi++
			}
			widen(next[lo:hi+3], wide[lo:hi+3])
			wide, next = next, wide
		}
		row := wide[1+lo : 2+hi]
		if t := y - dy; t >= s.y0 && t < s.y1 {
			orInto(dst.Row(t)[lo:hi+1], row)
		}
		if t := y + dy; dy > 0 && t >= s.y0 && t < s.y1 {
			orInto(dst.Row(t)[lo:hi+1], row)
		}
	}
	clear(wide[1+lo : 2+hi])
	clear(next[1+lo : 2+hi])
}

// widen sets to[1:len-1] to the row dilated by one pixel to each side.
func widen(to, from []uint64) {
	to = to[:len(from)]
	for i := 1; i < len(from)-1; i++ {
		w := from[i]
		to[i] = w | w<<1 | w>>1 | from[i-1]>>63 | from[i+1]<<63
	}
}

func orInto(to, from []uint64) {
	to = to[:len(from)]
	for i, w := range from {
		to[i] |= w
	}
}

// Dilate returns the pixels within r of a set pixel, centre to centre.
func Dilate(b *Bits, r float64) *Bits { return dilateInto(NewBits(b.W, b.H), b, r) }

// dilateInto is Dilate into a plane of b's size, whatever that holds.
func dilateInto(out, b *Bits, r float64) *Bits {
	last := b.LastMask()
	dilate(out, b, newDisc(r), false, nil, func(_ int, row []uint64) { row[len(row)-1] &= last })
	return out
}

// uncovered sets out, a plane of b's size, whatever it holds, to the pixels of b that
// lie within r of no pixel of e, which is a part of it. It returns, a bit a word, which
// words of b have more than e, for discs larger than a word nil, and how many runs each
// row of out has.
func uncovered(out, b, e *Bits, r float64) (rims *Bits, counts []int32) {
	counts = make([]int32, b.H)
	if r < 64 {
		rims = NewBits(b.Stride, b.H)
	}
	// Next to nothing but e there is none.
	wanted := func(y int, words []uint64) {
		row, less := b.Row(y), e.Row(y)
		for k := range words {
			m, part := uint64(0), less[k<<6:min(k<<6+64, len(less))]
			for j, w := range row[k<<6 : min(k<<6+64, len(row))] {
				if w != part[j] {
					m |= 1 << (j & 63)
				}
			}
			words[k] = m
		}
		copy(rims.Row(y), words)
	}
	dilate(out, e, newDisc(r), false, wanted, func(y int, row []uint64) {
		less := e.Row(y)
		for i, w := range b.Row(y) {
			row[i] = w &^ less[i] &^ row[i]
		}
		counts[y] = runsIn(row)
	})
	return rims, counts
}

// Erode returns the pixels with no clear pixel within r, centre to centre. What
// lies outside the plane does not count as clear.
func Erode(b *Bits, r float64) *Bits {
	out := NewBits(b.W, b.H)
	erodeInto(out, b, r)
	return out
}

// erodeInto is Erode into a plane of b's size, whatever that holds.
// It returns how many runs each row has.
func erodeInto(out, b *Bits, r float64) (counts []int32) {
	counts = make([]int32, b.H)
	wanted := func(y int, words []uint64) { differ(words, b.Row(y), 0) }
	dilate(out, b, newDisc(r), true, wanted, func(y int, row []uint64) {
		for i, w := range b.Row(y) {
			row[i] = w &^ row[i]
		}
		counts[y] = runsIn(row)
	})
	return counts
}

// Open returns the union of all discs of radius r that fit in b, where outside
// the plane everything fits (Soille, Morphological Image Analysis, 2003, ch. 4).
func Open(b *Bits, r float64) *Bits { return Dilate(Erode(b, r), r) }
