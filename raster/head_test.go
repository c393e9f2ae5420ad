package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A ball that a narrow neck joins to a stem, as at the end of an r, or a chamber behind a
// mouth: the neck is a line, or a strip, however little the ball is over the limit.
func TestNeckBehindASmallHead(t *testing.T) {
	type tally struct{ n, missed, off int }
	var all [2]tally
	for seed := range uint64(600) {
		rng := rand.New(rand.NewPCG(seed, 85))
		bilevel := seed%3 == 0
		limit := uniform(rng, 3.6, 12)
		ball := uniform(rng, 1.2, 1.6) * limit
		neck := uniform(rng, 0.25, 0.6) * limit
		kind, set := Line, 0
		if neck = max(neck, 1.2); bilevel {
			neck, set = max(neck, 2), 1
		}
		if neck > 0.65*limit {
			continue
		}
		long := uniform(rng, 0.3, 1) * limit
		d, c := canvas(rng, 7*limit)
		a := rng.Float64() * 2 * math.Pi
		stem := polar(c, 2*limit, a+math.Pi) // far enough that its near side passes through c
		d.add(barPoly(stem, a+math.Pi/2, 8*limit, 4*limit))
		d.add(discPoly(polar(c, long+ball/2, a), ball/2))
		d.add(barPoly(polar(c, long/2, a), a, long+neck+2, neck))
		p := rendering{bilevel: bilevel}
		if seed%2 == 1 {
			kind, p.invert = Strip, true
		}
		r := Measure(d.ink(p), Request{Safe: [4]float64{limit, limit, limit, limit}, Bare: true})
		within := 0.35
		if bilevel {
			within = 1
		}
		s := &all[set]
		s.n++
		switch got := ofKind(r, kind); {
		case len(got) == 0:
			s.missed++
			t.Logf("seed %d: a neck of %.2f px, %.2f long, a ball of %.2f (%.2f limits), limit %.2f, bilevel %t, kind %v is missed", seed, neck, long, ball, ball/limit, limit, bilevel, kind)
		case math.Abs(got[0].Width-neck) > within+got[0].PlusMinus:
			s.off++
			t.Logf("seed %d: a neck of %.2f px, %.2f long, bilevel %t reads %.2f +- %.2f", seed, neck, long, bilevel, got[0].Width, got[0].PlusMinus)
		}
	}
	t.Logf("grey %+v, bilevel %+v", all[0], all[1])
	assert.LessOrEqual(t, all[0].missed, all[0].n/50)
	assert.LessOrEqual(t, all[1].missed, all[1].n/10)
	assert.LessOrEqual(t, all[0].off+all[1].off, 12)
}
