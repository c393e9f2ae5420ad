package proof

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPagesInBrowser opens the pages at the widths of telephones, tablets and
// screens: no sideways scroll, nothing asked for, nothing on the console, every
// picture there, no letter on another. With LOOK set it keeps what it saw.
func TestPagesInBrowser(t *testing.T) {
	b := openBrowser(t)
	for name, doc := range browserSamples() {
		b.load(t, doc, 1400, false)
		assert.Equal(t, 3, run[int](t, b, `[...document.fonts].filter(f => f.status == "loaded").length`), "%s: three weights of the embedded font", name)
		assert.Empty(t, run[[]string](t, b, unspoken), "%s: what a screen reader cannot tell", name)
		for _, width := range []int64{320, 390, 820, 1400} {
			at := fmt.Sprintf("%s at %d px", name, width)
			require.NoError(t, chromedp.Do(b.ctx, chromedp.EmulateViewport(width, 900)))
			assert.LessOrEqual(t, run[int64](t, b, `document.documentElement.scrollWidth`), width, at)
			cut := run[[]string](t, b, `[...document.querySelectorAll("body *")].filter(e => {
				const r = e.getBoundingClientRect(); return r.width > 0 && (r.right > innerWidth + 0.5 || r.left < -0.5) && !e.closest("svg svg")
			}).map(e => e.tagName + "." + e.getAttribute("class"))`)
			assert.Empty(t, cut, "%s: runs off the screen", at)
			broken := run[int](t, b, `(async () => { let n = 0;
				for (const e of document.querySelectorAll("img, svg image")) {
					const i = new Image(); i.src = e.getAttribute("src") || e.getAttribute("href");
					try { await i.decode(); if (!i.naturalWidth) n++ } catch { n++ }
				} return n })()`)
			assert.Zero(t, broken, "%s: pictures that do not load", at)
			assert.Positive(t, run[int](t, b, `document.querySelectorAll("svg image").length`), at)
			assert.Less(t, run[float64](t, b, `Math.max(0, ...[...document.querySelectorAll("img")].map(e => Math.abs(Math.log(e.width / e.height * e.naturalHeight / e.naturalWidth))))`), 0.04, "%s: a picture out of shape", at)
			overlaps := run[[]string](t, b, `(() => { const out = [], l = [...document.querySelectorAll("[data-role=label]")].filter(e => e.getClientRects().length);
				const box = e => e.getBoundingClientRect();
				for (let i = 0; i < l.length; i++) for (let j = 0; j < i; j++) { const a = box(l[i]), c = box(l[j]);
					if (a.left < c.right && c.left < a.right && a.top < c.bottom && c.top < a.bottom) out.push(l[i].dataset.place + l[j].dataset.place) }
				return out })()`)
			assert.Empty(t, overlaps, "%s: letters on each other", at)
			labels := run[int](t, b, `[...document.querySelectorAll("[data-role=label]")].filter(e => e.getBoundingClientRect().width > 0).length`)
			page := htmlOf(t, doc)
			assert.Equal(t, strings.Count(page, `<li class="card `)+strings.Count(page, `<tr class="`), labels, "%s: a letter for each card", at)
			// words inside pictures, as they come out on this screen
			tiny := run[float64](t, b, `Math.min(99, ...[...document.querySelectorAll("svg text")].filter(e => e.getClientRects().length)
				.map(e => parseFloat(getComputedStyle(e).fontSize) * e.getScreenCTM().a))`)
			assert.GreaterOrEqual(t, tiny, 7.5, "%s: text in a picture, px", at)
			small := run[[]string](t, b, `[...document.querySelectorAll("body *")].filter(e => !e.closest("svg") && [...e.childNodes].some(n => n.nodeType == 3 && n.data.trim())
				&& parseFloat(getComputedStyle(e).fontSize) < 11.5).map(e => e.tagName + ":" + e.textContent)`)
			assert.Empty(t, small, "%s: text under 11.5 px", at)
			if dir := os.Getenv("LOOK"); dir != "" {
				for _, dark := range []bool{false, true} {
					if dark && width != 820 {
						continue
					}
					b.scheme(t, dark)
					png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
					require.NoError(t, err)
					require.NoError(t, os.WriteFile(filepath.Join(dir, fmt.Sprintf("%s-%d-%v.png", name, width, dark)), png, 0o644))
				}
				b.scheme(t, false)
			}
		}
		pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFPrintBackground()))
		require.NoError(t, err)
		file := filepath.Join(b.dir, name+".pdf")
		require.NoError(t, os.WriteFile(file, pdf, 0o644))
		if dir := os.Getenv("LOOK"); dir != "" {
			require.NoError(t, os.WriteFile(filepath.Join(dir, name+"-printed.pdf"), pdf, 0o644))
		}
		if name == "crest" || name == "holds" {
			// a page wider than the paper would be shrunk without a word
			assert.InDelta(t, 70, rulerTenToEighty(t, file), 0.2, "%s: millimetres from 10 to 80 on the printed ruler", name)
		}
		if want := printedPages[name]; want > 0 {
			info, err := exec.Command(needTool(t, "pdfinfo"), file).CombinedOutput()
			require.NoError(t, err)
			assert.Contains(t, strings.Join(strings.Fields(string(info)), " "), fmt.Sprintf("Pages: %d ", want), name)
		}
	}
	assert.Empty(t, b.said)
}

// unspoken lists what a reader by ear or by keyboard would miss: pictures
// without words, table headers without a direction, headings that skip a level
// or are not led by one h1, a page without its language, links that the tab key
// does not reach or that have no name.
const unspoken = `(() => { const out = [], all = q => [...document.querySelectorAll(q)];
	if (!/^(en|de)$/.test(document.documentElement.lang)) out.push("lang");
	all("img:not([alt])").forEach(e => out.push("img"));
	all("svg").filter(e => !e.parentElement.closest("svg") && e.getAttribute("aria-hidden") != "true" && !(e.getAttribute("role") == "img" && e.getAttribute("aria-label"))).forEach(e => out.push("svg " + e.getAttribute("class")));
	all("th:not([scope])").forEach(e => out.push("th " + e.textContent));
	const h = all("h1,h2,h3").map(e => +e.tagName[1]);
	if (h[0] != 1 || h.filter(n => n == 1).length != 1 || h.some((n, i) => i && n > h[i-1] + 1)) out.push("headings " + h);
	all("a").filter(e => e.tabIndex != 0 || !e.getAttribute("href") || !e.textContent.trim()).forEach(e => out.push("a " + e.outerHTML));
	return out })()`

// printedPages is how many pages the HTML of a sample prints on.
var printedPages = map[string]int{"crest": 1, "holds": 1, "pattern": 1, "bench": 1, "bench-twelve": 1, "bench-holds": 1, "bench-de-letter": 1, "hostile": 1, "twelve": 2, "banner": 2, "crest-de": 1}

func browserSamples() map[string]*Document {
	if os.Getenv("LOOK") != "" {
		return samplesAt(300)
	}
	out := map[string]*Document{}
	for _, n := range []string{"crest", "holds", "pattern", "banner", "hostile", "bench", "bench-twelve"} {
		out[n] = sampleAt(n, 300)
	}
	return out
}
