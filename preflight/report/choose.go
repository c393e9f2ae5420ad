package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"stencilproof/preflight"
	"stencilproof/raster"
)

// ChooseSchema names the form of the JSON of choose. Fields may be added to
// it; none changes its meaning.
const ChooseSchema = "stencilproof/choose/1"

// AdviceText is a choice's answer in a sentence or two.
func AdviceText(c *preflight.Choice) string { return adviceText(c) + cornersFirst(c) + greyFirst(c) }

// adviceText is the answer but for what neither a film nor a width helps with.
func adviceText(c *preflight.Choice) string {
	a := &c.Advice
	at := size(c.Artwork.WidthMM) + " mm wide"
	switch a.Kind {
	case preflight.UseFilm:
		if !slices.ContainsFunc(c.Films, func(f preflight.FilmChoice) bool { return f.HoldsFromWidthMM > 0 }) {
			if slices.ContainsFunc(c.Notes, func(n preflight.Note) bool { return n.Code == preflight.NoteNoInk }) {
				return "There is no ink in the artwork: nothing would be carved, on any film."
			}
			return "Nothing was found that a film could lose, so that any holds it: see the notes."
		}
		text := fmt.Sprintf("%s holds everything at %s.", Shown(a.Film), at)
		if n := holding(c); n > 1 {
			text += " It is the thickest that does, and a thicker film stands longer blasting."
		}
		return text
	case preflight.Mend:
		var words []string
		for i := range a.Marks {
			m := &a.Marks[i]
			if m.Specks {
				words = append(words, fmt.Sprintf("%s, probably dust, at %s/%s and so on", count(m.Count, "speck", "specks"), mm(m.At.X), mm(m.At.Y)))
				if m.Count == 1 {
					words[len(words)-1] = strings.TrimSuffix(words[len(words)-1], " and so on")
				}
				continue
			}
			what := "a " + names[m.Kind][0]
			if m.Kind == raster.Island {
				what = "an island"
			}
			if m.Count > 1 {
				what = count(m.Count, names[m.Kind][0], names[m.Kind][1]) + " down to"
			} else {
				what += " of"
			}
			words = append(words, fmt.Sprintf("%s %s at %s/%s (holds from %s)", what, width(m.WidthUM, m.FailUM, m.SafeUM), mm(m.At.X), mm(m.At.Y), limit(m.SafeUM)))
		}
		are, mend, it := "this is", "Mend", "it"
		if len(words) > 1 || a.Marks[0].Count > 1 {
			are, it = "these are", "them"
		}
		if !slices.ContainsFunc(a.Marks, func(m preflight.Mark) bool { return !m.Specks }) {
			mend = "Erase"
		}
		text := fmt.Sprintf("No film holds everything at %s, but on %s only %s to blame: %s. %s %s and %s holds.", at, Shown(a.Film), are, list(words), mend, it, Shown(a.Film))
		if a.Enlarging != "" {
			text += fmt.Sprintf(" Unmended, %s holds it from %s mm wide on.", Shown(a.Enlarging), mm(roundUp(a.EnlargingWidth, 2)))
		}
		return text
	case preflight.Enlarge:
		text := fmt.Sprintf("No film holds everything at %s. The least enlargement: %s mm wide, on %s.", at, mm(roundUp(a.WidthMM, 2)), Shown(a.Film))
		if times := a.WidthMM / c.Artwork.WidthMM; times > preflight.MuchLarger {
			text += fmt.Sprintf(" That is about %.0f times the width asked for: mending the artwork is likelier to help.", times)
		}
		return text
	}
	return "No film holds everything at " + at + ", nor at any larger width: the artwork must be mended."
}

// cornersFirst is said after an answer where parts of the ink meet by a corner, which no
// width mends: the one found is where the pixels grow as wide as the limit.
func cornersFirst(c *preflight.Choice) string {
	if c.Advice.Kind == preflight.UseFilm || !slices.ContainsFunc(c.Notes, func(n preflight.Note) bool { return n.Code == preflight.NoteCornersMeet }) {
		return ""
	}
	return " But no width mends a place where parts of the ink meet by a corner: join or part them first (see the notes)."
}

