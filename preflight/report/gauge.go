package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strconv"
	"strings"
	"sync"

	"stencilproof/preflight"
	"stencilproof/raster"
)

//go:embed gauge.html
var gaugePage string

var gaugeTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("gauge").Parse(gaugePage))
})

// GaugeSheet writes the sheet that goes with a printed gauge: one page of HTML
// that says how to use it, what each number means, and which command turns
// the reading into limits. file is the gauge's name, and shop the shop file that
// was named for it, or "".
func GaugeSheet(w io.Writer, g *preflight.Gauge, file, shop string) error {
	type step struct {
		Number  int
		UM, Mil string
	}
	type comb struct {
		Kind, Look, TooFine string
		Steps               []step
	}
	data := struct {
		File, Film, Thick, PPI, Bits, Size, Lettered string
		Whole                                        bool
		WedgeFrom                                    string   // where it begins, if not at the first number
		Command                                      []string // words that a line may break between
		Combs                                        []comb
	}{
		File: file, Film: g.Film.Name, Thick: plain(g.Film.ThicknessUM), PPI: plain(g.PPI), Whole: g.Bilevel,
		Size: fmt.Sprintf("%.1f x %.1f mm", g.WidthMM, g.HeightMM),
		Bits: "grey edges: every width is exact",
	}
	data.WedgeFrom = wedgeFrom(g)
	data.Lettered = strings.Join(strings.Fields(g.Lettering()), " ")
	data.Command = []string{"stencilproof gauge record", "--film " + shellWord(g.Film.Name)}
	if shop != "" {
		data.Command = append(data.Command, "--shop "+shellWord(shop))
	}
	if g.Bilevel {
		data.Bits = "whole dots: every width is a whole number of the printer's dots"
		data.Command = append(data.Command, "--whole-dots "+plain(g.PPI))
	} else {
		data.Command = append(data.Command, "--dpi "+plain(g.PPI))
	}
	for _, k := range raster.Kinds {
		c := comb{Kind: k.String(), Look: map[raster.Kind]string{
			raster.Line:   "whole when it is open from end to end in all three directions",
			raster.Dot:    "whole when all three are open and round",
			raster.Strip:  "whole when the film stands from end to end in all three directions",
			raster.Island: "whole when all three spots of film stand where they stood",
		}[k]}
		for _, s := range g.Steps[k] {
			c.Steps = append(c.Steps, step{s.Number, span(s.LeastUM, s.MostUM, 1), span(s.LeastUM/25.4, s.MostUM/25.4, 2)})
		}
		if g.TooFine[k] {
			c.TooFine = fmt.Sprintf("At %s dots an inch the printer cannot draw what this film is expected to lose (under %s um).", plain(g.PPI), plain(g.Film.Limits[k].FailUM))
		}
		data.Combs = append(data.Combs, c)
		data.Command = append(data.Command, "--"+c.Kind+" __")
	}
	return gaugeTemplate().Execute(w, data)
}

// wedgeFrom says of the wedges that do not begin at their comb's first number where they do.
func wedgeFrom(g *preflight.Gauge) string {
	var parts []string
	for _, e := range g.Elements {
		if steps := g.Steps[e.Kind]; e.Wedge && e.WidthUM > steps[0].WidthUM {
			i := slices.IndexFunc(steps, func(s preflight.GaugeStep) bool { return s.WidthUM >= e.WidthUM })
			parts = append(parts, fmt.Sprintf("that of the %ss at %d", e.Kind, steps[i].Number))
		}
	}
	return strings.Join(parts, ", ")
}

// span writes a width, or from which to which it goes.
func span(least, most float64, places int) string {
	from, to := strconv.FormatFloat(least, 'f', places, 64), strconv.FormatFloat(most, 'f', places, 64)
	if from == to {
		return to
	}
	return from + " to " + to
}

// shellWord quotes a word with spaces for a command line.
func shellWord(s string) string {
	if strings.ContainsAny(s, " \t\"'$&|<>()*?;\\`!#") {
		return strconv.Quote(s)
	}
	return s
}
