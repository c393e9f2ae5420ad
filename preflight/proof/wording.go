package proof

import (
	"strings"
	"time"

	"stencilproof/preflight"
	"stencilproof/raster"
)

// byKind holds one text for each raster.Kind, in its order: line, dot, strip,
// island.
type byKind [4]string

// oneMany holds a text for one and a text for several.
type oneMany [2]string

func (o oneMany) pick(n int) string {
	if n == 1 {
		return o[0]
	}
	return o[1]
}

// wording is everything that the proof says in one language. A %s stands for a
// number with its unit, a count, or letters that are already written out. A
// test holds every language to the same fields and the same number of %s.
type wording struct {
	Code     string
	Decimal  string
	Under    string // the word before a number that is an upper bound
	Thousand string
	Date     func(time.Time) string
	A4       bool // the paper used where the language is at home

	// Head.
	Title, BenchTitle              string
	Job, For, Artwork, Rev, DateIs string

	// Verdict. Titles take the size.
	HoldsTitle, RiskTitle, FailsTitle string
	HoldsText                         string
	BlankTitle, BlankText, BlankHelp  string // an artwork without black
	BlankApprove, BlankChanges        string
	RiskPlaces                        oneMany // count; the sentence of an artwork at risk
	FailPlaces                        oneMany // count
	MorePlaces                        oneMany // count; the rest of the sentence
	RiskFeatures, FailFeatures        oneMany // features, letters
	MoreFeatures                      oneMany // count, letters
	Details                           oneMany // count
	KindFeatures                      [4]oneMany
	GoToAnswer                        string

	// Artwork.
	TrueSize                 string
	Reduced                  string // takes a fraction
	Fractions                [3]string
	FullSizePage             string
	BlackCarved, WasNegative string
	RulerHint, CardHint      string
	BankCard                 string
	ArtworkAlt               string // size

	// Map.
	Where, KeyFails, KeyRisk string
	MapAlt                   string  // count of places
	Further                  oneMany // count, page
	PlacesOn                 string  // page
	Places                   oneMany // a numeral
	Numerals                 [13]string
	Place                    string // letter

	// Cards.
	KindName               byKind
	HeadOne                byKind // width
	HeadMany               byKind // count, width
	HeadScattered          byKind // count, width
	FailEffect, RiskEffect byKind
	Limits                 string // fail, safe
	Advice                 byKind // safe, size
	AdvicePattern          string // safe, size
	AdviceAlone            byKind // safe; where no size would help
	PatternAlone           string // safe
	MayHold, MayFail       string // plus-minus
	Larger, Smaller        string // factor
	AtSize                 string
	CloseUpAlt             string // letter, head

	Specks speckWording
	Stripe stripeWording
	Corner cornerWording

	// Plot.
	PlotTitle                string
	Lost, MayLost, HoldsZone string
	NoneFound                string
	PlotAlt                  string
	PlotRow                  string // kind, width, fail, safe

	// What would put it right.
	Remedies, AnyOne, OnlyOne           string
	GreyFirst                           string
	ChangeTitle, LargerTitle, FilmTitle string
	Change                              [4]oneMany // count, letters; one: letter
	ChangePattern                       string     // safe, letters
	ToBeSafe                            oneMany    // letters
	LargerText                          string     // size
	LargerNot                           string     // times
	LargerAbout                         string     // size
	FilmText                            string     // thickness
	FilmNotEnough                       string     // thickness, letters
	And, Range                          string

	// Holding page.
	Closest        string // kind, width, limit
	CouldBe        string // size
	SmallestOfEach string
	ClosestKind    byKind // width stands after it
	NothingFound   string

	// Answer.
	Answer                              string
	Approve, ApproveChanges, NewArtwork string
	CarveAsShown, CarveUnchanged        string
	KnowFail, KnowRisk, KnowBoth        string // letters
	ChangesText, ChangesHolds, NewText  string
	Name, DateLine, Signature           string
	OnPaper, OnScreen                   string
	MailSubject                         string // proof, answer

	// How it was judged.
	Judged, JudgedFilm, JudgedFilmNamed, JudgedFile string
	JudgedOwn, JudgedMixed                          string
	JudgedDefault, JudgedMeasured                   string
	ProofNo                                         string
	PageOf                                          string // n, m
	Notes                                           map[preflight.NoteCode]string
	NeedDots                                        string
	Halftone                                        string // in place of the note on grey areas

	Chart chartWording
	Bench benchWording
}

// speckWording is what is said of specks that are probably dust: black ones
// (dot) and white ones (island). The other kinds have none.
type speckWording struct {
	HeadOne    map[raster.Kind]string // width
	HeadMany   map[raster.Kind]string // count, width
	Effect     map[raster.Kind]string
	EffectMany map[raster.Kind]string
	Advice     oneMany
	Change     oneMany // count, letters; one: letter
	// Larger sizes without the specks; CleanFrom follows on LargerText.
	CleanFrom, LargerClean string // size
	CleanHere              string
	Watch                  map[raster.Kind]string
}

// stripeWording is what is said of a white spot so long that its width across counts.
// cornerWording is said of places where two parts meet by a corner.
type cornerWording struct {
	Effect string
	Advice oneMany
	Change oneMany // letter; count, letters
}

type stripeWording struct {
	Head        string // width
	Change      string // letter
	FailEffect  string
	Advice      string // safe, size
	AdviceAlone string // safe
}

// chartWording is what the chart of films says.
type chartWording struct {
	Title             string
	Fails, Risk, Hold string
	From              string // width
	Never             string
	ThisJob, ThisSize string // width, film; width
	Unit              string // number with its unit
	Alt               string
	Row               string // film, fails below, holds from
	RowNever          string
}

// languages by their code.
var languages = map[string]*wording{"en": &english, "de": &german}

// Languages lists the languages that pages can be written in.
func Languages() []string { return preflight.Languages }

// lookUp returns the wording of a language such as "de" or "de-AT", English
// when there is none.
func lookUp(lang string) *wording {
	code, _, _ := strings.Cut(strings.ReplaceAll(strings.ToLower(lang), "_", "-"), "-")
	if w := languages[code]; w != nil {
		return w
	}
	return &english
}

func capital(s string) string {
	for i, r := range s {
		if i == 0 {
			return strings.ToUpper(string(r)) + s[len(string(r)):]
		}
	}
	return s
}

// list joins with commas and a last word: "A, B and C".
func (w *wording) list(parts []string) string {
	n := len(parts)
	if n < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts[:n-1], ", ") + w.And + parts[n-1]
}

// letters joins the letters of places; three or more in a row become a range:
// "A to D", "A, B and D".
func (w *wording) letters(ls []string) string {
	at := map[string]int{}
	for i, l := range letterRow {
		at[string(l)] = i
	}
	var parts []string
	for i := 0; i < len(ls); {
		j := i
		for j+1 < len(ls) && at[ls[j+1]] == at[ls[j]]+1 {
			j++
		}
		if j-i >= 2 {
			parts = append(parts, strings.Replace(strings.Replace(w.Range, "%s", ls[i], 1), "%s", ls[j], 1))
		} else {
			parts = append(parts, ls[i:j+1]...)
		}
		i = j + 1
	}
	return w.list(parts)
}

func (w *wording) numbers(unit string) numbers {
	return numbers{unit: unit, decimal: w.Decimal, thousand: w.Thousand, under: w.Under}
}
