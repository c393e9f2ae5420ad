package raster

import (
	"math"
	"sort"
)

// dotExtent: a separate piece of ink whose longest extent is under this many
// times its largest disc is a dot, else a line.
const dotExtent = 3

// tinyArea is the area in square pixels up to which a piece's contour may run
// through pixels hardly more than half covered, and its disc tells nothing.
const tinyArea = 9

// isDot tells a dot from a line. A tiny piece is as wide as its area over its
// extent, if that is more.
func (b *Blob) isDot() bool {
	wide := b.Disc
	if b.Area < tinyArea && b.Extent > 0 {
		wide = max(wide, b.Area/b.Extent)
	}
	return b.Extent < dotExtent*wide
}

// wholes are the pieces judged by their own width.
type wholes struct {
	list   []Feature // those that may be under the limit
	finest Finest
	// faint are the enclosed pieces of film that have no pixel of the artwork's own: slots
	// under a pixel wide, astride two rows. They are measured as strips, or not at all.
	faint []int
}

// faintWidth is what 4A/P of such a piece may be, in pixels: twice the two rows that it has
// on the grid.
const faintWidth = 4.0

// ranked is a piece and a width it is certain not to fall below, in pixels of
// the artwork.
type ranked struct {
	piece int
	least float64
}

// measureInOrder measures pieces from the least possible width up, until none
// that remains can be under the limit or the finest yet. keep tells whether the
// piece, once measured, is of the kind. Those that can be under the limit must
// all be measured, and are in parallel; the others by and by.
func (s *scene) measureInOrder(kind Kind, list []ranked, limit float64, keep func(i int, b *Blob) bool) (w wholes) {
	sort.Slice(list, func(i, j int) bool {
		if list[i].least != list[j].least {
			return list[i].least < list[j].least
		}
		return list[i].piece < list[j].piece
	})
	shape := Shape{Ink: s.k, Film: kind == Island}
	most := limit
	if kind == Island && !s.k.Bilevel() {
		most = max(most, faintWidth)
	}
	must := sort.Search(len(list), func(i int) bool { return list[i].least >= most })
	blobs := make([]Blob, len(list))
	done := 0
	measure := func(upTo int) {
		inParallel(upTo-done, func(i int) {
			if piece := list[done+i].piece; kind != Dot || !s.slender(piece) {
				blobs[done+i] = s.blob(shape, piece)
			}
		})
		done = upTo
	}
	measure(must)
	for i, r := range list {
		if i >= must && w.finest.Found && r.least >= w.finest.Width {
			break
		}
		if i >= done { // a quarter as many again, in parallel
			measure(min(len(list), done+max(8, done/4)))
		}
		c, b := &s.pieces.List[r.piece], blobs[i]
		// A piece that only the grid has is none of the artwork's (the threads may
		// part one off), or it nowhere reaches half coverage: see faint.
		if b.Width <= 0 && kind == Island && i < must {
			w.faint = append(w.faint, r.piece)
		}
		if b.Width <= 0 || !keep(r.piece, &b) {
			continue
		}
		f := Feature{Kind: kind, Width: b.Width, PlusMinus: b.PlusMinus, At: b.Centre, Length: b.Extent, Area: b.Area, Box: s.box(c)}
		w.finest.take(f)
		if f.Width < limit {
			w.list = append(w.list, f)
		}
	}
	return w
}

// measureBlob measures a piece on the artwork's own pixels. The threads may have given
// the piece pixels that it has on the grid alone, so it is entered where its
// rows are longest.
func (s *scene) measureBlob(shape Shape, i int) Blob {
	box := s.box(&s.pieces.List[i])
	runs, done := s.pieces.runsOf(i)
	defer done()
	for long := int32(math.MaxInt32); long > 0; {
		next := int32(0)
		for _, r := range runs {
			n := r.x1 - r.x0
			if n >= long {
				continue
			}
			if n > next {
				next = n
			}
		}
		for _, r := range runs {
			if r.x1-r.x0 != next {
				continue
			}
			at := s.g.native(int(r.x0+r.x1)/2, int(r.y))
			if x, y := int(at.X), int(at.Y); shape.Cover(x, y) > 0.5 {
				return shape.measureBlob(x, y, box, s.known, s.like)
			}
		}
		long = next
	}
	// Astride two columns none of whose middles is half covered.
	for _, r := range runs {
		for _, x := range [2]int32{r.x0, r.x1 - 1} {
			at := s.g.native(int(x), int(r.y))
			if x, y := int(at.X), int(at.Y); shape.Cover(x, y) > 0.5 {
				return shape.measureBlob(x, y, box, s.known, s.like)
			}
		}
	}
	return Blob{}
}

// dots finds the dots of a plane of ink for a safe limit, and tells by piece
// which are none, so far as it matters for lines of the other limit: pieces in
// which the disc of the lines fits nowhere. One that both discs fit in is as wide
// as its own limit, and not measured unless it may be the finest.
func (s *scene) dots(limit, line float64) (w wholes, notDot []bool) {
	thick := s.pieces.roomy(s.plane, strongRadius(s.disc(lineDisc(line), line)), nil)
	scale := s.g.scale()
	wide := s.pieces.roomy(s.plane, limit*scale/2+max(1, scale), func(i int) bool { return !thick[i] })
	var list []ranked
	for i := range s.pieces.List {
		least := s.leastDot(i)
		if wide[i] {
			least = max(least, limit)
		}
		list = append(list, ranked{i, least})
	}
	notDot = make([]bool, len(thick))
	for i := range notDot {
		notDot[i] = true
	}
	w = s.measureInOrder(Dot, list, limit, func(i int, b *Blob) bool {
		dot := b.isDot()
		s.judged = append(s.judged, judgedPiece{b.Centre, dot})
		notDot[i] = !dot || thick[i]
		return dot
	})
	return w, notDot
}

