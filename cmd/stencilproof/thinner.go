package main

import (
	"cmp"
	"math"
	"slices"

	"stencilproof/preflight"
	"stencilproof/preflight/proof"
	"stencilproof/raster/artwork"
)

// thinnerFilms says how an artwork fares on the films thinner than the one it
// was judged on: what the proof may advise. They are judged on the survey that
// is there, thickest first, up to the first that holds; that one is measured
// anew by its own limits, as check would, before it is advised.
func thinnerFilms(s *preflight.Survey, pic *artwork.Picture, films []preflight.Film, used preflight.Film, opt preflight.Options, tell func(string, float64)) []proof.FilmOutcome {
	opt.Checks = nil
	var thin []preflight.Film
	for _, f := range films {
		if f.ThicknessUM < used.ThicknessUM && s.Covers(&f) {
			thin = append(thin, f)
		}
	}
	slices.SortStableFunc(thin, func(a, b preflight.Film) int { return cmp.Compare(b.ThicknessUM, a.ThicknessUM) })
	var out []proof.FilmOutcome
	for _, f := range thin {
		r := preflight.Judge(s, f, opt)
		if r.Verdict == preflight.Holds {
			// Take turned a negative's ink already.
			order := preflight.Order{Size: preflight.Size{PxPerInch: s.Artwork.PxPerInch}}
			order.Progress = func(_ string, share float64) { tell("measuring for the "+f.Name+" film", share) }
			again, err := preflight.Examine(pic, order, f, opt)
			if err != nil {
				continue
			}
			r = again
		}
		out = append(out, proof.FilmOutcome{Film: f, Verdict: r.Verdict, HoldsFromWidthMM: r.SufficesFromWidthMM})
		if r.Verdict == preflight.Holds {
			break
		}
	}
	return out
}

// allFilms says from which engraved width on each film holds an artwork, for
// the bench sheet: worked out from the survey that is there. Choose would look
// at every film and size anew, at ten times the cost of the check. Where a film
// was judged anew, its verdict rules.
func allFilms(s *preflight.Survey, films []preflight.Film, used preflight.Film, judged []proof.FilmOutcome, opt preflight.Options) []proof.FilmOutcome {
	if !slices.ContainsFunc(films, func(f preflight.Film) bool { return f.Name == used.Name }) {
		films = append(slices.Clone(films), used)
	}
	width := s.Artwork.WidthMM
	var out []proof.FilmOutcome
	for _, z := range s.Zones(films, opt) {
		o := proof.FilmOutcome{Film: z.Film, Verdict: z.VerdictAt(width), FailsBelowWidthMM: z.FailsBelowWidthMM, HoldsFromWidthMM: z.HoldsFromWidthMM}
		for _, j := range judged {
			if j.Film.Name == o.Film.Name && j.Verdict > o.Verdict {
				o.Verdict = j.Verdict
				o.HoldsFromWidthMM = max(o.HoldsFromWidthMM, math.Nextafter(width, 2*width))
			}
		}
		out = append(out, o)
	}
	return out
}
