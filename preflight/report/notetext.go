package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"stencilproof/preflight"
)

// NoteText puts a note into words for the shop, in one paragraph.
func NoteText(n *preflight.Note) string {
	v := n.Values
	switch n.Code {
	case preflight.NotePoints:
		text := ""
		if n.Count > 0 {
			text = fmt.Sprintf("%s to nothing and will round off by up to %s mm. That is told, not judged.",
				count(n.Count, "tip tapers", "tips taper"), mm(v["lost_mm"]))
		}
		if c := int(v["crumbs"]); c > 0 {
			text += fmt.Sprintf(" %s under 4 square pixels ahead of a tip and %s as its end.", count(c, "piece lies", "pieces lie"), map[bool]string{true: "is taken", false: "are taken"}[c == 1])
		}
		return strings.TrimSpace(text)

	case preflight.NoteSizeDoubtful:
		return sizeDoubtful(n)

	case preflight.NoteLowResolution:
		return lowResolution(n)

	case preflight.NoteGreyAreas:
		if v["ruling_lpi"] > 0 {
			return halftone(n)
		}
		text := fmt.Sprintf("%s neither solid nor clear, %s mm2 in all, around %.0f %% black. Grey half-hardens the film, and comes out as chance has it: make it solid, or a halftone whose dots the film holds",
			count(n.Count, "area is", "areas are"), trim(mm(v["area_mm2"])), v["mean_pct"])
		if lpi := math.Floor(v["held_lpi"]); lpi > 0 {
			text += fmt.Sprintf(" (%.0f lines an inch or fewer for tones from 10 %% black on)", lpi)
		}
		return text + "."

	case preflight.NoteNotSolid:
		return notSolid(n)

	case preflight.NoteSpecks:
		return specks(n)

	case preflight.NoteEdgeTouch:
		return edgeTouch(n)

	case preflight.NoteMaybeNegative:
		what := fmt.Sprintf("%.0f %% of the artwork would be carved", v["ink_pct"])
		if v["ink_pct"] <= 50 {
			what = fmt.Sprintf("%.0f %% of the artwork's border would be carved", v["frame_pct"])
		}
		if n.Words["taken_as"] == "negative" {
			return what + ". It was read as a negative: if black should be carved, leave out --negative."
		}
		return what + ". If the customer sent a negative, where white is carved, add --negative."

	case preflight.NoteLossy:
		return fmt.Sprintf("The file was compressed with loss (%s), which smears edges and strews specks. Ask for the artwork as PNG or TIFF.", n.Words["format"])

	case preflight.NoteMorePages:
		return fmt.Sprintf("The file holds %.0f pages; only page %.0f was judged. --page N chooses another.", v["pages"], v["page"])

	case preflight.NoteCornersMeet:
		return fmt.Sprintf("In %s two parts of the ink meet by a corner. What joins them has no width of its own: the one told is the pixels'. Neither a larger size nor a finer file helps there: join them by a line that holds, or part them by a strip that does.", count(n.Count, "place", "places"))

	case preflight.NoteNoInk:
		return "There is no ink in the artwork, so there is nothing to carve and nothing was judged."

	case preflight.NoteGrit:
		return grit(n)

	case preflight.NoteDepth:
		return depth(n)
	}
	return string(n.Code)
}

func sizeDoubtful(n *preflight.Note) string {
	v := n.Values
	at := fmt.Sprintf("%s x %s mm", size(v["width_mm"]), size(v["height_mm"]))
	switch n.Words["why"] {
	case "unset":
		return fmt.Sprintf("The file says %.0f pixels an inch, which is what programs write when nobody chose a size. At that it is %s. If that is not the engraved size, give --width, --height or --dpi.", v["px_per_inch"], at)
	case "small":
		return fmt.Sprintf("%s is smaller than any ware (longer side under %.0f mm; common practice, no published source). Check the engraved size.", at, v["smallest_mm"])
	}
	return fmt.Sprintf("%s is larger than any ware (longer side over %.0f mm; common practice, no published source). Check the engraved size.", at, v["largest_mm"])
}

