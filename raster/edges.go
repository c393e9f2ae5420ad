package raster

import (
	"encoding/binary"
	"math"
)

// Edges is how the edges of a grey plane look.
type Edges struct {
	// Length is how long they are in all, in pixels.
	Length float64
	// Soft is over how many pixels coverage rises from a tenth to nine tenths, on average, of
	// those next to where it passes half: about 1 for edges as a drawing program makes them,
	// 2 in a blur of 0.7 pixels, and 2.5 at most.
	Soft float64
	// Grain is how many pixels there are, for each of the edges' length, that are not quite
	// clear or solid, nor beside one that is much less so. A drawing has 0.1 at most; JPEG,
	// ripples of enlarging, and noise leave more.
	Grain float64
}

// What Edges takes for nearly clear, or solid; for an edge's grey; and for a tone, which
// changes by less within 3x3 pixels.
const (
	nearlyClear  = 24
	leastGrain   = 2
	edgeLow      = 26
	edgeHigh     = 229
	toneRise     = 40
	plateau      = 6           // within this of the least or the most around, a pixel is a level and no edge
	crossingsFor = 4 / math.Pi // crossings of rows and columns for a pixel of edge at random
)

// LookAtEdges looks at the edges of a plane; of a bilevel one it returns zeros.
func LookAtEdges(k *Ink) (e Edges) {
	if k.Grey == nil {
		return e
	}
	w := k.W
	const grain, grey, crossing = 0, 1, 2
	count := countLevels(k.H, func(y int, count *[256]int) {
		if y == 0 || y+1 == k.H {
			return
		}
		up, row, down := k.Grey[(y-1)*w:y*w], k.Grey[y*w:(y+1)*w], k.Grey[(y+1)*w:(y+2)*w]
		for x := 1; x+1 < w; x++ {
			if x+9 < w { // most of a page is clear or solid
				a, b, c := binary.LittleEndian.Uint64(up[x:]), binary.LittleEndian.Uint64(row[x:]), binary.LittleEndian.Uint64(down[x:])
				if a == b && b == c && (b == 0 || b == ^uint64(0)) && (row[x+8] < 128) == (b == 0) {
					x += 7
					continue
				}
			}
			v := row[x]
			if (v < 128) != (row[x+1] < 128) {
				count[crossing]++
			}
			if (v < 128) != (down[x] < 128) {
				count[crossing]++
			}
			lo := min(up[x-1], up[x], up[x+1], row[x-1], v, row[x+1], down[x-1], down[x], down[x+1])
			hi := max(up[x-1], up[x], up[x+1], row[x-1], v, row[x+1], down[x-1], down[x], down[x+1])
			switch {
			case hi <= nearlyClear && v >= leastGrain, lo >= 255-nearlyClear && v <= 255-leastGrain:
				count[grain]++
			case v >= edgeLow && v <= edgeHigh && hi-lo >= toneRise && lo < 128 && hi >= 128 && v > lo+plateau && v < hi-plateau:
				count[grey]++
			}
		}
	})
	e.Length = float64(count[crossing]) / crossingsFor
	if e.Length > 0 {
		e.Soft = float64(count[grey]) / e.Length
		e.Grain = float64(count[grain]) / e.Length
	}
	return e
}
