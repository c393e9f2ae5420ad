package proof

import (
	"math"
	"sort"

	"stencilproof/preflight/proof/sheet"
)

// The ring of letters around the map, in millimetres of paper.
const (
	ringMargin = 9.0 // beside the picture, for the letters
	ringDisc   = 2.9 // radius of a letter's disc
	ringPitch  = 7.4 // least distance of two discs' middles
	ringFlat   = 2.2 // a leader runs flat up to here from the picture
	ringReach  = 1.7 // and ends no farther out than this
	ringClear  = 0.8 // least distance of a leader's end from another leader, where that can be had
)

// leader leads from a letter's disc to its place.
type leader struct {
	disc   sheet.Pt // middle of the disc
	knee   sheet.Pt // where the flat part ends
	anchor sheet.Pt // on the place's outline
	left   bool
}

// crosses reports whether the slanting parts of two leaders cross, not merely
// touch: only then does swapping their discs shorten their sum.
func (l leader) crosses(o leader) bool {
	return cross(l.knee, l.anchor, o.knee)*cross(l.knee, l.anchor, o.anchor) < -1e-12 &&
		cross(o.knee, o.anchor, l.knee)*cross(o.knee, o.anchor, l.anchor) < -1e-12
}

// touches reports whether the slanting parts of two leaders share a point.
func (l leader) touches(o leader) bool { return meet(l.knee, l.anchor, o.knee, o.anchor) }

// meet reports whether two segments share a point.
func meet(a, b, c, d sheet.Pt) bool {
	side := func(p, q, r sheet.Pt) int {
		switch v := cross(p, q, r); {
		case v > 1e-12:
			return 1
		case v < -1e-12:
			return -1
		}
		return 0
	}
	on := func(p, q, r sheet.Pt) bool {
		return math.Min(p.X, q.X) <= r.X && r.X <= math.Max(p.X, q.X) && math.Min(p.Y, q.Y) <= r.Y && r.Y <= math.Max(p.Y, q.Y)
	}
	s1, s2, s3, s4 := side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
	if s1*s2 < 0 && s3*s4 < 0 {
		return true
	}
	return s1 == 0 && on(a, b, c) || s2 == 0 && on(a, b, d) || s3 == 0 && on(c, d, a) || s4 == 0 && on(c, d, b)
}

// ring places the letters of outlines in the two margins left and right of a
// picture, so that no disc lies on another and no two leaders cross:
//
//  1. Places are sorted by the x of their middle; the left part goes to the
//     left margin. The cut is the picture's middle, moved along the sorted list
//     while the sides differ by more than two.
//  2. A side is sorted by the y of its anchors; its discs stand as near to them
//     as a least pitch allows, in the least-squares sense.
//  3. While two leaders of a side cross, they swap discs. Each swap shortens
//     the sum of their lengths, so it ends. Leaders of different sides cannot
//     meet: a left anchor is never right of its place's middle, nor a right one
//     left of it.
//  4. Other anchors are tried where a leader runs over a foreign outline.
//
// The picture is at (px, py), pw x ph. Leaders come in the order of outlines.
func ring(os []outline, px, py, pw, ph float64) []leader {
	mid := func(i int) float64 { return (os[i].box.x0 + os[i].box.x1) / 2 }
	byX := make([]int, len(os))
	for i := range byX {
		byX[i] = i
	}
	sort.SliceStable(byX, func(a, b int) bool { return mid(byX[a]) < mid(byX[b]) })
	cut := 0
	for cut < len(byX) && mid(byX[cut]) < px+pw/2 {
		cut++
	}
	room := int(ph/ringPitch) + 1
	for cut < len(byX)-cut && (len(byX)-2*cut > 2 || len(byX)-cut > room) {
		cut++
	}
	for cut > len(byX)-cut && (2*cut-len(byX) > 2 || cut > room) {
		cut--
	}
	out := make([]leader, len(os))
	for i, side := range [2][]int{byX[:cut], byX[cut:]} {
		s := ringSide{os: os, of: side, left: i == 0, px: px, py: py, pw: pw, ph: ph}
		for k, l := range s.place() {
			out[s.of[k]] = l
		}
	}
	return out
}

