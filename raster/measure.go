package raster

import (
	"math"
	"sort"
)

// gridLimit is how many grid pixels a limit spans at least. With fewer the
// angles of tips are lost in the steps of the grid; with more (8 and 12 were
// tried) bars, wedges, necks and letters come out the same, for the widths are
// measured on the artwork, and every doubling costs four times the work.
const gridLimit = 5

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
}

// lay puts the film of the artwork on the grid on which limit px spans
// gridLimit pixels or more, without the specks of either side.
func lay(k *Ink, limit, margin float64) *scene {
	up, down := 1, 1
	if limit < gridLimit {
		up = min(int(math.Ceil(gridLimit/limit)), 8)
	} else {
		down = max(1, int(limit/(2*gridLimit)))
	}
	s := &scene{k: k}
	pad := int(math.Ceil(margin*float64(up)/float64(down)*strongDisc/2)) + 3
	s.g = newGrid(k.W, k.H, up, down, pad)
	s.plane = s.g.cut(k)
	s.drop()
	s.plane.Complement()
	s.film = true
	s.pieces = s.drop()
	return s
}

// turn makes the plane the ink.
func (s *scene) turn() {
	s.pieces = nil
	s.plane.Complement()
	s.film = false
	s.pieces = Label(s.plane, true)
}

// drop takes the specks off the plane and returns its pieces.
func (s *scene) drop() *Pieces {
	p := Label(s.plane, !s.film)
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
	if !any {
		return p
	}
	p.keep(s.plane, ok)
	return Label(s.plane, !s.film)
}

// box returns a piece's box in pixels of the artwork.
func (s *scene) box(c *Piece) Box {
	a, b := s.g.native(c.X0, c.Y0), s.g.native(c.X1-1, c.Y1-1)
	h := 0.5 / s.g.scale()
	return Box{a.X - h, a.Y - h, b.X + h, b.Y + h}
}

// Measure finds and measures what is narrower than the limits of the request,
// and the narrowest of each kind whether it is or not. Nothing in it depends on
// how many processors there are.
func Measure(k *Ink, req Request) *Result {
	res := &Result{}
	line, strip := req.Safe[Line], req.Safe[Strip]
	s := lay(k, math.Min(line, strip), math.Max(line, strip))
	res.Specks = s.specks
	isles := s.islands(req.Safe[Island])
	film := s.part(strip, strip, nil)
	s.turn()
	dots, notDot := s.dots(req.Safe[Dot])
	ink := s.part(line, line, notDot)
	res.Tips = append(ink.tips, film.tips...)
	for _, list := range [][]Feature{ink.features, dots.list, film.features, isles.list} {
		for _, f := range list {
			if f.Width < req.Safe[f.Kind] {
				res.Features = append(res.Features, f)
			}
		}
	}
	sort.SliceStable(res.Features, func(i, j int) bool {
		a, b := res.Features[i], res.Features[j]
		if a.At.Y != b.At.Y {
			return a.At.Y < b.At.Y
		}
		return a.At.X < b.At.X
	})
	for _, f := range res.Features {
		res.Finest[f.Kind].take(f)
	}
	res.Finest[Dot] = dots.finest
	res.Finest[Island] = isles.finest
	for _, kind := range []Kind{Line, Strip} {
		if !res.Finest[kind].Found {
			res.Finest[kind] = finest(k, kind, req.Safe[kind])
		}
	}
	return res
}

func (f *Finest) take(m Feature) {
	if !f.Found || m.Width < f.Width {
		*f = Finest{Found: true, Width: m.Width, PlusMinus: m.PlusMinus, At: m.At}
	}
}

// finest looks for the narrowest line or strip of an artwork in which none is
// under the limit: with discs half as large again each time, on grids that grow
// coarser with them, until something is proposed. The widths are measured, so
// no finer steps are needed. Each step costs less than the last.
func finest(k *Ink, kind Kind, limit float64) (f Finest) {
	top := float64(min(k.W, k.H)) / 2
	for d := limit * 1.5; d < top; d *= 1.5 {
		s := lay(k, d, d)
		var notDot []bool
		if kind == Line {
			s.turn()
			_, notDot = s.dots(0)
		}
		for _, m := range s.part(d, limit, notDot).features {
			f.take(m)
		}
		if f.Found {
			return f
		}
	}
	return f
}
