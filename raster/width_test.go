package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fromText draws ink from rows of digits, coverage in ninths, '.' for clear and
// '#' for solid.
func fromText(rows ...string) *Ink {
	w, h := len(rows[0]), len(rows)
	grey := make([]uint8, w*h)
	for y, r := range rows {
		for x, c := range r {
			switch {
			case c == '#':
				grey[y*w+x] = 255
			case c >= '0' && c <= '9':
				grey[y*w+x] = uint8(math.Round(float64(c-'0') / 9 * 255))
			}
		}
	}
	return NewGreyInk(w, h, grey)
}

// bilevelOf cuts k at half.
func bilevelOf(k *Ink) *Ink { return NewBilevelInk(k.Bits.Clone()) }

func straightPath(x0, y0, x1, y1 float64) []Point {
	n := int(math.Max(math.Abs(x1-x0), math.Abs(y1-y0)))
	var out []Point
	for i := 0; i <= n; i++ {
		t := float64(i) / float64(max(1, n))
		out = append(out, Point{math.Floor(x0+(x1-x0)*t) + 0.5, math.Floor(y0+(y1-y0)*t) + 0.5})
	}
	return out
}

func TestSamplerIsShape(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	grey := make([]uint8, 9*7)
	for i := range grey {
		grey[i] = uint8(rng.IntN(256))
	}
	k := NewGreyInk(9, 7, grey)
	for _, s := range []Shape{{Ink: k}, {Ink: k, Film: true}, {Ink: bilevelOf(k)}, {Ink: bilevelOf(k), Film: true}} {
		f := newSampler(s)
		for range 500 {
			p := Point{uniform(rng, -3, 12), uniform(rng, -3, 10)}
			assert.InDelta(t, s.Sample(p), f.at(p.X, p.Y), 1e-12, "at %v", p)
		}
		for y := -2; y < 10; y++ {
			for x := -2; x < 12; x++ {
				assert.Equal(t, s.Cover(x, y), f.cover(x, y))
				// A grey of exactly 128 is ink: Bits decide, not the level.
				assert.Equal(t, s.Film != k.Bits.Get(x, y), f.in(x, y), "pixel %d,%d", x, y)
			}
		}
		// The same seen through a window, also one that sticks out.
		for _, c := range []Point{{4, 3}, {-1, 6}, {9, 0}} {
			f := newSampler(s)
			local := f.frame(Course{Path: []Point{c}}, 2.5)
			done := f.fill()
			dx, dy := local.Path[0].X-c.X, local.Path[0].Y-c.Y
			for range 300 {
				p := Point{uniform(rng, -5, 14), uniform(rng, -5, 12)}
				assert.InDelta(t, s.Sample(p), f.at(p.X+dx, p.Y+dy), 1e-12, "at %v", p)
				assert.Equal(t, s.Cover(int(p.X), int(p.Y)), f.cover(int(p.X)+int(dx), int(p.Y)+int(dy)))
				assert.Equal(t, s.Film != k.Bits.Get(int(p.X), int(p.Y)), f.in(int(p.X)+int(dx), int(p.Y)+int(dy)))
			}
			done()
		}
	}
}