// ringSide is one margin.
type ringSide struct {
	os             []outline
	of             []int // the outlines of this side
	left           bool
	px, py, pw, ph float64
}

// anchors returns where a leader may end on an outline: first the middle of
// the edge that faces the margin, then that edge's corners, then the middles of
// top and bottom. All lie on the outline and on the margin's half of it.
func (s *ringSide) anchors(o outline) []sheet.Pt {
	b := o.box
	cx, cy := (b.x0+b.x1)/2, (b.y0+b.y1)/2
	x := b.x1
	if s.left {
		x = b.x0
	}
	out := []sheet.Pt{{X: x, Y: cy}, {X: x, Y: b.y0}, {X: x, Y: b.y1}, {X: cx, Y: b.y0}, {X: cx, Y: b.y1}}
	for i, want := range out {
		best := math.Inf(1)
		try := func(p sheet.Pt) {
			if s.left && (p.X > cx || p.X < s.px-ringReach) || !s.left && (p.X < cx || p.X > s.px+s.pw+ringReach) {
				return
			}
			if d := math.Hypot(p.X-want.X, p.Y-want.Y); d < best {
				best, out[i] = d, p
			}
		}
		r := o.rings[0]
		for k, p := range r {
			q := r[(k+1)%len(r)]
			try(p)
			try(nearestOn(p, q, want))
		}
	}
	return out
}

// nearestOn returns the point of a segment that is nearest to w.
func nearestOn(p, q, w sheet.Pt) sheet.Pt {
	dx, dy := q.X-p.X, q.Y-p.Y
	l := dx*dx + dy*dy
	if l == 0 {
		return p
	}
	t := math.Max(0, math.Min(1, ((w.X-p.X)*dx+(w.Y-p.Y)*dy)/l))
	return sheet.Pt{X: p.X + t*dx, Y: p.Y + t*dy}
}

func (s *ringSide) place() []leader {
	n := len(s.of)
	if n == 0 {
		return nil
	}
	tries := make([][]sheet.Pt, s.max()+1)
	for _, i := range s.of {
		tries[i] = s.anchors(s.os[i])
	}
	first := func(i int) sheet.Pt { return tries[i][0] }
	sort.SliceStable(s.of, func(a, b int) bool {
		p, q := first(s.of[a]), first(s.of[b])
		if p.Y != q.Y {
			return p.Y < q.Y
		}
		if p.X != q.X {
			return p.X < q.X
		}
		return s.of[a] < s.of[b]
	})
	want := make([]float64, n)
	for k, i := range s.of {
		want[k] = first(i).Y
	}
	ports := spread(want, ringPitch, s.py, s.py+s.ph)
	ls := make([]leader, n)
	for k, i := range s.of {
		ls[k] = s.leader(ports[k], first(i))
	}
	s.uncross(ls)
	straight := append([]leader(nil), ls...)
	for k, i := range s.of {
		best := s.faults(ls, k, ls[k])
		for _, a := range tries[i][1:] {
			if best == 0 {
				break
			}
			l := s.leader(ls[k].disc.Y, a)
			if p := s.faults(ls, k, l); p < best && !s.crossed(ls, k, l, leader.touches) {
				best, ls[k] = p, l
			}
		}
	}
	for k := range ls {
		if s.crossed(ls, k, ls[k], leader.crosses) {
			return straight
		}
	}
	return ls
}

func (s *ringSide) max() int {
	m := 0
	for _, i := range s.of {
		m = max(m, i)
	}
	return m
}

func (s *ringSide) leader(y float64, anchor sheet.Pt) leader {
	l := leader{anchor: anchor, left: s.left}
	if s.left {
		l.disc = sheet.Pt{X: s.px - ringMargin + ringDisc, Y: y}
		l.knee = sheet.Pt{X: s.px - ringFlat, Y: y}
	} else {
		l.disc = sheet.Pt{X: s.px + s.pw + ringMargin - ringDisc, Y: y}
		l.knee = sheet.Pt{X: s.px + s.pw + ringFlat, Y: y}
	}
	return l
}

