package preflight

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// sampler draws an artwork with something of every kind, s pixels a unit, whose
// origin lies at (x, y) units of 1/600 inch. On a 3 mil film it has lines, dots,
// strips and islands that fail, are at risk and hold.
func sampler(s, x, y float64, w, h int) *pen.Canvas {
	c := pen.NewCanvas(w, h)
	at := func(px, py float64) raster.Point { return raster.Point{X: s * (x + px), Y: s * (y + py)} }
	line := func(x0, y0, x1, y1, width float64) { c.Fill(pen.Line(at(x0, y0), at(x1, y1), s*width)) }
	rect := func(x0, y0, w, h float64) pen.Path { p := at(x0, y0); return pen.Rect(p.X, p.Y, s*w, s*h) }
	disc := func(x0, y0, d float64) pen.Path { p := at(x0, y0); return pen.Disc(p.X, p.Y, s*d) }

	line(10, 10, 70, 31, 1.4) // 59 um: fails
	line(10, 30, 70, 51, 2.3) // 97 um: at risk
	line(10, 55, 70, 76, 3.5) // 148 um: holds
	c.Fill(disc(95, 20, 2.4)) // 102 um: fails
	c.Fill(disc(95, 40, 3.1)) // 131 um: at risk
	c.Fill(disc(95, 60, 5))   // holds
	c.Fill(rect(110, 10, 50, 50))
	c.Erase(rect(132, 5, 2, 60))                               // 85 um: a strip that fails
	c.Erase(disc(120, 22, 4.4))                                // 186 um: fails
	c.Erase(disc(121, 45, 6.4))                                // 271 um: at risk
	c.Erase(disc(147, 35, 12))                                 // holds
	c.Fill(pen.Polygon(at(170, 10), at(200, 10), at(185, 70))) // a point of 28 degrees
	return c
}

const samplerW, samplerH = 210, 90

// digest is a report without its places: what a shift must not change.
func digest(r *Report) []string {
	out := []string{r.Verdict.String()}
	for _, k := range raster.Kinds {
		out = append(out, fmt.Sprint(k, r.Counts[k]))
	}
	for _, m := range r.Marks {
		out = append(out, fmt.Sprint(m.Kind, m.Verdict, m.Count))
	}
	slices.Sort(out)
	return out
}

// alike asserts that two reports agree on verdicts and counts, and on widths
// and uncertainties within tol pixels of the first.
func alike(t *testing.T, name string, a, b *Report, tol float64) {
	t.Helper()
	require.Equal(t, digest(a), digest(b), name)
	widths := func(r *Report) []float64 {
		var w []float64
		for _, k := range raster.Kinds {
			var of []float64
			for _, m := range r.Marks {
				if m.Kind == k {
					of = append(of, m.WidthUM)
				}
			}
			slices.Sort(of)
			w = append(append(w, of...), r.Finest[k].WidthUM)
		}
		return w
	}
	wa, wb := widths(a), widths(b)
	for i := range wa {
		assert.InDelta(t, wa[i], wb[i], tol*a.Artwork.UMPerPx(), "%s, width %d", name, i)
	}
}

// turned returns a plane with pixel (x, y) of the result taken from where from
// says.
func turned(k *raster.Ink, w, h int, from func(x, y int) (int, int)) *raster.Ink {
	if k.Bilevel() {
		b := raster.NewBits(w, h)
		for y := range h {
			for x := range w {
				if sx, sy := from(x, y); k.Bits.Get(sx, sy) {
					b.Set(x, y)
				}
			}
		}
		return raster.NewBilevelInk(b)
	}
	g := make([]uint8, w*h)
	for y := range h {
		for x := range w {
			if sx, sy := from(x, y); sx >= 0 && sy >= 0 && sx < k.W && sy < k.H {
				g[y*w+x] = k.Grey[sy*k.W+sx]
			}
		}
	}
	return raster.NewGreyInk(w, h, g)
}

