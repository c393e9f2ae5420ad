package raster

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// scan draws a bar as a scanner would see it: pale ink, dark paper, noise.
func scan(rng *rand.Rand, tr *trial, paper, ink, noise float64) *Ink {
	cov := blurred(tr.draw.coverage(), tr.draw.w, tr.draw.h, 1)
	grey := make([]uint8, len(cov))
	for i, c := range cov {
		grey[i] = uint8(math.Round(min(255, max(0, paper+(ink-paper)*c+noise*rng.NormFloat64()))))
	}
	return NewGreyInk(tr.draw.w, tr.draw.h, grey)
}

func TestStretchLevelsGivesScansTheirWidth(t *testing.T) {
	rng := rand.New(rand.NewPCG(20250, 1))
	got := &tally{name: "scans"}
	for i := range 40 {
		tr := straightTrial(rng, 7, 15, rng.Float64()*math.Pi)
		k := scan(rng, tr, 30, 225, 3)
		before := Shape{Ink: k}.MeasureCourse(tr.course, tr.safe)
		found := StretchLevels(k)
		p, q, ok := found.Paper, found.Ink, found.Stretched
		if !ok || math.Abs(float64(p)-30) > 1 || math.Abs(float64(q)-225) > 4 {
			t.Fatalf("scan %d: levels %d, %d (drawn 30, 225), stretched %v", i, p, q, ok)
		}
		if !slices.Equal(k.Bits.Words, NewGreyInk(k.W, k.H, k.Grey).Bits.Words) {
			t.Fatalf("scan %d: the cut at half does not follow the stretched levels", i)
		}
		after := Shape{Ink: k}.MeasureCourse(tr.course, tr.safe)
		if i == 0 && math.Abs(before.Width-tr.width) < 0.2 {
			t.Errorf("an unstretched scan reads %.2f for %.2f: this test cannot fail", before.Width, tr.width)
		}
		got.add(after, tr.width, nil)
	}
	t.Log(got.row())
	if got.lost > 0 || got.rms() > 0.05 || got.bad > 0.15 {
		t.Errorf("stretched scans: lost %d, rms %.3f (bound 0.05), worst %.3f (bound 0.15)", got.lost, got.rms(), got.bad)
	}
}

func TestStretchLevelsLeavesAlone(t *testing.T) {
	rng := rand.New(rand.NewPCG(20251, 1))
	clean := straightTrial(rng, 4, 15, 0.4)
	flat := func(v uint8, share float64) *Ink { // paper with a field of one grey
		grey := make([]uint8, 100*100)
		for i := range int(share * 10000) {
			grey[i] = v
		}
		return NewGreyInk(100, 100, grey)
	}
	shaded := make([]uint8, 256*64)
	for i := range shaded {
		shaded[i] = uint8(i % 256)
	}
	for name, k := range map[string]*Ink{
		"clean art":             clean.draw.ink(rendering{}),
		"blank":                 flat(0, 0),
		"solid black":           flat(255, 1),
		"a third grey on white": flat(85, 0.5),
		"middle grey ink":       flat(150, 0.5),
		"shading":               NewGreyInk(256, 64, shaded),
		"bilevel":               clean.draw.ink(rendering{bilevel: true}),
	} {
		before := slices.Clone(k.Grey)
		if found := StretchLevels(k); found != asTheyAre {
			t.Errorf("%s: stretched from %+v", name, found)
		}
		if !slices.Equal(before, k.Grey) {
			t.Errorf("%s: changed", name)
		}
	}
	// Dark grey solid ink on white is stretched: it was meant to be black.
	if found := StretchLevels(flat(220, 0.5)); found != (Levels{Ink: 220, Stretched: true}) {
		t.Errorf("ink of 220: %+v", found)
	}
}

// A line thinner than a pixel fills the same share of pixel after pixel where its
// slope is a simple fraction. That is no level of the ink: stretched, lines of
// 0.94 px read 1.07.
func TestStretchLevelsLeavesThinLinesAlone(t *testing.T) {
	for _, slope := range []float64{0, 1, 3.0 / 4, 1.0 / 2, 2.06, 1.07} {
		for _, w := range []float64{0.87, 0.94, 1.01, 1.15} {
			for _, film := range []bool{false, true} {
				d, c := square(80, 0.37)
				d.add(barPoly(c, math.Atan(slope), 60, w))
				k := d.ink(rendering{invert: film})
				before := slices.Clone(k.Grey)
				if found := StretchLevels(k); found.Stretched || !slices.Equal(before, k.Grey) {
					t.Errorf("a line of %g px at a slope of %.2f, film %v: stretched from %+v", w, slope, film, found)
				}
			}
		}
	}
}

