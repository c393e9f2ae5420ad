package raster

import (
	"fmt"
	"image"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/sfnt"
)

// The tests of this file draw real letters at sizes where their narrowest place,
// found on the outline by `narrowest`, is so many times the limit. A normal run
// takes a seeded part of them; STENCILPROOF_ALL=1 takes all.

// unseenFaces are faces that nothing in the package was tuned on.
func unseenFaces(t testing.TB) map[string]*sfnt.Font {
	out := map[string]*sfnt.Font{}
	f, err := sfnt.Parse(gomedium.TTF)
	require.NoError(t, err)
	out["Go Medium"] = f
	for name, file := range map[string]string{
		"DejaVu Sans":       "truetype/dejavu/DejaVuSans.ttf",
		"Nimbus Sans":       "opentype/urw-base35/NimbusSans-Regular.otf",
		"C059 Italic":       "opentype/urw-base35/C059-Italic.otf",
		"P052 Bold":         "opentype/urw-base35/P052-Bold.otf",
		"Nimbus Roman Bold": "opentype/urw-base35/NimbusRoman-Bold.otf",
	} {
		if data, err := os.ReadFile("/usr/share/fonts/" + file); err == nil {
			f, err := sfnt.Parse(data)
			require.NoError(t, err, name)
			out[name] = f
		}
	}
	return out
}

// glyphs is one letter of one face.
type glyphs struct {
	face string
	font *sfnt.Font
	r    rune
}

// alphabet lists every letter of every face, in a fixed order, or a seeded part.
// Without the typefaces of fonts-dejavu-core and fonts-urw-base35 it skips.
func alphabet(t *testing.T, part int, seed uint64, fs map[string]*sfnt.Font, want int) (list []glyphs) {
	if len(fs) < want {
		m := fmt.Sprintf("%d of %d typefaces found: install fonts-dejavu-core and fonts-urw-base35", len(fs), want)
		if os.Getenv("CI") != "" {
			t.Fatal(m)
		}
		t.Skip(m)
	}
	for name, f := range fs {
		for _, r := range letters {
			list = append(list, glyphs{name, f, r})
		}
	}
	sort.Slice(list, func(i, j int) bool {
		if list[i].face != list[j].face {
			return list[i].face < list[j].face
		}
		return list[i].r < list[j].r
	})
	if !everything {
		rand.New(rand.NewPCG(seed, 1)).Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		list = list[:part]
	}
	return list
}

// draw draws the letter at em pixels an em, margin pixels from the border, and
// tells where the outline's origin lies.
func (g glyphs) draw(em, margin float64) (*drawing, Point) {
	poly := outline(g.font, g.r, math.Min(0.01, 1/em))
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, c := range poly {
		for _, p := range c {
			x0, y0, x1, y1 = math.Min(x0, p.X), math.Min(y0, p.Y), math.Max(x1, p.X), math.Max(y1, p.Y)
		}
	}
	d := &drawing{w: int((x1-x0)*em+2*margin) + 1, h: int((y1-y0)*em+2*margin) + 1}
	o := Point{margin + 0.37 - x0*em, margin + 0.21 - y0*em}
	for _, c := range poly {
		out := make([]Point, len(c))
		for i, p := range c {
			out[i] = Point{o.X + p.X*em, o.Y + p.Y*em}
		}
		d.add(out)
	}
	return d, o
}

// The largest em, in limits: a letter whose narrowest place is a crack between
// overlapping outlines would be drawn as large as a wall. Capped letters really
// are under the limit and are left out.
const largestEm = 60

// silence counts, of letters at 1.3 times the limit, those drawn and the marks
// on them.
type silence struct {
	letters, marks, capped, faint int
	told                          []string
}

func (s *silence) String() string {
	return fmt.Sprintf("%d letters, %d marks, left out %d capped and %d with hairlines under a pixel\n%s",
		s.letters, s.marks, s.capped, s.faint, strings.Join(s.told, "\n"))
}

// silenceOf draws the letters at 1.3 times the limit and counts. A film test
// leaves out letters whose ink is finer than a pixel at that size: the gap is
// wide enough, but the file no longer holds the letter. A letter whose film has
// no narrow place is drawn by its ink.
func silenceOf(t *testing.T, list []glyphs, limits []float64, each bool) map[string]*silence {
	out := map[string]*silence{}
	for i, g := range list {
		ink, film := narrowest(g.font, g.r)
		if math.IsInf(film, 1) {
			film = ink
		}
		for j, d := range limits {
			if !each && j != i%len(limits) {
				continue
			}
			for _, kind := range []Kind{Line, Strip} {
				truth := map[Kind]float64{Line: ink, Strip: film}[kind]
				em := 1.3 * d / truth
				count := func(bilevel bool) *silence {
					key := fmt.Sprintf("%v grey", kind)
					if bilevel {
						key = fmt.Sprintf("%v bilevel", kind)
					}
					if out[key] == nil {
						out[key] = &silence{}
					}
					return out[key]
				}
				if em > largestEm*d {
					count(false).capped++
					count(true).capped++
					continue
				}
				if kind == Strip && ink*em < 1 {
					count(false).faint++
					count(true).faint++
					continue
				}
				pic, _ := g.draw(em, 2*d)
				pic.both(func(k *Ink, bilevel bool) {
					s := count(bilevel)
					s.letters++
					for _, f := range ofKind(Measure(k, safe(d)), kind) {
						s.marks++
						s.told = append(s.told, fmt.Sprintf("%s %c, limit %g, em %.1f: %.2f of the limit at %.0f,%.0f, %.1f limits long",
							g.face, g.r, d, em, f.Width/d, f.At.X, f.At.Y, f.Length/d))
						show(t, k, fmt.Sprintf("%s-%c-%g-%v-%v.png", g.face, g.r, d, kind, bilevel))
					}
				})
			}
		}
	}
	return out
}

