package raster

import (
	"math"
	"slices"
)

// MeasureCourse measures the thin part of s whose rough centre line is c, in
// pixels of the artwork. The true centre line may be 1.5 pixels away. safe is
// the safe limit in pixels; widths are averaged over at most half of it.
//
// Steps: smooth the path; shift it twice to the middle of the two half
// crossings; take a cross-section every half pixel; drop what an end of the
// shape has bent; average along the line, each place over the stretch where the
// width stays about the same; take the least, less what that averaging and the
// pixels' own blur added to it.
//
// Sections come back for every place kept, narrowest or not. Nothing that can
// be measured gives no sections.
func (s Shape) MeasureCourse(c Course, safe float64) Profile {
	return s.measureCourse(c, safe, false, nil)
}

// measureCourse is MeasureCourse with what has been measured already at hand,
// or nil. It works in the course's own coordinates (see sampler), so that
// places alike give the same numbers to the last digit wherever they lie. In brief
// it may leave all but the sections out.
func (s Shape) measureCourse(c Course, safe float64, brief bool, known *alike) Profile {
	f := newSampler(s)
	local := f.frame(c, 2*safe+12)
	brief = brief && s.Ink.Bilevel()
	key, done := known.key(f, local, safe, brief)
	defer done()
	f.noting = len(key) > 0
	p, ok := known.get(key, f)
	if !ok {
		defer f.fill()()
		lent, giveBack := borrow()
		defer giveBack()
		m := measurer{f: f, whole: c, scratch: lent, safe: safe, limit: max(2*safe+8, 24), reach: sharpReach, bilevel: s.Ink.Bilevel(), brief: brief}
		if known != nil {
			m.lines = known.lines
		}
		p = m.profile(local)
		if len(p.Sections) > 0 && !m.brief {
			// Whatever was taken off, a disc of this size does fit there. (The film's
			// sharp corner at a wall hardly shows in whole pixels.)
			if !p.wall {
				p.Width = max(p.Width, 0, f.roomAt(p.At, p.Width)-1)
			}
			m.hold(&p)
			if !m.bilevel {
				p.PlusMinus = max(p.PlusMinus, m.cuspDoubt(&p))
			}
		}
		known.put(key, f, p)
	}
	return p.moved(float64(f.winX), float64(f.winY))
}

// touching is the width in pixels of two pixels that meet at a corner: the
// integral of coverage (1-x)(1-y) + xy along the diagonal between them.
const touching = math.Sqrt2 / 3

// hold keeps what is taken off for curvature and blur from taking off all there
// is. Where the shape hangs together by the corners of pixels, its width may be
// anything from nothing to twice touching, and 0 is said of no line: the width
// is what the coverage across it amounts to, at most touching, and plus and
// minus reaches down to nothing. A quarter less is let be: lines too thin to
// reach half coverage need little taken off.
func (m *measurer) hold(p *Profile) {
	if p.Width >= 0.75*touching {
		return
	}
	st := m.f.station(p.At, p.Across, m.limit, m.reach)
	if !st.ok {
		st.width = touching
	}
	if held := min(st.width, touching); p.Width < 0.75*held {
		p.Width, p.PlusMinus = held, max(p.PlusMinus, held)
	}
}

// measurer carries what stays the same while one course is measured.
type measurer struct {
	f       *sampler
	safe    float64
	limit   float64 // farthest half crossing looked for
	reach   float64 // how far beyond the crossing an edge has coverage
	blur    float64 // sigma of the edge in pixels beyond a pixel's own blur
	bilevel bool
	brief   bool // the sections say enough; profile clears it where it needs more
	scratch *scratch
	whole   Course       // in pixels of the artwork
	lines   *centreLines // those found before, or nil
	line    *centreLine  // what is remembered of this one, or nil
}

// strand is a centre line with its stations and the part of it that counts.
type strand struct {
	sharp        bool // its narrowest place has no stretch to average
	mouth        bool // it opens close by its narrowest place
	p, dir       []Point
	st           []station
	closed       bool
	step         float64
	tipLo, tipHi bool // the line ends there, support is missing
	lo, hi       int  // stations [lo, hi) are the course; the others support its ends
	length       float64
	straight     bool // a straight line across the shortest chord
	cut          bool // where the shape ends
}

