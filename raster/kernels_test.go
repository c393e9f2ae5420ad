package raster

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mask reads a plane drawn as text, # for set.
func mask(rows ...string) *Bits {
	b := NewBits(len(rows[0]), len(rows))
	for y, r := range rows {
		for x, c := range r {
			if c == '#' {
				b.Set(x, y)
			}
		}
	}
	return b
}

func picture(b *Bits) string {
	var s strings.Builder
	for y := range b.H {
		for x := range b.W {
			if b.Get(x, y) {
				s.WriteByte('#')
			} else {
				s.WriteByte('.')
			}
		}
		s.WriteByte('\n')
	}
	return s.String()
}

// random returns a mask of blots rather than noise, so that discs fit in it.
func random(r *rand.Rand, w, h int) *Bits {
	b := NewBits(w, h)
	for range 1 + w*h/150 {
		cx, cy, rr := r.IntN(w), r.IntN(h), r.IntN(6)
		for y := range h {
			for x := range w {
				if (x-cx)*(x-cx)+(y-cy)*(y-cy) <= rr*rr {
					b.Set(x, y)
				}
			}
		}
	}
	for range w * h / 40 {
		b.Clear(r.IntN(w), r.IntN(h))
	}
	return b
}

// slowErode is the definition: no clear pixel within r, centre to centre.
func slowErode(b *Bits, r float64) *Bits {
	out := NewBits(b.W, b.H)
	for y := range b.H {
		for x := range b.W {
			ok := true
			for v := range b.H {
				for u := range b.W {
					d := float64((u-x)*(u-x) + (v-y)*(v-y))
					ok = ok && (b.Get(u, v) || d > r*r)
				}
			}
			if ok {
				out.Set(x, y)
			}
		}
	}
	return out
}

func slowDilate(b *Bits, r float64) *Bits {
	out := NewBits(b.W, b.H)
	for y := range b.H {
		for x := range b.W {
			for v := range b.H {
				for u := range b.W {
					if b.Get(u, v) && float64((u-x)*(u-x)+(v-y)*(v-y)) <= r*r {
						out.Set(x, y)
					}
				}
			}
		}
	}
	return out
}

func TestErodeDilateAgainstDefinition(t *testing.T) {
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 1))
		w, h := 1+r.IntN(150), 1+r.IntN(40)
		b := random(r, w, h)
		rad := float64(r.IntN(60)) / 8
		require.Equal(t, picture(slowErode(b, rad)), picture(Erode(b, rad)), "seed %d: %d x %d, r %g", seed, w, h, rad)
		require.Equal(t, picture(slowDilate(b, rad)), picture(Dilate(b, rad)), "seed %d: %d x %d, r %g", seed, w, h, rad)
		o := Open(b, rad)
		require.Equal(t, picture(o), picture(Open(o, rad)), "opening twice is opening once, seed %d", seed)
		for i, v := range o.Words {
			require.Zero(t, v&^b.Words[i], "an opening takes away only, seed %d", seed)
		}
	}
}

// Wide planes with little on them, or little clear, in which most words are passed
// over, under discs from less than a pixel to more than a word.
func TestSparseErodeDilate(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 28))
	radii := []float64{0.5, 1, 2.3, 4.34, 9, 31.5, 63, 64, 70}
	stamped := func(b *Bits, rad float64) *Bits { // a disc on every pixel, row by row
		out := NewBits(b.W, b.H)
		for y := range b.H {
			for x := range b.W {
				for v := max(0, y-int(rad)); b.Get(x, y) && v <= min(b.H-1, y+int(rad)); v++ {
					half := int(math.Sqrt(rad*rad-float64((v-y)*(v-y))) + 1e-9)
					fillRun(out.Row(v), max(0, x-half), min(b.W, x+half+1), true)
				}
			}
		}
		return out
	}
	for i := range 45 {
		b := NewBits(200+r.IntN(700), 1+r.IntN(120))
		for range r.IntN(8) {
			x, y := r.IntN(b.W), r.IntN(b.H)
			for v := y; v < min(b.H, y+1+r.IntN(60)); v++ {
				fillRun(b.Row(v), x, min(b.W, x+1+r.IntN(150)), true)
			}
		}
		if i%2 == 1 {
			b.Complement()
		}
		rad := radii[i%len(radii)]
		require.Equal(t, stamped(b, rad).Words, Dilate(b, rad).Words, "plane %d, r %g", i, rad)
		rest := b.Clone()
		rest.Complement()
		rest = stamped(rest, rad)
		rest.Complement()
		e := NewBits(b.W, b.H)
		for y, n := range erodeInto(e, b, rad) {
			require.Len(t, rowRuns(nil, e.Row(y), int32(y)), int(n))
		}
		require.Equal(t, rest.Words, e.Words, "plane %d, r %g", i, rad)
		k, part := random(r, b.W, b.H), Erode(b, rad/2)
		rims, counts := uncovered(k, b, part, rad)
		for y, n := range counts {
			require.Len(t, rowRuns(nil, k.Row(y), int32(y)), int(n))
		}
		if rims != nil {
			require.Equal(t, rimWords(b, part).Words, rims.Words)
		} else {
			require.GreaterOrEqual(t, rad, 64.0)
		}
		want := stamped(part, rad)
		counts = subtract(want, b, want)
		for y, n := range counts {
			require.Len(t, rowRuns(nil, want.Row(y), int32(y)), int(n))
		}
		require.Equal(t, want.Words, k.Words, "plane %d, r %g", i, rad)
	}
}

