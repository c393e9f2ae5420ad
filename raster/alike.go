package raster

import (
	"bytes"
	"encoding/binary"
	"math"
	"slices"
	"sync"
)

// alike remembers courses measured. A halftone, a mesh, a row of the same
// letters has the same pixels round the same course again and again; where those
// that the measuring looked at are the same, so is the answer, whatever lies around
// them. One alike serves one shape and one safe limit. A nil one remembers nothing.
type alike struct {
	lines *centreLines // those found under other limits
	mu    sync.Mutex
	known map[string][]seen
	size  int
}

// seen is a course measured, and the pixels that were looked at.
type seen struct {
	box    pixelBox
	pixels []byte // of the box, row by row, as pixels gives them
	p      Profile
}

const (
	// alikeWindow is the largest window remembered, in pixels: long lines
	// seldom come twice.
	alikeWindow = 1 << 14
	// alikeMost bounds what is remembered, in bytes.
	alikeMost = 24 << 20
	// alikeSame is how many measurings of one course, among other pixels, are
	// remembered: each is compared with.
	alikeSame = 64
)

// keys are buffers that nobody uses.
var keys = sync.Pool{New: func() any { return new([]byte) }}

// key returns all that a measuring with f depends on beside the pixels; empty for what
// is not to be remembered. The caller calls done when it has finished with it.
func (a *alike) key(f *sampler, c Course, safe float64, brief bool) (key []byte, done func()) {
	w, h := f.frameW, f.frameH
	if a == nil || w*h == 0 || w*h > alikeWindow {
		return nil, func() {}
	}
	buf := keys.Get().(*[]byte)
	k := slices.Grow((*buf)[:0], 16+16*len(c.Path))
	flags := byte(0)
	for i, v := range [...]bool{c.Closed, c.Tight, c.TipStart, c.TipEnd, f.film, f.grey != nil, brief} {
		if v {
			flags |= 1 << i
		}
	}
	k = append(k, flags)
	k = binary.LittleEndian.AppendUint64(k, math.Float64bits(safe))
	for _, p := range c.Path {
		k = binary.LittleEndian.AppendUint64(k, math.Float64bits(p.X))
		k = binary.LittleEndian.AppendUint64(k, math.Float64bits(p.Y))
	}
	*buf = k
	return k, func() { keys.Put(buf) }
}

// pixelBox holds pixels, in the coordinates of a sampler: columns x0 to x1 of rows y0 to y1.
// noPixels holds none.
type pixelBox struct{ x0, y0, x1, y1 int }

var noPixels = pixelBox{math.MaxInt, math.MaxInt, math.MinInt, math.MinInt}

// add makes the box hold a pixel.
func (b *pixelBox) add(x, y int) {
	b.x0, b.y0, b.x1, b.y1 = min(b.x0, x), min(b.y0, y), max(b.x1, x), max(b.y1, y)
}

// pixels appends the part of row y between columns x0 and x1, in f's coordinates, ink as it
// is in the file: grey values, or bits in whole words. Outside the image nothing is ink.
func (f *sampler) pixels(k []byte, y, x0, x1 int) []byte {
	y += f.winY
	x0, x1 = x0+f.winX, x1+f.winX+1
	lo, hi := max(0, x0), min(f.w, x1)
	inside := y >= 0 && y < f.h && lo < hi
	if f.grey != nil {
		n := len(k)
		k = append(k, make([]byte, x1-x0)...)
		if inside {
			copy(k[n+lo-x0:], f.grey[y*f.w+lo:y*f.w+hi])
		}
		return k
	}
	for x := x0; x < x1; x += 64 {
		word := uint64(0)
		if inside {
			word = word64(f.bits.Row(y), x)
			if left := x1 - x; left < 64 {
				word &= 1<<left - 1
			}
		}
		k = binary.LittleEndian.AppendUint64(k, word)
	}
	return k
}

// word64 returns the bits x to x+63 of a row; outside it they are 0.
func word64(row []uint64, x int) (w uint64) {
	i, shift := x>>6, x&63
	if i >= 0 && i < len(row) {
		w = row[i] >> shift
	}
	if i++; shift > 0 && i >= 0 && i < len(row) {
		w |= row[i] << (64 - shift)
	}
	return w
}

// sees reports whether f has the same pixels.
func (s *seen) sees(f *sampler, row []byte) bool {
	rest := s.pixels
	for y := s.box.y0; y <= s.box.y1; y++ {
		row = f.pixels(row[:0], y, s.box.x0, s.box.x1)
		if !bytes.Equal(row, rest[:len(row)]) {
			return false
		}
		rest = rest[len(row):]
	}
	return true
}

// get returns what measuring with f gives, if it is known.
func (a *alike) get(key []byte, f *sampler) (Profile, bool) {
	if len(key) == 0 {
		return Profile{}, false
	}
	a.mu.Lock()
	list := a.known[string(key)]
	a.mu.Unlock()
	if len(list) == 0 {
		return Profile{}, false
	}
	buf := keys.Get().(*[]byte)
	defer keys.Put(buf)
	*buf = slices.Grow((*buf)[:0], f.frameW+64)
	for i := range list {
		if list[i].sees(f, *buf) {
			return list[i].p, true
		}
	}
	return Profile{}, false
}

// put remembers what measuring with f gave.
func (a *alike) put(key []byte, f *sampler, p Profile) {
	if len(key) == 0 || !f.noting || f.read == noPixels {
		return
	}
	s := seen{box: f.read, p: p}
	for y := s.box.y0; y <= s.box.y1; y++ {
		s.pixels = f.pixels(s.pixels, y, s.box.x0, s.box.x1)
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if list := a.known[string(key)]; len(list) < alikeSame {
		const perSection, perCourse = 48, 256
		if a.size += len(key) + len(s.pixels) + perSection*len(p.Sections) + perCourse; a.size > alikeMost {
			return
		}
		if a.known == nil {
			a.known = map[string][]seen{}
		}
		a.known[string(key)] = append(list, s)
	}
}

// moved returns the profile with its places moved; it shares nothing with p.
func (p Profile) moved(dx, dy float64) Profile {
	p.At = Point{p.At.X + dx, p.At.Y + dy}
	list := p.Sections
	p.Sections = make([]Section, len(list))
	for i, s := range list {
		s.At = Point{s.At.X + dx, s.At.Y + dy}
		p.Sections[i] = s
	}
	return p
}
