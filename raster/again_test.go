package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// wavy draws an arc round c from angle a to b whose width swells and shrinks; b-a of a
// whole turn or more is a ring.
func wavy(d *drawing, c Point, radius, width, swell float64, waves int, a, b float64) {
	ring := b-a >= 2*math.Pi
	var out, in []Point
	for i := range 361 {
		t := a + (b-a)*float64(i)/360
		if ring && i == 360 {
			break
		}
		w := width + swell*math.Cos(float64(waves)*t)
		out, in = append(out, polar(c, radius+w/2, t)), append(in, polar(c, radius-w/2, t))
	}
	if ring {
		d.add(out)
		d.hole(in)
		return
	}
	for i := range in {
		out = append(out, in[len(in)-1-i])
	}
	d.add(out)
}

// Centre lines met again under another limit give what measuring them anew gives: rings and
// arcs of one width and of many, with ends and with blocks to run into, under limits that
// grow and shrink, in grey and in whole pixels, on both sides. (Across a spoke a width
// reaches farther than smaller limits look.)
func TestCentreLinesMetAgainChangeNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(28, 11))
	again, anew, rounds := 0, 0, 24
	if testing.Short() {
		rounds = 6
	}
	for round := range rounds {
		d := &drawing{w: 330, h: 330}
		c := Point{165 + rng.Float64(), 165 + rng.Float64()}
		for radius := 30.0; radius < 150; radius += uniform(rng, 16, 34) {
			from, to := 0.0, 2*math.Pi
			if rng.IntN(2) == 0 {
				from = rng.Float64() * 6
				to = from + uniform(rng, 2, 5.5)
			}
			wavy(d, c, radius, uniform(rng, 2, 8), uniform(rng, 0, 1.5), 1+rng.IntN(5), from, to)
		}
		for range rng.IntN(4) {
			d.add(discPoly(polar(c, uniform(rng, 40, 140), rng.Float64()*6), uniform(rng, 8, 30)))
		}
		for range rng.IntN(5) { // across the rings
			a, r, l, w := rng.Float64()*6, uniform(rng, 40, 120), uniform(rng, 15, 35), uniform(rng, 1.2, 3)
			d.add([]Point{turned(polar(c, r-l, a), a, 0, -w), turned(polar(c, r+l, a), a, 0, -w), turned(polar(c, r+l, a), a, 0, w), turned(polar(c, r-l, a), a, 0, w)})
		}
		k := d.ink(rendering{bilevel: round%2 == 0, invert: round%4 > 1, blur: max(0, uniform(rng, -1, 1.2))})
		known := &Known{Reach: 40}
		seen := map[*centreLine]bool{}
		for _, line := range []float64{20, 14, 9, 11, 6, 5.5, 4, 8} {
			req := Request{Safe: [4]float64{line, line * 4 / 3, line * 4 / 3, line * 8 / 3}}
			own := Measure(k, req)
			req.Known = known
			got := Measure(k, req)
			assert.Equal(t, own, got, "round %d, limit %g", round, line)
			for _, l := range known.laid {
				for _, side := range []*plane{&l.film, &l.ink} {
					for _, c := range side.lines.now {
						if seen[c] {
							again++
						} else {
							anew++
						}
						seen[c] = true
					}
				}
			}
		}
	}
	t.Logf("%d met again, %d anew", again, anew)
	assert.Greater(t, again, 20*rounds)
	assert.Greater(t, anew, 20*rounds)
}

