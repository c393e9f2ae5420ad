package raster

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// tally gathers errors of one set, in pixels.
type tally struct {
	name         string
	n, outside   int
	sum, sq, bad float64
	placeWorst   float64
	lost         int
	pm           []float64
	errs         []float64
	worstAt      int
	worstJudged  float64 // worst where plus_minus <= 0.5
}

func (t *tally) add(p Profile, width float64, place *Point) {
	t.n++
	if len(p.Sections) == 0 {
		t.lost++
		return
	}
	e := p.Width - width
	t.errs = append(t.errs, e)
	t.sum += e
	t.sq += e * e
	if math.Abs(e) > t.bad {
		t.bad, t.worstAt = math.Abs(e), t.n-1
	}
	if p.PlusMinus <= 0.5 {
		t.worstJudged = math.Max(t.worstJudged, math.Abs(e))
	}
	if math.Abs(e) > p.PlusMinus {
		t.outside++
	}
	t.pm = append(t.pm, p.PlusMinus)
	if place != nil {
		t.placeWorst = math.Max(t.placeWorst, dist(p.At, *place))
	}
}

func (t *tally) bias() float64 { return t.sum / float64(max(1, len(t.errs))) }
func (t *tally) rms() float64  { return math.Sqrt(t.sq / float64(max(1, len(t.errs)))) }

func (t *tally) row() string {
	slices.Sort(t.pm)
	med := 0.0
	if len(t.pm) > 0 {
		med = t.pm[len(t.pm)/2]
	}
	return fmt.Sprintf("| %s | %d | %+.3f | %.3f | %.3f | %d | %.2f | %.2f | lost %d, worst #%d |", t.name, t.n, t.bias(), t.rms(), t.bad, t.outside, med, t.placeWorst, t.lost, t.worstAt)
}

type accuracySet struct {
	name string
	n    int
	make func(rng *rand.Rand, i int) *trial
}

var greySets = []accuracySet{
	{"straight 1.5-20", 200, func(r *rand.Rand, i int) *trial {
		tr := straightTrial(r, 1.5, 20, float64(i)*math.Pi/200)
		tr.pic.invert, tr.measureFilm = i%2 == 1, i%2 == 1
		return tr
	}},
	{"on axes", 40, func(r *rand.Rand, i int) *trial { return straightTrial(r, 1.5, 20, float64(i%4)*math.Pi/4) }},
	{"crowded bar", 100, func(r *rand.Rand, i int) *trial { return crowdedTrial(r, false) }},
	{"crowded gap", 100, func(r *rand.Rand, i int) *trial { return filmOf(crowdedTrial(r, true)) }},
	{"arcs", 100, func(r *rand.Rand, i int) *trial { return arcTrial(r) }},
	{"rings", 40, func(r *rand.Rand, i int) *trial { return ringTrial(r, false) }},
	{"concentric", 40, func(r *rand.Rand, i int) *trial { return ringTrial(r, true) }},
	{"waists film", 75, func(r *rand.Rand, i int) *trial { return filmOf(waistTrial(r, 2, 10, 6, 40)) }},
	{"waists ink", 75, func(r *rand.Rand, i int) *trial { return inkOf(waistTrial(r, 2, 10, 6, 40)) }},
	{"blur 1", 30, func(r *rand.Rand, i int) *trial { return blurTrial(r, 1) }},
	{"blur 1.5", 30, func(r *rand.Rand, i int) *trial { return blurTrial(r, 1.5) }},
	{"blur 2", 30, func(r *rand.Rand, i int) *trial { return blurTrial(r, 2) }},
	{"blur 2.5", 30, func(r *rand.Rand, i int) *trial { return blurTrial(r, 2.5) }},
}

func runSet(set accuracySet, seed uint64, bilevel bool) *tally {
	rng := rand.New(rand.NewPCG(seed, 7))
	t := &tally{name: set.name}
	for i := 0; i < set.n; i++ {
		tr := set.make(rng, i)
		tr.pic.bilevel = bilevel
		t.add(tr.shape().MeasureCourse(tr.course, tr.safe), tr.width, tr.place)
	}
	return t
}

func TestAccuracyTable(t *testing.T) {
	for _, bilevel := range []bool{false, true} {
		fmt.Println("bilevel", bilevel)
		for _, set := range greySets {
			fmt.Println(runSet(set, 1, bilevel).row())
		}
	}
}
