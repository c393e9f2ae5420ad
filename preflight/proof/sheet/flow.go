package sheet

import (
	"math"
	"strings"
	"unicode/utf8"
)

// Span is a stretch of running text in one font.
type Span struct {
	S    string
	Font Font
}

// Line is one line of a set paragraph: its runs, placed from x = 0.
type Line struct {
	Runs  []Text
	Width float64
}

// Leading is the distance of baselines on paper, in type sizes.
const Leading = 1.25

// rise is where the baseline stands in a line's height.
const rise = 0.79

// Wrap breaks running text into lines no wider than width. It breaks at
// spaces only, never at a no-break space; a word longer than the line is cut.
// With balance the lines come out about equally long, in as few lines.
func Wrap(spans []Span, width float64, balance bool) []Line {
	words := split(spans)
	lines := fill(words, width)
	if !balance || len(lines) < 2 {
		return lines
	}
	lo, hi := width/2, width
	for _, w := range words { // never narrower than a word, which would be cut
		lo = math.Max(lo, math.Min(w.width(), width))
	}
	for i := 0; i < 12; i++ {
		mid := (lo + hi) / 2
		if len(fill(words, mid)) > len(lines) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return fill(words, hi)
}

// word is what stands between two spaces; it may change font midway.
type word struct {
	parts []Span
	space Font // of the space before it
	brk   bool // a line break stands before it
}

func (w word) width() float64 {
	sum := 0.0
	for _, p := range w.parts {
		sum += p.Font.Width(p.S)
	}
	return sum
}

func split(spans []Span) []word {
	var out []word
	open := false
	for _, sp := range spans {
		s := Settable(sp.S)
		for i, line := range strings.Split(s, "\n") {
			if i > 0 {
				open = false
				out = append(out, word{brk: true})
			}
			for j, w := range strings.Split(line, " ") {
				if j > 0 {
					open = false
				}
				if w == "" {
					continue
				}
				last := len(out) - 1
				if open || (last >= 0 && out[last].brk && out[last].parts == nil) {
					out[last].parts = append(out[last].parts, Span{w, sp.Font})
				} else {
					out = append(out, word{parts: []Span{{w, sp.Font}}, space: sp.Font})
				}
				open = true
			}
		}
	}
	return out
}

func fill(words []word, width float64) []Line {
	var lines []Line
	var cur Line
	add := func(p Span) {
		if n := len(cur.Runs); n > 0 && cur.Runs[n-1].Font == p.Font {
			cur.Runs[n-1].S += p.S
		} else {
			cur.Runs = append(cur.Runs, Text{X: cur.Width, S: p.S, Font: p.Font})
		}
		cur.Width += p.Font.Width(p.S)
	}
	flush := func() {
		lines = append(lines, cur)
		cur = Line{}
	}
	for _, w := range words {
		if w.brk {
			flush()
		}
		if len(cur.Runs) > 0 {
			if sp := w.space.Width(" "); cur.Width+sp+w.width() > width+1e-9 {
				flush()
			} else {
				add(Span{" ", w.parts[0].Font})
			}
		}
		for _, p := range w.parts {
			for cur.Width+p.Font.Width(p.S) > width+1e-9 {
				head := prefix(p, width-cur.Width)
				if head == "" {
					if len(cur.Runs) > 0 {
						flush()
						continue
					}
					_, n := utf8.DecodeRuneInString(p.S)
					head = p.S[:n]
				}
				add(Span{head, p.Font})
				p.S = p.S[len(head):]
				if p.S == "" {
					break
				}
				flush()
			}
			if p.S != "" {
				add(p)
			}
		}
	}
	if len(cur.Runs) > 0 || len(lines) == 0 {
		flush()
	}
	return lines
}

// prefix returns the longest beginning of a span that fits into width.
func prefix(p Span, width float64) string {
	w := 0.0
	for i, r := range p.S {
		w += p.Font.Width(string(r))
		if w > width {
			return p.S[:i]
		}
	}
	return p.S
}

// Set places lines with the top of the first at y, returns the bottom of the
// last. Their height is Leading times the size of their largest font.
func (f *Figure) Set(lines []Line, x, y float64) float64 {
	for _, ln := range lines {
		pt := 0.0
		for _, r := range ln.Runs {
			pt = math.Max(pt, r.Font.Pt)
		}
		h := pt * MMPerPt * Leading
		for _, r := range ln.Runs {
			r.X += x
			r.Y = y + h*rise
			f.Add(r)
		}
		y += h
	}
	return y
}

// Write sets running text in a column, returns where the next line begins.
func (f *Figure) Write(x, y, width float64, spans ...Span) float64 {
	return f.Set(Wrap(spans, width, false), x, y)
}

// LineHeight returns the height of a line of the font in millimetres.
func (f Font) LineHeight() float64 { return f.Pt * MMPerPt * Leading }

// Baseline returns how far below the top of its line the baseline lies.
func (f Font) Baseline() float64 { return f.LineHeight() * rise }

// Cut shortens s with an ellipsis so that it fits into width.
func (f Font) Cut(s string, width float64) string {
	if f.Width(s) <= width {
		return s
	}
	rs := []rune(s)
	for n := len(rs) - 1; n > 0; n-- {
		if t := strings.TrimRight(string(rs[:n]), " ") + "\u2026"; f.Width(t) <= width {
			return t
		}
	}
	return "\u2026"
}