// What is done to an artwork without changing what is on it changes neither
// verdict, count nor width, and moves the places along.
func TestShiftMirrorTurnPad(t *testing.T) {
	film := Films()[1]
	for edges, k := range both(sampler(2, 0.3, 0.6, 2*samplerW, 2*samplerH)) {
		r := examined(t, k, 1200, film)
		require.Equal(t, Fails, r.Verdict)
		for _, kind := range raster.Kinds {
			require.Positive(t, r.Counts[kind].Fails, "%s: the artwork has a failing %v", edges, kind)
		}
		w, h := k.W, k.H
		mm := r.Artwork.UMPerPx() / 1000
		for _, c := range []struct {
			name  string
			w, h  int
			from  func(x, y int) (int, int)
			place func(p PointMM) PointMM
		}{
			{"shifted", w + 37, h + 5, func(x, y int) (int, int) { return x - 37, y - 5 }, func(p PointMM) PointMM { return PointMM{p.X + 37*mm, p.Y + 5*mm} }},
			{"padded", w + 300, h + 200, func(x, y int) (int, int) { return x, y }, func(p PointMM) PointMM { return p }},
			{"mirrored", w, h, func(x, y int) (int, int) { return w - 1 - x, y }, func(p PointMM) PointMM { return PointMM{float64(w)*mm - p.X, p.Y} }},
			{"upside down", w, h, func(x, y int) (int, int) { return x, h - 1 - y }, func(p PointMM) PointMM { return PointMM{p.X, float64(h)*mm - p.Y} }},
			{"turned by 90", h, w, func(x, y int) (int, int) { return y, h - 1 - x }, func(p PointMM) PointMM { return PointMM{float64(h)*mm - p.Y, p.X} }},
			{"turned by 180", w, h, func(x, y int) (int, int) { return w - 1 - x, h - 1 - y }, func(p PointMM) PointMM { return PointMM{float64(w)*mm - p.X, float64(h)*mm - p.Y} }},
			{"transposed", h, w, func(x, y int) (int, int) { return y, x }, func(p PointMM) PointMM { return PointMM{p.Y, p.X} }},
		} {
			name := edges + ", " + c.name
			o := examined(t, turned(k, c.w, c.h, c.from), 1200, film)
			alike(t, name, r, o, sameTol)
			// Every mark has its twin where it was moved to.
			for _, m := range r.Marks {
				want := c.place(m.At)
				near := math.Inf(1)
				for _, n := range o.Marks {
					if n.Kind == m.Kind && n.Verdict == m.Verdict {
						near = math.Min(near, math.Hypot(n.At.X-want.X, n.At.Y-want.Y))
					}
				}
				// A straight part is as narrow anywhere along it.
				assert.LessOrEqual(t, near, math.Max(placeTolMM, m.LengthMM), "%s: a %v at %v", name, m.Kind, m.At)
			}
		}
	}
}

// sameTol is how far, in pixels, a width may move when nothing but the grid's
// orientation does; placeTolMM how far a place may.
const (
	sameTol    = 0.02
	placeTolMM = 0.05
)

// Twice the pixels at twice the pixels an inch is the same artwork.
func TestScaledPixelsAndResolution(t *testing.T) {
	film := Films()[1]
	a := examined(t, sampler(2, 0.3, 0.6, 2*samplerW, 2*samplerH).Ink(), 1200, film)
	for _, s := range []float64{3, 4, 6} {
		b := examined(t, sampler(s, 0.3, 0.6, int(s*samplerW), int(s*samplerH)).Ink(), s*600, film)
		alike(t, fmt.Sprintf("%v times", s/2), a, b, 0.1)
		assert.InDelta(t, a.Artwork.WidthMM, b.Artwork.WidthMM, 1e-9)
	}
}

// Measured afresh for each film, a thicker one never has fewer failures, nor
// fewer places that do not hold.
func TestThickerFilmOnRealArtwork(t *testing.T) {
	if testing.Short() {
		t.Skip("measures many times")
	}
	for edges, k := range both(sampler(2, 0.3, 0.6, 2*samplerW, 2*samplerH)) {
		var last *Report
		for _, film := range Films() {
			r := examined(t, k, 1200, film)
			if last != nil {
				assert.GreaterOrEqual(t, r.Verdict, last.Verdict)
				fails, marked := totals(r)
				lastFails, lastMarked := totals(last)
				assert.GreaterOrEqual(t, fails, lastFails, "%s, %s", edges, film.Name)
				assert.GreaterOrEqual(t, marked, lastMarked, "%s, %s", edges, film.Name)
			}
			last = r
		}
	}
}

func totals(r *Report) (fails, marked int) {
	for _, c := range r.Counts {
		fails += c.Fails
		marked += c.Fails + c.AtRisk
	}
	return fails, marked
}

