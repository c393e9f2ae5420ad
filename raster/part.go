package raster

import (
	"cmp"
	"math"
	"slices"
	"sync/atomic"
)

// What is a thin part, and what a mere point: angles in degrees between the two
// sides, lengths in limits.
const (
	parallelAngle = 15 // up to this a spur's sides run near parallel: it is judged
	stretchAngle  = 13 // a stretch of a spur picked out of many must be nearer to parallel
	pointAngle    = 40 // up to this it is told as a point, beyond nothing is said
	spurReach     = 1.0
	betweenPixels = 1    // grid pixels by which a reach from pixel to pixel is short of the shape's: half a one at either end
	keptLength    = 0.25 // a spur of which less is left once its end is dropped says nothing
)

// cornerLoss is how much wider than it is a waist between two corners seems, in
// pixels, for a cut at half takes the points off both. To be proposed at 0.9 of
// a limit under nine pixels it needs a disc larger than the limit by the rest.
const cornerLoss = 1.3

// thinParts are the lines or strips of an artwork under one disc.
type thinParts struct {
	features []Feature
	doubted  []doubted
	hairs    []hair // of the features
	tips     []Tip
	idle     bool // there was no piece to look in, nor will be one for a larger disc
}

// part finds the lines (or strips, when the plane is the film) that a disc of
// propose px does not fit, and measures them; limit is the safe limit, over half
// of which a width may be averaged. spur is the shortest spur to judge, in
// pixels; notDot tells by piece of ink which are no dots.
func (s *scene) part(propose, limit, spur float64, notDot []bool) *thinParts {
	p := &partition{g: s.g, film: s.film, d: s.disc(propose, limit), shape: s.plane, pieces: s.pieces, spares: s.spares}
	if s.film {
		p.others = s.inkPieces
	}
	p.fit()
	p.skip = make([]bool, len(p.pieces.List))
	for i := range p.skip {
		// Dots and islands that no disc fits are judged as wholes alone; in
		// those that one fits, narrow places are looked for as anywhere.
		p.skip[i] = !p.hasE[i] && (s.film || !notDot[i])
	}
	if s.film {
		p.inner = s.innerPieces(p, max(limit, leastDisc)) // the same for all under the least disc
		for i, inner := range p.inner {
			p.skip[i] = p.skip[i] && !inner
		}
		for _, i := range s.faint {
			p.skip[i] = false
			if p.inner != nil {
				p.inner[i] = false
			}
		}
	}
	// A larger disc leaves longer remnants.
	p.takeApart(tipReach*spur*p.d/propose - s.between(propose))
	j := &judge{s: s, p: p, limit: propose, safe: max(limit, leastDisc), spur: spur, shape: Shape{Ink: s.k, Film: s.film}, kind: Line, known: &alike{}}
	if s.film {
		j.kind = Strip
	}
	j.unit = float64(s.g.down)
	if s.g.down > 1 && len(p.arcs) > 0 {
		j.shape.Ink = s.k.shrink(s.g.down)
	}
	if j.safe >= blocksFrom && len(p.arcs) > 0 {
		j.shape.whole = blocksOf(j.shape)
	}
	out := j.all()
	out.idle = !slices.Contains(p.skip, false)
	s.spares.give(p.e, p.thinned)
	p.ks.release()
	return out
}

// innerPieces tells of the pieces of film without E that are looked through for necks all
// the same: those in which a disc of the limit does fit, for the one that proposes is
// larger than that, and those that are longer than the limit.
func (s *scene) innerPieces(p *partition, limit float64) []bool {
	if s.last > 0 {
		return nil
	}
	long := int(limit * s.g.scale())
	inner := s.pieces.roomy(s.plane, limit*s.g.scale()/2, func(i int) bool { return p.hasE[i] })
	for i := range inner {
		c := &p.pieces.List[i]
		inner[i] = !p.hasE[i] && (inner[i] || max(c.X1-c.X0, c.Y1-c.Y0) >= long)
	}
	return inner
}

