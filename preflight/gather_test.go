package preflight

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

// row makes n dots of 2 px, pitch px apart, from (100, y) on.
func row(n int, pitch, y float64) []raster.Feature {
	var fs []raster.Feature
	for i := range n {
		fs = append(fs, feature(raster.Dot, 1+float64(i)/1000, 100+float64(i)*pitch, y))
	}
	return fs
}

func TestGather(t *testing.T) {
	counts := func(fs []raster.Feature) []int {
		r := Judge(surveyOf(fs...), plainFilm, Options{})
		var out []int
		total := 0
		for _, m := range r.Marks {
			out = append(out, m.Count)
			total += m.Count
		}
		require.Equal(t, len(fs), total)
		require.Equal(t, len(fs), r.Counts[raster.Dot].Fails+r.Counts[raster.Dot].AtRisk+r.Counts[raster.Line].Fails)
		return out
	}
	ones := func(n int) []int { return slices.Repeat([]int{1}, n) }

	assert.Equal(t, ones(19), counts(row(19, 10, 100)), "nineteen stay single")
	assert.Equal(t, []int{20}, counts(row(20, 10, 100)), "twenty are one")
	// The longer side is 1000 px, so reach is a gap of 50: 2 px dots at 52 or less.
	// The row of 52 ends at 100+19*40.
	assert.Equal(t, []int{20}, counts(row(20, 45, 100)), "within reach one after the next")
	assert.Equal(t, ones(20), counts(row(20, 53, 100)), "out of reach of each other")
	two := append(row(19, 10, 100), row(19, 10, 140)...)
	assert.Equal(t, []int{38}, counts(two), "two rows within reach are one group of 38")
	far := append(row(19, 10, 100), row(19, 10, 160)...)
	assert.Equal(t, ones(38), counts(far), "two rows out of reach are two groups of nineteen")
	mixed := row(19, 10, 100)
	mixed = append(mixed, feature(raster.Line, 0.5, 150, 105))
	assert.Equal(t, ones(20), counts(mixed), "another kind does not count")
	risky := row(19, 10, 100)
	risky = append(risky, feature(raster.Dot, 1.9, 150, 105))
	assert.Equal(t, ones(20), counts(risky), "nor does another verdict")
}

func TestGatheredMark(t *testing.T) {
	fs := row(30, 10, 100)
	fs[7].Width, fs[7].Area, fs[9].Length = 0.25, 3, 6
	r := Judge(surveyOf(fs...), plainFilm, Options{})
	require.Len(t, r.Marks, 1)
	m := r.Marks[0]
	assert.Equal(t, 30, m.Count)
	assert.Equal(t, 25.0, m.WidthUM, "the narrowest rules")
	assert.InDelta(t, 17, m.At.X, 1e-9, "and lends its place")
	assert.InDelta(t, 0.03, m.AreaMM2, 1e-9)
	assert.InDelta(t, 0.6, m.LengthMM, 1e-9)
	assert.InDelta(t, 9.9, m.Box.X0, 1e-9)
	assert.InDelta(t, 39.1, m.Box.X1, 1e-9)
	assert.Len(t, m.Boxes, 30)
}

// The slow twin: every pair of boxes, united when the gap along x and the gap
// along y are both within reach.
func groupsByPairs(marks []Mark, reach float64) []string {
	n := len(marks)
	near := func(a, b BoxMM) bool {
		return math.Max(a.X0, b.X0)-math.Min(a.X1, b.X1) <= reach && math.Max(a.Y0, b.Y0)-math.Min(a.Y1, b.Y1) <= reach
	}
	label := make([]int, n)
	for i := range label {
		label[i] = i
	}
	for changed := true; changed; {
		changed = false
		for i := range n {
			for j := range n {
				same := marks[i].Kind == marks[j].Kind && marks[i].Verdict == marks[j].Verdict
				if same && near(marks[i].Box, marks[j].Box) && label[j] > label[i] {
					label[j], changed = label[i], true
				}
			}
		}
	}
	size := map[int]int{}
	for _, l := range label {
		size[l]++
	}
	var out []string
	for i, l := range label {
		switch {
		case size[l] < gatherFrom:
			out = append(out, fmt.Sprint("single ", marks[i].AreaMM2))
		case l == i:
			out = append(out, fmt.Sprint("group of ", size[l]))
		}
	}
	return out
}

func TestGatherEqualsPairs(t *testing.T) {
	grouped := 0
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 7))
		var marks []Mark
		spread := 5 + rng.Float64()*60
		for i := range 20 + rng.IntN(150) {
			x, y := rng.Float64()*spread-10, rng.Float64()*spread-10
			b := BoxMM{x, y, x + rng.ExpFloat64(), y + rng.ExpFloat64()}
			if rng.IntN(20) == 0 {
				b.X1 += 20 * rng.Float64() // a long one
			}
			marks = append(marks, Mark{Kind: raster.Kind(rng.IntN(2)), Verdict: Fails, Count: 1, Box: b, AreaMM2: float64(i), SafeUM: 1})
		}
		reach := 0.3 + 3*rng.Float64()
		var got []string
		for _, m := range gather(marks, reach) {
			if m.Count == 1 {
				got = append(got, fmt.Sprint("single ", m.AreaMM2))
			} else {
				got = append(got, fmt.Sprint("group of ", m.Count))
				grouped++
			}
		}
		require.Equal(t, groupsByPairs(marks, reach), got, "seed %d", seed)
	}
	assert.Greater(t, grouped, 20, "the seeds make groups")
}

func BenchmarkGather(b *testing.B) {
	for _, c := range []struct {
		name string
		side float64 // of the square that holds the dots, mm
	}{{"spread", 200}, {"dense", 5}} {
		var marks []Mark
		rng := rand.New(rand.NewPCG(1, 1))
		for range 20000 {
			x, y := rng.Float64()*c.side, rng.Float64()*c.side
			marks = append(marks, Mark{Kind: raster.Dot, Verdict: Fails, Count: 1, Box: BoxMM{x, y, x + .1, y + .1}, SafeUM: 1})
		}
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				gather(marks, 10)
			}
		})
	}
}
