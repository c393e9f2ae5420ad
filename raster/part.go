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
	if s.laid != nil {
		p.ends = s.side().ends
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
	if s.laid != nil {
		j.known.lines = &s.side().lines
		j.known.lines.next()
	}
	j.unit = float64(s.g.down)
	if s.g.down > 1 && len(p.arcs) > 0 {
		j.shape.Ink = s.k.shrink(s.g.down)
	}
	if s.known != nil && s.g.down == 1 && j.safe >= depthsFrom {
		j.shape.deep = s.known.depths(j.shape)
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
