package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// barTwin finds the mean and deviation of the widths of the straight bars that
// give the boundaries by trying a fine grid of slopes and offsets. It shares no
// code with fitBar.
func barTwin(top, low []float64) (mean, sd float64, ok bool) {
	var n, sum, sq float64
	mid := float64(len(top)-1) / 2
	fits := func(v []float64, m, a float64) bool {
		for i := range v {
			if math.Abs(v[i]-(a+m*(float64(i)-mid))) > 0.5 {
				return false
			}
		}
		return true
	}
	middle := (len(top) - 1) / 2
	for m := -1.2; m <= 1.2; m += 0.002 {
		var tops, lows []float64
		for o := -1.5; o <= 1.5; o += 0.05 {
			if a := top[middle] + o; fits(top, m, a) {
				tops = append(tops, a)
			}
			if a := low[middle] + o; fits(low, m, a) {
				lows = append(lows, a)
			}
		}
		cos := 1 / math.Sqrt(1+m*m)
		for _, a := range tops {
			for _, b := range lows {
				w := (b - a) * cos
				n += cos * cos
				sum += cos * cos * w
				sq += cos * cos * w * w
			}
		}
	}
	if n == 0 {
		return 0, 0, false
	}
	mean = sum / n
	return mean, math.Sqrt(sq/n - mean*mean), true
}

func TestFitBarIsItsTwin(t *testing.T) {
	rng := rand.New(rand.NewPCG(88, 1))
	for i := range 60 {
		n := 8 + rng.IntN(14)
		m, a, w := uniform(rng, -1, 1), uniform(rng, 0, 1), uniform(rng, 3, 9)
		top, low := make([]float64, n), make([]float64, n)
		for x := range top {
			y := a + m*float64(x)
			top[x], low[x] = math.Round(y), math.Round(y+w)
		}
		if i%6 == 5 {
			low[n/2] += 2 // a nick: no bar
		}
		got, ok := fitBar(nil, top, low, 0)
		mean, sd, want := barTwin(top, low)
		if i%6 == 5 {
			assert.False(t, ok, "trial %d is no bar", i)
			assert.False(t, want)
			continue
		}
		require.True(t, ok, "trial %d", i)
		if got.sd > 0.26 && math.Abs(got.sd*2.1/0.85-1/math.Sqrt(1+math.Pow(math.Round(m), 2))) < 1e-9 {
			continue // the rule for stretches without a step
		}
		if want && sd > 0.05 { // below, the grid is too coarse
			assert.InDelta(t, mean, got.width, 0.06, "trial %d: slope %.3f", i, m)
			assert.InDelta(t, sd, got.sd, 0.06, "trial %d: slope %.3f", i, m)
		}
	}
}

// TestBilevelOnAxesSaysHowLittleIsKnown: where a whole mark shows no step its
// width is known to a pixel, and plus_minus says so.
func TestBilevelOnAxesSaysHowLittleIsKnown(t *testing.T) {
	for _, row := range []struct {
		angle, least, most float64
	}{{0, 0.8, 1}, {math.Pi / 2, 0.8, 1}, {math.Pi / 4, 0.55, 0.75}} {
		d := drawing{w: 120, h: 120}
		d.add(barPoly(Point{60.2, 59.7}, row.angle, 80, 5.4))
		s := Shape{Ink: d.ink(rendering{bilevel: true})}
		u := Point{math.Cos(row.angle), math.Sin(row.angle)}
		path := straightPath(60-38*u.X, 60-38*u.Y, 60+38*u.X, 60+38*u.Y)
		p := s.MeasureCourse(Course{Path: path, TipStart: true, TipEnd: true}, 7)
		if p.PlusMinus < row.least || p.PlusMinus > row.most {
			t.Errorf("angle %.2f: plus_minus %.2f, expected %.2f to %.2f", row.angle, p.PlusMinus, row.least, row.most)
		}
		assert.InDelta(t, 5.4, p.Width, p.PlusMinus)
	}
}

// TestBilevelStairIsNoNick and a nick is none of the stair's.
func TestBilevelNicks(t *testing.T) {
	rng := rand.New(rand.NewPCG(66, 6))
	for range 20 {
		plain := nickTrial(rng, 0, 4)
		plain.pic.bilevel = true
		p := plain.shape().MeasureCourse(plain.course, plain.safe)
		assert.InDelta(t, 8, p.Width, 0.95, "no nick")
		deep := nickTrial(rng, 3, 6)
		deep.pic.bilevel = true
		p = deep.shape().MeasureCourse(deep.course, deep.safe)
		assert.Less(t, p.Width, 6.3, "a nick 3 deep and 6 long in 8")
		assert.Less(t, math.Hypot(p.At.X-deep.place.X, p.At.Y-deep.place.Y), 4.0)
	}
}
