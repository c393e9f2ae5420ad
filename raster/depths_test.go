package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The depth of a pixel is its definition, across tiles and at the edges of the image.
func TestDepthsAreTheirDefinition(t *testing.T) {
	counts := [depthMost + 1]int{}
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(seed, 61))
		k := softArt(r, 200+r.IntN(200), 200+r.IntN(120), seed%2 == 0)
		for y := 90; y < 150; y++ { // solid, and clear beside it
			fillRun(k.Bits.Row(y), 40, 90, true)
			fillRun(k.Bits.Row(y), 90, 140, false)
			for x := 40; x < 140 && k.Grey != nil; x++ {
				k.Grey[y*k.W+x] = 0
				if x < 90 {
					k.Grey[y*k.W+x] = 255
				}
			}
		}
		for _, film := range []bool{false, true} {
			s := Shape{Ink: k, Film: film}
			d := depthsOf(s)
			for range 4000 {
				x, y := r.IntN(k.W+20)-10, r.IntN(k.H+20)-10
				want := 0
				for inside := uint(x) < uint(k.W) && uint(y) < uint(k.H); inside && want < depthMost && allCovered(s, x, y, want); want++ {
				}
				require.Equal(t, want, d.at(x, y), "seed %d, film %t: %d, %d", seed, film, x, y)
				counts[want]++
			}
		}
	}
	for n, c := range counts[:6] {
		assert.Greater(t, c, 50, "depth %d", n)
	}
	assert.Greater(t, counts[depthMost], 50)
}

// allCovered reports whether the shape covers wholly what lies up to n pixels from (x, y).
func allCovered(s Shape, x, y, n int) bool {
	for v := y - n; v <= y+n; v++ {
		for u := x - n; u <= x+n; u++ {
			if s.Cover(u, v) != 1 {
				return false
			}
		}
	}
	return true
}

// Rays, chords and widths are the same, to the last digit, whether what is near their start is
// known to be covered or looked at.
func TestDepthsChangeNothing(t *testing.T) {
	leapt := 0
	for seed := range uint64(10) {
		r := rand.New(rand.NewPCG(seed, 62))
		d := &drawing{w: 420, h: 420}
		a, c := r.Float64()*math.Pi, Point{210 + r.Float64(), 210 + r.Float64()}
		width := 6 + 50*r.Float64()
		film := seed%2 == 1
		if film {
			d.add([]Point{{10, 10}, {410, 10}, {410, 410}, {10, 410}})
			d.hole(barPoly(c, a, 300, width))
		} else {
			d.add(barPoly(c, a, 300, width))
		}
		for range 4 { // and something in its way
			d.hole(discPoly(polar(c, 120*r.Float64(), 7*r.Float64()), 4*r.Float64()))
		}
		d.both(func(k *Ink, bilevel bool) {
			plain := Shape{Ink: k, Film: film}
			leaping := plain
			leaping.deep = depthsOf(plain)
			f, g := newSampler(plain), newSampler(leaping)
			for range 400 {
				p, n := polar(c, 140*r.Float64(), 7*r.Float64()), polar(Point{}, 1, 7*r.Float64())
				most := []float64{math.Inf(1), 60 * r.Float64()}[r.IntN(2)]
				o, q := f.origin(p), g.origin(p)
				if q.clear > 0 {
					leapt++
				}
				require.Equal(t, f.ray(&o, n, 50, 2, math.Inf(1)), g.ray(&q, n, 50, 2, math.Inf(1)), "seed %d, bilevel %t: %v, %v", seed, bilevel, p, n)
				if o.cover >= 0.5 {
					require.Equal(t, f.chord(&o, n, most), g.chord(&q, n, most), "seed %d, bilevel %t: %v, %v", seed, bilevel, p, n)
				}
			}
			course := Course{Path: []Point{polar(c, -100, a), polar(c, 0, a), polar(c, 100, a)}}
			want := plain.MeasureCourse(course, 60)
			require.NotEmpty(t, want.Sections, "seed %d", seed)
			assert.Equal(t, want, leaping.MeasureCourse(course, 60), "seed %d, bilevel %t", seed, bilevel)
		})
	}
	assert.Greater(t, leapt, 1000)
}
