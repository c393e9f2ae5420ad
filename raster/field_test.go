package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Distances by relaxing every pixel until nothing changes, against the queue,
// with the piece's box written out and without.
func TestFieldIsTheShortestWay(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	for range 8 {
		b := NewBits(50, 36)
		for y := range b.H {
			for x := range b.W {
				if rng.Float64() < 0.68 {
					b.Set(x, y)
				}
			}
		}
		ps := Label(b, true)
		for i := range ps.List {
			if ps.List[i].Area < 5 {
				continue
			}
			f, done := newField(ps, i)
			g, _ := newField(ps, i)
			g.box(false, 0)
			require.True(t, f.boxed)
			var starts []int32
			for range 3 {
				starts = append(starts, int32(rng.IntN(f.pixels())))
			}
			want := map[[2]int]float32{}
			require.Equal(t, ps.List[i].Area, f.pixels())
			for n := range f.pixels() {
				x, y := f.place(f.id(n))
				X, Y := g.place(g.id(n))
				require.Equal(t, [2]int{x, y}, [2]int{X, Y})
				require.True(t, b.Get(x, y))
				require.Equal(t, f.id(n), f.at(x, y))
				require.Equal(t, g.id(n), g.at(x, y))
				want[[2]int{x, y}] = math.MaxFloat32
			}
			for _, n := range starts {
				x, y := g.place(n)
				want[[2]int{x, y}] = 0
				f.start(f.id(int(n)))
				g.start(n)
			}
			f.spread()
			g.spread()
			for again := true; again; {
				again = false
				for at, d := range want {
					for dy := -2; dy <= 2; dy++ {
						for dx := -2; dx <= 2; dx++ {
							n := dx*dx + dy*dy
							if n != 1 && n != 2 && n != 5 {
								continue
							}
							to := [2]int{at[0] + dx, at[1] + dy}
							old, ok := want[to]
							if !ok {
								continue
							}
							if _, mid := want[[2]int{at[0] + dx/2, at[1] + dy/2}]; n == 5 && !mid {
								continue
							}
							if e := d + float32(math.Sqrt(float64(n))); e < old {
								want[to], again = e, true
							}
						}
					}
				}
			}
			for n := range f.pixels() {
				x, y := g.place(int32(n))
				require.Equal(t, want[[2]int{x, y}], g.dist[n])
				require.Equal(t, g.dist[n], f.dist[f.id(n)])
			}
			far := f.farthest()
			require.Equal(t, g.dist[g.farthest()], f.dist[far])
			require.Equal(t, far, f.id(int(g.farthest())))
			done()
		}
	}
}

// What within says is near is, by the distances along the piece, on planes of both sides.
func TestWithinReach(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 28))
	near, far := 0, 0
	for i := range 400 {
		b, eight := blobs(rng, 62, 20+rng.IntN(50)), i%2 == 0
		ps := Label(b, eight)
		for j := range ps.List {
			fl, done := newField(ps, j)
			whole, core := make([]uint64, b.H), make([]uint64, b.H)
			for n := range fl.pixels() {
				x, y := fl.place(fl.id(n))
				whole[y] |= 2 << x
				if rng.IntN(1+i%40) == 0 {
					core[y] |= 2 << x
					fl.start(fl.id(n))
				}
			}
			fl.spread()
			reach := 1 + 9*rng.Float64()
			most := float64(fl.dist[fl.farthest()])
			if within(whole, core, eight, reach) {
				near++
				require.Less(t, most, reach)
			} else if most >= reach {
				far++
			}
			done()
		}
	}
	t.Log(near, "near,", far, "far")
	assert.Greater(t, near, 300)
	assert.Greater(t, far, 100)
}
