package raster

import "math"

// The arms of a K meet its stem in a neck one side of which is a wall. The width is
// least at the wall itself, and the pixels' blur mixes it with the stem's: the
// nearest station reads up to 2 px too wide. But one to three pixels off the
// wall the sides are straight, and the line through the widths there, carried on
// to the wall's own edge, is the width at it.
//
// A strip of film tears there, so that is its width. The corners beside a neck of
// ink are points of film, which round off and are never judged: its width is that
// of the line wallInk off the wall, as near as the stem does not mix with it, and
// plus and minus reaches down to the wall's. (The narrowest station's would do, but where
// stations lie is luck: one neck read 1.9 px with one limit and 2.5 with another.)

const (
	// wallDoubt is the plus and minus of a width at a wall, in pixels, stairDoubt
	// how much more it is in bilevel artwork besides what any waist's is, and
	// inkDoubt in ink, whose walls are the shorter.
	wallDoubt  = 0.3
	inkDoubt   = 0.2
	stairDoubt = 0.7
	// wallLeap is how much wider the shape must be 1.5 px on for a wall.
	wallLeap = 5.0
	// wallBeside is how far beside the neck the wall's edge is looked for.
	wallBeside = 2.5
	// The widths from wallNear to wallFar off the wall are taken as a line's.
	wallNear, wallFar = 1.0, 3.3
	// wallInk is half a pixel, the blur of one.
	wallInk = 0.5
	// A wall's edge is followed beside the neck from kinkNear on for kinkLong, on either
	// side; their slopes differ by wallKink at most, and in whole pixels by stairKink. (The
	// stems of K, turned any way: by 0.11 and 0.41. Strokes that lean by 0.5 and more: by
	// 0.45 and more.)
	kinkNear, kinkLong  = 1.5, 2.5
	wallKink, stairKink = 0.25, 0.6
	// wallSlope is how fast they must grow, and wallStraight and, of bilevel stairs,
	// wallStair how far from a line they may lie, rms; and wallBend how far in slopes, if they
	// recede. (What lies off by 0.1 of its slope and more may be a serif's end; the arms of K
	// lie off by up to 0.07.)
	wallSlope = 0.6
	// Where they grow faster than wallSteep, as beside two corners of 38 degrees, wallFew of
	// them at least must be there: of two tips that face each other 4 and 5 were.
	wallSteep = 2.6
	wallFew   = 6
	// The mouth of a gap between two strokes that lean is a wall's edge, too, and widens
	// by mouthSlope at least. (In whole pixels that is not to be seen.)
	mouthSlope = 0.08
	// A neck is at its other end where the width grows by neckLeap and more; what lies
	// within neckClear of that is blurred with it.
	neckLeap, neckClear = 7.0, 0.75
	wallStraight        = 0.3
	wallBend            = 0.05
	wallStair           = 0.5
)

