package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// kTrial draws a stem and the arms of a K that meet it in a neck: two corners
// of film whose one side is the stem's edge.
func kTrial(rng *rand.Rand, least, most float64) (d drawing, width float64, at Point) {
	width = uniform(rng, least, most)
	turn := rng.Float64() * 2 * math.Pi
	up, down := math.Tan(uniform(rng, 35, 60)*math.Pi/180), math.Tan(uniform(rng, 35, 60)*math.Pi/180)
	d, c := canvas(rng, 60)
	sin, cos := math.Sincos(turn)
	put := func(pts ...Point) {
		for i, p := range pts {
			pts[i] = Point{c.X + p.X*cos - p.Y*sin, c.Y + p.X*sin + p.Y*cos}
		}
		d.add(pts)
	}
	const long = 26
	put(Point{-14, -45}, Point{0, -45}, Point{0, 45}, Point{-14, 45})
	put(Point{-1, -width / 2}, Point{0, -width / 2}, Point{long, -width/2 - long*up}, Point{long, width/2 + long*down}, Point{0, width / 2}, Point{-1, width / 2})
	return d, width, c
}

// TestNeckAtAWall: whatever disc proposes it, the neck between the arms of a K and
// its stem lies within its plus and minus, and in film with grey edges it is
// read to 0.25 px.
func TestNeckAtAWall(t *testing.T) {
	for _, film := range []bool{false, true} {
		for _, bilevel := range []bool{false, true} {
			rng := rand.New(rand.NewPCG(heldOut, 75))
			kind := Line
			if film {
				kind = Strip
			}
			found, outside, square, apart := 0, 0, 0.0, 0.0
			for i := range 25 {
				d, width, at := kTrial(rng, 1, 6)
				ink := d.ink(rendering{bilevel: bilevel, invert: film})
				least, most, doubt := math.Inf(1), math.Inf(-1), 0.0
				for _, share := range []float64{1.5, 2, 2.5} {
					safe := width * share
					var f *Feature
					for _, q := range Measure(ink, Request{Safe: [4]float64{safe, safe, safe, safe}, Bare: true}).Features {
						if q.Kind == kind && dist(q.At, at) < 5 {
							f = &q
						}
					}
					if f == nil { // not narrow enough to tell
						continue
					}
					found++
					off := f.Width - width
					square += off * off
					if math.Abs(off) > f.PlusMinus {
						outside++
						t.Logf("%d: a %v of %.2f px under a limit of %.2f reads %.2f +- %.2f", i, kind, width, safe, f.Width, f.PlusMinus)
					}
					least, most, doubt = min(least, f.Width), max(most, f.Width), max(doubt, f.PlusMinus)
				}
				if most-least > doubt {
					apart++
				}
			}
			rms := math.Sqrt(square / float64(found))
			t.Logf("%v, bilevel %v: %d found of 75, %d outside, rms %.3f, %g differ by more than their plus and minus", kind, bilevel, found, outside, rms, apart)
			assert.Greater(t, found, 40)
			assert.LessOrEqual(t, outside, found/20)
			assert.Zero(t, apart, "one neck, whatever disc proposes it")
			if film && !bilevel {
				assert.Less(t, rms, 0.25)
			}
		}
	}
}

// TestMouthIsNoWall: between the end of a wall and the end of a stroke that leans away
// from it, the mouth of an e, a gap is as wide as it is, whatever the lean.
func TestMouthIsNoWall(t *testing.T) {
	rng := rand.New(rand.NewPCG(heldOut, 76))
	const n = 150
	wrong, missed := 0, 0
	for i := range n {
		safe := uniform(rng, 3, 10)
		gap, end, lean := max(1.5, safe*uniform(rng, 0.3, 0.9)), uniform(rng, 2, 8), uniform(rng, 0.4, 1.5)
		d, c := canvas(rng, 60)
		sin, cos := math.Sincos(rng.Float64() * 2 * math.Pi)
		put := func(pts ...Point) {
			for i, p := range pts {
				pts[i] = Point{c.X + p.X*cos - p.Y*sin, c.Y + p.X*sin + p.Y*cos}
			}
			d.add(pts)
		}
		const long = 30
		put(Point{-40, -20}, Point{0, -20}, Point{0, 0}, Point{-40, 0})
		put(Point{-end, gap}, Point{0, gap}, Point{-lean * long, gap + long}, Point{-end - lean*long, gap + long})
		best := math.Inf(1)
		for _, f := range Measure(d.ink(rendering{}), Request{Safe: [4]float64{safe, safe, safe, safe}, Bare: true}).Features {
			if f.Kind == Strip && dist(f.At, c) < 12 {
				best = min(best, math.Abs(f.Width-gap))
			}
		}
		switch {
		case math.IsInf(best, 1):
			missed++
			t.Logf("%d: a mouth of %.2f px, limit %.2f, end %.1f, lean %.2f is missed", i, gap, safe, end, lean)
		case best > 0.4:
			wrong++
			t.Logf("%d: a mouth of %.2f px, limit %.2f, end %.1f, lean %.2f is read %.2f off", i, gap, safe, end, lean, best)
		}
	}
	t.Logf("of %d mouths %d wrong, %d missed", n, wrong, missed)
	assert.LessOrEqual(t, wrong, 2)
	assert.LessOrEqual(t, missed, 3)
}
