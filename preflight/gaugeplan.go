package preflight

import (
	"fmt"
	"math"

	"stencilproof/raster"
)

// A gauge is a positive of lines, strips, dots and islands of known width. The
// shop exposes, washes and blasts it as it does its work, and what survived
// tells the limits of its own film, lamp and hands.
//
// Each kind is a comb of steps, numbered from narrow to wide, one R20 step (ISO
// 3: 20 steps a decade, 12 % each) apart, laid around the film's limits so that
// no step comes nearer to a limit than a quarter of a step. Which width a number
// means depends on the film's thickness alone (and, with whole pixels, on the
// resolution), never on limits recorded since: a sheet printed last year can
// still be read.
type Gauge struct {
	Film     Film // with the default limits of its thickness
	PPI      float64
	Bilevel  bool // 1 bit a pixel: every width is a whole number of pixels
	WidthMM  float64
	HeightMM float64
	Steps    [4][]GaugeStep // by raster.Kind
	Elements []GaugeElement
	// TooFine names the kinds whose comb does not reach under the film's fail
	// limit because pixels of this size cannot draw it.
	TooFine [4]bool

	draw []gaugeShape
}

// GaugeStep is one step of a comb.
type GaugeStep struct {
	Number  int     // in the whole comb, also where its narrowest steps are not drawn
	WidthUM float64 // as drawn, upright and level
	// LeastUM and MostUM are the narrowest and the widest it is drawn: on whole pixels
	// a slanting bar has another width.
	LeastUM, MostUM float64
}

// GaugeElement is one drawn width of the gauge.
type GaugeElement struct {
	Kind    raster.Kind
	Step    int     // 0 for a wedge, and for a width between two steps
	WidthUM float64 // as drawn; of a wedge its narrow end
	Wedge   bool
	Deg     int // direction of a line or strip: 0, 45 or 90
	Box     BoxMM
}

// r20 is one step of the R20 series.
var r20 = math.Pow(10, 1.0/20)

// gaugeWidths returns the widths of a comb: from about half the fail limit to
// over one and a half times the safe limit. Where the limits lie between two
// steps is set so that both are as far from any step as can be: fail is to
// safe as 1 to 1.5 or 3 to 4, 3.52 or 2.50 steps, so each ends up about a
// quarter of a step away from the nearest.
func gaugeWidths(l Limit) []float64 {
	apart := math.Log(l.SafeUM/l.FailUM) / math.Log(r20)
	apart -= math.Floor(apart)
	// With fail at share x above a step, safe is at x + apart. Both are farthest
	// from the steps when they lie even about the middle between two of them.
	x := math.Mod(0.5-apart/2+1, 1)
	if y := math.Mod(x+0.5, 1); farFromStep(y, apart) > farFromStep(x, apart) {
		x = y
	}
	w := l.FailUM / math.Pow(r20, x)
	for w > 0.55*l.FailUM {
		w /= r20
	}
	var out []float64
	for ; len(out) == 0 || out[len(out)-1] < 1.6*l.SafeUM; w *= r20 {
		out = append(out, w)
	}
	return out
}

// farFromStep is how far the limits at shares x and x + apart of a step lie from
// the nearest step.
func farFromStep(x, apart float64) float64 {
	near := func(v float64) float64 { v = math.Mod(v, 1); return math.Min(v, 1-v) }
	return math.Min(near(x), near(x+apart))
}

// The narrowest that is drawn, in pixels. A line under about a pixel vanishes
// where two pixels share it; a dot needs an area that is no speck's, and a
// shape that its pixels still tell. On whole pixels it takes more of them.
const (
	leastBarPx       = 2.0
	leastDotPx       = 3.0
	leastWholeDiscPx = 4.5
)

// How near to a limit a width on whole pixels may come, in pixels: as near as
// the pixels let it be measured, and a little less.
const (
	wholeBarClearPx  = 0.2
	wholeDiscClearPx = 0.35
)

// The printer's resolution: under 300 nothing is drawn that a film
// loses, beyond 5080 (5 um a pixel) the sheet no longer fits the memory of
// a bench machine.
const (
	gaugeLeastPPI = 300
	gaugeMostPPI  = 5080
)

