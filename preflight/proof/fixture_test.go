package proof

import (
	"image"
	"image/color"
	"math"
	"time"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// film3 is the 3 mil film with the default limits of design section 3.
func film3() preflight.Film { return filmOf("3 mil", 76.2) }

func filmOf(name string, t float64) preflight.Film {
	lim := func(f, s float64) preflight.Limit { return preflight.Limit{FailUM: f * t, SafeUM: s * t} }
	return preflight.Film{Name: name, ThicknessUM: t, Limits: [4]preflight.Limit{
		raster.Line: lim(1, 1.5), raster.Dot: lim(1.5, 2), raster.Strip: lim(1.5, 2), raster.Island: lim(3, 4)}}
}

var testDate = time.Date(2027, 3, 12, 0, 0, 0, 0, time.UTC)

func testJob() Job {
	return Job{Number: "2027-031", Customer: "Merrow Sound Sailing Club", Artwork: "regatta-crest.png", Revision: "B", Date: testDate,
		Shop: Shop{Name: "Tern & Tide", Address: []string{"Glass workshop, 4 Slip Lane, Merrow Sound"}, Email: "proofs@ternandtide.example", Logo: ternLogo()},
		Lang: "en"}
}

// ternLogo draws the workshop's sign: a tern over two waves.
func ternLogo() image.Image {
	f := &sheet.Figure{W: 10, H: 7}
	seg := func(op byte, ps ...sheet.Pt) sheet.Seg {
		s := sheet.Seg{Op: op}
		copy(s.P[:], ps)
		return s
	}
	f.Add(sheet.Path{D: []sheet.Seg{
		seg('M', sheet.Pt{X: 0.4, Y: 1.6}), seg('C', sheet.Pt{X: 2, Y: 0.2}, sheet.Pt{X: 4, Y: 0.6}, sheet.Pt{X: 5, Y: 2.2}),
		seg('C', sheet.Pt{X: 6, Y: 0.6}, sheet.Pt{X: 8, Y: 0.2}, sheet.Pt{X: 9.6, Y: 1.6}),
		seg('C', sheet.Pt{X: 8, Y: 1.4}, sheet.Pt{X: 6.4, Y: 2}, sheet.Pt{X: 5, Y: 3.6}),
		seg('C', sheet.Pt{X: 3.6, Y: 2}, sheet.Pt{X: 2, Y: 1.4}, sheet.Pt{X: 0.4, Y: 1.6}), seg('Z')}}.Filled(inkText))
	for i, w := range []float64{3.6, 2.4} {
		y := 4.9 + 1.2*float64(i)
		p := sheet.Path{D: []sheet.Seg{seg('M', sheet.Pt{X: 5 - w, Y: y})}}
		for k := 0; k < 4; k++ {
			x := 5 - w + w/2*float64(k)
			d := 0.45 * (1 - 2*float64(k%2))
			p.D = append(p.D, seg('C', sheet.Pt{X: x + w/8, Y: y - d}, sheet.Pt{X: x + w*3/8, Y: y - d}, sheet.Pt{X: x + w/2, Y: y}))
		}
		f.Add(p.Stroked(inkText, 0.5).Rounded())
	}
	return f.Draw(400)
}

// emblem is the regatta crest, 72 mm wide, with flaws whose places are known.
type emblem struct {
	ink *raster.Ink
	r   *preflight.Report
}

func inkOf(f *sheet.Figure, ppi float64) *raster.Ink {
	img := f.Draw(ppi)
	w, h := img.Bounds().Dx(), img.Bounds().Dy()
	g := make([]uint8, w*h)
	for i := range g {
		g[i] = 255 - img.Pix[4*i]
	}
	return raster.NewGreyInk(w, h, g)
}

var black, white = color.NRGBA{A: 255}, color.NRGBA{R: 255, G: 255, B: 255, A: 255}

func at(cx, cy, r, deg float64) sheet.Pt {
	s, c := math.Sincos(deg * math.Pi / 180)
	return sheet.Pt{X: cx + r*c, Y: cy + r*s}
}

// lettering returns s along an arc about (cx, cy): at the top running
// clockwise, or at the bottom running the other way.
func lettering(ttf []byte, s string, cx, cy, r, size float64, bottom bool) sheet.Path {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic(err)
	}
	var buf sfnt.Buffer
	const em = 2048
	widths := 0.0
	for _, ch := range s {
		g, _ := f.GlyphIndex(&buf, ch)
		a, _ := f.GlyphAdvance(&buf, g, fixed.I(em), 0)
		widths += float64(a)/64/em*size + 0.08*size
	}
	var out sheet.Path
	pos := -widths / 2
	for _, ch := range s {
		g, _ := f.GlyphIndex(&buf, ch)
		a, _ := f.GlyphAdvance(&buf, g, fixed.I(em), 0)
		adv := float64(a)/64/em*size + 0.08*size
		mid := pos + adv/2
		to := func(p fixed.Point26_6) sheet.Pt {
			x, y := float64(p.X)/64/em*size-adv/2+0.04*size, float64(p.Y)/64/em*size
			if r == 0 {
				return sheet.Pt{X: cx + mid + x, Y: cy + y}
			}
			ang := mid / r
			if bottom {
				ang = -ang
				s, c := math.Sincos(ang)
				px, py := x, y+r+0.72*size
				return sheet.Pt{X: cx + px*c - py*s, Y: cy + px*s + py*c}
			}
			s, c := math.Sincos(ang)
			px, py := x, y-r
			return sheet.Pt{X: cx + px*c - py*s, Y: cy + px*s + py*c}
		}
		segs, err := f.LoadGlyph(&buf, g, fixed.I(em), nil)
		if err == nil {
			var cur sheet.Pt
			open := false
			for _, sg := range segs {
				p0 := to(sg.Args[0])
				switch sg.Op {
				case sfnt.SegmentOpMoveTo:
					if open {
						out.D = append(out.D, sheet.Seg{Op: 'Z'})
					}
					open = true
					out.D = append(out.D, sheet.Seg{Op: 'M', P: [3]sheet.Pt{p0}})
					cur = p0
				case sfnt.SegmentOpLineTo:
					out.D = append(out.D, sheet.Seg{Op: 'L', P: [3]sheet.Pt{p0}})
					cur = p0
				case sfnt.SegmentOpQuadTo:
					p1 := to(sg.Args[1])
					c1 := sheet.Pt{X: cur.X + 2.0/3*(p0.X-cur.X), Y: cur.Y + 2.0/3*(p0.Y-cur.Y)}
					c2 := sheet.Pt{X: p1.X + 2.0/3*(p0.X-p1.X), Y: p1.Y + 2.0/3*(p0.Y-p1.Y)}
					out.D = append(out.D, sheet.Seg{Op: 'C', P: [3]sheet.Pt{c1, c2, p1}})
					cur = p1
				}
			}
			out.D = append(out.D, sheet.Seg{Op: 'Z'})
		}
		pos += adv
	}
	return out.Filled(black)
}