// between is betweenPixels, but for the least disc: that is larger than the limits it
// serves, so what reaches as far as it reaches farther than they ask for. In the search
// for the finest a spur need reach no farther than the last disc as it is.
func (s *scene) between(propose float64) float64 {
	if propose <= leastDisc || s.last > 0 {
		return 0
	}
	return betweenPixels
}

// leastOnTwo is by how much the least disc is smaller on a grid of two to the pixel, in
// grid pixels. What it must fit in is larger than itself by a grid pixel (see the head of
// thin.go), which is there half a pixel where on three to the pixel it is a third: so it
// fits where it does on those. Else the rings and rails of lines near the disc's width
// are in no place wide enough, and hold all lines that meet them together as one.
const leastOnTwo = 1 - 2.0/3

// disc is the diameter of the disc for part, in grid pixels.
func (s *scene) disc(propose, limit float64) float64 {
	d := propose * s.g.scale()
	if propose <= leastDisc && s.g.up == 2 {
		d -= leastOnTwo
	}
	if propose <= limit && s.g.down == 1 {
		d += max(0, cornerLoss-0.1*limit) * s.g.scale()
	}
	return d
}

// judge measures the arcs of a partition and tells lines from points.
type judge struct {
	s     *scene
	p     *partition
	shape Shape
	kind  Kind
	limit float64 // the disc that proposes, px of the artwork
	safe  float64 // the safe limit, at least leastDisc: under it all measure alike
	unit  float64 // pixels of the artwork to one of shape: more than 1 on a reduced grid
	spur  float64
	reach map[pixel]float64 // of a tip, by pixel
	known *alike
	out   thinParts
}

func (j *judge) all() *thinParts {
	j.reach = map[pixel]float64{}
	for _, t := range j.p.tips {
		j.reach[t.pixel] = t.reach / j.s.g.scale()
	}
	// Each group by itself, in parallel, gathered in their order.
	var groups [][]arc
	arcs := j.p.arcs
	for a := 0; a < len(arcs); {
		b := a + 1
		for b < len(arcs) && arcs[b].group == arcs[a].group {
			b++
		}
		groups = append(groups, arcs[a:b])
		a = b
	}
	outs := make([]thinParts, len(groups))
	j.s.told.parting(j.s.film, len(groups))
	var done atomic.Bool
	inParallel(len(groups), func(i int) {
		if done.Load() {
			return
		}
		one := *j
		one.out = thinParts{}
		one.group(groups[i])
		outs[i] = one.out
		if j.s.enough && one.out.under(j.safe) {
			done.Store(true)
		}
		j.s.told.one()
	})
	for _, o := range outs {
		for _, d := range o.doubted {
			if d.of >= 0 {
				d.of += len(j.out.features)
			}
			j.out.doubted = append(j.out.doubted, d)
		}
		j.out.features = append(j.out.features, o.features...)
		j.out.hairs = append(j.out.hairs, o.hairs...)
		j.out.tips = append(j.out.tips, o.tips...)
	}
	out := j.out // a copy: a pointer into j would keep its planes alive
	return &out
}

// group judges arcs that hang together outside E as one feature.
func (j *judge) group(arcs []arc) {
	q := arcs[0].path[0]
	w := j.p.shape.W
	piece := j.p.pieces.At(q.at(w))
	n := newNet(j.p, arcs)
	var f *Feature
	doubt := doubted{of: -1}
	take := func(m *Feature) {
		if m == nil {
			return
		}
		switch j.walled(m) {
		case none:
			return
		case doubtful:
			doubt.parts = append(doubt.parts, m)
			return
		}
		if m.Width < hairWidth {
			j.out.hairs = append(j.out.hairs, hairOf(m))
		}
		if f == nil {
			f = m
			return
		}
		f.add(m)
	}
	if piece >= 0 && j.p.inner != nil && j.p.inner[piece] {
		for _, c := range n.wholeCourses() {
			take(j.innerNeck(c))
		}
	} else if piece >= 0 && !j.p.hasE[piece] {
		list := n.wholeCourses()
		for _, m := range j.lines(list) {
			take(m)
		}
		if f == nil {
			take(j.stub(list))
		}
	} else {
		necks, spurs := n.courses()
		for _, m := range j.lines(necks) {
			take(m)
		}
		for _, c := range spurs {
			take(j.spurOf(c))
		}
	}
	if f != nil {
		doubt.of = 0
		j.out.features = append(j.out.features, *f)
	}
	if doubt.parts != nil {
		j.out.doubted = append(j.out.doubted, doubt)
	}
}

