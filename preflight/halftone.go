package preflight

import (
	"cmp"
	"math"
	"slices"

	"stencilproof/raster"
)

// Screen is a halftone: a tone made of dots of ink, or where it is dark of dots
// of film, on a regular lattice.
type Screen struct {
	Pitch     float64        // pixels: the side of a square of the area of a lattice cell
	Angle     float64        // degrees from the x axis to the rows of dots, turning towards y, 0 up to 90
	Dots      int            // dots of ink seen to lie on the lattice
	Holes     int            // dots of film seen to
	LeastDot  float64        // pixels: the diameter of the disc of the smallest dot's area; 0 without dots
	LeastHole float64        // the same of the holes
	Box       raster.Box     // pixels, around the dots and holes
	fine      []raster.Point // the middles of dots and holes so small that they are specks
}

// What is taken for a halftone. Chosen here, no published source: halftones for
// carving run from some 15 to 65 lines an inch, and what is coarser than
// coarsestRuling is ornament. Beads on a border have no second row, and polka
// dots are few; leastScreen is ten rows of ten.
const (
	coarsestRuling = 10   // lines an inch
	leastScreen    = 100  // dots of one lattice
	onLattice      = 0.7  // share of a group's dots with neighbours where the lattice has them
	mostOfCell     = 0.62 // dots cover less of their cells; above are tiles and the holes of a mesh
	// speckPixels is the most pixels that a speck of under 4 square pixels may
	// have at the cut, where its edges are grey.
	speckPixels = 8
	mostGrains  = 1e6 // two A4 pages at 65 lines an inch; with more it is noise
)

// grain is a piece of ink or film that may be a dot of a halftone.
type grain struct {
	at   raster.Point
	area float64
	box  raster.Box
	near [4]raster.Point // steps to the nearest others, nearest first
	n    int             // how many of near there are
}

// surveyScreens finds the halftones of a plane, the largest first: pieces of ink,
// and then of film, that are small, compact and alike, whose nearest neighbours
// lie where a lattice has them. It costs a labelling of the plane's pieces, and a
// second one only where a piece of ink has many holes.
func surveyScreens(b *raster.Bits, pxPerInch float64) []Screen {
	q := newScreenQuest(b, pxPerInch)
	if q.possible() {
		q.take(false, raster.Label(b, true), 0, 0)
		q.take(true, nil, 0, 0)
	}
	return q.screens()
}

// screenQuest looks for the halftones of a plane: it is given the pieces of the
// ink, then those of the film, and says at the end what there is.
type screenQuest struct {
	b         *raster.Bits
	widest    float64 // the largest step of a lattice, px
	ink, film []grain
	holed     bool // the pieces of film may be a halftone's
}

func newScreenQuest(b *raster.Bits, pxPerInch float64) *screenQuest {
	return &screenQuest{b: b, widest: pxPerInch / coarsestRuling}
}

// possible reports whether there can be a halftone: two pixels are no lattice.
func (q *screenQuest) possible() bool { return q.widest >= 3 }

// take takes the pieces of a side, which lie dx, dy pixels right of and below their
// place. Where those of the film are nil they are found when they are needed.
func (q *screenQuest) take(film bool, p *raster.Pieces, dx, dy int) {
	if !film {
		q.ink = grains(p, q.b, q.widest, dx, dy)
		q.holed = slices.ContainsFunc(p.List, func(c raster.Piece) bool { return c.Holes >= leastScreen })
		return
	}
	if !q.holed {
		return
	}
	if p == nil {
		plane := q.b.Clone()
		plane.Complement()
		p, dx, dy = raster.Label(plane, false), 0, 0
	}
	q.film = grains(p, q.b, q.widest, dx, dy)
}

// screens are the halftones found.
func (q *screenQuest) screens() []Screen {
	screens := append(lattices(q.ink, q.widest, false), lattices(q.film, q.widest, true)...)
	screens = uniteScreens(screens)
	slices.SortStableFunc(screens, func(a, b Screen) int { return cmp.Compare(b.Dots+b.Holes, a.Dots+a.Holes) })
	return screens
}

// grains are the pieces no larger than a dot of the coarsest halftone, about as
// wide as high, and filling their boxes as a disc, a square or a diamond does.
// Those cut off by the border of b, their plane, are none. They lie dx, dy pixels
// right of and below their place.
func grains(p *raster.Pieces, b *raster.Bits, widest float64, dx, dy int) []grain {
	var out []grain
	for i := range p.List {
		c := &p.List[i]
		w, h := float64(c.X1-c.X0), float64(c.Y1-c.Y0)
		if max(w, h) > widest || max(w, h) > 2*min(w, h)+1 || float64(c.Area) < 0.4*w*h {
			continue
		}
		if c.X0 == dx || c.Y0 == dy || c.X1 == b.W+dx || c.Y1 == b.H+dy {
			continue
		}
		x, y := float64(c.X0-dx), float64(c.Y0-dy)
		out = append(out, grain{at: raster.Point{X: x + w/2, Y: y + h/2}, area: float64(c.Area), box: raster.Box{X0: x, Y0: y, X1: x + w, Y1: y + h}})
	}
	return out
}

