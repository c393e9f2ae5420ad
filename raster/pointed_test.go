package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Of a leaf, a triangle or a drop the pixels do not show how its points end: 4A/P is off by
// what they lose, and plus and minus tells it.
func TestPointedPiecesLieWithin(t *testing.T) {
	leaf := func(long, wide float64) (p []Point) {
		h := wide / 2
		r := (long*long/4 + h*h) / (2 * h)
		a := math.Asin(long / 2 / r)
		for side := 1.0; side >= -1; side -= 2 {
			for i := range 60 {
				f := side * a * (2*float64(i)/60 - 1)
				p = append(p, Point{r * math.Sin(f), side * (r*math.Cos(f) - (r - h))})
			}
		}
		return p
	}
	triangle := func(long, wide float64) []Point {
		return []Point{{-long / 2, -wide / 2}, {long / 2, 0}, {-long / 2, wide / 2}}
	}
	for _, bilevel := range []bool{false, true} {
		n, beyond, most := 0, 0, 0.0
		for seed := range uint64(240) {
			rng := rand.New(rand.NewPCG(seed, 86))
			wide := uniform(rng, 4.5, 9)
			long := uniform(rng, 2, 4) * wide
			shape := leaf(long, wide)
			if seed%2 == 0 {
				shape = triangle(long, wide)
			}
			area, round := 0.0, 0.0
			for i, p := range shape {
				q := shape[(i+1)%len(shape)]
				area += (p.X*q.Y - q.X*p.Y) / 2
				round += dist(p, q)
			}
			want := 4 * math.Abs(area) / round
			d, c := canvas(rng, long)
			a := rng.Float64() * 2 * math.Pi
			var pts []Point
			for _, p := range shape {
				pts = append(pts, turned(c, a, p.X, p.Y))
			}
			d.add(pts)
			r := Measure(d.ink(rendering{bilevel: bilevel, invert: true}), Request{Safe: [4]float64{3, 3, 3, 20}, Bare: true})
			got := ofKind(r, Island)
			require.Len(t, got, 1)
			n++
			off := math.Abs(got[0].Width - want)
			most = max(most, got[0].PlusMinus)
			if off > got[0].PlusMinus {
				beyond++
			}
		}
		t.Logf("bilevel %t: %d of %d beyond their plus and minus, the largest %.2f", bilevel, beyond, n, most)
		assert.LessOrEqual(t, beyond, n/12)
		assert.Less(t, most, 2.5)
	}
}