func mm(p sheet.Pt) preflight.PointMM { return preflight.PointMM{X: p.X, Y: p.Y} }

func boxAround(pad float64, ps ...sheet.Pt) preflight.BoxMM {
	b := bounds(ps)
	return preflight.BoxMM{X0: b.x0 - pad, Y0: b.y0 - pad, X1: b.x1 + pad, Y1: b.y1 + pad}
}

func markOf(f preflight.Film, k raster.Kind, um float64, at sheet.Pt, deg float64, box preflight.BoxMM, path []sheet.Pt) preflight.Mark {
	lim := f.Limit(k)
	m := preflight.Mark{Kind: k, Count: 1, WidthUM: um, FailUM: lim.FailUM, SafeUM: lim.SafeUM, At: mm(at), AcrossDeg: deg, Box: box}
	switch {
	case um < lim.FailUM:
		m.Verdict = preflight.Fails
	case um < lim.SafeUM:
		m.Verdict = preflight.AtRisk
	}
	for _, p := range path {
		m.Path = append(m.Path, mm(p))
	}
	return m
}

// crest draws the emblem at a resolution and tells its flaws as a report.
func crest(ppi float64, flawed bool) emblem {
	film := film3()
	f := &sheet.Figure{W: 72, H: 72}
	const cx, cy = 36.0, 36.0
	var marks []preflight.Mark
	add := func(k raster.Kind, um float64, at sheet.Pt, deg float64, box preflight.BoxMM, path ...sheet.Pt) {
		marks = append(marks, markOf(film, k, um, at, deg, box, path))
	}
	f.Add(sheet.Circle(cx, cy, 35.2).Stroked(black, 1.2), sheet.Circle(cx, cy, 32).Stroked(black, 3.4), sheet.Circle(cx, cy, 28.6).Stroked(black, 0.5))
	gap := 0.26
	for i := 0; i < 72; i++ {
		w := gap
		d := float64(i)*5 + 1
		if flawed && d > 140 && d < 170 {
			w = 0.085
		}
		a, b, c := at(cx, cy, 30.5, d-3), at(cx, cy, 32, d), at(cx, cy, 33.5, d+3)
		f.Add(sheet.Poly(false, a, b, c).Stroked(white, w))
		if w < 0.1 {
			dir := math.Atan2(c.Y-a.Y, c.X-a.X)*180/math.Pi + 90
			add(raster.Strip, 85+float64(i%3), b, math.Mod(dir+360, 180), boxAround(0.1, a, b, c), a, b, c)
		}
	}
	f.Add(lettering(gobold.TTF, "HARBOUR REGATTA", cx, cy, 22, 5, false), lettering(gobold.TTF, "TERN & TIDE CUP", cx, cy, 22.4, 4.6, true))
	// rays
	for i := 0; i < 48; i++ {
		d := float64(i)*7.5 + 3.75
		w := 0.22
		if flawed && i >= 38 && i < 47 {
			w = 0.06
		}
		a, b := at(cx, cy, 3, d), at(cx, cy, 10.5+3*float64(i%2), d)
		f.Add(sheet.LineTo(a.X, a.Y, b.X, b.Y).Stroked(black, w))
		if w < 0.1 {
			add(raster.Line, 60+float64(i%4), at(cx, cy, 9, d), math.Mod(d+90+360, 180), boxAround(0.05, at(cx, cy, 5, d), b), at(cx, cy, 5, d), b)
		}
	}
	// rose
	for i := 0; i < 8; i++ {
		d := float64(i)*45 - 90
		r := 17.0
		if i%2 == 1 {
			r = 9
		}
		tip, l, rr, o := at(cx, cy, r, d), at(cx, cy, 2.6, d-45), at(cx, cy, 2.6, d+45), sheet.Pt{X: cx, Y: cy}
		f.Add(sheet.Poly(true, o, l, tip).Filled(white), sheet.Poly(true, o, rr, tip).Filled(black), sheet.Poly(true, o, l, tip, rr).Stroked(black, 0.25))
	}
	f.Add(sheet.Circle(cx, cy, 1.5).Filled(white).Stroked(black, 0.4))
	// waves
	wave := func(y, w, amp float64) []sheet.Pt {
		var ps []sheet.Pt
		for x := -13.0; x <= 13; x += 0.1 {
			ps = append(ps, sheet.Pt{X: cx + x, Y: y + amp*math.Sin(x*2)})
		}
		f.Add(sheet.Poly(false, ps...).Stroked(black, w).Rounded())
		return ps
	}
	wave(51.6, 0.5, 0.5)
	if flawed {
		ps := wave(53, 0.10, 0.45)
		add(raster.Line, 100, ps[71], 90-60, boxAround(0.1, ps...), ps...)
	} else {
		wave(53, 0.3, 0.45)
	}
	// dots
	dotR := 0.13
	if flawed {
		dotR = 0.045
	}
	for i, p := range []sheet.Pt{{X: 48, Y: 48.6}, {X: 50.4, Y: 47.6}, {X: 52, Y: 49.4}, {X: 49.6, Y: 50}} {
		f.Add(sheet.Circle(p.X, p.Y, dotR).Filled(black))
		if flawed {
			add(raster.Dot, 90+float64(i), p, math.NaN(), boxAround(dotR, p))
		}
	}
	// small lettering, its two smallest counters
	f.Add(lettering(goregular.TTF, "raced since 1987", cx, 56.4, 0, 1.45, false))
	if flawed {
		for _, x := range []float64{31.52, 32.95} {
			p := sheet.Pt{X: x, Y: 56.05}
			add(raster.Island, 220, p, 90, boxAround(0.12, p))
		}
	}
	// the buttons left and right, one split
	for _, x := range []float64{11.5, 60.5} {
		f.Add(sheet.Circle(x, 36, 0.9).Filled(black))
	}
	if flawed {
		a, b := sheet.Pt{X: 10.4, Y: 36.35}, sheet.Pt{X: 12.6, Y: 35.65}
		f.Add(sheet.LineTo(a.X, a.Y, b.X, b.Y).Stroked(white, 0.13))
		add(raster.Strip, 130, sheet.Pt{X: 11.5, Y: 36}, 72, boxAround(0.05, a, b), a, b)
	}
	r := reportOf(film, marks, 72, 72, ppi)
	r.Finest = [4]preflight.Finest{
		raster.Line:   {Found: true, WidthUM: 200, At: preflight.PointMM{X: at(cx, cy, 9, 3.75).X, Y: at(cx, cy, 9, 3.75).Y}},
		raster.Dot:    {Found: true, WidthUM: 260, At: preflight.PointMM{X: 48, Y: 48.6}},
		raster.Strip:  {Found: true, WidthUM: 240, At: mm(at(cx, cy, 32, 1))},
		raster.Island: {Found: true, WidthUM: 360, At: preflight.PointMM{X: 31.5, Y: 56.05}},
	}
	for _, m := range r.Marks {
		if fin := &r.Finest[m.Kind]; m.WidthUM < fin.WidthUM {
			fin.WidthUM, fin.At = m.WidthUM, m.At
		}
	}
	r.SufficesFromWidthMM = holdsFrom(r)
	r.HoldsFromWidthMM = holdsFrom(r)
	return emblem{inkOf(f, ppi), r}
}

