package sheet

import (
	"encoding/base64"
	"fmt"
	"html"
	"io"
	"strconv"
	"strings"
)

// SVGOptions says how a figure stands in its document.
type SVGOptions struct {
	Class string // class of the svg element
	// TrueSize writes width and height in millimetres; otherwise the figure
	// takes the width that its surroundings give.
	TrueSize bool
	// Colours replaces colours of the figure by others, in CSS's words, such
	// as "currentColor".
	Colours map[Ink]string
	// Hidden leaves the figure out of the accessibility tree: a decoration
	// whose meaning stands beside it in words.
	Hidden bool
	// Alone makes it a document of its own, with the fonts embedded.
	Alone bool
}

// SVG writes the figure as an svg element whose text names the font family
// "Proof", which the surrounding page defines.
func (f *Figure) SVG(w io.Writer, o SVGOptions) error {
	var b strings.Builder
	b.WriteString("<svg")
	if o.Alone {
		b.WriteString(` xmlns="http://www.w3.org/2000/svg"`)
	}
	if o.Class != "" {
		fmt.Fprintf(&b, ` class="%s"`, html.EscapeString(o.Class))
	}
	fmt.Fprintf(&b, ` viewBox="0 0 %s %s"`, num(f.W), num(f.H))
	if o.TrueSize || o.Alone {
		fmt.Fprintf(&b, ` width="%smm" height="%smm"`, num(f.W), num(f.H))
	}
	if o.Hidden {
		b.WriteString(` aria-hidden="true"`)
	} else if f.Alt != "" {
		fmt.Fprintf(&b, ` role="img" aria-label="%s"`, html.EscapeString(f.Alt))
	}
	b.WriteString(">")
	if o.Alone {
		b.WriteString("<style>" + FontFaces(f.runes()) + `text{font-family:Proof,sans-serif}</style>`)
		fmt.Fprintf(&b, `<rect width="%s" height="%s" fill="#FFFFFF"/>`, num(f.W), num(f.H))
	}
	s := svg{b: &b, o: o}
	s.draw(f.Items)
	// boxes of the layout, as data for whoever checks or scripts the page
	for _, x := range f.Boxes {
		if x.Role == "label" {
			fmt.Fprintf(&b, `<rect data-role="label" data-place="%s" x="%s" y="%s" width="%s" height="%s" fill="none"/>`,
				html.EscapeString(x.Place), num(x.X), num(x.Y), num(x.W), num(x.H))
		}
	}
	b.WriteString("</svg>")
	_, err := io.WriteString(w, b.String())
	return err
}

// runes returns every character that the figure sets.
func (f *Figure) runes() map[rune]bool {
	set := map[rune]bool{}
	var walk func([]Item)
	walk = func(items []Item) {
		for _, it := range items {
			switch it := it.(type) {
			case Text:
				for _, r := range Settable(it.S) {
					set[r] = true
				}
			case Clip:
				walk(it.Items)
			}
		}
	}
	walk(f.Items)
	return set
}

type svg struct {
	b *strings.Builder
	o SVGOptions
}

// num writes a length with a thousandth of a millimetre.
func num(v float64) string {
	s := strconv.FormatFloat(v, 'f', 3, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}

func (s *svg) colour(c Ink) string {
	if c.A == 0 {
		return "none"
	}
	if v, ok := s.o.Colours[c]; ok {
		return v
	}
	return fmt.Sprintf("#%02X%02X%02X", c.R, c.G, c.B)
}

func (s *svg) draw(items []Item) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			s.path(it)
		case Text:
			s.text(it)
		case Picture:
			b := encode(it, pictureWidth(it))
			fmt.Fprintf(s.b, `<image x="%s" y="%s" width="%s" height="%s" preserveAspectRatio="none" href="data:image/png;base64,%s"/>`,
				num(it.X), num(it.Y), num(it.W), num(it.H), base64.StdEncoding.EncodeToString(b))
		case Clip:
			fmt.Fprintf(s.b, `<svg x="%s" y="%s" width="%s" height="%s" viewBox="%s %s %s %s">`,
				num(it.X), num(it.Y), num(it.W), num(it.H), num(it.X), num(it.Y), num(it.W), num(it.H))
			s.draw(it.Items)
			s.b.WriteString("</svg>")
		}
	}
}

func (s *svg) path(p Path) {
	s.b.WriteString(`<path d="`)
	for _, g := range p.D {
		n := map[byte]int{'M': 1, 'L': 1, 'C': 3}[g.Op]
		s.b.WriteByte(g.Op)
		for i := 0; i < n; i++ {
			if i > 0 {
				s.b.WriteByte(' ')
			}
			s.b.WriteString(num(g.P[i].X) + " " + num(g.P[i].Y))
		}
	}
	fmt.Fprintf(s.b, `" fill="%s"`, s.colour(p.Fill))
	if p.Stroke.A > 0 && p.Width > 0 {
		fmt.Fprintf(s.b, ` stroke="%s" stroke-width="%s"`, s.colour(p.Stroke), num(p.Width))
		if p.Round {
			s.b.WriteString(` stroke-linecap="round" stroke-linejoin="round"`)
		}
		if len(p.Dash) > 0 {
			var d []string
			for _, v := range p.Dash {
				d = append(d, num(v))
			}
			fmt.Fprintf(s.b, ` stroke-dasharray="%s"`, strings.Join(d, " "))
		}
	}
	s.b.WriteString("/>")
}

func (s *svg) text(t Text) {
	anchor := [...]string{"start", "middle", "end"}[t.Anchor]
	fmt.Fprintf(s.b, `<text x="%s" y="%s" font-size="%s" font-weight="%s" fill="%s"`,
		num(t.X), num(t.Y), num(t.Font.Pt*MMPerPt), weights[t.Font.Weight].css, s.colour(t.Font.Ink))
	if t.Anchor != Start {
		fmt.Fprintf(s.b, ` text-anchor="%s"`, anchor)
	}
	fmt.Fprintf(s.b, ">%s</text>", html.EscapeString(t.S))
}
