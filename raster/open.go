package raster

import (
	"math"
	"runtime"
	"sync"
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
	var wg sync.WaitGroup
	for i := range n {
		wg.Go(func() { fn(h*i/n, h*(i+1)/n) })
	}
	wg.Wait()
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
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				fn(i)
			}
		})
	}
	wg.Wait()
}

// dilate sets in dst every pixel within the disc of a pixel of src. With
// complement it takes src as its complement inside the plane, and gives the
// complement of what it would set: the erosion of src. What lies outside the
// plane adds nothing. dst and src have one size and are not the same.
//
// A row is widened step by step from the disc's outermost row inwards, and at
// each width ORed into the two rows that far above and below: r+1 widenings and
// 2r+1 ORs a row, 64 pixels at a time. Rows, and the ends of rows, without a
// pixel cost one look.
func dilate(dst, src *Bits, d disc, complement bool) {
	n := len(d.half) - 1
	last := src.LastMask()
	bands(src.H, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			clear(dst.Row(y))
		}
		wide, next := make([]uint64, src.Stride+2), make([]uint64, src.Stride+2)
		for y := max(0, y0-n); y < min(src.H, y1+n); y++ {
			lo, hi := loadRow(wide[1:], src.Row(y), last, complement)
			if lo > hi {
				continue
			}
			h := 0
			for dy := n; dy >= 0; dy-- {
				for ; h < d.half[dy]; h++ {
					if lo > 0 && wide[lo+1]&1 != 0 {
						lo--
					}
					if hi < src.Stride-1 && wide[hi+1]>>63 != 0 {
						hi++
					}
					widen(next[lo:hi+3], wide[lo:hi+3])
					wide, next = next, wide
				}
				row := wide[1+lo : 2+hi]
				if t := y - dy; t >= y0 && t < y1 {
					orInto(dst.Row(t)[lo:hi+1], row)
				}
				if t := y + dy; dy > 0 && t >= y0 && t < y1 {
					orInto(dst.Row(t)[lo:hi+1], row)
				}
			}
			clear(wide[1+lo : 2+hi])
			clear(next[1+lo : 2+hi])
		}
		for y := y0; y < y1; y++ {
			row := dst.Row(y)
			if complement {
				for i := range row {
					row[i] = ^row[i]
				}
			}
			row[len(row)-1] &= last
		}
	})
}

// loadRow copies a row, complemented on demand, and returns the range of words
// that hold a pixel, lo > hi when none does.
func loadRow(to, row []uint64, last uint64, complement bool) (lo, hi int) {
	lo, hi = len(row), -1
	for i, w := range row {
		if complement {
			w = ^w
			if i == len(row)-1 {
				w &= last
			}
		}
		to[i] = w
		if w != 0 {
			lo, hi = min(lo, i), i
		}
	}
	return lo, hi
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
	dilate(out, b, newDisc(r), false)
	return out
}

// Erode returns the pixels with no clear pixel within r, centre to centre. What
// lies outside the plane does not count as clear.
func Erode(b *Bits, r float64) *Bits { return erodeInto(NewBits(b.W, b.H), b, r) }

// erodeInto is Erode into a plane of b's size, whatever that holds.
func erodeInto(out, b *Bits, r float64) *Bits {
	dilate(out, b, newDisc(r), true)
	return out
}

// Open returns the union of all discs of radius r that fit in b, where outside
// the plane everything fits (Soille, Morphological Image Analysis, 2003, ch. 4).
func Open(b *Bits, r float64) *Bits { return Dilate(Erode(b, r), r) }