// reportOf puts marks, worst first, into a report.
func reportOf(film preflight.Film, marks []preflight.Mark, w, h, ppi float64) *preflight.Report {
	r := &preflight.Report{Film: film, Marks: marks, Artwork: preflight.Artwork{File: "regatta-crest.png", SHA256: "0", Format: "png",
		WidthPx: int(math.Round(w / 25.4 * ppi)), HeightPx: int(math.Round(h / 25.4 * ppi)), PxPerInch: ppi, SizeFrom: "metadata", WidthMM: w, HeightMM: h}}
	for i := range marks {
		m := &marks[i]
		m.ID = i + 1
		r.Verdict = max(r.Verdict, m.Verdict)
		if m.Verdict == preflight.Fails {
			r.Counts[m.Kind].Fails += m.Count
		} else {
			r.Counts[m.Kind].AtRisk += m.Count
		}
		if fin := &r.Finest[m.Kind]; !fin.Found || m.WidthUM < fin.WidthUM {
			*fin = preflight.Finest{Found: true, WidthUM: m.WidthUM, At: m.At}
		}
	}
	r.SufficesFromWidthMM = holdsFrom(r)
	r.HoldsFromWidthMM = holdsFrom(r)
	return r
}

func holdsFrom(r *preflight.Report) float64 {
	f := 0.0
	for _, k := range raster.Kinds {
		if fin := r.Finest[k]; fin.Found {
			f = math.Max(f, r.Film.Limit(k).SafeUM/fin.WidthUM)
		}
	}
	return f * r.Artwork.WidthMM
}

