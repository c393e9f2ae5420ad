package proof

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"fmt"
	"image/png"
	"strings"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
)

//go:embed page.css
var pageCSS string

// glyphColours lets a sign take the colour of the text that it stands in.
var glyphColours = map[sheet.Ink]string{inkText: "currentColor", inkFails: "currentColor", inkRisk: "currentColor", inkHolds: "currentColor", inkWhite: "var(--ground)"}

// JobMeta names the part of a page's head that holds its job's number.
const JobMeta = "job"

// startHTML writes everything up to the page's content. Nothing may be loaded
// from elsewhere: the policy forbids it, and there is nothing that would.
func (c *content) startHTML(m *markup, title, kind string) {
	m.b.WriteString("<!doctype html>\n")
	m.open("html", "lang", c.w.Code)
	m.open("head")
	m.void("meta", "charset", "utf-8")
	m.void("meta", "name", "viewport", "content", "width=device-width, initial-scale=1")
	m.void("meta", "http-equiv", "Content-Security-Policy", "content", "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; form-action 'none'")
	m.void("meta", "name", "color-scheme", "content", "light dark")
	m.void("meta", "name", "generator", "content", "stencilproof")
	if c.job.Number != "" {
		m.void("meta", "name", JobMeta, "content", c.job.Number)
	}
	m.el("title", strings.TrimSpace(title+" "+c.proofNo()))
	extra := map[rune]bool{}
	for _, s := range []string{c.job.Number, c.job.Customer, c.job.Artwork, c.job.Revision, c.job.Shop.Name, c.job.Shop.Email, c.job.Shop.Phone, strings.Join(c.job.Shop.Address, "")} {
		for _, r := range s {
			extra[r] = true
		}
	}
	m.b.WriteString("<style>\n" + sheet.FontFaces(extra) + pageCSS)
	m.b.WriteString(c.paperCSS(kind))
	m.b.WriteString("</style>\n")
	m.close(1)
	m.open("body")
}

// paperCSS sets the printed page: its size, and the foot of every page.
func (c *content) paperCSS(kind string) string {
	p := c.paperOf()
	size, right := "A4", p.right
	if p.ht < 290 {
		size = "letter"
	}
	page := strings.SplitN(fmt.Sprintf(c.w.PageOf, "\x00", "\x00"), "\x00", 3)
	var counter string
	if len(page) == 3 {
		counter = cssString(page[0]) + " counter(page) " + cssString(page[1]) + " counter(pages)"
	}
	return fmt.Sprintf(`@page{size:%s;margin:9mm 13mm 11.5mm;
@bottom-left{content:%s;font:7pt Proof,sans-serif;color:#46545F;vertical-align:top;padding-top:1mm;width:80%%}
@bottom-right{content:%s;font:7pt Proof,sans-serif;color:#46545F;vertical-align:top;padding-top:1mm;white-space:nowrap}}
@media print{.sheet{--left:%smm;--right:%smm}}
`, size, cssString(fontHint.Cut(c.foot(kind), p.wide()*0.8)), counter, trim(p.left), trim(right))
}

func trim(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
}

// headHTML writes the shop's block and the job's facts.
func (c *content) headHTML(m *markup, title string) {
	m.open("header", "class", "head")
	m.open("div", "class", "shop")
	if img := c.job.Shop.Logo; img != nil && !img.Bounds().Empty() {
		b := img.Bounds()
		h := min(144, b.Dy())
		w := max(h*b.Dx()/b.Dy(), 1)
		if w > 256 {
			w, h = 256, max(256*b.Dy()/b.Dx(), 1)
		}
		var buf bytes.Buffer
		enc := png.Encoder{CompressionLevel: png.DefaultCompression}
		if err := enc.Encode(&buf, logo{img}.Pixels(w, h)); err == nil {
			m.void("img", "class", "logo", "alt", "", "src", "data:image/png;base64,"+base64.StdEncoding.EncodeToString(buf.Bytes()))
		}
	}
	m.open("p")
	if c.job.Shop.Name != "" {
		m.open("strong").name(c.job.Shop.Name)
		m.close(1)
	}
	for _, l := range shopLines(c.job.Shop, 0) {
		m.open("span").name(l)
		m.close(1)
	}
	m.close(2)
	m.open("div", "class", "job")
	m.el("p", title, "class", "title")
	m.open("dl")
	for _, f := range c.facts() {
		m.open("div")
		m.el("dt", f[0])
		m.open("dd").name(f[1])
		m.close(2)
	}
	m.close(3)
}

