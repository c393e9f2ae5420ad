package report

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"stencilproof/preflight"
	"stencilproof/raster"
)

// mostRows is how many marks the text lists; the JSON lists all.
const mostRows = 40

// verdictWords open a report.
var verdictWords = [...]string{preflight.Holds: "HOLDS", preflight.AtRisk: "AT RISK", preflight.Fails: "FAILS"}

// names are a kind in the singular and the plural.
var names = [4][2]string{raster.Line: {"line", "lines"}, raster.Dot: {"dot", "dots"},
	raster.Strip: {"strip", "strips"}, raster.Island: {"island", "islands"}}

// Text writes a report for people: the verdict, what does not hold, the
// narrowest of each kind, the notes, and what the numbers rest on.
func Text(w io.Writer, r *preflight.Report) error {
	var b bytes.Buffer
	a := &r.Artwork
	head := verdictWords[r.Verdict]
	if r.Blank() {
		head = "NOTHING TO CARVE"
	}
	film := Shown(r.Film.Name)
	if !strings.HasSuffix(strings.ToLower(film), "film") {
		film += " film"
	}
	fmt.Fprintf(&b, "%s  %s on %s, carved %s x %s mm\n", head, Shown(a.File), film, size(a.WidthMM), size(a.HeightMM))
	fmt.Fprintf(&b, "%s\n", summary(r))
	writeMarks(&b, r)
	writeFinest(&b, r)
	writeNotes(&b, r)
	writeBasis(&b, r)
	_, err := w.Write(b.Bytes())
	return err
}

// summary counts what fails and what is at risk, in a sentence.
func summary(r *preflight.Report) string {
	if r.Blank() {
		return "There is no ink: nothing would be carved."
	}
	dust := specksAmong(r)
	of := func(n func(preflight.Count) int) string {
		var words []string
		for _, k := range raster.Kinds {
			if c := n(r.Counts[k]); c > 0 {
				words = append(words, count(c, names[k][0], names[k][1])+ofThemSpecks(n(dust[k]), c))
			}
		}
		return list(words)
	}
	fails := of(func(c preflight.Count) int { return c.Fails })
	risk := of(func(c preflight.Count) int { return c.AtRisk })
	switch {
	case fails != "" && risk != "":
		return fmt.Sprintf("Will fail: %s. At risk: %s.", fails, risk)
	case fails != "":
		return fmt.Sprintf("Will fail: %s.", fails)
	case risk != "":
		return fmt.Sprintf("Nothing fails. At risk: %s.", risk)
	}
	return "Nothing fails and nothing is at risk."
}

// specksAmong counts the features that are specks, probably dust.
func specksAmong(r *preflight.Report) (n [4]preflight.Count) {
	for i := range r.Marks {
		switch m := &r.Marks[i]; {
		case !m.Specks:
		case m.Verdict == preflight.Fails:
			n[m.Kind].Fails += m.Count
		default:
			n[m.Kind].AtRisk += m.Count
		}
	}
	return n
}

// ofThemSpecks says how many of a count are specks, which are judged as dots
// and islands.
func ofThemSpecks(n, of int) string {
	switch {
	case n == 0:
		return ""
	case n < of:
		return fmt.Sprintf(" (%s of them %s)", thousands(n), plural(n, "a speck", "specks"))
	}
	return " (" + plural(n, "a speck", "all specks") + ")"
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// what names a mark: its kind, or that it is specks of ink or of film.
func what(m *preflight.Mark) string {
	name := names[m.Kind]
	if m.Specks {
		of := " of ink"
		if m.Kind == raster.Island {
			of = " of film"
		}
		name = [2]string{"speck" + of, "specks" + of}
	}
	if m.Count > 1 {
		return fmt.Sprintf("%s %s", thousands(m.Count), name[1])
	}
	return name[0]
}

// writeMarks lists the marks, worst first.
func writeMarks(b *bytes.Buffer, r *preflight.Report) {
	if len(r.Marks) == 0 {
		return
	}
	fmt.Fprintln(b)
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "no\twhat\tverdict\twidth\tfails under\tholds from\tplace x/y, mm")
	for i := range r.Marks[:min(mostRows, len(r.Marks))] {
		m := &r.Marks[i]
		w := width(m.WidthUM, m.FailUM, m.SafeUM)
		if m.CouldChange() {
			w += " *"
		}
		fmt.Fprintf(t, "%d\t%s\t%s\t%s\t%s\t%s\t%s/%s\n", m.ID, what(m), strings.ReplaceAll(m.Verdict.String(), "-", " "), w,
			limit(m.FailUM), limit(m.SafeUM), mm(m.At.X), mm(m.At.Y))
	}
	t.Flush()
	if more := len(r.Marks) - mostRows; more > 0 {
		fmt.Fprintf(b, "... and %s more; --format json lists all.\n", thousands(more))
	}
	unsure, most := 0, 0.0
	for i := range r.Marks {
		if m := &r.Marks[i]; m.CouldChange() {
			unsure++
			most = math.Max(most, m.PlusMinusUM)
		}
	}
	if unsure > 0 {
		fmt.Fprintf(b, "* so near a limit that it may lie on its other side: the width is sure to +-%s mm. See low-resolution below.\n",
			trim(fmt.Sprintf("%.4f", most/1000)))
	}
}

