package artwork

// space is what the samples of a pixel stand for.
type space int

const (
	greySpace space = iota
	rgbSpace
	cmykSpace
	indexSpace
)

func (s space) String() string { return [...]string{"grey", "rgb", "cmyk", "palette"}[s] }

// colour is 16-bit straight RGB with alpha.
type colour struct{ r, g, b, a uint16 }

// model turns the samples of a pixel, each scaled to 0..65535 (an index is not
// scaled), into ink. Sample order is that of the space; further ones follow.
type model struct {
	space   space
	depth   int  // bits a sample as stored
	samples int  // samples a pixel, at least those of the space
	minIs0  bool // grey: 0 is white (TIFF WhiteIsZero)
	alpha   int  // index of the alpha sample, or -1
	premul  bool // colours are already multiplied by alpha
	palette []colour
	key     []uint16 // PNG's transparent colour, scaled; nil when there is none
}

// own is how many samples the space itself takes.
func (m *model) own() int {
	switch m.space {
	case rgbSpace:
		return 3
	case cmykSpace:
		return 4
	}
	return 1
}

// luminance of encoded values: Rec. ITU-R BT.709-6 item 3.2 (0.2126, 0.7152,
// 0.0722). The weights add up to 10000, so neutral values stay as they are.
func luminance(r, g, b uint32) uint32 { return (2126*r + 7152*g + 722*b + 5000) / 10000 }

// mul is a*b of two values of which 65535 is one, rounded.
func mul(a, b uint32) uint32 { return uint32((uint64(a)*uint64(b) + 32767) / 65535) }

// to8 rounds a 16-bit value to 8 bits: 257 = 65535/255.
func to8(v uint32) uint8 { return uint8((v + 128) / 257) }

// shade is a pixel's coverage, its colour over white, and its alpha.
func (m *model) shade(s []uint16) (cover uint8, rgb [3]uint8, alpha uint32) {
	const one = 65535
	var r, g, b uint32
	alpha = one
	switch m.space {
	case indexSpace:
		if int(s[0]) >= len(m.palette) {
			// Checked by the readers while unpacking; a clear pixel would be silent.
			panic("palette index out of range")
		}
		c := m.palette[s[0]]
		r, g, b, alpha = uint32(c.r), uint32(c.g), uint32(c.b), uint32(c.a)
	case rgbSpace:
		r, g, b = uint32(s[0]), uint32(s[1]), uint32(s[2])
	case cmykSpace:
		k := one - uint32(s[3])
		r, g, b = mul(one-uint32(s[0]), k), mul(one-uint32(s[1]), k), mul(one-uint32(s[2]), k)
	default:
		r = uint32(s[0])
		if m.minIs0 {
			r = one - r
		}
		g, b = r, r
	}
	if m.alpha >= 0 {
		alpha = uint32(s[m.alpha])
	}
	if m.key != nil {
		same := true
		for i, k := range m.key {
			same = same && s[i] == k
		}
		if same {
			alpha = 0
		}
	}
	if alpha != one || m.premul {
		over := func(v uint32) uint32 { return one - mul(one-v, alpha) }
		if m.premul {
			over = func(v uint32) uint32 { return min(one, v+one-alpha) }
			if m.space == cmykSpace || m.minIs0 { // the ink was multiplied, not the light
				over = func(v uint32) uint32 { return max(v, one-alpha) }
			}
		}
		r, g, b = over(r), over(g), over(b)
	}
	return to8(one - luminance(r, g, b)), [3]uint8{to8(r), to8(g), to8(b)}, alpha
}

// table returns the coverage of every value of a one-sample pixel of up to 8
// bits, or nil when the model has no such table.
func (m *model) table() []uint8 {
	if m.samples != 1 || m.depth > 8 || m.alpha >= 0 {
		return nil
	}
	n := 1 << m.depth
	if m.space == indexSpace {
		n = min(n, len(m.palette))
	}
	t := make([]uint8, n)
	for v := range t {
		t[v], _, _ = m.shade([]uint16{m.scale(v)})
	}
	return t
}

// scale brings a stored value to the full range; an index stays.
func (m *model) scale(v int) uint16 {
	if m.space == indexSpace {
		return uint16(v)
	}
	top := 1<<m.depth - 1
	return uint16((v*65535 + top/2) / top)
}
