package main

import (
	"math"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// regatta is a photograph turned into dots for a wine cooler: a cutter under
// sail, in an oval of 76 x 56 mm. Each dot's size is the tone at its place, so
// the lightest tones are dots too small for any film.
func regatta(ppi float64) *sheet {
	const w, h = 90.0, 68.0
	s := newSheet(w, h, ppi)
	const cx, cy, rx, ry = w / 2, h / 2, 38.0, 28.0

	s.ink(ellipseRing(cx, cy, rx+2.1, ry+2.1, 0.5))
	s.ink(ellipseRing(cx, cy, rx+1.3, ry+1.3, 0.18))

	scene := cutter()
	const pitch = 0.95
	for j := -60; j <= 60; j++ {
		for i := -60; i <= 60; i++ {
			// A screen at 45 degrees.
			x := cx + float64(i+j)*pitch*math.Sqrt2/2
			y := cy + float64(i-j)*pitch*math.Sqrt2/2
			if math.Hypot((x-cx)/(rx-0.1), (y-cy)/(ry-0.1)) > 1 {
				continue
			}
			d := 2 * pitch * math.Sqrt(scene.tone(x, y)/math.Pi)
			if d > 0.05 {
				s.ink(pen.Disc(x, y, d))
			}
		}
	}
	return s
}

func ellipseRing(cx, cy, rx, ry, width float64) pen.Path {
	oval := func(k float64) pen.Path {
		return pen.Disc(0, 0, 2).Map(func(p raster.Point) raster.Point { return pt(cx+p.X*(rx+k), cy+p.Y*(ry+k)) })
	}
	return append(oval(width/2), oval(-width/2).Reversed()...)
}

// scene is a picture in tones, 0 light to 1 dark: layers painted over one
// another.
type scene []layer

// layer is a shape, at sceneScale pixels a millimetre, and the tone at a place
// inside it. The first layer has no shape: it is everywhere.
type layer struct {
	shape *pen.Canvas
	tone  func(x, y float64) float64
}

const sceneScale = 8

func (sc *scene) paint(p pen.Path, tone func(x, y float64) float64) {
	c := pen.NewCanvas(90*sceneScale, 68*sceneScale)
	c.Fill(p.Scaled(sceneScale))
	*sc = append(*sc, layer{c, tone})
}

// tone is the mean of the picture over about one dot's ground.
func (sc scene) tone(x, y float64) float64 {
	const n = 5
	sum := 0.0
	for j := range n {
		for i := range n {
			px, py := x+(float64(i)/(n-1)-0.5)*0.66, y+(float64(j)/(n-1)-0.5)*0.66
			v := sc[0].tone(px, py)
			for _, l := range sc[1:] {
				cover := l.shape.Grey[int(py*sceneScale)*l.shape.W+int(px*sceneScale)]
				v += (l.tone(px, py) - v) * float64(cover) / 255
			}
			sum += v
		}
	}
	return math.Max(0, math.Min(0.7, sum/(n*n)))
}

// cutter is a sailing boat on a bright evening, sailing to the right.
func cutter() scene {
	const horizon = 43.5
	flat := func(v float64) func(x, y float64) float64 { return func(x, y float64) float64 { return v } }
	sky := func(x, y float64) float64 {
		glow := math.Hypot(x-70, y-21)
		return 0.25 + 0.17*(horizon-y)/38 - 0.14*math.Exp(-glow*glow/160)
	}
	sc := scene{{nil, sky}}
	sc.paint(pen.Disc(70, 21, 9), flat(0.004))                                                // the sun
	for _, c := range [][4]float64{{20, 17, 9, 1.5}, {26, 18.6, 10, 1.3}, {76, 32, 8, 1.1}} { // clouds
		sc.paint(pen.Disc(0, 0, 2).Map(func(p raster.Point) raster.Point { return pt(c[0]+c[2]*p.X, c[1]+c[3]*p.Y) }), flat(0.14))
	}
	sc.paint(outline("M 0 43.6 L 0 39.4 C 6 37.6 9 36.6 13 38.4 C 17 40 20 40.6 24 42 L 29 43.6"), flat(0.36)) // a headland
	sea := func(x, y float64) float64 {
		deep := (y - horizon) / 20
		swell := math.Sin(2*math.Pi*(y-horizon)/(1.5+2.2*deep) + 1.3*math.Sin(x/4.7))
		glint := math.Exp(-(x-70)*(x-70)/60) * 0.3
		return 0.34 + 0.24*deep + 0.13*swell - glint
	}
	sc.paint(pen.Rect(0, horizon, 90, 30), sea)
	// The sails' light on the water.
	sc.paint(outline("M 27 49.5 L 60 49.5 C 55 53 50 56 47 60 C 42 56 34 53 27 49.5"), func(x, y float64) float64 { return sea(x, y) - 0.22 })
	// Main sail, top sail, stay sail and jib.
	belly := func(from, to, light, dark float64) func(x, y float64) float64 {
		return func(x, y float64) float64 {
			t := math.Max(0, math.Min(1, (x-from)/(to-from)))
			return light + (dark-light)*t*t
		}
	}
	sc.paint(outline("M 43.4 17.6 C 37 18.8 34 20 31.4 21.8 C 29.4 29 26.4 35.6 21 41.6 C 29 43.2 37 43.4 43.4 42.6"), belly(22, 44, 0.004, 0.15))
	sc.paint(outline("M 43.4 8.6 C 40.6 12.6 36.2 17 32.6 20 C 36 18.6 39.6 17.4 43.4 16.6"), belly(33, 44, 0.01, 0.16))
	sc.paint(outline("M 46 14.4 C 48 25 50 33 55.4 41.4 C 52 42.4 49 42.5 46 42"), belly(55, 45, 0.02, 0.13))
	sc.paint(outline("M 46.6 10.6 C 51 24 57 34 67.6 42 C 63.6 42.7 60.4 42.6 57 42 C 52.6 34 49.2 24 46.6 10.6"), belly(68, 46, 0.004, 0.09))
	sc.paint(pen.Rect(44.1, 7.2, 1.1, 38), flat(0.74))                                                                                                                                             // the mast
	sc.paint(outline("M 20 42.7 C 28 44.2 37 44.5 44.5 43.8 L 44.5 44.6 C 36 45.3 27 45 20 43.7"), flat(0.74))                                                                                     // the boom
	sc.paint(outline("M 23.4 45 C 34 46.6 48 46.4 58.6 44.6 L 69.6 42.6 L 69.8 43.4 L 60.4 45.8 C 58.4 48.6 56 50 53.4 50.6 C 43 51.6 33 51.2 27.4 49.8 C 25.4 48.6 24.2 47 23.4 45"), flat(0.74)) // the hull
	return sc
}
