package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// An enclosed slot that a disc of the limit fits in holds as an island, but where it is
// pinched to half the limit between two such places it is a strip, closed as open.
func TestPinchedSlotIsAStrip(t *testing.T) {
	missed, n := 0, 0
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 80))
		safe := uniform(rng, 2.8, 14)
		wide, narrow := safe*uniform(rng, 1.2, 1.6), safe*0.45
		d, c := canvas(rng, 8*safe)
		sin, cos := math.Sincos(rng.Float64() * math.Pi)
		put := func(add func([]Point), x0, y0, x1, y1 float64) {
			var pts []Point
			for _, p := range [4]Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}} {
				pts = append(pts, Point{c.X + p.X*cos - p.Y*sin, c.Y + p.X*sin + p.Y*cos})
			}
			add(pts)
		}
		put(d.add, -7*safe, -3*safe, 7*safe, 3*safe)
		put(d.hole, -5*safe, -wide/2, -1.2*safe, wide/2)
		put(d.hole, 1.2*safe, -wide/2, 5*safe, wide/2)
		put(d.hole, -1.2*safe, -narrow/2, 1.2*safe, narrow/2)
		got := Measure(d.ink(rendering{bilevel: seed%2 == 0 && narrow > 2}), Request{Safe: [4]float64{safe, safe, safe, 2 * safe}, Bare: true}).Finest[Strip]
		n++
		if !got.Found || math.Abs(got.Width-narrow) > 0.7 {
			missed++
			t.Logf("seed %d: a slot of %.2f px pinched to %.2f, limit %.2f: %v", seed, wide, narrow, safe, got)
		}
	}
	t.Logf("%d of %d missed or off", missed, n)
	assert.LessOrEqual(t, missed, 2)
}

// The oval hole of a letter, as wide as the limit in its middle, is no strip.
func TestOvalHolesAreNoStrips(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 81))
		safe := uniform(rng, 2.8, 14)
		d, c := canvas(rng, 4*safe)
		turn, long := rng.Float64()*math.Pi, uniform(rng, 1.3, 2.2)
		wide := safe * uniform(rng, 1.02, 1.3)
		oval := func(w, h float64) (pts []Point) {
			for i := range 90 {
				s, co := math.Sincos(float64(i) * math.Pi / 45)
				x, y := co*w/2, s*h/2
				s, co = math.Sincos(turn)
				pts = append(pts, Point{c.X + x*co - y*s, c.Y + x*s + y*co})
			}
			return pts
		}
		d.add(oval(wide+3*safe, wide*long+3*safe))
		d.hole(oval(wide, wide*long))
		for _, bilevel := range []bool{false, true} {
			for _, f := range Measure(d.ink(rendering{bilevel: bilevel}), Request{Safe: [4]float64{safe, safe, safe, 2 * safe}, Bare: true}).Features {
				assert.NotEqual(t, Strip, f.Kind, "seed %d, bilevel %t: an oval %.2f px wide, limit %.2f, is a strip of %.2f", seed, bilevel, wide, safe, f.Width)
			}
		}
	}
}

// Plain lines a little wider than the limit hold, and are as wide as they are: also where
// the limit is a little under the least disc, and where a disc of the search for the
// finest just fits in them.
func TestPlainLinesOverTheLimit(t *testing.T) {
	wrong, off := 0, 0
	const n = 300
	for seed := range uint64(n) {
		rng := rand.New(rand.NewPCG(seed, 82))
		limit := 2.7
		if seed%2 == 0 {
			limit = uniform(rng, 1.8, 6)
		}
		wide := limit * uniform(rng, 1.1, 3.4)
		if seed%2 == 1 {
			wide = limit * uniform(rng, 1.12, 1.27)
		}
		d, c := canvas(rng, 40)
		d.add(barPoly(c, rng.Float64()*math.Pi, max(8*wide, 50), wide))
		res := Measure(d.ink(rendering{}), Request{Safe: [4]float64{limit, limit, limit, limit}})
		if len(res.Features) > 0 {
			wrong++
			t.Logf("seed %d: a line of %.2f px, limit %.2f, is told as %.2f", seed, wide, limit, res.Features[0].Width)
		}
		if f := res.Finest[Line]; f.Found && f.Width < wide-0.3 {
			off++
			t.Logf("seed %d: a line of %.2f px, limit %.2f, finest %.2f", seed, wide, limit, f.Width)
		}
	}
	t.Logf("of %d lines %d told, %d read narrow", n, wrong, off)
	assert.Zero(t, wrong)
	assert.LessOrEqual(t, off, 1)
}