func lowResolution(n *preflight.Note) string {
	v := n.Values
	text := ""
	if v["few_px"] != 0 {
		text = fmt.Sprintf("The artwork is pure black and white at %.0f pixels an inch, so the film's smallest safe limit spans only %.1f pixels. ", v["px_per_inch"], v["safe_px"])
	}
	if v["soft_px"] != 0 {
		text = fmt.Sprintf("The edges are soft, grey over %.1f pixels or more, and the film's smallest safe limit spans only %.1f: what is under it may be lost in them. ", v["soft_px"], v["safe_px"])
	}
	if n.Count > 0 {
		text += fmt.Sprintf("%s so near a limit that the pixels cannot tell which side it is on. ",
			count(n.Count, "width lies", "widths lie"))
	}
	text += fmt.Sprintf("Ask for the artwork at %.0f pixels an inch or more", v["needed_ppi"])
	if v["soft_px"] != 0 {
		text += ", drawn or scanned at that, not enlarged"
	}
	return text + "."
}

func notSolid(n *preflight.Note) string {
	text := ""
	if ink, ok := n.Values["ink_pct"]; ok {
		text = fmt.Sprintf("Paper reads %.0f %% and ink %.0f %% black rather than 0 and 100; the levels were stretched before measuring. ", n.Values["paper_pct"], ink)
	}
	if colours := n.Words["colours"]; colours != "" {
		text += fmt.Sprintf("Colours become grey (%s black) and count as ink from 50 %% on. ", colours)
	}
	return text + "The printed positive must be solid black on clear."
}

func halftone(n *preflight.Note) string {
	v := n.Values
	text := fmt.Sprintf("A halftone of %s lines an inch at %.0f degrees: ", trim(fmt.Sprintf("%.1f", v["ruling_lpi"])), v["angle_deg"])
	var parts []string
	if c := int(v["dots"]); c > 0 {
		parts = append(parts, fmt.Sprintf("%s of ink, the smallest about %s across", count(c, "dot", "dots"), width(v["finest_dot_um"])))
	}
	if c := int(v["holes"]); c > 0 {
		parts = append(parts, fmt.Sprintf("%s of film, the smallest about %s", count(c, "dot", "dots"), width(v["finest_hole_um"])))
	}
	text += list(parts) + fmt.Sprintf(". The finest dot this film holds is %s, the finest gap between dots %s", width(v["dot_safe_um"]), width(v["gap_safe_um"]))
	if v["holes"] > 0 {
		text += fmt.Sprintf(", the finest dot of film %s", width(v["hole_safe_um"]))
	}
	if v["darkest_pct"] >= v["lightest_pct"] {
		return text + fmt.Sprintf(": at this ruling, tones of %.0f to %.0f %% black.", math.Ceil(v["lightest_pct"]), math.Floor(v["darkest_pct"]))
	}
	text += ": at this ruling, no tone at all"
	if lpi := math.Floor(v["held_lpi"]); lpi > 0 {
		return text + fmt.Sprintf(". With %.0f lines an inch or fewer it would hold tones from 10 %% black on.", lpi)
	}
	return text + "."
}

func specks(n *preflight.Note) string {
	v := n.Values
	var kinds []string
	if c := int(v["ink"]); c > 0 {
		kinds = append(kinds, count(c, "speck of ink", "specks of ink"))
	}
	if c := int(v["film"]); c > 0 {
		kinds = append(kinds, count(c, "pinhole in the ink", "pinholes in the ink"))
	}
	text := fmt.Sprintf("%s under 4 square pixels, standing alone (up to %s across): probably dust. ", list(kinds), width(v["largest_um"]))
	if n.Words["judged"] == "no" {
		return text + "They were left out of the verdict, as asked."
	}
	return text + "They are judged as dots and islands, for the film cannot tell. Clean the artwork, or leave them out with --drop-specks."
}

