package raster

import "math"

// One cross-section. Its width is the integral of coverage along the normal,
// for the integral of a bar seen through square pixels is exact on average,
// whatever the width and the phase, where the distance between two half
// crossings is not. It is taken by the trapezoid rule in steps of rayStep over
// bilinear samples.
const (
	rayStep = 0.25
	// sharpReach is how far beyond the half crossing a sharp edge still has
	// coverage to give: pixel and interpolation together blur it by at most 1.5
	// pixels along an axis, 2.1 along a diagonal.
	sharpReach = 2.0
	// rayClear is where nothing is left to sum: half of one level of 255.
	rayClear = 0.002
	// rayRise ends a side once coverage has risen by more than this above its
	// least value: there the neighbour begins, and the side ends at that least
	// value. One level of 255 is noise, so it takes three.
	rayRise = 0.012
)

// ray is what one side of a cross-section gave.
type ray struct {
	sum   float64 // integral of coverage
	cross float64 // distance to the half crossing; 0 when the start is below half
	end   float64 // distance at which the sum ends
	wide  bool    // no crossing within the limit
	crowd bool    // it ended at a neighbour
	flat  bool    // and without having fallen before
	slope float64 // steepness of coverage at the crossing, per pixel
}

// ray sums coverage from o along v. It looks for the crossing up to limit, and
// sums up to reach beyond it. It is wide, too, where the sum is over most before
// the crossing.
func (f *sampler) ray(o *origin, v Point, limit, reach, most float64) ray {
	r, last := f.rayTo(o, v, limit, reach, most)
	f.reads(o.X+v.X*last, o.Y+v.Y*last)
	f.seen.far, f.seen.none = max(f.seen.far, r.cross), f.seen.none || r.wide
	return r
}

// rayTo is ray, and how far from o its last sample lies.
func (f *sampler) rayTo(o *origin, v Point, limit, reach, most float64) (r ray, last float64) {
	p, start := o.Point, o.cover
	prev := start
	passed := prev < 0.5
	least, leastSum, leastAt := prev, 0.0, 0.0
	// A start below half is a line too thin or too blurred for a crossing; how
	// far it reaches only its own fall can tell.
	far := max(reach, 8)
	climbing := passed // below half the start lies only near the ridge
	win, wide, begin, inside := f.win, f.winW, f.start(), o.steps(rayStep)
	k := 1
	// Most of a ray lies in the shape; there nothing but the crossing is to be
	// looked for. The rest of it does the same, and all else.
	if !passed {
		if n := min(int(o.clear/rayStep), int(limit/rayStep)); n > 0 {
			r.sum, prev, k = float64(n)*rayStep, 1, n+1
			if r.sum > most {
				r.wide = true
				return r, r.sum
			}
		}
		for steps := min(inside, int(limit/rayStep)); k <= steps; k++ {
			t := float64(k) * rayStep
			c := inPlace(win, wide, begin, p.X+v.X*t-0.5, p.Y+v.Y*t-0.5)
			if c < 0.5 {
				break
			}
			r.sum += (prev + c) / 2 * rayStep
			prev = c
			if r.sum > most {
				r.wide = true
				return r, t
			}
		}
	}
	for ; ; k++ {
		t := float64(k) * rayStep
		if !passed && prev == 1 && f.whole != nil && !f.noting {
			n := f.whole.steps(p.X+v.X*t+float64(f.winX), p.Y+v.Y*t+float64(f.winY), v, rayStep)
			for n = min(n, int(limit/rayStep)-k); n > 0; n-- { // one by one, as if they were looked at
				r.sum += rayStep
				k++
			}
			t = float64(k) * rayStep
		}
		var c float64
		if k <= inside { // at, in place
			c = inPlace(win, wide, begin, p.X+v.X*t-0.5, p.Y+v.Y*t-0.5)
		} else {
			c = f.at(p.X+v.X*t, p.Y+v.Y*t)
		}
		if !passed {
			if c < 0.5 {
				passed = true
				r.cross = t - rayStep + rayStep*(prev-0.5)/(prev-c)
				r.slope = (prev - c) / rayStep
				far = r.cross + reach
				least = 2
			} else if t > limit {
				r.wide = true
				r.end = t
				return r, t
			}
		}
		r.sum += (prev + c) / 2 * rayStep
		climbing = climbing && c > prev && t <= 0.5
		prev = c
		if !passed || climbing {
			if climbing {
				least = 2
			}
			continue
		}
		if c < least {
			least, leastSum, leastAt = c, r.sum, t
		}
		switch {
		case c < rayClear:
			r.end = t
			return r, t
		case c > least+rayRise:
			r.sum, r.end, r.crowd = leastSum, leastAt, true
			r.flat = least > start-ridgeFall
			return r, t
		case t >= far:
			r.end = t
			return r, t
		}
	}
}

