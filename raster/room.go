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

// roomy tells for the pieces of p whether a disc of radius r fits in b round any
// of their pixels, without eroding the plane: first the middle of every run is
// tried, where the disc fits if it fits in a piece of the usual kind at all, then
// every pixel of the pieces that are left. skip leaves pieces out, and may be nil.
func (p *Pieces) roomy(b *Bits, r float64, skip func(piece int) bool) []bool {
	d := newDisc(r)
	ok, left := make([]bool, len(p.List)), make([]bool, len(p.List))
	any := false
	for i := range left {
		left[i] = skip == nil || !skip(i)
		any = any || left[i]
	}
	for pass := 0; pass < 2 && any; pass++ {
		for y := 0; y < b.H; y++ {
			for _, r := range p.row(y) {
				if !left[r.piece] {
					continue
				}
				x0, x1 := int(r.x0), int(r.x1)
				if pass == 0 {
					x0 = (x0 + x1 - 1) / 2
					x1 = x0 + 1
				}
				for x := x0; x < x1; x++ {
					if d.fits(b, x, y) {
						ok[r.piece], left[r.piece] = true, false
						break
					}
				}
			}
		}
	}
	return ok
}
