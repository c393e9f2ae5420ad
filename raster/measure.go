package raster

import (
	"math"
	"runtime"
	"slices"
	"sort"
)

// gridLimit is how many grid pixels a limit spans at least. With fewer the
// angles of tips are lost in the steps of the grid; with more (8 and 12 were
// tried) bars, wedges, necks and letters come out the same, for the widths are
// measured on the artwork, and every doubling costs four times the work.
const gridLimit = 5

// leastDisc is the smallest disc that proposes, in pixels of the artwork. A line
// astride two rows of pixels reads as wide as both, so a smaller disc fits in it
// here and there, and cuts a hairline into a string of necks.
const leastDisc = 2.75

// gridFor is the limit that the grid is laid for, in pixels. In whole pixels nothing is
// narrower than one, but where corners meet, and two to the pixel show as much as more do.
// In grey, three do: with four under limits of 1.25 px as many lines, gaps, bridges, slots
// and rims were found, and under those of 1.25 to 1.6 1 in 80 more, and 1 in 14 more falsely,
// at 1.4 times the price; with two a gap of 0.8 px at an angle is now and then seen bridged.
func gridFor(limit float64, bilevel bool) float64 {
	switch {
	case bilevel:
		return max(limit, gridLimit/2.0)
	case limit < leastDisc:
		// On two grid pixels to the pixel the least disc fits in bars little wider
		// than it here and there, and what lies between reads as anything.
		limit = min(limit, 0.99*gridLimit/2)
	}
	return max(limit, gridLimit/3.0)
}

// Speck size: pieces of either side under this many square pixels of the
// artwork are set aside before thin parts are looked for. In a bilevel file the
// film at the bottom of a narrow crotch breaks into such pieces, and each would
// make a neck.
const speckArea = 4

// scene is the artwork on one grid: one plane, which is the film first and then,
// turned over in place, the ink.
type scene struct {
	k      *Ink
	g      *grid
	film   bool
	plane  *Bits
	pieces *Pieces // of plane
	specks []Speck
	judged []judgedPiece
	like   *alikeBlobs // whole pieces measured
	told   *progress
	spares *spares // planes of this one's size that nobody uses
	known  *Known
	laid   *laid   // what plane and pieces are shared with; nil when they are its own
	enough bool    // see Request
	faint  []int   // pieces of film measured as strips, see wholes
	last   float64 // a disc, px of the artwork, under which no thin part is left to find
}

// lay puts the film of the artwork, without the specks of either side, on the
// grid on which limit px spans gridLimit pixels or more. The grid is never
// coarser than the artwork, for then what is narrower than a grid pixel is lost.
func lay(k *Ink, limit, margin float64) *scene {
	return layOn(k, upFor(limit), 1, keepInk, margin, nil)
}

// OwnPieces reports whether Measure labels the pieces of the artwork's own pixels,
// of which it tells the request's Sides: of a bilevel artwork whose limits are not
// so small that they need a finer grid, and of which nothing is known.
func OwnPieces(k *Ink, req Request) bool {
	return req.Known == nil && k.Bilevel() && upFor(req.gridLimit(k)) == 1
}

// GridPixels is how many pixels the grid has that Measure works on for a request, without
// its margin: what it costs goes by that.
func GridPixels(k *Ink, req Request) int {
	up := upFor(req.gridLimit(k))
	return k.W * up * k.H * up
}

// gridLimit is the limit that a request's grid is laid for.
func (r *Request) gridLimit(k *Ink) float64 {
	return gridFor(min(r.Safe[Line], r.Safe[Strip]), k.Bilevel())
}

// upFor is how many grid pixels to a pixel a limit needs.
func upFor(limit float64) int {
	if limit < gridLimit {
		return min(int(math.Ceil(gridLimit/limit)), 8)
	}
	return 1
}

// padFor is the margin of a grid for limits up to margin px, in grid pixels.
func padFor(up, down int, margin float64) int {
	return int(math.Ceil(margin*float64(up)/float64(down)*strongDisc/2)) + 3
}

// layCoarse is lay for the search for the finest, when nothing narrower than
// limit/finestStep is left to find: the grid is coarser the larger the limit,
// and keeps the side whole that the search does not look at.
func layCoarse(k *Ink, limit, margin float64, kind Kind) *scene {
	if limit < 2*gridLimit {
		return lay(k, gridFor(limit, k.Bilevel()), margin)
	}
	keep := keepFilm
	if kind == Strip {
		keep = keepInk
	}
	return layOn(k, 1, downFor(limit), keep, margin, nil)
}

