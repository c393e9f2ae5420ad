package proof

import (
	"math"
	"sort"

	"stencilproof/preflight"
	"stencilproof/raster"
)

// letterRow are the letters of places, without I, as for detail views on
// technical drawings; there are never more places than letters.
const letterRow = "ABCDEFGHJKLM"

const maxPlaces = len(letterRow)

// place is a mark, or a group of marks of one kind and verdict, that the proof
// speaks of as one.
type place struct {
	letter    string
	kind      raster.Kind
	verdict   preflight.Verdict
	specks    bool  // probably dust
	marks     []int // indexes into Report.Marks, ascending
	count     int   // features
	tightest  *preflight.Mark
	scattered bool
	box       preflight.BoxMM // around all its marks
}

// class is a kind and a verdict, dust apart: marks of two classes never share a
// place.
type class struct {
	kind    raster.Kind
	verdict preflight.Verdict
	specks  bool
}

func classOf(m *preflight.Mark) class { return class{m.Kind, m.Verdict, m.Specks} }

// places groups the marks of a report into at most twelve places. Up to twelve
// marks are each their own. Else marks of one class whose boxes, grown by g,
// touch are joined, g growing by half from 1/50 of the longer side until there
// are few enough. If a quarter of the side does not do it, the class with most
// groups becomes one scattered place, and so on: there are twelve classes, dots
// and islands of dust among them. Every place whose outline would say little is
// scattered too, see sparse.
func places(r *preflight.Report) []*place {
	ms := r.Marks
	var groups [][]int
	scattered := map[class]bool{}
	if len(ms) <= maxPlaces {
		for i := range ms {
			groups = append(groups, []int{i})
		}
	} else {
		side := math.Max(r.Artwork.WidthMM, r.Artwork.HeightMM)
		for g := side / 50; ; g *= 1.5 {
			g = math.Min(g, side/4)
			groups = join(ms, g)
			if len(groups) <= maxPlaces || g == side/4 {
				break
			}
		}
		for len(groups) > maxPlaces {
			groups = scatter(ms, groups, scattered)
		}
		groups = gatherSparse(r, groups, scattered)
	}
	out := make([]*place, len(groups))
	for i, g := range groups {
		out[i] = newPlace(ms, g)
		out[i].scattered = scattered[classOf(&ms[g[0]])] || sparse(r, out[i])
	}
	order(out, r.Artwork.WidthMM/2, r.Artwork.HeightMM/2)
	return out
}

func newPlace(ms []preflight.Mark, g []int) *place {
	sort.Ints(g)
	p := &place{kind: ms[g[0]].Kind, verdict: ms[g[0]].Verdict, specks: ms[g[0]].Specks, marks: g, box: ms[g[0]].Box}
	for _, i := range g {
		m := &ms[i]
		p.count += max(m.Count, 1)
		p.box = union(p.box, m.Box)
		if p.tightest == nil || m.WidthUM < p.tightest.WidthUM {
			p.tightest = m
		}
	}
	return p
}

func union(a, b preflight.BoxMM) preflight.BoxMM {
	return preflight.BoxMM{X0: math.Min(a.X0, b.X0), Y0: math.Min(a.Y0, b.Y0), X1: math.Max(a.X1, b.X1), Y1: math.Max(a.Y1, b.Y1)}
}

// join groups marks of one class whose boxes, each grown by g on all sides,
// touch. Boxes are swept from left to right, so that only those that meet in x
// are compared.
func join(ms []preflight.Mark, g float64) [][]int {
	parent := make([]int, len(ms))
	for i := range parent {
		parent[i] = i
	}
	find := func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	byX := make([]int, len(ms))
	for i := range byX {
		byX[i] = i
	}
	sort.SliceStable(byX, func(i, j int) bool { return ms[byX[i]].Box.X0 < ms[byX[j]].Box.X0 })
	active := map[class][]int{}
	for _, i := range byX {
		b := ms[i].Box
		c := classOf(&ms[i])
		kept := active[c][:0]
		for _, j := range active[c] {
			o := ms[j].Box
			if o.X1+2*g < b.X0 {
				continue
			}
			kept = append(kept, j)
			if o.Y0 <= b.Y1+2*g && b.Y0 <= o.Y1+2*g {
				parent[find(i)] = find(j)
			}
		}
		active[c] = append(kept, i)
	}
	at := map[int]int{}
	var out [][]int
	for i := range ms {
		r := find(i)
		k, ok := at[r]
		if !ok {
			k = len(out)
			at[r] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	return out
}

// scatter makes one group of the class that has most groups; of equals, the
// one that comes first.
func scatter(ms []preflight.Mark, groups [][]int, done map[class]bool) [][]int {
	n := map[class]int{}
	var most class
	for _, g := range groups {
		c := classOf(&ms[g[0]])
		n[c]++
	}
	best := 0
	for _, g := range groups {
		if c := classOf(&ms[g[0]]); n[c] > best {
			best, most = n[c], c
		}
	}
	return scatterClass(ms, groups, most, done)
}

// gatherSparse makes one scattered group of every class of which one group is
// to be scattered for being sparse: the signs of that one stand all over the
// artwork, so letters for the rest of its kind tell nobody more.
func gatherSparse(r *preflight.Report, groups [][]int, done map[class]bool) [][]int {
	n := map[class]int{}
	for _, g := range groups {
		n[classOf(&r.Marks[g[0]])]++
	}
	for _, g := range groups {
		if c := classOf(&r.Marks[g[0]]); n[c] > 1 && !done[c] && sparse(r, newPlace(r.Marks, g)) {
			return gatherSparse(r, scatterClass(r.Marks, groups, c, done), done)
		}
	}
	return groups
}

// scatterClass makes one group of all groups of a class.
func scatterClass(ms []preflight.Mark, groups [][]int, most class, done map[class]bool) [][]int {
	done[most] = true
	var out [][]int
	var one []int
	for _, g := range groups {
		if classOf(&ms[g[0]]) == most {
			one = append(one, g...)
		} else {
			out = append(out, g)
		}
	}
	return append(out, one)
}

// order letters the places: all that fail first, and within a verdict
// clockwise from twelve o'clock about the artwork's middle.
func order(ps []*place, cx, cy float64) {
	angle := func(p *place) float64 {
		x, y := (p.box.X0+p.box.X1)/2-cx, (p.box.Y0+p.box.Y1)/2-cy
		if math.Hypot(x, y) < 1e-9 {
			return 0
		}
		a := math.Atan2(x, -y)
		if a < 0 {
			a += 2 * math.Pi
		}
		return a
	}
	sort.SliceStable(ps, func(i, j int) bool {
		if ps[i].verdict != ps[j].verdict {
			return ps[i].verdict > ps[j].verdict
		}
		if a, b := angle(ps[i]), angle(ps[j]); a != b {
			return a < b
		}
		return ps[i].marks[0] < ps[j].marks[0]
	})
	for i, p := range ps {
		p.letter = letterRow[i : i+1]
	}
}
