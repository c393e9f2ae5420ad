package raster

import (
	"math"
	"sort"
)

// dotExtent: a separate piece of ink whose longest extent is under this many
// times its largest disc is a dot, else a line.
const dotExtent = 3

// wholes are the pieces judged by their own width.
type wholes struct {
	list   []Feature // those that may be under the limit
	finest Finest
}

// ranked is a piece and a width it is certain not to fall below, in pixels of
// the artwork.
type ranked struct {
	piece int
	least float64
}

// measureInOrder measures pieces from the least possible width up, until none
// that remains can be under the limit or the finest yet. keep tells whether the
// piece, once measured, is of the kind.
func (s *scene) measureInOrder(kind Kind, list []ranked, limit float64, keep func(i int, b *Blob) bool) (w wholes) {
	sort.Slice(list, func(i, j int) bool {
		if list[i].least != list[j].least {
			return list[i].least < list[j].least
		}
		return list[i].piece < list[j].piece
	})
	shape := Shape{Ink: s.k, Film: kind == Island}
	for _, r := range list {
		if r.least >= limit && w.finest.Found && r.least >= w.finest.Width {
			break
		}
		c := &s.pieces.List[r.piece]
		b := s.blob(shape, r.piece)
		// A piece that only the finer grid has (the threads may part one off) is
		// none of the artwork's.
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

// blob measures a piece on the artwork's own pixels. The threads may have given
// the piece pixels that it has on the grid alone, so it is entered where its
// rows are longest.
func (s *scene) blob(shape Shape, i int) Blob {
	box := s.box(&s.pieces.List[i])
	for long, runs := int32(math.MaxInt32), s.pieces.runsOf(i); long > 0; {
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
				return shape.MeasureBlob(x, y, box)
			}
		}
		long = next
	}
	return Blob{}
}

// dots finds the dots of a plane of ink, and tells by piece of ink which are none.
func (s *scene) dots(limit float64) (w wholes, notDot []bool) {
	notDot = make([]bool, len(s.pieces.List))
	var list []ranked
	for i := range s.pieces.List {
		notDot[i] = true
		c := &s.pieces.List[i]
		// A dot is at least a third of its extent wide, and its box no longer
		// than its extent.
		long := float64(max(c.X1-c.X0, c.Y1-c.Y0)) / s.g.scale()
		list = append(list, ranked{i, (long - 1) / dotExtent})
	}
	w = s.measureInOrder(Dot, list, limit, func(i int, b *Blob) bool {
		if b.Extent < dotExtent*b.Disc {
			notDot[i] = false
			return true
		}
		return false
	})
	return w, notDot
}

// islands finds the enclosed pieces of a plane of film.
func (s *scene) islands(limit float64) wholes {
	outside := s.pieces.At(0, 0)
	var list []ranked
	for i := range s.pieces.List {
		if i == outside {
			continue
		}
		c := &s.pieces.List[i]
		// Pixel sides overstate the perimeter, so this understates 4A/P.
		list = append(list, ranked{i, 4 * float64(c.Area) / float64(c.Cracks) / s.g.scale() * 0.95})
	}
	return s.measureInOrder(Island, list, limit, func(int, *Blob) bool { return true })
}