// linearLight encodes coverage blended in linear light.
func linearLight(k *Ink) {
	for i, v := range k.Grey {
		l := 1 - float64(v)/255
		e := 12.92 * l
		if l > 0.0031308 {
			e = 1.055*math.Pow(l, 1/2.4) - 0.055
		}
		k.Grey[i] = uint8(math.Round(255 * (1 - e)))
	}
	*k.Bits = *NewGreyInk(k.W, k.H, k.Grey).Bits
}

func TestBlendLevelTellsLinearLight(t *testing.T) {
	rng := rand.New(rand.NewPCG(20252, 1))
	plain, undone := &tally{name: "linear light"}, &tally{name: "undone"}
	for i := range 30 {
		tr := straightTrial(rng, 3, 15, (float64(i%4)+uniform(rng, 0.1, 0.9))*math.Pi/4)
		k := tr.draw.ink(rendering{})
		if mean, n := BlendLevel(k); n < 80 || mean < 0.44 || mean > 0.56 {
			t.Errorf("picture %d, blended as encoded: mean %.3f of %d pixels", i, mean, n)
		}
		linearLight(k)
		if mean, _ := BlendLevel(k); mean > 0.43 {
			t.Errorf("picture %d, blended in linear light: mean %.3f", i, mean)
		}
		plain.add(Shape{Ink: k}.MeasureCourse(tr.course, tr.safe), tr.width, nil)
		UndoLinearLight(k)
		undone.add(Shape{Ink: k}.MeasureCourse(tr.course, tr.safe), tr.width, nil)
	}
	if plain.bias() > -0.3 {
		t.Errorf("linear light reads %+.2f: this test cannot fail", plain.bias())
	}
	if undone.rms() > 0.02 || undone.bad > 0.06 {
		t.Errorf("undone: rms %.3f, worst %.3f", undone.rms(), undone.bad)
	}
}

// Greys are counted eight pixels at a time, and in bands, as they are one by one.
func TestLevelsAreCountedByTheirTwins(t *testing.T) {
	rng := rand.New(rand.NewPCG(28, 5))
	for range 60 {
		w, h := 1+rng.IntN(90), 1+rng.IntN(300)
		grey := make([]uint8, w*h)
		for i := 0; i < len(grey); {
			v := uint8(rng.IntN(256))
			if rng.IntN(3) > 0 {
				v = uint8(rng.IntN(2)) * 255
			}
			for end := i + 1 + rng.IntN(40); i < min(end, len(grey)); i++ {
				grey[i] = v
				if rng.IntN(12) == 0 {
					grey[i] = uint8(rng.IntN(256))
				}
			}
		}
		k := NewGreyInk(w, h, grey)
		var want, blends [256]int
		for y := range h {
			for x := range w {
				v := grey[y*w+x]
				want[v]++
				if x == 0 || y == 0 || x+1 == w || y+1 == h || v <= levelClean || v >= 255-levelClean {
					continue
				}
				lo, hi := v, v
				for dy := -1; dy <= 1; dy++ {
					for dx := -1; dx <= 1; dx++ {
						u := grey[(y+dy)*w+x+dx]
						lo, hi = min(lo, u), max(hi, u)
					}
				}
				if lo <= levelClean && hi >= 255-levelClean {
					blends[v]++
				}
			}
		}
		got := countLevels(h, func(y int, count *[256]int) { countGreys(grey[y*w:(y+1)*w], count) })
		require.Equal(t, want, got)
		all, sum, n := 0, 0, 0
		for _, c := range blends {
			all += c
		}
		for v, c := range blends {
			c = min(c, 1+4*all/(255-2*levelClean))
			sum, n = sum+v*c, n+c
		}
		mean, count := BlendLevel(k)
		require.Equal(t, n, count)
		if n > 0 {
			require.Equal(t, float64(sum)/255/float64(n), mean)
		}
	}
}
