package raster

// Threads: ink or film too narrow for the cut at half. A line of 0.8 px that
// lies astride two rows covers 0.4 of each and is gone; a hairline at an angle
// breaks into crumbs; and the film between reads as joined, or as parted, where
// it is not. A pixel under half is a thread of ink when it stands out of its
// 3x3 opening (its white top-hat, Soille 2003, ch. 4) by threadStep or more:
// whatever is two pixels wide or more, its edges and its corners have none. A
// pixel of half or more is a thread of film by the same rule turned over.
// On a line that runs slantwise over the rows a little of both holds, and at a
// narrow place between two corners as much of one as of the other: one must be
// twice the other to count.
// Threads show only where an artwork has grey edges. They decide what hangs
// together; the width is measured on the coverage all the same.

// threadStep of 255: three eighths. Two shapes that abut, each blended by itself,
// leave a seam of up to a quarter between them (1 - a(1-a) at a = 1/2), and that
// is no gap; JPEG rings by about as much. More, and lines of 0.8 px astride two
// rows are lost.
const threadStep = 96

// threads calls fn for every thread pixel of rows [y0, y1): film tells which.
func (k *Ink) threads(y0, y1 int, fn func(x, y int, film bool)) {
	for y := y0; y < y1; y++ {
		for x, v := range k.Grey[y*k.W : (y+1)*k.W] {
			if v < threadStep || v > 255-threadStep {
				continue
			}
			ink, film := k.topHats(x, y)
			if v < 128 && ink >= threadStep && ink >= 2*film {
				fn(x, y, false)
			} else if v >= 128 && film >= threadStep && film >= 2*ink {
				fn(x, y, true)
			}
		}
	}
}

// topHats returns by how much the pixel (x, y) exceeds its 3x3 opening, and by
// how much it falls short of its 3x3 closing, of 255.
func (k *Ink) topHats(x, y int) (white, black int) {
	var m [5][5]uint8
	for j := range 5 {
		for i := range 5 {
			if X, Y := x+i-2, y+j-2; uint(X) < uint(k.W) && uint(Y) < uint(k.H) {
				m[j][i] = k.Grey[Y*k.W+X]
			}
		}
	}
	opened, closed := uint8(0), uint8(255)
	for j := range 3 {
		for i := range 3 {
			least, most := uint8(255), uint8(0)
			for b := range 3 {
				least = min(least, m[j+b][i], m[j+b][i+1], m[j+b][i+2])
				most = max(most, m[j+b][i], m[j+b][i+1], m[j+b][i+2])
			}
			opened, closed = max(opened, least), min(closed, most)
		}
	}
	v := m[2][2]
	return int(v) - int(opened), int(closed) - int(v)
}

// mend puts the threads into a cut: their squares, the squares of neighbours of
// the same side that the interpolation left short of them, and an elbow where
// two meet at a corner. Rows are those of the artwork.
func (g *grid) mend(out *Bits, k *Ink) {
	if k.Grey == nil || g.down > 1 {
		return
	}
	thread := NewBits(k.W, k.H) // ink and film alike: which, the cut tells
	bands(k.H, func(y0, y1 int) {
		k.threads(y0, y1, func(x, y int, film bool) { thread.Set(x, y) })
	})
	// is reports whether a pixel is of the side, threads included.
	is := func(x, y int, film bool) bool {
		return (k.Bits.Get(x, y) != thread.Get(x, y)) != film
	}
	var list []run
	for y := range k.H {
		list = rowRuns(list[:0], thread.Row(y), int32(y))
		for _, r := range list {
			for x := int(r.x0); x < int(r.x1); x++ {
				film := k.Bits.Get(x, y)
				g.block(out, x, y, !film)
				for n := range 8 {
					X, Y := x+offX[n], y+offY[n]
					if uint(X) >= uint(k.W) || uint(Y) >= uint(k.H) || !is(X, Y, film) {
						continue
					}
					g.block(out, X, Y, !film)
					if n%2 == 1 && !is(x, Y, film) && !is(X, y, film) {
						// Take the elbow that has more of the side, if it has
						// any to speak of: two threads on either side of a
						// narrow place must not join across it.
						ex, ey := x, Y
						if a, b := k.Grey[Y*k.W+x], k.Grey[y*k.W+X]; (a >= b) == film {
							ex, ey = X, y
						}
						if v := k.Grey[ey*k.W+ex]; film && v <= 255-threadStep || !film && v >= threadStep {
							g.block(out, ex, ey, !film)
						}
					}
				}
			}
		}
	}
}

// block sets or clears the grid pixels of one artwork pixel.
func (g *grid) block(out *Bits, x, y int, set bool) {
	for r := range g.up {
		x0 := g.padX + x*g.up
		fillRun(out.Row(g.padY+y*g.up+r), x0, x0+g.up, set)
	}
}
