package preflight

import (
	"math"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// lines draws each step as a bar upright, level and slanting, and a wedge below
// that is as wide at each column as the step above.
func (b *gaugeBoard) lines() {
	const k = raster.Line
	for i, s := range b.g.Steps[k] {
		w := s.WidthUM / 1000
		x, y := b.column(i), b.snap(b.y)
		b.bar(k, s, 90, x, y+gaugeBarMM/2, w, pen.Rect(b.snap(x-w/2), y, w, b.snap(gaugeBarMM)), b.ink)
		y += gaugeBarMM + b.gap
		b.bar(k, s, 0, x, y+w/2, w, pen.Rect(b.snap(x-gaugeBarMM/2), b.snap(y), b.snap(gaugeBarMM), w), b.ink)
		y += b.widest(k) + b.gap
		if m, ok := b.slanted(k, w); ok {
			half := gaugeBarMM / 2 / math.Sqrt2
			c := b.slantCentre(x, y+half, m)
			s.WidthUM = m * 1000
			b.bar(k, s, 45, c.X, c.Y, m, slantBar(c, gaugeBarMM, m), b.ink)
		}
	}
	b.y += gaugeBarMM + b.gap + b.widest(k) + b.gap + gaugeBarMM/math.Sqrt2 + 2*b.gap
	b.wedge(k, b.y+b.widest(k)/2, 0, b.ink)
	b.y += b.widest(k) + b.gap
}

// strips does the same with film between two blocks of ink.
func (b *gaugeBoard) strips() {
	const k = raster.Strip
	for i, s := range b.g.Steps[k] {
		w := s.WidthUM / 1000
		x, y := b.column(i), b.snap(b.y)
		block := b.snap(gaugeBlockMM)
		l := b.snap(x - w/2)
		b.bar(k, s, 90, x, y+gaugeBarMM/2, w, append(
			pen.Rect(l-block, y, block, b.snap(gaugeBarMM)), pen.Rect(l+w, y, block, b.snap(gaugeBarMM))...), b.ink)
		y = b.snap(y + gaugeBarMM + b.gap)
		l = b.snap(x - gaugeBarMM/2)
		b.bar(k, s, 0, x, y+block+w/2, w, append(
			pen.Rect(l, y, b.snap(gaugeBarMM), block), pen.Rect(l, y+block+w, b.snap(gaugeBarMM), block)...), b.ink)
		y += 2*block + b.widest(k) + b.gap
		if m, ok := b.slanted(k, w); ok {
			half := (gaugeBarMM + 2*gaugeBlockMM + b.widest(k)) / 2 / math.Sqrt2
			c := b.slantCentre(x, y+half, m)
			off := (m + gaugeBlockMM) / 2 / math.Sqrt2
			s.WidthUM = m * 1000
			b.bar(k, s, 45, c.X, c.Y, m, append(
				slantBar(raster.Point{X: c.X - off, Y: c.Y + off}, gaugeBarMM, gaugeBlockMM),
				slantBar(raster.Point{X: c.X + off, Y: c.Y - off}, gaugeBarMM, gaugeBlockMM)...), b.ink)
		}
	}
	b.y += gaugeBarMM + 2*b.gap + 2*gaugeBlockMM + b.widest(k) + (gaugeBarMM+2*gaugeBlockMM+b.widest(k))/math.Sqrt2 + b.gap
	steps := len(b.g.Steps[k])
	y := b.y + gaugeBlockMM + b.widest(k)/2
	b.ink(pen.Rect(b.column(0), y-b.widest(k)/2-gaugeBlockMM, float64(steps-1)*b.pitch, 2*gaugeBlockMM+b.widest(k)))
	// Past the block's end, where half covered pixels would keep a sliver of ink.
	b.wedge(k, y, 2*b.px, b.film)
	b.y += 2*gaugeBlockMM + b.widest(k) + b.gap
}

// bar draws a line or strip around (x, y) and notes it.
func (b *gaugeBoard) bar(k raster.Kind, s GaugeStep, deg int, x, y, w float64, p pen.Path, put func(pen.Path)) {
	put(p)
	hx, hy := w/2, gaugeBarMM/2
	switch deg {
	case 0:
		hx, hy = hy, hx
	case 45:
		hx = (gaugeBarMM + w) / 2 / math.Sqrt2
		hy = hx
	}
	b.element(GaugeElement{Kind: k, Step: s.Number, WidthUM: s.WidthUM, Deg: deg}, x-hx, y-hy, x+hx, y+hy)
}

// widest is the widest step of a kind in millimetres.
func (b *gaugeBoard) widest(k raster.Kind) float64 {
	s := b.g.Steps[k]
	return s[len(s)-1].WidthUM / 1000
}

// slanted returns the width that a slanting bar is drawn with. In grey it is
// the step's. On whole pixels a slanting bar is m diagonals wide, m/sqrt 2
// pixels: the m nearest to the step's width that lies on the same side of both
// limits, and none when there is no such m.
func (b *gaugeBoard) slanted(k raster.Kind, w float64) (float64, bool) {
	if !b.g.Bilevel {
		return w, true
	}
	unit := b.px / math.Sqrt2
	limit := b.g.Film.Limits[k]
	m := math.Round(w / unit)
	for _, try := range [3]float64{m, m + 1, m - 1} {
		if got := try * unit; limit.judge(got*1000) == limit.judge(w*1000) && math.Abs(got-w) < b.px {
			return got, true
		}
	}
	return 0, false
}

// slantCentre moves a point so that a slanting bar m wide around it, on whole
// pixels, has its edges midway between diagonals of pixel centres.
func (b *gaugeBoard) slantCentre(x, y, m float64) raster.Point {
	if !b.g.Bilevel {
		return raster.Point{X: x, Y: y}
	}
	n := math.Round(m / b.px * math.Sqrt2)
	d := math.Round((x - y) / b.px)
	if math.Mod(n, 2) == 0 {
		d += 0.5
	}
	y = (math.Round(y/b.px) + 0.5) * b.px
	return raster.Point{X: y + d*b.px, Y: y}
}

// slantBar is a bar that runs from the upper left to the lower right.
func slantBar(c raster.Point, long, w float64) pen.Path {
	h := long / 2 / math.Sqrt2
	return pen.Line(raster.Point{X: c.X - h, Y: c.Y - h}, raster.Point{X: c.X + h, Y: c.Y + h}, w)
}

// wedge draws a bar from the first column's middle to the last one's whose
// width at each column is that of the step above it, and in between runs along
// an exponential curve, so that equal lengths are equal shares of a step. On
// whole pixels it begins where it is three of them wide: under that its stair is
// too coarse for a taper. Its wide end goes on as it is by beyond.
func (b *gaugeBoard) wedge(k raster.Kind, y, beyond float64, put func(pen.Path)) {
	steps := b.g.Steps[k]
	begin := 0
	for b.g.Bilevel && begin < len(steps)-2 && steps[begin].WidthUM/1000 < 2.9*b.px {
		begin++
	}
	y = b.snap(y)
	var top []raster.Point
	const pieces = 40
	for i := begin; i < len(steps)-1; i++ {
		from, to := steps[i].WidthUM/1000, steps[i+1].WidthUM/1000
		for j := range pieces + 1 {
			t := float64(j) / pieces
			top = append(top, raster.Point{X: b.column(i) + t*b.pitch, Y: y + from*math.Pow(to/from, t)})
		}
	}
	first, last := top[0], top[len(top)-1]
	put(pen.Path{append(top, raster.Point{X: last.X + beyond, Y: last.Y}, raster.Point{X: last.X + beyond, Y: y}, raster.Point{X: first.X, Y: y})})
	b.element(GaugeElement{Kind: k, WidthUM: steps[begin].WidthUM, Wedge: true}, first.X, y, last.X, last.Y)
}

// gaugeDots is how many dots, or islands, a step has.
const gaugeDots = 3

// dots draws the dots of each step one below the other, and below them, between
// the columns, one of the width midway between two steps.
func (b *gaugeBoard) dots() {
	const k = raster.Dot
	fall := b.widest(k) + 2*b.gap
	for i, s := range b.g.Steps[k] {
		for j := range gaugeDots {
			b.disc(k, s.Number, s.WidthUM, b.column(i), b.y+b.widest(k)/2+float64(j)*fall, b.ink)
		}
	}
	b.y += gaugeDots * fall
	b.between(k, b.y+b.widest(k)/2, b.ink)
	b.y += b.widest(k) + b.gap
}

// islands draws the islands of each step in a block of ink, and a long block
// below with one between each two columns.
func (b *gaugeBoard) islands() {
	const k = raster.Island
	block, fall := b.widest(k)+2*gaugeBlockMM, b.widest(k)+gaugeBlockMM
	tall := gaugeBlockMM + gaugeDots*fall
	for i, s := range b.g.Steps[k] {
		b.ink(pen.Rect(b.column(i)-block/2, b.y, block, tall))
		for j := range gaugeDots {
			b.disc(k, s.Number, s.WidthUM, b.column(i), b.y+gaugeBlockMM+b.widest(k)/2+float64(j)*fall, b.film)
		}
	}
	b.y += tall + b.gap
	b.ink(pen.Rect(b.column(0), b.y, float64(len(b.g.Steps[k])-1)*b.pitch, block))
	b.between(k, b.y+block/2, b.film)
	b.y += block + b.gap
}

// between draws, between each two columns, a disc of the width midway.
func (b *gaugeBoard) between(k raster.Kind, y float64, put func(pen.Path)) {
	steps := b.g.Steps[k]
	for i := range len(steps) - 1 {
		w := math.Sqrt(steps[i].WidthUM * steps[i+1].WidthUM)
		w, ok := b.g.drawable(k, w)
		if !ok || w-steps[i].WidthUM < 1e-6 || steps[i+1].WidthUM-w < 1e-6 {
			continue
		}
		b.disc(k, 0, w, (b.column(i)+b.column(i+1))/2, y, put)
	}
}

// disc draws a disc of the width and notes it. On whole pixels its centre is a
// pixel's corner or middle, whichever makes it even on all sides.
func (b *gaugeBoard) disc(k raster.Kind, step int, widthUM, x, y float64, put func(pen.Path)) {
	x, y = b.snap(x), b.snap(y)
	d := widthUM / 1000
	if b.g.Bilevel {
		n := wholeDiscAcross(d / b.px)
		d = float64(n) * b.px
		if n%2 == 1 {
			x, y = x+b.px/2, y+b.px/2
		}
	}
	put(pen.Disc(x, y, d))
	b.element(GaugeElement{Kind: k, Step: step, WidthUM: widthUM}, x-d/2, y-d/2, x+d/2, y+d/2)
}

// Draw returns the gauge as ink at its resolution: bilevel, or with grey edges
// that keep every width exact.
func (g *Gauge) Draw() *raster.Ink {
	px := 25.4 / g.PPI
	c := pen.NewCanvas(int(math.Round(g.WidthMM/px)), int(math.Round(g.HeightMM/px)))
	for _, s := range g.draw {
		if s.film {
			c.Erase(s.path)
		} else {
			c.Fill(s.path)
		}
	}
	if g.Bilevel {
		return c.Bilevel()
	}
	return c.Ink()
}