// downFor is how many pixels to a grid pixel layCoarse takes for a limit.
func downFor(limit float64) int { return max(1, int(limit/(2*gridLimit))) }

// layOn lays the artwork on a grid of up to a pixel, or a pixel of it to down, and
// tells sides, which may be nil, of the pieces (see Request).
func layOn(k *Ink, up, down int, keep keepSide, margin float64, sides func(film bool, p *Pieces, dx, dy int)) *scene {
	s := &scene{k: k, spares: new(spares), like: new(alikeBlobs)}
	s.g = newGrid(k.W, k.H, up, down, padFor(up, down, margin))
	s.g.keep = keep
	// The two planes that part will ask for come with the scene's own: clearing one is
	// work for one processor.
	planes := make([]*Bits, 3)
	inParallel(len(planes), func(i int) { planes[i] = NewBits(s.g.w, s.g.h) })
	s.plane = planes[0]
	s.spares.give(planes[1:]...)
	s.g.cut(s.plane, k)
	if k.Grey != nil && down == 1 {
		s.g.openSaddles(s.plane, k)
	}
	ink := Label(s.plane, true)
	if sides != nil {
		sides(false, ink, s.g.padX, s.g.padY)
	}
	s.drop(ink)
	s.plane.Complement()
	s.film = true
	s.pieces = ink.gaps(s.plane.W, nil, false)
	ink.release()
	switch {
	case sides == nil:
	case len(s.specks) > 0:
		sides(true, nil, 0, 0)
	default:
		sides(true, s.pieces, s.g.padX, s.g.padY)
	}
	s.drop(s.pieces)
	return s
}

// turn makes the plane the ink.
func (s *scene) turn() {
	if s.laid != nil {
		s.laid.turn(s)
		return
	}
	s.pieces = s.pieces.gaps(s.plane.W, nil, true)
	s.plane.Complement()
	s.film = false
}

// inkPieces are the pieces of the ink while the plane is the film. The caller calls done
// when it has finished with them.
func (s *scene) inkPieces() (p *Pieces, done func()) {
	if s.laid != nil {
		return s.laid.inkPieces(), func() {}
	}
	p = s.pieces.gaps(s.plane.W, nil, true)
	return p, p.release
}

// drop takes the specks off the plane and its pieces p.
func (s *scene) drop(p *Pieces) {
	limit := speckArea * s.g.up * s.g.up
	if s.g.down > 1 {
		limit = 1
	}
	ok := make([]bool, len(p.List))
	any := false
	for i := range p.List {
		c := &p.List[i]
		ok[i] = c.Area >= limit
		if !ok[i] {
			any = true
			s.specks = append(s.specks, Speck{Film: s.film, Area: float64(c.Area) / (s.g.scale() * s.g.scale()), Box: s.box(c)})
		}
	}
	if any {
		p.keep(s.plane, ok)
		p.without(ok)
	}
}

// box returns a piece's box in pixels of the artwork.
func (s *scene) box(c *Piece) Box {
	a, b := s.g.native(c.X0, c.Y0), s.g.native(c.X1-1, c.Y1-1)
	h := 0.5 / s.g.scale()
	if s.g.down > 1 { // what keeps the other side has taken up to a grid pixel off
		h *= 3
	}
	return Box{a.X - h, a.Y - h, b.X + h, b.Y + h}
}