// greyFirst is said after an answer where parts are grey and no halftone, which no film and
// no width helps.
func greyFirst(c *preflight.Choice) string {
	if !preflight.GreyParts(c.Notes) {
		return ""
	}
	return " Its grey parts may come out either way: have those made solid first (see the notes)."
}

// holding counts the films that hold.
func holding(c *preflight.Choice) int {
	n := 0
	for i := range c.Films {
		if c.Films[i].Verdict == preflight.Holds {
			n++
		}
	}
	return n
}

// ChooseText writes a choice for people: the answer, then each film, the notes,
// and how it was found.
func ChooseText(w io.Writer, c *preflight.Choice) error {
	var b bytes.Buffer
	wrap(&b, "", "", AdviceText(c))
	fmt.Fprintln(&b)
	fmt.Fprintf(&b, "%s, carved %s x %s mm, film by film:\n", Shown(c.Artwork.File), size(c.Artwork.WidthMM), size(c.Artwork.HeightMM))
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprint(t, "film\tverdict")
	for _, k := range raster.Kinds {
		fmt.Fprintf(t, "\t%s", names[k][1])
	}
	fmt.Fprintln(t, "\ttightest\tholds from")
	counted, borrowed := false, false
	var larger []string // the films with the widths
	for i := range c.Films {
		f := &c.Films[i]
		verdict := strings.ReplaceAll(f.Verdict.String(), "-", " ")
		if f.As != "" {
			verdict += ", as " + Shown(f.As)
			borrowed = true
		} else if f.WorseAtMM > 0 {
			larger = append(larger, fmt.Sprintf("%s at %s mm", Shown(f.Film.Name), mm(roundTo(f.WorseAtMM, 2))))
		}
		fmt.Fprintf(t, "%s\t%s", Shown(f.Film.Name), verdict)
		for _, n := range f.Counts {
			cell := "-"
			if n != (preflight.Count{}) {
				cell = thousands(n.Fails) + " + " + thousands(n.AtRisk)
				counted = true
			}
			fmt.Fprintf(t, "\t%s", cell)
		}
		tight := "-"
		if f.Tightest != nil {
			l := f.Film.Limit(f.Tightest.Kind)
			tight = names[f.Tightest.Kind][0] + " " + width(f.Tightest.WidthUM, l.FailUM, l.SafeUM)
		}
		from := mm(roundUp(f.HoldsFromWidthMM, 2)) + " mm wide"
		switch {
		case f.NeverHolds:
			from = "no width"
		case f.HoldsFromWidthMM == 0:
			from = "any width"
		}
		fmt.Fprintf(t, "\t%s\t%s\n", tight, from)
	}
	t.Flush()
	if counted {
		fmt.Fprintln(&b, "Of each kind: how many fail + how many are at risk.")
	}
	if borrowed {
		wrap(&b, "", "", "A film holds nothing that a thinner one loses: where less was found on it, for its larger limits take a short gap or line for part of what is round it, the thinner film's verdict stands.")
	}
	if len(larger) > 0 {
		wrap(&b, "", "", "A film with nothing counted that does not hold loses something at a larger width ("+strings.Join(larger, ", ")+"), where its limits span fewer pixels: the worse finding stands.")
	}
	for i := range c.Notes {
		if i == 0 {
			advised := c.Films[0].Film.Name // as Choose takes them
			if c.Advice.Film != "" {
				advised = c.Advice.Film
			}
			fmt.Fprintf(&b, "\nNotes, on %s:\n", Shown(advised))
		}
		n := &c.Notes[i]
		wrap(&b, "  "+string(n.Code)+": ", "    ", NoteText(n))
	}
	for i, m := range c.Artwork.Remarks {
		if i == 0 {
			fmt.Fprintln(&b)
		}
		wrap(&b, "file: ", "  ", m)
	}
	fmt.Fprintln(&b)
	below := "that film, or one with the same limits to scale,"
	if borrowed {
		below = "that film, one with the same limits to scale or the thinner one whose width it is,"
	}
	wrap(&b, "", "", "Each film was judged as check judges it. The width a film holds from was judged at that width, and at one 2 % below it or less "+below+" was judged not to hold. What each limit rests on: stencilproof films.")
	_, err := w.Write(b.Bytes())
	return err
}

