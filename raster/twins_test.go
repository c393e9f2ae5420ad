package raster

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What tells places alike apart holds every pixel of a box, also where the box
// sticks out of the image.
func TestPixelsHoldEveryPixel(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 7))
	for range 200 {
		w, h := 1+rng.IntN(150), 1+rng.IntN(4)
		grey := make([]uint8, w*h)
		for i := range grey {
			grey[i] = uint8(rng.IntN(256))
		}
		k := NewGreyInk(w, h, grey)
		for _, k := range []*Ink{k, NewBilevelInk(k.Bits)} {
			f := newSampler(Shape{Ink: k})
			f.winX, f.winY = rng.IntN(200)-80, 0
			x0 := rng.IntN(40) - 20
			x1 := x0 + rng.IntN(180)
			for y := -1; y <= h; y++ {
				row := f.pixels(nil, y, x0, x1)
				for x := range x1 - x0 + 1 {
					want := Shape{Ink: k}.Cover(x0+x+f.winX, y)
					got := 0.0
					if k.Grey != nil {
						got = float64(row[x]) / 255
					} else {
						got = float64(binary.LittleEndian.Uint64(row[x>>6<<3:]) >> (x & 63) & 1)
					}
					require.Equal(t, want, got, "%dx%d, box at %d, pixel %d of row %d", w, h, f.winX+x0, x, y)
				}
			}
		}
	}
}

// The smoothing is a straight line fitted at every point, from its definition.
func TestSmoothedIsItsTwin(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	for _, closed := range []bool{false, true} {
		for _, n := range []int{2, 5, 40, 41} {
			const step, sigma = 0.5, 2.0
			pts, weight := make([]Point, n), make([]float64, n)
			for i := range pts {
				a := 2 * math.Pi * float64(i) / float64(n)
				pts[i], weight[i] = Point{9*math.Cos(a) + rng.Float64(), 9*math.Sin(a) + rng.Float64()}, 0.1+rng.Float64()
			}
			lent, done := borrow()
			place, dir := smoothed(lent, pts, weight, closed, step, sigma)
			if n%2 == 0 { // all weights 1
				for i := range weight {
					weight[i] = 1
				}
				place, dir = smoothed(lent, pts, nil, closed, step, sigma)
			}
			for i := range pts {
				reach := int(math.Ceil(3 * sigma / step))
				if closed {
					reach = min(reach, (n-1)/2)
				}
				var w, s, x, y float64 // weighted sums, then means
				each := func(fn func(w, s float64, p Point)) {
					for k := -reach; k <= reach; k++ {
						j := i + k
						if closed {
							j = ((j % n) + n) % n
						}
						if j >= 0 && j < n {
							d := float64(k) * step
							fn(weight[j]*math.Exp(-d*d/sigma/sigma/2), d, pts[j])
						}
					}
				}
				each(func(v, d float64, p Point) { w, s, x, y = w+v, s+v*d, x+v*p.X, y+v*p.Y })
				s, x, y = s/w, x/w, y/w
				var ss, sx, sy float64
				each(func(v, d float64, p Point) {
					ss, sx, sy = ss+v*(d-s)*(d-s), sx+v*(d-s)*(p.X-x), sy+v*(d-s)*(p.Y-y)
				})
				if ss == 0 { // a single point
					continue
				}
				assert.InDelta(t, x-s*sx/ss, place[i].X, 1e-9)
				assert.InDelta(t, y-s*sy/ss, place[i].Y, 1e-9)
				want := unit(Point{sx, sy})
				assert.InDelta(t, 1, want.X*dir[i].X+want.Y*dir[i].Y, 1e-9)
			}
			done()
		}
	}
}

// Room counts the shorter of row and column; far runs are all the same to it.
func TestRoomIsTheShorterRun(t *testing.T) {
	b := NewBits(900, 60)
	for y := 20; y < 27; y++ {
		fillRun(b.Row(y), 10, 890, true)
	}
	assert.Equal(t, 7, room(b, 400, 22))
	assert.Equal(t, 7, room(b, 10, 20))
	b.Complement()
	assert.Equal(t, 20, room(b, 400, 3))
	assert.Equal(t, 60, room(b, 3, 3), "the margin beside the bar")
	cross := NewBits(900, 900)
	for i := range 900 {
		fillRun(cross.Row(i), 450, 451, true)
		cross.Set(i, 450)
	}
	assert.Equal(t, 2*roomMost+1, room(cross, 450, 450))
}

// A Hann window used again and again gives what a fresh one gives, whichever half
// widths come before.
func TestHannWindowIsUsedAgain(t *testing.T) {
	rng := rand.New(rand.NewPCG(28, 1))
	for _, closed := range []bool{false, true} {
		var again hannWindow
		for range 300 {
			v := make([]float64, 2+rng.IntN(90))
			for i := range v {
				v[i] = rng.Float64()
				if rng.IntN(9) == 0 {
					v[i] = math.NaN()
				}
			}
			for range 20 {
				i, half := rng.IntN(len(v)), 1+float64(rng.IntN(60))/float64(1+rng.IntN(2))
				want, share := hann(v, closed, i, half)
				mean, got := again.mean(v, closed, i, half)
				require.Equal(t, math.Float64bits(want), math.Float64bits(mean))
				require.Equal(t, share, got)
			}
		}
	}
}

// Rays and chords are the same with a window of pixels read beforehand and without.
func TestRaysAndChordsWithoutAWindow(t *testing.T) {
	rng := rand.New(rand.NewPCG(28, 2))
	crossed := 0
	for i := range 150 {
		b := blobs(rng, 60+rng.IntN(80), 60+rng.IntN(80))
		s := Shape{Ink: NewBilevelInk(b), Film: i%2 == 1}
		for range 40 {
			c := Course{Path: []Point{{rng.Float64() * float64(b.W), rng.Float64() * float64(b.H)}}}
			f, bare := newSampler(s), newSampler(s)
			local := f.frame(c, 12)
			bare.frame(c, 12)
			done := f.fill()
			sin, cos := math.Sincos(7 * rng.Float64())
			p, v := local.Path[0], Point{cos, sin}
			most := 30 * rng.Float64()
			o, there := f.origin(p), bare.origin(p)
			require.Equal(t, there.cover, o.cover)
			require.Equal(t, bare.ray(&there, v, 24, 3, math.Inf(1)), f.ray(&o, v, 24, 3, math.Inf(1)))
			if o.cover >= 0.5 {
				chord := f.chord(&o, v, most)
				require.Equal(t, bare.chord(&there, v, most), chord)
				if !math.IsInf(chord, 1) {
					crossed++
				}
			}
			require.Equal(t, bare.at(p.X, p.Y), f.at(p.X, p.Y))
			done()
		}
	}
	assert.Greater(t, crossed, 200)
}
