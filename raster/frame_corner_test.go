package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The corner of a frame turned any way is no narrower than its sides: a single pixel that
// sticks out there is none of its width.
func TestFramesAtOddAngles(t *testing.T) {
	rng := rand.New(rand.NewPCG(heldOut, 77))
	off := 0
	const n = 100
	for i := range n {
		wide := uniform(rng, 2.7, 6)
		d, c := canvas(rng, 90)
		sin, cos := math.Sincos(uniform(rng, 1, 89) * math.Pi / 180)
		w, h := uniform(rng, 30, 60), uniform(rng, 30, 60)
		box := func(in float64) (pts []Point) {
			for _, p := range [4]Point{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
				x, y := p.X*(w-in), p.Y*(h-in)
				pts = append(pts, Point{c.X + x*cos - y*sin, c.Y + x*sin + y*cos})
			}
			return pts
		}
		d.add(box(0))
		d.hole(box(wide))
		safe := wide * uniform(rng, 0.75, 1.5)
		res := Measure(d.ink(rendering{bilevel: true}), Request{Safe: [4]float64{safe, safe, safe, safe}})
		if got := res.Finest[Line]; !got.Found || math.Abs(got.Width-wide) > 0.7 {
			off++
			t.Logf("%d: a frame of %.2f px, limit %.2f, reads %.2f", i, wide, safe, got.Width)
		}
	}
	t.Logf("%d of %d off by more than 0.7 px", off, n)
	assert.LessOrEqual(t, off, 1)
}

// An outlined star is as wide as its line all round, at its bends too, as ink and as film.
// (Its sharp points and what is thinner than a quarter less are other matters.)
func TestOutlinedStars(t *testing.T) {
	rng := rand.New(rand.NewPCG(heldOut, 78))
	off := 0
	const n = 240
	for i := range n {
		wide := uniform(rng, 3, 6)
		points, size := 4+rng.IntN(5), uniform(rng, 40, 80)
		d, c := canvas(rng, size+12)
		inner, turn := size*uniform(rng, 0.5, 0.75), uniform(rng, 0, 2*math.Pi)
		var outline []Point
		for k := range 2 * points {
			r := size
			if k%2 == 1 {
				r = inner
			}
			sin, cos := math.Sincos(turn + float64(k)*math.Pi/float64(points))
			outline = append(outline, Point{c.X + r*cos, c.Y + r*sin})
		}
		d.add(outline)
		d.hole(insetBy(outline, wide))
		ink, kind := d.ink(rendering{bilevel: true}), Line
		if i%2 == 1 {
			ink.Invert()
			kind = Strip
		}
		safe := wide * uniform(rng, 1.2, 1.9)
		res := Measure(ink, Request{Safe: [4]float64{safe, safe, safe, safe}, Bare: true})
		require.True(t, res.Finest[kind].Found || kind == Strip && res.Finest[Island].Found)
		if got := res.Finest[kind]; got.Found && got.Width < 0.75*wide { // (a ring of film is an island as well)
			off++
			t.Logf("%d: a star outlined by %.2f px, limit %.2f, reads %.2f+-%.2f", i, wide, safe, got.Width, got.PlusMinus)
		}
	}
	t.Logf("%d of %d off by more than a quarter", off, n)
	assert.LessOrEqual(t, off, 1)
}

// insetBy is a polygon whose sides lie by px within those of another, which turns to the right.
func insetBy(outline []Point, by float64) (in []Point) {
	n := len(outline)
	side := func(a, b Point) Point { return normal(unit(Point{b.X - a.X, b.Y - a.Y})) }
	for i, p := range outline {
		a, b := side(outline[(i+n-1)%n], p), side(p, outline[(i+1)%n])
		far := by / (1 + a.X*b.X + a.Y*b.Y)
		in = append(in, Point{p.X + (a.X+b.X)*far, p.Y + (a.Y+b.Y)*far})
	}
	return in
}

// The last pixel of a wedge between a line and what it runs into hangs on by its corner
// alone. It is a speck, and the line beside it is as wide as ever: between the pixel and the
// wedge it read root 2 for 6.2.
func TestLastPixelOfAWedge(t *testing.T) {
	k := bilevelOf(fromText(
		".........................",
		"........################.",
		"........################.",
		".........###############.",
		".........###############.",
		"..........##############.",
		"..........##############.",
		"..........##############.",
		"...........#############.",
		"...........#############.",
		"............############.",
		".#..........############.",
		".###.........###########.",
		".####........###########.",
		".#####........##########.",
		".#######......##########.",
		".########.....##########.",
		".#########.....#########.",
		".###########...#########.",
		"...##########...#######..",
		"....##########..#######..",
		".....###########.######..",
		".......################..",
		"........###############..",
		".........##############..",
		"...........############..",
		"............###########..",
		".............##########..",
		"...............#######...",
		".........................",
	))
	r := Measure(k, Request{Safe: [4]float64{10.2, 3, 10.2, 3}, Bare: true})
	require.True(t, r.Finest[Line].Found)
	assert.InDelta(t, 6.2, r.Finest[Line].Width, 0.3)
}