// TestSilenceOfLetters: alphabets at 1.3 times the limit raise at most 1 false
// mark in 200 letters in ink, and 3 in 200 in film, grey and bilevel.
func TestSilenceOfLetters(t *testing.T) {
	for _, set := range []struct {
		name string
		list []glyphs
	}{
		{"faces known", alphabet(t, 60, 4711, faces(t), 9)},
		{"faces held out", alphabet(t, 40, 4711, unseenFaces(t), 6)},
	} {
		got := silenceOf(t, set.list, []float64{4, 7, 12}, everything)
		for _, key := range []string{"line grey", "line bilevel", "strip grey", "strip bilevel"} {
			s := got[key]
			require.NotNil(t, s, key)
			t.Logf("%s, %s: %v", set.name, key, s)
			allowed := math.Ceil(float64(s.letters) / 200)
			if strings.HasPrefix(key, "strip") {
				allowed = math.Ceil(3 * float64(s.letters) / 200)
			}
			assert.LessOrEqual(t, float64(s.marks), allowed, "%s, %s: %v", set.name, key, s)
		}
	}
}

// TestStrokeEndsAreSilent: letters at 1.3 times a limit of 4 px, where E comes
// apart by a pixel beside the end or the corner of a stroke, in ink and in film.
// Measured along the shortest chord through that pixel, each read 0.05 to 0.99
// of the limit.
func TestStrokeEndsAreSilent(t *testing.T) {
	fs := faces(t)
	for name, f := range unseenFaces(t) {
		fs[name] = f
	}
	for _, c := range []struct {
		face  string
		kind  Kind
		runes string
	}{
		{"Go Regular", Line, "l"}, {"Go Regular", Strip, "s"}, {"Go Bold", Strip, "S"}, {"Go Italic", Strip, "Gbs"},
		{"Nimbus Roman", Line, "SZ"}, {"Nimbus Roman Bold", Line, "2Q"}, {"P052 Bold", Line, "25"}, {"Z003", Line, "2mnu"}, {"Z003", Strip, "PV"},
	} {
		if fs[c.face] == nil {
			continue // told by the tests of whole alphabets
		}
		for _, r := range c.runes {
			ink, film := narrowest(fs[c.face], r)
			em := 5.2 / ink
			if c.kind == Strip {
				em = 5.2 / film
			}
			pic, _ := glyphs{c.face, fs[c.face], r}.draw(em, 8)
			got := Measure(pic.ink(rendering{}), safe(4))
			assert.Empty(t, ofKind(got, c.kind), "%s %c: %s", c.face, r, told(got))
		}
	}
}

// show keeps the picture of a mark with the test's artifacts (go test -artifacts).
func show(t *testing.T, k *Ink, name string) {
	img := image.NewGray(image.Rect(0, 0, k.W, k.H))
	for y := range k.H {
		for x := range k.W {
			img.Pix[y*k.W+x] = uint8(255 - math.Round(255*Shape{Ink: k}.Cover(x, y)))
		}
	}
	f, err := os.Create(filepath.Join(t.ArtifactDir(), strings.ReplaceAll(name, " ", "-")))
	require.NoError(t, err)
	defer f.Close()
	require.NoError(t, png.Encode(f, img))
}

// chord is the shortest way from edge to edge of the outline through p, in ems,
// by rays in 90 directions: an oracle for how wide the letter is at a mark.
func chord(poly [][]Point, p Point) float64 {
	best := math.Inf(1)
	for k := range 90 {
		u := polar(Point{}, 1, float64(k)*math.Pi/90)
		near := [2]float64{math.Inf(1), math.Inf(1)}
		for _, c := range poly {
			for i, a := range c {
				b := c[(i+1)%len(c)]
				// p + s u = a + t (b - a)
				vx, vy := b.X-a.X, b.Y-a.Y
				det := u.X*vy - u.Y*vx
				if math.Abs(det) < 1e-15 {
					continue
				}
				t := (u.Y*(p.X-a.X) - u.X*(p.Y-a.Y)) / -det
				s := (vx*(p.Y-a.Y) - vy*(p.X-a.X)) / det
				if t < 0 || t > 1 {
					continue
				}
				if s >= 0 {
					near[0] = math.Min(near[0], s)
				} else {
					near[1] = math.Min(near[1], -s)
				}
			}
		}
		best = math.Min(best, near[0]+near[1])
	}
	return best
}

