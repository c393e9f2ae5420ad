package raster

import (
	"slices"
	"sync"
)

// Known is what measurings of one ink plane for different limits have in common,
// so that it is worked out once: the grids and their pieces, whole pieces
// measured, the centre lines of long courses, the ends of pieces in which no disc fits, how
// deep in a side its pixels lie, and the thin parts found by the least disc. A measuring
// gives the same with and without it, to the last digit. It serves one Ink, which must not
// change, and one measuring at a time. The zero value knows nothing yet.
type Known struct {
	// Reach is the largest limit to come, in pixels: the grids get a margin wide
	// enough for it. Larger ones are laid anew.
	Reach float64

	laid  []*laid    // the last used first
	deep  [2]*depths // of the ink and of the film
	mu    sync.Mutex
	blobs map[blobKey]Blob
}

// laid is an artwork laid on a grid, either side of it.
type laid struct {
	k         *Ink
	pad       int
	g         *grid
	specks    []Speck
	film, ink plane
	spares    *spares
}

// plane is one side on a grid.
type plane struct {
	bits   *Bits
	pieces *Pieces
	least  *thinParts // found by the least disc; nil when not looked for yet
	notDot []bool     // that least was found with, and faint
	faint  []int
	blobs  []*Blob      // of pieces measured; nil, and of each piece nil, before
	ends   []*pieceEnds // of pieces without E
	lines  centreLines
}

// makeRoom makes room for what is measured of the pieces.
func (p *plane) makeRoom() {
	if len(p.blobs) < len(p.pieces.List) {
		p.blobs, p.ends = make([]*Blob, len(p.pieces.List)), make([]*pieceEnds, len(p.pieces.List))
	}
}

// mostLaid is how many grids are kept.
const mostLaid = 2

// lay is lay, remembered.
func (n *Known) lay(k *Ink, limit, margin float64) *scene {
	if n == nil {
		return lay(k, limit, margin)
	}
	up, pad := upFor(limit), padFor(upFor(limit), 1, max(margin, n.Reach))
	for i, l := range n.laid {
		if l.k == k && l.g.up == up && l.pad >= padFor(up, 1, margin) {
			copy(n.laid[1:i+1], n.laid[:i])
			n.laid[0] = l
			return l.scene()
		}
	}
	s := layOn(k, up, 1, keepInk, max(margin, n.Reach), nil)
	l := &laid{k: k, pad: pad, g: s.g, specks: s.specks, spares: s.spares, film: plane{bits: s.plane, pieces: s.pieces}}
	n.laid = append([]*laid{l}, n.laid[:min(len(n.laid), mostLaid-1)]...)
	return l.scene()
}

func (l *laid) scene() *scene {
	l.film.makeRoom()
	return &scene{k: l.k, g: l.g, film: true, plane: l.film.bits, pieces: l.film.pieces, specks: l.specks, spares: l.spares, like: new(alikeBlobs), laid: l}
}

// turn makes the plane of a scene the ink.
func (l *laid) turn(s *scene) {
	if l.ink.bits == nil {
		l.ink.bits = l.film.bits.Clone()
		l.ink.bits.Complement()
	}
	s.plane, s.pieces, s.film = l.ink.bits, l.inkPieces(), false
	l.ink.makeRoom()
}

// inkPieces are the pieces of the ink.
func (l *laid) inkPieces() *Pieces {
	if l.ink.pieces == nil {
		l.ink.pieces = l.film.pieces.gaps(l.film.bits.W, nil, true)
	}
	return l.ink.pieces
}

// leastParts is the part of a scene for a safe limit under the least disc. The
// disc is the same for all of them, and so is what widths are averaged over.
func (s *scene) leastParts(safe float64, notDot []bool) *thinParts {
	// All of them, for what is under the disc need not be under the limit.
	defer func(enough bool) { s.enough = enough }(s.enough)
	s.enough = false
	find := func() *thinParts { return s.part(leastDisc, safe, leastDisc, notDot) }
	if s.laid == nil {
		return find()
	}
	p := s.side()
	if p.least == nil || !slices.Equal(p.notDot, notDot) || !slices.Equal(p.faint, s.faint) {
		p.least, p.notDot, p.faint = find(), notDot, s.faint
	}
	return p.least
}

// blob is a piece of a scene measured, remembered.
func (s *scene) blob(shape Shape, i int) Blob {
	if s.laid == nil {
		return s.measureBlob(shape, i)
	}
	known := s.side().blobs
	if known[i] == nil {
		b := s.measureBlob(shape, i)
		known[i] = &b
	}
	return *known[i]
}

// side is what is known of the side that the scene's plane is.
func (s *scene) side() *plane {
	p := &s.laid.ink
	if s.film {
		p = &s.laid.film
	}
	return p
}

// depths are those of one side of the ink plane.
func (n *Known) depths(of Shape) *depths {
	d := &n.deep[0]
	if of.Film {
		d = &n.deep[1]
	}
	if *d == nil {
		*d = depthsOf(of)
	}
	return *d
}

// blobKey tells a piece: its first pixel and size, the box around it, and its side.
type blobKey struct {
	x, y, size   int
	x0, y0, w, h int
	film         bool
}

// blob measures a piece, or remembers it.
func (n *Known) blob(p *piece, like *alikeBlobs) Blob {
	if n == nil {
		return p.measure(like)
	}
	key := blobKey{size: p.size, x0: p.x0, y0: p.y0, w: p.own.W, h: p.own.H, film: p.f.film}
	key.x, key.y = p.first()
	n.mu.Lock()
	b, ok := n.blobs[key]
	n.mu.Unlock()
	if ok {
		return b
	}
	b = p.measure(like)
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.blobs == nil {
		n.blobs = map[blobKey]Blob{}
	}
	n.blobs[key] = b
	return b
}