// proofHTML writes the customer's proof.
func (c *content) proofHTML() string {
	m := &markup{}
	c.startHTML(m, c.w.Title, c.w.ProofNo)
	m.open("main", "class", "sheet")
	c.headHTML(m, c.w.Title)

	class := verdictClass(c.tone())
	title, text := c.verdict()
	m.open("section", "class", "verdict "+class)
	m.svg(verdictSign(c.tone(), 8), sheet.SVGOptions{Class: "sign", Hidden: true, Colours: glyphColours})
	m.open("h1")
	m.el("strong", title)
	m.text(" ")
	m.el("span", text)
	m.close(2)
	m.open("p", "class", "go")
	m.el("a", c.w.GoToAnswer, "href", "#answer")
	m.close(1)

	banner := c.art.widthM/c.art.height > bannerRatio
	shape := "cols"
	if banner {
		shape += " banner"
	}
	if len(c.cards) > onPageOne {
		shape += " many"
	}
	m.open("div", "class", shape)
	m.open("div", "class", "left")
	if banner { // squeezed to a telephone's width, its words would be too small
		c.artworkHTML(m, "artwork wide", c.paperOf().wide())
		c.artworkHTML(m, "artwork narrow", narrowFigure)
	} else {
		c.artworkHTML(m, "artwork", narrowFigure)
	}
	if len(c.places) > 0 {
		c.mapHTML(m, banner)
	}
	m.close(1)
	if len(c.places) > 0 {
		c.placesHTML(m)
	} else {
		c.holdingHTML(m)
	}
	m.close(1)

	endClass := "end"
	if len(c.places) == 0 {
		endClass = "end alone"
	}
	m.open("div", "class", endClass)
	if len(c.places) > 0 {
		c.remediesHTML(m)
	}
	c.answerHTML(m)
	m.close(1)

	m.open("footer", "class", "judged")
	for _, s := range c.notes() {
		m.el("p", s, "class", "note")
	}
	m.open("p")
	m.el("strong", c.w.Judged)
	m.text(" " + c.judged())
	m.close(1)
	m.open("p", "class", "screen").name(c.foot(c.w.ProofNo))
	m.close(3)
	m.close(len(m.stack))
	return m.b.String()
}

func verdictClass(v preflight.Verdict) string {
	return [...]string{preflight.Holds: "holds", preflight.AtRisk: "risk", preflight.Fails: "fails"}[v]
}

// narrowFigure is the width in millimetres of figures that a telephone shows.
const narrowFigure = 86.0

func (c *content) artworkHTML(m *markup, class string, maxW float64) {
	f, scale := c.artworkFigure(maxW, 74)
	head, hint := c.w.TrueSize, fmt.Sprintf(c.w.RulerHint, c.cardLength())
	if scale != 1 {
		head, hint = fmt.Sprintf(c.w.Reduced, c.fraction(scale)), c.w.CardHint
	}
	m.open("section", "class", class)
	m.el("h2", head)
	m.el("p", c.w.BlackCarved, "class", "carved")
	m.open("figure")
	m.svg(f, sheet.SVGOptions{Class: "pic true", TrueSize: true})
	m.el("figcaption", hint)
	m.close(2)
}

func (c *content) mapHTML(m *markup, banner bool) {
	m.open("section", "class", "map")
	m.el("h2", c.w.Where)
	m.open("figure")
	draw := func(class string, width, high float64) {
		f := mapFigure(c.art, c.places, c.r.Marks, width, high)
		f.Alt = c.mapAlt()
		m.svg(f, sheet.SVGOptions{Class: class})
	}
	if banner {
		draw("pic wide", c.paperOf().wide(), 90)
		draw("pic narrow", narrowFigure, 90)
	} else {
		draw("pic", narrowFigure, 110)
	}
	m.open("figcaption", "class", "key")
	fails, risk := c.split()
	for _, e := range []struct {
		ps   []*place
		text string
	}{{fails, c.w.KeyFails}, {risk, c.w.KeyRisk}} {
		if len(e.ps) > 0 {
			m.open("span")
			disc(m, e.ps[0], "")
			m.text(" " + e.text)
			m.close(1)
		}
	}
	m.close(3)
}

// disc writes a place's letter in its disc.
func disc(m *markup, p *place, label string) {
	attrs := []string{"class", "disc " + verdictClass(p.verdict)}
	if label != "" {
		attrs = append(attrs, "aria-label", label, "role", "img")
	} else {
		attrs = append(attrs, "aria-hidden", "true")
	}
	m.open("span", attrs...)
	m.text(p.letter)
	m.close(1)
}

