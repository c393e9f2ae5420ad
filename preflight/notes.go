package preflight

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"stencilproof/raster"
)

// mostPlaces is how many places a note names at most.
const mostPlaces = 12

// notes gathers what is to be remarked about a survey judged in r.
func (s *Survey) notes(r *Report, opt Options) []Note {
	var notes []Note
	notes = append(notes, sizeDoubts(&s.Artwork)...)
	notes = append(notes, lowResolution(s, r)...)
	notes = append(notes, cornersMeet(r)...)
	notes = append(notes, maybeNegative(s)...)
	notes = append(notes, greyAreas(s, &r.Film)...)
	notes = append(notes, halftones(s, &r.Film)...)
	notes = append(notes, notSolid(s)...)
	notes = append(notes, lossy(s)...)
	notes = append(notes, specks(s, opt)...)
	notes = append(notes, points(s, &r.Film)...)
	notes = append(notes, edgeTouches(s, opt.TapeMarginMM)...)
	notes = append(notes, morePages(s)...)
	notes = append(notes, noInk(s, opt)...)
	return notes
}

// fewPixels is how many pixels a safe limit must span in a bilevel artwork, for
// its edges stand a pixel wrong at worst.
const fewPixels = 4

// resolutions are what a person can ask for, in pixels an inch.
var resolutions = []float64{300, 600, 900, 1200, 1800, 2400, 3600, 4800}

// roundUpPPI is the next of the usual resolutions, or hundreds beyond them.
func roundUpPPI(ppi float64) float64 {
	for _, r := range resolutions {
		if r >= ppi {
			return r
		}
	}
	return math.Ceil(ppi/100) * 100
}

// lowResolution returns the note low-resolution when a bilevel artwork, or one whose edges
// are soft, has too few pixels for the film's limits, and when a width lies so near a limit
// that it may be on the other side.
func lowResolution(s *Survey, r *Report) []Note {
	um := s.Artwork.UMPerPx()
	least := math.Inf(1)
	for _, l := range r.Film.Limits {
		least = math.Min(least, l.SafeUM)
	}
	n := Note{Code: NoteLowResolution, Values: map[string]float64{"px_per_inch": s.Artwork.PxPerInch, "safe_px": least / um}}
	needed := 0.0
	if s.Artwork.Bilevel && least < fewPixels*um {
		needed = fewPixels * 25400 / least
		n.Values["few_px"] = 1
	}
	if s.soft > 0 && least < softLoses*um {
		needed = softLoses * 25400 / least
		n.Values["soft_px"] = s.soft
	}
	sure := 0.0 // the resolution at which plus-minus no longer reaches a limit
	for _, d := range r.doubtful() {
		n.Count++
		if len(n.Places) < mostPlaces {
			n.Places = append(n.Places, d.at)
		}
		sure = math.Max(sure, s.Artwork.PxPerInch*math.Min(d.reach, 8))
	}
	if needed == 0 && n.Count == 0 {
		return nil
	}
	n.Values["needed_ppi"] = roundUpPPI(math.Max(needed, math.Min(sure, math.Max(2400, 2*s.Artwork.PxPerInch))))
	return []Note{n}
}

// cornersMeet returns the note corners-meet with how many lines are no more than the corner
// by which two parts of the ink meet.
func cornersMeet(r *Report) []Note {
	n := Note{Code: NoteCornersMeet}
	for i := range r.Marks {
		m := &r.Marks[i]
		if !m.Corner {
			continue
		}
		n.Count += m.Count
		ats := m.Ats
		if ats == nil {
			ats = []PointMM{m.At}
		}
		n.Places = append(n.Places, ats[:min(len(ats), mostPlaces-len(n.Places))]...)
	}
	if n.Count == 0 {
		return nil
	}
	return []Note{n}
}

// CornersMeet reports whether something is marked that no larger size and no finer file
// mends: two parts of the ink that meet by a corner.
func (r *Report) CornersMeet() bool {
	return slices.ContainsFunc(r.Marks, func(m Mark) bool { return m.Corner })
}

// doubt is a width that its plus-minus carries over a limit.
type doubt struct {
	at    PointMM
	reach float64 // plus-minus over the distance to the limit
}

// doubtful lists the marks, and the narrowest of each kind that is not among
// them, whose verdict their plus-minus could change.
func (r *Report) doubtful() []doubt {
	var out []doubt
	for i := range r.Marks {
		m := &r.Marks[i]
		if m.Corner {
			continue // sure to be none
		}
		if reach := overReach(m.WidthUM, m.PlusMinusUM, m.FailUM, m.SafeUM); reach > 0 {
			out = append(out, doubt{m.At, reach})
		}
	}
	for k, f := range r.Finest {
		l := r.Film.Limits[k]
		if !f.Found || f.WidthUM < l.SafeUM {
			continue // below safe it is one of the marks
		}
		if reach := overReach(f.WidthUM, f.PlusMinusUM, l.FailUM, l.SafeUM); reach > 0 {
			out = append(out, doubt{f.At, reach})
		}
	}
	return out
}

