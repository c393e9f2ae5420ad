package raster

import (
	"math"
	"math/rand/v2"
)

// cornersTrial: two right-angled corners facing each other.
func cornersTrial(rng *rand.Rand, safe float64) *trial {
	g := safe * uniform(rng, 0.1, 0.9)
	a := rng.Float64() * math.Pi
	side := 3 * safe
	d, c := canvas(rng, side*1.5+g)
	half := side / math.Sqrt2
	for _, s := range []float64{-1, 1} {
		m := polar(c, s*(g/2+half), a)
		d.add(barPoly(m, a+math.Pi/4, side, side))
	}
	long := math.Sqrt(math.Max(0, safe*safe/4-g*g/4))
	line := []Point{polar(c, -long, a+math.Pi/2), polar(c, long, a+math.Pi/2)}
	return &trial{draw: d, width: g, safe: safe, place: &c, course: Course{Path: roughPath(rng, line, false)}}
}

// neckTrial: a bar 0.3 limits long between two thick blocks.
func neckTrial(rng *rand.Rand, safe float64) *trial {
	g := safe * uniform(rng, 0.2, 0.95)
	a := rng.Float64() * math.Pi
	d, c := canvas(rng, 3*safe)
	l := 0.3 * safe
	for _, s := range []float64{-1, 1} {
		d.add(barPoly(polar(c, s*(l/2+safe), a), a, 2*safe, 3*safe))
	}
	d.add(barPoly(c, a, l+2, g))
	long := l/2 + math.Sqrt(math.Max(0, safe*safe/4-g*g/4))
	line := []Point{polar(c, -long, a), polar(c, long, a)}
	return &trial{draw: d, width: g, safe: safe, place: &c, course: Course{Path: roughPath(rng, line, false)}}
}

// faintTrial: a line about a pixel wide or less.
func faintTrial(rng *rand.Rand) *trial {
	tr := straightTrial(rng, 0.4, 1.5, rng.Float64()*math.Pi)
	tr.safe = 4
	return tr
}

// blobEndTrial: a line between two discs, its course running on into them.
func blobEndTrial(rng *rand.Rand) *trial {
	w, l, a := uniform(rng, 1.5, 8), uniform(rng, 15, 40), rng.Float64()*math.Pi
	r := w * uniform(rng, 1.2, 2)
	d, c := canvas(rng, l/2+3*r)
	d.add(barPoly(c, a, l+r, w))
	for _, s := range []float64{-1, 1} {
		d.add(discPoly(polar(c, s*(l/2+r), a), r))
	}
	over := r * rng.Float64()
	line := []Point{polar(c, -l/2-over, a), polar(c, l/2+over, a)}
	return &trial{draw: d, width: w, safe: 1.3 * w, course: Course{Path: roughPath(rng, line, false)}}
}

// crossTrial: one arm of a line that crosses another.
func crossTrial(rng *rand.Rand, least float64) *trial {
	w, v, l, a := uniform(rng, 1.5, 8), uniform(rng, 1.5, 8), 40.0, rng.Float64()*math.Pi
	q := a + uniform(rng, least, math.Pi/2)
	d, c := canvas(rng, 60)
	d.add(barPoly(c, a, 2*l, w))
	d.add(barPoly(c, q, 80, v))
	line := []Point{c, polar(c, l-1, a)}
	return &trial{draw: d, width: w, safe: 1.3 * math.Max(w, v), course: Course{Path: roughPath(rng, line, false), TipEnd: true}}
}

// spiralTrial: a line that winds with gaps of its own width.
func spiralTrial(rng *rand.Rand) *trial {
	w := uniform(rng, 1.5, 5)
	d, c := canvas(rng, 10*w)
	var outer, inner, line []Point
	a0 := rng.Float64() * 2 * math.Pi
	for i := 0; i <= 600; i++ {
		a := 2 * math.Pi * 2 * float64(i) / 600
		r := 3*w + 2*w*a/(2*math.Pi)
		// The normal of r = b + k a leans by atan(k/r).
		k := 2 * w / (2 * math.Pi)
		p := polar(c, r, a0+a)
		lean := math.Atan2(k, r)
		outer = append(outer, polar(p, w/2, a0+a-lean))
		inner = append(inner, polar(p, -w/2, a0+a-lean))
		line = append(line, p)
	}
	for i := len(inner) - 1; i >= 0; i-- {
		outer = append(outer, inner[i])
	}
	d.add(outer)
	return &trial{draw: d, width: w, safe: 1.3 * w, course: Course{Path: roughPath(rng, line, false), TipStart: true, TipEnd: true}}
}

// nickTrial: a bar 8 px wide with a square nick.
func nickTrial(rng *rand.Rand, deep, long float64) *trial {
	a := rng.Float64() * math.Pi
	d, c := canvas(rng, 40)
	u := func(s, t float64) Point { return polar(polar(c, s, a), t, a+math.Pi/2) }
	d.add([]Point{u(-30, -4), u(30, -4), u(30, 4), u(long/2, 4), u(long/2, 4-deep), u(-long/2, 4-deep), u(-long/2, 4), u(-30, 4)})
	line := []Point{u(-29, 0), u(29, 0)}
	mid := u(0, -deep/2)
	return &trial{draw: d, width: 8 - deep, safe: 10, place: &mid, course: Course{Path: roughPath(rng, line, false), TipStart: true, TipEnd: true}}
}

// hardSets have no bound in the tables of the trade's issue but their own: a
// waist between corners and a neck shorter than two pixels are known to within
// what their plus_minus says.
var hardSets = []accuracySet{
	{"line between blobs", 60, func(r *rand.Rand, _ int) *trial { return blobEndTrial(r) }, bound{rms: 0.03, worst: 0.1}},
	{"line crossing another", 60, func(r *rand.Rand, _ int) *trial { return crossTrial(r, math.Pi/4) }, bound{rms: 0.03, worst: 0.1}},
	{"joining at 15 degrees and more", 60, func(r *rand.Rand, _ int) *trial { return crossTrial(r, math.Pi/12) }, bound{rms: 0.06, worst: 0.3}},
	{"nick 2 deep, 6 long", 30, func(r *rand.Rand, _ int) *trial { return nickTrial(r, 2, 6) }, bound{rms: 0.03, worst: 0.1}},
	{"nick 3 deep, 4 long", 30, func(r *rand.Rand, _ int) *trial { return nickTrial(r, 3, 4) }, bound{rms: 0.05, worst: 0.15}},
	{"two corners facing, limit 4", 40, func(r *rand.Rand, _ int) *trial { return filmOf(cornersTrial(r, 4)) }, bound{rms: 0.35, worst: 0.9, place: 1}},
	{"two corners facing, limit 7", 40, func(r *rand.Rand, _ int) *trial { return filmOf(cornersTrial(r, 7)) }, bound{rms: 0.35, worst: 0.9, place: 1}},
	{"two corners facing, limit 12", 40, func(r *rand.Rand, _ int) *trial { return inkOf(cornersTrial(r, 12)) }, bound{rms: 0.35, worst: 0.9, place: 1}},
	{"neck 0.3 limits long, limit 7", 40, func(r *rand.Rand, _ int) *trial { return neckTrial(r, 7) }, bound{rms: 0.15, worst: 0.4}},
	{"neck 0.3 limits long, limit 12", 40, func(r *rand.Rand, _ int) *trial { return neckTrial(r, 12) }, bound{rms: 0.25, worst: 0.6}},
	{"neck 0.3 limits long, limit 24", 40, func(r *rand.Rand, _ int) *trial { return neckTrial(r, 24) }, bound{rms: 0.1, worst: 0.25}},
}
