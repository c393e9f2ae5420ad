package raster

// chain is one or more arcs in a row, read from one end to the other.
type chain struct {
	path     []pixel
	closed   bool
	from, to end
}

// net is the graph of the arcs that hang together outside E. Its nodes are the
// clusters of junction pixels; an arc's end in E, or at a tip, is no node.
type net struct {
	p    *partition
	arcs []arc
	node map[pixel]int // junction pixel: its cluster
	ends [][2]int      // by arc: the nodes at its ends, -1 for none
	at   map[int][]int // by node: the arcs that end there, ascending, one with both ends twice
}

// newNet joins the junction pixels at the ends of arcs that touch each other
// into nodes. A cluster that touches E is E.
func newNet(p *partition, arcs []arc) *net {
	n := &net{p: p, arcs: arcs, node: map[pixel]int{}, ends: make([][2]int, len(arcs))}

	thick := map[int]bool{}

	t := tracer{p: p, s: p.thinned, stepsOf: 8}
	if p.film {
		t.stepsOf = 4
	}
	fill := func(q pixel, id int) {
		stack := []pixel{q}
		n.node[q] = id
		for len(stack) > 0 {
			q := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			j := t.look(q)
			if j.thick {
				thick[id] = true
			}
			for _, m := range j.next() {
				if _, ok := n.node[m]; ok {
					continue
				}
				if k := t.look(m); k.junction() {
					n.node[m] = id
					stack = append(stack, m)
				}
			}
		}
	}

	nodeOf := func(q pixel) int {
		if _, ok := n.node[q]; !ok {
			fill(q, len(n.node))
		}
		return n.node[q]
	}
	for i := range arcs {
		a := &arcs[i]
		n.ends[i] = [2]int{-1, -1}
		if a.from == endJunction {
			if id := nodeOf(a.path[0]); thick[id] {
				a.from = endThick
			} else {
				n.ends[i][0] = id
			}
		}
		if a.to == endJunction {
			if id := nodeOf(a.path[len(a.path)-1]); thick[id] {
				a.to = endThick
			} else {
				n.ends[i][1] = id
			}
		}
	}
	return n
}

// knotPixels is up to how many pixels an arc from one junction to another is none of the
// shape's, but a knot that thinning left where four of its pixels touch each other: its
// length tells no direction, and what is measured across it is anything.
const knotPixels = 4

// knot reports whether arc i is a knot in the midst of others.
func (n *net) knot(i int) bool {
	return len(n.arcs) > 1 && len(n.arcs[i].path) <= knotPixels && n.ends[i][0] >= 0 && n.ends[i][1] >= 0
}

// wholeCourses returns every arc but knots: in a piece without E each is a line.
func (n *net) wholeCourses() (list []chain) {
	for i, a := range n.arcs {
		if n.knot(i) {
			continue
		}
		list = append(list, chain{a.path, a.closed, a.from, a.to})
	}
	return list
}

// courses returns the arcs that join E to E or close a loop, and for each tip
// the chain that leads to it from E or from such an arc.
func (n *net) courses() (necks, spurs []chain) {
	gone := make([]bool, len(n.arcs))
	// How many ends are left at each node; an arc goes when one of its ends is
	// loose, and may loosen the arc at its other.
	left := map[int]int{}
	n.at = map[int][]int{}
	for i := range n.arcs {
		for _, id := range n.ends[i] {
			if id >= 0 {
				left[id]++
				n.at[id] = append(n.at[id], i)
			}
		}
	}
	queue := make([]int, len(n.arcs))
	for i := range queue {
		queue[i] = i
	}
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		if gone[i] || n.arcs[i].closed || !n.loose(i, 0, left) && !n.loose(i, 1, left) {
			continue
		}
		gone[i] = true
		for _, id := range n.ends[i] {
			if id >= 0 {
				left[id]--
				queue = append(queue, n.at[id]...)
			}
		}
	}
	for i, a := range n.arcs {
		if !gone[i] {
			// (ends in E: see newNet for those that are junctions)
			if n.knot(i) || a.from == endThick && a.to == endThick && !a.closed && n.p.passes(a.path) {
				continue
			}
			necks = append(necks, chain{a.path, a.closed, a.from, a.to})
			continue
		}
		if a.from == endTip || a.to == endTip {
			spurs = append(spurs, n.lead(i, gone))
		}
	}
	return necks, spurs
}

// loose reports whether an end of arc i is loose: a tip, or a node at which no
// other end is left.
func (n *net) loose(i, side int, left map[int]int) bool {
	if n.side(i, side) == endTip {
		return true
	}
	id := n.ends[i][side]
	return id >= 0 && left[id] == 1
}

// lead returns the chain from E, or from an arc that stays, to the tip of arc
// i, through the pruned arcs between.
func (n *net) lead(i int, gone []bool) chain {
	a := n.arcs[i]
	path, at := a.path, 1
	if a.from != endTip {
		path, at = reversed(path), 0
	}
	// path now starts at the tip; at is the side it leaves arc i by.
	out := append([]pixel(nil), path...)
	from := n.side(i, at)
	used := map[int]bool{i: true}
	for from == endJunction {
		id := n.ends[i][at]
		on := -1
		for _, j := range n.at[id] {
			if used[j] || n.arcs[j].from == endTip || n.arcs[j].to == endTip {
				continue
			}
			for s := range 2 {
				if n.ends[j][s] != id {
					continue
				}
				if !gone[j] {
					on = -2 // an arc that stays: the chain ends here
				} else if on == -1 {
					on, at = j, 1-s
				}
			}
		}
		if on < 0 {
			break
		}
		used[on] = true
		i = on
		more := n.arcs[on].path
		if at == 0 {
			more = reversed(more)
		}
		out = append(out, more...)
		from = n.side(i, at)
	}
	return chain{path: reversed(out), from: from, to: endTip}
}

func (n *net) side(i, s int) end {
	if s == 0 {
		return n.arcs[i].from
	}
	return n.arcs[i].to
}

func reversed(p []pixel) []pixel {
	r := make([]pixel, len(p))
	for i, q := range p {
		r[len(p)-1-i] = q
	}
	return r
}
