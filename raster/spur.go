package raster

import (
	"math"
	"slices"
)

// Spurs are what reaches from E to a tip: lines, points, or, where a head lies behind them,
// necks.

// spurOf measures a spur, a chain from E (or a neck) to a tip, and tells it as
// a line, as a point, or not at all.
func (j *judge) spurOf(c chain) *Feature {
	tip := c.path[len(c.path)-1]
	reach := j.reach[tip]
	co := j.course(c)
	p := j.measured(co, true) // most are no lines
	if c, ok := j.headed(c, p.Sections); ok {
		return j.neck(c)
	}
	// What lies inside K and is left of it once the end is dropped.
	var kept []Section
	stairs := j.shape.Ink.Bilevel() // averaged over, and so with what the spur grows on
	for _, s := range j.clearOfTips(co, p.Sections) {
		if j.inK(s.At) && !(stairs && s.Width > j.limit) {
			kept = append(kept, s)
		}
	}
	if len(kept) < 3 || kept[len(kept)-1].S-kept[0].S < keptLength*j.limit {
		return nil
	}
	angle := taper(kept)
	if stairs {
		angle = medianTaper(kept)
	}
	point := Tip{Film: j.kind == Strip, At: co.Path[len(co.Path)-1], Lost: reach * j.limit * j.s.g.scale() / j.p.d}
	judged := reach+j.s.between(j.limit)/j.s.g.scale() >= spurReach*j.spur
	if judged && angle <= parallelAngle {
		return j.feature(j.narrow(j.measure(co), kept), false)
	}
	if judged {
		if s := parallelStretch(kept, j.limit); s != nil {
			return j.feature(j.narrow(j.measure(co), s), false)
		}
	}
	if angle > parallelAngle && angle <= pointAngle || !judged && angle <= pointAngle {
		j.out.tips = append(j.out.tips, point)
	}
	return nil
}

// headed reports whether a spur widens behind a narrow place to its limit again, as the
// ball at the end of an r does, and returns it up to there: a neck. (No part of E may lie in
// so small a head, for the disc that proposes is larger than the limit; see strongDisc.)
func (j *judge) headed(c chain, list []Section) (chain, bool) {
	least := 0
	for i, s := range list {
		if s.Width < list[least].Width {
			least = i
		}
	}
	if least == 0 || least == len(list)-1 {
		return c, false
	}
	neck := list[least]
	surely := neck.Width + j.beyond()
	if surely >= j.limit || surely > list[len(list)-1].Width {
		return c, false
	}
	w, scale := j.p.shape.W, j.s.g.scale()
	nearest := func(p Point) (at int, away float64) { // on the path
		away = math.Inf(1)
		for k, q := range c.path {
			if d := dist(j.s.g.native(q.at(w)), p); d < away {
				at, away = k, d
			}
		}
		return at, away
	}
	before, _ := nearest(neck.At)
	// The head is round its tip, and the course need not run through its middle: the place
	// nearest to the course is taken.
	r, reach := j.limit*scale/2-0.5, int(j.limit*scale)+1
	x0, y0 := c.path[len(c.path)-1].at(w)
	head, end, off := pixel(-1), 0, math.Inf(1)
	for y := y0 - reach; y <= y0+reach; y++ {
		for x := x0 - reach; x <= x0+reach; x++ {
			if math.Hypot(float64(x-x0), float64(y-y0)) > float64(reach) || !j.p.shape.Get(x, y) || !fitsAt(j.p.shape, 2*x, 2*y, r) {
				continue
			}
			at := j.s.g.native(x, y)
			if k, away := nearest(at); away < off && k > before && dist(at, neck.At) > j.limit/2 && j.sees(x0, y0, x, y) {
				head, end, off = pixel(y*w+x), k, away
			}
		}
	}
	if head < 0 {
		return c, false
	}
	c.path, c.to = append(slices.Clone(c.path[:end+1]), head), endThick
	return c, true
}

// sees reports whether the straight line between two pixels runs inside the shape.
func (j *judge) sees(x0, y0, x1, y1 int) bool {
	n := max(x1-x0, x0-x1, y1-y0, y0-y1)
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		if !j.p.shape.Get(x0+int(math.Round(t*float64(x1-x0))), y0+int(math.Round(t*float64(y1-y0)))) {
			return false
		}
	}
	return true
}

// inK reports whether a place of the artwork lies in K.
func (j *judge) inK(at Point) bool {
	g := j.s.g
	x := int(math.Floor(at.X*g.scale())) + g.padX
	y := int(math.Floor(at.Y*g.scale())) + g.padY
	return j.p.ks.At(x, y) >= 0
}

// taper is the full angle between the sides of a stretch, in degrees: 2 atan of
// half the slope of width along it, by least squares.
func taper(s []Section) float64 {
	slope := slopeOf(s)
	return 2 * math.Atan(math.Abs(slope)/2) * 180 / math.Pi
}

// slopeOf is how fast a stretch widens, by least squares; infinite for a single place.
func slopeOf(s []Section) float64 {
	var n, x, sx, sy, sxx, sxy float64
	for i, q := range s {
		if i > 0 {
			x += dist(s[i-1].At, q.At)
		}
		n++
		sx, sy, sxx, sxy = sx+x, sy+q.Width, sxx+x*x, sxy+x*q.Width
	}
	den := n*sxx - sx*sx
	if den <= 0 {
		return math.Inf(1)
	}
	return (n*sxy - sx*sy) / den
}

// medianTaper is taper by the median of the slopes between any two sections (H. Theil,
// 1950; P. K. Sen, 1968), which a few at the foot of a spur do not sway.
func medianTaper(s []Section) float64 {
	at := make([]float64, len(s))
	for i := 1; i < len(s); i++ {
		at[i] = at[i-1] + dist(s[i-1].At, s[i].At)
	}
	var slopes []float64
	for i := range s {
		for k := i + 1; k < len(s); k++ {
			if d := at[k] - at[i]; d > 0 {
				slopes = append(slopes, (s[k].Width-s[i].Width)/d)
			}
		}
	}
	if len(slopes) == 0 {
		return 180
	}
	return 2 * math.Atan(math.Abs(nth(slopes, len(slopes)/2))/2) * 180 / math.Pi
}

// nth is what would stand at place k if v were sorted, which it partly is afterwards
// (C. A. R. Hoare, Algorithm 65: find, 1961).
func nth(v []float64, k int) float64 {
	for lo, hi := 0, len(v)-1; lo < hi; {
		pivot := v[(lo+hi)/2]
		i, j := lo, hi
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for v[j] > pivot {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i++
				j--
			}
		}
		switch { // v[j+1:i] are all the pivot
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return v[k]
		}
	}
	return v[k]
}

// parallelStretch returns the longest run of sections of at least 1.5 limits
// and 10 px that tapers by no more than stretchAngle and whose mean width is
// under the limit: a flared serif. Shorter windows take the tips of 20 degrees
// for lines.
func parallelStretch(s []Section, limit float64) []Section {
	need := max(1.5*limit, 10)
	for a := range s {
		for b := len(s); b > a+2; b-- {
			if s[b-1].S-s[a].S < need {
				break
			}
			if taper(s[a:b]) > stretchAngle {
				continue
			}
			mean := 0.0
			for _, q := range s[a:b] {
				mean += q.Width
			}
			if mean/float64(b-a) < limit {
				return s[a:b]
			}
		}
	}
	return nil
}