func TestMeasureCourseByHand(t *testing.T) {
	blank := "............................."
	for _, row := range []struct {
		name  string
		ink   *Ink
		film  bool
		width float64
		y     float64
	}{
		{"three solid rows", fromText(blank, blank, blank, "#############################", "#############################", "#############################", blank, blank, blank), false, 3, 4.5},
		{"two rows and two thirds", fromText(blank, blank, blank, "#############################", "#############################", "66666666666666666666666666666", blank, blank, blank), false, 2 + 170.0/255, 4.0 + 1.0/3},
		{"a third of one row: never half", fromText(blank, blank, blank, blank, "33333333333333333333333333333", blank, blank, blank, blank), false, 85.0 / 255, 4.5},
		{"film of two rows", fromText("#############################", "#############################", "#############################", blank, blank, "#############################", "#############################", "#############################", "#############################"), true, 2, 4},
		{"ink along the border", fromText("#############################", "#############################", blank, blank, blank, blank, blank, blank, blank), false, 2, 1},
	} {
		p := Shape{Ink: row.ink, Film: row.film}.MeasureCourse(Course{Path: straightPath(2, row.y, 27, row.y)}, 4)
		require.NotEmpty(t, p.Sections, row.name)
		assert.InDelta(t, row.width, p.Width, 0.01, row.name)
		assert.InDelta(t, row.y, p.At.Y, 0.05, row.name)
		assert.InDelta(t, 1, math.Abs(p.Across.Y), 1e-6, row.name)
		assert.InDelta(t, 25, p.Length, 1, row.name)
	}
}

func TestMeasureCourseWithNothingToMeasure(t *testing.T) {
	d := drawing{w: 40, h: 40}
	d.add(barPoly(Point{20, 20}, 0, 20, 4))
	for _, bilevel := range []bool{false, true} {
		s := Shape{Ink: d.ink(rendering{bilevel: bilevel})}
		for name, path := range map[string][]Point{
			"no path":           nil,
			"outside the shape": straightPath(5, 5, 30, 5),
			"outside the image": straightPath(-60, -60, -30, -60),
			"one point outside": {{5, 5}},
		} {
			p := s.MeasureCourse(Course{Path: path}, 6)
			assert.Empty(t, p.Sections, name)
			assert.Zero(t, p.Width, name)
		}
		// One point inside is a course too.
		p := s.MeasureCourse(Course{Path: []Point{{20.5, 20.5}}}, 6)
		require.NotEmpty(t, p.Sections)
		assert.InDelta(t, 4, p.Width, p.PlusMinus+0.05)
		p = s.MeasureCourse(Course{Path: []Point{{20.5, 20.5}, {20.5, 20.5}, {20.5, 20.5}}}, 6)
		require.NotEmpty(t, p.Sections)
	}
}

// moved returns a picture and a course turned by one of the eight symmetries of
// the grid and shifted by a border of film.
func moved(k *Ink, c Course, turn, border int) (*Ink, Course) {
	place := func(p Point) Point {
		x, y := p.X, p.Y
		if turn&1 != 0 {
			x = float64(k.W) - x
		}
		if turn&2 != 0 {
			y = float64(k.H) - y
		}
		if turn&4 != 0 {
			x, y = y, x
		}
		return Point{x + float64(border), y + float64(border)}
	}
	w, h := k.W, k.H
	if turn&4 != 0 {
		w, h = h, w
	}
	w, h = w+2*border, h+2*border
	bits := NewBits(w, h)
	var grey []uint8
	if k.Grey != nil {
		grey = make([]uint8, w*h)
	}
	for y := range k.H {
		for x := range k.W {
			q := place(Point{float64(x) + 0.5, float64(y) + 0.5})
			if k.Bits.Get(x, y) {
				bits.Set(int(q.X), int(q.Y))
			}
			if grey != nil {
				grey[int(q.Y)*w+int(q.X)] = k.Grey[y*k.W+x]
			}
		}
	}
	out := &Ink{W: w, H: h, Bits: bits, Grey: grey}
	path := make([]Point, len(c.Path))
	for i, p := range c.Path {
		path[i] = place(p)
	}
	c.Path = path
	return out, c
}