func (b Box) join(c Box) Box {
	return Box{min(b.X0, c.X0), min(b.Y0, c.Y0), max(b.X1, c.X1), max(b.Y1, c.Y1)}
}

// course turns a chain of grid pixels into a course on the artwork.
func (j *judge) course(c chain) Course {
	w := j.p.shape.W
	out := Course{Closed: c.closed, TipStart: !c.closed && c.from == endTip, TipEnd: !c.closed && c.to == endTip}
	for _, q := range c.path {
		out.Path = append(out.Path, j.s.g.native(q.at(w)))
	}
	return out
}

// mostArcs is how many arcs of one feature are measured. A mesh has tens of
// thousands, all of one feature, whose width is that of the narrowest.
const mostArcs = 400

// lines measures arcs of one feature, of very many those that look narrowest.
func (j *judge) lines(list []chain) []*Feature {
	if len(list) > mostArcs {
		type rank struct {
			i    int
			room int
		}
		ranks := make([]rank, len(list))
		for i, c := range list {
			ranks[i] = rank{i, math.MaxInt}
			w := j.p.shape.W
			for n := 0; n < len(c.path); n += max(1, len(c.path)/8) {
				x, y := c.path[n].at(w)
				ranks[i].room = min(ranks[i].room, room(j.p.shape, x, y))
			}
		}
		slices.SortStableFunc(ranks, func(a, b rank) int { return a.room - b.room })
		few := make([]chain, mostArcs)
		for i := range few {
			few[i] = list[ranks[i].i]
		}
		list = few
	}
	out := make([]*Feature, len(list))
	inParallel(len(list), func(i int) {
		if out[i] = j.line(list[i]); out[i] != nil {
			path := list[i].path
			out[i].course = j.s.g.native(path[len(path)/2].at(j.p.shape.W))
		}
	})
	return out
}

// roomMost is the most that room counts on either side, in grid pixels: far
// more than any limit spans. Where two hairlines cross the runs have no end.
const roomMost = 128

// room is the shorter of the row and the column of set pixels through (x, y),
// no farther than roomMost from it.
func room(b *Bits, x, y int) int {
	run := func(dx, dy int) int {
		n := 1
		for i := 1; i <= roomMost && b.Get(x-i*dx, y-i*dy); i++ {
			n++
		}
		for i := 1; i <= roomMost && b.Get(x+i*dx, y+i*dy); i++ {
			n++
		}
		return n
	}
	return min(run(1, 0), run(0, 1))
}

// measure measures a course, on the reduced artwork where the grid is reduced.
func (j *judge) measure(c Course) Profile { return j.measured(c, false) }

// measured is measure, or its sections alone where those say enough for now.
func (j *judge) measured(c Course, brief bool) Profile {
	if j.unit == 1 {
		return j.shape.measureCourse(c, j.safe, brief, j.known)
	}
	small := c
	small.Path = make([]Point, len(c.Path))
	for i, p := range c.Path {
		small.Path[i] = Point{p.X / j.unit, p.Y / j.unit}
	}
	p := j.shape.measureCourse(small, j.safe/j.unit, brief, j.known)
	p.Width, p.PlusMinus, p.Length = p.Width*j.unit, p.PlusMinus*j.unit, p.Length*j.unit
	p.At = Point{p.At.X * j.unit, p.At.Y * j.unit}
	for i := range p.Sections {
		q := &p.Sections[i]
		q.S, q.Width, q.At = q.S*j.unit, q.Width*j.unit, Point{q.At.X * j.unit, q.At.Y * j.unit}
	}
	return p
}

