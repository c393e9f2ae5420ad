package main

import (
	"encoding/json"
	"fmt"
	"html"
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
)

// cardHead is what a place of the proof is headed by: how many, of what, and
// how wide the narrowest is.
var cardHead = regexp.MustCompile(`(One|[\d,]+) (?:black|white) (line|dot|gap|spot|speck)s?(?:, in many places,)?(?:,| is| are)? (?:down to )?([\d.]+) mm (?:wide|across)`)

// TestAllFormsSayTheSame runs the command on artworks of every verdict and works out from the
// JSON what the text, the HTML and the PDF have to say: verdict, counts, each
// narrowest width and its limits.
func TestAllFormsSayTheSame(t *testing.T) {
	pdftotext, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("needs pdftotext (Debian package poppler-utils)")
		}
		t.Skip("needs pdftotext (Debian package poppler-utils)")
	}
	emptyHome(t)
	example, err := filepath.Abs(filepath.Join("..", "..", "examples", "cutter-dots.png"))
	require.NoError(t, err)
	desk(t)
	artworks := []string{"holds.png", "risk.png", "fails.png"}
	if !testing.Short() {
		artworks = append(artworks, example)
	}
	for _, file := range artworks {
		dir, name := t.TempDir(), filepath.Base(file)
		text := runIt("check", "--film", "3 mil", "--out", dir, "--quiet", file)
		data := runIt("check", "--film", "3 mil", "--no-proof", "--format", "json", file)
		require.Equal(t, text.status, data.status, "%s: the status does not depend on the form", name)
		var r struct {
			Verdict string
			Counts  map[string]map[string]int
			Finest  map[string]*float64 `json:"finest_um"`
			Film    struct {
				Limits map[string]map[string]float64 `json:"limits_um"`
			}
			Marks []struct {
				Kind, Verdict string
				ID            int
				Width         float64 `json:"width_um"`
				Fail          float64 `json:"fail_um"`
				Safe          float64 `json:"safe_um"`
			}
		}
		require.NoError(t, json.Unmarshal([]byte(data.out), &r))
		stem := filepath.Join(dir, strings.TrimSuffix(name, ".png")+"-proof")
		raw, err := os.ReadFile(stem + ".html")
		require.NoError(t, err)
		_, body, _ := strings.Cut(string(raw), "</style>")
		page := html.UnescapeString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(body, " "))
		pdf, err := exec.Command(pdftotext, "-raw", stem+".pdf", "-").Output()
		require.NoError(t, err)

		status := map[string]int{"holds": statusHolds, "at-risk": statusHolds, "fails": statusFails}[r.Verdict]
		assert.Equal(t, status, text.status, name)
		assert.True(t, strings.HasPrefix(text.out, map[string]string{"holds": "HOLDS", "at-risk": "AT RISK", "fails": "FAILS"}[r.Verdict]), name)
		for i, m := range r.Marks {
			if i < 40 {
				assert.Regexp(t, fmt.Sprintf(`(?m)^%d +.* %.3f mm .*%.4f mm +%.4f mm`, m.ID, m.Width/1000, m.Fail/1000, m.Safe/1000), text.out, name)
			}
		}
		for kind, um := range r.Finest {
			if um != nil {
				assert.Regexp(t, fmt.Sprintf(`(?m)^  %s +%.3f mm`, kind, *um/1000), text.out, name)
			}
		}
		counted := 0
		for _, c := range r.Counts {
			counted += c["fails"] + c["at_risk"]
		}
		for form, said := range map[string]string{"HTML": page, "PDF": string(pdf)} {
			said = strings.Join(strings.Fields(strings.ReplaceAll(said, "\u00a0", " ")), " ")
			in := func(s string) { assert.Contains(t, said, s, "%s %s", name, form) }
			in(map[string]string{"holds": "Ready to carve at", "at-risk": "Can be carved at", "fails": "Not ready to carve at"}[r.Verdict])
			heads := 0
			seen := map[string]bool{}
			for _, m := range cardHead.FindAllStringSubmatch(said, -1) {
				n, err := strconv.Atoi(strings.ReplaceAll(m[1], ",", ""))
				if err != nil {
					n = 1
				}
				heads += n
				seen[m[3]] = true
			}
			assert.Equal(t, counted, heads, "%s %s: the cards count what the JSON counts", name, form)
			for kind, um := range r.Finest {
				if um == nil {
					continue
				}
				lim := r.Film.Limits[kind]
				if *um < lim["safe"] {
					assert.True(t, seen[fmt.Sprintf("%.2f", *um/1000)], "%s %s: the narrowest %s, %.2f mm", name, form, kind, *um/1000)
					in(fmt.Sprintf("Under %.2f mm is lost; %.2f mm is safe.", lim["fail"]/1000, math.Ceil(lim["safe"]/10-1e-9)/100))
				} else if r.Verdict == "holds" {
					in(fmt.Sprintf(" %.2f ", *um/1000)) // in the plot
				}
			}
		}
	}
}
