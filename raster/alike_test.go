package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Places alike give the same numbers to the last digit wherever they lie, so
// that one measured speaks for all; and a profile taken from memory is what
// measuring gives.
func TestAlikeMeasuresTheSame(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	for _, bilevel := range []bool{false, true} {
		const pitchX, pitchY = 97, 61
		grey := make([]uint8, 3*pitchX*3*pitchY)
		one := func(x, y float64) float64 { // a bar with a waist between two blobs
			d := math.Abs(y-30-0.2*x) - (2.2 + 0.02*(x-48)*(x-48))
			return math.Min(1, math.Max(0, 0.5-d))
		}
		w, h := 3*pitchX, 3*pitchY
		for y := range h {
			for x := range w {
				grey[y*w+x] = uint8(math.Round(255 * one(float64(x%pitchX)+0.5, float64(y%pitchY)+0.5-9)))
			}
		}
		k := NewGreyInk(w, h, grey)
		if bilevel {
			k = bilevelOf(k)
		}
		known := &alike{}
		for range 6 {
			cx, cy := 40+12*rng.Float64(), 48+rng.Float64()*3
			third := 1.0 / 3 // a grid of three to the pixel rounds differently from place to place
			var first Profile
			for cell := range 9 {
				dx, dy := float64(cell%3*pitchX), float64(cell/3*pitchY)
				c := Course{}
				for i := range 16 {
					c.Path = append(c.Path, Point{(math.Round(3*cx)+float64(i)+3*dx)*third - 2, (math.Round(3*cy)+0.2*float64(i)+3*dy)*third - 1})
				}
				s := Shape{Ink: k}
				p := s.measureCourse(c, 6, false, known)
				require.Equal(t, s.MeasureCourse(c, 6), p)
				require.NotEmpty(t, p.Sections)
				if cell == 4 {
					first = p
				}
				if cell > 4 {
					assert.Equal(t, first.Width, p.Width)
					assert.Equal(t, first.PlusMinus, p.PlusMinus)
					assert.InDelta(t, first.At.X-pitchX, p.At.X-dx, 1e-9)
					assert.InDelta(t, first.At.Y-pitchY, p.At.Y-dy, 1e-9)
				}
			}
		}
		assert.NotEmpty(t, known.known)
		assert.Less(t, len(known.known), 6*9-12, "some were met again")
	}
}

func TestAlikeForgetsBeyondItsBound(t *testing.T) {
	a := &alike{size: alikeMost}
	f := newSampler(Shape{Ink: NewBilevelInk(NewBits(9, 9))})
	f.cover(3, 3)
	a.put([]byte("x"), f, Profile{Width: 1})
	_, ok := a.get([]byte("x"), f)
	assert.False(t, ok)
}