// line measures a neck, or a branch of a whole piece: its narrowest width. A
// branch into a mere corner of the piece's end, of which nothing is left once
// the end is dropped, gives nil.
func (j *judge) line(c chain) *Feature {
	if c.from == endThick && c.to == endThick && !c.closed {
		return j.neck(c)
	}
	co := j.course(c)
	p := j.measure(co)
	if len(p.Sections) == 0 {
		return nil
	}
	if !co.TipStart && !co.TipEnd {
		return j.feature(p, c.closed)
	}
	kept := j.clearOfTips(co, p.Sections)
	if co.TipStart {
		kept = pastTaper(kept)
	}
	if co.TipEnd {
		slices.Reverse(kept)
		kept = pastTaper(kept)
		slices.Reverse(kept)
	}
	if len(kept) < 3 || kept[len(kept)-1].S-kept[0].S < keptLength*j.limit {
		return nil
	}
	return j.feature(j.narrow(p, kept), c.closed)
}

// dumbbell is by how much wider a piece of film too narrow for any disc must be on both
// sides of a place for that to be a neck of it: a disc that much wider does not fit where two
// or three bars as wide as the place meet (that has root 2 and 5/4 of it).
const dumbbell = 1.7

// innerNeck measures the narrowest place of a course that has places on both sides of it
// as wide as the limit, or wider than itself by dumbbell; nil without one. The piece is an
// island, but what hangs together by such a place comes apart there.
func (j *judge) innerNeck(c chain) *Feature {
	p := j.measure(j.course(c))
	list := p.Sections
	if len(list) == 0 {
		return nil
	}
	at := 0
	for i, s := range list {
		if dist(s.At, p.At) < dist(list[at].At, p.At) {
			at = i
		}
	}
	beyond := 0.5 // doubt
	if j.shape.Ink.Bilevel() {
		beyond = 1
	}
	scale := j.s.g.scale()
	// By its pixels, too: not past the end of a tip.
	wide := func(list []Section, least, disc float64) bool {
		return slices.ContainsFunc(list, func(s Section) bool { return s.Width >= least && j.fits(s.At, disc) })
	}
	for _, w := range [2]struct{ least, disc float64 }{
		{max(j.safe, p.Width+beyond), j.safe*scale/2 - 1},
		{dumbbell*p.Width + beyond, (dumbbell*p.Width + beyond) * scale / 2},
	} {
		before, after := wide(list[:at], w.least, w.disc), wide(list[at:], w.least, w.disc)
		if before && after || c.closed && (before || after) { // on a ring either lies on both sides
			return j.feature(p, c.closed)
		}
	}
	return nil
}

// stub measures a whole piece too short for line to leave anything of: its
// width at the middle of its longest branch.
func (j *judge) stub(list []chain) *Feature {
	long := list[0]
	for _, c := range list {
		if len(c.path) > len(long.path) {
			long = c
		}
	}
	co := j.course(long)
	p := j.measure(co)
	if len(p.Sections) == 0 {
		return nil
	}
	mid := p.sectionAt(co.Path[len(co.Path)/2])
	p.Width, p.At, p.Across = mid.Width, mid.At, mid.Across
	return j.feature(p, long.closed)
}

// clearOfTips returns the sections away from where the shape ends by at least
// its width there and half a pixel: the last stretch of a path turns into a
// corner of the end, or out of it, and what is measured across it is no width.
func (j *judge) clearOfTips(c Course, list []Section) (kept []Section) {
	clear := func(tip Point) func(Section) bool {
		var near []float64
		for _, s := range list {
			if dist(s.At, tip) < 1.5*j.limit {
				near = append(near, s.Width)
			}
		}
		if len(near) == 0 {
			return func(Section) bool { return true }
		}
		slices.Sort(near)
		need := near[len(near)/2] + 0.5
		return func(s Section) bool { return dist(s.At, tip) >= max(need, s.Width+0.5) }
	}
	kept = list
	if c.TipStart {
		kept = filter(kept, clear(c.Path[0]))
	}
	if c.TipEnd {
		kept = filter(kept, clear(c.Path[len(c.Path)-1]))
	}
	return kept
}

// taperStretch is over how much of a line its end's taper is told, in pixels.
const taperStretch = 3.0