func edgeTouch(n *preflight.Note) string {
	var at, near []string
	for _, side := range [4]string{"left", "top", "right", "bottom"} {
		switch gap, ok := n.Values[side+"_mm"]; {
		case ok && gap < 0.005:
			at = append(at, "the "+side)
		case ok:
			near = append(near, fmt.Sprintf("%s mm of the %s edge", mm(gap), side))
		}
	}
	text := ""
	switch {
	case len(at) == 1:
		text = "Ink runs to " + at[0] + " edge"
	case len(at) > 1:
		text = "Ink runs to " + list(at) + " edges"
	}
	if len(near) > 0 {
		within := "comes within " + list(near)
		if text == "" {
			text = "Ink " + within
		} else {
			text += " and " + within
		}
	}
	margin, basis := n.Values["margin_mm"], "this shop's own rule"
	if margin == preflight.DefaultTapeMarginMM {
		basis = "common practice, no published source"
	}
	return fmt.Sprintf("%s. Taping wants %s mm of film around it (%s).", text, plain(margin), basis)
}

// asOne explains counts of openings: the deeper the carving, or the coarser the grit, the more
// of the artwork is too narrow for it, and the more of that is one.
const asOne = "Openings that hang together count as one."

func grit(n *preflight.Note) string {
	v := n.Values
	name := n.Words["grit"]
	text := ""
	switch {
	case n.Count > 0:
		text = fmt.Sprintf("The coarsest grains of %s (%s um) cannot enter %s", name, plain(v["coarse_um"]), count(n.Count, "opening", "openings"))
		if v["slow"] > 0 {
			text += fmt.Sprintf(", and %s slowly", count(int(v["slow"]), "more is carved", "more are carved"))
		}
		text += ". "
		if n.Count > 1 {
			text += asOne + " "
		}
	case v["slow"] > 0:
		text = fmt.Sprintf("%s enters every opening, but %s slowly: under half of it is open to the mean grain (%s um). ",
			name, count(int(v["slow"]), "is carved", "are carved"), plain(v["mean_um"]))
	default:
		text = fmt.Sprintf("%s enters every opening freely. ", name)
	}
	text += fmt.Sprintf("The narrowest opening is %s.", width(v["narrowest_um"]))
	if enough := n.Words["enough"]; enough != "" {
		text += fmt.Sprintf(" %s would do for it.", enough)
	}
	return text + sources(n, "source", "model")
}

func depth(n *preflight.Note) string {
	v := n.Values
	if n.Count == 0 {
		return fmt.Sprintf("Every opening is at least as wide as the carving is deep (%s mm).", trim(strconv.FormatFloat(v["depth_um"]/1000, 'f', 4, 64))) + sources(n, "rule")
	}
	text := fmt.Sprintf("%s narrower than the carving is deep (%s mm), so the depth will not be reached there",
		count(n.Count, "opening is", "openings are"), trim(strconv.FormatFloat(v["depth_um"]/1000, 'f', 4, 64)))
	if v["walls_meet"] > 0 {
		switch meet := int(v["walls_meet"]); {
		case n.Count == 1:
			text += "; the walls meet before"
		case meet == n.Count:
			text += "; in all of them the walls meet before"
		default:
			text += fmt.Sprintf("; in %d of them the walls meet before", meet)
		}
	}
	text += "."
	if n.Count > 1 {
		text += " " + asOne
	}
	return text + fmt.Sprintf(" The narrowest is %s.", width(v["narrowest_um"])) + sources(n, "rule", "walls")
}

// sources appends what a note's numbers rest on, as far as it says.
func sources(n *preflight.Note, keys ...string) string {
	text := ""
	for _, key := range keys {
		if w := n.Words[key]; w != "" {
			if text != "" {
				text += "; "
			}
			text += w
		}
	}
	if text == "" {
		return ""
	}
	return " (" + text + ")"
}

// needsPlaces reports whether a note's places say something that its text does
// not.
func needsPlaces(n *preflight.Note) bool {
	return len(n.Places) > 0 && n.Code != preflight.NoteEdgeTouch
}

// places lists the places of a note, at most six.
func places(n *preflight.Note) string {
	const most = 6
	text := ""
	for i, p := range n.Places[:min(most, len(n.Places))] {
		if i > 0 {
			text += ", "
		}
		text += mm(p.X) + "/" + mm(p.Y)
	}
	if more := int(math.Max(float64(n.Count), float64(len(n.Places)))) - most; more > 0 {
		text += fmt.Sprintf(" and %s more", thousands(more))
	}
	return text
}
