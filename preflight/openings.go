package preflight

import (
	"cmp"
	"math"
	"slices"

	"stencilproof/raster"
)

// Opening is a place where abrasive goes through the stencil: a line or a dot.
type Opening struct {
	Kind    raster.Kind
	WidthUM float64
	Count   int // openings alike and together
	At      PointMM
	Box     BoxMM
}

// notePlaces is how many places a note names at most.
const notePlaces = 12

// Openings picks the lines and dots out of measured features, narrowest first.
// umPerPx is the engraved size of a pixel in micrometres.
func Openings(features []raster.Feature, umPerPx float64) []Opening {
	var out []Opening
	mm := umPerPx / 1000
	for i := range features {
		f := &features[i]
		if f.Kind != raster.Line && f.Kind != raster.Dot {
			continue
		}
		out = append(out, Opening{f.Kind, f.Width * umPerPx, 1, PointMM{f.At.X * mm, f.At.Y * mm},
			BoxMM{f.Box.X0 * mm, f.Box.Y0 * mm, f.Box.X1 * mm, f.Box.Y1 * mm}})
	}
	slices.SortStableFunc(out, narrower)
	return out
}

func narrower(a, b Opening) int { return cmp.Compare(a.WidthUM, b.WidthUM) }

// openingsWithSpecks are the openings and those specks of ink that are judged: a hole in
// the film is one, whether it was meant or not.
func (s *Survey) openingsWithSpecks(dropSpecks bool) []Opening {
	out := slices.Clone(s.Openings)
	lists := [][]raster.Speck{s.FineDots}
	if !dropSpecks {
		lists = append(lists, s.Dust)
	}
	for _, list := range lists {
		for _, d := range list {
			if !d.Film {
				out = append(out, Opening{raster.Dot, dustWidth(d) * s.Artwork.UMPerPx(), 1, s.middle(d.Box), s.box(d.Box)})
			}
		}
	}
	slices.SortStableFunc(out, narrower)
	return out
}

// narrowest is the width of the narrowest opening, or of those of finest (line
// and dot), whichever is less; +Inf without any.
func narrowest(openings []Opening, finest [4]Finest) float64 {
	w := math.Inf(1)
	if len(openings) > 0 {
		w = openings[0].WidthUM
	}
	for _, k := range [2]raster.Kind{raster.Line, raster.Dot} {
		if finest[k].Found {
			w = math.Min(w, finest[k].WidthUM)
		}
	}
	return w
}

// GritNote tells how a grit gets into openings, which Openings gave and which
// hold every one narrower than g.ReachUM(). Count is how many the coarsest
// grains cannot enter; the places are those, narrowest first, then those
// carved slowly. ok is false when the artwork has no opening at all.
//
//	Values: cannot_enter, slow (counts), coarse_um, mean_um, narrowest_um
//	Words:  grit; coarse and source, what its numbers rest on; enough, the
//	        coarsest F grit that enters the narrowest opening freely, if any;
//	        model, how the openings were judged
func GritNote(g Grit, openings []Opening, finest [4]Finest) (n Note, ok bool) {
	least := narrowest(openings, finest)
	if math.IsInf(least, 1) {
		return Note{}, false
	}
	n = Note{Code: NoteGrit, Words: map[string]string{"grit": g.Name, "coarse": g.Coarse, "source": g.Source,
		"model": "derived: a grain of size d clears both edges of an opening of width w over 1 - d/w of it; grains of the coarse limit cannot enter where that is 0, the mean grain carves slowly where it is under one half"}}
	slow := 0
	for _, o := range openings {
		switch g.Into(o.WidthUM) {
		case CannotEnter:
			n.Count += o.Count
		case Slowly:
			slow += o.Count
		default:
			continue
		}
		n.place(o)
	}
	n.Values = map[string]float64{"cannot_enter": float64(n.Count), "slow": float64(slow),
		"coarse_um": g.CoarseUM, "mean_um": g.MeanUM, "narrowest_um": least}
	if enough, ok := GritFor(least); ok {
		n.Words["enough"] = enough.Name
	}
	return n, true
}

// place adds an opening's place while there is room.
func (n *Note) place(o Opening) {
	if len(n.Places) < notePlaces {
		n.Places = append(n.Places, o.At)
		n.Boxes = append(n.Boxes, o.Box)
	}
}

// wallDegrees is the angle from the surface at which the walls of a blasted
// line run down. From memory: 60 to 70 degrees are usual.
const wallDegrees = 70

// MeetUM is the depth at which the walls of a line w micrometres wide meet:
// (w/2) tan 70. Derived.
func MeetUM(w float64) float64 { return w / 2 * math.Tan(wallDegrees*math.Pi/180) }

// DepthNote tells which openings cannot be carved to a depth, in micrometres:
// a line is not carved deeper than it is wide. The openings must hold every one
// narrower than the depth. Count is how many are narrower than that; ok is
// false when the artwork has no opening at all.
//
//	Values: depth_um, too_narrow (count), walls_meet (how many of them have
//	        walls that meet before the depth, so that no blasting gets there),
//	        narrowest_um, narrowest_meet_um
//	Words:  rule, walls: what the two rest on
func DepthNote(depthUM float64, openings []Opening, finest [4]Finest) (n Note, ok bool) {
	least := narrowest(openings, finest)
	if math.IsInf(least, 1) {
		return Note{}, false
	}
	n = Note{Code: NoteDepth, Words: map[string]string{
		"rule":  "published: a line cannot be blasted deeper than it is wide (R. Dobbins, A&E Magazine)",
		"walls": "derived: walls at 70 degrees from the surface (from memory) meet at half the width times tan 70, 1.37 widths deep",
	}}
	meet := 0
	for _, o := range openings {
		if o.WidthUM >= depthUM {
			continue
		}
		n.Count += o.Count
		if MeetUM(o.WidthUM) < depthUM {
			meet += o.Count
		}
		n.place(o)
	}
	n.Values = map[string]float64{"depth_um": depthUM, "too_narrow": float64(n.Count), "walls_meet": float64(meet),
		"narrowest_um": least, "narrowest_meet_um": MeetUM(least)}
	return n, true
}