// A measuring depends on nothing but the pixels that it says it has read: with all the
// others thrown about it comes out the same to the last digit.
func TestOnlyWhatIsReadCounts(t *testing.T) {
	rng := rand.New(rand.NewPCG(28, 11))
	measured, sections := 0, 0
	trials := 150
	if testing.Short() {
		trials = 30
	}
	for i := range trials {
		b, film := blobs(rng, 90+rng.IntN(120), 90+rng.IntN(120)), i%2 == 1
		plane := b.Clone()
		if film {
			plane.Complement()
		}
		p := &partition{g: newGrid(b.W, b.H, 1, 1, 0), film: film, d: 4 + 6*rng.Float64(), shape: plane, pieces: Label(plane, !film)}
		p.fit()
		p.skip = make([]bool, len(p.pieces.List))
		p.takeApart(tipReach * p.d)
		grey := make([]uint8, b.W*b.H) // edges of some breadth
		for y := range b.H {
			for x := range b.W {
				n := 0
				for dy := -1; dy <= 1; dy++ {
					for dx := -1; dx <= 1; dx++ {
						if b.Get(x+dx, y+dy) {
							n++
						}
					}
				}
				grey[y*b.W+x] = uint8(n * 255 / 9)
			}
		}
		for _, k := range []*Ink{NewBilevelInk(b), NewGreyInk(b.W, b.H, grey)} {
			for _, a := range p.arcs {
				c := Course{TipStart: a.from == endTip, TipEnd: a.to == endTip, Closed: a.closed, Tight: len(a.path) < 3 && !a.closed}
				for _, q := range a.path {
					c.Path = append(c.Path, Point{float64(int(q)%b.W) + 0.5, float64(int(q)/b.W) + 0.5})
				}
				known := &alike{}
				safe, brief := 3+5*rng.Float64(), rng.IntN(3) == 0
				want := Shape{Ink: k, Film: film}.measureCourse(c, safe, brief, known)
				if len(known.known) == 0 {
					continue // too long to be remembered
				}
				measured++
				sections += len(want.Sections)
				var box pixelBox
				for _, list := range known.known {
					box = list[0].box
				}
				f := newSampler(Shape{Ink: k, Film: film})
				f.frame(c, 2*safe+12)
				other := b.Clone()
				shade := append([]uint8(nil), grey...)
				for y := range b.H {
					for x := range b.W {
						if u, v := x-f.winX, y-f.winY; u >= box.x0 && u <= box.x1 && v >= box.y0 && v <= box.y1 {
							continue
						}
						shade[y*b.W+x] = uint8(rng.IntN(256))
						if shade[y*b.W+x] > 127 {
							other.Set(x, y)
						} else {
							other.Clear(x, y)
						}
					}
				}
				l := NewBilevelInk(other)
				if k.Grey != nil {
					l = NewGreyInk(b.W, b.H, shade)
				}
				require.Equal(t, want, Shape{Ink: l, Film: film}.measureCourse(c, safe, brief, nil))
				require.Equal(t, want, Shape{Ink: l, Film: film}.measureCourse(c, safe, brief, known))
			}
		}
	}
	t.Log(measured, "courses,", sections, "sections")
	assert.Greater(t, measured, 6*trials)
	assert.Greater(t, sections, 100*trials)
}

// A whole piece taken from memory is what measuring gives, wherever it lies and
// whatever lies around it.
func TestBlobsAlikeMeasureTheSame(t *testing.T) {
	rng := rand.New(rand.NewPCG(29, 11))
	met, trials := 0, 60
	for i := range trials {
		film := i%2 == 1
		b := blobs(rng, 70+rng.IntN(60), 70+rng.IntN(60))
		if film {
			b.Complement()
		}
		like := &alikeBlobs{}
		pieces := Label(b, !film)
		for j := range pieces.List {
			c := &pieces.List[j]
			if c.X0 < 2 || c.Y0 < 2 || c.X1 > b.W-2 || c.Y1 > b.H-2 {
				continue
			}
			measure := func(plane *Bits, x, y int, with *alikeBlobs) Blob {
				k := plane.Clone()
				if film {
					k.Complement()
				}
				box := Box{float64(c.X0+x) - 0.5, float64(c.Y0+y) - 0.5, float64(c.X1+x) + 0.5, float64(c.Y1+y) + 0.5}
				return Shape{Ink: NewBilevelInk(k), Film: film}.measureBlob(c.SeedX+x, c.SeedY+y, box, nil, with)
			}
			want := measure(b, 0, 0, nil)
			require.Equal(t, want, measure(b, 0, 0, like))
			require.Equal(t, want, measure(b, 0, 0, like))
			// The same piece elsewhere, amid others that it does not touch.
			dx, dy := rng.IntN(900), rng.IntN(900)
			far := NewBits(b.W+dx, b.H+dy)
			for y := range b.H {
				for x := range b.W {
					near := false
					for v := y - 1; v <= y+1; v++ {
						for u := x - 1; u <= x+1; u++ {
							near = near || pieces.At(u, v) == j
						}
					}
					if pieces.At(x, y) == j || !near && rng.IntN(2) == 0 {
						far.Set(x+dx, y+dy)
					}
				}
			}
			got := measure(far, dx, dy, like)
			require.Equal(t, measure(far, dx, dy, nil), got)
			want.Centre, got.Centre = Point{}, Point{}
			require.Equal(t, want, got)
			met++
		}
	}
	t.Log(met, "pieces")
	assert.Greater(t, met, 3*trials)
}