func (m *measurer) profile(c Course) Profile {
	k := m.centre(c)
	if k == nil {
		return Profile{}
	}
	if m.brief = m.brief && !k.straight; m.brief {
		if list := m.bilevelSections(k); len(list) > 0 {
			return Profile{Sections: list, Length: k.length}
		}
		m.brief = false
	}
	find := m.greyProfile
	if m.bilevel {
		find = m.bilevelProfile
	}
	p := find(k)
	if k.straight {
		return p
	}
	if len(p.Sections) > 0 && p.Width < chordLeast {
		if k.sharp && !k.closed {
			if w := m.across(p.At, Point{p.Across.Y, -p.Across.X}, 30, 2, Course{}); w != nil {
				if q := find(w); len(q.Sections) > 0 {
					q.Sections, q.Length = p.Sections, p.Length
					return q
				}
			}
		}
		return p
	}
	// A waist so short that the centre line through it leans shows as a chord
	// much shorter than the profile knows of.
	noted := notedChord
	if m.bilevel {
		noted = notedStair
	}
	most := math.Inf(1)
	if len(p.Sections) > 0 && !k.sharp && !k.mouth {
		most = math.Nextafter(p.Width-noted, math.Inf(1))
	}
	chord, at, dir := m.chordAlong(k, most)
	if math.IsInf(chord, 1) {
		return p
	}
	w := m.across(at, dir, 30, 2, Course{})
	if w == nil {
		return p
	}
	q := find(w)
	if len(q.Sections) > 0 && len(p.Sections) > 0 && (m.f.at(q.At.X, q.At.Y) < 0.5 || m.bilevel && m.f.oneEdge(q.At, q.Across, q.Width)) {
		return p // a corner's pixel, beside which the line runs round a bend
	}
	if len(q.Sections) > 0 && (len(p.Sections) == 0 || k.sharp || k.mouth && q.wall || q.Width < p.Width-noted) {
		if len(p.Sections) > 0 {
			q.Sections = p.Sections
		}
		q.Length = p.Length
		return q
	}
	return p
}

// notedChord is how much shorter than the profile's width, in pixels, a chord
// must be before it is looked into: grey crossings are uncertain by 0.1, the
// steps of a bilevel stair take up to half a pixel from either side.
// Lines under chordLeast hardly reach half coverage; their crossings say nothing.
const (
	notedChord = 0.15
	notedStair = 1.3
	chordLeast = 1.5
)

// sections returns the stations that count, as Sections.
func (k *strand) sections(width []float64) []Section {
	out := make([]Section, 0, k.hi-k.lo)
	for i := k.lo; i < k.hi; i++ {
		if k.st[i].ok {
			out = append(out, Section{S: float64(i-k.lo) * k.step, At: k.p[i], Across: normal(k.dir[i]), Width: width[i]})
		}
	}
	return out
}

// Smoothing of the centre line, in pixels: a quarter of the width steadies the
// normal of a wide mark, and below two pixels the steps of the seed show
// through. Both edges of a bilevel mark have steps of their own: twice that.
func (m *measurer) sigma(width float64) float64 {
	if m.bilevel {
		return max(4, width/2)
	}
	return max(2, width/4)
}

// shortCourse is the length in pixels below which a path of whole pixels does
// not tell its own direction.
const shortCourse = 6.0

// support is how far, in pixels, a centre line is carried straight on beyond an
// end that is no tip: the averages there need neighbours on both sides.
const support = 4.0

// centre is strand, or what it found before. What the sampler reads is then not told.
func (m *measurer) centre(c Course) *strand {
	if m.line = m.lines.get(m.whole, m.f, m.limit); m.line != nil {
		m.f.noting = false
		return m.line.strand(m)
	}
	m.f.seen = seenTo{}
	k := m.strand(c)
	m.line = m.lines.put(m.whole, k, m)
	return k
}

