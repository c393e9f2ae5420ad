package preflight

import (
	"math"

	"stencilproof/raster"
)

// Marks of one kind and verdict that lie within reach of each other, one after
// the next, become one mark when there are gatherFrom or more. Two are within
// reach when the gap between their boxes is at most gatherReach of the
// artwork's longer side, along x and along y. A halftone's dots are a hundredth
// of a picture apart and closer; at a twentieth, a line of lettering still
// belongs together and two corners of an artwork do not.
const (
	gatherFrom  = 20
	gatherReach = 1.0 / 20
)

// gather joins many alike and close together. reach is in millimetres. The
// order of the result is that of each group's first mark.
func gather(marks []Mark, reach float64) []Mark {
	if len(marks) < gatherFrom {
		return marks
	}
	group := make([]int, len(marks))
	for i := range group {
		group[i] = i
	}
	type class struct {
		kind    raster.Kind
		verdict Verdict
		corner  bool
	}
	classes := map[class][]int{}
	for i := range marks {
		c := class{marks[i].Kind, marks[i].Verdict, marks[i].Corner}
		classes[c] = append(classes[c], i)
	}
	for _, members := range classes {
		if len(members) >= gatherFrom {
			link(marks, members, reach, group)
		}
	}
	members := map[int][]Mark{}
	for i := range marks {
		g := find(group, i)
		members[g] = append(members[g], marks[i])
	}
	var out []Mark
	for i := range marks {
		switch g := find(group, i); {
		case len(members[g]) < gatherFrom:
			out = append(out, marks[i])
		case g == i:
			out = append(out, merge(members[g]))
		}
	}
	return out
}

// link unites, in group, the members whose boxes lie within reach of each other.
//
// Boxes are hung into cells of half the reach. Two in the same or in adjacent
// cells cover at most four cell sides between their outer edges, two of which
// are the cells' own, so their gap is at most one reach: they are united
// unseen. Two cells apart on one axis, the nearest of each side decides; on both axes, every pair is
// tried, but only between cells not yet united. So the cost grows with the
// number of marks, not with its square, however densely they lie.
func link(marks []Mark, members []int, reach float64, group []int) {
	side := reach / 2
	type cell struct{ x, y int }
	cells := map[cell][]int{}
	var order []cell
	for _, i := range members {
		b := marks[i].Box
		for y := int(math.Floor(b.Y0 / side)); y <= int(math.Floor(b.Y1/side)); y++ {
			for x := int(math.Floor(b.X0 / side)); x <= int(math.Floor(b.X1/side)); x++ {
				c := cell{x, y}
				if cells[c] == nil {
					order = append(order, c)
				}
				cells[c] = append(cells[c], i)
			}
		}
	}
	unite := func(i, j int) {
		i, j = find(group, i), find(group, j)
		group[max(i, j)] = min(i, j)
	}
	for _, c := range order {
		for _, i := range cells[c] {
			unite(cells[c][0], i)
		}
	}
	for _, near := range [2]bool{true, false} {
		for _, c := range order {
			for dy := 0; dy <= 2; dy++ {
				for dx := -2; dx <= 2; dx++ {
					if (dy == 0 && dx <= 0) || near != (dy <= 1 && dx >= -1 && dx <= 1) {
						continue
					}
					other := cells[cell{c.x + dx, c.y + dy}]
					if other == nil || find(group, cells[c][0]) == find(group, other[0]) {
						continue
					}
					if near || within(marks, cells[c], other, reach, dx, dy) {
						unite(cells[c][0], other[0])
					}
				}
			}
		}
	}
}

// within reports whether a mark of the one cell is within reach of one of the
// other, which lies dx cells right and dy cells below, two on one axis at least.
func within(marks []Mark, a, b []int, reach float64, dx, dy int) bool {
	if dx < 0 { // mirror, so that b lies to the right
		dx = -dx
		mirrored := func(b BoxMM) BoxMM { return BoxMM{-b.X1, b.Y0, -b.X0, b.Y1} }
		return apart(marks, a, b, dx, dy, reach, mirrored)
	}
	return apart(marks, a, b, dx, dy, reach, func(b BoxMM) BoxMM { return b })
}

// apart is within for b to the right of or below a. On an axis on which the
// cells are adjacent or the same, the gap is within reach anyway.
func apart(marks []Mark, a, b []int, dx, dy int, reach float64, turn func(BoxMM) BoxMM) bool {
	right, low := math.Inf(-1), math.Inf(-1) // the outermost edges of a
	for _, i := range a {
		q := turn(marks[i].Box)
		right, low = math.Max(right, q.X1), math.Max(low, q.Y1)
	}
	for _, j := range b {
		q := turn(marks[j].Box)
		if (dx == 2 && q.X0-right > reach) || (dy == 2 && q.Y0-low > reach) {
			continue
		}
		if dx < 2 || dy < 2 {
			return true
		}
		for _, i := range a {
			if p := turn(marks[i].Box); q.X0-p.X1 <= reach && q.Y0-p.Y1 <= reach {
				return true
			}
		}
	}
	return false
}

// find returns the first member of i's group, shortening the way for the next.
func find(group []int, i int) int {
	for group[i] != i {
		group[i] = group[group[i]]
		i = group[i]
	}
	return i
}

// merge makes one mark of several of the same kind and verdict. Width and place
// are those of the narrowest in proportion to its limit, the length is the
// longest's, the area is that of all.
func merge(marks []Mark) Mark {
	worst := 0
	for i := range marks {
		if worstFirst(marks[i], marks[worst]) < 0 {
			worst = i
		}
	}
	m := marks[worst]
	if len(marks) == 1 {
		return m
	}
	m.Count, m.AreaMM2 = 0, 0
	m.Path, m.Closed = nil, false
	for i := range marks {
		o := &marks[i]
		m.Count += o.Count
		m.AreaMM2 += o.AreaMM2
		m.LengthMM = math.Max(m.LengthMM, o.LengthMM)
		m.Box = BoxMM{math.Min(m.Box.X0, o.Box.X0), math.Min(m.Box.Y0, o.Box.Y0), math.Max(m.Box.X1, o.Box.X1), math.Max(m.Box.Y1, o.Box.Y1)}
		m.Boxes = append(m.Boxes, o.Box)
		m.Ats = append(m.Ats, o.At)
	}
	return m
}
