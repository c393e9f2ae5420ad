package preflight

import (
	"math"

	"stencilproof/raster"
)

// proportional returns by what factor the limits of f are those of g, when it is one
// for all: then f at a width times the factor is, in pixels, g at the width.
func proportional(f, g *Film) (factor float64, ok bool) {
	k := f.Limits[0].SafeUM / g.Limits[0].SafeUM
	for i := range f.Limits {
		if math.Abs(f.Limits[i].SafeUM-k*g.Limits[i].SafeUM) >= 1e-9*f.Limits[i].SafeUM {
			return 0, false
		}
	}
	return k, true
}

// likeFound finds the smallest width from a film that was searched before and
// whose safe limits have the same proportions. It is judged there, which costs no
// measuring.
func (c *chooser) likeFound(f Film) (width, bool) {
	for _, g := range c.widths {
		k, ok := proportional(&f, &g.film)
		if !ok {
			continue
		}
		if g.never || g.mm == 0 {
			return width{f, 0, g.never}, true
		}
		if mm := upMM(k * g.mm); c.judge(f, mm).Verdict == Holds {
			return width{f, mm, false}, true
		}
	}
	return width{}, false
}

// holdsFrom searches the smallest width, to 0.01 mm, at which a film holds. It
// was judged at that width, and not to hold 2 % below it.
//
// What was judged at the size asked for, of this film and of those alike, says
// between which widths to look. The narrowest places found where it fails say
// at which width it would hold, if a disc of that size finds no others.
func (c *chooser) holdsFrom(f Film) width {
	const none = 0.02 // mm, the two roundings up
	lost, held, hint := 0.0, math.Inf(1), 0.0
	for _, g := range c.judged {
		k, ok := proportional(&f, &g.film)
		switch {
		case !ok:
		case g.Verdict == Holds:
			held = math.Min(held, upMM(k*c.asked))
		case k*c.asked > lost:
			lost, hint = k*c.asked, k*g.HoldsFromWidthMM
		}
	}
	if lost == 0 {
		if hint = Judge(c.inFull(f), f, c.opt).HoldsFromWidthMM; hint == 0 {
			return width{film: f} // there is nothing to lose
		}
	}
	if !math.IsInf(held, 1) && !c.holds(f, held) { // on the survey of another film, but for the rounding
		held = math.Inf(1)
	}
	sure, down := true, nearEnough
	for step := 0; lost < nearEnough*held-none; step++ {
		try := math.Max(hint, lost*1.001)
		if math.IsInf(try, 1) || step == mostSteps && math.IsInf(held, 1) {
			return width{f, 0, true}
		}
		if step == mostSteps {
			break
		}
		if try >= nearEnough*held {
			// It should just fail below the width that holds; where it does not, what
			// hint came from is a chance of its disc.
			try = math.Max(down*held, math.Sqrt(lost*held))
			if down *= down; sure {
				sure = false
				if try = upMM(try); c.holds(f, try) {
					held = try
				} else {
					lost = try
				}
				continue
			}
		}
		try = upMM(try)
		if r := c.judge(f, try); r.Verdict == Holds {
			held = try
		} else {
			lost, hint = try, r.HoldsFromWidthMM
		}
	}
	return width{f, held, false}
}

// upMM rounds up to 0.01 mm. A hair is added, so that a width that reaches its
// limit exactly does not miss it by the last bit.
func upMM(v float64) float64 { return math.Ceil(v*(1+1e-9)*100) / 100 }

// finest is the narrowest of each kind at the size asked for. Of what a film's
// own survey did not find, for it holds, it is what the next survey of larger
// reach found; and of what none found, it is looked for where it matters.
func (c *chooser) finest(f Film) (out [4]Finest) {
	var most *Film // that finest is known of up to its limits
	for i := len(c.judged) - 1; i >= 0; i-- {
		g := &c.judged[i]
		if !noLess(&g.film, &f) {
			continue
		}
		most = &g.film
		for k, w := range g.Finest {
			if !out[k].Found {
				out[k] = w
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
