package raster

import (
	"math"
	"math/bits"
	"sync"
)

// sampler is a shape's coverage made quick to read: the same numbers as
// Shape.Cover and Shape.Sample, without their indirection. Framed round a course, its
// coordinates are the course's own.
type sampler struct {
	w, h  int
	grey  []uint8
	bits  *Bits
	film  bool
	out   float64 // coverage outside the image
	whole *blocks
	deep  *depths
	lut   *[256]float64

	// winX and winY are where in the image the coordinates begin: winBefore pixels before
	// the course, whatever the window, so that what is measured of a course is the same to
	// the last digit under every limit.
	winX, winY int
	// win holds the coverages of a window, winW wide, whose first pixel is (firstX, firstY): a
	// course reads each pixel around it hundreds of times. frameW and frameH are its size
	// before it is filled.
	win            []float64
	firstX, firstY int
	winW, winH     int
	frameW, frameH int
	seen           seenTo
	noting         bool     // whether read is kept up
	read           pixelBox // what has been read, in its own coordinates
}

// winBefore is how many pixels before a course its coordinates begin; farther for wider
// margins.
const winBefore = 1 << 12

// windowMost is the largest window kept, in pixels: 2 MB. A longer course reads
// the plane itself.
const windowMost = 1 << 18

var windows = sync.Pool{New: func() any { return new([]float64) }}

// frame lays a window round a course, margin beyond it, and returns the course
// in its own coordinates, snapped to a millionth of a pixel. The window is
// empty until fill.
func (f *sampler) frame(c Course, margin float64) (local Course) {
	if len(c.Path) == 0 {
		return c
	}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range c.Path {
		x0, x1 = min(x0, p.X), max(x1, p.X)
		y0, y1 = min(y0, p.Y), max(y1, p.Y)
	}
	before, edge := winBefore, int(math.Ceil(margin))
	for before < edge {
		before *= 2
	}
	left, top := int(math.Floor(x0)), int(math.Floor(y0))
	f.winX, f.winY = left-before, top-before
	f.firstX, f.firstY = before-edge, before-edge
	const snap = 1 << 20
	local = c
	local.Path = make([]Point, len(c.Path))
	for i, p := range c.Path {
		local.Path[i] = Point{
			math.Round((p.X-float64(f.winX))*snap) / snap,
			math.Round((p.Y-float64(f.winY))*snap) / snap,
		}
	}
	f.frameW, f.frameH = int(math.Ceil(x1+margin))-left+edge+1, int(math.Ceil(y1+margin))-top+edge+1
	return local
}

// fill reads the pixels of the frame, where it is not too large, so that they
// need no looking up. The caller calls done when it has finished with them.
func (f *sampler) fill() (done func()) {
	w, h := f.frameW, f.frameH
	if w*h == 0 || w*h > windowMost {
		return func() {}
	}
	buf := windows.Get().(*[]float64)
	if cap(*buf) < w*h {
		*buf = make([]float64, w*h)
	}
	f.win, f.winW, f.winH = (*buf)[:w*h], w, h
	for y := range h {
		f.coverRow(f.win[y*w:(y+1)*w], y)
	}
	return func() {
		f.win = nil
		windows.Put(buf)
	}
}

// coverRow writes the coverages of row y of the window.
func (f *sampler) coverRow(to []float64, y int) {
	Y := y + f.firstY + f.winY
	first := f.firstX + f.winX
	for x := range to {
		to[x] = f.out
	}
	if Y < 0 || Y >= f.h {
		return
	}
	lo, hi := max(0, -first), min(len(to), f.w-first)
	if lo >= hi {
		return
	}
	if f.grey != nil {
		at := Y*f.w + first
		for x, v := range f.grey[at+lo : at+hi] {
			to[lo+x] = f.lut[v]
		}
		return
	}
	row := f.bits.Row(Y)
	solid := f.lut[255] // what is not solid is as outside
	for x := lo; x < hi; {
		q := x + first
		n := min(64-q&63, hi-x)
		for w := row[q>>6] >> (q & 63) & (1<<n - 1); w != 0; w &= w - 1 {
			to[x+bits.TrailingZeros64(w)] = solid
		}
		x += n
	}
}

// luts hold the coverage of ink and of film by grey value.
var luts = func() (l [2][256]float64) {
	for i := range 256 {
		l[0][i] = float64(i) / 255
		l[1][i] = 1 - l[0][i]
	}
	return l
}()

func newSampler(s Shape) *sampler {
	f := &sampler{w: s.Ink.W, h: s.Ink.H, grey: s.Ink.Grey, bits: s.Ink.Bits, film: s.Film, whole: s.whole, deep: s.deep, lut: &luts[0], read: noPixels}
	if s.Film {
		f.lut, f.out = &luts[1], 1
	}
	return f
}