// One survey judged on a film says of each kind what a survey for that film
// alone says, for what is measured once may be judged many times. (How many
// marks a line comes to may differ: a wider disc sees more of it at once.)
func TestOneSurveyServesAllFilms(t *testing.T) {
	if testing.Short() {
		t.Skip("measures many times")
	}
	films := Films()
	for edges, k := range both(sampler(2, 0.3, 0.6, 2*samplerW, 2*samplerH)) {
		wide := surveyed(t, k, 1200, films...)
		for _, film := range films {
			a, b := Judge(wide, film, Options{}), Judge(surveyed(t, k, 1200, film), film, Options{})
			assert.Equal(t, b.Verdict, a.Verdict, "%s, %s", edges, film.Name)
			for _, kind := range raster.Kinds {
				assert.Equal(t, b.Counts[kind].Fails > 0, a.Counts[kind].Fails > 0, "%s, %s: a %v fails", edges, film.Name, kind)
				assert.Equal(t, b.Counts[kind].AtRisk > 0, a.Counts[kind].AtRisk > 0, "%s, %s: a %v is at risk", edges, film.Name, kind)
			}
		}
	}
}

// With the limit set exactly to the width that was read the line is at risk;
// with the next larger number it fails. Likewise for holding.
func TestVerdictFlipsAtTheWidthRead(t *testing.T) {
	c := pen.NewCanvas(200, 120)
	c.Fill(pen.Line(raster.Point{X: 40, Y: 40.3}, raster.Point{X: 160, Y: 72}, 3.3))
	k := c.Ink()
	film := DefaultFilm("as read", 100)
	film.Limits[raster.Line] = Limit{FailUM: 100, SafeUM: 300}
	s := surveyed(t, k, 600, film)
	require.Len(t, s.Measured.Features, 1)
	read := s.Measured.Features[0].Width * s.Artwork.UMPerPx()
	require.InDelta(t, 3.3*25400/600, read, 3)
	for _, v := range []struct {
		limit Limit
		want  Verdict
	}{
		{Limit{FailUM: read, SafeUM: 300}, AtRisk},
		{Limit{FailUM: math.Nextafter(read, 1e9), SafeUM: 300}, Fails},
		{Limit{FailUM: 50, SafeUM: read}, Holds},
		{Limit{FailUM: 50, SafeUM: math.Nextafter(read, 1e9)}, AtRisk},
	} {
		film.Limits[raster.Line] = v.limit
		assert.Equal(t, v.want, Judge(s, film, Options{}).Verdict)
	}
}

// Silence: shapes well over the limits with nothing but corners and points.
func TestNothingWrongNothingSaid(t *testing.T) {
	star := func(x, y, r float64) pen.Path {
		var p []raster.Point
		for i := range 12 { // a hexagram: six points of 60 degrees
			d := r
			if i%2 == 1 {
				d = r / math.Sqrt(3)
			}
			sin, cos := math.Sincos(float64(i) * math.Pi / 6)
			p = append(p, raster.Point{X: x + d*cos, Y: y + d*sin})
		}
		return pen.Polygon(p...)
	}
	c := pen.NewCanvas(700, 480)
	c.Fill(pen.Rect(150.4, 150.7, 60, 60))
	c.Fill(star(300, 180, 45))
	c.Fill(pen.Disc(420, 180, 70))
	c.Fill(pen.Rect(500.5, 150.2, 20, 80))
	c.Fill(pen.Rect(470.5, 180.2, 30, 20))
	c.Fill(pen.Rect(520.5, 180.2, 30, 20))
	for edges, k := range both(c) {
		r := examined(t, k, 600, Films()[1])
		assert.Equal(t, Holds, r.Verdict, edges)
		assert.Empty(t, r.Marks, edges)
		for _, n := range r.Notes {
			assert.Equal(t, edges == "bilevel", n.Code == NoteLowResolution, "%s: note %s", edges, n.Code)
		}
	}
	// A hairline among them: exactly one failure.
	c.Fill(pen.Line(raster.Point{X: 160, Y: 300}, raster.Point{X: 500, Y: 310}, 1.4))
	for edges, k := range both(c) {
		r := examined(t, k, 600, Films()[1])
		assert.Equal(t, [4]Count{raster.Line: {Fails: 1}}, r.Counts, edges)
		assert.Len(t, r.Marks, 1, edges)
	}
}

func surveyed(t *testing.T, k *raster.Ink, ppi float64, films ...Film) *Survey {
	t.Helper()
	s, err := Take(pictureOf(k, ppi), Order{File: "test"}, films...)
	require.NoError(t, err)
	return s
}
