package raster

import "encoding/binary"

// Threads: ink or film too narrow for the cut at half. A line of 0.8 px that
// lies astride two rows covers 0.4 of each and is gone; a hairline at an angle
// breaks into crumbs; and the film between reads as joined, or as parted, where
// it is not. So the grid is cut at half of what is around: half-way between the
// least and the most coverage of the 3x3 pixels round each (J. Bernsen, Dynamic
// thresholding of grey-level images, Proc. 8th ICPR, 1986; from memory). Beside
// anything two pixels wide or more that is half, as ever. It decides what hangs
// together; the width is measured on the coverage as it is.

// threadRange of 255: with less between the least and the most the cut stays at
// half. Two shapes that abut, each blended by itself, leave a seam of up to a
// quarter between them (1 - a(1-a) at a = 1/2), which is no gap, and JPEG rings
// by about as much. More, and lines of 0.8 px astride two rows are lost.
const threadRange = 88

// A flat tone is no thread, but the rim of one would read as such: clear, half tone, half
// tone is what a line of 0.8 px looks like from one side. So beside a tone the cut stays at
// half, unless it lies so near half that it makes no difference.
const (
	toneRange = 8  // of 255, by which a cut must lie off half
	toneFlat  = 64 // a pixel is of a flat tone when the 3x3 pixels round it are within this
	toneEnds  = 24 // and when it is farther than this from clear and from solid
)

// threadFall is by how much of 255 the coverage of a thread, of ink or of film, falls on both
// sides within two pixels at least: half of threadRange. And it falls to half of what it is,
// or less.
const threadFall = threadRange / 2

// threadDip is by how much less than the thread, and than what follows, a pixel beside it is
// that parts it from a neighbour.
const threadDip = 24

// cutAt is where a pixel is cut of which least and most are the least and the most of the
// 3x3 round it: 128 is half. A pixel that would change sides by that is a thread's, or the
// cut stays at half: along an edge that is soft, or enlarged, every pixel is about half-way
// between those around, and noise alone would say which are ink. beside is the Ink's
// besideTone, or a leveller's.
func (k *Ink) cutAt(x, y, v, least, most int, beside func(x, y int) bool) int {
	cut := (least + most + 1) / 2
	switch {
	case most-least < threadRange,
		(v >= 128) != (v >= cut) && !k.thread(x, y),
		max(cut-128, 128-cut) >= toneRange && beside(x, y):
		return 128
	}
	return cut
}

// thread reports whether the coverage of pixel (x, y), by what covers less than half of it,
// ink or film, falls on both sides within two pixels: along a row, a column or a diagonal,
// where they lie wider apart and the next must be fainter already. A dip before a neighbour
// is a fall.
func (k *Ink) thread(x, y int) bool {
	ink := k.Grey[y*k.W+x] < 128
	cover := func(x, y int) int {
		c := 0 // nothing is outside
		if uint(x) < uint(k.W) && uint(y) < uint(k.H) {
			c = int(k.Grey[y*k.W+x])
		}
		if !ink {
			c = 255 - c
		}
		return c
	}
	v := cover(x, y)
	least := min(v-threadFall, v/2)
	falls := func(dx, dy int) bool {
		one, two := cover(x+dx, y+dy), cover(x+2*dx, y+2*dy)
		switch {
		case one <= least, one <= v-threadDip && two >= one+threadDip:
			return true
		case one >= 128, dx*dy != 0 && 5*one > 4*v: // what is so by half is no thread's other half
			return false
		}
		return two <= least
	}
	both := func(dx, dy int) bool { return falls(dx, dy) && falls(-dx, -dy) }
	return both(1, 0) || both(0, 1) || both(1, 1) || both(1, -1)
}

// besideTone reports whether a pixel of a flat tone lies within the 5x5 round (x, y): the
// rim of one has the first of them as its second pixel, or the next.
func (k *Ink) besideTone(x, y int) bool {
	for v := max(0, y-2); v < min(k.H, y+3); v++ {
		for u := max(0, x-2); u < min(k.W, x+3); u++ {
			if c := k.Grey[v*k.W+u]; c > toneEnds && c < 255-toneEnds && k.flatAt(u, v) {
				return true
			}
		}
	}
	return false
}