type jsonChoice struct {
	Schema  string           `json:"schema"`
	Artwork jsonArtwork      `json:"artwork"`
	Films   []jsonFilmChoice `json:"films"`
	Advice  jsonAdvice       `json:"advice"`
	Notes   []jsonNote       `json:"notes"`
}

type jsonFilmChoice struct {
	Name           string        `json:"name"`
	ThicknessUM    number        `json:"thickness_um"`
	Basis          string        `json:"basis"`
	Verdict        string        `json:"verdict"`
	VerdictAs      *string       `json:"verdict_as"`
	VerdictAtWidth *number       `json:"verdict_at_width_mm"`
	Counts         byKind[tally] `json:"counts"`
	Tightest       *jsonTightest `json:"tightest"`
	FailsBelow     *number       `json:"fails_below_width_mm"`
	HoldsFromWidth *number       `json:"holds_from_width_mm"`
}

type jsonTightest struct {
	Kind    string `json:"kind"`
	WidthUM number `json:"width_um"`
	SafeUM  number `json:"safe_um"`
	XMM     number `json:"x_mm"`
	YMM     number `json:"y_mm"`
}

type jsonAdvice struct {
	Film    *string    `json:"film"`
	Text    string     `json:"text"`
	Kind    string     `json:"kind"`
	WidthMM *number    `json:"width_mm"`
	Marks   []jsonMark `json:"marks"`
}

// adviceWords are the kinds of advice in JSON.
var adviceWords = [...]string{preflight.UseFilm: "film", preflight.Mend: "mend", preflight.Enlarge: "enlarge", preflight.Nothing: "none"}

// ChooseJSON writes a choice as one JSON object on one line.
func ChooseJSON(w io.Writer, c *preflight.Choice) error {
	j := jsonChoice{Schema: ChooseSchema, Artwork: jsonArtworkOf(&c.Artwork), Films: []jsonFilmChoice{}, Notes: []jsonNote{},
		Advice: jsonAdvice{Text: AdviceText(c), Kind: adviceWords[c.Advice.Kind], Marks: []jsonMark{}}}
	for i := range c.Films {
		f := &c.Films[i]
		out := jsonFilmChoice{Name: f.Film.Name, ThicknessUM: number(f.Film.ThicknessUM), Basis: "default", Verdict: f.Verdict.String()}
		if f.As != "" {
			out.VerdictAs = &f.As
		}
		if f.WorseAtMM > 0 {
			out.VerdictAtWidth = some(roundTo(f.WorseAtMM, mmPlaces))
		}
		if !math.IsInf(f.FailsBelowWidthMM, 1) {
			out.FailsBelow = some(roundUp(f.FailsBelowWidthMM, mmPlaces))
		}
		if f.Film.Measured {
			out.Basis = "measured"
		}
		for _, k := range raster.Kinds {
			out.Counts.set(k, tally{f.Counts[k].Fails, f.Counts[k].AtRisk})
		}
		if t := f.Tightest; t != nil {
			l := f.Film.Limit(t.Kind)
			v, _ := besides(t.WidthUM, umPlaces, l.FailUM, l.SafeUM)
			out.Tightest = &jsonTightest{t.Kind.String(), number(v), number(t.SafeUM), inMM(t.At.X), inMM(t.At.Y)}
		}
		if !f.NeverHolds {
			out.HoldsFromWidth = some(roundUp(f.HoldsFromWidthMM, mmPlaces))
		}
		j.Films = append(j.Films, out)
	}
	if c.Advice.Kind != preflight.Nothing {
		j.Advice.Film = &c.Advice.Film
		j.Advice.WidthMM = some(roundTo(c.Advice.WidthMM, mmPlaces))
	}
	for i := range c.Advice.Marks {
		j.Advice.Marks = append(j.Advice.Marks, markOf(&c.Advice.Marks[i]))
	}
	for i := range c.Notes {
		j.Notes = append(j.Notes, noteOf(&c.Notes[i]))
	}
	line, err := json.Marshal(j)
	if err != nil {
		return err
	}
	_, err = w.Write(append(line, '\n'))
	return err
}