// The ends of a piece without E are found once for all reaches down to the least that they
// speak for: a comb of teeth as long and longer has more the shorter the reach.
func TestEndsOfPiecesWithoutEAreKnown(t *testing.T) {
	rng := rand.New(rand.NewPCG(28, 12))
	met := 0
	for round := range 30 {
		shape := NewBits(160, 120)
		fill := func(x0, y0, x1, y1 int, set bool) {
			for y := y0; y < y1; y++ {
				fillRun(shape.Row(y), x0, x1, set)
			}
		}
		end := 30 + rng.IntN(110)
		fill(20, 50, end, 54, true)
		for x := 22; x < end-4; x += 9 + rng.IntN(12) {
			fill(x, 54, x+3, 54+rng.IntN(40), true)
		}
		if round%3 == 0 { // a ring at its end
			fill(3, 42, 21, 62, true)
			fill(7, 46, 17, 58, false)
		}
		film := round%2 == 0
		known := []*pieceEnds{nil}
		for range 8 {
			reach := uniform(rng, 4, 40)
			find := func(ends []*pieceEnds) []tip {
				pieces := Label(shape, !film)
				p := &partition{shape: shape, k: shape.Clone(), film: film, pieces: pieces, hasE: []bool{false}, skip: []bool{false}, ends: ends}
				p.findTips(reach)
				return p.tips
			}
			if _, ok := known[0].under(reach); ok {
				met++
			}
			assert.Equal(t, find(nil), find(known), "round %d, reach %g", round, reach)
		}
	}
	t.Logf("%d known", met)
	assert.Greater(t, met, 60)
}

// A course too long to be remembered does not keep shorter ones from it.
func TestLongCoursesLeaveRoomForShortOnes(t *testing.T) {
	a := &centreLines{}
	a.next()
	put := func(n int, y float64) bool {
		c := Course{}
		for x := range n {
			c.Path = append(c.Path, Point{float64(x), y})
		}
		m := &measurer{f: &sampler{}}
		l := a.put(c, &strand{p: c.Path, dir: c.Path, st: make([]station, n)}, m)
		return a.get(c, m.f, 10) == l
	}
	assert.True(t, put(againLeast, 0))
	assert.False(t, put(againMost/80, 1))
	for i := range 100 {
		assert.True(t, put(1000, float64(2+i)))
	}
	assert.LessOrEqual(t, a.size, againMost)
}

// What was seen under one limit is seen under another where all that was found lies within
// both, and under a larger one where there was nothing not found.
func TestSeenUnderAnotherLimit(t *testing.T) {
	for _, c := range []struct {
		seen  seenTo
		limit float64
		want  bool
	}{
		{seenTo{limit: 30, far: 10}, 30, true},
		{seenTo{limit: 30, far: 10}, 24, true},
		{seenTo{limit: 30, far: 25}, 24, false},
		{seenTo{limit: 30, far: 10}, 40, true},
		{seenTo{limit: 30, far: 10, none: true}, 40, false},
		{seenTo{limit: 30, far: 10, none: true}, 24, true},
	} {
		assert.Equal(t, c.want, c.seen.under(c.limit), "%+v under %g", c.seen, c.limit)
	}
}

// The shortest chord of all is the shortest under any length that it is under.
func TestChordUnderAnotherLength(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		seen           chordSeen
		most, farthest float64
		want           float64
		known          bool
	}{
		{chordSeen{}, 5, 100, 0, false},
		{chordSeen{looked: true, most: 5, chord: 3}, 5, 100, 3, true},
		{chordSeen{looked: true, most: 5, chord: 3}, 9, 100, 3, true},
		{chordSeen{looked: true, most: 5, chord: 3}, inf, 100, 3, true},
		{chordSeen{looked: true, most: 5, chord: 3}, 3, 100, inf, true},
		{chordSeen{looked: true, most: 5, chord: 3}, 9, 2, 0, false},
		{chordSeen{looked: true, most: 5, chord: 3}, 2, 2, inf, true},
		{chordSeen{looked: true, most: 5, chord: inf}, 4, 100, inf, true},
		{chordSeen{looked: true, most: 5, chord: inf}, 6, 100, inf, false},
		{chordSeen{looked: true, most: 5, chord: inf}, inf, 4, inf, true},
		{chordSeen{looked: true, most: 5, chord: inf}, inf, 4.6, inf, false},
		{chordSeen{looked: true, most: 5, chord: inf}, inf, 6, inf, false},
	} {
		got, known := c.seen.under(c.most, c.farthest)
		assert.Equal(t, c.known, known, "%+v", c)
		if known {
			assert.Equal(t, c.want, got.chord, "%+v", c)
		}
	}
}
