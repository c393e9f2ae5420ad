package raster

// fits reports whether no clear pixel of b lies within the disc round (x, y):
// whether that pixel is in the erosion of b. Outside the plane nothing is clear.
func (d *disc) fits(b *Bits, x, y int) bool {
	for dy, half := range d.half {
		x0, x1 := max(0, x-half), min(b.W, x+half+1)
		if y+dy < b.H && !allSet(b.Row(y+dy), x0, x1) {
			return false
		}
		if dy > 0 && y-dy >= 0 && !allSet(b.Row(y-dy), x0, x1) {
			return false
		}
	}
	return true
}

// askMost is how much asking pixel by pixel may cost, in rows looked at for each
// word of the plane, before eroding the plane is cheaper.
const askMost = 16

// roomy tells for the pieces of p, those of b, whether a disc of radius r fits
// round any of their pixels, without eroding the plane where that can be helped:
// first the middle of every run is tried, where the disc fits if it fits in a
// piece of the usual kind at all, then every pixel of the pieces that are left.
// skip leaves pieces out, and may be nil.
func (p *Pieces) roomy(b *Bits, r float64, skip func(piece int) bool) []bool {
	d := newDisc(r)
	ok, left := make([]bool, len(p.List)), make([]bool, len(p.List))
	for i := range left {
		left[i] = skip == nil || !skip(i)
	}
	// try takes each run of the pieces that are left.
	try := func(fit func(r *run) bool) {
		for i := range p.runs {
			if r := &p.runs[i]; left[r.piece] && fit(r) {
				ok[r.piece], left[r.piece] = true, false
			}
		}
	}
	try(func(r *run) bool { return d.fits(b, int(r.x0+r.x1-1)/2, int(r.y)) })
	pixels := 0
	for i := range left {
		if left[i] {
			pixels += p.List[i].Area
		}
	}
	switch {
	case pixels == 0:
	case pixels*len(d.half) > askMost*len(b.Words):
		e := Erode(b, r)
		try(func(r *run) bool { return anySet(e.Row(int(r.y)), int(r.x0), int(r.x1)) })
	default:
		try(func(r *run) bool {
			for x := int(r.x0); x < int(r.x1); x++ {
				if d.fits(b, x, int(r.y)) {
					return true
				}
			}
			return false
		})
	}
	return ok
}
