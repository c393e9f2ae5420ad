package preflight

import (
	"math"
)

// Zone is how an artwork fares on one film at every engraved width: under
// FailsBelowWidthMM something is sure to fail, from HoldsFromWidthMM on nothing
// fails and nothing is at risk. Either is 0 when there is nothing to lose.
type Zone struct {
	Film                                Film
	FailsBelowWidthMM, HoldsFromWidthMM float64
}

// VerdictAt is the verdict at an engraved width in millimetres.
func (z *Zone) VerdictAt(mm float64) Verdict {
	switch {
	case mm < z.FailsBelowWidthMM:
		return Fails
	case mm < z.HoldsFromWidthMM:
		return AtRisk
	}
	return Holds
}

// Zones works out how an artwork fares on other films from one survey, without
// measuring again: widths grow with the engraved size and limits do not. A
// film that the survey does not cover is judged at the larger width at which it
// does. Of a film whose limits are those of the survey's film times a factor
// that is what a survey for it would say at this width times the factor, for in
// pixels the two are one. Choose, which costs many measurings, looks at every
// film and every size anew.
func (s *Survey) Zones(films []Film, opt Options) []Zone {
	opt.Checks = nil
	um := s.Artwork.UMPerPx()
	var out []Zone
	for _, f := range films {
		at := s
		grow := 1.0
		for k, l := range f.Limits {
			grow = math.Max(grow, l.SafeUM/um/s.Reach[k])
		}
		if grow > 1 {
			// from the pixels, for WidthMM is rounded to the nanometre
			at = s.AtWidth(float64(s.Artwork.WidthPx) * um / 1000 * grow * (1 + 1e-12))
		}
		r := Judge(at, f, opt)
		out = append(out, Zone{f, f.failsBelow(r.Finest) * at.Artwork.WidthMM, r.SufficesFromWidthMM})
	}
	return out
}
