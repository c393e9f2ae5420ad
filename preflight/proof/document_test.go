package proof

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// pdfText reads a PDF back with pdftotext, blanks and line ends made one.
func pdfText(t *testing.T, d *Document) string {
	tool := needTool(t, "pdftotext")
	file := filepath.Join(t.TempDir(), "p.pdf")
	var b bytes.Buffer
	require.NoError(t, d.PDF(&b))
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	out, err := exec.Command(tool, "-raw", file, "-").Output()
	require.NoError(t, err)
	return plain(string(out))
}

func plain(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(s, nbsp, " ")), " ")
}

// htmlText strips tags from a page.
func htmlText(t *testing.T, d *Document) string {
	s := htmlOf(t, d)
	s = regexp.MustCompile(`(?s)<style>.*?</style>`).ReplaceAllString(s, "")
	s = regexp.MustCompile(`<[^>]*>`).ReplaceAllString(s, " ")
	for _, r := range [][2]string{{"&amp;", "&"}, {"&lt;", "<"}, {"&gt;", ">"}, {"&#34;", `"`}, {"&#39;", "'"}} {
		s = strings.ReplaceAll(s, r[0], r[1])
	}
	return plain(s)
}

// TestPagesSayWhatTheReportSays works the numbers out of the report anew and
// finds them in the PDF and in the HTML.
func TestPagesSayWhatTheReportSays(t *testing.T) {
	e := crest(200, true)
	job := testJob()
	job.Films = filmsFor(e.r)
	d := Build(e.r, e.ink, job)
	pdf, page := pdfText(t, d), htmlText(t, d)
	var want []string
	want = append(want, "Not ready to carve at 72 mm wide:")
	fails, risk := 0, 0
	for _, c := range e.r.Counts {
		fails += c.Fails
		risk += c.AtRisk
	}
	want = append(want, fmt.Sprintf("%d details (A to D) will not come out as drawn, and %d more (E and F) may not.", fails, risk))
	tight := map[string]preflight.Mark{}
	for _, m := range e.r.Marks {
		key := fmt.Sprint(m.Kind, m.Verdict)
		if o, ok := tight[key]; !ok || m.WidthUM < o.WidthUM {
			tight[key] = m
		}
	}
	require.Len(t, tight, 6)
	for _, m := range tight {
		unit := map[raster.Kind]string{raster.Line: "wide", raster.Strip: "wide", raster.Dot: "across", raster.Island: "across"}[m.Kind]
		want = append(want, fmt.Sprintf("%.2f mm %s", m.WidthUM/1000, unit),
			fmt.Sprintf("Under %.2f mm is lost; %.2f mm is safe.", m.FailUM/1000, math.Ceil(m.SafeUM/10-1e-9)/100),
			fmt.Sprintf("carve the whole at %.0f mm wide.", math.Ceil(72*m.SafeUM/m.WidthUM-1e-6)))
	}
	want = append(want, fmt.Sprintf("From %.0f mm wide all of it comes out as drawn.", math.Ceil(e.r.HoldsFromWidthMM)),
		"a film 0.076 mm thick (3 mil) shields your piece", "Job 2027-031", "For Merrow Sound Sailing Club", "12 March 2027", "Your answer", "True size when printed at 100 %")
	for _, s := range want {
		assert.Contains(t, page, s, "HTML")
		assert.Contains(t, strings.ReplaceAll(pdf, "- ", "-"), s, "PDF")
	}
	assert.Contains(t, pdf, "page 1 of 1")

	// the same report changed: the pages follow
	e.r.Marks[0].WidthUM = 33
	assert.Contains(t, htmlText(t, Build(e.r, e.ink, job)), "0.03 mm wide")
}

// Where the width at which all was judged to come out is more than the widths measured say,
// the cards ask for as much more: none names a width at which its place was seen to fail.
func TestCardsAskForWhatWasJudged(t *testing.T) {
	e := crest(200, true)
	e.r.HoldsFromWidthMM = 1.25 * e.r.SufficesFromWidthMM
	page := htmlText(t, Build(e.r, e.ink, testJob()))
	most := fmt.Sprintf("%.0f mm wide", math.Ceil(e.r.HoldsFromWidthMM))
	assert.Contains(t, page, "carve the whole at "+most)
	assert.Contains(t, page, "From "+most+" all of it comes out as drawn.")
	assert.NotContains(t, page, fmt.Sprintf("carve the whole at %.0f mm wide", math.Ceil(e.r.SufficesFromWidthMM)))
}

