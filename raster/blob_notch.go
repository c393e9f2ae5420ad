package raster

import (
	"math"
	"slices"
)

// Where a notch's point reaches into a piece, as between the rays of a star, the pixels' blur
// fills the notch up: the contour runs round its point, and a disc that rests on it is too
// large. How far the point lies inside the contour shows in how far that bends away from the
// disc to both sides.
//
// Of 6,000 stars of 3 to 9 points, 2.5 to 16 px across their inner corners, and any phase, the
// contour lay off by a share of that bend (notchRule), in eight of ten to within 0.1 px in grey
// and 0.25 in whole pixels, whose contours are smoothed. (Six-pointed stars of 4.2 and 6.3 px read
// 5.0 and 6.8 before.)
const (
	notchReach = 1.0 // to either side along the contour, pixels
	// notchNear is how much farther than the disc's rim a place of the contour may lie to
	// hold the disc once it has moved.
	notchNear = 1.0
	notchMost = 0.8 // the farthest that a point lies inside the contour, pixels
	// notchDoubt is how much of what was taken off the diameter is added to plus and minus.
	notchDoubt = 0.4
)

// notchRule is, in grey and bilevel, the share of the bend, and how much of that is none.
var notchRule = map[bool]struct{ share, slack float64 }{false: {0.68, 0.055}, true: {1.6, 0.04}}

// contact is a place of the contour that a disc rests on: how far from its middle, in which
// direction.
type contact struct {
	away float64
	to   Point
}

// betweenNotches returns a disc found within the contours so that it rests on the points of
// notches, and by how much that lessened its diameter. bilevel contours are smoothed.
func betweenNotches(loops []loop, c Point, disc float64, bilevel bool) (centre Point, diameter, less float64) {
	rule := notchRule[bilevel]
	var all []contact
	notched := false
	for _, l := range loops {
		n := len(l)
		if n < 4 {
			continue
		}
		away := make([]float64, n) // squared, of each edge
		for i := range l {
			away[i] = segmentDistance2(c, l[i], l[(i+1)%n])
		}
		most := disc/2 + notchNear
		for i := range l {
			if away[i] > most*most || away[i] > away[(i+n-1)%n] || away[i] >= away[(i+1)%n] {
				continue
			}
			q := nearestOn(c, l[i], l[(i+1)%n])
			a, b := l.walk(i, q, notchReach, 1), l.walk(i, q, notchReach, -1)
			d := math.Sqrt(away[i])
			to := Point{(q.X - c.X) / d, (q.Y - c.Y) / d}
			bend := ((a.X+b.X)/2-q.X)*to.X + ((a.Y+b.Y)/2-q.Y)*to.Y
			if off := min(notchMost, rule.share*bend-rule.slack); off > 0 {
				d -= off
				notched = true
			}
			all = append(all, contact{d, to})
		}
	}
	if !notched {
		return c, disc, 0
	}
	// The middle moves away from what is nearer now.
	room := func(by Point) float64 {
		least := math.Inf(1)
		for _, t := range all {
			least = min(least, t.away-by.X*t.to.X-by.Y*t.to.Y)
		}
		return least
	}
	var by Point
	best := room(by)
	for step := notchMost / 2; step >= 0.01; {
		better := slices.ContainsFunc(eightWays[:], func(u Point) bool {
			next := Point{by.X + step*u.X, by.Y + step*u.Y}
			if r := room(next); math.Hypot(next.X, next.Y) <= notchMost && r > best+1e-9 {
				by, best = next, r
				return true
			}
			return false
		})
		if !better {
			step /= 2
		}
	}
	diameter = min(disc, 2*max(0, best))
	return Point{c.X + by.X, c.Y + by.Y}, diameter, disc - diameter
}

// Of a small piece with rays the notches are filled up and the rays rounded off, so that its
// contour is short and 4A/P too large, by what nobody can tell: up to raysMost pixels, in
// whole pixels more, where the contour turns back by raysTurn or more, are added to plus and
// minus. From raysWide pixels of width on rays show as they are.
const (
	raysMost, raysMostStair = 0.45, 0.6
	raysTurn                = 8.0 // radians
	raysWide                = 8.0
	raysStep                = 0.25
	raysDir                 = 2 // half length over which a direction is taken, in steps
)

// raysDoubt is what that adds.
func raysDoubt(loops []loop, width float64, bilevel bool) float64 {
	small := min(1, max(0, (raysWide-width)/3))
	if small == 0 {
		return 0
	}
	back := 0.0 // all turns, less the one round each loop
	for _, l := range loops {
		pts, step := resampled(nil, l, true, raysStep)
		n := len(pts)
		if step == 0 || n < 8 {
			continue
		}
		heading := func(i int) float64 {
			a, b := pts[(i-raysDir+n)%n], pts[(i+raysDir)%n]
			return math.Atan2(b.Y-a.Y, b.X-a.X)
		}
		before, all := heading(n-1), -2*math.Pi
		for i := range pts {
			here := heading(i)
			all += math.Abs(math.Remainder(here-before, 2*math.Pi))
			before = here
		}
		back += max(0, all)
	}
	most := raysMost
	if bilevel {
		most = raysMostStair
	}
	return most * small * min(1, back/raysTurn)
}

// walk is the place by pixels along a loop from q on its edge i, onward or back.
func (l loop) walk(i int, q Point, by float64, sign int) Point {
	n := len(l)
	at := i
	if sign > 0 {
		at = i + 1
	}
	for range n {
		next := l[(at%n+n)%n]
		d := dist(q, next)
		if d >= by && d > 0 {
			return Point{q.X + by/d*(next.X-q.X), q.Y + by/d*(next.Y-q.Y)}
		}
		by -= d
		q = next
		at += sign
	}
	return q
}

// nearestOn is the place of the segment a b that is nearest to p.
func nearestOn(p, a, b Point) Point {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = min(1, max(0, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/l))
	}
	return Point{a.X + t*dx, a.Y + t*dy}
}
