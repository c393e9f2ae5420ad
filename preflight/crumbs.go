package preflight

import "stencilproof/raster"

// crumbReach is how far, in pixels, a crumb may lie from what it broke off.
const crumbReach = 3

// splitSpecks parts specks into those that stand alone (dust, pinholes) and
// crumbs: where a bilevel point or crotch tapers under a pixel, its last pixels
// come apart from it. A speck is a crumb when it lies within crumbReach pixels
// of more of the same side that is no speck, or of another crumb. Crumbs are
// the tip's own matter and are not judged.
func splitSpecks(b *raster.Bits, specks []raster.Speck) (alone []raster.Speck) {
	if len(specks) == 0 {
		return nil
	}
	type cell struct {
		x, y int
		film bool
	}
	owner := map[cell]int{} // pixels of specks
	inside := func(x, y int) bool { return x >= 0 && y >= 0 && x < b.W && y < b.H }
	box := func(i int) (x0, y0, x1, y1 int) {
		q := specks[i].Box
		return int(q.X0), int(q.Y0), int(q.X1 + 0.999), int(q.Y1 + 0.999)
	}
	for i, s := range specks {
		x0, y0, x1, y1 := box(i)
		for y := y0; y < y1; y++ {
			for x := x0; x < x1; x++ {
				if inside(x, y) && b.Get(x, y) != s.Film {
					owner[cell{x, y, s.Film}] = i
				}
			}
		}
	}
	crumb := make([]bool, len(specks))
	var queue []int
	around := func(i int, visit func(c cell)) {
		x0, y0, x1, y1 := box(i)
		for y := y0 - crumbReach; y < y1+crumbReach; y++ {
			for x := x0 - crumbReach; x < x1+crumbReach; x++ {
				// Outside the plane is film, which no pinhole broke off from.
				if inside(x, y) && b.Get(x, y) != specks[i].Film {
					visit(cell{x, y, specks[i].Film})
				}
			}
		}
	}
	for i := range specks {
		around(i, func(c cell) {
			if _, ok := owner[c]; !ok && !crumb[i] {
				crumb[i] = true
				queue = append(queue, i)
			}
		})
	}
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		around(i, func(c cell) {
			if j := owner[c]; !crumb[j] && specks[j].Film == specks[i].Film {
				if _, ok := owner[c]; ok {
					crumb[j] = true
					queue = append(queue, j)
				}
			}
		})
	}
	for i, s := range specks {
		if !crumb[i] {
			alone = append(alone, s)
		}
	}
	return alone
}