// TestBenchSaysWhatTheReportSays does the same for the bench sheet.
func TestBenchSaysWhatTheReportSays(t *testing.T) {
	e := crest(200, true)
	job := testJob()
	job.Films = filmsFor(e.r)
	d := BuildBench(e.r, e.ink, job, benchFacts(e.r))
	require.Len(t, d.Pages, 1)
	pdf, page := pdfText(t, d), htmlText(t, d)
	for _, s := range []string{"Fails: 21 features fail, 2 are at risk.", "76 / 115", "229 / 305", "cannot enter at A, B and E", "0.106 mm", "72 × 72 mm", "from memory", "Never blast with silica sand", "Customer's answer", "F: mark 23."} {
		assert.Contains(t, pdf, s)
		assert.Contains(t, page, s)
	}
}

// TestRulerInPDF reads the ruler's line back out of the PDF's drawing: 85.6 mm.
func TestRulerInPDF(t *testing.T) {
	e := crest(100, true)
	d := Build(e.r, e.ink, testJob())
	var b bytes.Buffer
	require.NoError(t, d.PDF(&b))
	found := 0
	for _, s := range streams(t, b.Bytes()) {
		for _, m := range regexp.MustCompile(`([\d.]+) ([\d.]+) m\s+([\d.]+) ([\d.]+) l\s+S`).FindAllStringSubmatch(s, -1) {
			v := [4]float64{}
			for i := range v {
				v[i], _ = strconv.ParseFloat(m[i+1], 64)
			}
			if v[1] == v[3] && math.Abs((v[2]-v[0])*25.4/72-85.6) < 0.02 {
				found++
			}
		}
	}
	assert.Equal(t, 1, found, "one line of 85.6 mm")
	file := filepath.Join(t.TempDir(), "p.pdf")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	assert.InDelta(t, 70, rulerTenToEighty(t, file), 0.1)
	for _, x := range d.Pages[0].Boxes {
		switch x.Role {
		case "ruler":
			assert.Equal(t, 85.6, x.W)
		case "artwork":
			assert.InDelta(t, 72, x.W, 0.13, "the artwork's true size, to half a pixel")
		}
	}
}

// TestSameBytes: the same report, ink and job give the same files.
func TestSameBytes(t *testing.T) {
	build := map[string]func() *Document{
		"proof": func() *Document { e := some(100, 70, 60, 30, preflight.Fails); return Build(e.r, e.ink, testJob()) },
		"bench": func() *Document {
			e := crest(100, true)
			j := testJob()
			j.Films = filmsFor(e.r)
			return BuildBench(e.r, e.ink, j, benchFacts(e.r))
		},
	}
	for name, b := range build {
		for _, form := range []struct {
			name  string
			write func(*Document, io.Writer) error
		}{{"png", (*Document).PNG}, {"pdf", (*Document).PDF}, {"html", (*Document).HTML}} {
			if name == "bench" && form.name == "png" {
				continue // drawn as the proof's
			}
			var a, z bytes.Buffer
			require.NoError(t, form.write(b(), &a))
			require.NoError(t, form.write(b(), &z))
			assert.True(t, bytes.Equal(a.Bytes(), z.Bytes()), "%s as %s", name, form.name)
			assert.Less(t, a.Len(), 1<<20, "%s as %s", name, form.name)
		}
	}
}

// TestTypeIsLargeEnough: no text on any sample's pages is set under 7 pt, and
// all of it, and every box, lies on the page.
func TestTypeIsLargeEnough(t *testing.T) {
	for name, build := range sampleBuilders(150) {
		d := build()
		for i, f := range d.Pages {
			texts := 0
			var walk func([]sheet.Item)
			walk = func(items []sheet.Item) {
				for _, it := range items {
					switch it := it.(type) {
					case sheet.Text:
						texts++
						require.GreaterOrEqual(t, it.Font.Pt, 7.0, "%s page %d: %q", name, i+1, it.S)
						w := it.Font.Width(sheet.Settable(it.S))
						x := it.X
						switch it.Anchor {
						case sheet.Middle:
							x -= w / 2
						case sheet.End:
							x -= w
						}
						require.GreaterOrEqual(t, x, 10.0, "%s page %d: %q", name, i+1, it.S)
						require.LessOrEqual(t, x+w, f.W-10, "%s page %d: %q", name, i+1, it.S)
						require.LessOrEqual(t, it.Y, f.H-7, "%s page %d: %q", name, i+1, it.S)
					case sheet.Clip:
						walk(it.Items)
					}
				}
			}
			walk(f.Items)
			require.Positive(t, texts)
			disjoint(t, fmt.Sprintf("%s page %d", name, i+1), f.Boxes)
		}
	}
}

