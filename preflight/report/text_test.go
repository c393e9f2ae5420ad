package report

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
	"stencilproof/raster"
)

func readSchema() ([]byte, error) {
	return os.ReadFile(filepath.Join("..", "..", "testdata", "schema", "report-1.json"))
}

func textOf(t *testing.T, r *preflight.Report) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Text(&b, r))
	return b.String()
}

func TestText(t *testing.T) {
	text := textOf(t, sample())
	lines := strings.Split(text, "\n")
	assert.Equal(t, "FAILS  cup.png on 3 mil film, carved 71.97 x 50 mm", lines[0])
	assert.Equal(t, "Will fail: 2 lines and 3,600 dots. At risk: 1 strip.", lines[1])
	for _, want := range []string{
		"0.061 mm (2.4 mil)",
		"0.076 mm (just under 3 mil) *",
		"sure to +-0.002 mm",
		"0.0762 mm", "0.1143 mm", "3,600 dots", "12.30/4.10",
		"By these widths alone 134.42 mm wide would do on this film",
		"starting values, not measured in this shop",
		"no published source", "R. Dobbins",
		"positive, black is carved",
	} {
		assert.Contains(t, strings.Join(strings.Fields(text), " "), want)
	}
	for _, line := range lines {
		if strings.HasPrefix(line, "  ") {
			assert.LessOrEqual(t, len(line), lineWidth, line)
		}
	}
	assert.NotContains(t, text, "%!", "a format with too few or too many values")
	assert.NotContains(t, text, "NaN")
}

func TestTextHolds(t *testing.T) {
	r := sample()
	r.Verdict, r.Marks, r.Notes, r.Counts = preflight.Holds, nil, nil, [4]preflight.Count{}
	r.Film.Measured = true
	text := textOf(t, r)
	assert.True(t, strings.HasPrefix(text, "HOLDS  cup.png"), text)
	assert.Contains(t, text, "Nothing fails and nothing is at risk.")
	assert.Contains(t, text, "measured in this shop")
	assert.NotContains(t, text, "starting values")
	assert.NotContains(t, text, "Notes:")
}

func TestTextListsAtMostForty(t *testing.T) {
	r := sample()
	for len(r.Marks) < 1300 {
		r.Marks = append(r.Marks, r.Marks[0])
	}
	text := textOf(t, r)
	assert.Contains(t, text, "... and 1,260 more; --format json lists all.")
	assert.Less(t, strings.Count(text, "\n"), 124)
}

// A hostile name neither breaks lines nor steers the terminal.
func TestShown(t *testing.T) {
	for in, want := range map[string]string{
		"cup.png": "cup.png", "Möwe & Söhne.tif": "Möwe & Söhne.tif", `a "b".png`: `a "b".png`,
		"a\nb": `"a\nb"`, "\x1b[2J": `"\x1b[2J"`, "a\u202eb": `"a\u202eb"`, "\xff": `"\xff"`,
	} {
		assert.Equal(t, want, Shown(in))
	}
}

func TestNoteTexts(t *testing.T) {
	seen := map[string]bool{}
	for _, n := range sample().Notes {
		text := NoteText(&n)
		assert.NotContains(t, text, "%!", n.Code)
		assert.NotEqual(t, string(n.Code), text, "no words for %s", n.Code)
		assert.True(t, strings.HasSuffix(text, ".") || strings.HasSuffix(text, ")"), text)
		assert.False(t, seen[text], "two notes say the same: %s", text)
		seen[text] = true
	}
	one := preflight.Note{Code: preflight.NotePoints, Count: 1, Values: map[string]float64{"lost_mm": 0.123}}
	assert.Equal(t, "1 tip tapers to nothing and will round off by up to 0.12 mm. That is told, not judged.", NoteText(&one))
}

func TestHalftoneTexts(t *testing.T) {
	v := map[string]float64{"ruling_lpi": 26.7, "angle_deg": 45, "dots": 3599, "finest_dot_um": 63, "dot_safe_um": 152.4, "gap_safe_um": 152.4,
		"lightest_pct": 2.02, "darkest_pct": 55.4, "held_lpi": 59.46}
	n := preflight.Note{Code: preflight.NoteGreyAreas, Count: 1, Values: v}
	assert.Equal(t, "A halftone of 26.7 lines an inch at 45 degrees: 3,599 dots of ink, the smallest about 0.063 mm (2.5 mil) across. "+
		"The finest dot this film holds is 0.152 mm (6.0 mil), the finest gap between dots 0.152 mm (6.0 mil): at this ruling, tones of 3 to 55 % black.", NoteText(&n))
	v["holes"], v["finest_hole_um"], v["hole_safe_um"], v["darkest_pct"] = 200, 40, 304.8, 1
	assert.Equal(t, "A halftone of 26.7 lines an inch at 45 degrees: 3,599 dots of ink, the smallest about 0.063 mm (2.5 mil) across and 200 dots of film, the smallest about 0.040 mm (1.6 mil). "+
		"The finest dot this film holds is 0.152 mm (6.0 mil), the finest gap between dots 0.152 mm (6.0 mil), the finest dot of film 0.305 mm (12.0 mil): at this ruling, no tone at all. "+
		"With 59 lines an inch or fewer it would hold tones from 10 % black on.", NoteText(&n))
	tone := preflight.Note{Code: preflight.NoteGreyAreas, Count: 1, Values: map[string]float64{"area_mm2": 12, "mean_pct": 40, "held_lpi": 59.46}}
	assert.Contains(t, NoteText(&tone), "(59 lines an inch or fewer for tones from 10 % black on).")
}

