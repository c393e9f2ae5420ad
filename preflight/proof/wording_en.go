package proof

import (
	"fmt"
	"time"

	"stencilproof/preflight"
)

var english = wording{
	Code: "en", Decimal: ".", Thousand: ",", A4: true,
	Date: func(t time.Time) string { return fmt.Sprintf("%d%s%s", t.Day(), nbsp, t.Format("January 2006")) },

	Title: "Artwork proof", BenchTitle: "Bench sheet",
	Job: "Job", For: "For", Artwork: "Artwork", Rev: "revision", DateIs: "Date",

	HoldsTitle: "Ready to carve at %s wide:",
	RiskTitle:  "Can be carved at %s wide, at some risk:",
	FailsTitle: "Not ready to carve at %s wide:",
	HoldsText:  "every line, gap, dot and spot is large enough to come out as drawn.",
	RiskPlaces: oneMany{
		"nothing is sure to be lost, but one place may not come out as drawn.",
		"nothing is sure to be lost, but %s places may not come out as drawn."},
	FailPlaces: oneMany{"one place will not come out as drawn", "%s places will not come out as drawn"},
	MorePlaces: oneMany{", and one more may not.", ", and %s more may not."},
	RiskFeatures: oneMany{
		"nothing is sure to be lost, but %s (%s) may not come out as drawn.",
		"nothing is sure to be lost, but %s (%s) may not come out as drawn."},
	FailFeatures: oneMany{"%s (%s) will not come out as drawn", "%s (%s) will not come out as drawn"},
	MoreFeatures: oneMany{", and one more (%s) may not.", ", and %s more (%s) may not."},
	Details:      oneMany{"one detail", "%s details"},
	KindFeatures: [4]oneMany{
		{"one thin black line", "%s thin black lines"},
		{"one small black dot", "%s small black dots"},
		{"one narrow white gap", "%s narrow white gaps"},
		{"one small white spot", "%s small white spots"}},
	GoToAnswer: "Go to your answer",

	TrueSize:     "Your artwork, true size",
	Reduced:      "Your artwork, at %s its size",
	Fractions:    [3]string{"half", "a fifth of", "a tenth of"},
	FullSizePage: "The last page shows it at its true size.",
	BlackCarved:  "Black will be carved. White stays as it is.",
	WasNegative:  "Your file has black and white the other way round; we have turned it.",
	RulerHint:    "True size when printed at 100" + nbsp + "%%. On a screen, lay a bank card on the ruler: both are " + "%s" + " long.",
	CardHint:     "The outline is a bank card at the same scale.",
	BankCard:     "bank card",
	ArtworkAlt:   "Your artwork, %s. Black will be carved.",

	Where:    "Where to look",
	KeyFails: "solid outline: will not come out",
	KeyRisk:  "dashed outline: may not come out",
	MapAlt:   "Map of the artwork in grey; outlines with the letters %s show where to look.",
	Further:  oneMany{"One more place on page" + nbsp + "%s.", "%s more places on page" + nbsp + "%s."},
	PlacesOn: "The places are shown one by one from page" + nbsp + "%s.",
	Places:   oneMany{"The one place", "The %s places"},
	Place:    "place %s",

	KindName: byKind{"thin black line", "small black dot", "narrow white gap", "small white spot"},
	HeadOne: byKind{"One black line is %s wide", "One black dot is %s across",
		"One white gap is %s wide", "One white spot is %s across"},
	HeadMany: byKind{"%s black lines are down to %s wide", "%s black dots are down to %s across",
		"%s white gaps are down to %s wide", "%s white spots are down to %s across"},
	HeadScattered: byKind{"%s black lines, in many places, are down to %s wide", "%s black dots, in many places, are down to %s across",
		"%s white gaps, in many places, are down to %s wide", "%s white spots, in many places, are down to %s across"},
	FailEffect: byKind{"Too thin to carve: expect breaks, or nothing.", "Too small to carve: expect nothing there.",
		"Too narrow to stay: the black on both sides will run together.", "Too small to stay: the spot will fill in, carved solid."},
	RiskEffect: byKind{"May come out broken in places.", "May be missing.",
		"May break away, so the black on both sides runs together.", "May fill in, carved solid."},
	Limits: "Under %s is lost; %s is safe.",
	Advice: byKind{"Thicken to %s, or carve the whole at %s wide.", "Enlarge to %s, or carve the whole at %s wide.",
		"Widen the gap to %s, or carve the whole at %s wide.", "Enlarge the white to %s, or carve the whole at %s wide."},
	AdvicePattern: "Use a coarser dot pattern, no dot under %s, or carve the whole at %s wide.",
	Straddles:     "Measured to within ±%s: it may be on the other side of the limit. A finer file would settle it.",
	Larger:        "drawn %s times larger",
	Smaller:       "drawn at %s its size",
	AtSize:        "drawn at its true size",
	CloseUpAlt:    "Close-up of place %s: %s.",

	PlotTitle: "The smallest of each, against what the film holds",
	Lost:      "lost", MayLost: "may be lost", HoldsZone: "holds",
	NoneFound: "none in this artwork",
	PlotAlt:   "The smallest of each kind, against what the film holds.",
	PlotRow:   "%s: %s; under %s is lost, %s is safe.",

	Remedies: "What would put it right", AnyOne: "Any one of these is enough.", OnlyOne: "This is enough.",
	ChangeTitle: "Change the artwork.", LargerTitle: "Carve it larger.", FilmTitle: "Use a thinner film.",
	Change: [4]oneMany{
		{"thicken one line (%s)", "thicken %s lines (%s)"},
		{"enlarge one dot (%s)", "enlarge %s dots (%s)"},
		{"widen one gap (%s)", "widen %s gaps (%s)"},
		{"open up one white spot (%s)", "open up %s white spots (%s)"}},
	ChangePattern: "use a coarser dot pattern, no dot under %s (%s)",
	ToBeSafe:      oneMany{"Better still, %s too.", "Better still, %s too."},
	LargerText:    "From %s wide it holds as drawn.",
	FilmText:      "With our %s film it holds at this size.",
	FilmNotEnough: "A thinner film would not be enough: with our thinnest (%s), %s may still be lost.",
	And:           " and ", Range: "%s to %s",

	Closest:        "The closest call is %s of %s; the film holds %s.",
	CouldBe:        "It could be carved as small as %s wide with nothing lost.",
	SmallestOfEach: "The smallest of each kind",
	ClosestKind:    byKind{"a thin black line", "a small black dot", "a narrow white gap", "a small white spot"},
	NothingFound:   "We looked at every line, gap, dot and enclosed spot in the file.",

	Answer:  "Your answer",
	Approve: "Approve as it is", ApproveChanges: "Approve with changes", NewArtwork: "New artwork follows",
	CarveAsShown: "Carve it as shown.", CarveUnchanged: "Carve it unchanged.",
	KnowFail: "I know that %s will not come out as drawn.", KnowRisk: "I know that %s may not come out as drawn.",
	KnowBoth:    "I know that %s will not come out as drawn, and %s may not.",
	ChangesText: "Make the changes named here, then carve.", ChangesHolds: "Carve it with the change I write here.",
	NewText: "Wait for my new file.",
	Name:    "Name", DateLine: "Date", Signature: "Signature",
	OnPaper:     "On paper: tick one, sign, send it back. We carve when we have your answer.",
	OnScreen:    "Press one of the three: an e-mail to us opens, ready to send.",
	MailSubject: "Proof %s: %s",

	Judged:          "How this was judged.",
	JudgedFilm:      "While we carve, a film %s thick shields your piece.",
	JudgedFilmNamed: "While we carve, a film %s thick (%s) shields your piece.",
	JudgedFile:      "Your file was measured at %s dots an inch.",
	JudgedDefault:   "The limits are starting values from published advice and common practice, not yet tested in our workshop.",
	JudgedMeasured:  "The limits were measured in our workshop on this film.",
	ProofNo:         "proof", PageOf: "page %s of %s",
	Notes: map[preflight.NoteCode]string{
		preflight.NoteSizeDoubtful:  "Your file may not say its true size. Please check that the size above is the one you want carved.",
		preflight.NoteLowResolution: "Your file is coarse for this film, so the finest widths could not be measured sharply.",
		preflight.NoteGreyAreas:     "Parts of your file are grey. Only black and white can be carved, so grey may come out either way.",
		preflight.NoteLossy:         "Your file was saved with loss, which blurs fine edges. The original drawing would be better.",
		preflight.NoteMaybeNegative: "Most of your file is black. Please check above that black is what you want carved.",
	},
	NeedDots: "A file of %s dots an inch would do.",

	Chart: chartWording{
		Title: "Which film at which width",
		Fails: "fails", Risk: "at risk", Hold: "holds: nothing fails, nothing at risk",
		From: "from %s", Never: "at no width",
		ThisJob: "this job: %s wide, %s", Unit: "%s wide",
		Alt: "Which film holds this artwork at which engraved width.",
		Row: "%s: fails under %s, holds from %s.", RowNever: "%s: holds at no width.",
	},
}
