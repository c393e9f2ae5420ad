package raster

import (
	"math"
	"math/rand/v2"
)

// trial is one rendering with a part whose width is known.
type trial struct {
	draw        drawing
	pic         rendering
	course      Course
	safe        float64
	width       float64
	measureFilm bool
	place       *Point // where it is narrowest, when there is one such place
}

func (tr *trial) shape() Shape { return Shape{Ink: tr.draw.ink(tr.pic), Film: tr.measureFilm} }

func uniform(rng *rand.Rand, a, b float64) float64 { return a + (b-a)*rng.Float64() }

// canvas returns a square drawing whose middle, off the grid by a random phase,
// is the origin of the shape.
func canvas(rng *rand.Rand, radius float64) (drawing, Point) {
	n := 2*int(math.Ceil(radius)) + 16
	return drawing{w: n, h: n}, Point{float64(n)/2 + rng.Float64() - 0.5, float64(n)/2 + rng.Float64() - 0.5}
}

func straightTrial(rng *rand.Rand, wmin, wmax, angle float64) *trial {
	w, l := uniform(rng, wmin, wmax), uniform(rng, 40, 80)
	d, c := canvas(rng, l/2+w)
	d.add(barPoly(c, angle, l, w))
	line := []Point{polar(c, -l/2+1, angle), polar(c, l/2-1, angle)}
	return &trial{draw: d, width: w, safe: 1.25 * w,
		course: Course{Path: roughPath(rng, line, false), TipStart: true, TipEnd: true}}
}

// crowdedTrial has three bars with gaps of 2 px; the middle one is measured, or
// a gap.
func crowdedTrial(rng *rand.Rand, gap bool) *trial {
	w, l, a := uniform(rng, 1.5, 8), uniform(rng, 40, 80), rng.Float64()*math.Pi
	d, c := canvas(rng, l/2+3*w)
	for i := -1.0; i <= 1; i++ {
		d.add(barPoly(polar(c, i*(w+2), a+math.Pi/2), a, l, w))
	}
	tr := &trial{width: w, safe: math.Max(1.25*w, 4)}
	mid := c
	if gap {
		tr.width = 2
		mid = polar(c, (w+2)/2, a+math.Pi/2)
	}
	line := []Point{polar(mid, -l/2+1, a), polar(mid, l/2-1, a)}
	tr.draw = d
	tr.course = Course{Path: roughPath(rng, line, false), TipStart: !gap, TipEnd: !gap}
	if gap { // the film opens out there by itself
		tr.course.Path = roughPath(rng, []Point{polar(mid, -l/2, a), polar(mid, l/2, a)}, false)
	}
	return tr
}

func arcTrial(rng *rand.Rand) *trial {
	w := uniform(rng, 1.5, 12)
	r := w * math.Exp(uniform(rng, math.Log(3), math.Log(50)))
	r = math.Min(r, 200)
	l := uniform(rng, 40, 80)
	a0 := rng.Float64() * 2 * math.Pi
	sweep := math.Min(l/r, 5)
	mid := polar(Point{}, r, a0+sweep/2)
	d, c := canvas(rng, math.Min(l, 2*r)/2+2*w+4)
	c = Point{c.X - mid.X, c.Y - mid.Y}
	d.add(arcPoly(c, r, w, a0, a0+sweep))
	var line []Point
	for i := 0; i <= 200; i++ {
		line = append(line, polar(c, r, a0+sweep*float64(i)/200))
	}
	return &trial{draw: d, width: w, safe: 1.25 * w,
		course: Course{Path: roughPath(rng, line, false), TipStart: true, TipEnd: true}}
}

func ringTrial(rng *rand.Rand, concentric bool) *trial {
	w := uniform(rng, 1.5, 6)
	r := w * uniform(rng, 3, 10)
	d, c := canvas(rng, r+w*4)
	radii := []float64{r}
	if concentric {
		radii = []float64{r, r + 2*w, r - 2*w}
	}
	for _, q := range radii {
		if q-w/2 < w/2 {
			continue
		}
		d.add(discPoly(c, q+w/2))
		d.hole(discPoly(c, q-w/2))
	}
	var line []Point
	for i := 0; i < 400; i++ {
		line = append(line, polar(c, r, 2*math.Pi*float64(i)/400))
	}
	return &trial{draw: d, width: w, safe: 1.25 * w, course: Course{Path: roughPath(rng, line, true), Closed: true}}
}

// waistTrial: two discs facing each other; the film between, or inverted the
// ink. The course is as long as a disc of the safe limit leaves it.
func waistTrial(rng *rand.Rand, gmin, gmax, rmin, rmax float64) *trial {
	g, r1, r2 := uniform(rng, gmin, gmax), uniform(rng, rmin, rmax), uniform(rng, rmin, rmax)
	a := rng.Float64() * math.Pi
	d, c := canvas(rng, 26+g)
	d.add(discPoly(polar(c, g/2+r1, a), r1))
	d.add(discPoly(polar(c, -g/2-r2, a), r2))
	safe := g * uniform(rng, 1.15, 2)
	rm := math.Min(r1, r2)
	long := math.Sqrt(math.Max(1, (rm+safe/2)*(rm+safe/2)-(rm+g/2)*(rm+g/2)))
	long = math.Min(long, 20)
	line := []Point{polar(c, -long, a+math.Pi/2), polar(c, long, a+math.Pi/2)}
	tr := &trial{draw: d, width: g, safe: safe, place: &c, course: Course{Path: roughPath(rng, line, false)}}
	// Drawn in ink, the waist is film: shape() must say so, or invert.
	tr.pic.invert = false
	return tr
}

func blurTrial(rng *rand.Rand, sigma float64) *trial {
	tr := straightTrial(rng, 3, 20, rng.Float64()*math.Pi)
	tr.pic.blur = sigma
	return tr
}

// filmOf measures the film of a rendering whose ink is drawn.
func filmOf(tr *trial) *trial { tr.measureFilm, tr.pic.invert = true, false; return tr }

// inkOf turns what is drawn into film, and measures the ink that is left.
func inkOf(tr *trial) *trial { tr.measureFilm, tr.pic.invert = false, true; return tr }
