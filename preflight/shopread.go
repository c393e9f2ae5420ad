package preflight

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/BurntSushi/toml"

	"stencilproof/raster"
)

// ParseShop reads a shop file. It is strict: a key it does not know, a value
// of the wrong kind, a length without a unit, a limit that does not fit its
// partner are errors of type *ShopError, with the file's name and the line.
func ParseShop(name string, data []byte) (*Shop, error) {
	text := strings.TrimPrefix(string(data), byteOrderMark)
	var tree map[string]any
	if _, err := toml.Decode(text, &tree); err != nil {
		var bad toml.ParseError
		if errors.As(err, &bad) {
			return nil, &ShopError{name, bad.Position.Line, "not TOML: " + bad.Message, notTOML(text)}
		}
		return nil, &ShopError{name, 0, "not TOML: " + err.Error(), notTOML(text)}
	}
	r := &shopReader{file: name, lines: findTOMLLines(text)}
	s := r.shop(tree)
	if r.err == nil {
		r.err = s.check(r.lines)
	}
	if r.err != nil {
		return nil, r.err
	}
	return s, nil
}

// notTOML says what to do about a text that is no TOML, by what editors make of one.
func notTOML(text string) string {
	switch {
	case strings.ContainsRune(text, 0), !utf8.ValidString(text):
		return "save it from your editor as UTF-8 (Save as, encoding UTF-8)"
	case strings.ContainsAny(text, "“”„«»"):
		return "the quotes must be straight ones, \"like these\": a word processor bends them, a plain editor does not"
	}
	return "mend that line; stencilproof shop draft writes a file to compare with"
}

// byteOrderMark is what some editors put before a text in UTF-8.
const byteOrderMark = "\ufeff"

// shopReader walks the tree of a shop file and keeps the first thing wrong.
type shopReader struct {
	file  string
	lines tomlLines
	err   error
}

// wrong notes what is wrong at a path, unless something was wrong before.
func (r *shopReader) wrong(p, what, do string) {
	if r.err == nil {
		r.err = &ShopError{r.file, r.lines.of(p), what, do}
	}
}

// table is a table of the file with its path.
type table struct {
	r    *shopReader
	path string
	tree map[string]any
}

func (t table) at(key string) string {
	if t.path == "" {
		return key
	}
	return t.path + "." + key
}

// only refuses every key but these, the topmost in the file first.
func (t table) only(keys ...string) {
	var strange []string
	for key := range t.tree {
		if !slices.Contains(keys, key) {
			strange = append(strange, key)
		}
	}
	slices.SortFunc(strange, func(a, b string) int {
		if d := t.r.lines.of(t.at(a)) - t.r.lines.of(t.at(b)); d != 0 {
			return d
		}
		return strings.Compare(a, b)
	})
	if len(strange) > 0 {
		t.r.wrong(t.at(strange[0]), fmt.Sprintf("no key %q is known here", strange[0]), "the keys here are "+strings.Join(keys, ", "))
	}
}

func (t table) text(key string) string {
	v, ok := t.tree[key]
	if !ok {
		return ""
	}
	s, ok := v.(string)
	if !ok {
		t.r.wrong(t.at(key), fmt.Sprintf("%s is %s, not a text", key, kindOf(v)), key+` = "..."`)
	}
	return s
}

// oneOf is a text that must be one of the words.
func (t table) oneOf(key string, words ...string) string {
	s := t.text(key)
	if s != "" && !slices.Contains(words, s) {
		t.r.wrong(t.at(key), fmt.Sprintf("%s is %q", key, s), "it may be "+strings.Join(words, ", "))
	}
	return s
}

func (t table) texts(key string) []string {
	v, ok := t.tree[key]
	if !ok {
		return nil
	}
	list, ok := v.([]any)
	var out []string
	for _, v := range list {
		s, isText := v.(string)
		ok = ok && isText
		out = append(out, s)
	}
	if !ok {
		t.r.wrong(t.at(key), key+" is not a list of texts", key+` = ["...", "..."]`)
	}
	return out
}

