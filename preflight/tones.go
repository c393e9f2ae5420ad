package preflight

import (
	"cmp"
	"slices"

	"stencilproof/raster"
)

// Tone is a region that is neither solid nor clear, away from any edge.
type Tone struct {
	Box   raster.Box // pixels
	Area  float64    // square pixels, in whole blocks
	Cover float64    // mean coverage, 0 to 1
}

// The grid on which tones are looked for. A block of toneBlock pixels a side is
// tone when every pixel lies between 10 and 90 % and they differ by less than
// 40 %. An edge never fills such a block: even one blurred by sigma 2.5 px,
// the worst scan that is promised, changes by 48 % over four pixels at its
// middle and by 89 % over eight. Smaller blocks would take a blurred edge's
// foot for tone; larger ones would miss narrow tints.
const (
	toneBlock  = 8
	toneLow    = 26  // 10 %
	toneHigh   = 229 // 90 %
	toneSpread = 102 // 40 %
)

// surveyTones finds the tones of a grey plane, largest first. It reads most
// blocks at one pixel only, for ink and film are solid nearly everywhere.
// Regions of less than two blocks are left to chance.
func surveyTones(k *raster.Ink) []Tone {
	if k.Grey == nil {
		return nil
	}
	bw, bh := k.W/toneBlock, k.H/toneBlock
	mean := make([]uint8, bw*bh) // 0: no tone
	for by := range bh {
		for bx := range bw {
			mean[by*bw+bx] = toneOf(k, bx*toneBlock, by*toneBlock)
		}
	}
	var tones []Tone
	var stack []int
	for start := range mean {
		if mean[start] == 0 {
			continue
		}
		x0, y0, x1, y1 := bw, bh, 0, 0
		blocks, sum := 0, 0
		take := func(i int) {
			x, y := i%bw, i/bw
			x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x+1), max(y1, y+1)
			blocks++
			sum += int(mean[i])
			mean[i] = 0
			stack = append(stack, i)
		}
		for take(start); len(stack) > 0; {
			i := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			x, y := i%bw, i/bw
			for ny := max(0, y-1); ny <= min(bh-1, y+1); ny++ {
				for nx := max(0, x-1); nx <= min(bw-1, x+1); nx++ {
					if n := ny*bw + nx; mean[n] != 0 {
						take(n)
					}
				}
			}
		}
		if blocks < 2 {
			continue
		}
		tones = append(tones, Tone{
			Box:   raster.Box{X0: float64(x0 * toneBlock), Y0: float64(y0 * toneBlock), X1: float64(x1 * toneBlock), Y1: float64(y1 * toneBlock)},
			Area:  float64(blocks * toneBlock * toneBlock),
			Cover: float64(sum) / float64(blocks) / 255,
		})
	}
	slices.SortStableFunc(tones, func(a, b Tone) int { return cmp.Compare(b.Area, a.Area) })
	return tones
}

// toneOf returns the mean of the block at (x0, y0) when it is tone, else 0.
func toneOf(k *raster.Ink, x0, y0 int) uint8 {
	lo, hi, sum := uint8(255), uint8(0), 0
	for y := y0; y < y0+toneBlock; y++ {
		for _, v := range k.Grey[y*k.W+x0 : y*k.W+x0+toneBlock] {
			if v < toneLow || v > toneHigh {
				return 0
			}
			lo, hi = min(lo, v), max(hi, v)
			sum += int(v)
		}
	}
	if hi-lo >= toneSpread {
		return 0
	}
	return uint8(sum / (toneBlock * toneBlock))
}

// greyAreas returns the note grey-areas with the regions and their area. Its
// value held_lpi is the finest ruling at which the film holds a halftone of 10 %.
func greyAreas(s *Survey, film *Film) []Note {
	if len(s.Tones) == 0 {
		return nil
	}
	mm2 := square(s.Artwork.UMPerPx() / 1000)
	n := Note{Code: NoteGreyAreas, Count: len(s.Tones), Values: map[string]float64{}}
	area, cover, low, high := 0.0, 0.0, 1.0, 0.0
	for i, t := range s.Tones {
		area += t.Area
		cover += t.Area * t.Cover
		low, high = min(low, t.Cover), max(high, t.Cover)
		if i < mostPlaces {
			n.Places = append(n.Places, s.middle(t.Box))
			n.Boxes = append(n.Boxes, s.box(t.Box))
		}
	}
	n.Values["area_mm2"] = area * mm2
	n.Values["mean_pct"] = 100 * cover / area
	n.Values["lightest_pct"], n.Values["darkest_pct"] = 100*low, 100*high
	n.Values["held_lpi"] = coarseEnough(film)
	return []Note{n}
}