// cover is Shape.Cover.
func (f *sampler) cover(x, y int) float64 {
	if f.noting {
		f.read.add(x, y)
	}
	x, y = x+f.winX, y+f.winY
	if uint(x) >= uint(f.w) || uint(y) >= uint(f.h) {
		return f.out
	}
	if f.grey != nil {
		return f.lut[f.grey[y*f.w+x]]
	}
	if (f.bits.Words[y*f.bits.Stride+x>>6]>>(x&63)&1 != 0) != f.film {
		return 1
	}
	return 0
}

// reads notes that at(px, py) was taken, and what a straight line there from the last
// place noted passes.
func (f *sampler) reads(px, py float64) {
	if !f.noting {
		return
	}
	x, y := int(math.Floor(px-0.5)), int(math.Floor(py-0.5))
	f.read.add(x, y)
	f.read.add(x+1, y+1)
}

// in reports whether pixel (x, y) belongs to the shape cut at half. It follows
// Ink.Bits, so ink and film are exact complements.
func (f *sampler) in(x, y int) bool {
	if f.noting {
		f.read.add(x, y)
	}
	x, y = x+f.winX, y+f.winY
	if uint(x) >= uint(f.w) || uint(y) >= uint(f.h) {
		return f.film
	}
	return (f.bits.Words[y*f.bits.Stride+x>>6]>>(x&63)&1 != 0) != f.film
}

// at is Shape.Sample.
func (f *sampler) at(px, py float64) float64 {
	u, v := px-0.5, py-0.5
	if u >= 0 && v >= 0 {
		x, y := int(u), int(v)
		if i, j := x-f.firstX, y-f.firstY; i >= 0 && j >= 0 && i+1 < f.winW && j+1 < f.winH {
			if f.noting {
				f.read.add(x, y)
				f.read.add(x+1, y+1)
			}
			return inPlace(f.win, f.winW, f.start(), u, v)
		}
	}
	f.reads(px, py)
	return f.atPlane(u, v)
}

// start is where pixel (0, 0) would be in the window.
func (f *sampler) start() int { return -f.firstY*f.winW - f.firstX }

// inPlace is at within a window, wide pixels wide, that begins at start, with u and v counted
// from the middle of pixel (0, 0).
func inPlace(win []float64, wide, start int, u, v float64) float64 {
	i, j := int(u), int(v)
	q := start + j*wide + i
	g, h := win[q:q+2], win[q+wide:q+wide+2]
	tx, ty := u-float64(i), v-float64(j)
	a := g[0] + (g[1]-g[0])*tx
	return a + (h[0]+(h[1]-h[0])*tx-a)*ty
}

// atPlane is at by way of the image, where one pixel or more lies beyond the
// window, u and v counted from the middle of pixel (0, 0).
func (f *sampler) atPlane(u, v float64) float64 {
	fx, fy := math.Floor(u), math.Floor(v)
	x, y := int(fx), int(fy)
	var a, b, c, d float64
	switch X, Y := x+f.winX, y+f.winY; {
	case X < 0 || Y < 0 || X+1 >= f.w || Y+1 >= f.h:
		a, b, c, d = f.cover(x, y), f.cover(x+1, y), f.cover(x, y+1), f.cover(x+1, y+1)
	case f.grey != nil:
		g, h := f.grey[Y*f.w+X:], f.grey[(Y+1)*f.w+X:]
		a, b, c, d = f.lut[g[0]], f.lut[g[1]], f.lut[h[0]], f.lut[h[1]]
	default:
		g, h := f.bits.Row(Y), f.bits.Row(Y+1)
		i, j := X>>6, (X+1)>>6
		a, b = f.lut[-uint8(g[i]>>(X&63)&1)], f.lut[-uint8(g[j]>>((X+1)&63)&1)]
		c, d = f.lut[-uint8(h[i]>>(X&63)&1)], f.lut[-uint8(h[j]>>((X+1)&63)&1)]
	}
	tx, ty := u-fx, v-fy
	a += (b - a) * tx
	c += (d - c) * tx
	return a + (c-a)*ty
}

// origin is a place that rays start from.
type origin struct {
	Point
	cover float64
	room  float64 // how far from it the window holds all that at needs; negative for nowhere
	clear float64 // and how far it is certain that all is covered
}

func (f *sampler) origin(p Point) origin {
	x, y := p.X-0.5-float64(f.firstX), p.Y-0.5-float64(f.firstY)
	o := origin{Point: p, cover: f.at(p.X, p.Y), room: min(x, y, float64(f.winW-1)-x, float64(f.winH-1)-y)}
	if f.deep != nil && o.cover == 1 {
		o.clear = f.deep.clear(p.X-0.5+float64(f.winX), p.Y-0.5+float64(f.winY))
	}
	return o
}

// steps returns how many steps of the given length, whatever their direction, certainly
// stay where at needs no pixel beyond the window.
func (o *origin) steps(step float64) int { return int(o.room/step) - 1 }