// lattices groups grains that are each other's near neighbours, and returns a
// screen for each group that lies on a lattice of a pitch up to widest.
func lattices(list []grain, widest float64, film bool) []Screen {
	if len(list) < leastScreen || len(list) > mostGrains {
		return nil
	}
	neighbours := findNear(list)
	group := make([]int, len(list))
	for i := range group {
		group[i] = i
	}
	for i := range list {
		for k, j := range neighbours[i][:list[i].n] {
			// Dots of a lattice are about as far from each other as from the next.
			if d := length(list[i].near[k]); d <= 1.5*length(list[j].near[0]) && d <= 1.5*length(list[i].near[0]) {
				a, c := find(group, i), find(group, j)
				group[max(a, c)] = min(a, c)
			}
		}
	}
	members := map[int][]*grain{}
	for i := range list {
		g := find(group, i)
		members[g] = append(members[g], &list[i])
	}
	var out []Screen
	for i := range list { // in order, not the map's
		if m := members[i]; len(m) >= leastScreen {
			if s, ok := screenOf(m, film); ok && s.Pitch <= widest {
				out = append(out, s)
			}
		}
	}
	return out
}

func cellOf(p raster.Point, side float64) [2]int {
	return [2]int{int(math.Floor(p.X / side)), int(math.Floor(p.Y / side))}
}

func length(p raster.Point) float64 { return math.Hypot(p.X, p.Y) }

// screenOf fits a lattice to a group of grains: the two steps that most of them
// take to a neighbour, and whether most have a neighbour at both.
func screenOf(m []*grain, film bool) (s Screen, ok bool) {
	var steps []raster.Point
	var first []float64
	for _, g := range m {
		for k := range g.n {
			q := g.near[k]
			if q.X < 0 || (q.X == 0 && q.Y < 0) {
				q = raster.Point{X: -q.X, Y: -q.Y}
			}
			steps = append(steps, q)
		}
		if g.n > 0 {
			first = append(first, length(g.near[0]))
		}
	}
	slices.Sort(first)
	usual := first[len(first)/2]
	tol := 0.12*usual + 0.75
	a, na := commonStep(steps, tol)
	if na == 0 {
		return s, false
	}
	var across []raster.Point
	for _, q := range steps {
		if math.Abs(a.X*q.Y-a.Y*q.X) > 0.6*length(a)*length(q) { // over 37 degrees off
			across = append(across, q)
		}
	}
	b, nb := commonStep(across, tol)
	if nb == 0 || length(b) > 1.8*length(a) || length(a) > 1.8*length(b) {
		return s, false
	}
	s.Box = m[0].box
	on, area := 0, 0.0
	least := math.Inf(1)
	for _, g := range m {
		alongA, alongB := false, false
		for k := range g.n {
			alongA = alongA || stepsAlong(g.near[k], a, tol)
			alongB = alongB || stepsAlong(g.near[k], b, tol)
		}
		if (alongA || alongB) && g.area <= speckPixels { // at the border of a tone one is missing
			s.fine = append(s.fine, g.at)
		}
		if !alongA || !alongB {
			continue
		}
		on++
		area += g.area
		least = math.Min(least, g.area)
		s.Box = raster.Box{X0: min(s.Box.X0, g.box.X0), Y0: min(s.Box.Y0, g.box.Y0), X1: max(s.Box.X1, g.box.X1), Y1: max(s.Box.Y1, g.box.Y1)}
	}
	cell := math.Abs(a.X*b.Y - a.Y*b.X)
	if on < leastScreen || float64(on) < onLattice*float64(len(m)) || area > mostOfCell*cell*float64(on) {
		return s, false
	}
	s.Pitch = math.Sqrt(cell)
	s.Angle = math.Mod(math.Atan2(a.Y, a.X)*180/math.Pi+180, 90)
	if film {
		s.Holes, s.LeastHole = on, 2*math.Sqrt(least/math.Pi)
	} else {
		s.Dots, s.LeastDot = on, 2*math.Sqrt(least/math.Pi)
	}
	return s, true
}

// stepsAlong reports whether a step leads where a lattice step or its opposite
// leads.
func stepsAlong(q, a raster.Point, tol float64) bool {
	return math.Hypot(q.X-a.X, q.Y-a.Y) <= tol || math.Hypot(q.X+a.X, q.Y+a.Y) <= tol
}