func TestMeasureCourseIsSymmetric(t *testing.T) {
	rng := rand.New(rand.NewPCG(4711, 5))
	trials := []*trial{
		straightTrial(rng, 2, 9, 0.3), straightTrial(rng, 2, 9, 1.2), arcTrial(rng), ringTrial(rng, true),
		inkOf(waistTrial(rng, 3, 6, 8, 20)), neckTrial(rng, 12), inkOf(cornersTrial(rng, 10)), spiralTrial(rng),
	}
	for i, tr := range trials {
		for _, bilevel := range []bool{false, true} {
			tr.pic.bilevel = bilevel
			if tr.pic.invert { // the border is film: turn the drawing's own, so that it is too
				continue
			}
			k := tr.draw.ink(tr.pic)
			want := Shape{Ink: k, Film: tr.measureFilm}.MeasureCourse(tr.course, tr.safe)
			for turn := range 8 {
				q, c := moved(k, tr.course, turn, 3)
				got := Shape{Ink: q, Film: tr.measureFilm}.MeasureCourse(c, tr.safe)
				// The scan for the shortest chord and the stair's ties may differ by
				// a station.
				assert.InDelta(t, want.Width, got.Width, 0.02, "trial %d, bilevel %v, turn %d", i, bilevel, turn)
			}
			// Ink and film are the same to the measure.
			n := &Ink{W: k.W, H: k.H, Bits: k.Bits.Clone(), Grey: append([]uint8(nil), k.Grey...)}
			if k.Grey == nil {
				n.Grey = nil
			}
			n.Invert()
			got := Shape{Ink: n, Film: !tr.measureFilm}.MeasureCourse(tr.course, tr.safe)
			assert.InDelta(t, want.Width, got.Width, 0.005, "trial %d, bilevel %v, as film", i, bilevel)
		}
	}
}

// TestBarEndsReadNoNarrower: no section of a bar, whose seed runs into the
// corners of its ends as a skeleton does, reads under 0.9 of its width.
func TestBarEndsReadNoNarrower(t *testing.T) {
	rng := rand.New(rand.NewPCG(90210, 1))
	for _, safe := range []float64{4, 7, 12, 24} {
		for _, share := range []float64{0.6, 0.95, 1.05} {
			for i := range 7 {
				a, w := float64(i)*math.Pi/7+0.05, share*safe
				l := 6 * safe
				d, c := canvas(rng, l)
				d.add(barPoly(c, a, l, w))
				u := func(s, v float64) Point { return polar(polar(c, s, a), v, a+math.Pi/2) }
				line := []Point{u(-l/2+0.5, w/2-0.5), u(-l/2+w/2, 0), u(l/2-w/2, 0), u(l/2-0.5, -w/2+0.5)}
				tr := trial{draw: d}
				p := tr.shape().MeasureCourse(Course{Path: roughPath(rng, line, false), TipStart: true, TipEnd: true}, safe)
				require.NotEmpty(t, p.Sections)
				for _, s := range p.Sections {
					if s.Width < 0.9*w {
						t.Errorf("limit %.0f, bar of %.2f at %.0f degrees: %.2f at %.1f of %.1f px", safe, w, a*180/math.Pi, s.Width, s.S, p.Length)
					}
				}
				assert.InDelta(t, w, p.Width, 0.06, "limit %.0f, bar of %.2f", safe, w)
			}
		}
	}
}

// TestTapersKeepTheirSlope: the sections of a wedge grow by its angle.
func TestTapersKeepTheirSlope(t *testing.T) {
	rng := rand.New(rand.NewPCG(5150, 1))
	for _, full := range []float64{3, 8, 15, 20} {
		half := full / 2 * math.Pi / 180
		for i := range 5 {
			a, l := uniform(rng, 0, 6), 60.0
			d, c := canvas(rng, l)
			tip := polar(c, l/2, a)
			d.add([]Point{tip, polar(tip, -l/math.Cos(half), a+half), polar(tip, -l/math.Cos(half), a-half)})
			line := []Point{polar(c, -l/2+8, a), polar(c, l/2-3, a)}
			tr := trial{draw: d}
			p := tr.shape().MeasureCourse(Course{Path: roughPath(rng, line, false), TipEnd: true}, 12)
			require.NotEmpty(t, p.Sections)
			var n, sx, sy, sxx, sxy float64
			for _, s := range p.Sections {
				n, sx, sy, sxx, sxy = n+1, sx+s.S, sy+s.Width, sxx+s.S*s.S, sxy+s.S*s.Width
			}
			slope := (n*sxy - sx*sy) / (n*sxx - sx*sx)
			got := 2 * math.Atan(math.Abs(slope)/2) * 180 / math.Pi
			assert.InDelta(t, full, got, 0.5, "wedge of %.0f degrees, %d", full, i)
		}
	}
}

