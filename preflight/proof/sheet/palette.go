package sheet

import (
	"image"
	"image/color"
	"sort"
)

// Reduce returns the image with at most 256 colours. A page has few colours
// and their blends with the ground: the commonest are kept as they are, and the
// rest go to the nearest of them.
func Reduce(img *image.RGBA) *image.Paletted {
	b := img.Bounds()
	count := map[uint32]int{}
	key := func(p []uint8) uint32 { return uint32(p[0])<<16 | uint32(p[1])<<8 | uint32(p[2]) }
	eachRun(img, key, func(_, n int, c uint32) { count[c] += n })
	all := make([]uint32, 0, len(count))
	for c := range count {
		all = append(all, c)
	}
	sort.Slice(all, func(i, j int) bool {
		if count[all[i]] != count[all[j]] {
			return count[all[i]] > count[all[j]]
		}
		return all[i] < all[j]
	})
	kept := spread(all, 256)
	index := make(map[uint32]uint8, len(count))
	for _, c := range all {
		index[c] = uint8(nearest(kept, c))
	}
	pal := make(color.Palette, len(kept))
	for i, c := range kept {
		pal[i] = color.RGBA{R: uint8(c >> 16), G: uint8(c >> 8), B: uint8(c), A: 255}
	}
	out := image.NewPaletted(image.Rect(0, 0, b.Dx(), b.Dy()), pal)
	eachRun(img, key, func(at, n int, c uint32) {
		if i := index[c]; i > 0 {
			for j := range out.Pix[at : at+n] {
				out.Pix[at+j] = i
			}
		}
	})
	return out
}

// eachRun calls f for every run of pixels of one colour in a row: where it
// begins, counted over the whole image, how long it is, and its colour's key.
func eachRun(img *image.RGBA, key func([]uint8) uint32, f func(at, n int, c uint32)) {
	b := img.Bounds()
	w := b.Dx()
	for y := range b.Dy() {
		row := img.Pix[img.PixOffset(b.Min.X, b.Min.Y+y):][:4*w]
		for x := 0; x < w; {
			c, from := key(row[4*x:]), x
			for x++; x < w && key(row[4*x:]) == c; x++ {
			}
			f(y*w+from, x-from, c)
		}
	}
}

// spread picks up to n colours, the commonest first, leaving out those near
// one that is already in; the nearness asked for starts high and falls until n
// are found.
func spread(all []uint32, n int) []uint32 {
	if len(all) <= n {
		return all
	}
	var kept []uint32
	taken := make(map[uint32]bool, n)
	for _, near := range []int{600, 200, 60, 12, 0} {
		for _, c := range all {
			if len(kept) == n {
				return kept
			}
			if taken[c] {
				continue
			}
			if len(kept) == 0 || apart(kept[nearest(kept, c)], c) > near {
				kept = append(kept, c)
				taken[c] = true
			}
		}
	}
	return kept
}

func nearest(kept []uint32, c uint32) int {
	best, at := 1<<30, 0
	for i, k := range kept {
		if d := apart(k, c); d < best {
			best, at = d, i
			if d == 0 {
				break
			}
		}
	}
	return at
}

func apart(a, b uint32) int {
	r := int(a>>16&255) - int(b>>16&255)
	g := int(a>>8&255) - int(b>>8&255)
	l := int(a&255) - int(b&255)
	return 3*r*r + 6*g*g + l*l
}
