package preflight

import (
	"math"
	"slices"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
)

// MuchLarger is how many times as wide an artwork may have to be carved for
// that to be worth the advice: a badge for a tumbler still fits a bowl.
const MuchLarger = 5

// Confirm returns the report with the engraved widths at which all of it, and all of it
// but the dust, holds: close to where the widths say, and judged there, for a disc of
// another size may find other places. s and pic are what the report was made of, with
// the same options. tell, which may be nil, is told how far it is.
func Confirm(r *Report, s *Survey, pic *artwork.Picture, opt Options, tell func(share float64)) *Report {
	out := *r
	if r.CornersMeet() {
		return &out // no size mends those
	}
	order := Order{}
	if tell != nil {
		order.Progress = func(_ string, share float64) { tell(share) }
	}
	look := *s
	look.Openings = nil
	c := newChooser(pic.Ink, &look, order, opt)
	c.likely = 2 * confirmTries
	out.HoldsFromWidthMM, out.HoldsUntried = c.confirm(r.Film, r.SufficesFromWidthMM)
	if !slices.ContainsFunc(r.Marks, func(m Mark) bool { return m.Specks }) {
		return &out
	}
	c.opt.DropSpecks = true // the surveys are the same without
	clean := Judge(s, r.Film, c.opt)
	if out.CleanFromWidthMM = clean.Artwork.WidthMM; clean.Verdict != Holds {
		out.CleanFromWidthMM, _ = c.confirm(r.Film, clean.SufficesFromWidthMM)
	}
	return &out
}

// Confirm judges at confirmTries widths at most, and at none that needs a grid of more
// than confirmPixels: a page at 1200 pixels an inch refined would cost more than all the
// rest of its check.
const (
	confirmTries  = 4
	confirmPixels = 1 << 28
)

// confirm finds a width from one on at which a film holds, as the widths found at each
// width tried suggest the next. It is 0 when there is none among them, none that is
// worth advising, or none on the side of the width asked for that from lies on; untried
// says that there was one too large a grid for to be judged.
func (c *chooser) confirm(f Film, from float64) (mm float64, untried bool) {
	most := MuchLarger * c.asked
	if from < c.asked {
		most = c.asked
	}
	try := f.upStep(from)
	for range confirmTries {
		if from == 0 || try > most {
			return 0, false
		}
		if raster.GridPixels(c.ink, raster.Request{Safe: c.reach(f, try)}) > confirmPixels {
			return 0, true
		}
		r := c.judge(f, try)
		if r.Verdict == Holds {
			return try, false
		}
		try = f.upStep(math.Max(r.SufficesFromWidthMM, 1.01*try))
	}
	return 0, false
}