// limit writes a limit in millimetres, as exactly as it is.
func limit(um float64) string { return plain(roundTo(um/1000, 6)) + " mm" }

// writeFinest lists the narrowest of each kind, and the size at which all holds.
func writeFinest(b *bytes.Buffer, r *preflight.Report) {
	found := false
	for _, f := range r.Finest {
		found = found || f.Found
	}
	if !found {
		return
	}
	fmt.Fprintln(b, "\nThe narrowest of each kind:")
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	for _, k := range raster.Kinds {
		f := r.Finest[k]
		if !f.Found {
			fmt.Fprintf(t, "  %s\tnone\n", names[k][0])
			continue
		}
		l := r.Film.Limit(k)
		fmt.Fprintf(t, "  %s\t%s\tat %s/%s\n", names[k][0], width(f.WidthUM, l.FailUM, l.SafeUM), mm(f.At.X), mm(f.At.Y))
	}
	t.Flush()
	if r.SufficesFromWidthMM > 0 && !r.CornersMeet() {
		fmt.Fprintf(b, "By these widths alone %s mm wide would do on this film; choose judges such a size itself.\n", mm(math.Ceil(r.SufficesFromWidthMM*100-1e-6)/100))
	}
}

func writeNotes(b *bytes.Buffer, r *preflight.Report) {
	if len(r.Notes) == 0 {
		return
	}
	fmt.Fprintln(b, "\nNotes:")
	for i := range r.Notes {
		n := &r.Notes[i]
		text := NoteText(n)
		if needsPlaces(n) {
			text += " At " + places(n) + "."
		}
		wrap(b, "  "+string(n.Code)+": ", "    ", text)
	}
}

// lineWidth is how many characters a line of running text has.
const lineWidth = 78

// wrap writes running text in lines, the further ones indented.
func wrap(b *bytes.Buffer, head, indent, text string) {
	line := head
	for i, word := range strings.Fields(text) {
		switch {
		case i == 0:
		case len(line)+1+len(word) > lineWidth:
			fmt.Fprintln(b, line)
			line = indent
		default:
			line += " "
		}
		line += word
	}
	fmt.Fprintln(b, line)
}

// sizeWords say where the engraved size comes from.
var sizeWords = map[string]string{"metadata": "from the file's own resolution", "width": "from the width given",
	"height": "from the height given", "dpi": "from the pixels an inch given"}

// writeBasis says what the numbers rest on.
func writeBasis(b *bytes.Buffer, r *preflight.Report) {
	a, f := &r.Artwork, &r.Film
	fmt.Fprintln(b, "\nWhat the numbers rest on:")
	edges := "grey edges"
	if a.Bilevel {
		edges = "pure black and white"
	}
	polarity := "positive, black is carved"
	if a.Negative {
		polarity = "negative, white is carved"
	}
	wrap(b, "  artwork: ", "    ", fmt.Sprintf("%s, %d x %d pixels, %s, read as a %s", a.Format, a.WidthPx, a.HeightPx, edges, polarity))
	wrap(b, "  size: ", "    ", fmt.Sprintf("%s x %s mm, %s (%s pixels an inch, %s mm each)", size(a.WidthMM), size(a.HeightMM),
		sizeWords[a.SizeFrom], trim(fmt.Sprintf("%.2f", a.PxPerInch)), trim(fmt.Sprintf("%.4f", a.UMPerPx()/1000))))
	for _, remark := range a.Remarks {
		wrap(b, "  file: ", "    ", remark)
	}
	basis := basisOf(f)
	if basis == startingValues {
		basis += ", not measured in this shop; the gauge makes them yours"
	}
	wrap(b, "  film: ", "    ", fmt.Sprintf("%s, %s thick; limits are %s (t is the thickness):", Shown(f.Name), width(f.ThicknessUM), basis))
	for _, k := range raster.Kinds {
		l := f.Limit(k)
		wrap(b, fmt.Sprintf("    %s: ", names[k][0]), "      ", fmt.Sprintf("fails under %s, %s; holds from %s, %s", limit(l.FailUM), l.FailWhy, limit(l.SafeUM), l.SafeWhy))
	}
	wrap(b, "  widths: ", "    ", "of a line or strip the narrowest sustained width along its centre line; of a dot or island the larger of 4A/P and the largest disc that fits. Places count from the artwork's top left corner.")
}
