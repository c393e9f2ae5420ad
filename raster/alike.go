package raster

import (
	"encoding/binary"
	"math"
	"slices"
	"sync"
)

// alike remembers courses measured. A halftone, a mesh, a row of the same
// letters has the same pixels round the same course again and again; where
// nothing but them was looked at, neither does the answer differ. One alike
// serves one shape and one safe limit. A nil one remembers nothing.
type alike struct {
	mu    sync.Mutex
	known map[string]Profile
	size  int
}

const (
	// alikeWindow is the largest window remembered, in pixels: long lines
	// seldom come twice.
	alikeWindow = 1 << 14
	// alikeMost bounds what is remembered, in bytes.
	alikeMost = 24 << 20
)

// keys are buffers that nobody uses.
var keys = sync.Pool{New: func() any { return new([]byte) }}

// key returns all that a measuring in the window of f depends on; empty for what
// is not to be remembered. The caller calls done when it has finished with it.
func (a *alike) key(f *sampler, c Course, safe float64, brief bool) (key []byte, done func()) {
	w, h := f.frameW, f.frameH
	if a == nil || w*h == 0 || w*h > alikeWindow {
		return nil, func() {}
	}
	size := 64 + 16*len(c.Path)
	if f.grey != nil {
		size += w * h
	} else {
		size += (w + 63) / 64 * 8 * h
	}
	buf := keys.Get().(*[]byte)
	k := slices.Grow((*buf)[:0], size)
	flags := byte(0)
	for i, v := range [...]bool{c.Closed, c.Tight, c.TipStart, c.TipEnd, f.film, f.grey != nil, brief} {
		if v {
			flags |= 1 << i
		}
	}
	k = append(k, flags)
	k = binary.LittleEndian.AppendUint32(k, uint32(w))
	k = binary.LittleEndian.AppendUint32(k, uint32(h))
	k = binary.LittleEndian.AppendUint64(k, math.Float64bits(safe))
	k = binary.LittleEndian.AppendUint32(k, uint32(len(c.Path)))
	for _, p := range c.Path {
		k = binary.LittleEndian.AppendUint64(k, math.Float64bits(p.X))
		k = binary.LittleEndian.AppendUint64(k, math.Float64bits(p.Y))
	}
	for y := range h {
		k = f.appendRow(k, f.winY+y)
	}
	*buf = k
	return k, func() { keys.Put(buf) }
}

// appendRow appends the frame's part of a row of the image, ink as it is in the
// file: grey values, or bits in whole words. Outside the image nothing is ink.
func (f *sampler) appendRow(k []byte, y int) []byte {
	x0, x1 := f.winX, f.winX+f.frameW
	lo, hi := max(0, x0), min(f.w, x1)
	inside := y >= 0 && y < f.h && lo < hi
	if f.grey != nil {
		n := len(k)
		k = append(k, make([]byte, f.frameW)...)
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

func (a *alike) get(key []byte) (Profile, bool) {
	if len(key) == 0 {
		return Profile{}, false
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	p, ok := a.known[string(key)]
	return p, ok
}

func (a *alike) put(key []byte, p Profile) {
	if len(key) == 0 {
		return
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	const perSection = 48
	if a.size += len(key) + perSection*len(p.Sections); a.size > alikeMost {
		return
	}
	if a.known == nil {
		a.known = map[string]Profile{}
	}
	a.known[string(key)] = p
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