// TestChordByHand: the oracle on a bar 0.2 wide and 1 long.
func TestChordByHand(t *testing.T) {
	bar := [][]Point{{{0, 0}, {1, 0}, {1, 0.2}, {0, 0.2}}}
	assert.InDelta(t, 0.2, chord(bar, Point{0.5, 0.1}), 1e-9)
	assert.InDelta(t, 0.2, chord(bar, Point{0.5, 0.03}), 1e-9)
	assert.InDelta(t, 0.2, chord(bar, Point{0.05, 0.1}), 1e-9)
}

// longHairline tells whether the letter has a thin stretch that must be marked:
// one that joins two thick parts, or that reaches 1.2 limits from the nearest.
// Thick is what an opening by a disc of 0.85 limits leaves. A shorter stub, the
// serif of a bold l, may be silent.
func longHairline(b *Bits, d float64) bool {
	thick := Open(b, 0.85*d/2)
	if len(Label(thick, true).List) > len(Label(b, true).List) {
		return true
	}
	near := Dilate(thick, 1.2*d)
	for i, w := range b.Words {
		if w&^near.Words[i] != 0 {
			return true
		}
	}
	return false
}

// TestHairlinesAreMarked: letters whose hairlines are 0.6 of the limit, of faces
// with contrast: at least 98 % marked, and no stem: a mark lies, to a pixel, where
// the letter is narrower than 1.05 times the limit, or than the mark's own plus or
// minus allows. Letters whose whole stroke is within 1.1 times the limit have no stem
// and are left out, as are those whose hairlines are stubs.
func TestHairlinesAreMarked(t *testing.T) {
	fs := faces(t)
	for name, f := range unseenFaces(t) {
		fs[name] = f
	}
	contrast := map[string]*sfnt.Font{}
	for _, name := range []string{"DejaVu Serif", "DejaVu Serif Bold", "C059 Roman", "Nimbus Roman", "Z003", "C059 Italic", "P052 Bold", "Nimbus Roman Bold"} {
		if fs[name] != nil {
			contrast[name] = fs[name]
		}
	}
	type counts struct{ letters, missed, stems int }
	got := map[bool]*counts{false: {}, true: {}}
	var told []string
	plain, short, capped := 0, 0, 0
	for i, g := range alphabet(t, 60, 815, contrast, 8) {
		ink, _ := narrowest(g.font, g.r)
		for j, d := range []float64{4, 7, 12} {
			if !everything && j != i%3 {
				continue
			}
			em := 0.6 * d / ink
			if em > largestEm*d {
				capped++
				continue
			}
			pic, o := g.draw(em, 2*d)
			poly := outline(g.font, g.r, 1.0/200)
			grey := pic.ink(rendering{})
			// A stem: a disc of 1.1 limits fits somewhere.
			if Erode(grey.Bits, 1.1*d/2).Count() == 0 {
				plain++
				continue
			}
			if !longHairline(grey.Bits, d) {
				short++
				continue
			}
			pic.both(func(k *Ink, bilevel bool) {
				c := got[bilevel]
				c.letters++
				lines := ofKind(Measure(k, safe(d)), Line)
				if len(lines) == 0 {
					c.missed++
					told = append(told, fmt.Sprintf("%s %c, limit %g, em %.1f, bilevel %v: missed", g.face, g.r, d, em, bilevel))
				}
				for _, f := range lines {
					// The place may lie a pixel off: in the mouth of an arm, where the
					// stem begins, or beside a hairline whose corner crumbles.
					w := math.Inf(1)
					for _, off := range []Point{{}, {1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
						w = math.Min(w, chord(poly, Point{(f.At.X + off.X - o.X) / em, (f.At.Y + off.Y - o.Y) / em})*em)
					}
					if w > 1.05*d && w > f.Width+f.PlusMinus {
						c.stems++
						told = append(told, fmt.Sprintf("%s %c, limit %g, em %.1f, bilevel %v: %.2f of the limit marked at %.0f,%.0f where it is %.2f",
							g.face, g.r, d, em, bilevel, f.Width/d, f.At.X, f.At.Y, w/d))
					}
				}
			})
		}
	}
	for bilevel, c := range got {
		require.NotZero(t, c.letters)
		m := fmt.Sprintf("bilevel %v: %d letters, %d missed, %d marks on stems (left out: %d without stems, %d without a hairline long enough, %d capped)\n%s",
			bilevel, c.letters, c.missed, c.stems, plain, short, capped, strings.Join(told, "\n"))
		t.Log(m)
		assert.LessOrEqual(t, float64(c.missed), math.Ceil(0.02*float64(c.letters)), m)
		assert.Zero(t, c.stems, m)
	}
}