// uncross swaps the discs of crossing leaders until none are left. The bound
// is a safety net for ties of floating point: the sum of lengths shrinks with
// each swap.
func (s *ringSide) uncross(ls []leader) {
	for round := 0; round < 10*len(ls)*len(ls)+10; round++ {
		swapped := false
		for i := range ls {
			for j := i + 1; j < len(ls); j++ {
				if ls[i].crosses(ls[j]) {
					yi, yj := ls[i].disc.Y, ls[j].disc.Y
					ls[i], ls[j] = s.leader(yj, ls[i].anchor), s.leader(yi, ls[j].anchor)
					swapped = true
				}
			}
		}
		if !swapped {
			return
		}
	}
}

// crossed reports whether l, as leader k, would meet another.
func (s *ringSide) crossed(ls []leader, k int, l leader, meets func(a, b leader) bool) bool {
	for j, o := range ls {
		if j != k && meets(l, o) {
			return true
		}
	}
	return false
}

// faults counts the foreign outlines that l, as leader k, would run over; one
// that comes close to another's end, or ends close to another, is worse than
// all of them.
func (s *ringSide) faults(ls []leader, k int, l leader) int {
	n := s.passes(k, l)
	for j, o := range ls {
		if j != k && l.close(o) {
			n += len(s.os)
		}
	}
	return n
}

// close reports whether one of two leaders ends so near the other that it is
// hard to tell whose end it is.
func (l leader) close(o leader) bool {
	to := func(p, a, b sheet.Pt) float64 {
		n := nearestOn(a, b, p)
		return math.Hypot(n.X-p.X, n.Y-p.Y)
	}
	return math.Min(to(l.anchor, o.knee, o.anchor), to(o.anchor, l.knee, l.anchor)) < ringClear
}

// passes counts the foreign outlines whose box a leader runs over.
func (s *ringSide) passes(k int, l leader) int {
	n := 0
	for i, o := range s.os {
		if i != s.of[k] && hitsBox(l.knee, l.anchor, o.box) {
			n++
		}
	}
	return n
}

func hitsBox(a, b sheet.Pt, r rect) bool {
	in := func(p sheet.Pt) bool { return p.X > r.x0 && p.X < r.x1 && p.Y > r.y0 && p.Y < r.y1 }
	if in(a) || in(b) {
		return true
	}
	c := corners(r)
	for i := range c {
		if meet(a, b, c[i], c[(i+1)%4]) {
			return true
		}
	}
	return false
}

// spread returns the places nearest to want (ascending), in the least-squares
// sense, that are at least pitch apart and lie within lo and hi; if there is
// not room for all, the range grows to both sides. With i pitches taken off,
// "a pitch apart" becomes "not descending", which pooling adjacent violators
// solves (Ayer et al., Annals of Mathematical Statistics 26, 1955); clamping an
// ascending solution keeps it one.
func spread(want []float64, pitch, lo, hi float64) []float64 {
	n := len(want)
	if need := pitch * float64(n-1); need > hi-lo {
		grow := (need - (hi - lo)) / 2
		lo, hi = lo-grow, hi+grow
	}
	type pool struct {
		sum float64
		n   int
	}
	var ps []pool
	for i, w := range want {
		ps = append(ps, pool{w - float64(i)*pitch, 1})
		for len(ps) > 1 {
			a, b := ps[len(ps)-2], ps[len(ps)-1]
			if a.sum/float64(a.n) <= b.sum/float64(b.n) {
				break
			}
			ps = append(ps[:len(ps)-2], pool{a.sum + b.sum, a.n + b.n})
		}
	}
	out := make([]float64, 0, n)
	top := hi - pitch*float64(n-1)
	for _, p := range ps {
		for k := 0; k < p.n; k++ {
			y := math.Max(lo, math.Min(top, p.sum/float64(p.n)))
			out = append(out, y+pitch*float64(len(out)))
		}
	}
	return out
}