// disjoint checks the boxes that must not lie on each other: letters and
// cards, and no letter on an outline.
func disjoint(t *testing.T, at string, boxes []sheet.Box) {
	for i, a := range boxes {
		for j, b := range boxes {
			meets := a.X < b.X+b.W-1e-6 && b.X < a.X+a.W-1e-6 && a.Y < b.Y+b.H-1e-6 && b.Y < a.Y+a.H-1e-6
			if j < i && a.Role == b.Role && (a.Role == "label" || a.Role == "card" || a.Role == "answer") {
				require.False(t, meets, "%s: %s %s on %s", at, a.Role, a.Place, b.Place)
			}
			if a.Role == "label" && b.Role == "card" {
				require.False(t, meets, "%s: letter %s on card %s", at, a.Place, b.Place)
			}
		}
	}
}

// TestHostileNames: names with markup, controls and other scripts stay text.
func TestHostileNames(t *testing.T) {
	e := some(150, 60, 60, 2, preflight.Fails)
	d := Build(e.r, e.ink, hostileJob())
	page := htmlOf(t, d)
	for _, bad := range []string{"<script", "<img src=x", "</style><b>", "\x00", "\u202E"} {
		assert.NotContains(t, page, bad)
	}
	assert.Equal(t, 1, strings.Count(page, "</style>"), "nothing ends the style sheet early")
	assert.Contains(t, page, "&lt;script&gt;")
	assert.NotContains(t, strings.ToLower(page), "%0d", "no line break gets into a mail's head")
	assert.Contains(t, page, "שלום", "names in other scripts stand in the page")
	var b bytes.Buffer
	require.NoError(t, d.PNG(&b))
	require.NoError(t, d.PDF(&b))
	text := pdfText(t, d)
	assert.Contains(t, text, string(sheet.Missing), "what the fonts lack shows in the PDF")

	j := testJob()
	for _, mail := range []string{"a@b?bcc=c@d", "a b@c", "x", "a@b,c@d", `"a"@b`} {
		j.Shop.Email = mail
		assert.NotContains(t, htmlOf(t, Build(e.r, e.ink, j)), `href="mailto:`, mail)
	}
	j.Shop.Email = "proofs@ternandtide.example"
	assert.Contains(t, htmlOf(t, Build(e.r, e.ink, j)), `href="mailto:proofs@ternandtide.example?subject=Proof%202027-031%20B%3A%20Approve%20as%20it%20is`)
	j.Number, j.Revision = "", ""
	assert.Contains(t, htmlOf(t, Build(e.r, e.ink, j)), `?subject=Proof%20regatta-crest.png%3A%20Approve%20as%20it%20is`)
}

// TestPNGTellsItsSize: chunk pHYs, pixels a metre.
func TestPNGTellsItsSize(t *testing.T) {
	e := some(100, 60, 60, 1, preflight.AtRisk)
	var b bytes.Buffer
	d := Build(e.r, e.ink, testJob())
	require.NoError(t, d.PNG(&b))
	i := bytes.Index(b.Bytes(), []byte("pHYs"))
	require.Positive(t, i)
	assert.Equal(t, uint32(7874), binary.BigEndian.Uint32(b.Bytes()[i+4:]), "200 / 0.0254")
	assert.Equal(t, byte(1), b.Bytes()[i+12])
	img, err := png.Decode(&b)
	require.NoError(t, err)
	assert.Equal(t, [2]int{1654, 2339}, [2]int{img.Bounds().Dx(), img.Bounds().Dy()})
	assert.Error(t, d.PNGPage(io.Discard, 1))
}

// rulerTenToEighty measures from the ruler's number 10 to its number 80 in a
// PDF, in millimetres, by where pdftotext sees them.
func rulerTenToEighty(t *testing.T, file string) float64 {
	out, err := exec.Command(needTool(t, "pdftotext"), "-bbox", file, "-").Output()
	require.NoError(t, err)
	mid := map[string]float64{}
	for _, m := range regexp.MustCompile(`xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)" yMax="[\d.]+">(10|80)<`).FindAllStringSubmatch(string(out), -1) {
		a, _ := strconv.ParseFloat(m[1], 64)
		z, _ := strconv.ParseFloat(m[2], 64)
		if _, ok := mid[m[3]]; !ok {
			mid[m[3]] = (a + z) / 2
		}
	}
	require.Len(t, mid, 2)
	return (mid["80"] - mid["10"]) * 25.4 / 72
}
