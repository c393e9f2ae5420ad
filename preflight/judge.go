package preflight

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"stencilproof/raster"
)

// Check looks at a survey and the report made of it so far, and returns what it
// has to remark.
type Check func(*Survey, *Report) []Note

// Options steer the judging. The zero value is the usual.
type Options struct {
	DropSpecks   bool    // leave specks out of the verdict
	TapeMarginMM float64 // clear film wanted around the ink; 0 is DefaultTapeMarginMM
	// Checks run after the verdict is found, in order, and add notes. They do not
	// change the verdict.
	Checks []Check
}

// Judge says what a film makes of a surveyed artwork. It is pure: the same
// survey, film and options give the same report. It panics when the survey does
// not cover the film, for then features are missing.
func Judge(s *Survey, film Film, opt Options) *Report {
	if !s.Covers(&film) {
		panic(fmt.Sprintf("preflight: the survey does not cover film %q", film.Name))
	}
	if opt.TapeMarginMM == 0 {
		opt.TapeMarginMM = DefaultTapeMarginMM
	}
	um := s.Artwork.UMPerPx()
	r := &Report{Artwork: s.Artwork, Film: film, TapeMarginMM: opt.TapeMarginMM}
	for k, f := range s.Measured.Finest {
		if f.Found {
			r.Finest[k] = Finest{Found: true, WidthUM: f.Width * um, PlusMinusUM: f.PlusMinus * um, At: s.place(f.At)}
		}
	}
	var marks []Mark
	for i := range s.Measured.Features {
		if m := s.mark(&s.Measured.Features[i], &film); m.Verdict > Holds {
			marks = append(marks, m)
		}
	}
	marks = append(marks, s.speckMarks(&film, s.FineDots)...)
	marks = gather(marks, math.Max(s.Artwork.WidthMM, s.Artwork.HeightMM)*gatherReach)
	if !opt.DropSpecks {
		for _, m := range s.speckMarks(&film, s.Dust) {
			m.Specks = true
			marks = append(marks, m)
		}
	}
	slices.SortStableFunc(marks, worstFirst)
	for i := range marks {
		m := &marks[i]
		m.ID = i + 1
		r.Verdict = max(r.Verdict, m.Verdict)
		if m.Verdict == Fails {
			r.Counts[m.Kind].Fails += m.Count
		} else {
			r.Counts[m.Kind].AtRisk += m.Count
		}
	}
	r.Marks = marks
	// Dust is no feature of its own among the measured, but it is the narrowest
	// when it counts.
	for i := range marks {
		m := &marks[i]
		if f := &r.Finest[m.Kind]; !f.Found || m.WidthUM < f.WidthUM {
			*f = Finest{Found: true, WidthUM: m.WidthUM, PlusMinusUM: m.PlusMinusUM, At: m.At}
		}
	}
	r.SufficesFromWidthMM = r.suffices(Holds)
	r.Notes = s.notes(r, opt)
	if len(opt.Checks) > 0 {
		with := *s
		with.Openings = s.openingsWithSpecks(opt.DropSpecks)
		for _, check := range opt.Checks {
			r.Notes = append(r.Notes, check(&with, r)...)
		}
	}
	return r
}

// judge places a width against a pair of limits: under fail it fails, under
// safe it is at risk, from safe up it holds. Nothing is rounded first. A width
// that is no number fails.
func (l Limit) judge(widthUM float64) Verdict {
	switch {
	case widthUM >= l.SafeUM:
		return Holds
	case widthUM >= l.FailUM:
		return AtRisk
	}
	return Fails
}

// mark judges one feature.
func (s *Survey) mark(f *raster.Feature, film *Film) Mark {
	um := s.Artwork.UMPerPx()
	l := film.Limit(f.Kind)
	m := Mark{
		Kind: f.Kind, Verdict: l.judge(f.Width * um), Count: 1,
		WidthUM: f.Width * um, PlusMinusUM: f.PlusMinus * um, FailUM: l.FailUM, SafeUM: l.SafeUM,
		LengthMM: f.Length * um / 1000, AreaMM2: f.Area * square(um/1000),
		At: s.place(f.At), AcrossDeg: across(f.Across), Box: s.box(f.Box), Closed: f.Closed, Corner: f.Corner,
	}
	if m.Verdict > Holds {
		for _, p := range f.Path {
			m.Path = append(m.Path, s.place(p))
		}
	}
	return m
}

// across is the direction of a vector in degrees, 0 along x, turning towards y,
// from 0 up to but not including 180; NaN for no direction.
func across(v raster.Point) float64 {
	if v.X == 0 && v.Y == 0 {
		return math.NaN()
	}
	deg := math.Atan2(v.Y, v.X) * 180 / math.Pi
	if deg < 0 {
		deg += 180
	}
	if deg >= 180 {
		deg = 0
	}
	return deg
}

// speckMarks judges specks, all of a side and verdict in one mark: ink as dots,
// film as islands. A speck is too small to have a shape, so its width is the
// diameter of the disc of its area.
func (s *Survey) speckMarks(film *Film, specks []raster.Speck) []Mark {
	var marks []Mark
	um := s.Artwork.UMPerPx()
	for _, kind := range [2]raster.Kind{raster.Dot, raster.Island} {
		for _, verdict := range [2]Verdict{Fails, AtRisk} {
			var same []Mark
			for _, d := range specks {
				if d.Film != (kind == raster.Island) {
					continue
				}
				f := raster.Feature{Kind: kind, Width: dustWidth(d), PlusMinus: 1, Area: d.Area, Box: d.Box,
					At:     raster.Point{X: (d.Box.X0 + d.Box.X1) / 2, Y: (d.Box.Y0 + d.Box.Y1) / 2},
					Length: math.Hypot(d.Box.X1-d.Box.X0, d.Box.Y1-d.Box.Y0)}
				if film.Limit(kind).judge(f.Width*um) == verdict {
					same = append(same, s.mark(&f, film))
				}
			}
			if len(same) > 0 {
				marks = append(marks, merge(same))
			}
		}
	}
	return marks
}

// dustWidth is the diameter of the disc of a speck's area, in pixels.
func dustWidth(d raster.Speck) float64 { return 2 * math.Sqrt(d.Area/math.Pi) }

// worstFirst orders marks: what fails before what is at risk, then by width in
// proportion to the safe limit, then from the top and from the left.
func worstFirst(a, b Mark) int {
	return cmp.Or(
		cmp.Compare(b.Verdict, a.Verdict),
		cmp.Compare(a.WidthUM/a.SafeUM, b.WidthUM/b.SafeUM),
		cmp.Compare(a.At.Y, b.At.Y),
		cmp.Compare(a.At.X, b.At.X),
	)
}

// suffices is the engraved width at which what was found would just be no worse than
// level, Holds or AtRisk: widths scale with the size, limits do not. It is 0 without
// anything to judge.
func (r *Report) suffices(level Verdict) float64 {
	grow := 0.0
	need := func(k raster.Kind, um float64) {
		limit := r.Film.Limits[k].SafeUM
		if level > Holds {
			limit = r.Film.Limits[k].FailUM
		}
		if um > 0 {
			grow = math.Max(grow, limit/um)
		}
	}
	for k, f := range r.Finest {
		if f.Found {
			need(raster.Kind(k), f.WidthUM)
		}
	}
	for i := range r.Marks {
		need(r.Marks[i].Kind, r.Marks[i].WidthUM)
	}
	return grow * r.Artwork.WidthMM
}