// flatAt reports whether the 3x3 pixels round (x, y) are within toneFlat.
func (k *Ink) flatAt(x, y int) bool {
	least, most := uint8(255), uint8(0)
	for v := max(0, y-1); v < min(k.H, y+2); v++ {
		for _, c := range k.Grey[v*k.W+max(0, x-1) : v*k.W+min(k.W, x+2)] {
			least, most = min(least, c), max(most, c)
		}
	}
	return most-least < toneFlat
}

// toneRow tells which pixels of row y are of a flat tone.
type toneRow struct {
	y    int
	any  bool
	bits []uint64
}

// toneRow finds out about row y, or remembers it: it is asked by each pixel of an edge near.
func (l *leveller) toneRow(y int) *toneRow {
	t := &l.tones[y%len(l.tones)]
	if t.y == y {
		return t
	}
	k := l.k
	if t.bits == nil {
		t.bits = make([]uint64, k.Bits.Stride)
	}
	clear(t.bits)
	t.y, t.any = y, false
	row := k.Grey[y*k.W : (y+1)*k.W]
	for x := 0; x < k.W; {
		if x+8 <= k.W {
			if v := binary.LittleEndian.Uint64(row[x:]); v == 0 || v == ^uint64(0) {
				x += 8
				continue
			}
		}
		for end := min(x+8, k.W); x < end; x++ {
			if c := row[x]; c > toneEnds && c < 255-toneEnds && k.flatAt(x, y) {
				t.bits[x>>6] |= 1 << (x & 63)
				t.any = true
			}
		}
	}
	return t
}

// besideTone is Ink.besideTone, where many are asked row by row.
func (l *leveller) besideTone(x, y int) bool {
	for v := max(0, y-2); v < min(l.k.H, y+3); v++ {
		if t := l.toneRow(v); t.any && anySet(t.bits, max(0, x-2), min(l.k.W, x+3)) {
			return true
		}
	}
	return false
}

// level writes to l.to the coverages of row y of a grey plane, moved so that
// the cut at 128 is the cut half-way between the least and the most around: the
// middle of the two, rounded up, becomes 128, which stays within 0 to 255.
// Where three rows are all clear or all solid there is nothing to move, and
// eight pixels are looked at at once.
func (l *leveller) level(y int) {
	k, to := l.k, l.to
	beside := l.besideTone
	rows := [3][]uint8{l.clear, l.clear, l.clear}
	for i := range rows {
		if r := y + i - 1; r >= 0 && r < k.H {
			rows[i] = k.Grey[r*k.W : (r+1)*k.W]
		}
	}
	up, here, down := rows[0], rows[1], rows[2]
	for x := 0; x < k.W; {
		n := min(8, k.W-x)
		if n == 8 {
			u, h, d := binary.LittleEndian.Uint64(up[x:]), binary.LittleEndian.Uint64(here[x:]), binary.LittleEndian.Uint64(down[x:])
			if u == h && h == d && (h == 0 || h == ^uint64(0)) &&
				(x == 0 || up[x-1] == here[x] && here[x-1] == here[x] && down[x-1] == here[x]) &&
				(x+8 == k.W || up[x+8] == here[x] && here[x+8] == here[x] && down[x+8] == here[x]) {
				binary.LittleEndian.PutUint64(to[x:], h)
				x += 8
				continue
			}
		}
		// Least and most of each column, and of three columns next to each other.
		l0, m0 := uint8(255), uint8(0)
		if x > 0 {
			l0, m0 = min(up[x-1], here[x-1], down[x-1]), max(up[x-1], here[x-1], down[x-1])
		}
		l1, m1 := min(up[x], here[x], down[x]), max(up[x], here[x], down[x])
		for end := x + n; x < end; x++ {
			l2, m2 := uint8(255), uint8(0)
			if x+1 < k.W {
				l2, m2 = min(up[x+1], here[x+1], down[x+1]), max(up[x+1], here[x+1], down[x+1])
			}
			least, most := min(l0, l1, l2), max(m0, m1, m2)
			to[x] = here[x] + 128 - uint8(k.cutAt(x, y, int(here[x]), int(least), int(most), beside))
			l0, m0, l1, m1 = l1, m1, l2, m2
		}
	}
}
