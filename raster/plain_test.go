package raster

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// blobs is a plane of discs and holes of all sizes, bars between some of them, and
// a pinhole here and there.
func blobs(r *rand.Rand, w, h int) *Bits {
	b := NewBits(w, h)
	disc := func(cx, cy, radius float64, set bool) {
		for y := range h {
			for x := range w {
				dx, dy := float64(x)-cx, float64(y)-cy
				switch {
				case dx*dx+dy*dy > radius*radius:
				case set:
					b.Set(x, y)
				default:
					b.Clear(x, y)
				}
			}
		}
	}
	for range 4 + r.IntN(20) {
		cx, cy, radius := r.Float64()*float64(w), r.Float64()*float64(h), 1+22*r.Float64()*r.Float64()
		disc(cx, cy, radius, true)
		switch r.IntN(3) {
		case 0:
			disc(cx, cy, radius*r.Float64(), false)
		case 1:
			for i := range 30 {
				disc(cx+float64(i), cy+float64(i)*r.Float64()/9, 1+r.Float64(), true)
			}
		}
	}
	for range r.IntN(6) {
		b.Clear(r.IntN(w), r.IntN(h))
	}
	return b
}

// A piece whose E has its form is not thinned: nothing but E would be left of it. Nor
// is the rim round a piece of the other side that has the form of what E leaves there.
func TestPlainPiecesHaveNoArcs(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2027))
	plain, rims, arcs := 0, 0, 0
	for i := range 800 {
		b, film := blobs(r, 60+r.IntN(140), 60+r.IntN(140)), i%2 == 1
		if film {
			b.Complement()
		}
		take := func(spare bool) *partition {
			p := &partition{g: newGrid(b.W, b.H, 1, 1, 0), film: film, d: 3 + float64(i%7)*1.3, shape: b, pieces: Label(b, !film)}
			if film && spare {
				p.others = func() (*Pieces, func()) { return p.pieces.gaps(b.W, nil, true), func() {} }
			}
			p.fit()
			for j, is := range p.plain {
				if is && spare {
					plain++
				}
				p.plain[j] = is && spare
			}
			p.skip = make([]bool, len(p.pieces.List))
			for j := range p.skip {
				p.skip[j] = i%4 == 1 && !p.hasE[j]
			}
			if p.rest != nil {
				for _, bare := range p.bareRims() {
					if bare {
						rims++
					}
				}
			}
			p.takeApart(tipReach * p.d)
			return p
		}
		got, want := take(true), take(false)
		require.Equal(t, want.tips, got.tips)
		require.Equal(t, want.arcs, got.arcs, "plane %d", i)
		arcs += len(got.arcs)
	}
	assert.Greater(t, plain, 600)
	assert.Greater(t, rims, 600)
	assert.Greater(t, arcs, 1000)
}

// The sections measured alone are those of the whole measuring.
func TestSectionsAlone(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 27))
	some := 0
	for i := range 200 {
		b, film := blobs(r, 60+r.IntN(140), 60+r.IntN(140)), i%2 == 1
		plane := *b
		if film {
			plane.Words = append([]uint64(nil), b.Words...)
			plane.Complement()
		}
		p := &partition{g: newGrid(b.W, b.H, 1, 1, 0), film: film, d: 6, shape: &plane, pieces: Label(&plane, !film)}
		p.fit()
		p.skip = make([]bool, len(p.pieces.List))
		p.takeApart(tipReach * p.d)
		shape := Shape{Ink: NewBilevelInk(b), Film: film}
		j := &judge{s: &scene{g: p.g}, p: p}
		for _, a := range p.arcs {
			c := j.course(chain{path: a.path, closed: a.closed, from: a.from, to: a.to})
			whole := shape.measureCourse(c, p.d, false, nil)
			require.Equal(t, whole.Sections, shape.measureCourse(c, p.d, true, nil).Sections)
			some += min(1, len(whole.Sections))
		}
	}
	assert.Greater(t, some, 1000)
}