// Measure finds and measures what is narrower than the limits of the request,
// and the narrowest of each kind whether it is or not. Nothing in it depends on
// how many processors there are.
func Measure(k *Ink, req Request) *Result {
	res := &Result{}
	for _, kind := range [2]Kind{Line, Strip} {
		req.Safe[kind] = min(req.Safe[kind], k.mostWidth())
	}
	line, strip := req.Safe[Line], req.Safe[Strip]
	margin := max(leastDisc, line, strip)
	var s *scene
	if OwnPieces(k, req) {
		s = layOn(k, 1, 1, keepInk, margin, req.Sides)
	} else {
		s = req.Known.lay(k, req.gridLimit(k), margin)
	}
	s.known, s.enough = req.Known, req.Enough
	s.told = &progress{tell: req.Progress}
	s.told.reach(doneLaying)
	res.Specks = s.specks
	var isles, dots wholes
	var film, ink *thinParts
	if s.laid != nil && !req.Enough && s.plane.W*s.plane.H <= bothSides {
		// Neither side needs the other, and either has stretches that only one
		// processor can work on.
		s.laid.inkPieces() // which both will ask for
		t := s.beside()
		inParallelBy(min(2, runtime.GOMAXPROCS(0)), 2, func(i int) {
			if i == 0 {
				isles, film = s.filmSide(&req)
			} else {
				dots, ink = t.inkSide(&req)
			}
		})
		s.judged = t.judged
	} else {
		isles, film = s.filmSide(&req)
		if film == nil {
			return res.with(req, isles.list)
		}
		if req.Enough && film.under(strip) {
			return res.with(req, film.features)
		}
		dots, ink = s.inkSide(&req)
		if ink == nil {
			return res.with(req, dots.list)
		}
	}
	s.told.reach(doneInk)
	res.Tips = append(ink.tips, film.tips...)
	lines := ink.told(film.hairs, strip, isles.hairs(), req.Safe[Island])
	strips := film.told(ink.hairs, line, dots.hairs(), req.Safe[Dot])
	res.with(req, lines, dots.list, strips, isles.list)
	res.meetAtCorner(k)
	res.Finest[Dot] = dots.finest
	res.Finest[Island] = isles.finest
	if req.Bare || req.Enough {
		return res
	}
	// The two look at different sides, so neither need wait for the other; but of
	// a page that would be twice the planes, and one alone keeps all processors at work.
	workers := 1
	if k.W*k.H <= sideBySide {
		workers = 2
	}
	inParallelBy(workers, 2, func(i int) {
		kind := [2]Kind{Line, Strip}[i]
		if f := &res.Finest[kind]; !f.Found {
			*f = finest(k, kind, req.Safe[kind], &s.judged)
		}
	})
	return res
}

// mostWidth is a limit, in pixels, that is as good as any larger: nothing in the artwork
// is wider. Without it the margin of a small artwork under a large limit, as of a width
// given in the wrong unit, would be a thousand times the artwork.
func (k *Ink) mostWidth() float64 { return max(64, math.Hypot(float64(k.W), float64(k.H))) }

// bothSides is the largest grid, in its pixels, on which the film and the ink are
// measured at the same time, which takes three planes more. Only where both sides'
// planes are kept in any case: a measuring by itself gains a twentieth at half as
// much memory again, one of several an eighth.
const bothSides = 1 << 27

// beside returns a scene of the same artwork for the ink, which tells its share of
// the progress. The scene itself is left with the film's.
func (s *scene) beside() *scene {
	t := *s
	t.spares, t.like = new(spares), new(alikeBlobs)
	s.told, t.told = s.told.split()
	return &t
}

// filmSide finds the islands and the strips. With Enough there may be no strips,
// nil, for an island says enough.
func (s *scene) filmSide(req *Request) (isles wholes, film *thinParts) {
	isles = s.islands(req.Safe[Island])
	s.told.reach(doneIslands)
	if req.Enough && isles.under(req.Safe[Island]) {
		return isles, nil
	}
	s.faint = isles.faint
	film = s.thinParts(req.Safe[Strip], nil)
	s.told.reach(doneFilm)
	return isles, film
}

// inkSide turns the scene, and finds the dots and the lines. With Enough there may
// be no lines, nil, for a dot says enough.
func (s *scene) inkSide(req *Request) (dots wholes, ink *thinParts) {
	s.turn()
	dots, notDot := s.dots(req.Safe[Dot], req.Safe[Line])
	s.told.reach(doneDots)
	if req.Enough && dots.under(req.Safe[Dot]) {
		return dots, nil
	}
	return dots, s.thinParts(req.Safe[Line], notDot)
}

// sideBySide is the largest artwork, in pixels, in which the narrowest line and the
// narrowest strip are looked for at the same time.
const sideBySide = 1 << 24

// Narrowest is the narrowest line or strip of an artwork in which none is under
// limit px: what Measure finds for a kind that Bare leaves out.
func Narrowest(k *Ink, kind Kind, limit float64) Finest {
	return finest(k, kind, limit, new([]judgedPiece))
}