// strand refines the course to a centre line with stations.
func (m *measurer) strand(c Course) *strand {
	pts, step := resampled(m.scratch, c.Path, c.Closed, curveStep)
	if len(pts) == 0 {
		return nil
	}
	length := step * float64(len(pts)-1)
	if c.Closed {
		length += step
	}
	if c.Closed && length < 2*shortCourse {
		c.Closed = false
	}
	if !c.Closed && length < shortCourse {
		return m.shortStrand(pts, length, c)
	}
	// A first pass over all of it, for the width.
	sigma := m.sigma(0)
	place, _ := smoothed(m.scratch, pts, nil, c.Closed, step, sigma)
	// The seed's steps made it longer than the line is.
	place, step = resampled(m.scratch, place, c.Closed, curveStep)
	if step == 0 {
		return nil
	}
	length = step * float64(len(place)-1)
	if c.Closed {
		length += step
	}
	place, dir := smoothed(m.scratch, place, nil, c.Closed, step, sigma)
	st := m.firstStations(c, place, dir)
	width := typicalWidth(st)
	if width == 0 {
		return nil
	}
	m.setReach(st)
	if !c.Closed {
		place, step = m.trimTips(c, place, dir, st, step)
		if len(place) == 0 {
			return nil
		}
		if l := step * float64(len(place)-1); l < shortCourse {
			k := m.shortStrand(place, l, c)
			if k != nil {
				k.length = length
			}
			return k
		}
	}
	// The stair of a bilevel line says no more twice a pixel than once.
	if m.bilevel && width >= coarseWidth && length >= coarseLength {
		place, step = resampled(m.scratch, place, c.Closed, 2*curveStep)
	}
	k := &strand{closed: c.Closed, step: step, length: length}
	sigma = m.sigma(width)
	if c.Closed {
		sigma = min(sigma, length/12)
	}
	for round := 0; round < 2; round++ {
		if round == 0 {
			place, dir = smoothed(m.scratch, place, nil, c.Closed, step, sigma)
		}
		st = m.someStations(place, dir)
		weight := m.scratch.ofFloats(len(st))
		moved := m.scratch.ofPoints(len(place))
		copy(moved, place)
		for i := range st {
			weight[i] = 1e-3
			if st[i].ok {
				// Where the shape opens into something wider its middle tells
				// little about the thin part's.
				weight[i] = min(1, math.Pow(width/max(st[i].width, 0.1), 4)) + 1e-3
				shift := max(-2, min(2, st[i].shift))
				moved[i] = along(place[i], normal(dir[i]), shift)
			}
		}
		s := sigma
		if round == 1 {
			s = sigma * 0.75
		}
		place, dir = smoothed(m.scratch, moved, weight, c.Closed, step, s)
	}
	k.step = meanStep(place, c.Closed)
	k.lo, k.hi = 0, len(place)
	if !c.Closed {
		k.tipLo, k.tipHi = c.TipStart, c.TipEnd
		place, dir, k.lo, k.hi = extended(m.scratch, place, dir, k.step, c.TipStart, c.TipEnd)
	}
	k.p, k.dir = place, dir
	m.setReach(st)
	k.st = m.stations(place, dir)
	return k
}

// A bilevel line has a station every pixel instead of every half one, if it is
// this wide and long, in pixels. (Finer lines, of 1.4 to 2.6 px on the bars of
// USAF 1951, then read up to 1.2 px low, and short ones miss scikit-image's local
// width on its page by up to 2.8 px, where it was 2.1.)
const (
	coarseWidth  = 3
	coarseLength = 24
)

// meanStep returns the mean distance between neighbours.
func meanStep(p []Point, closed bool) float64 {
	sum, n := 0.0, len(p)-1
	for i := 1; i < len(p); i++ {
		sum += dist(p[i-1], p[i])
	}
	if closed {
		sum += dist(p[n], p[0])
		n++
	}
	return sum / float64(max(1, n))
}