// TestMeasureCourseSurvives: random pixels and paths never panic and never give
// what is no number.
func TestMeasureCourseSurvives(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 41))
	for i := range 400 {
		w, h := 1+rng.IntN(40), 1+rng.IntN(40)
		grey := make([]uint8, w*h)
		coarse := 1 + rng.IntN(6)
		for j := range grey {
			grey[j] = uint8(rand.New(rand.NewPCG(uint64(i), uint64(j%w/coarse*1000+j/w/coarse))).IntN(256))
		}
		k := NewGreyInk(w, h, grey)
		if i%2 == 1 {
			k = bilevelOf(k)
		}
		c := Course{Closed: rng.IntN(4) == 0, TipStart: rng.IntN(2) == 0, TipEnd: rng.IntN(2) == 0}
		p := Point{rng.Float64() * float64(w), rng.Float64() * float64(h)}
		for range rng.IntN(50) {
			c.Path = append(c.Path, p)
			p = Point{p.X + float64(rng.IntN(3)-1), p.Y + float64(rng.IntN(3)-1)}
		}
		got := Shape{Ink: k, Film: i%3 == 0}.MeasureCourse(c, uniform(rng, 0, 20))
		if len(got.Sections) == 0 {
			continue
		}
		for _, v := range []float64{got.Width, got.PlusMinus, got.At.X, got.At.Y, got.Across.X, got.Across.Y, got.Length} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("trial %d: %+v", i, got)
			}
		}
		if got.Width < 0 || got.PlusMinus <= 0 || math.Abs(math.Hypot(got.Across.X, got.Across.Y)-1) > 1e-6 {
			t.Fatalf("trial %d: width %v, plus_minus %v, across %v", i, got.Width, got.PlusMinus, got.Across)
		}
		for _, s := range got.Sections {
			if math.IsNaN(s.Width) || math.IsNaN(s.At.X) || s.Width < 0 {
				t.Fatalf("trial %d: section %+v", i, s)
			}
		}
	}
}

func BenchmarkMeasureCourse(b *testing.B) {
	rng := rand.New(rand.NewPCG(3, 3))
	d, c := canvas(rng, 80)
	d.add(barPoly(c, 0.3, 150, 6))
	path := roughPath(rng, []Point{polar(c, -74, 0.3), polar(c, 74, 0.3)}, false)
	for _, bilevel := range []bool{false, true} {
		b.Run(map[bool]string{false: "grey", true: "bilevel"}[bilevel], func(b *testing.B) {
			s := Shape{Ink: d.ink(rendering{bilevel: bilevel})}
			b.ReportAllocs()
			for b.Loop() {
				s.MeasureCourse(Course{Path: path, TipStart: true, TipEnd: true}, 8)
			}
		})
	}
}

// TestLineInAToneIsMeasured: a line of 55 % tone, 8 pixels wide: its coverage
// sums to 4.4 pixels, the places where it crosses half lie 7.2 apart (an edge
// pixel reaches half when nine tenths of it are covered), and no station agrees
// with the pixels around it. It must not vanish for that.
func TestLineInAToneIsMeasured(t *testing.T) {
	for _, deg := range []float64{0, 20, 45} {
		d, c := square(90, 0.3)
		d.add(barPoly(c, deg*math.Pi/180, 60, 8))
		r := Measure(d.ink(rendering{ink: 140}), safe(10))
		f := theOne(t, r, Line, deg)
		assert.InDelta(t, 7.2, f.Width, f.PlusMinus, "%g degrees", deg)
	}
}