// CouldChange reports whether the mark's plus-minus reaches over one of its
// limits, so that its verdict is not sure.
func (m *Mark) CouldChange() bool {
	return !m.Corner && overReach(m.WidthUM, m.PlusMinusUM, m.FailUM, m.SafeUM) > 0
}

// overReach is plus-minus over the distance to the limit it crosses, 0 when it
// crosses none. The true width lies within width +- plusMinus, so a limit at
// width + plusMinus, from which on a feature is better off, is still reached.
func overReach(width, plusMinus, fail, safe float64) float64 {
	most := 0.0
	for _, limit := range [2]float64{fail, safe} {
		gap := math.Abs(width - limit)
		if (width < limit && gap <= plusMinus) || (width >= limit && gap < plusMinus) {
			most = math.Max(most, plusMinus/math.Max(gap, 1e-9))
		}
	}
	return most
}

// notSolid returns the note not-solid when paper was not white or ink not
// black, or when the artwork has colours that become neither clear nor solid.
// Words["colours"] then lists them with the share of ink each becomes.
func notSolid(s *Survey) []Note {
	n := Note{Code: NoteNotSolid, Values: map[string]float64{}, Words: map[string]string{}}
	if s.Levels.Stretched {
		n.Values["paper_pct"] = 100 * float64(s.Levels.Paper) / 255
		n.Values["ink_pct"] = 100 * float64(s.Levels.Ink) / 255
	}
	var colours []string
	for _, c := range s.Colours {
		if c.Cover >= toneLow && c.Cover <= toneHigh {
			colours = append(colours, fmt.Sprintf("#%02x%02x%02x %.0f %%", c.R, c.G, c.B, 100*float64(c.Cover)/255))
		}
	}
	if len(colours) > 0 {
		n.Words["colours"] = strings.Join(colours, ", ")
	}
	if len(n.Values)+len(n.Words) == 0 {
		return nil
	}
	return []Note{n}
}

func lossy(s *Survey) []Note {
	if !s.Lossy {
		return nil
	}
	return []Note{{Code: NoteLossy, Words: map[string]string{"format": s.Artwork.Format}}}
}

func morePages(s *Survey) []Note {
	if s.Pages < 2 {
		return nil
	}
	return []Note{{Code: NoteMorePages, Count: s.Pages,
		Values: map[string]float64{"pages": float64(s.Pages), "page": float64(s.Page)}}}
}

// noInk returns the note no-ink where nothing is black and nothing was judged. (In a tone
// under one half, lines and specks that stand out from it may be.)
func noInk(s *Survey, opt Options) []Note {
	if s.Field.InkShare > 0 || len(s.Measured.Features) > 0 || len(s.Dust) > 0 && !opt.DropSpecks {
		return nil
	}
	return []Note{{Code: NoteNoInk}}
}

// specks returns the note specks with how many of each side stand alone.
func specks(s *Survey, opt Options) []Note {
	if len(s.Dust) == 0 {
		return nil
	}
	n := Note{Code: NoteSpecks, Count: len(s.Dust), Values: map[string]float64{"ink": 0, "film": 0}, Words: map[string]string{"judged": "yes"}}
	if opt.DropSpecks {
		n.Words["judged"] = "no"
	}
	largest := 0.0
	for _, d := range s.Dust {
		if d.Film {
			n.Values["film"]++
		} else {
			n.Values["ink"]++
		}
		largest = math.Max(largest, dustWidth(d))
		if len(n.Places) < mostPlaces {
			n.Places = append(n.Places, s.middle(d.Box))
		}
	}
	n.Values["largest_um"] = largest * s.Artwork.UMPerPx()
	return []Note{n}
}

// points returns the note points: how many tips round off, where the most is
// lost, and how much; and how many specks are taken as the ends of tips. What a tip loses grows with the disc it was found with (a
// tip of full angle q loses r/sin(q/2) - r), so it is scaled to the film's.
func points(s *Survey, film *Film) []Note {
	if len(s.Measured.Tips)+len(s.Crumbs) == 0 {
		return nil
	}
	lost := func(t *raster.Tip) float64 {
		k := raster.Line
		if t.Film {
			k = raster.Strip
		}
		if s.Reach[k] == 0 {
			return 0
		}
		return t.Lost * film.Limit(k).SafeUM / s.Reach[k] / 1000
	}
	tips := slices.Clone(s.Measured.Tips)
	slices.SortStableFunc(tips, func(a, b raster.Tip) int { return cmp.Compare(lost(&b), lost(&a)) })
	n := Note{Code: NotePoints, Count: len(tips), Values: map[string]float64{"ink": 0, "film": 0, "lost_mm": 0}}
	if len(tips) > 0 {
		n.Values["lost_mm"] = lost(&tips[0])
	}
	if len(s.Crumbs) > 0 {
		n.Values["crumbs"] = float64(len(s.Crumbs))
	}
	for i := range tips {
		if tips[i].Film {
			n.Values["film"]++
		} else {
			n.Values["ink"]++
		}
		if i < mostPlaces {
			n.Places = append(n.Places, s.place(tips[i].At))
		}
	}
	for _, c := range s.Crumbs {
		if len(n.Places) < mostPlaces {
			n.Places = append(n.Places, s.middle(c.Box))
		}
	}
	return []Note{n}
}