// length is a length with its unit, in micrometres, or 0 when not given.
func (t table) length(key string) float64 {
	v, ok := t.tree[key]
	if !ok {
		return 0
	}
	s, ok := v.(string)
	if !ok {
		t.r.wrong(t.at(key), fmt.Sprintf("%s is %s without a unit", key, kindOf(v)), key+` = "80 um": in quotes, with one of the units `+UnitNames)
		return 0
	}
	um, err := ParseLength(s)
	if err != nil {
		t.r.wrong(t.at(key), key+": "+err.Error(), hintOf(err))
	}
	return um
}

func (t table) date(key string) time.Time {
	v, ok := t.tree[key]
	if !ok {
		return time.Time{}
	}
	d, ok := v.(time.Time)
	if !ok {
		t.r.wrong(t.at(key), fmt.Sprintf("%s is %s, not a date", key, kindOf(v)), key+" = 2027-03-01: year, month, day, without quotes")
		return time.Time{}
	}
	return time.Date(d.Year(), d.Month(), d.Day(), 0, 0, 0, 0, time.UTC)
}

// sub is a table inside, and whether it is there.
func (t table) sub(key string) (table, bool) {
	v, ok := t.tree[key]
	if !ok {
		return table{}, false
	}
	tree, ok := v.(map[string]any)
	if !ok {
		t.r.wrong(t.at(key), fmt.Sprintf("%s is %s, not a table", key, kindOf(v)), "write ["+key+"] on a line of its own")
	}
	return table{t.r, t.at(key), tree}, ok
}

// list is an array of tables.
func (t table) list(key string) []table {
	v, ok := t.tree[key]
	if !ok {
		return nil
	}
	trees, ok := v.([]map[string]any)
	if !ok {
		t.r.wrong(t.at(key), fmt.Sprintf("%s is %s", key, kindOf(v)), "write [["+key+"]] on a line of its own, in double brackets")
	}
	var out []table
	for i, tree := range trees {
		out = append(out, table{t.r, t.at(key) + "[" + strconv.Itoa(i) + "]", tree})
	}
	return out
}

// kindOf names what a value is.
func kindOf(v any) string {
	switch v := v.(type) {
	case string:
		return strconv.Quote(v)
	case int64, float64:
		return fmt.Sprint("the number ", v)
	case bool:
		return fmt.Sprint(v)
	case time.Time:
		return "a date"
	case map[string]any:
		return "a table"
	}
	return "a list"
}

func (r *shopReader) shop(tree map[string]any) *Shop {
	top := table{r, "", tree}
	top.only("shop", "habits", "process", "film")
	s := &Shop{File: r.file}
	if t, ok := top.sub("shop"); ok {
		t.only("name", "address", "email", "phone", "logo")
		s.Name, s.Address, s.Email, s.Phone, s.Logo = t.text("name"), t.texts("address"), t.text("email"), t.text("phone"), t.text("logo")
		if s.Email != "" && (!strings.Contains(s.Email, "@") || strings.ContainsAny(s.Email, " \t\r\n?&<>,;")) {
			r.wrong(t.at("email"), fmt.Sprintf("%q is no e-mail address", s.Email), "proofs send their answers there: write name@place")
		}
	}
	if t, ok := top.sub("habits"); ok {
		t.only("film", "units", "language", "paper", "tape-margin")
		s.Film, s.TapeMarginUM = t.text("film"), t.length("tape-margin")
		s.Units, s.Paper = t.oneOf("units", "mm", "in", "mil"), t.oneOf("paper", "A4", "Letter")
		s.Language = t.oneOf("language", Languages...)
	}
	s.Process = r.process(top)
	for _, t := range top.list("film") {
		s.OwnFilms = append(s.OwnFilms, r.film(t))
	}
	return s
}