// firstStride is how many places of a first pass without tips go by a station:
// its quartiles of width and steepness need no more.
const firstStride = 4

// firstStations measures the stations of the first pass: all where a tip is to
// be trimmed, else a few.
func (m *measurer) firstStations(c Course, place, dir []Point) []station {
	if c.TipStart || c.TipEnd || len(place) < 16*firstStride {
		return m.stations(place, dir)
	}
	n := (len(place) + firstStride - 1) / firstStride
	few, way := m.scratch.ofPoints(n)[:0], m.scratch.ofPoints(n)[:0]
	for i := 0; i < len(place); i += firstStride {
		few, way = append(few, place[i]), append(way, dir[i])
	}
	return m.stations(few, way)
}

// stations measures a station at every place.
func (m *measurer) stations(place, dir []Point) []station {
	st := m.scratch.ofStations(len(place))
	for i := range place {
		st[i] = m.f.station(place[i], normal(dir[i]), m.limit, m.reach)
	}
	return st
}

// betweenStride is how many places go by a station while the middle is looked for.
const betweenStride = 2

// someStations is stations with some taken between their neighbours, where those
// are alike: enough to find the middle by, which is smoothed over several.
func (m *measurer) someStations(place, dir []Point) []station {
	st := m.scratch.ofStations(len(place))
	at := func(i int) { st[i] = m.f.station(place[i], normal(dir[i]), m.limit, m.reach) }
	at(0)
	for i := 0; i < len(place)-1; {
		j := min(i+betweenStride, len(place)-1)
		at(j)
		a, b := &st[i], &st[j]
		alike := a.ok && b.ok && math.Abs(a.width-b.width) <= sameWidth
		for q := i + 1; q < j; q++ {
			if !alike {
				at(q)
				continue
			}
			u := float64(q-i) / float64(j-i)
			st[q] = station{
				ok: true, width: a.width + (b.width-a.width)*u, shift: a.shift + (b.shift-a.shift)*u,
				peak: a.peak + (b.peak-a.peak)*u, slope: a.slope + (b.slope-a.slope)*u,
			}
		}
		i = j
	}
	return st
}

// typicalWidth returns the lower quartile of the stations' widths, 0 without
// any: a course may begin and end deep in something wide.
func typicalWidth(st []station) float64 {
	var w []float64
	for i := range st {
		if st[i].ok {
			w = append(w, st[i].width)
		}
	}
	if len(w) == 0 {
		return 0
	}
	slices.Sort(w)
	return w[len(w)/4]
}

// extended carries a line straight on by support beyond each end that is no
// tip, and returns which part of the result is the line itself.
func extended(a *scratch, place, dir []Point, step float64, tipStart, tipEnd bool) (p, d []Point, lo, hi int) {
	n := int(support / step)
	p, d = a.ofPoints(len(place) + 2*n)[:0], a.ofPoints(len(place) + 2*n)[:0]
	if !tipStart {
		for i := n; i >= 1; i-- {
			p = append(p, along(place[0], dir[0], -float64(i)*step))
			d = append(d, dir[0])
		}
		lo = n
	}
	p, d = append(p, place...), append(d, dir...)
	hi = len(p)
	if last := len(place) - 1; !tipEnd {
		for i := 1; i <= n; i++ {
			p = append(p, along(place[last], dir[last], float64(i)*step))
			d = append(d, dir[last])
		}
	}
	return p, d, lo, hi
}

// trimTips drops, at each end where the shape itself ends, w/2 + 2 pixels: a
// square end's corners draw the seed aside and its blur eats two pixels, a
// round end narrows over w/2. Where that leaves under three pixels it drops
// less, and at the least keeps the middle.
func (m *measurer) trimTips(c Course, place, dir []Point, st []station, step float64) ([]Point, float64) {
	if !c.TipStart && !c.TipEnd {
		return place, step
	}
	n := len(place)
	level := tipLevel(st)
	for _, margin := range [...]float64{2, 1.5, 1, 0.5, 0} {
		lo, hi := 0, n
		if c.TipStart {
			lo = m.tipDrop(place, dir, st, step, margin, level, false)
		}
		if c.TipEnd {
			hi = n - m.tipDrop(place, dir, st, step, margin, level, true)
		}
		if float64(hi-lo-1)*step >= 3 {
			return place[lo:hi], step
		}
	}
	mid := n / 2
	if c.TipStart != c.TipEnd { // keep the end that is no tip
		mid = n - 2
		if c.TipEnd {
			mid = 1
		}
	}
	lo, hi := max(0, mid-1), min(n, mid+2)
	return place[lo:hi], step
}