// pastTaper returns the sections from where a line no longer widens away from its end,
// the first of list, faster than by parallelAngle: an end cut aslant, or drawn out to a point,
// only rounds off.
func pastTaper(list []Section) []Section {
	most := 2 * math.Tan(parallelAngle/2*math.Pi/180)
	stretch := func(list []Section) int {
		n := 1
		for n < len(list) && math.Abs(list[n].S-list[0].S) < taperStretch {
			n++
		}
		return n
	}
	for past := 0; len(list)-past >= 3; past++ {
		n := stretch(list[past:])
		switch {
		case n >= 3 && slopeOf(list[past:past+n]) > most:
		case past == 0:
			return list
		default:
			return list[min(past+n, len(list)-3):]
		}
	}
	return nil
}

// filter returns what ok accepts, in order.
func filter(list []Section, ok func(Section) bool) (out []Section) {
	for _, s := range list {
		if ok(s) {
			out = append(out, s)
		}
	}
	return out
}

func (j *judge) feature(p Profile, closed bool) *Feature {
	if p.Width < j.s.last && !p.typical(j.s.last) {
		return nil
	}
	f := &Feature{Kind: j.kind, Width: p.Width, PlusMinus: p.PlusMinus, At: p.At, Across: p.Across, Length: p.Length, Closed: closed}
	f.Box = Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	sum := 0.0
	for i, s := range p.Sections {
		h := s.Width / 2
		f.Box = f.Box.join(Box{s.At.X - h, s.At.Y - h, s.At.X + h, s.At.Y + h})
		sum += s.Width
		if i%4 == 0 || i == len(p.Sections)-1 {
			f.Path = append(f.Path, s.At)
		}
	}
	f.Area = f.Length * sum / float64(len(p.Sections))
	return f
}

// spurOf measures a spur, a chain from E (or a neck) to a tip, and tells it as
// a line, as a point, or not at all.
func (j *judge) spurOf(c chain) *Feature {
	tip := c.path[len(c.path)-1]
	reach := j.reach[tip]
	co := j.course(c)
	p := j.measured(co, true) // most are no lines
	if c, ok := j.headed(c, p.Sections); ok {
		return j.neck(c)
	}
	// What lies inside K and is left of it once the end is dropped.
	var kept []Section
	stairs := j.shape.Ink.Bilevel() // averaged over, and so with what the spur grows on
	for _, s := range j.clearOfTips(co, p.Sections) {
		if j.inK(s.At) && !(stairs && s.Width > j.limit) {
			kept = append(kept, s)
		}
	}
	if len(kept) < 3 || kept[len(kept)-1].S-kept[0].S < keptLength*j.limit {
		return nil
	}
	angle := taper(kept)
	if stairs {
		angle = medianTaper(kept)
	}
	point := Tip{Film: j.kind == Strip, At: co.Path[len(co.Path)-1], Lost: reach * j.limit * j.s.g.scale() / j.p.d}
	judged := reach+j.s.between(j.limit)/j.s.g.scale() >= spurReach*j.spur
	if judged && angle <= parallelAngle {
		return j.feature(j.narrow(j.measure(co), kept), false)
	}
	if judged {
		if s := parallelStretch(kept, j.limit); s != nil {
			return j.feature(j.narrow(j.measure(co), s), false)
		}
	}
	if angle > parallelAngle && angle <= pointAngle || !judged && angle <= pointAngle {
		j.out.tips = append(j.out.tips, point)
	}
	return nil
}

