package report

import (
	"math"
	"strings"

	"stencilproof/preflight"
	"stencilproof/raster"
)

// sample is a report with something of everything.
func sample() *preflight.Report {
	film := preflight.Films()[1]
	mark := func(id int, k raster.Kind, v preflight.Verdict, n int, um, pm float64) preflight.Mark {
		l := film.Limit(k)
		return preflight.Mark{ID: id, Kind: k, Verdict: v, Count: n, WidthUM: um, PlusMinusUM: pm, FailUM: l.FailUM, SafeUM: l.SafeUM,
			LengthMM: 4.1234567, AreaMM2: 0.2512345, At: preflight.PointMM{X: 12.3, Y: 4.1}, AcrossDeg: math.NaN(),
			Box: preflight.BoxMM{X0: 12, Y0: 4, X1: 13, Y1: 5}}
	}
	line := mark(1, raster.Line, preflight.Fails, 1, 61.2, 2)
	line.AcrossDeg = 179.999
	near := mark(2, raster.Line, preflight.Fails, 1, math.Nextafter(76.2, 0), 2)
	r := &preflight.Report{
		Artwork: preflight.Artwork{File: "cup.png", SHA256: strings.Repeat("0a", 32), Format: "png", WidthPx: 1700, HeightPx: 1181,
			PxPerInch: 600, SizeFrom: "metadata", WidthMM: 71.9667, HeightMM: 49.9957},
		Film: film, Verdict: preflight.Fails,
		Finest: [4]preflight.Finest{
			raster.Line:  {Found: true, WidthUM: 61.2, PlusMinusUM: 2},
			raster.Dot:   {Found: true, WidthUM: 90, PlusMinusUM: 2},
			raster.Strip: {Found: true, WidthUM: math.Nextafter(152.4, 0), PlusMinusUM: 2},
		},
		Counts: [4]preflight.Count{raster.Line: {Fails: 2}, raster.Dot: {Fails: 3600}, raster.Strip: {AtRisk: 1}},
		Marks: []preflight.Mark{line, near, mark(3, raster.Dot, preflight.Fails, 3600, 90, 2),
			mark(4, raster.Strip, preflight.AtRisk, 1, math.Nextafter(152.4, 0), 2)},
		SufficesFromWidthMM: 134.4120001,
		TapeMarginMM:        6,
	}
	values := map[string]float64{"lost_mm": 0.4, "px_per_inch": 72, "width_mm": 80, "height_mm": 60.5, "smallest_mm": 5, "largest_mm": 2500,
		"few_px": 1, "safe_px": 2.7, "needed_ppi": 1200, "area_mm2": 12.5, "mean_pct": 40, "paper_pct": 8, "ink_pct": 90, "ink": 2, "film": 1,
		"largest_um": 42.3, "margin_mm": 6, "left_mm": 1.5, "top_mm": 0, "frame_pct": 80, "pages": 3, "page": 1,
		"cannot_enter": 2, "slow": 1, "coarse_um": 125, "mean_um": 69, "narrowest_um": 61.2, "depth_um": 500, "too_narrow": 2, "walls_meet": 1}
	words := map[string]string{"why": "unset", "judged": "yes", "taken_as": "positive", "format": "jpeg", "grit": "F180", "colours": "#c02030 68 %"}
	for _, code := range []preflight.NoteCode{preflight.NotePoints, preflight.NoteSizeDoubtful, preflight.NoteLowResolution, preflight.NoteGreyAreas,
		preflight.NoteNotSolid, preflight.NoteSpecks, preflight.NoteEdgeTouch, preflight.NoteMaybeNegative, preflight.NoteLossy,
		preflight.NoteMorePages, preflight.NoteGrit, preflight.NoteDepth, preflight.NoteCornersMeet, preflight.NoteNoInk} {
		r.Notes = append(r.Notes, preflight.Note{Code: code, Count: 2, Values: values, Words: words,
			Places: []preflight.PointMM{{X: 1, Y: 2}, {X: 3, Y: 4}}, Boxes: []preflight.BoxMM{{X0: 0, Y0: 1, X1: 2, Y1: 3}}})
	}
	return r
}
