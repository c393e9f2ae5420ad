package proof

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// strictlyCross is a slow twin of meet that shares no code with it: it solves
// for the two parameters of the crossing.
func strictlyCross(a, b, c, d sheet.Pt) bool {
	rx, ry, sx, sy := b.X-a.X, b.Y-a.Y, d.X-c.X, d.Y-c.Y
	den := rx*sy - ry*sx
	if math.Abs(den) < 1e-12 {
		return false
	}
	t := ((c.X-a.X)*sy - (c.Y-a.Y)*sx) / den
	u := ((c.X-a.X)*ry - (c.Y-a.Y)*rx) / den
	const e = 1e-9
	return t > e && t < 1-e && u > e && u < 1-e
}

func randomOutlines(rng *rand.Rand, n int, pw, ph float64) []outline {
	kinds := raster.Kinds
	var os []outline
	for i := 0; i < n; i++ {
		x, y := rng.Float64()*pw, rng.Float64()*ph
		w, h := rng.Float64()*rng.Float64()*pw/2, rng.Float64()*rng.Float64()*ph/2
		r := single(kinds[rng.IntN(4)], rect{x, y, math.Min(x+w, pw), math.Min(y+h, ph)})
		os = append(os, outline{rings: [][]sheet.Pt{r}, box: bounds(r)})
	}
	return os
}

// TestRingIsDisjointAndUncrossed checks 1,000 random layouts: discs apart, off
// the picture, no leaders crossing, each leader ending on its own outline.
func TestRingIsDisjointAndUncrossed(t *testing.T) {
	const seed = 20270312
	rng := rand.New(rand.NewPCG(seed, 1))
	pairs, close := 0, 0
	for trial := 0; trial < 1000; trial++ {
		pw, ph := 30+rng.Float64()*40, 38+rng.Float64()*40
		n := 1 + rng.IntN(maxPlaces)
		os := randomOutlines(rng, n, pw, ph)
		ls := ring(os, 0, 0, pw, ph)
		require.Len(t, ls, n)
		for i, a := range ls {
			inside := a.disc.X > -ringDisc && a.disc.X < pw+ringDisc
			require.False(t, inside, "seed %d trial %d: disc %d on the picture", seed, trial, i)
			mid := (os[i].box.x0 + os[i].box.x1) / 2
			require.True(t, a.left && a.anchor.X <= mid+1e-9 || !a.left && a.anchor.X >= mid-1e-9)
			on := math.Inf(1)
			r := os[i].rings[0]
			for k := range r {
				q := nearestOn(r[k], r[(k+1)%len(r)], a.anchor)
				on = math.Min(on, math.Hypot(q.X-a.anchor.X, q.Y-a.anchor.Y))
			}
			require.Less(t, on, 1e-6, "leader %d ends off its outline", i)
			for j, b := range ls[:i] {
				if pairs++; a.left == b.left && a.close(b) {
					close++
				}
				require.GreaterOrEqual(t, math.Hypot(a.disc.X-b.disc.X, a.disc.Y-b.disc.Y), ringPitch-1e-9, "seed %d trial %d: discs %d %d", seed, trial, i, j)
				for _, p := range [][2]sheet.Pt{{a.disc, a.knee}, {a.knee, a.anchor}} {
					for _, q := range [][2]sheet.Pt{{b.disc, b.knee}, {b.knee, b.anchor}} {
						require.False(t, strictlyCross(p[0], p[1], q[0], q[1]), "seed %d trial %d: leaders %d %d cross", seed, trial, i, j)
					}
				}
			}
		}
	}
	t.Logf("of %d pairs of leaders %d end close to the other", pairs, close)
	require.Less(t, close, pairs/1000, "without the rule there are 89")
}

// TestSpreadIsNearest compares the pooled solution with every solution on a
// grid of quarter pitches, for three discs.
func TestSpreadIsNearest(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	cost := func(y, want []float64) float64 {
		s := 0.0
		for i := range y {
			s += (y[i] - want[i]) * (y[i] - want[i])
		}
		return s
	}
	for trial := 0; trial < 200; trial++ {
		want := []float64{rng.Float64() * 40, rng.Float64() * 40, rng.Float64() * 40}
		sortFloats(want)
		got := spread(want, 8, 0, 40)
		for i := 1; i < 3; i++ {
			require.GreaterOrEqual(t, got[i]-got[i-1], 8-1e-9)
		}
		require.True(t, got[0] >= -1e-9 && got[2] <= 40+1e-9)
		best := cost(got, want)
		for a := 0.0; a <= 24; a += 2 {
			for b := a + 8; b <= 32; b += 2 {
				for c := b + 8; c <= 40; c += 2 {
					require.LessOrEqual(t, best, cost([]float64{a, b, c}, want)+1e-6, "want %v got %v", want, got)
				}
			}
		}
	}
}

func sortFloats(v []float64) {
	for i := range v {
		for j := i; j > 0 && v[j] < v[j-1]; j-- {
			v[j], v[j-1] = v[j-1], v[j]
		}
	}
}

// randomMarks makes n marks of all classes over an artwork.
func randomMarks(rng *rand.Rand, n int, w, h float64) *preflight.Report {
	film := film3()
	var ms []preflight.Mark
	for i := 0; i < n; i++ {
		k := raster.Kinds[rng.IntN(4)]
		lim := film.Limit(k)
		p := sheet.Pt{X: rng.Float64() * w, Y: rng.Float64() * h}
		um := lim.FailUM * 0.6
		if rng.IntN(3) == 0 {
			um = (lim.FailUM + lim.SafeUM) / 2
		}
		ms = append(ms, markOf(film, k, um+rng.Float64(), p, math.NaN(), boxAround(0.1+rng.Float64(), p), nil))
	}
	return reportOf(film, ms, w, h, 1200)
}

// TestPlacesHoldEveryMarkOnce: never more places than letters, every mark in
// exactly one place of its own class, failing ones first.
func TestPlacesHoldEveryMarkOnce(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 3))
	for _, n := range []int{0, 1, 2, 6, 11, 12, 13, 60, 1000, 3000} {
		r := randomMarks(rng, n, 80, 60)
		ps := places(r)
		require.LessOrEqual(t, len(ps), maxPlaces)
		if n <= maxPlaces {
			require.Len(t, ps, n)
		}
		seen := map[int]bool{}
		worst := preflight.Fails
		for i, p := range ps {
			require.Equal(t, letterRow[i:i+1], p.letter)
			require.LessOrEqual(t, p.verdict, worst)
			worst = p.verdict
			for _, m := range p.marks {
				require.False(t, seen[m])
				seen[m] = true
				require.Equal(t, class{p.kind, p.verdict, p.specks}, classOf(&r.Marks[m]))
				require.LessOrEqual(t, p.tightest.WidthUM, r.Marks[m].WidthUM)
			}
		}
		require.Len(t, seen, n)
		require.Equal(t, n, features(ps))
	}
}

// BenchmarkLabels places the letters of 1,000 marks; the customer's page must
// have them in under a second.
func BenchmarkLabels(b *testing.B) {
	r := randomMarks(rand.New(rand.NewPCG(5, 5)), 1000, 80, 60)
	for b.Loop() {
		ps := places(r)
		os := outlines(ps, r.Marks, 0.8, 9, 3)
		ring(os, 9, 3, 64, 48)
	}
}