// PlanGauge lays a gauge out for a film at a printer's resolution. Errors are
// of type *Problem.
func PlanGauge(film Film, ppi float64, bilevel bool) (*Gauge, error) {
	if !(ppi >= gaugeLeastPPI && ppi <= gaugeMostPPI) {
		return nil, &Problem{fmt.Sprintf("a gauge cannot be drawn at %g dots an inch", ppi),
			fmt.Sprintf("give what the printer of your positives has, from %d to %d", gaugeLeastPPI, gaugeMostPPI)}
	}
	g := &Gauge{Film: film, PPI: ppi, Bilevel: bilevel}
	g.Film.Limits = DefaultFilm(film.Name, film.ThicknessUM).Limits
	for _, k := range raster.Kinds {
		l := g.Film.Limits[k]
		last := 0.0
		for i, want := range gaugeWidths(l) {
			w, ok := g.drawable(k, want)
			if !ok || w <= last+1e-9 {
				continue
			}
			last = w
			g.Steps[k] = append(g.Steps[k], GaugeStep{i + 1, w, w, w})
		}
		if len(g.Steps[k]) < 2 {
			do := "print the gauge at a higher resolution"
			if bilevel {
				do += ", or with grey edges, as .png, if your printer renders them"
			}
			return nil, &Problem{fmt.Sprintf("%g dots an inch are too coarse for a gauge of %s", ppi, film.Name), do}
		}
		g.TooFine[k] = g.Steps[k][0].WidthUM >= l.FailUM
	}
	g.layOut()
	for _, e := range g.Elements {
		steps := g.Steps[e.Kind]
		for i := range steps {
			if s := &steps[i]; s.Number == e.Step {
				s.LeastUM, s.MostUM = math.Min(s.LeastUM, e.WidthUM), math.Max(s.MostUM, e.WidthUM)
			}
		}
	}
	return g, nil
}

// drawable returns the width, in micrometres, with which a step is drawn that
// should be w wide, and whether it is drawn at all. With grey edges it is w. On
// whole pixels it is the nearest that lies on w's side of both limits and clear
// of them.
func (g *Gauge) drawable(k raster.Kind, w float64) (float64, bool) {
	px := 25400 / g.PPI
	disc := k == raster.Dot || k == raster.Island
	least, clear := leastBarPx, wholeBarClearPx
	if disc {
		least, clear = leastDotPx, wholeDiscClearPx
	}
	if !g.Bilevel {
		return w, w >= (least-1e-9)*px
	}
	if disc {
		least = leastWholeDiscPx
	}
	l := g.Film.Limits[k]
	best, found := 0.0, false
	n := int(math.Round(w / px))
	for _, n := range [3]int{n, n - 1, n + 1} {
		got := float64(n) * px
		if disc {
			got = wholeDisc(n) * px
		}
		off := math.Abs(got - w)
		if got < (least-1e-9)*px || off > 0.8*px || found && off >= math.Abs(best-w) ||
			l.judge(got) != l.judge(w) || math.Abs(got-l.FailUM) < clear*px || math.Abs(got-l.SafeUM) < clear*px {
			continue
		}
		best, found = got, true
	}
	return best, found
}

// wholeDisc is the diameter, in pixels, of the disc whose area is that of the
// whole pixels a disc n across takes: those with their centres inside it. Its
// own centre is a pixel's corner when n is even, a pixel's middle when it is odd.
func wholeDisc(n int) float64 {
	count, r := 0, float64(n)/2
	for y := range n {
		for x := range n {
			if math.Hypot(float64(x)+0.5-r, float64(y)+0.5-r) < r {
				count++
			}
		}
	}
	return 2 * math.Sqrt(float64(count)/math.Pi)
}

// wholeDiscAcross is the n whose wholeDisc is d.
func wholeDiscAcross(d float64) int {
	n := max(1, int(math.Round(d)))
	for _, try := range [3]int{n, n - 1, n + 1} {
		if try > 0 && math.Abs(wholeDisc(try)-d) < 1e-6 {
			return try
		}
	}
	return n
}
