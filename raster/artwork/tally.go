package artwork

import (
	"cmp"
	"slices"
)

// Colour is one of the main colours of an artwork, over white. Greys are none.
type Colour struct {
	R, G, B uint8
	Share   float64 // of all pixels
	Cover   uint8   // the coverage it becomes, 0 clear to 255 solid
}

// What counts as neutral, black and white in a tally, in 8-bit levels. 12 is
// under what the eye sees as a tint and over what JPEG makes of a grey edge.
const (
	neutralWithin = 12
	blackUpTo     = 12
	whiteFrom     = 255 - 12
	mainColours   = 8
	alikeWithin   = 24   // colours that differ by less in each of R, G, B are one
	leastShare    = 2e-4 // of all pixels: 0.02 %, a few letters on a sheet
	leastPart     = 0.03 // of the most frequent colour: less are its blended edges
)

// tally counts colours in bins of 5 bits a channel, with their sums so that a
// flat colour is told exactly. One belongs to one goroutine.
type tally struct {
	bins   []bin // 1<<15; nil when colours do not matter (grey)
	veiled bool  // a pixel was not opaque
}

type bin struct{ n, r, g, b uint64 }

func newTally(colours bool) *tally {
	t := &tally{}
	if colours {
		t.bins = make([]bin, 1<<15)
	}
	return t
}

// add counts n pixels of a colour.
func (t *tally) add(rgb [3]uint8, alpha uint32, n int) {
	if alpha != 65535 {
		t.veiled = true
	}
	if t.bins == nil {
		return
	}
	b := &t.bins[int(rgb[0]>>3)<<10|int(rgb[1]>>3)<<5|int(rgb[2]>>3)]
	m := uint64(n)
	b.n += m
	b.r += m * uint64(rgb[0])
	b.g += m * uint64(rgb[1])
	b.b += m * uint64(rgb[2])
}

// merge adds what o counted.
func (t *tally) merge(o *tally) {
	t.veiled = t.veiled || o.veiled
	for i := range o.bins {
		a, b := &t.bins[i], &o.bins[i]
		a.n, a.r, a.g, a.b = a.n+b.n, a.r+b.r, a.g+b.g, a.b+b.b
	}
}

// tell writes into p what was counted.
func (t *tally) tell(p *Picture) {
	p.Alpha = t.veiled
	var all uint64
	var used []bin
	for _, b := range t.bins {
		if b.n > 0 {
			all += b.n
			used = append(used, b)
		}
	}
	slices.SortStableFunc(used, func(a, b bin) int { return cmp.Compare(b.n, a.n) })
	mean := func(b bin) [3]int {
		return [3]int{int((b.r + b.n/2) / b.n), int((b.g + b.n/2) / b.n), int((b.b + b.n/2) / b.n)}
	}
	var main []bin
	for _, b := range used {
		c := mean(b)
		lo, hi := min(c[0], c[1], c[2]), max(c[0], c[1], c[2])
		if hi-lo <= neutralWithin || hi <= blackUpTo || lo >= whiteFrom {
			continue
		}
		p.Colour = true
		alike := slices.IndexFunc(main, func(m bin) bool {
			d := mean(m)
			return abs(c[0]-d[0]) < alikeWithin && abs(c[1]-d[1]) < alikeWithin && abs(c[2]-d[2]) < alikeWithin
		})
		if alike >= 0 {
			m := &main[alike]
			m.n, m.r, m.g, m.b = m.n+b.n, m.r+b.r, m.g+b.g, m.b+b.b
		} else if len(main) < mainColours {
			main = append(main, b)
		}
	}
	for _, b := range main {
		if share := float64(b.n) / float64(all); share >= leastShare && float64(b.n) >= leastPart*float64(main[0].n) {
			c := mean(b)
			cover := 255 - luminance(uint32(c[0]), uint32(c[1]), uint32(c[2]))
			p.Colours = append(p.Colours, Colour{uint8(c[0]), uint8(c[1]), uint8(c[2]), share, uint8(cover)})
		}
	}
}

func abs(v int) int { return max(v, -v) }