func TestDiscByHand(t *testing.T) {
	b := NewBits(7, 7)
	b.Set(3, 3)
	// Radius 2.5: 6.25 covers (1,2) at 5 and not (2,2) at 8.
	assert.Equal(t, picture(mask(
		".......",
		"..###..",
		".#####.",
		".#####.",
		".#####.",
		"..###..",
		".......")), picture(Dilate(b, 2.5)))
}

// slowLabel floods pixel by pixel.
func slowLabel(b *Bits, eight bool) (n int, id []int) {
	id = make([]int, b.W*b.H)
	for y := range b.H {
		for x := range b.W {
			if !b.Get(x, y) || id[y*b.W+x] != 0 {
				continue
			}
			n++
			stack := [][2]int{{x, y}}
			id[y*b.W+x] = n
			for len(stack) > 0 {
				p := stack[len(stack)-1]
				stack = stack[:len(stack)-1]
				for dy := -1; dy <= 1; dy++ {
					for dx := -1; dx <= 1; dx++ {
						X, Y := p[0]+dx, p[1]+dy
						if (eight || dx == 0 || dy == 0) && b.Get(X, Y) && id[Y*b.W+X] == 0 {
							id[Y*b.W+X] = n
							stack = append(stack, [2]int{X, Y})
						}
					}
				}
			}
		}
	}
	return n, id
}

// slowRunsOf picks the runs of a piece out of all.
func slowRunsOf(p *Pieces, i int) (list []run) {
	for _, r := range p.runs {
		if int(r.piece) == i {
			list = append(list, r)
		}
	}
	return list
}

func TestLabelAgainstFlood(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 2))
		b := random(r, 1+r.IntN(200), 1+r.IntN(50))
		for _, eight := range []bool{true, false} {
			n, id := slowLabel(b, eight)
			p := labelIn(b, eight, nil, 1+int(seed%5))
			require.Len(t, p.List, n, "seed %d eight %v", seed, eight)
			area := make([]int, n+1)
			cracks := make([]int, n+1)
			for y := range b.H {
				for x := range b.W {
					k := id[y*b.W+x]
					require.Equal(t, k-1, p.At(x, y), "seed %d eight %v at %d,%d", seed, eight, x, y)
					if k == 0 {
						continue
					}
					area[k]++
					for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
						if !b.Get(x+d[0], y+d[1]) {
							cracks[k]++
						}
					}
				}
			}
			for i := range p.List {
				require.Equal(t, slowRunsOf(p, i), p.appendRuns(nil, i))
			}
			// Holes of a piece: pieces of the other side, the outside aside.
			for i, c := range p.List {
				require.Equal(t, area[i+1], c.Area)
				require.Equal(t, cracks[i+1], c.Cracks)
				only := NewBits(b.W+2, b.H+2)
				for y := range b.H {
					for x := range b.W {
						if id[y*b.W+x] != i+1 {
							continue
						}
						only.Set(x+1, y+1)
					}
				}
				only.Complement()
				holes, _ := slowLabel(only, !eight)
				require.Equal(t, holes-1, c.Holes, "seed %d eight %v piece %d", seed, eight, i)
			}
		}
	}
}

// TestThinKeepsTopology counts pieces and holes before and after, with a random
// part held, and asks that nothing more could go.
func TestThinKeepsTopology(t *testing.T) {
	for seed := range uint64(80) {
		r := rand.New(rand.NewPCG(seed, 3))
		b := random(r, 3+r.IntN(180), 3+r.IntN(60))
		for _, eight := range []bool{true, false} {
			pin := Erode(b, 2)
			s := b.Clone()
			// A piece of two pixels may vanish: hold one pixel of each piece.
			for _, c := range Label(b, eight).List {
				pin.Set(c.SeedX, c.SeedY)
			}
			thinIn(s, pin, eight, nil, 0)
			for i := range s.Words {
				require.Zero(t, s.Words[i]&^b.Words[i])
				require.Zero(t, pin.Words[i]&^s.Words[i])
			}
			count := func(m *Bits) (pieces, holes int) {
				p := Label(m, eight)
				for _, c := range p.List {
					holes += c.Holes
				}
				return len(p.List), holes
			}
			p0, h0 := count(b)
			p1, h1 := count(s)
			require.Equal(t, []int{p0, h0}, []int{p1, h1}, "seed %d eight %v", seed, eight)
			for y := range s.H {
				for x := range s.W {
					if s.Get(x, y) && !pin.Get(x, y) {
						require.False(t, slowSimple(s, x, y, eight), "seed %d eight %v: %d,%d could still go", seed, eight, x, y)
					}
				}
			}
		}
	}
}

