package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Rays that leap through whole blocks give the same numbers, to the last digit.
func TestBlocksChangeNothing(t *testing.T) {
	leapt := 0
	for seed := range uint64(12) {
		r := rand.New(rand.NewPCG(seed, 33))
		d := &drawing{w: 900, h: 900}
		a, c := r.Float64()*math.Pi, Point{450 + r.Float64(), 450 + r.Float64()}
		width := 150 + 500*r.Float64()
		film := seed%2 == 1
		if film {
			d.add([]Point{{10, 10}, {890, 10}, {890, 890}, {10, 890}})
			d.hole(barPoly(c, a, 400, width))
		} else {
			d.add(barPoly(c, a, 400, width))
		}
		for range 5 { // and something in its way
			d.hole(discPoly(polar(c, 300*r.Float64(), 7*r.Float64()), 4*r.Float64()))
		}
		d.both(func(k *Ink, bilevel bool) {
			plain := Shape{Ink: k, Film: film}
			leaping := plain
			leaping.whole = blocksOf(plain)
			for _, b := range leaping.whole.whole {
				if b {
					leapt++
				}
			}
			for range 200 { // chords by themselves, most of which no profile needs
				p := polar(c, 100*r.Float64(), 7*r.Float64())
				n := polar(Point{}, 1, 7*r.Float64())
				most := []float64{math.Inf(1), 900 * r.Float64()}[r.IntN(2)]
				f := newSampler(plain)
				if o := f.origin(p); o.cover >= 0.5 {
					require.Equal(t, f.chord(&o, n, most), newSampler(leaping).chord(&o, n, most), "seed %d, bilevel %t: %v, %v", seed, bilevel, p, n)
				}
			}
			course := Course{Path: []Point{polar(c, -150, a), polar(c, 0, a), polar(c, 150, a)}}
			want := plain.MeasureCourse(course, 400)
			require.NotEmpty(t, want.Sections, "seed %d", seed)
			assert.Equal(t, want, leaping.MeasureCourse(course, 400), "seed %d, bilevel %t", seed, bilevel)
		})
	}
	assert.Greater(t, leapt, 1000)
}

// Every sample that steps promises takes pixels of the block, which is whole.
func TestBlockSteps(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	b := random(r, 200, 150)
	for y := 64; y < 96; y++ {
		fillRun(b.Row(y), 32, 128, true)
	}
	k := NewBilevelInk(b)
	s := Shape{Ink: k}
	w := blocksOf(s)
	assert.Equal(t, 6, w.w)
	n := 0
	for i, whole := range w.whole {
		x, y := i%w.w*blockSide, i/w.w*blockSide
		all := true
		for v := range blockSide {
			all = all && allSet(b.Row(y+v), x, x+blockSide)
		}
		require.Equal(t, all, whole)
		if whole {
			n++
		}
	}
	assert.Equal(t, 3, n)
	promised := 0
	for range 20_000 {
		px, py := 220*r.Float64()-10, 170*r.Float64()-10
		sin, cos := math.Sincos(7 * r.Float64())
		steps := w.steps(px, py, Point{cos, sin}, rayStep)
		promised += steps
		for i := range steps {
			at := Point{px + cos*rayStep*float64(i), py + sin*rayStep*float64(i)}
			require.Equal(t, 1.0, s.Sample(at), "%v, step %d of %d", at, i, steps)
			x, y := math.Floor(at.X-0.5), math.Floor(at.Y-0.5)
			require.True(t, x >= 32 && x+1 < 128 && y >= 64 && y+1 < 96)
		}
	}
	assert.Greater(t, promised, 10_000)
}
