package raster

import (
	"encoding/binary"
	"math"
	"slices"
	"sync"
)

// Levels of scans. A scanned sheet's paper is not quite white and its ink not
// quite black; edges at half coverage then lie at the wrong level, and every
// sum of coverage is short.
const (
	// levelSpan is how far from a level's mode its own noise may reach.
	levelSpan = 14
	// levelShare is the least share of its half of all values that a level must
	// hold within levelSpan. Halftone and shaded art has none that does.
	levelShare = 0.4
	// levelPaper and levelInk are how dark paper and how pale ink may be. What
	// is greyer was meant to be grey.
	levelPaper, levelInk = 80, 170
	// levelClean is what is left alone: rounding and compression do as much.
	levelClean = 3
	// levelFlat is the least share of a level's pixels that lie amid their like.
	levelFlat = 0.05
	// levelEnd is the share of all values of its half that may lie beyond a level that no
	// pixel amid its like tells.
	levelEnd = 0.005
)

// Levels are the levels of paper and ink, as coverages of 255.
type Levels struct {
	Paper, Ink uint8
	Stretched  bool    // they were not 0 and 255, and are now
	Noise      float64 // deviation of the noisier, of 255
	Unsure     bool    // no bold ink, or no bare paper, told one of them
}

// asTheyAre are the levels of a plane that is left alone.
var asTheyAre = Levels{Ink: 255}

// StretchLevels measures the paper's and the ink's level of a grey plane, as
// coverages of 255, and where paper is not white or ink not black stretches
// the plane to 0 and 255 in place, with its cut at half. What lies within three
// deviations of a level becomes that level, so the paper's grain is gone.
//
// A plane with its own clear and solid, one of deliberate greys or halftone, and
// a bilevel one are left as they are. So is one on white
// paper whose ink nowhere covers a pixel and its four neighbours: a line of
// 0.94 px at a slope of 3/4 fills the same 0.87 of pixel after pixel, and that is its
// width and not the ink's level. The same holds for paper round solid ink. In a scan, where
// neither is clean, the darkest of such lines is taken for the ink's level instead of what
// most of them have: their middles are paler than their ink.
func StretchLevels(k *Ink) Levels {
	if k.Grey == nil {
		return asTheyAre
	}
	count := countLevels(k.H, func(y int, count *[256]int) { countGreys(k.Grey[y*k.W:(y+1)*k.W], count) })
	p, pNoise, okP := level(count[:128])
	flipped := slices.Clone(count[128:])
	slices.Reverse(flipped)
	q, qNoise, okQ := level(flipped)
	q = 255 - q
	if !okP || !okQ || p > levelPaper || q < levelInk || p <= levelClean && q >= 255-levelClean {
		return asTheyAre
	}
	inkFlat, paperFlat := true, true
	if q < 255-levelClean {
		inkFlat = flat(k, uint8(q-levelSpan), 255) >= levelFlat
	}
	if p > levelClean {
		paperFlat = flat(k, 0, uint8(p+levelSpan)) >= levelFlat
	}
	switch {
	case p <= levelClean && !inkFlat, q >= 255-levelClean && !paperFlat:
		return asTheyAre
	case !inkFlat: // blurred lines alone, whose middles are paler than their ink
		q, qNoise = max(q, 255-outermost(flipped)), 0
	case !paperFlat:
		p, pNoise = min(p, outermost(count[:128])), 0
	}
	var table [256]uint8
	for v := range table {
		x := float64(v)
		switch {
		case x <= p+max(1, 3*pNoise):
			table[v] = 0
		case x >= q-max(1, 3*qNoise):
			table[v] = 255
		default:
			table[v] = uint8(math.Round(255 * (x - p) / (q - p)))
		}
	}
	for i, v := range k.Grey {
		k.Grey[i] = table[v]
	}
	*k.Bits = *NewGreyInk(k.W, k.H, k.Grey).Bits
	return Levels{uint8(math.Round(p)), uint8(math.Round(q)), true, max(pNoise, qNoise), !inkFlat || !paperFlat}
}

// countLevels adds up what count counts in each of h rows, in parallel.
func countLevels(h int, count func(y int, count *[256]int)) (all [256]int) {
	var mu sync.Mutex
	bands(h, func(y0, y1 int) {
		var mine [256]int
		for y := y0; y < y1; y++ {
			count(y, &mine)
		}
		mu.Lock()
		defer mu.Unlock()
		for v, n := range mine {
			all[v] += n
		}
	})
	return all
}

// countGreys counts the values of a row, eight at a time where all are clear or solid.
func countGreys(row []uint8, count *[256]int) {
	for ; len(row) >= 8; row = row[8:] {
		switch binary.LittleEndian.Uint64(row) {
		case 0:
			count[0] += 8
		case ^uint64(0):
			count[255] += 8
		default:
			for _, v := range row[:8] {
				count[v]++
			}
		}
	}
	for _, v := range row {
		count[v]++
	}
}