// commonStep returns the mean of the steps that are most alike, within tol, and
// how many they are. Steps point to the right; those that point straight up or
// down may be met on either side of that.
func commonStep(steps []raster.Point, tol float64) (raster.Point, int) {
	if len(steps) == 0 {
		return raster.Point{}, 0
	}
	count := map[[2]int]int{}
	put := func(q raster.Point) {
		c := cellOf(q, tol)
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 1; dx++ {
				count[[2]int{c[0] + dx, c[1] + dy}]++
			}
		}
	}
	for _, q := range steps {
		put(q)
		put(raster.Point{X: -q.X, Y: -q.Y})
	}
	best, most := [2]int{}, 0
	for _, q := range steps { // in order, not the map's
		if c := cellOf(q, tol); count[c] > most {
			best, most = c, count[c]
		}
	}
	centre := raster.Point{X: (float64(best[0]) + 0.5) * tol, Y: (float64(best[1]) + 0.5) * tol}
	mean, n := centre, 0
	for range 4 { // towards the middle of the heap
		var sum raster.Point
		n = 0
		for _, q := range steps {
			for _, sign := range [2]float64{1, -1} {
				if x, y := sign*q.X, sign*q.Y; math.Hypot(x-mean.X, y-mean.Y) <= tol {
					sum.X, sum.Y = sum.X+x, sum.Y+y
					n++
				}
			}
		}
		if n == 0 {
			return raster.Point{}, 0
		}
		mean = raster.Point{X: sum.X / float64(n), Y: sum.Y / float64(n)}
	}
	return mean, n
}

// uniteScreens joins screens of the same ruling and angle: the light tones of a
// picture and its dark ones, and tones parted by what is solid or clear.
func uniteScreens(list []Screen) []Screen {
	var out []Screen
	for _, s := range list {
		same := slices.IndexFunc(out, func(o Screen) bool {
			turn := math.Abs(o.Angle - s.Angle)
			return math.Abs(o.Pitch-s.Pitch) < 0.05*o.Pitch && min(turn, 90-turn) < 5
		})
		if same < 0 {
			out = append(out, s)
			continue
		}
		o := &out[same]
		if s.Dots+s.Holes > o.Dots+o.Holes {
			o.Pitch, o.Angle = s.Pitch, s.Angle
		}
		o.LeastDot, o.LeastHole = lesser(o.LeastDot, s.LeastDot), lesser(o.LeastHole, s.LeastHole)
		o.fine = append(o.fine, s.fine...)
		o.Dots, o.Holes = o.Dots+s.Dots, o.Holes+s.Holes
		o.Box = raster.Box{X0: min(o.Box.X0, s.Box.X0), Y0: min(o.Box.Y0, s.Box.Y0), X1: max(o.Box.X1, s.Box.X1), Y1: max(o.Box.Y1, s.Box.Y1)}
	}
	return out
}

// lesser is the smaller of two sizes of which 0 means none.
func lesser(a, b float64) float64 {
	if a == 0 || b == 0 {
		return max(a, b)
	}
	return min(a, b)
}

// gentleTone is the lightest tone that a halftone should hold, 10 %: lighter ones
// are hardly seen in glass. Chosen here, no published source.
const gentleTone = 0.10

// coarseEnough is the finest ruling, in lines an inch, at which a film holds the
// dots of gentleTone and the gaps between them: a dot of diameter d covers
// pi/4 d^2 of a cell.
func coarseEnough(film *Film) float64 {
	d := math.Sqrt(4 * gentleTone / math.Pi) // in cells
	return 25400 / math.Max(film.Limit(raster.Dot).SafeUM/d, film.Limit(raster.Strip).SafeUM/(1-d))
}

// halftones returns a note grey-areas for each halftone. Its Values have
// ruling_lpi, which the note on flat tones has not, and
//
//   - angle_deg, dots, holes (dots of film), finest_dot_um, finest_hole_um: what
//     the artwork has; a finest is absent where there is none
//   - dot_safe_um, gap_safe_um, hole_safe_um: the finest dot, gap and hole that
//     the film holds
//   - lightest_pct, darkest_pct: between them the film holds dots and the gaps
//     between them at this ruling; darkest under lightest when it holds no tone
//   - held_lpi: the finest ruling at which the film holds a tone of 10 %
func halftones(s *Survey, film *Film) []Note {
	const most = 4
	var notes []Note
	um := s.Artwork.UMPerPx()
	dot, gap, hole := film.Limit(raster.Dot).SafeUM, film.Limit(raster.Strip).SafeUM, film.Limit(raster.Island).SafeUM
	for _, h := range s.Screens[:min(most, len(s.Screens))] {
		pitch := h.Pitch * um
		n := Note{Code: NoteGreyAreas, Count: 1, Values: map[string]float64{
			"ruling_lpi": 25400 / pitch, "angle_deg": h.Angle, "dots": float64(h.Dots), "holes": float64(h.Holes),
			"dot_safe_um": dot, "gap_safe_um": gap, "hole_safe_um": hole,
			"lightest_pct": 100 * math.Pi / 4 * square(dot/pitch),
			"darkest_pct":  100 * math.Pi / 4 * square(math.Max(0, 1-gap/pitch)),
			"held_lpi":     coarseEnough(film),
		}}
		if h.LeastDot > 0 {
			n.Values["finest_dot_um"] = h.LeastDot * um
		}
		if h.LeastHole > 0 {
			n.Values["finest_hole_um"] = h.LeastHole * um
		}
		n.Places = []PointMM{s.middle(h.Box)}
		n.Boxes = []BoxMM{s.box(h.Box)}
		notes = append(notes, n)
	}
	return notes
}
