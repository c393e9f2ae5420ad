package preflight

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// shopEdit is the text of a shop file being changed line by line.
type shopEdit struct {
	file  string
	lines []string // without their ends
	at    tomlLines
	end   string // what ends a line here
}

func newShopEdit(file string, data []byte) *shopEdit {
	text := strings.TrimPrefix(string(data), byteOrderMark)
	e := &shopEdit{file: file, at: findTOMLLines(text), end: "\n"}
	if strings.Contains(text, "\r\n") {
		e.end = "\r\n"
	}
	if text = strings.TrimSuffix(text, "\n"); text != "" {
		for _, l := range strings.Split(text, "\n") {
			e.lines = append(e.lines, strings.TrimSuffix(l, "\r"))
		}
	}
	return e
}

func (e *shopEdit) text() []byte { return []byte(strings.Join(e.lines, e.end) + e.end) }

// addFilm adds a film at the end.
func (e *shopEdit) addFilm(f Film, done []Recorded) {
	if len(e.lines) > 0 {
		e.lines = append(e.lines, "")
	}
	e.lines = append(e.lines, "[[film]]",
		"name = "+strconv.Quote(f.Name),
		"thickness = "+tomlUM(f.ThicknessUM), "", "[film.limits]")
	for _, d := range done {
		e.lines = append(e.lines, pairLine(d))
	}
}

// renew puts pairs into the film of the given index and keeps those they
// replace as its history.
func (e *shopEdit) renew(film int, done []Recorded) error {
	path := "film[" + strconv.Itoa(film) + "]"
	if _, ok := e.at[path]; !ok {
		return &ShopError{e.file, e.at.of(path), "the film is not a part of its own", "nothing was changed; write it below [[film]] and record again"}
	}
	from, to := e.region(path)
	last := to // where history goes: behind the last line of the film that says something
	for last > from && blankLine(e.lines[last-1]) {
		last--
	}
	var fresh, history []string
	put := map[int]string{}
	for _, d := range done {
		span, ok := e.at[path+".limits."+d.Kind.String()]
		if d.Before == nil {
			fresh = append(fresh, pairLine(d))
			continue
		}
		if !ok || span.from != span.to || !strings.Contains(e.lines[span.from-1], "{") {
			return &ShopError{e.file, e.at.of(path + ".limits." + d.Kind.String()), fmt.Sprintf("the %s's limits are not on a line of their own", d.Kind),
				"nothing was changed; write them under [film.limits] as " + d.Kind.String() + ` = { fail = "...", safe = "...", basis = "..." } and record again`}
		}
		line := pairLine(d)
		if old := e.lines[span.from-1]; strings.HasPrefix(strings.TrimSpace(old), "limits.") {
			line = "limits." + line
		}
		put[span.from-1] = line + afterValue(e.lines[span.from-1])
		history = append(history, wasLines(d)...)
	}
	for i, line := range put {
		e.lines[i] = line
	}
	if len(history) > 0 {
		e.lines = slices.Insert(e.lines, last, history...)
	}
	if len(fresh) == 0 {
		return nil
	}
	if span, ok := e.at[path+".limits"]; ok {
		e.lines = slices.Insert(e.lines, span.from, fresh...) // right below the header
		return nil
	}
	for key := range e.at {
		if strings.HasPrefix(key, path+".limits.") {
			for i := range fresh {
				fresh[i] = "limits." + fresh[i]
			}
			e.lines = slices.Insert(e.lines, e.at[path].from, fresh...)
			return nil
		}
	}
	e.lines = slices.Insert(e.lines, last, append([]string{"", "[film.limits]"}, fresh...)...)
	return nil
}

// region returns the lines of a film, its header to before the next part, as
// indices from and to.
func (e *shopEdit) region(path string) (from, to int) {
	from, to = e.at[path].from-1, len(e.lines)
	for key, span := range e.at {
		if !strings.HasPrefix(key+".", path+".") && span.from-1 > from && span.from-1 < to {
			to = span.from - 1
		}
	}
	// Comments right above the next part belong to it.
	for to > from+1 && to < len(e.lines) && strings.HasPrefix(strings.TrimSpace(e.lines[to-1]), "#") {
		to--
	}
	return from, to
}

func blankLine(s string) bool { return strings.TrimSpace(s) == "" }

// afterValue is what stands behind an inline table on its line: a comment.
func afterValue(line string) string {
	s := tomlScan{text: line + "\n", line: 1}
	depth := 0
	for s.at < len(line) {
		switch line[s.at] {
		case '"', '\'':
			s.quoted()
			continue
		case '{', '[':
			depth++
		case '}', ']':
			if depth--; depth == 0 {
				return strings.TrimRight(line[s.at+1:], " \t")
			}
		}
		s.at++
	}
	return ""
}

func tomlUM(um float64) string {
	return strconv.Quote(strconv.FormatFloat(um, 'f', -1, 64) + " um")
}

// basisWord is the word of a basis in a shop file.
func basisWord(b Basis) string {
	for word, v := range basisWords {
		if v == b {
			return word
		}
	}
	return "from memory"
}

func pairLine(d Recorded) string {
	basis := strconv.Quote(basisWord(d.Limit.Basis))
	if d.Limit.FailBasis != d.Limit.Basis {
		basis += ", fail-basis = " + strconv.Quote(basisWord(d.Limit.FailBasis))
	}
	return fmt.Sprintf("%-6s = { fail = %s, safe = %s, basis = %s, date = %s, remark = %s }",
		d.Kind, tomlUM(d.Limit.FailUM), tomlUM(d.Limit.SafeUM), basis, d.Limit.Date.Format(time.DateOnly), strconv.Quote(d.Limit.Remark))
}

// wasLines keep a pair that gave way.
func wasLines(d Recorded) []string {
	b := d.Before
	out := []string{"", "[[film.was]]",
		fmt.Sprintf("kind = %q", d.Kind.String()), "fail = " + tomlUM(b.FailUM), "safe = " + tomlUM(b.SafeUM),
		fmt.Sprintf("basis = %q", basisWord(b.Basis))}
	if b.FailBasis != b.Basis {
		out = append(out, fmt.Sprintf("fail-basis = %q", basisWord(b.FailBasis)))
	}
	if !b.Date.IsZero() {
		out = append(out, "date = "+b.Date.Format(time.DateOnly))
	}
	if b.Remark != "" {
		out = append(out, "remark = "+strconv.Quote(b.Remark))
	}
	return append(out, "until = "+d.Limit.Date.Format(time.DateOnly))
}
