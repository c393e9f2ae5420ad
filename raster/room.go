package raster

import (
	"math"
	"sync/atomic"
)

// askMost is how much asking pixel by pixel may cost, in rows looked at for each
// word of the plane, before eroding the plane is cheaper.
const askMost = 16

// roomy tells for the pieces of p, those of b, whether a disc of radius r fits
// round any of their pixels, without eroding the plane where that can be helped:
// first the middle of every run is tried, where the disc fits if it fits in a
// piece of the usual kind at all, then every pixel of the pieces that are left.
// skip leaves pieces out, and may be nil.
func (p *Pieces) roomy(b *Bits, r float64, skip func(piece int) bool) []bool {
	left := make([]bool, len(p.List))
	for i := range left {
		left[i] = skip == nil || !skip(i)
	}
	// try takes each run of the pieces that are left.
	found := make([]atomic.Bool, len(p.List))
	try := func(fit func(r *run) bool) {
		bands(len(p.runs), func(from, to int) {
			for i := from; i < to; i++ {
				if r := &p.runs[i]; left[r.piece] && !found[r.piece].Load() && fit(r) {
					found[r.piece].Store(true)
				}
			}
		})
		for i := range found {
			left[i] = left[i] && !found[i].Load()
		}
	}
	result := func() []bool {
		ok := make([]bool, len(found))
		for i := range ok {
			ok[i] = found[i].Load()
		}
		return ok
	}
	try(func(q *run) bool { return fitsAt(b, int(q.x0+q.x1-1)/2*2, 2*int(q.y), r) })
	pixels := 0
	for i := range left {
		if left[i] {
			pixels += p.List[i].Area
		}
	}
	if pixels*int(math.Ceil(r)) > askMost*len(b.Words) {
		e := Erode(b, r)
		try(func(q *run) bool { return anySet(e.Row(int(q.y)), int(q.x0), int(q.x1)) })
		return result()
	}
	try(func(q *run) bool {
		for x := int(q.x0); x < int(q.x1); x++ {
			if fitsAt(b, 2*x, 2*int(q.y), r) {
				return true
			}
		}
		return false
	})
	return result()
}
