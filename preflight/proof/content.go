package proof

import (
	"fmt"
	"image"
	"math"
	"net/url"
	"slices"
	"strings"
	"time"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// Shop is the block of the shop that sends the proof.
type Shop struct {
	Name    string
	Address []string // lines
	Email   string   // where answers go; empty: on paper only
	Phone   string
	Logo    image.Image
}

// Job is everything that the pages say and the report does not.
type Job struct {
	Number   string
	Customer string
	Artwork  string // its name; empty takes the report's file name
	Revision string
	Date     time.Time
	Shop     Shop
	Lang     string        // "en", "de"; others take English
	Units    string        // "mm" (or empty), "in", "mil"
	Paper    string        // "a4", "letter"; empty takes the language's own
	Films    []FilmOutcome // those that a remedy may name, thinner than the report's
}

// FilmOutcome is how an artwork fares on one film, from choose.
type FilmOutcome struct {
	Film              preflight.Film
	Verdict           preflight.Verdict // at the job's size
	FailsBelowWidthMM float64           // engraved width under which something fails; 0: never
	HoldsFromWidthMM  float64           // engraved width from which on nothing fails and nothing is at risk
	NeverHolds        bool              // at no width
}

// content is what a page says and shows, before any layout: every sentence and
// every figure, from the one report value.
type content struct {
	r      *preflight.Report
	art    *art
	job    Job
	w      *wording
	n      numbers
	places []*place
	cards  []card
}

// card is what a place's card says.
type card struct {
	place                        *place
	head, effect, limits, advice string
	extra                        string // about the measurement's uncertainty
	figure                       *sheet.Figure
	caption                      string
}

func newContent(r *preflight.Report, k *raster.Ink, job Job) *content {
	c := &content{r: r, job: clean(job, r), w: lookUp(job.Lang)}
	c.n = c.w.numbers(job.Units)
	mm := r.Artwork.UMPerPx() / 1000
	if !(mm > 0) || math.IsInf(mm, 0) {
		mm = r.Artwork.WidthMM / float64(k.W)
	}
	c.art = &art{ink: k, mm: mm, widthM: float64(k.W) * mm, height: float64(k.H) * mm}
	c.places = places(r)
	for _, p := range c.places {
		c.cards = append(c.cards, c.card(p))
	}
	return c
}

// clean makes every name from outside fit for one line, and no longer than a
// page can bear.
func clean(j Job, r *preflight.Report) Job {
	one := func(s string) string {
		rs := []rune(sheet.Plain(s))
		if len(rs) > 400 {
			rs = append(rs[:399], '\u2026')
		}
		return string(rs)
	}
	if j.Artwork == "" {
		j.Artwork = baseName(r.Artwork.File)
	}
	j.Number, j.Customer, j.Artwork, j.Revision = one(j.Number), one(j.Customer), one(j.Artwork), one(j.Revision)
	j.Shop.Name, j.Shop.Email, j.Shop.Phone = one(j.Shop.Name), one(j.Shop.Email), one(j.Shop.Phone)
	var lines []string
	for _, l := range j.Shop.Address {
		if l = one(l); l != "" {
			lines = append(lines, l)
		}
	}
	j.Shop.Address = lines
	return j
}

// baseName is a file's name without its folders, of this platform or another.
func baseName(file string) string {
	if base := file[strings.LastIndexAny(file, `/\`)+1:]; base != "" {
		return base
	}
	return file
}

func (c *content) numberOnly(um float64) string {
	s := c.n.width(um)
	return s[:strings.LastIndex(s, nbsp)]
}

// manySpecks is how many may be the finest dots of a pattern as well as dust.
const manySpecks = 20

// fewPlaces is how many scattered features are not yet "in many places".
const fewPlaces = 4

// card puts a place into words.
func (c *content) card(p *place) card {
	m := p.tightest
	size := spotSize{m.WidthUM, m.FailUM, m.SafeUM}
	striped := false
	if p.count == 1 {
		size, striped = sizeOf(m)
	}
	w, fl, safe := c.n.judged(size.width, size.fail, size.safe)
	k := card{place: p}
	switch {
	case striped:
		k.head = fmt.Sprintf(c.w.Stripe.Head, w)
	case p.specks && p.count == 1:
		k.head = fmt.Sprintf(c.w.Specks.HeadOne[p.kind], w)
	case p.specks:
		k.head = fmt.Sprintf(c.w.Specks.HeadMany[p.kind], c.n.count(p.count), w)
	case p.count == 1:
		k.head = fmt.Sprintf(c.w.HeadOne[p.kind], w)
	case p.scattered && p.count > fewPlaces:
		k.head = fmt.Sprintf(c.w.HeadScattered[p.kind], c.n.count(p.count), w)
	default:
		k.head = fmt.Sprintf(c.w.HeadMany[p.kind], c.n.count(p.count), w)
	}
	k.effect = c.w.FailEffect[p.kind]
	switch {
	case p.verdict == preflight.AtRisk:
		k.effect = c.w.RiskEffect[p.kind]
	case striped:
		k.effect = c.w.Stripe.FailEffect
	}
	if p.specks {
		k.effect = c.w.Specks.Effect[p.kind]
		if p.count >= manySpecks {
			k.effect = c.w.Specks.EffectMany[p.kind]
		}
	}
	k.limits = fmt.Sprintf(c.w.Limits, fl, safe)
	switch from := c.widthFor(p); {
	case striped && c.practical(from):
		k.advice = fmt.Sprintf(c.w.Stripe.Advice, safe, c.n.sizeUp(from))
	case striped:
		k.advice = fmt.Sprintf(c.w.Stripe.AdviceAlone, safe)
	case !c.practical(from) && p.pattern():
		k.advice = fmt.Sprintf(c.w.PatternAlone, safe)
	case !c.practical(from):
		k.advice = fmt.Sprintf(c.w.AdviceAlone[p.kind], safe)
	case p.pattern():
		k.advice = fmt.Sprintf(c.w.AdvicePattern, safe, c.n.sizeUp(from))
	default:
		k.advice = fmt.Sprintf(c.w.Advice[p.kind], safe, c.n.sizeUp(from))
	}
	switch {
	case p.specks:
		k.advice = c.w.Specks.Advice.pick(p.count)
	case m.Corner:
		k.effect, k.advice = c.w.Corner.Effect, c.w.Corner.Advice.pick(p.count)
	}
	if pm := m.PlusMinusUM; pm > 0 && !p.specks && !m.Corner {
		up := m.FailUM
		if p.verdict == preflight.AtRisk {
			up = m.SafeUM
		}
		switch {
		case m.WidthUM+pm >= up:
			k.extra = fmt.Sprintf(c.w.MayHold, c.n.doubt(pm*size.width/m.WidthUM))
		case p.verdict == preflight.AtRisk && m.WidthUM-pm < m.FailUM:
			k.extra = fmt.Sprintf(c.w.MayFail, c.n.doubt(pm*size.width/m.WidthUM))
		}
	}
	k.figure, k.caption = c.closeUpOf(look{kind: p.kind, verdict: p.verdict, at: m.At, across: m.AcrossDeg,
		widthMM: size.width / 1000, safeMM: size.safe / 1000, value: w}, closeW, closeH)
	k.figure.Alt = fmt.Sprintf(c.w.CloseUpAlt, p.letter, k.head)
	return k
}

// spotSize is a width with its limits, in micrometres.
type spotSize struct{ width, fail, safe float64 }

// striped reports whether a place is one stripe.
func (p *place) striped() bool {
	if p.count != 1 {
		return false
	}
	_, stripe := sizeOf(p.tightest)
	return stripe
}

// stripeLong is from how many times its width on a white spot is called a stripe.
const stripeLong = 4

// sizeOf is what a mark measures in a customer's eyes. An island's width is 4A/P, which
// of a long stripe is nearly twice what anyone would measure across it: of one as long
// as stripeLong widths it is the sides of the rectangle of the same area and outline that
// count, and of the limits those widths at which a stripe so long just reaches them.
func sizeOf(m *preflight.Mark) (size spotSize, stripe bool) {
	size = spotSize{m.WidthUM, m.FailUM, m.SafeUM}
	if m.Kind != raster.Island || m.Specks || m.Count > 1 || m.WidthUM <= 0 {
		return size, false
	}
	area := m.AreaMM2 * 1e6
	half := 2 * area / m.WidthUM // of the outline: width and length together
	square := half*half - 4*area
	if square <= 0 {
		return size, false
	}
	long := (half + math.Sqrt(square)) / 2
	wide := area / long
	if long < stripeLong*wide || 2*long <= 1.2*m.SafeUM {
		return size, false
	}
	across := func(limit float64) float64 { return limit * long / (2*long - limit) }
	return spotSize{wide, across(m.FailUM), across(m.SafeUM)}, true
}

func (c *content) closeUpOf(l look, w, h float64) (*sheet.Figure, string) {
	f, s := closeUp(c.art, l, w, h)
	return f, c.caption(s)
}

// pattern reports whether a place is a dot pattern rather than some dots.
func (p *place) pattern() bool {
	return p.kind == raster.Dot && !p.specks && p.count >= 20 && (len(p.marks) == 1 || p.tightest.Count >= 20)
}

// widthFor returns the engraved width in millimetres at which a place holds:
// widths grow with the size, limits do not.
func (c *content) widthFor(p *place) float64 {
	f := 1.0
	for _, i := range p.marks {
		m := &c.r.Marks[i]
		f = math.Max(f, m.SafeUM/m.WidthUM)
	}
	mm := c.r.Artwork.WidthMM * f
	if far := c.r.SufficesFromWidthMM; f > 1 && far > 0 && c.r.HoldsFromWidthMM > far {
		mm *= c.r.HoldsFromWidthMM / far // judged, it took so much more than the widths alone say
	}
	return mm
}

// blank reports whether nothing would be carved at all.
func (c *content) blank() bool { return c.r.Blank() }

// tone is the verdict whose sign and colour the page takes: a blank artwork
// holds, but nobody should carve it unasked.
func (c *content) tone() preflight.Verdict {
	if c.blank() {
		return preflight.Fails
	}
	return c.r.Verdict
}

// verdict returns the two parts of the verdict's sentence.
func (c *content) verdict() (title, text string) {
	size := c.n.size(c.r.Artwork.WidthMM)
	fails, risk := c.split()
	if c.blank() {
		return c.w.BlankTitle, c.w.BlankText
	}
	switch c.r.Verdict {
	case preflight.Holds:
		return fmt.Sprintf(c.w.HoldsTitle, size), c.w.HoldsText
	case preflight.AtRisk:
		title = fmt.Sprintf(c.w.RiskTitle, size)
		if c.byPlace() {
			return title, put(c.w.RiskPlaces.pick(len(risk)), c.n.count(len(risk)))
		}
		n := features(risk)
		return title, fmt.Sprintf(c.w.RiskFeatures.pick(n), c.featuresPhrase(n), c.w.letters(lettersOf(risk)))
	}
	title = fmt.Sprintf(c.w.FailsTitle, size)
	if c.byPlace() {
		text = put(c.w.FailPlaces.pick(len(fails)), c.n.count(len(fails)))
		if len(risk) > 0 {
			return title, text + put(c.w.MorePlaces.pick(len(risk)), c.n.count(len(risk)))
		}
		return title, text + "."
	}
	n := features(fails)
	text = fmt.Sprintf(c.w.FailFeatures.pick(n), c.featuresPhrase(n), c.w.letters(lettersOf(fails)))
	switch n := features(risk); n {
	case 0:
		return title, text + "."
	case 1:
		return title, text + fmt.Sprintf(c.w.MoreFeatures[0], c.w.letters(lettersOf(risk)))
	default:
		return title, text + fmt.Sprintf(c.w.MoreFeatures[1], c.n.count(n), c.w.letters(lettersOf(risk)))
	}
}

// put fills a text that may have room for a number, or say it in words.
func put(format, s string) string {
	if strings.Contains(format, "%s") {
		return fmt.Sprintf(format, s)
	}
	return format
}

// byPlace reports whether the verdict counts places: up to twelve features,
// beyond that it counts those.
func (c *content) byPlace() bool { return features(c.places) <= maxPlaces }

func (c *content) split() (fails, risk []*place) {
	for _, p := range c.places {
		if p.verdict == preflight.Fails {
			fails = append(fails, p)
		} else {
			risk = append(risk, p)
		}
	}
	return fails, risk
}

func features(ps []*place) int {
	n := 0
	for _, p := range ps {
		n += p.count
	}
	return n
}

func lettersOf(ps []*place) []string {
	out := make([]string, len(ps))
	for i, p := range ps {
		out[i] = p.letter
	}
	return out
}

// featuresPhrase counts features by their kind's name, or as details when
// several kinds are among the places.
func (c *content) featuresPhrase(n int) string {
	text := c.w.Details
	same := true
	for _, p := range c.places {
		same = same && p.kind == c.places[0].kind
	}
	if same {
		text = c.w.KindFeatures[c.places[0].kind]
	}
	return put(text.pick(n), c.n.count(n))
}

func (c *content) placesPhrase() string {
	return put(c.w.Places.pick(len(c.places)), c.w.Numerals[len(c.places)])
}

// closest returns the sentences of a page on which everything holds.
func (c *content) closest() string {
	best, ratio := raster.Kind(-1), math.Inf(1)
	for _, k := range raster.Kinds {
		if f := c.r.Finest[k]; f.Found {
			if q := f.WidthUM / c.r.Film.Limit(k).SafeUM; q < ratio {
				best, ratio = k, q
			}
		}
	}
	switch {
	case c.blank():
		return c.w.BlankHelp
	case best < 0:
		return c.w.NothingFound
	}
	lim := c.r.Film.Limit(best)
	w, _, safe := c.n.judged(c.r.Finest[best].WidthUM, lim.FailUM, lim.SafeUM)
	s := fmt.Sprintf(c.w.Closest, c.w.ClosestKind[best], w, safe)
	if from := c.r.HoldsFromWidthMM; from > 0 && ceilTo(from, 0) < c.r.Artwork.WidthMM {
		s += " " + fmt.Sprintf(c.w.CouldBe, c.n.sizeUp(from))
	}
	return s
}

// answer is one of the three boxes.
type answer struct{ title, text, mailto string }

func (c *content) answers() []answer {
	fails, risk := c.split()
	f, k := c.w.letters(lettersOf(fails)), c.w.letters(lettersOf(risk))
	approve, changes := c.w.CarveUnchanged, c.w.ChangesText
	switch {
	case c.blank():
		approve, changes = c.w.BlankApprove, c.w.BlankChanges
	case len(c.places) == 0:
		approve, changes = c.w.CarveAsShown, c.w.ChangesHolds
	case len(risk) == 0:
		approve += " " + fmt.Sprintf(c.w.KnowFail, f)
	case len(fails) == 0:
		approve += " " + fmt.Sprintf(c.w.KnowRisk, k)
	default:
		approve += " " + fmt.Sprintf(c.w.KnowBoth, f, k)
	}
	out := []answer{{c.w.Approve, approve, ""}, {c.w.ApproveChanges, changes, ""}, {c.w.NewArtwork, c.w.NewText, ""}}
	if mail := address(c.job.Shop.Email); mail != "" {
		about := c.proofNo()
		if about == "" { // without a number the artwork's name tells which proof it is
			about = c.job.Artwork
		}
		for i := range out {
			subject := strings.Replace(fmt.Sprintf(c.w.MailSubject, about, out[i].title), " :", ":", 1)
			out[i].mailto = "mailto:" + mail + "?subject=" + escape(subject) + "&body=" + escape(out[i].title+". "+out[i].text)
		}
	}
	return out
}

// escape writes text for a mailto address (RFC 6068: blanks are %20).
func escape(s string) string { return strings.ReplaceAll(url.QueryEscape(s), "+", "%20") }

// address returns an e-mail address fit for a mailto link, or "" when it does
// not look like one.
func address(s string) string {
	local, host, ok := strings.Cut(s, "@")
	if !ok || local == "" || host == "" || strings.ContainsAny(s, " \t<>\"'(),:;[]\\?&%#") {
		return ""
	}
	return url.PathEscape(local) + "@" + url.PathEscape(host)
}

func (c *content) proofNo() string { return strings.TrimSpace(c.job.Number + " " + c.job.Revision) }

// notes returns the sentences of the report's notes that concern the customer.
func (c *content) notes() []string {
	var out []string
	blank := c.blank()
	if c.r.Artwork.Negative {
		out = append(out, c.w.WasNegative)
	}
	for _, n := range c.r.Notes {
		s, ok := c.w.Notes[n.Code]
		if !ok || blank && (n.Code == preflight.NoteNoInk || n.Code == preflight.NoteLowResolution) {
			continue // the verdict says it, or there is no width to doubt
		}
		if n.Code == preflight.NoteGreyAreas && n.Values["ruling_lpi"] > 0 {
			s = c.w.Halftone
		}
		if v := n.Values["needed_ppi"]; n.Code == preflight.NoteLowResolution && v > 0 {
			s += " " + fmt.Sprintf(c.w.NeedDots, c.n.count(int(math.Ceil(v/50-1e-9)*50)))
		}
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// judged returns what the judgement rests on.
func (c *content) judged() string {
	t := c.n.thickness(c.r.Film.ThicknessUM)
	s := fmt.Sprintf(c.w.JudgedFilm, t)
	if name := sheet.Plain(c.r.Film.Name); name != "" && !strings.EqualFold(strings.ReplaceAll(name, " ", nbsp), strings.Replace(t, c.w.Decimal+"0"+nbsp, nbsp, 1)) {
		s = fmt.Sprintf(c.w.JudgedFilmNamed, t, strings.ReplaceAll(name, " ", nbsp))
	}
	s += " " + fmt.Sprintf(c.w.JudgedFile, c.n.count(int(math.Round(c.r.Artwork.PxPerInch))))
	return s + " " + c.w.limitsBasis(&c.r.Film)
}

// foot returns the line that stands on every page.
func (c *content) foot(kind string) string {
	var parts []string
	for _, s := range []string{c.job.Shop.Name, strings.TrimSpace(kind + " " + c.proofNo()), c.date()} {
		if s != "" {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, " · ")
}

func (c *content) date() string {
	if c.job.Date.IsZero() {
		return ""
	}
	return c.w.Date(c.job.Date)
}

// facts returns the head's labelled facts.
func (c *content) facts() [][2]string {
	artwork := c.job.Artwork
	if c.job.Revision != "" {
		artwork += ", " + c.w.Rev + nbsp + c.job.Revision
	}
	var out [][2]string
	for _, f := range [][2]string{{c.w.Job, c.job.Number}, {c.w.For, c.job.Customer}, {c.w.DateIs, c.date()}, {c.w.Artwork, artwork}} {
		if f[1] != "" {
			out = append(out, f)
		}
	}
	return out
}

// limitsBasis says what a film's limits rest on, as far as a customer cares.
func (w *wording) limitsBasis(f *preflight.Film) string {
	measured, own, all := 0, 0, 0
	for _, l := range f.Limits {
		for _, b := range [2]preflight.Basis{l.FailBasis, l.SafeBasis} {
			all++
			switch b {
			case preflight.Measured:
				measured++
			case preflight.ShopRule:
				own++
			}
		}
	}
	switch {
	case measured == all:
		return w.JudgedMeasured
	case measured+own == all:
		return w.JudgedOwn
	case measured+own > 0:
		return w.JudgedMixed
	}
	return w.JudgedDefault
}