// headed reports whether a spur widens behind a narrow place to its limit again, as the
// ball at the end of an r does, and returns it up to there: a neck. (No part of E may lie in
// so small a head, for the disc that proposes is larger than the limit; see strongDisc.)
func (j *judge) headed(c chain, list []Section) (chain, bool) {
	beyond := 0.5 // doubt
	if j.shape.Ink.Bilevel() {
		beyond = 1
	}
	at := 0
	for i, s := range list {
		if s.Width < list[at].Width {
			at = i
		}
	}
	if at == 0 || at == len(list)-1 || list[at].Width+beyond >= j.limit || list[len(list)-1].Width < list[at].Width+beyond {
		return c, false
	}
	w, scale := j.p.shape.W, j.s.g.scale()
	nearest := func(p Point) int { // on the path
		best := 0
		for k, q := range c.path {
			if dist(j.s.g.native(q.at(w)), p) < dist(j.s.g.native(c.path[best].at(w)), p) {
				best = k
			}
		}
		return best
	}
	neck := nearest(list[at].At)
	// The head is round its tip, and the course need not run through its middle: the place
	// nearest to the course is taken.
	r := j.limit*scale/2 - 0.5
	x0, y0 := c.path[len(c.path)-1].at(w)
	reach := int(j.limit*scale) + 1
	var head Point
	found := -1.0
	for y := y0 - reach; y <= y0+reach; y++ {
		for x := x0 - reach; x <= x0+reach; x++ {
			if math.Hypot(float64(x-x0), float64(y-y0)) > float64(reach) || !j.p.shape.Get(x, y) || !fitsAt(j.p.shape, 2*x, 2*y, r) {
				continue
			}
			p := j.s.g.native(x, y)
			k := nearest(p)
			d := dist(p, j.s.g.native(c.path[k].at(w)))
			if (found < 0 || d < found) && k > neck && dist(p, list[at].At) > j.limit/2 && j.sees(x0, y0, x, y) {
				head, found = p, d
			}
		}
	}
	if found < 0 {
		return c, false
	}
	end := nearest(head)
	g := j.s.g
	x, y := int(math.Floor(head.X*scale))+g.padX, int(math.Floor(head.Y*scale))+g.padY
	c.path, c.to = append(slices.Clone(c.path[:end+1]), pixel(y*w+x)), endThick
	return c, true
}

// sees reports whether the straight line between two pixels runs inside the shape.
func (j *judge) sees(x0, y0, x1, y1 int) bool {
	n := max(x1-x0, x0-x1, y1-y0, y0-y1)
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		if !j.p.shape.Get(x0+int(math.Round(t*float64(x1-x0))), y0+int(math.Round(t*float64(y1-y0)))) {
			return false
		}
	}
	return true
}

// fits reports whether a disc of radius r, in grid pixels, fits round a place of the artwork.
func (j *judge) fits(at Point, r float64) bool {
	g := j.s.g
	x, y := int(math.Floor(at.X*g.scale()))+g.padX, int(math.Floor(at.Y*g.scale()))+g.padY
	return fitsAt(j.p.shape, 2*x, 2*y, r)
}

// typical replaces a profile's narrowest place by a usual one, the median of
// those not under least; it returns false when there is none. When a smaller
// disc found nothing to mark, what reads narrower than it is the slanted end of a
// bar, the mouth of a pocket shorter than the disc, or, on a coarse grid, a
// course that starts outside its shape: no width of a thin part. A tenth is left
// for what another grid reads otherwise.
func (p *Profile) typical(least float64) bool {
	wide := filter(p.Sections, func(s Section) bool { return s.Width >= 0.9*least })
	if len(wide) == 0 {
		return false
	}
	slices.SortStableFunc(wide, func(a, b Section) int { return cmp.Compare(a.Width, b.Width) })
	m := wide[len(wide)/2]
	p.Width, p.At, p.Across = max(m.Width, least), m.At, m.Across
	return true
}

// inK reports whether a place of the artwork lies in K.
func (j *judge) inK(at Point) bool {
	g := j.s.g
	x := int(math.Floor(at.X*g.scale())) + g.padX
	y := int(math.Floor(at.Y*g.scale())) + g.padY
	return j.p.ks.At(x, y) >= 0
}

// taper is the full angle between the sides of a stretch, in degrees: 2 atan of
// half the slope of width along it, by least squares.
func taper(s []Section) float64 {
	slope := slopeOf(s)
	return 2 * math.Atan(math.Abs(slope)/2) * 180 / math.Pi
}

// slopeOf is how fast a stretch widens, by least squares; infinite for a single place.
func slopeOf(s []Section) float64 {
	var n, x, sx, sy, sxx, sxy float64
	for i, q := range s {
		if i > 0 {
			x += dist(s[i-1].At, q.At)
		}
		n++
		sx, sy, sxx, sxy = sx+x, sy+q.Width, sxx+x*x, sxy+x*q.Width
	}
	den := n*sxx - sx*sx
	if den <= 0 {
		return math.Inf(1)
	}
	return (n*sxy - sx*sy) / den
}

