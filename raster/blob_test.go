package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func wholeBox(k *Ink) Box { return Box{0, 0, float64(k.W), float64(k.H)} }

func TestMeasureBlobByHand(t *testing.T) {
	pixel := bilevelOf(fromText(".....", ".....", "..#..", ".....", "....."))
	b := Shape{Ink: pixel}.MeasureBlob(2, 2, wholeBox(pixel))
	assert.Equal(t, 1.0, b.Area)
	// No disc of area 1 is wider than this.
	assert.InDelta(t, 2/math.Sqrt(math.Pi), b.Hydraulic, 1e-9)

	// Corner to corner: one piece of ink, two of film.
	steps := bilevelOf(fromText("......", ".##...", ".##...", "...##.", "...##.", "......"))
	b = Shape{Ink: steps}.MeasureBlob(1, 1, wholeBox(steps))
	assert.Equal(t, 8.0, b.Area)
	steps.Invert()
	b = Shape{Ink: steps, Film: true}.MeasureBlob(1, 1, wholeBox(steps))
	assert.Equal(t, 4.0, b.Area)

	// Not in the shape, or not in the box.
	assert.Zero(t, Shape{Ink: pixel}.MeasureBlob(0, 0, wholeBox(pixel)))
	assert.Zero(t, Shape{Ink: pixel}.MeasureBlob(2, 2, Box{3, 3, 5, 5}))
	assert.Zero(t, Shape{Ink: pixel}.MeasureBlob(-4, 99, wholeBox(pixel)))

	// At the image's border ink ends.
	edge := bilevelOf(fromText("####....", "####....", "####....", "####....", "........"))
	b = Shape{Ink: edge}.MeasureBlob(0, 0, wholeBox(edge))
	assert.Equal(t, 16.0, b.Area)
	assert.InDelta(t, 4, b.Width, b.PlusMinus)
}

func TestMeasureBlobTakesOnlyItsOwn(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 21))
	for i := range 40 {
		r, gap := uniform(rng, 2, 8), uniform(rng, 1.6, 3)
		a := rng.Float64() * 2 * math.Pi
		d, c := canvas(rng, 3*r+gap+2)
		d.add(discPoly(c, r))
		for _, s := range []float64{-1, 1} {
			d.add(discPoly(polar(c, s*(2*r+gap), a), r))
		}
		for _, film := range []bool{false, true} {
			k := d.ink(rendering{invert: film})
			b := Shape{Ink: k, Film: film}.MeasureBlob(int(c.X), int(c.Y), wholeBox(k))
			assert.InDelta(t, math.Pi*r*r, b.Area, 0.02*math.Pi*r*r+0.1, "trial %d, film %v", i, film)
			assert.InDelta(t, 2*r, b.Width, 0.2, "trial %d, film %v", i, film)
			assert.InDelta(t, 0, math.Hypot(b.Centre.X-c.X, b.Centre.Y-c.Y), 0.3)
			assert.InDelta(t, 2*r, b.Extent, 0.4)
		}
	}
}

// TestMeasureBlobCountsHoles: an annulus is as wide by 4A/P as a strip of twice
// its breadth; what lies in the hole is another piece.
func TestMeasureBlobCountsHoles(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 31))
	for i := range 30 {
		outer, hole := uniform(rng, 9, 16), uniform(rng, 3, 5)
		d, c := canvas(rng, outer)
		d.add(discPoly(c, outer))
		d.hole(discPoly(c, hole))
		d.add(discPoly(c, 1.2))
		k := d.ink(rendering{})
		y := c.Y + (outer+hole)/2
		b := Shape{Ink: k}.MeasureBlob(int(c.X), int(y), wholeBox(k))
		assert.InDelta(t, math.Pi*(outer*outer-hole*hole), b.Area, 1.5, "trial %d", i)
		assert.InDelta(t, 2*math.Pi*(outer+hole), b.Perimeter, 0.6, "trial %d", i)
		assert.InDelta(t, 2*(outer-hole), b.Hydraulic, 0.2, "trial %d", i)
		assert.InDelta(t, outer-hole, b.Disc, 0.3, "trial %d", i)
	}
}

// TestMeasureBlobLarge goes past what the distance map takes whole.
func TestMeasureBlobLarge(t *testing.T) {
	const r = 700.0
	n := 1500
	bits := NewBits(n, n)
	for y := range n {
		for x := range n {
			if math.Hypot(float64(x)+0.5-750.3, float64(y)+0.5-749.6) < r {
				bits.Set(x, y)
			}
		}
	}
	k := NewBilevelInk(bits)
	b := Shape{Ink: k}.MeasureBlob(700, 700, wholeBox(k))
	assert.InDelta(t, 2*r, b.Disc, 2)
	assert.InDelta(t, 2*r, b.Width, 4)
	assert.InDelta(t, 2*r, b.Extent, 2)
	assert.InDelta(t, 0, math.Hypot(b.Centre.X-750.3, b.Centre.Y-749.6), 2)
}

// TestDeepestIsItsTwin compares the distance map's top with trying every pair.
func TestDeepestIsItsTwin(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 41))
	for i := range 60 {
		w, h := 3+rng.IntN(14), 3+rng.IntN(14)
		bits := NewBits(w, h)
		for y := range h {
			for x := range w {
				if rng.IntN(100) < 85 {
					bits.Set(x, y)
				}
			}
		}
		sx, sy := rng.IntN(w), rng.IntN(h)
		bits.Set(sx, sy)
		k := NewBilevelInk(bits)
		p := newPiece(newSampler(Shape{Ink: k}), sx, sy, wholeBox(k))
		require.NotNil(t, p)
		depth := func(x, y int) float64 {
			d := math.Inf(1)
			for v := -1; v <= h; v++ {
				for u := -1; u <= w; u++ {
					if !p.own.Get(u, v) {
						d = math.Min(d, math.Hypot(float64(u-x), float64(v-y)))
					}
				}
			}
			return d
		}
		most := 0.0
		for y := range h {
			for x := range w {
				if p.own.Get(x, y) {
					most = math.Max(most, depth(x, y))
				}
			}
		}
		at := p.deepest()
		assert.InDelta(t, most, depth(int(at.X), int(at.Y)), 1e-9, "trial %d", i)
	}
}

func BenchmarkMeasureBlob10px(b *testing.B) {
	d := drawing{w: 40, h: 40}
	d.add(discPoly(Point{20.3, 20.2}, 5))
	s := Shape{Ink: d.ink(rendering{})}
	b.ReportAllocs()
	for b.Loop() {
		s.MeasureBlob(20, 20, Box{14, 14, 27, 27})
	}
}