// station is a cross-section measured.
type station struct {
	ok    bool
	width float64
	shift float64 // from the place it was taken at to the middle, along the normal
	peak  float64 // coverage at the middle
	slope float64 // mean steepness at the two crossings; 0 where there are none
	crowd bool
}

// onRidge returns how far along n from p the coverage is highest, when p itself
// lies outside the shape: a course may be a pixel and a half off, and a line
// under a pixel wide reaches half coverage nowhere. Each pixel away costs 0.1,
// so that a stronger neighbour does not capture it.
func (f *sampler) onRidge(p, n Point) float64 {
	best, at := f.at(p.X, p.Y), 0.0
	for k := 1; k <= 8; k++ {
		for _, t := range [2]float64{float64(k) * rayStep, -float64(k) * rayStep} {
			if c := f.at(p.X+n.X*t, p.Y+n.Y*t) - 0.1*math.Abs(t); c > best+1e-9 {
				best, at = c, t
			}
		}
	}
	return at
}

// ridgeLeast is the least coverage that a station's middle must have: a line a
// quarter of a pixel wide astride two pixels still has 0.125.
const ridgeLeast = 0.1

// ridgeFall is how much the coverage under half of a line's middle falls at least before a
// neighbour begins. Where it does not, the normal runs along a line astride two rows.
const ridgeFall = 0.05

// station measures the cross-section at p along the unit normal n.
func (f *sampler) station(p, n Point, limit, reach float64) station {
	return f.stationUnder(p, n, limit, reach, math.Inf(1))
}

// stationUnder is station, or not ok, at less cost, where the width is over most.
// (It may be ok even so.)
func (f *sampler) stationUnder(p, n Point, limit, reach, most float64) station {
	off := 0.0
	o := f.origin(p)
	if o.cover < 0.5 {
		off = f.onRidge(p, n)
		p = along(p, n, off)
		o = f.origin(p)
	}
	peak := o.cover
	if peak < ridgeLeast {
		return station{}
	}
	a := f.ray(&o, n, limit, reach, most)
	if a.wide {
		return station{}
	}
	b := f.ray(&o, Point{-n.X, -n.Y}, limit, reach, most-a.sum)
	if b.wide {
		return station{}
	}
	if peak < 0.5 && (a.flat || b.flat) {
		return station{}
	}
	s := station{ok: true, width: a.sum + b.sum, peak: peak, crowd: a.crowd || b.crowd}
	if peak >= 0.5 {
		s.shift = off + (a.cross-b.cross)/2
		s.slope = (a.slope + b.slope) / 2
	} else {
		s.shift = off + f.centroid(p, n, b.end, a.end)
	}
	return s
}

// centroid returns the centre of coverage between before and after p along n.
func (f *sampler) centroid(p, n Point, before, after float64) float64 {
	sum, mom := 0.0, 0.0
	for t := -before; t <= after; t += rayStep {
		c := f.at(p.X+n.X*t, p.Y+n.Y*t)
		sum += c
		mom += c * t
	}
	if sum <= 0 {
		return 0
	}
	return mom / sum
}
