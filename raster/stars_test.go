package raster

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The disc between a star's rays rests on the points of the notches, which blur fills up: it
// is no larger for that, and what the pixels cannot show is told.
func TestStarsLieWithin(t *testing.T) {
	for _, c := range []struct {
		bilevel            bool
		beyond, typical, n int // of 100 the most, and hundredths of a pixel
	}{{false, 8, 8, 300}, {true, 15, 45, 300}} {
		var off []float64
		beyond := 0
		for i := range c.n {
			rng := rand.New(rand.NewPCG(heldOut, uint64(i)))
			rays := 4 + rng.IntN(3)
			round := uniform(rng, 4, 14)
			inner := uniform(rng, 0.36, 0.58)
			d, at := canvas(rng, round/2/inner+8)
			turn := uniform(rng, 0, 2*math.Pi)
			var star []Point
			for k := range 2 * rays {
				r := round / 2
				if k%2 == 0 {
					r /= inner
				}
				sin, cos := math.Sincos(turn + float64(k)*math.Pi/float64(rays))
				star = append(star, Point{at.X + r*cos, at.Y + r*sin})
			}
			length, area, disc := 0.0, 0.0, math.Inf(1)
			for k, a := range star {
				b := star[(k+1)%len(star)]
				length, area = length+dist(a, b), area+(a.X*b.Y-a.Y*b.X)/2
				disc = min(disc, 2*math.Sqrt(segmentDistance2(at, a, b)))
			}
			want := max(disc, 4*math.Abs(area)/length)
			d.add(star)
			kind := [2]Kind{Dot, Island}[i%2]
			r := Measure(d.ink(rendering{bilevel: c.bilevel, invert: kind == Island}), Request{Safe: [4]float64{3, 30, 3, 30}, Bare: true})
			got := ofKind(r, kind)
			require.Len(t, got, 1)
			off = append(off, got[0].Width-want)
			if math.Abs(off[i]) > got[0].PlusMinus {
				beyond++
			}
		}
		slices.Sort(off)
		middle := off[c.n/2]
		t.Logf("bilevel %v: %d of %d beyond plus and minus, %+.2f px off in the middle", c.bilevel, beyond, c.n, middle)
		assert.LessOrEqual(t, 100*beyond, c.beyond*c.n)
		assert.LessOrEqual(t, 100*math.Abs(middle), float64(c.typical))
	}
}

// Nothing holds a disc but straight sides and round ones: then no notch is found.
func TestNoNotches(t *testing.T) {
	for i := range 200 {
		rng := rand.New(rand.NewPCG(heldOut, uint64(i)))
		wide := uniform(rng, 6, 20)
		d, at := canvas(rng, 2*wide)
		if i%2 == 0 {
			var circle []Point
			for k := range 120 {
				circle = append(circle, turned(at, float64(k)*math.Pi/60, wide/2, 0))
			}
			d.add(circle)
		} else {
			turn := uniform(rng, 0, math.Pi)
			var box []Point
			for _, p := range [4]Point{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
				box = append(box, turned(at, turn, p.X*wide/2, p.Y*wide/2))
			}
			d.add(box)
		}
		p := newPiece(newSampler(Shape{Ink: d.ink(rendering{})}), int(at.X), int(at.Y), Box{0, 0, float64(d.w), float64(d.h)})
		require.NotNil(t, p)
		loops := p.loops()
		c, across := p.largestDisc(loops)
		_, less, by := betweenNotches(loops, c, across, false)
		assert.InDelta(t, across, less, 0.1, "%d", i)
		assert.InDelta(t, across-less, by, 1e-12)
	}
}