// leastDot is the width that piece i has at least if it is a dot: a third of its
// extent, and its box is no longer than that.
func (s *scene) leastDot(i int) float64 {
	c := &s.pieces.List[i]
	return (float64(max(c.X1-c.X0, c.Y1-c.Y0))/s.g.scale() - 1) / dotExtent
}

// slenderMost is the most that slender looks at, in rows; more than that and
// measuring is cheaper.
const slenderMost = 1 << 18

// slender tells a piece that is certain to be no dot, without measuring it: for
// its extent, no less than its box less a pixel, it would have to have a larger
// disc than fits round any of its pixels. A disc inside the contour has a pixel
// within 0.71 of its centre; a pixel of the artwork is let be for where the
// contour runs between the pixels, and on a reduced grid one and a half of that
// grid for what the other side has taken.
func (s *scene) slender(i int) bool {
	loss := 0.71
	if s.g.down > 1 {
		loss += 1.5
	}
	r := s.g.scale()*(s.leastDot(i)/2-1) - loss
	if r < 0 || float64(s.pieces.List[i].Area)*r > slenderMost {
		return false
	}
	inset := int(r)
	runs, done := s.pieces.runsOf(i)
	defer done()
	for _, q := range runs {
		for x := int(q.x0) + inset; x < int(q.x1)-inset; x++ {
			if fitsAt(s.plane, 2*x, 2*int(q.y), r) {
				return false
			}
		}
	}
	return true
}

// judgedPiece is a place inside a piece of ink, and whether the piece is a dot.
type judgedPiece struct {
	at  Point
	dot bool
}

// notDots tells for a disc of limit px which pieces of ink are no dots, so far
// as it matters: pieces in which the disc may fit nowhere. What was judged on
// another grid is taken from there.
func (s *scene) notDots(limit float64) []bool {
	notDot := make([]bool, len(s.pieces.List))
	known := make([]bool, len(s.pieces.List))
	for i := range notDot {
		notDot[i] = true
	}
	for _, j := range s.judged {
		x := int(math.Floor(j.at.X*s.g.scale())) + s.g.padX
		y := int(math.Floor(j.at.Y*s.g.scale())) + s.g.padY
		if i := s.pieces.At(x, y); i >= 0 {
			known[i], notDot[i] = true, !j.dot
		}
	}
	var ask []int
	for i := range known {
		// A dot longer than this has a disc of strongDisc limits in it.
		if !known[i] && s.leastDot(i) < strongDisc*limit+1 {
			ask = append(ask, i)
		}
	}
	shape := Shape{Ink: s.k}
	found := make([]judgedPiece, len(ask))
	told := make([]bool, len(ask))
	inParallel(len(ask), func(i int) {
		if at, ok := s.stout(ask[i]); ok {
			found[i], told[i] = judgedPiece{at, true}, true
		} else if !s.slender(ask[i]) {
			b := s.blob(shape, ask[i])
			found[i], told[i] = judgedPiece{b.Centre, b.isDot()}, b.Width > 0
		}
	})
	for i, j := range found {
		if told[i] {
			notDot[ask[i]] = !j.dot
			s.judged = append(s.judged, j)
		}
	}
	return notDot
}

// stout tells a piece that is certain to be a dot, without measuring it, and a place in
// it: round the middle of its box fits a disc of which the box's diagonal, more than
// its extent, is not dotExtent diameters long. Two pixels of the artwork are let be for
// where the contour runs between the pixels and for what smoothing does to it.
func (s *scene) stout(i int) (at Point, ok bool) {
	c := &s.pieces.List[i]
	box := s.box(c)
	r := s.g.scale() * ((math.Hypot(box.X1-box.X0, box.Y1-box.Y0)+2)/(2*dotExtent) + 2)
	x, y := (c.X0+c.X1-1)/2, (c.Y0+c.Y1-1)/2
	if s.pieces.At(x, y) != i || !fitsAt(s.plane, 2*x, 2*y, r) {
		return Point{}, false
	}
	return s.g.native(x, y), true
}

// islands finds the enclosed pieces of a plane of film. A piece that a disc of
// the limit fits in holds, however long its outline is.
func (s *scene) islands(limit float64) wholes {
	outside := s.pieces.At(0, 0)
	roomy := s.pieces.roomy(s.plane, limit*s.g.scale()/2+1, func(i int) bool { return i == outside })
	var list []ranked
	for i := range s.pieces.List {
		if i == outside {
			continue
		}
		c := &s.pieces.List[i]
		// Pixel sides overstate the perimeter, so this understates 4A/P.
		least := 4 * float64(c.Area) / float64(c.Cracks) / s.g.scale() * 0.95
		if roomy[i] {
			least = max(least, limit)
		}
		list = append(list, ranked{i, least})
	}
	return s.measureInOrder(Island, list, limit, func(int, *Blob) bool { return true })
}
