package raster

import (
	"encoding/binary"
	"math"
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

// key returns all that a measuring in the window of f depends on; "" for what
// is not to be remembered.
func (a *alike) key(f *sampler, c Course, safe float64) string {
	if a == nil || f.win == nil || f.winW*f.winH > alikeWindow {
		return ""
	}
	k := make([]byte, 0, 64+16*len(c.Path)+len(f.win)/8)
	flags := byte(0)
	for i, v := range [...]bool{c.Closed, c.Tight, c.TipStart, c.TipEnd, f.film, f.grey != nil} {
		if v {
			flags |= 1 << i
		}
	}
	k = append(k, flags)
	k = binary.LittleEndian.AppendUint32(k, uint32(f.winW))
	k = binary.LittleEndian.AppendUint32(k, uint32(f.winH))
	k = binary.LittleEndian.AppendUint64(k, math.Float64bits(safe))
	k = binary.LittleEndian.AppendUint32(k, uint32(len(c.Path)))
	for _, p := range c.Path {
		k = binary.LittleEndian.AppendUint64(k, math.Float64bits(p.X))
		k = binary.LittleEndian.AppendUint64(k, math.Float64bits(p.Y))
	}
	if f.grey != nil {
		for _, v := range f.win {
			k = append(k, uint8(math.Round(v*255)))
		}
		return string(k)
	}
	var b byte
	for i, v := range f.win {
		if v >= 0.5 {
			b |= 1 << (i & 7)
		}
		if i&7 == 7 || i == len(f.win)-1 {
			k, b = append(k, b), 0
		}
	}
	return string(k)
}

func (a *alike) get(key string) (Profile, bool) {
	if key == "" {
		return Profile{}, false
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	p, ok := a.known[key]
	return p, ok
}

func (a *alike) put(key string, p Profile) {
	if key == "" {
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
	a.known[key] = p
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