// medianTaper is taper by the median of the slopes between any two sections (H. Theil,
// 1950; P. K. Sen, 1968), which a few at the foot of a spur do not sway.
func medianTaper(s []Section) float64 {
	at := make([]float64, len(s))
	for i := 1; i < len(s); i++ {
		at[i] = at[i-1] + dist(s[i-1].At, s[i].At)
	}
	var slopes []float64
	for i := range s {
		for k := i + 1; k < len(s); k++ {
			if d := at[k] - at[i]; d > 0 {
				slopes = append(slopes, (s[k].Width-s[i].Width)/d)
			}
		}
	}
	if len(slopes) == 0 {
		return 180
	}
	return 2 * math.Atan(math.Abs(nth(slopes, len(slopes)/2))/2) * 180 / math.Pi
}

// nth is what would stand at place k if v were sorted, which it partly is afterwards
// (C. A. R. Hoare, Algorithm 65: find, 1961).
func nth(v []float64, k int) float64 {
	for lo, hi := 0, len(v)-1; lo < hi; {
		pivot := v[(lo+hi)/2]
		i, j := lo, hi
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for v[j] > pivot {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i++
				j--
			}
		}
		switch { // v[j+1:i] are all the pivot
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return v[k]
		}
	}
	return v[k]
}

// parallelStretch returns the longest run of sections of at least 1.5 limits
// and 10 px that tapers by no more than stretchAngle and whose mean width is
// under the limit: a flared serif. Shorter windows take the tips of 20 degrees
// for lines.
func parallelStretch(s []Section, limit float64) []Section {
	need := max(1.5*limit, 10)
	for a := range s {
		for b := len(s); b > a+2; b-- {
			if s[b-1].S-s[a].S < need {
				break
			}
			if taper(s[a:b]) > stretchAngle {
				continue
			}
			mean := 0.0
			for _, q := range s[a:b] {
				mean += q.Width
			}
			if mean/float64(b-a) < limit {
				return s[a:b]
			}
		}
	}
	return nil
}

// narrow returns the profile with its narrowest place looked for among the kept
// sections alone. The least of single sections would be the tail of their noise,
// so they are averaged as the profile was; and where that is the profile's own
// width, to within what it is uncertain by, it stays; narrower, to within what
// both are, for the least of many is too small.
func (j *judge) narrow(p Profile, kept []Section) Profile {
	lo, hi := kept[0].S, kept[len(kept)-1].S
	if at := p.sectionAt(p.At); at.S >= lo && at.S <= hi {
		return p
	}
	all := p.Sections
	width := make([]float64, len(all))
	for i, s := range all {
		width[i] = s.Width
	}
	step := (all[len(all)-1].S - all[0].S) / float64(len(all)-1)
	least, best, stretch := math.Inf(1), kept[0], 0.0
	for i, s := range all {
		if s.S < lo || s.S > hi {
			continue
		}
		half := sameStretch(width, false, i, max(3, j.limit/2)/2+0.5, step, sameWidth)
		if w, _ := hann(width, false, i, half/step); w < least {
			least, best, stretch = w, s, half
		}
	}
	noise := 0.0
	if j.shape.Ink.Bilevel() {
		noise = 2.1*bilevelNoise(stretch) + 0.03
	}
	if d := least - p.Width; d > p.PlusMinus || d < -p.PlusMinus-noise {
		p.Width, p.PlusMinus = least, max(p.PlusMinus, noise)
	}
	p.At, p.Across = best.At, best.Across
	return p
}

// sectionAt returns the section next to a place.
func (p *Profile) sectionAt(at Point) Section {
	best, d := p.Sections[0], math.Inf(1)
	for _, s := range p.Sections {
		if e := math.Hypot(s.At.X-at.X, s.At.Y-at.Y); e < d {
			best, d = s, e
		}
	}
	return best
}