func TestWidth(t *testing.T) {
	assert.Equal(t, "0.061 mm (2.4 mil)", width(61.2, 76.2, 114.3))
	assert.Equal(t, "0.0762 mm (3.0 mil)", width(76.2, 76.2, 114.3), "0.076 would read as under 0.0762")
	assert.Equal(t, "0.250 mm (9.8 mil)", width(250))
}

func TestThousands(t *testing.T) {
	for in, want := range map[int]string{0: "0", 999: "999", 1000: "1,000", 1234567: "1,234,567", -1000: "-1,000", -100: "-100"} {
		assert.Equal(t, want, thousands(in))
	}
}

func TestFilms(t *testing.T) {
	var b bytes.Buffer
	films := preflight.Films()
	films[2].Measured = true
	films[2].Limits[raster.Line].FailWhy = "gauge of 3 May"
	films[3].Limits[raster.Strip].SafeWhy = "from memory (shop.toml)"
	require.NoError(t, Films(&b, films))
	text := b.String()
	assert.Regexp(t, `5 mil .*partly from the shop file`, text)
	assert.Regexp(t, `3 mil +76\.2 +76\.2 / 114\.3 +114\.3 / 152\.4 +114\.3 / 152\.4 +228\.6 / 304\.8 +starting values`, text)
	assert.Regexp(t, `4 mil .*measured in this shop`, text)
	assert.Contains(t, text, "gauge of 3 May")
}

// What is dust is called specks, by count and by mark, and is still counted
// among the dots and islands that it is judged as.
func TestTextCallsDustSpecks(t *testing.T) {
	r := sample()
	dots := -1
	for i := range r.Marks {
		if r.Marks[i].Kind == raster.Dot {
			dots = i
		}
	}
	require.GreaterOrEqual(t, dots, 0)
	for _, c := range []struct {
		n, of        int
		kind         raster.Kind
		summary, row string
	}{
		{3600, 3600, raster.Dot, "3,600 dots (all specks)", "3,600 specks of ink"},
		{4, 12, raster.Dot, "12 dots (4 of them specks)", "4 specks of ink"},
		{1, 12, raster.Dot, "12 dots (1 of them a speck)", "speck of ink"},
		{1, 1, raster.Island, "1 island (a speck)", "speck of film"},
	} {
		m := &r.Marks[dots]
		m.Specks, m.Kind, m.Count = true, c.kind, c.n
		r.Counts[raster.Dot], r.Counts[raster.Island] = preflight.Count{}, preflight.Count{}
		r.Counts[c.kind].Fails = c.of
		text := strings.Join(strings.Fields(textOf(t, r)), " ")
		assert.Contains(t, text, c.summary)
		assert.Contains(t, text, c.row+" fails")
	}
}

// An artwork without ink holds, but that is not all there is to say.
func TestTextOfNothing(t *testing.T) {
	r := sample()
	r.Verdict, r.Marks, r.Counts = preflight.Holds, nil, [4]preflight.Count{}
	r.Notes = []preflight.Note{{Code: preflight.NoteNoInk}}
	text := textOf(t, r)
	assert.True(t, strings.HasPrefix(text, "NOTHING TO CARVE"), text)
	assert.Contains(t, text, "There is no ink: nothing would be carved.")
	assert.NotContains(t, text, "Nothing fails")
}

// A soft file is asked for anew, not enlarged.
func TestSoftEdgesAreTold(t *testing.T) {
	n := preflight.Note{Code: preflight.NoteLowResolution, Values: map[string]float64{"px_per_inch": 300, "safe_px": 1.35, "soft_px": 2.5, "needed_ppi": 900}}
	assert.Equal(t, "The edges are soft, grey over 2.5 pixels or more, and the film's smallest safe limit spans only 1.4: what is under it may be lost in them. Ask for the artwork at 900 pixels an inch or more, drawn or scanned at that, not enlarged.", NoteText(&n))
}