// atWall measures the neck at station i of a straight strand, at the wall and
// wallInk off it; false where it is none at a wall.
func (m *measurer) atWall(raw []float64, k *strand, i int) (width, off float64, ok bool) {
	n := len(raw)
	wall := func(sign int) bool {
		j := i + sign*int(math.Round(1.5/k.step))
		return j >= 0 && j < n && (math.IsNaN(raw[j]) || raw[j]-raw[i] > wallLeap)
	}
	left, right := wall(-1), wall(1)
	if left == right {
		return 0, 0, false
	}
	p, d := k.p[i], k.dir[i] // towards the wall
	if left {
		d = Point{-d.X, -d.Y}
	}
	// Aim: the neck runs square to the wall, whatever the shortest chord does.
	reach := raw[i]/2 + wallBeside
	edge := 0.0
	for range 2 {
		a, okA := m.wallEdge(p, d, reach)
		b, okB := m.wallEdge(p, d, -reach)
		if !okA || !okB {
			return 0, 0, false
		}
		t := normal(d)
		wall := unit(Point{d.X*(a-b) + t.X*2*reach, d.Y*(a-b) + t.Y*2*reach})
		p = along(p, d, (a+b)/2)
		d = Point{wall.Y, -wall.X}
		if d.X*k.dir[i].X+d.Y*k.dir[i].Y < 0 != left {
			d = Point{-d.X, -d.Y}
		}
	}
	if e, ok := m.wallEdge(p, d, reach); ok {
		if f, ok := m.wallEdge(p, d, -reach); ok {
			edge = (e + f) / 2
		}
	}
	if m.kinked(p, d, raw[i]/2) {
		return 0, 0, false
	}
	var widths []float64
	for s := wallNear; s <= wallFar+neckClear; s += 0.25 {
		st := m.f.station(along(p, d, edge-s), normal(d), m.limit, m.reach)
		n := len(widths)
		if !st.ok || n > 0 && !m.bilevel && st.width-widths[n-1] > 0.25*neckLeap { // the neck's other end
			widths = widths[:max(0, n-int(neckClear/0.25))]
			break
		}
		widths = append(widths, st.width)
	}
	far := wallFar - wallNear
	widths = widths[:min(len(widths), 1+int(far/0.25))]
	if len(widths) < 4 {
		return 0, 0, false
	}
	var c, x, y, xx, xy, yy float64
	for n, w := range widths {
		s := wallNear + 0.25*float64(n)
		c, x, y, xx, xy = c+1, x+s, y+w, xx+s*s, xy+s*w
		yy += w * w
	}
	slope := (c*xy - x*y) / (c*xx - x*x)
	width = (y - slope*x) / c
	bent := math.Sqrt(max(0, yy-width*y-slope*xy) / c) // rms off the line
	straight, least := wallStraight, wallSlope
	if m.bilevel {
		straight = wallStair
	} else if m.f.film {
		least = mouthSlope
	}
	if slope < least || slope > wallSteep && len(widths) < wallFew || width > raw[i] || bent > straight || !m.bilevel && bent > wallBend*(slope+1) && recedes(widths) {
		return 0, 0, false
	}
	return max(0, width), width + slope*wallInk, true
}

// recedes reports whether widths 0.25 px apart from 1 px off a wall on grow first much
// faster than later, or much slower: no arms that run on, but the end of a serif before its
// stem, as wide as that is behind. (Later over first: the arms of K 0.79 to 1.28, nine in ten
// of the gaps of TestGapIsMeasuredAtItsMouth 0.74 to 1.5, serifs' ends 0.42 to 0.85 and 2.8
// upward; what is no more than wallBend off a line is not asked.)
func recedes(widths []float64) bool {
	n := len(widths)
	h := (n - 1) / 2
	near, far := widths[h+1]-widths[1], widths[n-1]-widths[n-1-h]
	return far < 0.85*near || far > 1.9*near
}

// kinked reports whether what looks like a wall runs one way on one side of a neck, half
// of which is half wide, and another way on the other: the mouth between a stroke's end
// and a wall that ends beside it, as in e, c and s. There the neck is as wide as it is.
func (m *measurer) kinked(p, d Point, half float64) bool {
	lean := 0.0
	for _, side := range [2]float64{1, -1} {
		a, okA := m.wallEdge(p, d, side*(half+kinkNear))
		b, okB := m.wallEdge(p, d, side*(half+kinkNear+kinkLong))
		if !okA || !okB {
			return false
		}
		lean += (b - a) / kinkLong
	}
	most := wallKink
	if m.bilevel {
		most = stairKink
	}
	return math.Abs(lean) > most
}

// wallEdge returns how far on from p along d the wall's edge runs, off the line
// by off.
func (m *measurer) wallEdge(p, d Point, off float64) (float64, bool) {
	q := along(p, normal(d), off)
	at := func(s float64) float64 {
		r := along(q, d, s)
		return m.f.at(r.X, r.Y)
	}
	s, step := 0.0, rayStep
	prev := at(0)
	inside := prev >= 0.5
	if inside { // the edge lies behind
		step = -rayStep
	}
	for math.Abs(s) < 3 {
		s += step
		v := at(s)
		if v >= 0.5 != inside {
			return s - step*(v-0.5)/(v-prev), true
		}
		prev = v
	}
	return 0, false
}