// onPageOne is how many cards stand beside the map when the page is printed.
const onPageOne = 6

func (c *content) placesHTML(m *markup) {
	m.open("section", "class", "places")
	m.el("h2", c.placesPhrase())
	m.open("ol", "class", "cards")
	for i, k := range c.cards {
		if i == onPageOne {
			m.close(1)
			m.open("ol", "class", "cards more")
		}
		c.cardHTML(m, k)
	}
	m.close(1)
	if len(c.cards) <= 3 {
		c.plotHTML(m)
	}
	m.close(1)
}

// plotOnScreen is the plot's width in millimetres in HTML: narrow, so that its
// words stay readable when a telephone squeezes it.
const plotOnScreen = 74

func (c *content) plotHTML(m *markup) {
	m.open("div", "class", "plot")
	m.el("h2", c.w.PlotTitle)
	m.svg(c.plotFigure(plotOnScreen, plotTight, c.w.KindName), sheet.SVGOptions{Class: "pic"})
	m.close(1)
}

func (c *content) cardHTML(m *markup, k card) {
	p := k.place
	m.open("li", "class", "card "+verdictClass(p.verdict), "id", "place-"+p.letter, "data-place", p.letter)
	m.open("figure")
	m.svg(k.figure, sheet.SVGOptions{Class: "close"})
	m.el("figcaption", k.caption)
	m.close(1)
	m.open("div", "class", "words")
	m.open("h3")
	disc(m, p, fmt.Sprintf(c.w.Place, p.letter))
	m.svg(glyph(p.kind, glyphSize, inkText), sheet.SVGOptions{Class: "glyph", Hidden: true, Colours: glyphColours})
	m.el("span", k.head, "class", "headline")
	m.close(1)
	m.el("p", k.effect)
	m.el("p", k.limits)
	m.el("p", k.advice, "class", "advice")
	if k.extra != "" {
		m.el("p", k.extra, "class", "hint")
	}
	m.close(2)
}

func (c *content) holdingHTML(m *markup) {
	m.open("section", "class", "places")
	if !c.blank() {
		c.plotHTML(m)
	}
	m.el("p", c.closest(), "class", "closest")
	looks := c.smallest(closeW, closeH)
	if len(looks) > 0 {
		m.el("h2", c.w.SmallestOfEach)
		m.open("ul", "class", "looks")
		for _, l := range looks {
			m.open("li")
			m.open("figure")
			m.svg(l.figure, sheet.SVGOptions{Class: "close"})
			m.open("figcaption")
			m.svg(glyph(l.kind, glyphSize, inkText), sheet.SVGOptions{Class: "glyph", Hidden: true, Colours: glyphColours})
			m.open("span")
			m.el("b", l.head)
			m.el("small", l.caption)
			m.close(4)
		}
		m.close(1)
	}
	m.close(1)
}

func (c *content) remediesHTML(m *markup) {
	enough, not := c.remedies()
	m.open("section", "class", "remedies")
	m.el("h2", c.w.Remedies)
	m.el("p", c.remedyIntro(len(enough)), "class", "second")
	list, item := "ol", "li"
	if len(enough) == 1 { // a list of one needs no number
		list, item = "div", "p"
	}
	m.open(list, "class", "ways")
	for _, r := range enough {
		m.open(item)
		m.el("strong", r.title)
		m.text(" " + r.text)
		m.close(1)
	}
	m.close(1)
	if not != "" {
		m.el("p", not, "class", "second")
	}
	m.close(1)
}

func (c *content) answerHTML(m *markup) {
	m.open("section", "class", "answer", "id", "answer")
	m.el("h2", c.w.Answer)
	m.open("div", "class", "boxes")
	mail := false
	for i, a := range c.answers() {
		attrs := []string{"class", "box", "data-answer", fmt.Sprint(i + 1)}
		tag := "div"
		if a.mailto != "" {
			tag, mail = "a", true
			attrs = append(attrs, "href", a.mailto)
		}
		m.open(tag, attrs...)
		m.el("span", "", "class", "tick", "aria-hidden", "true")
		m.open("span", "class", "what")
		m.el("b", a.title)
		m.text(" ")
		m.el("span", a.text)
		m.close(2)
	}
	m.close(1)
	m.open("div", "class", "sign-here")
	for _, s := range []string{c.w.Name, c.w.DateLine, c.w.Signature} {
		m.el("span", s)
	}
	m.close(1)
	m.open("p", "class", "hint")
	if mail {
		m.el("span", c.w.OnScreen+" ", "class", "screen")
	}
	m.text(c.w.OnPaper)
	m.close(2)
}