func (r *shopReader) film(t table) ShopFilm {
	t.only("name", "thickness", "remark", "limits", "process", "was")
	f := ShopFilm{Name: strings.TrimSpace(t.text("name")), ThicknessUM: t.length("thickness"), Remark: t.text("remark")}
	switch {
	case f.Name == "":
		r.wrong(t.at("name"), "a film without a name", `name = "3 mil" or the shop's own word for it`)
	case f.ThicknessUM == 0:
		r.wrong(t.at("thickness"), fmt.Sprintf("film %q has no thickness", f.Name), `thickness = "3 mil"`)
	case f.ThicknessUM < thinnestUM || f.ThicknessUM > thickestUM:
		r.wrong(t.at("thickness"), fmt.Sprintf("film %q is %s thick", f.Name, t.text("thickness")), "films are 0.05 to 0.25 mm (2 to 10 mil) thick: check the number and its unit")
	}
	if um, err := ParseLength(f.Name); err == nil && f.ThicknessUM > 0 && math.Abs(um-f.ThicknessUM) > 0.02*um {
		r.wrong(t.at("thickness"), fmt.Sprintf("film %q is %s thick", f.Name, t.text("thickness")), "its name is another thickness, and --film takes either: correct one of the two")
	}
	if limits, ok := t.sub("limits"); ok {
		limits.only("line", "dot", "strip", "island")
		for _, k := range raster.Kinds {
			if l, ok := limits.sub(k.String()); ok {
				f.Limits[k] = r.limit(l)
				if safe := f.Limits[k].SafeUM; f.ThicknessUM > 0 && safe > 0 && (safe > mostThicknesses*f.ThicknessUM || safe < leastThicknesses*f.ThicknessUM) {
					r.wrong(l.at("safe"), fmt.Sprintf("safe %s is %s times the thickness of film %q", l.text("safe"), timesText(safe/f.ThicknessUM), f.Name), "the usual limits are 1 to 4 times: check the number and its unit")
				}
			}
		}
	}
	f.Process = r.process(t)
	for _, was := range t.list("was") {
		was.only("kind", "fail", "safe", "basis", "fail-basis", "date", "remark", "until")
		if _, ok := kindNamed(was.text("kind")); !ok {
			r.wrong(was.at("kind"), fmt.Sprintf("no kind %q", was.text("kind")), "the kinds are line, dot, strip, island")
		}
		was.date("until")
		r.pair(was)
	}
	return f
}

// timesText is how many times a thickness a limit is, to a whole number or two digits.
func timesText(times float64) string {
	if times >= 10 {
		return fmt.Sprintf("%.0f", times)
	}
	return fmt.Sprintf("%.2g", times)
}

func (r *shopReader) limit(t table) *ShopLimit {
	t.only("fail", "safe", "basis", "fail-basis", "date", "remark")
	return r.pair(t)
}

// pair reads a pair of limits and what it rests on.
func (r *shopReader) pair(t table) *ShopLimit {
	l := &ShopLimit{FailUM: t.length("fail"), SafeUM: t.length("safe"), Date: t.date("date"), Remark: t.text("remark")}
	for _, key := range []string{"fail", "safe", "basis"} {
		if _, ok := t.tree[key]; !ok {
			r.wrong(t.path, key+" is missing", `a pair is { fail = "76 um", safe = "115 um", basis = "measured" }`)
		}
	}
	words := t.oneOf("basis", "measured", "shop rule", "published", "from memory")
	l.Basis, l.FailBasis = basisWords[words], basisWords[words]
	if _, ok := t.tree["fail-basis"]; ok {
		l.FailBasis = basisWords[t.oneOf("fail-basis", "measured", "shop rule", "published", "from memory")]
	}
	if l.FailUM >= l.SafeUM {
		r.wrong(t.at("fail"), fmt.Sprintf("fail %s is not under safe %s", t.text("fail"), t.text("safe")), "under fail it will fail, from safe up it holds: fail is the smaller one")
	}
	if l.Basis == Measured && l.Date.IsZero() {
		r.wrong(t.path, "a measured pair needs its date", "date = 2027-03-01")
	}
	return l
}

// process reads the steps of the work under a table's key "process".
func (r *shopReader) process(t table) []ProcessRule {
	p, ok := t.sub("process")
	if !ok {
		return nil
	}
	p.only(ProcessSteps...)
	var out []ProcessRule
	for _, step := range ProcessSteps {
		v, ok := p.tree[step]
		if !ok {
			continue
		}
		rule := ProcessRule{Step: step}
		if one, isTable := v.(map[string]any); isTable {
			st := table{r, p.at(step), one}
			st.only("set", "remark")
			rule.Set, rule.Remark = st.text("set"), st.text("remark")
		} else {
			rule.Set = p.text(step)
		}
		if strings.TrimSpace(rule.Set) == "" {
			r.wrong(p.at(step), step+" says nothing", step+` = "45 s"`)
		}
		out = append(out, rule)
	}
	return out
}
