package raster

import "math/bits"

// Saddles: two pixels of ink that meet at a corner with film on either side of it.
// As pixels the ink hangs together there and the film does not, but a gap of a pixel
// between two dots looks the same wherever it runs at an angle. Bilinear between the
// four centres, coverage has a saddle, and the pair on whose side of half that lies is
// the one that hangs together (G. M. Nielson, B. Hamann, The asymptotic decider, Proc.
// Visualization 1991; from memory). Only the grey of a plane can tell; the pixels of a
// bilevel one are joined as everywhere.

// saddleLean is how far half is moved for the saddle, as a share of how far the mean of
// the 4 x 4 pixels around is from half: with ink all around it is the film that is thin,
// and blur has taken from it. (Not where pixels are whole, for those have no blur.) Of 360 gaps of 0.7 and 0.8 px between discs of ink, under
// limits of 2.9 to 9 px, 26 are not seen as one strip then, 72 without it and 184
// where saddles are ink; of as many lines between discs of film 32, 80 and 32. More does
// not change that, nor what is seen where corners face or meet.
const saddleLean = 0.3

// filmCrosses reports whether at the corner between pixels (x, y) and (x+1, y+1) of a
// grey plane refined up-fold, of which two across are ink and two are film, the film
// hangs together.
func (k *Ink) filmCrosses(up, x, y int) bool {
	a, b := k.refinedAt(up, x, y), k.refinedAt(up, x+1, y)
	c, d := k.refinedAt(up, x, y+1), k.refinedAt(up, x+1, y+1)
	if a < 128.0/255 { // the film is at a and d
		a, b, c, d = b, a, d, c
	}
	saddle := (a*d - b*c) / (a + d - b - c)
	mean, grey := 0.0, 0.0 // of the 16, and how far from whole pixels the 4 are
	cx, cy := floorDiv(x+1, up), floorDiv(y+1, up)
	for v := -2; v < 2; v++ {
		for u := -2; u < 2; u++ {
			c := Shape{Ink: k}.Cover(cx+u, cy+v)
			mean += c / 16
			if u/2 == 0 && v/2 == 0 {
				grey += c * (1 - c)
			}
		}
	}
	return saddle < 0.5+saddleLean*min(1, 4*grey)*(mean-0.5)
}

// refinedAt is the levelled coverage of a pixel refined up-fold, as refine works it out.
func (k *Ink) refinedAt(up, x, y int) float64 {
	side := 2 * up
	cx, cy := 2*x+1-up, 2*y+1-up
	n, m := floorDiv(cx, side), floorDiv(cy, side)
	tx, ty := float64(cx-n*side)/float64(side), float64(cy-m*side)/float64(side)
	row := func(y int) float64 {
		v := k.levelAt(n, y) * (1 - tx)
		if tx > 0 {
			v += k.levelAt(n+1, y) * tx
		}
		return v
	}
	v := row(m) * (1 - ty)
	if ty > 0 {
		v += row(m+1) * ty
	}
	return v / 255
}

// levelAt is what level makes of a pixel; 0 outside.
func (k *Ink) levelAt(x, y int) float64 {
	if uint(x) >= uint(k.W) || uint(y) >= uint(k.H) {
		return 0
	}
	least, most := 255, 0
	for v := y - 1; v <= y+1; v++ {
		for u := x - 1; u <= x+1; u++ {
			switch {
			case uint(v) >= uint(k.H):
				least = 0
			case uint(u) < uint(k.W):
				g := int(k.Grey[v*k.W+u])
				least, most = min(least, g), max(most, g)
			}
		}
	}
	v := int(k.Grey[y*k.W+x])
	return float64(v + 128 - k.cutAt(x, y, v, least, most, k.besideTone))
}

// openSaddles clears in b, which is k cut on the grid, a pixel of ink wherever two meet
// at a corner that the film crosses: the fainter of them that does not itself hold other
// ink together.
func (g *grid) openSaddles(b *Bits, k *Ink) {
	const rows = 64
	top, end := g.padY-1, g.h-g.padY // pairs of rows
	found := make([][][2]int, (end-top+rows-1)/rows)
	inParallel(len(found), func(i int) {
		for y := top + i*rows; y < min(top+(i+1)*rows, end); y++ {
			this, next := b.Row(y), b.Row(y+1)
			for j, u := range this {
				d := next[j]
				if u == d {
					continue
				}
				// Those on the right.
				ur, dr := u>>1, d>>1
				if j+1 < len(this) {
					ur, dr = ur|this[j+1]<<63, dr|next[j+1]<<63
				}
				for w := (u ^ d) & (u ^ ur) & (ur ^ dr); w != 0; w &= w - 1 {
					if x := j<<6 + bits.TrailingZeros64(w); k.filmCrosses(g.up, x-g.padX, y-g.padY) {
						found[i] = append(found[i], [2]int{x, y})
					}
				}
			}
		}
	})
	for _, list := range found {
		for _, at := range list {
			x, y := at[0], at[1]
			p, q := [2]int{x, y}, [2]int{x + 1, y + 1}
			if !b.Get(x, y) {
				p, q = [2]int{x + 1, y}, [2]int{x, y + 1}
			}
			if !b.Get(p[0], p[1]) || !b.Get(q[0], q[1]) {
				continue // opened with another
			}
			at := func(p [2]int) float64 { return k.refinedAt(g.up, p[0]-g.padX, p[1]-g.padY) }
			if at(q) < at(p) {
				p, q = q, p
			}
			switch {
			case spare(b, p, q):
				b.Clear(p[0], p[1])
			case spare(b, q, p):
				b.Clear(q[0], q[1])
			}
		}
	}
}

// spare reports whether pixel p of the ink can go, and what it touches, its neighbour q
// across a corner aside, hangs together as before and is not gone with it.
func spare(b *Bits, p, q [2]int) bool {
	var ring [8]bool // from the east round
	for n := range ring {
		x, y := p[0]+offX[n], p[1]+offY[n]
		ring[n] = [2]int{x, y} != q && b.Get(x, y)
	}
	// Parts that hang together round it, corners counting: a side that is clear before
	// one that is set ends one (as in simpleOn).
	parts := 0
	for n := 0; n < 8; n += 2 {
		if !ring[n] && (ring[n+1] || ring[(n+2)%8]) {
			parts++
		}
	}
	return parts == 1
}