// filmsFor tells how a report fares on the usual films, by its finest widths.
func filmsFor(r *preflight.Report) []FilmOutcome {
	var out []FilmOutcome
	for _, mil := range []float64{2, 3, 4, 5, 6, 8, 10} {
		f := filmOf(english.numbers("mm").fixed(mil, 0)+" mil", mil*25.4)
		o := FilmOutcome{Film: f}
		for _, k := range raster.Kinds {
			if fin := r.Finest[k]; fin.Found {
				w := r.Artwork.WidthMM / fin.WidthUM
				o.FailsBelowWidthMM = math.Max(o.FailsBelowWidthMM, f.Limit(k).FailUM*w)
				o.HoldsFromWidthMM = math.Max(o.HoldsFromWidthMM, f.Limit(k).SafeUM*w)
			}
		}
		switch {
		case r.Artwork.WidthMM < o.FailsBelowWidthMM:
			o.Verdict = preflight.Fails
		case r.Artwork.WidthMM < o.HoldsFromWidthMM:
			o.Verdict = preflight.AtRisk
		}
		out = append(out, o)
	}
	return out
}

// benchFacts are the facts of a shop that works with F220 and tapes 15 mm.
func benchFacts(r *preflight.Report) BenchFacts {
	g, err := preflight.ParseGrit("F220")
	if err != nil {
		panic(err)
	}
	return BenchFacts{Facts: preflight.Facts(&r.Film, nil), Grit: &g, TapeMarginUM: 15000, Films: filmsFor(r)}
}
