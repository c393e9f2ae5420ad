package preflight

import (
	"strconv"
	"strings"
)

// tomlLines says on which lines of a TOML text the keys stand, counted from 1,
// by path: "film[1].limits.line". A table's header is its own path. Keys
// inside an inline table have the lines of the key that holds it.
type tomlLines map[string]lineSpan

// lineSpan is the first and the last line of a key with its value.
type lineSpan struct{ from, to int }

// of returns the line of a path, or of the nearest path that holds it.
func (l tomlLines) of(p string) int {
	for p != "" {
		if s, ok := l[p]; ok {
			return s.from
		}
		i := strings.LastIndexAny(p, ".[")
		if i < 0 {
			break
		}
		p = p[:i]
	}
	return 0
}

// findTOMLLines indexes a text that is already known to be valid TOML 1.0: it
// only has to know where strings, comments and brackets end.
func findTOMLLines(text string) tomlLines {
	s := tomlScan{text: text, line: 1}
	lines := tomlLines{}
	counts := map[string]int{} // tables of each array so far
	base := ""
	for s.skipBlank(); s.at < len(text); s.skipBlank() {
		from := s.line
		switch {
		case strings.HasPrefix(text[s.at:], "[["):
			s.at += 2
			name := s.path(counts)
			base = name + "[" + strconv.Itoa(counts[name]) + "]"
			counts[name]++
			s.restOfValue()
			lines[base] = lineSpan{from, from}
		case text[s.at] == '[':
			s.at++
			base = s.path(counts)
			s.restOfValue()
			lines[base] = lineSpan{from, from}
		default:
			key := s.path(nil)
			s.at++ // the equals sign
			s.restOfValue()
			if base != "" {
				key = base + "." + key
			}
			lines[key] = lineSpan{from, s.line}
		}
	}
	return lines
}

// tomlScan is a place in a TOML text.
type tomlScan struct {
	text string
	at   int
	line int
}

// skipBlank moves to the next key or header.
func (s *tomlScan) skipBlank() {
	for s.at < len(s.text) {
		switch c := s.text[s.at]; {
		case c == '\n':
			s.line++
			s.at++
		case c == ' ' || c == '\t' || c == '\r':
			s.at++
		case c == '#':
			s.skipTo("\n")
		default:
			return
		}
	}
}

func (s *tomlScan) skipTo(end string) {
	if i := strings.Index(s.text[s.at:], end); i >= 0 {
		s.at += i
	} else {
		s.at = len(s.text)
	}
}

// path reads a dotted key up to its "=" or "]". With counts, each name on the
// way that is an array of tables means its last table.
func (s *tomlScan) path(counts map[string]int) string {
	out := ""
	for s.at < len(s.text) {
		switch c := s.text[s.at]; c {
		case '=', ']', '\n':
			return out
		case ' ', '\t':
			s.at++
		case '.':
			s.at++
			if n := counts[out]; n > 0 {
				out += "[" + strconv.Itoa(n-1) + "]"
			}
			out += "."
		case '"', '\'':
			from := s.at
			s.quoted()
			out += s.text[from+1 : s.at-1]
		default:
			out += string(c)
			s.at++
		}
	}
	return out
}

// restOfValue moves to the end of the line on which a value, or a header, ends.
func (s *tomlScan) restOfValue() {
	for depth := 0; s.at < len(s.text); {
		switch c := s.text[s.at]; c {
		case '\n':
			if depth <= 0 {
				return
			}
			s.line++
			s.at++
		case '#':
			s.skipTo("\n")
		case '"', '\'':
			s.quoted()
		case '[', '{':
			depth++
			s.at++
		case ']', '}':
			depth--
			s.at++
		default:
			s.at++
		}
	}
}

// quoted moves behind a string of any of the four kinds.
func (s *tomlScan) quoted() {
	mark := s.text[s.at : s.at+1]
	if long := strings.Repeat(mark, 3); strings.HasPrefix(s.text[s.at:], long) {
		mark = long
	}
	s.at += len(mark)
	for s.at < len(s.text) && !strings.HasPrefix(s.text[s.at:], mark) {
		if s.text[s.at] == '\\' && mark[0] == '"' {
			s.at++
		}
		if s.at < len(s.text) && s.text[s.at] == '\n' {
			s.line++
		}
		s.at++
	}
	s.at = min(len(s.text), s.at+len(mark))
	// Up to two more marks may belong to the string that they end.
	for i := 0; len(mark) == 3 && i < 2 && s.at < len(s.text) && s.text[s.at] == mark[0]; i++ {
		s.at++
	}
}