// tipLevel returns the coverage at which a line ends: half, or half of what a
// line too thin to reach half has along its middle.
func tipLevel(st []station) float64 {
	var peaks []float64
	for i := range st {
		if st[i].ok {
			peaks = append(peaks, st[i].peak)
		}
	}
	slices.Sort(peaks)
	if peak := peaks[len(peaks)/2]; peak < 0.5 {
		return peak / 2
	}
	return 0.5
}

// tipDrop returns how many stations to drop at an end, so that those kept are
// at least half their width plus margin away from the shape's tip.
func (m *measurer) tipDrop(place, dir []Point, st []station, step, margin, level float64, atEnd bool) int {
	if level < 0.5 { // perhaps blurred beyond telling how far
		margin += 3
	}
	n := len(place)
	at := func(i int) int {
		if atEnd {
			return n - 1 - i
		}
		return i
	}
	// spot is a place, or of a hairline that it lies beside the middle of that.
	spot := func(i int) Point {
		p := place[i]
		if st[i].ok && m.f.at(p.X, p.Y) < level {
			return along(p, normal(dir[i]), st[i].shift)
		}
		return p
	}
	inside := func(p Point) bool { return m.f.at(p.X, p.Y) >= level }
	// The tip lies ahead of the last place, or before it when the seed overran.
	// The direction at the very end is bent; take it from farther in.
	base := 0
	for base < n-1 && !inside(spot(at(base))) {
		base++
	}
	if base == n-1 {
		base = 0
	}
	in := at(min(n-1, base+int(4/step)))
	out := unit(Point{place[at(base)].X - place[in].X, place[at(base)].Y - place[in].Y})
	ahead := 0.0
	if out != (Point{}) {
		for start := spot(at(base)); ahead < m.limit && inside(along(start, out, ahead)); {
			ahead += rayStep
		}
		m.f.seen.far = max(m.f.seen.far, ahead)
		m.f.seen.none = m.f.seen.none || ahead >= m.limit
	}
	for i := base; i < n; i++ {
		w := 0.0
		for j := i; j < min(n, i+int(3/step)); j++ {
			if s := st[at(j)]; s.ok {
				w = max(w, s.width)
			}
		}
		if float64(i-base)*step+ahead >= w/2+margin+2*m.blur {
			return i
		}
	}
	return n
}

// setReach estimates from the steepness of the edges how far they are blurred,
// and sets the reach of the sums by it.
func (m *measurer) setReach(st []station) {
	if m.bilevel {
		return
	}
	var slopes []float64
	for i := range st {
		if st[i].ok && st[i].slope > 0 && st[i].peak > 0.75 {
			slopes = append(slopes, st[i].slope)
		}
	}
	if len(slopes) == 0 {
		for i := range st { // a line too thin or too blurred for an edge of its own
			if st[i].ok && st[i].slope > 0 {
				slopes = append(slopes, st[i].slope)
			}
		}
		if len(slopes) == 0 {
			return
		}
	}
	slices.Sort(slopes)
	g := slopes[len(slopes)/2]
	// A Gaussian edge of sigma has the slope 1/(sigma sqrt(2 pi)) at its middle.
	// Pixels and interpolation alone make 0.5 (variance 1/12 + 1/6 a side).
	sigma := 1 / (g * math.Sqrt(2*math.Pi))
	if sigma < 0.75 {
		return
	}
	m.blur = math.Sqrt(sigma*sigma - 0.25)
	m.reach = max(sharpReach, 3*sigma+1)
}
