package raster

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A piece by its words is thinned to what the plane it lies on is, and is as near to what
// is left.
func TestSparseIsThePlane(t *testing.T) {
	nearOnes := 0
	for seed := range uint64(24) {
		r := rand.New(rand.NewPCG(seed, 12))
		b := blobs(r, 70+r.IntN(200), 20+r.IntN(120))
		if seed%3 == 0 {
			b.Complement()
		}
		for _, eight := range []bool{true, false} {
			all := Label(b, eight)
			for i := range all.List {
				runs := all.appendRuns(nil, i)
				plane, pin := NewBits(b.W, b.H), NewBits(b.W, b.H)
				s, done := newSparse(runs)
				for _, q := range runs {
					fillRun(plane.Row(int(q.y)), int(q.x0), int(q.x1), true)
					for x := q.x0; x < q.x1; x++ {
						if r.IntN(1+int(seed)*5) == 0 {
							pin.Set(int(x), int(q.y))
							s.pin(int(x), int(q.y))
						}
					}
				}
				whole := plane.Clone()
				thinIn(plane, pin, eight, nil, 0)
				s.thin(eight)
				got := NewBits(b.W, b.H)
				last := -1
				s.pixels(func(x, y int) {
					require.Greater(t, y*b.W+x, last, "in reading order")
					last = y*b.W + x
					got.Set(x, y)
				})
				require.Equal(t, picture(plane), picture(got), "seed %d, eight %v, piece %d", seed, eight, i)
				for _, reach := range []float64{1, 2.5, 4, 9, 30} {
					want := withinSlowly(whole, plane, eight, reach)
					require.Equal(t, want, s.within(eight, reach), "seed %d, eight %v, piece %d, reach %g", seed, eight, i, reach)
					if want {
						nearOnes++
					}
				}
				done()
			}
			all.release()
		}
	}
	assert.Greater(t, nearOnes, 300)
}

// withinSlowly is within, pixel by pixel: steps across corners first, then straight ones, as
// many as are together shorter than reach.
func withinSlowly(whole, core *Bits, eight bool, reach float64) bool {
	core = core.Clone()
	grow := func(across bool) {
		was := core.Clone()
		for y := range whole.H {
			for x := range whole.W {
				for i := range offX {
					if (i%2 == 0 || across) && whole.Get(x, y) && was.Get(x+offX[i], y+offY[i]) {
						core.Set(x, y)
					}
				}
			}
		}
	}
	left := reach - 1e-3
	for ; eight && left > 1.41421357; left -= 1.4142135623730951 {
		grow(true)
	}
	for ; left > 1; left-- {
		grow(false)
	}
	return picture(core) == picture(whole)
}
