package preflight

import (
	"math"

	"stencilproof/raster"
)

// proportional returns by what factor the limits of f that bear on a verdict no worse
// than level are those of g, when it is one for all: then f at a width times the factor
// is, in pixels, g at the width. (A film's disc goes by its safe limits.)
func proportional(f, g *Film, level Verdict) (factor float64, ok bool) {
	k := f.Limits[0].SafeUM / g.Limits[0].SafeUM
	same := func(a, b float64) bool { return math.Abs(a-k*b) < 1e-9*a }
	for i := range f.Limits {
		if !same(f.Limits[i].SafeUM, g.Limits[i].SafeUM) || level > Holds && !same(f.Limits[i].FailUM, g.Limits[i].FailUM) {
			return 0, false
		}
	}
	return k, true
}

// width is the smallest engraved width at which a film's verdict is no worse than
// level; 0 with nothing to lose.
type width struct {
	film  Film
	level Verdict // Holds, or AtRisk: nothing fails
	mm    float64
	lost  float64 // the largest width under it that was judged worse; 0 without one
	never bool
}

// smallest finds the smallest width at which a film's verdict is no worse than level.
func (c *chooser) smallest(f Film, level Verdict) width {
	w, ok := c.likeFound(f, level)
	if !ok {
		w = c.search(f, level)
	}
	return w
}

// likeFound finds the smallest width from a film that was searched before and
// whose limits have the same proportions. It is judged there, which costs no
// measuring.
func (c *chooser) likeFound(f Film, level Verdict) (width, bool) {
	for _, g := range c.widths {
		k, ok := proportional(&f, &g.film, level)
		if !ok || g.level != level {
			continue
		}
		if g.never || g.mm == 0 {
			return width{film: f, level: level, lost: k * g.lost, never: g.never}, true
		}
		if mm := f.onStep(k * g.mm); c.judge(f, mm).Verdict <= level {
			return width{film: f, level: level, mm: mm, lost: k * g.lost}, true
		}
	}
	return width{}, false
}

// search searches the smallest width, to a step of the film, at which a film's verdict is no worse
// than level. It was judged at that width, and worse at one 2 % below it or less.
//
// What was judged already, of this film and of those alike, says between which widths
// to look. The narrowest places found where it is worse say at which width they would
// do, if a disc of that size finds no others.
func (c *chooser) search(f Film, level Verdict) width {
	const none = 0.02 // mm, the two roundings up
	lost, held, hint := 0.0, math.Inf(1), 0.0
	for _, g := range c.tried {
		k, ok := proportional(&f, &g.film, level)
		switch {
		case !ok:
		case g.Verdict <= level:
			held = math.Min(held, f.onStep(k*g.mm))
		case k*g.mm > lost:
			lost, hint = k*g.mm, k*g.suffices(level)
		}
	}
	if lost >= held { // larger, and yet worse: what lies between is not to be trusted
		held = math.Inf(1)
	}
	if lost == 0 {
		if hint = Judge(c.inFull(f), f, c.opt).suffices(level); hint == 0 {
			return width{film: f, level: level} // there is nothing to lose
		}
	}
	if !math.IsInf(held, 1) && !c.does(f, held, level) { // on the survey of another film, but for the rounding
		held = math.Inf(1)
	}
	sure, down := true, nearEnough
	for step := 0; lost < nearEnough*held-none; step++ {
		try := math.Max(hint, lost*1.001)
		if math.IsInf(try, 1) || step == mostSteps && math.IsInf(held, 1) {
			return width{film: f, level: level, lost: lost, never: true}
		}
		if step == mostSteps {
			break
		}
		if try >= nearEnough*held {
			// It should just be worse below the width that does; where it is not, what
			// hint came from is a chance of its disc.
			try = math.Max(down*held, math.Sqrt(lost*held))
			if down *= down; sure {
				sure = false
				if try = f.upStep(try); c.does(f, try, level) {
					held = try
				} else {
					lost = try
				}
				continue
			}
		}
		try = f.upStep(try)
		if r := c.judge(f, try); r.Verdict <= level {
			held = try
		} else {
			lost, hint = try, r.suffices(level)
		}
	}
	return width{film: f, level: level, mm: held, lost: lost}
}

// step is the step in which the widths of a film are searched: mils over perMM, in mm. It
// is 0.01 mm for every mil of a film of whole mils: so what is a width of one is, in
// proportion, a width of all, and one survey serves for them. Under 5 mm a mil it is a tenth
// of that or less, a five-hundredth of the width at most.
func (f *Film) step(mm float64) (mils, perMM float64) {
	const micrometres = 25.4
	mils = math.Round(f.ThicknessUM / micrometres)
	if mils < 1 || math.Abs(f.ThicknessUM-mils*micrometres) > 1e-9*f.ThicknessUM {
		mils = 1
	}
	perMM = 100
	for whole := 5.0; mm < whole*mils && perMM < 1e6; whole /= 10 {
		perMM *= 10
	}
	return mils, perMM
}

// upStep rounds a width up to a step. A hair is added, so that a width that reaches its
// limit exactly does not miss it by the last bit.
func (f *Film) upStep(mm float64) float64 {
	mils, perMM := f.step(mm)
	return math.Ceil(mm/mils*perMM*(1+1e-9)) * mils / perMM
}

// onStep is upStep, but leaves a width where it is on a step.
func (f *Film) onStep(mm float64) float64 {
	mils, perMM := f.step(mm)
	return math.Ceil(mm/mils*perMM*(1-1e-9)) * mils / perMM
}

// finest is the narrowest of each kind at the size asked for. Of what a film's
// own survey did not find, for it holds, it is what the next survey of larger
// reach found, if that is over the film's own limit; and of what none found, it
// is looked for where it matters.
func (c *chooser) finest(f Film) (out [4]Finest) {
	var most *Film // that finest is known of up to its limits
	for i := len(c.judged) - 1; i >= 0; i-- {
		g := &c.judged[i]
		if !noLess(&g.film, &f) {
			continue
		}
		most = &g.film
		for k, w := range g.Finest {
			if out[k].Found || !w.Found {
				continue
			}
			if out[k] = w; w.WidthUM < f.Limits[k].SafeUM && g.film != f { // its own survey would have found that
				out[k] = Judge(c.inFull(f), f, c.opt).Finest[k]
			}
		}
	}
	for _, k := range [2]raster.Kind{raster.Line, raster.Strip} {
		if out[k].Found || most == nil {
			continue
		}
		// Not under the largest limit.
		least := out
		least[k] = Finest{Found: true, WidthUM: most.Limits[k].SafeUM}
		if t := f.tightest(least); t.Kind == k || f.failsBelow(least) > f.failsBelow(out) {
			out[k] = Judge(c.inFull(*most), *most, c.opt).Finest[k]
		}
	}
	return out
}

// failsBelow is the enlargement at which the narrowest of each kind just reaches
// its fail limit; 0 without anything to judge.
func (f *Film) failsBelow(finest [4]Finest) float64 {
	grow := 0.0
	for k, w := range finest {
		if w.Found && w.WidthUM > 0 {
			grow = math.Max(grow, f.Limits[k].FailUM/w.WidthUM)
		}
	}
	return grow
}

// tightest is the place with the least width in proportion to its safe limit.
func (f *Film) tightest(finest [4]Finest) *Tightest {
	var out *Tightest
	for k, w := range finest {
		safe := f.Limits[k].SafeUM
		if w.Found && (out == nil || w.WidthUM/safe < out.WidthUM/out.SafeUM) {
			out = &Tightest{raster.Kind(k), w.WidthUM, safe, w.At}
		}
	}
	return out
}
