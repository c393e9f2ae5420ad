package proof

import (
	"math"
	"math/rand/v2"
	"strings"

	"golang.org/x/image/font/gofont/gobold"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// some draws a frame with a word in it and n flaws of all kinds over it; worst
// is the worst verdict among them.
func some(ppi, w, h float64, n int, worst preflight.Verdict) emblem {
	if n == 400 {
		ppi = math.Min(ppi, 600)
	}
	film := film3()
	f := &sheet.Figure{W: w, H: h}
	f.Add(sheet.RoundRect(2, 2, w-4, h-4, math.Min(w, h)/5).Stroked(black, 2.2), sheet.RoundRect(5, 5, w-10, h-10, math.Min(w, h)/6).Stroked(black, 0.6))
	size := math.Min(h/4, w/5.5)
	f.Add(lettering(gobold.TTF, "TIDE", w/2, h/2+size*0.36, 0, size, false))
	rng := rand.New(rand.NewPCG(uint64(n), 99))
	var ms []preflight.Mark
	for i := 0; i < n; i++ {
		k := raster.Kinds[i%4]
		lim := film.Limit(k)
		um := lim.FailUM * (0.6 + 0.3*rng.Float64())
		if worst == preflight.AtRisk || i%3 == 2 {
			um = lim.FailUM + (lim.SafeUM-lim.FailUM)*rng.Float64()*0.9
		}
		d := um / 1000
		p := sheet.Pt{X: 8 + rng.Float64()*(w-16), Y: 8 + rng.Float64()*(h-16)}
		switch k {
		case raster.Line, raster.Strip:
			deg := rng.Float64() * 180
			a, b := at(p.X, p.Y, 3, deg), at(p.X, p.Y, -3, deg)
			c := black
			if k == raster.Strip {
				f.Add(sheet.LineTo(a.X, a.Y, b.X, b.Y).Stroked(black, 1.6))
				a, b, c = at(p.X, p.Y, 3.2, deg), at(p.X, p.Y, -3.2, deg), white
			}
			f.Add(sheet.LineTo(a.X, a.Y, b.X, b.Y).Stroked(c, d))
			ms = append(ms, markOf(film, k, um, p, math.Mod(deg+90, 180), boxAround(d/2, a, b), []sheet.Pt{a, b}))
		case raster.Dot:
			f.Add(sheet.Circle(p.X, p.Y, d/2).Filled(black))
			ms = append(ms, markOf(film, k, um, p, math.NaN(), boxAround(d/2, p), nil))
		case raster.Island:
			f.Add(sheet.Circle(p.X, p.Y, 0.9).Filled(black), sheet.Circle(p.X, p.Y, d/2).Filled(white))
			ms = append(ms, markOf(film, k, um, p, math.NaN(), boxAround(d/2, p), nil))
		}
	}
	r := reportOf(film, ms, w, h, ppi)
	if n == 0 {
		r.Finest[raster.Line] = preflight.Finest{Found: true, WidthUM: 600, At: preflight.PointMM{X: w / 2, Y: 5}}
		r.Finest[raster.Strip] = preflight.Finest{Found: true, WidthUM: 1600, At: preflight.PointMM{X: w / 2, Y: 3.9}}
		r.SufficesFromWidthMM = holdsFrom(r)
		r.HoldsFromWidthMM = holdsFrom(r)
	}
	return emblem{inkOf(f, ppi), r}
}

// pattern draws a boat before a sky of 3,600 halftone dots in two marks.
func pattern(ppi float64) emblem {
	film := film3()
	f := &sheet.Figure{W: 72, H: 72}
	f.Add(sheet.Circle(36, 36, 35).Stroked(black, 1.6), sheet.Circle(36, 36, 29).Stroked(black, 0.6))
	var bs [2][]preflight.BoxMM
	var tight [2]sheet.Pt
	least := [2]float64{math.Inf(1), math.Inf(1)}
	for y := 10.0; y < 62; y += 0.72 {
		for x := 10.0; x < 62; x += 0.72 {
			r := math.Hypot(x-36, y-36)
			if r > 26.5 {
				continue
			}
			um := 70 + 95*r/26.5
			d := um / 1000
			f.Add(sheet.Circle(x, y, d/2).Filled(black))
			g := -1
			switch {
			case um < 114.3:
				g = 0
			case um < 152.4:
				g = 1
			}
			if g >= 0 {
				bs[g] = append(bs[g], boxAround(d/2, sheet.Pt{X: x, Y: y}))
				if um < least[g] {
					least[g], tight[g] = um, sheet.Pt{X: x, Y: y}
				}
			}
		}
	}
	poly := func(c ...sheet.Pt) { f.Add(sheet.Poly(true, c...).Filled(black).Stroked(white, 0.5)) }
	poly(sheet.Pt{X: 38, Y: 18}, sheet.Pt{X: 50, Y: 44}, sheet.Pt{X: 38, Y: 45})
	poly(sheet.Pt{X: 34, Y: 24}, sheet.Pt{X: 34, Y: 45}, sheet.Pt{X: 24, Y: 44})
	poly(sheet.Pt{X: 20, Y: 47}, sheet.Pt{X: 52, Y: 47}, sheet.Pt{X: 47, Y: 53}, sheet.Pt{X: 25, Y: 53})
	var ms []preflight.Mark
	for g := range bs {
		m := markOf(film, raster.Dot, least[g], tight[g], math.NaN(), bs[g][0], nil)
		m.Count, m.Boxes = len(bs[g]), bs[g]
		for _, b := range bs[g] {
			m.Box = union(m.Box, b)
		}
		ms = append(ms, m)
	}
	r := reportOf(film, ms, 72, 72, ppi)
	r.Finest[raster.Line] = preflight.Finest{Found: true, WidthUM: 600, At: preflight.PointMM{X: 36, Y: 7}}
	return emblem{inkOf(f, ppi), r}
}

// hostileJob has names that try to break the page.
func hostileJob() Job {
	j := testJob()
	j.Number = `<script>alert("1")</script>` + "\x00\r\nBcc: x@y"
	j.Customer = "שלום \u202Eevil\u202C 👩‍🚀🚀 مرحبا"
	j.Artwork = strings.Repeat("very-long-name-", 40) + `"><img src=x onerror=alert(1)>.png`
	j.Revision = "</style><b>"
	j.Shop.Name = `Tern & Tide */ } body{display:none} "`
	j.Shop.Address = []string{strings.Repeat("Quay ", 60), "'; --"}
	return j
}