// slowThin is the definition: side by side, all pixels at once that are not
// pinned, have nothing on that side and are simple.
func slowThin(s, pin *Bits, eight bool) {
	for changed := true; changed; {
		changed = false
		for _, d := range [4][2]int{{0, -1}, {0, 1}, {-1, 0}, {1, 0}} {
			var gone [][2]int
			for y := range s.H {
				for x := range s.W {
					if s.Get(x, y) && !pin.Get(x, y) && !s.Get(x+d[0], y+d[1]) && slowSimple(s, x, y, eight) {
						gone = append(gone, [2]int{x, y})
					}
				}
			}
			for _, q := range gone {
				s.Clear(q[0], q[1])
				changed = true
			}
		}
	}
}

// However many bands a round is cut into, also of no rows, it does what the
// definition says.
func TestThinIsItsDefinitionInAnyBands(t *testing.T) {
	for seed := range uint64(48) {
		r := rand.New(rand.NewPCG(seed, 4))
		w := 3 + r.IntN(180)
		if seed%2 == 1 { // a word a row
			w = 1 + w%64
		}
		b := random(r, w, 1+r.IntN(50))
		if seed%3 == 0 {
			b.Complement()
		}
		for _, eight := range []bool{true, false} {
			pin := Erode(b, 1+3*r.Float64())
			want := b.Clone()
			slowThin(want, pin, eight)
			for _, bands := range []int{0, 1, 2, 3, 7, 20} {
				got := b.Clone()
				var rims *Bits
				if bands%2 == 1 {
					rims = rimWords(got, pin)
				}
				thinIn(got, pin, eight, rims, bands)
				require.Equal(t, picture(want), picture(got), "seed %d eight %v, %d bands", seed, eight, bands)
			}
		}
	}
}

// rimWords tells, a bit a word, where b has more than e.
func rimWords(b, e *Bits) *Bits {
	rims := NewBits(b.Stride, b.H)
	for i, w := range b.Words {
		if w&^e.Words[i] != 0 {
			rims.Set(i%b.Stride, i/b.Stride)
		}
	}
	return rims
}

// slowSimple is the definition on the 3x3 square: taking the pixel off leaves
// the number of pieces of its own side next to it at one, and it touches the
// other side.
func slowSimple(b *Bits, x, y int, eight bool) bool {
	own, other := NewBits(3, 3), NewBits(3, 3)
	for j := range 3 {
		for i := range 3 {
			if i == 1 && j == 1 {
				continue
			}
			if b.Get(x+i-1, y+j-1) {
				own.Set(i, j)
			} else {
				other.Set(i, j)
			}
		}
	}
	side := func(m *Bits) bool { return m.Get(1, 0) || m.Get(0, 1) || m.Get(2, 1) || m.Get(1, 2) }
	if !side(other) {
		return false
	}
	n, id := slowLabel(own, eight)
	if eight {
		return n == 1
	}
	seen := map[int]bool{}
	for _, q := range [4]int{1, 3, 5, 7} {
		if id[q] != 0 {
			seen[id[q]] = true
		}
	}
	return len(seen) == 1
}

// TestBandsAndProcessors: the same whatever the cut into bands.
func TestErodeSameForAnyBands(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	b := random(r, 300, 700)
	whole := Erode(b, 4.5)
	// One processor makes one band.
	withProcs(1, func() { assert.Equal(t, whole.Words, Erode(b, 4.5).Words) })
	withProcs(8, func() { assert.Equal(t, whole.Words, Erode(b, 4.5).Words) })
}

func requireSamePieces(t *testing.T, want, got *Pieces) {
	t.Helper()
	require.Equal(t, want.List, got.List)
	require.Equal(t, want.rows, got.rows)
	require.Equal(t, want.runs, got.runs)
	require.Equal(t, want.first, got.first)
	require.Equal(t, want.next, got.next)
}

// What pieces leave of their plane is labelled as it is from the plane, and what some
// of them leave.
func TestGapsAgainstLabel(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 28))
	for i := range 80 {
		b, eight := random(r, 1+r.IntN(200), 1+r.IntN(700)), i%2 == 0
		p := Label(b, !eight)
		same := func(got *Pieces) {
			rest := b.Clone()
			rest.Complement()
			requireSamePieces(t, Label(rest, eight), got)
		}
		same(p.gaps(b.W, nil, eight))
		ok := make([]bool, len(p.List))
		for j := range ok {
			ok[j] = r.IntN(3) > 0
		}
		p.keep(b, ok)
		same(p.gaps(b.W, ok, eight))
	}
}

// Pieces taken off the list leave what labelling anew gives.
func TestWithout(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 12))
	for i := range 60 {
		b := random(r, 40+r.IntN(90), 300+r.IntN(300))
		eight := i%2 == 0
		p := Label(b, eight)
		ok := make([]bool, len(p.List))
		for j := range ok {
			ok[j] = r.IntN(3) > 0
		}
		p.keep(b, ok)
		p.without(ok)
		requireSamePieces(t, Label(b, eight), p)
	}
}
