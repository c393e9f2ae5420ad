package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A disc fits in a piece if the erosion has a pixel of it.
func TestRoomyIsTheErosion(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 11))
	fit, none := 0, 0
	for range 300 {
		b := random(rng, 1+rng.IntN(150), 1+rng.IntN(90))
		eight := rng.IntN(2) == 0
		if eight {
			b.Complement()
		}
		p, radius := Label(b, eight), 6*rng.Float64()
		want := make([]bool, len(p.List))
		e := Erode(b, radius)
		for y := range b.H {
			for x := range b.W {
				if e.Get(x, y) {
					want[p.At(x, y)] = true
				}
			}
		}
		got := p.roomy(b, radius, nil)
		require.Equal(t, want, got, "%dx%d, radius %g", b.W, b.H, radius)
		for i, ok := range p.roomy(b, radius, func(i int) bool { return i%2 == 0 }) {
			require.Equal(t, want[i] && i%2 != 0, ok)
		}
		for _, ok := range want {
			if ok {
				fit++
			} else {
				none++
			}
		}
	}
	assert.Greater(t, fit, 500)
	assert.Greater(t, none, 500)
}

// What slender takes for no dot measures as none, and what stout takes for one as one, on fine, equal and reduced
// grids, grey and bilevel; and it takes most pieces that are none.
func TestSlenderIsNoDot(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 17))
	dots, fat, slim, other := 0, 0, 0, 0
	pictures := 250
	if testing.Short() {
		pictures = 60
	}
	for range pictures {
		size := 4 + 56*rng.Float64()
		pic := &drawing{w: int(4*size) + 8, h: int(4*size) + 8}
		mid := Point{2*size + 4 + rng.Float64(), 2*size + 4 + rng.Float64()}
		turn := math.Pi * rng.Float64()
		switch rng.IntN(4) {
		case 0: // an ellipse, as dots begin to be lines
			var oval []Point
			long := 1 + 5*rng.Float64()
			for i := range 60 {
				s, c := math.Sincos(float64(i) * math.Pi / 30)
				oval = append(oval, turned(mid, turn, size/2*c*math.Min(1, long/3), size/2*s/math.Max(1, long)))
			}
			pic.add(oval)
		case 1:
			pic.add(barPoly(mid, turn, size, size/(1+7*rng.Float64())))
		case 2: // a cross
			thick := size / (1.5 + 8*rng.Float64())
			pic.add(barPoly(mid, turn, size, thick))
			pic.add(barPoly(mid, turn+1.2, size, thick))
		default: // a ring
			pic.add(discPoly(mid, size/2))
			pic.hole(discPoly(mid, size/2*math.Sqrt(rng.Float64())))
		}
		pic.both(func(k *Ink, bilevel bool) {
			grids := []*scene{lay(k, 1+4*rng.Float64(), 12), lay(k, 9, 9), layOn(k, 1, 2+rng.IntN(2), keepFilm, 20, nil)}
			for _, s := range grids {
				s.turn()
				for i := range s.pieces.List {
					b := s.blob(Shape{Ink: k}, i)
					dot := b.Width > 0 && b.Extent < dotExtent*b.Disc
					// What hangs together on the grid alone may be entered at a crumb.
					if b.Extent < 3*s.leastDot(i)-1 {
						continue
					}
					_, stout := s.stout(i)
					require.False(t, !dot && stout, "%v, bilevel %v: extent %.2f, disc %.2f", s.g, bilevel, b.Extent, b.Disc)
					if stout {
						fat++
					}
					slender := s.slender(i)
					require.False(t, dot && slender, "%v, bilevel %v: extent %.2f, disc %.2f", s.g, bilevel, b.Extent, b.Disc)
					switch {
					case dot:
						dots++
					case slender:
						slim++
					default:
						other++
					}
				}
			}
		})
	}
	t.Log(dots, "dots,", fat, "stout,", slim, "slender,", other, "others")
	assert.Greater(t, dots, pictures)
	assert.Greater(t, slim, pictures)
}

// Once a disc leaves no piece to look in, no larger one finds anything either: the
// search for the finest may end there.
func TestIdleStaysIdle(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 18))
	ended, after := 0, 0
	for range 60 {
		pic := &drawing{w: 160, h: 160}
		for range 1 + rng.IntN(7) {
			mid := Point{25 + 110*rng.Float64(), 25 + 110*rng.Float64()}
			size := 4 + 30*rng.Float64()*rng.Float64()
			pic.add(discPoly(mid, size/2))
			if rng.IntN(3) == 0 { // two that grow together: a waist, in what may be a dot
				pic.add(discPoly(Point{mid.X + size*rng.Float64(), mid.Y}, size/2))
			}
		}
		pic.both(func(k *Ink, bilevel bool) {
			var judged []judgedPiece
			idle := false
			for d := 4.0; d < 240; d *= finestStep {
				s := layCoarse(k, d, d, Line)
				s.turn()
				s.last, s.judged = d/finestStep, judged
				notDot := s.notDots(d)
				judged = s.judged
				found := s.part(d, d, s.last, notDot)
				if idle {
					after++
					require.Empty(t, found.features)
					require.True(t, found.idle)
				}
				if idle = found.idle; idle {
					ended++
				}
			}
		})
	}
	t.Log(ended, "idle,", after, "after one")
	assert.Greater(t, after, 200)
}
