package preflight

import (
	"slices"

	"stencilproof/raster"
)

// nearTree orders grains so that the nearest to one are found without looking at
// all: the middle one of every stretch parts it, by x and by y in turn (Bentley,
// Commun. ACM 1975).
type nearTree struct {
	list  []grain
	order []int
}

// findNear fills in each grain's nearest others and returns which they are.
func findNear(list []grain) [][4]int {
	t := nearTree{list: list, order: make([]int, len(list))}
	for i := range t.order {
		t.order[i] = i
	}
	t.sort(0, len(list), false)
	out := make([][4]int, len(list))
	for i := range list {
		list[i].n = 0
		t.search(0, len(list), false, i, &out[i])
	}
	return out
}

func (t *nearTree) key(i int, byY bool) float64 {
	if byY {
		return t.list[i].at.Y
	}
	return t.list[i].at.X
}

func (t *nearTree) sort(lo, hi int, byY bool) {
	if hi-lo < 2 {
		return
	}
	slices.SortFunc(t.order[lo:hi], func(a, b int) int {
		if d := t.key(a, byY) - t.key(b, byY); d < 0 {
			return -1
		} else if d > 0 {
			return 1
		}
		return a - b
	})
	mid := (lo + hi) / 2
	t.sort(lo, mid, !byY)
	t.sort(mid+1, hi, !byY)
}

// search looks through order[lo:hi] for what is nearer to grain i than the
// farthest of those it has.
func (t *nearTree) search(lo, hi int, byY bool, i int, at *[4]int) {
	if lo >= hi {
		return
	}
	g := &t.list[i]
	mid := (lo + hi) / 2
	j := t.order[mid]
	if j != i {
		step := raster.Point{X: t.list[j].at.X - g.at.X, Y: t.list[j].at.Y - g.at.Y}
		k := g.n
		for k > 0 && length(step) < length(g.near[k-1]) {
			k--
		}
		if k < len(g.near) {
			copy(g.near[k+1:], g.near[k:])
			copy(at[k+1:], at[k:])
			g.near[k], at[k] = step, j
			g.n = min(g.n+1, len(g.near))
		}
	}
	gap := t.key(i, byY) - t.key(j, byY)
	if gap < 0 {
		t.search(lo, mid, !byY, i, at)
	} else {
		t.search(mid+1, hi, !byY, i, at)
	}
	if g.n < len(g.near) || max(gap, -gap) <= length(g.near[len(g.near)-1]) {
		if gap < 0 {
			t.search(mid+1, hi, !byY, i, at)
		} else {
			t.search(lo, mid, !byY, i, at)
		}
	}
}
