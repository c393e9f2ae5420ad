package raster

import (
	"math/bits"
	"runtime"
)

// farDisc is the radius from which on dilating goes column by column. Row by row costs
// 2r+1 ORs a row; limits of hundreds of pixels come from bold shapes alone, and from
// sizes in the wrong unit, but a search for the size at which a sign a metre wide just
// holds goes through thousands.
const farDisc = 160

// dilateFar is dilate for large discs. Of the pixels of src in a column above a row,
// only the nearest reaches farthest along the row, and of those below it likewise; so
// each row costs a few steps a column, whatever the radius.
func dilateFar(dst, src *Bits, d disc, complement bool, finish func(y int, row []uint64)) {
	n := len(d.half) - 1
	count := max(1, min(runtime.GOMAXPROCS(0), src.H/64))
	top := func(band int) int { return src.H * band / count }
	inParallel(count, func(band int) {
		s := newShadow(src, d, complement)
		for y := max(0, top(band)-n); y < top(band+1); y++ {
			s.pass(y)
			if y >= top(band) {
				clear(dst.Row(y))
				s.cover(dst.Row(y), y)
			}
		}
	})
	inParallel(count, func(band int) {
		s := newShadow(src, d, complement)
		for y := min(src.H, top(band+1)+n) - 1; y >= top(band); y-- {
			s.pass(y)
			if y < top(band+1) {
				s.cover(dst.Row(y), y)
				finish(y, dst.Row(y))
			}
		}
	})
}

// shadow is what the pixels passed so far, row by row one way, cover of a row.
type shadow struct {
	src         *Bits
	complement  bool
	half        []int32 // of the disc, by row from its middle
	last, along []int32 // by column: the row of the last pixel passed; for cover
}

func newShadow(src *Bits, d disc, complement bool) *shadow {
	s := &shadow{src: src, complement: complement, last: make([]int32, src.W), along: make([]int32, src.W)}
	for _, h := range d.half {
		s.half = append(s.half, int32(h))
	}
	for x := range s.last {
		s.last[x] = -1 << 30
	}
	return s
}

// pass takes in the pixels of row y.
func (s *shadow) pass(y int) {
	row := s.src.Row(y)
	for i, w := range row {
		if s.complement {
			if w = ^w; i == len(row)-1 {
				w &= s.src.LastMask()
			}
		}
		last := s.last[i<<6 : min(i<<6+64, s.src.W)]
		if w == ^uint64(0) {
			for x := range last {
				last[x] = int32(y)
			}
			continue
		}
		for ; w != 0; w &= w - 1 {
			last[bits.TrailingZeros64(w)] = int32(y)
		}
	}
}

// cover sets in row y what lies within the disc of a pixel passed.
func (s *shadow) cover(row []uint64, y int) {
	w, n := len(s.last), len(s.half)
	along := s.along[:w] // how far each column reaches, below 0 for nowhere
	// From the left what reaches to the right, and the other way round.
	to := -1
	for x, last := range s.last {
		dy := y - int(last)
		if dy < 0 {
			dy = -dy
		}
		h := -1
		if dy < n {
			if h = int(s.half[dy]); x+h > to {
				to = x + h
			}
		}
		along[x] = int32(h)
		if x <= to {
			row[x>>6] |= 1 << (x & 63)
		}
	}
	to = w
	for x := w - 1; x >= 0; x-- {
		if h := int(along[x]); h >= 0 && x-h < to {
			to = x - h
		}
		if x >= to {
			row[x>>6] |= 1 << (x & 63)
		}
	}
}
