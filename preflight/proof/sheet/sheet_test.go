package sheet

import (
	"bytes"
	"encoding/binary"
	"image/color"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var ink = Hex("#14212B")

// darkness sums the ink of a figure drawn in black, in square millimetres.
func darkness(f *Figure, ppi float64) float64 {
	img := f.Draw(ppi)
	sum := 0.0
	for i := 0; i < len(img.Pix); i += 4 {
		sum += 1 - float64(img.Pix[i])/255
	}
	return sum * (25.4 / ppi) * (25.4 / ppi)
}

// TestDrawnAreas: fills and strokes have the area of their shape, by geometry.
func TestDrawnAreas(t *testing.T) {
	b := Hex("#000000")
	for _, c := range []struct {
		name string
		p    Path
		want float64
	}{
		{"rectangle", Rect(3, 4, 10, 5).Filled(b), 50},
		{"disc", Circle(10, 10, 6).Filled(b), math.Pi * 36},
		{"ring", Circle(10, 10, 6).And(Hole(10, 10, 3)).Filled(b), math.Pi * 27},
		{"line", LineTo(2, 2, 14, 11).Stroked(b, 1.5), 15 * 1.5},
		{"line, round ends", LineTo(2, 2, 14, 11).Stroked(b, 1.5).Rounded(), 15*1.5 + math.Pi*0.75*0.75},
		{"frame, mitred", Rect(4, 4, 10, 8).Stroked(b, 2), 12*10 - 8*6},
		{"circle stroked", Circle(10, 10, 6).Stroked(b, 1), math.Pi * (6.5*6.5 - 5.5*5.5)},
		{"dashes", LineTo(1, 5, 19, 5).Stroked(b, 1).Dashed(2, 1), 12},
		{"dashes round a frame", Rect(2, 2, 12, 6).Stroked(b, 1).Dashed(3, 3), 18}, // a dash at every corner or none, none bends
	} {
		f := &Figure{W: 20, H: 20}
		f.Add(c.p)
		tol := 0.01*c.want + 0.1
		if strings.Contains(c.name, "frame") && c.p.Dash != nil {
			tol = 1.5 // bent dashes gain or lose their corner
		}
		assert.InDelta(t, c.want, darkness(f, 400), tol, c.name)
	}
}

func TestClipCutsOff(t *testing.T) {
	f := &Figure{W: 20, H: 20}
	f.Add(Clip{X: 5, Y: 5, W: 4, H: 3, Items: []Item{Rect(0, 0, 20, 20).Filled(Hex("#000000"))}})
	assert.InDelta(t, 12, darkness(f, 254), 0.01)
	g := &Figure{W: 40, H: 20}
	g.Place(f, 10, 2)
	c := g.Items[0].(Clip)
	assert.Equal(t, [2]float64{15, 7}, [2]float64{c.X, c.Y})
	assert.Equal(t, Pt{10, 2}, c.Items[0].(Path).D[0].P[0])
}

// TestWrapFits: no line is wider than asked, nothing is lost, a balanced
// paragraph has as few lines and never cuts a word that fits.
func TestWrapFits(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	font := Font{Regular, 8, ink}
	bold := Font{Bold, 8, ink}
	for trial := 0; trial < 300; trial++ {
		var ws []string
		for i := 0; i < 1+rng.IntN(25); i++ {
			ws = append(ws, strings.Repeat("m", 1+rng.IntN(9))+"\u00a0i")
		}
		width := 10 + rng.Float64()*60
		half := len(ws) / 2
		spans := []Span{{strings.Join(ws[:half], " ") + " ", font}, {strings.Join(ws[half:], " "), bold}}
		plain, even := Wrap(spans, width, false), Wrap(spans, width, true)
		assert.Equal(t, len(plain), len(even))
		for _, lines := range [][]Line{plain, even} {
			var got []string
			for _, l := range lines {
				require.LessOrEqual(t, l.Width, width+1e-6)
				s := ""
				for _, r := range l.Runs {
					s += r.S
				}
				got = append(got, s)
			}
			require.Equal(t, strings.Join(ws, ""), strings.ReplaceAll(strings.Join(got, ""), " ", ""))
		}
		long := 0.0
		for _, w := range ws {
			long = math.Max(long, bold.Width(w))
		}
		if long < width {
			for _, l := range even {
				last := l.Runs[len(l.Runs)-1].S
				require.True(t, strings.HasSuffix(last, "i"), "a word is cut: %q", last)
			}
		}
	}
}

func TestNamesFromOutside(t *testing.T) {
	assert.Equal(t, "a b c", Plain("a\x00b\r\n\tc"))
	assert.Equal(t, "evil", Plain("\u202Eevil\u202C\u200B"))
	assert.Equal(t, "x\u25A1", Plain("x\xff"))
	assert.Equal(t, "\u25A1 \u041F\u03A9", Settable("\u5B57 \u041F\u03A9"))
	assert.Equal(t, "\u25A1", Settable("\U0001F680"))
	f := Font{Regular, 8, ink}
	cut := f.Cut(strings.Repeat("long ", 50), 30)
	assert.LessOrEqual(t, f.Width(cut), 30.0)
	assert.True(t, strings.HasSuffix(cut, "\u2026"))
	assert.Equal(t, "short", f.Cut("short", 30))
}

// TestReduceKeepsFewColours exactly, and never has more than 256.
func TestReduceKeepsFewColours(t *testing.T) {
	f := &Figure{W: 30, H: 20}
	f.Add(Circle(10, 10, 6).Filled(Hex("#A64500")), Circle(20, 10, 6).Filled(Hex("#00598C")), Text{X: 2, Y: 18, S: "Ring", Font: Font{Bold, 12, ink}})
	img := f.Draw(300)
	p := Reduce(img)
	require.LessOrEqual(t, len(p.Palette), 256)
	worst := 0
	for y := 0; y < img.Rect.Dy(); y++ {
		for x := 0; x < img.Rect.Dx(); x++ {
			a, b := img.RGBAAt(x, y), p.At(x, y).(color.RGBA)
			for _, d := range []int{int(a.R) - int(b.R), int(a.G) - int(b.G), int(a.B) - int(b.B)} {
				worst = max(worst, d, -d)
			}
		}
	}
	assert.LessOrEqual(t, worst, 12)
}

// TestSubsetIsSound reads the WOFF back: lengths add up, every glyph of the
// characters kept is the font's own less its instructions, and the map finds it.
func TestSubsetIsSound(t *testing.T) {
	keep := map[rune]bool{'A': true, 'é': true, 'Ж': true}
	w := subset(Bold, keep)
	require.Equal(t, "wOFF", string(w[:4]))
	assert.Equal(t, len(w), int(binary.BigEndian.Uint32(w[8:])))
	n := int(binary.BigEndian.Uint16(w[12:]))
	total := 12 + 16*n
	for i := 0; i < n; i++ {
		e := w[44+20*i:]
		off, packed, size := binary.BigEndian.Uint32(e[4:]), binary.BigEndian.Uint32(e[8:]), binary.BigEndian.Uint32(e[12:])
		assert.Zero(t, off%4)
		assert.LessOrEqual(t, int(off+packed), len(w))
		total += int(size+3) &^ 3
	}
	assert.Equal(t, total, int(binary.BigEndian.Uint32(w[16:])))
	assert.Less(t, len(w), 12000, "the whole face has 150,000 bytes")
	assert.Equal(t, w, subset(Bold, keep), "the same bytes again")
}

func TestPDFNeedsPages(t *testing.T) {
	assert.ErrorContains(t, PDF(&bytes.Buffer{}, nil, About{}), "no pages")
}

func TestSVGEscapes(t *testing.T) {
	f := &Figure{W: 10, H: 10, Alt: `"><script>`}
	f.Add(Text{X: 1, Y: 5, S: `<b>&"`, Font: Font{Regular, 8, ink}}, Rect(0, 0, 1, 1).Filled(ink))
	f.Name(Box{Role: "label", Place: "A", W: 2, H: 2})
	var b bytes.Buffer
	require.NoError(t, f.SVG(&b, SVGOptions{Colours: map[Ink]string{ink: "currentColor"}}))
	s := b.String()
	assert.NotContains(t, s, "<script>")
	assert.Contains(t, s, "&lt;b&gt;&amp;")
	assert.Contains(t, s, `fill="currentColor"`)
	assert.Contains(t, s, `data-place="A"`)
}
