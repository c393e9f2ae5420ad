package proof

import (
	"fmt"
	"html"
	"strings"

	"stencilproof/preflight/proof/sheet"
)

// markup builds HTML. Text and attribute values are always escaped; only
// figures, which package sheet escapes itself, and constants go in raw.
type markup struct {
	b     strings.Builder
	stack []string
}

// open starts an element; attributes come as name, value, ...
func (m *markup) open(tag string, attrs ...string) *markup {
	m.tag(tag, attrs)
	m.stack = append(m.stack, tag)
	return m
}

// void writes an element without content.
func (m *markup) void(tag string, attrs ...string) { m.tag(tag, attrs) }

func (m *markup) tag(tag string, attrs []string) {
	m.b.WriteString("<" + tag)
	for i := 0; i+1 < len(attrs); i += 2 {
		fmt.Fprintf(&m.b, ` %s="%s"`, attrs[i], html.EscapeString(attrs[i+1]))
	}
	m.b.WriteString(">")
}

// close ends the innermost n elements.
func (m *markup) close(n int) {
	for ; n > 0; n-- {
		last := len(m.stack) - 1
		m.b.WriteString("</" + m.stack[last] + ">")
		m.stack = m.stack[:last]
	}
	m.b.WriteString("\n")
}

// el writes an element that holds text only.
func (m *markup) el(tag, text string, attrs ...string) {
	m.tag(tag, attrs)
	m.text(text)
	m.b.WriteString("</" + tag + ">\n")
}

func (m *markup) text(s string) { m.b.WriteString(html.EscapeString(s)) }

// name writes a name from outside, kept apart from the reading direction of
// what surrounds it.
func (m *markup) name(s string) { m.el("bdi", s, "dir", "auto") }

func (m *markup) svg(f *sheet.Figure, o sheet.SVGOptions) {
	f.SVG(&m.b, o) // a strings.Builder takes everything
	m.b.WriteString("\n")
}

// cssString writes text as a string of CSS, every sign but plain letters and
// digits escaped; the blank ends an escape.
func cssString(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		if r == ' ' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "\\%06X ", r)
		}
	}
	return b.String() + `"`
}