// flat returns the share of the pixels from lo to hi whose four neighbours are
// from lo to hi too. The border's pixels count as amid others.
func flat(k *Ink, lo, hi uint8) float64 {
	in := func(v uint8) bool { return v >= lo && v <= hi }
	n, amid := 0, 0
	for y := 0; y < k.H; y++ {
		row := k.Grey[y*k.W : (y+1)*k.W]
		for x, v := range row {
			if !in(v) {
				continue
			}
			n++
			if (x == 0 || in(row[x-1])) && (x+1 == k.W || in(row[x+1])) &&
				(y == 0 || in(k.Grey[(y-1)*k.W+x])) && (y+1 == k.H || in(k.Grey[(y+1)*k.W+x])) {
				amid++
			}
		}
	}
	return float64(amid) / float64(max(1, n))
}

// level finds the level in count, which begins at the level's own end of the
// scale, and the deviation of its noise; false when the values do not gather.
func level(count []int) (at, noise float64, ok bool) {
	total, mode, top := 0, 0, 0
	for v := range count {
		total += count[v]
		sum := 0 // five values: a single one may be a comb's tooth
		for i := max(0, v-2); i <= min(len(count)-1, v+2); i++ {
			sum += count[i]
		}
		if sum > top {
			mode, top = v, sum
		}
	}
	// The end itself, where it holds a tenth of what the mode does, is clear or
	// solid beyond doubt, and the rest something else.
	if count[0]*10 > top {
		return 0, 0, total > 0
	}
	// The edges' greys lie on one side of the level only: draw the span in.
	mean, span := float64(mode), float64(levelSpan)
	for round := 0; round < 6; round++ {
		n, sum, sq := 0.0, 0.0, 0.0
		for v := max(0, int(math.Ceil(mean-span))); v <= min(len(count)-1, int(mean+span)); v++ {
			c := float64(count[v])
			n += c
			sum += c * float64(v)
			sq += c * float64(v) * float64(v)
		}
		if total == 0 || n == 0 || round == 0 && n < levelShare*float64(total) {
			return 0, 0, false
		}
		mean = sum / n
		noise = math.Sqrt(max(0, sq/n-mean*mean))
		span = max(2, 2*noise)
	}
	return mean, noise, true
}

// outermost is the value under which levelEnd of the values in count lie.
func outermost(count []int) float64 {
	total := 0
	for _, n := range count {
		total += n
	}
	sum := 0
	for v, n := range count {
		if sum += n; float64(sum) >= levelEnd*float64(total) {
			return float64(v)
		}
	}
	return 0
}

// BlendLevel returns the mean ink level (0 to 1) of the grey pixels between clear
// and solid ones, those with both among their eight neighbours, and how many
// there are. No grey level counts for more than four times its even share, for
// one edge along an axis is one level many times over and tells nothing. Edges at all angles and phases cover half of such pixels on
// average. Art whose edges were blended in the encoded value, as this package
// takes it, gives 0.50 (0.44 to 0.56 over some hundreds of pixels); art blended in linear light
// gives 0.35, and its widths read half a pixel narrow (ink) or wide (film).
func BlendLevel(k *Ink) (mean float64, n int) {
	if k.Grey == nil {
		return 0, 0
	}
	const clear, solid = levelClean, 255 - levelClean
	w := k.W
	count := countLevels(k.H, func(y int, count *[256]int) {
		if y == 0 || y+1 == k.H {
			return
		}
		row := k.Grey[y*w : (y+1)*w]
		for x := 1; x+1 < w; x++ {
			if x+8 < w { // most of a page is clear or solid
				if eight := binary.LittleEndian.Uint64(row[x:]); eight == 0 || eight == ^uint64(0) {
					x += 7
					continue
				}
			}
			v := row[x]
			if v <= clear || v >= solid {
				continue
			}
			lo, hi := v, v
			for i := (y - 1) * w; i <= (y+1)*w; i += w {
				a, b, c := k.Grey[i+x-1], k.Grey[i+x], k.Grey[i+x+1]
				lo, hi = min(lo, a, b, c), max(hi, a, b, c)
			}
			if lo <= clear && hi >= solid {
				count[v]++
			}
		}
	})
	all := 0
	for _, c := range count {
		all += c
	}
	sum, most := 0, 1+4*all/(solid-clear)
	for v, c := range count {
		c = min(c, most)
		sum += v * c
		n += c
	}
	if n == 0 {
		return 0, 0
	}
	return float64(sum) / 255 / float64(n), n
}

// UndoLinearLight turns a plane whose edges were blended in linear light and
// then encoded by the sRGB curve (IEC 61966-2-1) into plain coverage, in place.
func UndoLinearLight(k *Ink) {
	if k.Grey == nil {
		return
	}
	var table [256]uint8
	for v := range table {
		e := 1 - float64(v)/255 // encoded lightness
		l := e / 12.92
		if e > 0.04045 {
			l = math.Pow((e+0.055)/1.055, 2.4)
		}
		table[v] = uint8(math.Round(255 * (1 - l)))
	}
	for i, v := range k.Grey {
		k.Grey[i] = table[v]
	}
	*k.Bits = *NewGreyInk(k.W, k.H, k.Grey).Bits
}