// with puts in the features under their limits, in reading order, and the finest
// of them.
func (r *Result) with(req Request, lists ...[]Feature) *Result {
	for _, list := range lists {
		for _, f := range list {
			if f.Width < req.Safe[f.Kind] {
				r.Features = append(r.Features, f)
			}
		}
	}
	sort.SliceStable(r.Features, func(i, j int) bool {
		a, b := r.Features[i], r.Features[j]
		if a.At.Y != b.At.Y {
			return a.At.Y < b.At.Y
		}
		return a.At.X < b.At.X
	})
	for _, f := range r.Features {
		r.Finest[f.Kind].take(f)
	}
	return r
}

// thinParts finds the thin parts of the plane for a safe limit in pixels.
func (s *scene) thinParts(safe float64, notDot []bool) *thinParts {
	if safe < leastDisc {
		return s.leastParts(safe, notDot)
	}
	return s.part(safe, safe, safe, notDot)
}

// lineDisc is the disc that thinParts proposes with for a safe limit.
func lineDisc(safe float64) float64 { return max(safe, leastDisc) }

// under reports whether there is a feature under limit.
func (t *thinParts) under(limit float64) bool { return anyUnder(t.features, limit) }

// under reports whether there is a piece under limit.
func (w *wholes) under(limit float64) bool { return anyUnder(w.list, limit) }

func anyUnder(list []Feature, limit float64) bool {
	return slices.ContainsFunc(list, func(f Feature) bool { return f.Width < limit })
}

// take takes a feature that is narrower, and reports whether it is.
func (f *Finest) take(m Feature) bool {
	if f.Found && m.Width >= f.Width {
		return false
	}
	*f = Finest{Found: true, Width: m.Width, PlusMinus: m.PlusMinus, At: m.At}
	return true
}

// closer measures once more, on the artwork, what was found on a reduced grid, round its
// narrowest place: there the stairs of whole pixels look like grey, and are no more.
func (s *scene) closer(m *Feature, f Finest, disc float64) Finest {
	at := 0
	for i, p := range m.Path {
		if dist(p, m.At) < dist(m.Path[at], m.At) {
			at = i
		}
	}
	a, b := at, at+1
	for a > 0 && dist(m.Path[a-1], m.At) <= disc {
		a--
	}
	for b < len(m.Path) && dist(m.Path[b], m.At) <= disc {
		b++
	}
	p := Shape{Ink: s.k, Film: s.film}.MeasureCourse(Course{Path: m.Path[a:b]}, disc)
	if len(p.Sections) == 0 || math.Abs(p.Width-f.Width) > 2*float64(s.g.down) {
		return f
	}
	return Finest{Found: true, Width: max(p.Width, s.last), PlusMinus: p.PlusMinus, At: p.At}
}

// finestStep is how much larger each disc of the search for the finest is.
const finestStep = 1.5

// finest looks for the narrowest line or strip of an artwork in which none is
// under the limit: with discs half as large again each time, on grids that grow
// coarser with them, until something is proposed. The widths are measured, so
// no finer steps are needed. Each step costs less than the last. judged carries
// what is known of the pieces of ink from step to step of the search for lines.
func finest(k *Ink, kind Kind, limit float64, judged *[]judgedPiece) (f Finest) {
	top := float64(min(k.W, k.H)) * finestStep
	if k.blank() {
		return f
	}
	var s *scene
	var narrowest Feature // found on a reduced grid
	margin := 0.0         // of its grid
	for d := limit * finestStep; d < top; d *= finestStep {
		if s == nil || d > margin || s.g.up != upFor(gridFor(d, k.Bilevel())) || s.g.down != downFor(d) {
			margin = d * finestStep * finestStep
			if s = layCoarse(k, d, margin, kind); kind == Line {
				s.turn()
			}
		}
		s.last = d / finestStep
		var notDot []bool
		if kind == Line {
			s.judged = *judged
			notDot = s.notDots(d)
			*judged = s.judged
		}
		// A spur as wide as the last disc or wider reaches as far as that from what
		// it grows on, or under a limit of its own width it would be none. (With
		// the limit itself as reach every square corner is one, once the disc is
		// large enough.)
		found := s.part(d, d, s.last, notDot)
		for _, m := range found.features {
			if f.take(m) && s.g.down > 1 && k.Bilevel() {
				narrowest = m
			}
		}
		if narrowest.Path != nil {
			f = s.closer(&narrowest, f, d)
		}
		if f.Found || found.idle {
			return f
		}
	}
	return f
}
