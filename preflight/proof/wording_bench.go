package proof

import "stencilproof/preflight"

// benchWording is what the bench sheet says in one language. It speaks the
// shop's words: line, dot, strip, island, film, opening.
type benchWording struct {
	Sheet                        string // in the foot
	Answer                       string
	Fails, Risk, Holds           string
	FailPart, RiskPart, RiskOnly oneMany // count
	AllHold                      string
	Blank, BlankText, BlankWash  string // an artwork without ink
	Approval, Seen               string

	Film, Size, Polarity, Grit, Depth string
	Starting, MeasuredLimits, Mixed   string
	WhyThickest, WhyNone              string
	WhyToo, WhyThinner                string // a film
	SizeFrom                          map[string]string
	Positive, Negative                string
	BlackCarves, ClearCarves          string
	NoGrit, GritEnters                string
	GritFree                          string // size of the largest grain
	GritStops, GritSlow               string // letters
	GritStopsIn, GritSlowIn           oneMany
	AmongThem                         string // letters
	GritCoarse                        string // size
	DepthAt                           string // letter
	DepthNarrowest                    string
	DepthAsked                        oneMany // count
	DepthFine                         string
	NoOpening                         string

	Kind                               [4]string
	WatchTitle, InOrder                string
	ColKind, ColCount, ColUM, ColLimit string
	ColWatch, ColOK                    string
	ColStep, ColSet, ColBasis, ColNote string
	Watch                              byKind
	NothingToWatch                     string
	Letters                            string
	Marks                              oneMany // letter, numbers
	TapeMargin                         string  // width

	Steps                                      [7]string
	PrintSet, WashSet, TapeSet, TapeSetNone    string
	PrintInverted                              string
	BlastDepth, BlastGrit, InspectSet          string
	InspectHolds                               string
	PrintNote, ExposeNote, WashNote, BlastNote string
	TapeNote                                   string
	Basis                                      map[preflight.Basis]string
	BasisPrint, BasisWash, BasisBlast          string
	Usual, SheetWins                           string            // what the usual facts rest on
	Keeps                                      string            // a stencil; how long
	Facts                                      map[string]string // usual facts in this language

	ChartBasis   string
	ChartSome    string // where the page has no room for all films
	AlsoNoted    string
	Notes        map[preflight.NoteCode]oneMany
	Halftone     string // in place of the note on grey areas; ruling
	Cautions     string
	CautionsText string
}

var englishBench = benchWording{
	Sheet:  "bench sheet",
	Answer: "Customer's answer",
	Fails:  "Fails:", Risk: "At risk:", Holds: "Holds:",
	FailPart: oneMany{"one feature fails", "%s features fail"}, RiskPart: oneMany{", one is at risk", ", %s are at risk"},
	RiskOnly: oneMany{"one feature.", "%s features."},
	AllHold:  "nothing fails, nothing is at risk.",
	Blank:    "Nothing to carve:", BlankText: "there is no ink in this file. Ask the customer before anything is printed.",
	BlankWash: "There is no opening to wash out.",
	Approval:  "Carve only with the customer's approval in hand.", Seen: "seen",

	Film: "Film", Size: "Engraved size", Polarity: "Polarity", Grit: "Grit", Depth: "Depth",
	Starting: "limits: starting values", MeasuredLimits: "limits: measured here", Mixed: "limits: partly this shop's own",
	WhyThickest: "The thickest that holds it.", WhyNone: "None holds it at this size.", WhyToo: "%s would hold it too.", WhyThinner: "%s would hold it.",
	SizeFrom: map[string]string{"metadata": "as the file says", "width": "width given with the order", "height": "height given with the order", "dpi": "dots an inch given with the order"},
	Positive: "Positive", Negative: "Negative", BlackCarves: "ink carves", ClearCarves: "clear carves; drawn here with carved as black",
	NoGrit: "to be chosen", GritEnters: "%s or finer enters everywhere",
	GritFree: "largest grain %s; enters everywhere", GritStops: "cannot enter at %s", GritSlow: "slow at %s", GritCoarse: "largest grain %s",
	GritStopsIn: oneMany{"cannot enter one opening", "cannot enter %s openings"}, GritSlowIn: oneMany{"slow in one", "slow in %s"}, AmongThem: "%s, %s among them",
	DepthAt: "at %s, the narrowest; no opening deeper than it is wide", DepthNarrowest: "the narrowest; no opening deeper than it is wide",
	DepthAsked: oneMany{"asked for; one opening is narrower", "asked for; %s openings are narrower"},
	DepthFine:  "asked for; every opening is as wide", NoOpening: "no line or dot in this artwork",

	Kind:       [4]string{"line", "dot", "strip", "island"},
	WatchTitle: "Watch in wash-out", InOrder: "In order",
	ColKind: "kind", ColCount: "no.", ColUM: "µm", ColLimit: "fail / safe", ColWatch: "watch", ColOK: "ok",
	ColStep: "step", ColSet: "set to", ColBasis: "basis", ColNote: "write in",
	Watch: byKind{"must wash clear along its whole length", "must wash clear: no length to flush it",
		"thin film between openings: may lift", "held by its own glue alone: may lift"},
	NothingToWatch: "Nothing fails and nothing is at risk: watch that the film clears as usual.",
	Letters:        "Place letters are those of the customer's proof.", Marks: oneMany{"%s: mark %s", "%s: marks %s"},
	TapeMargin: "tape %s",

	Steps:         [7]string{"Print the positive", "Expose", "Wash out", "Dry and mount", "Tape", "Blast", "Peel, rinse, inspect"},
	PrintSet:      "at 100" + nbsp + "%%, %s; print side to the emulsion",
	PrintInverted: "inverted, what is carved is black; %s",
	WashSet:       "watch %s; overexposed film never clears",
	TapeSet:       "film at least %s past the ink on all sides; window %s", TapeSetNone: "film past the ink on all sides, as wide as the tape needs",
	BlastDepth: "no opening deeper than it is wide: %s", BlastGrit: "%s, largest grain %s", InspectSet: "compare with the proof, %s", InspectHolds: "compare with the proof",
	PrintNote: "solid black? ____", ExposeNote: "____ s", WashNote: "____ s", BlastNote: "grit ____ pressure ____", TapeNote: "margin ____",
	Basis: map[preflight.Basis]string{preflight.Memory: "from memory", preflight.Derived: "derived", preflight.Published: "published", preflight.ShopRule: "shop rule", preflight.Measured: "measured"},
	Usual: "common practice, no published source", SheetWins: "Common practice is a start: the film's own sheet wins.", Keeps: "a finished stencil keeps: %s",
	BasisPrint: "published (A&E Magazine, Oct 2018)", BasisWash: "published (A&E Magazine, Oct 2018)", BasisBlast: "depth: published (R. Dobbins, A&E Magazine)",

	ChartBasis: "Worked out from the widths measured for this sheet, not judged anew at each width: check the film and size you choose.",
	ChartSome:  "The films next to this one; choose tells of all.",
	AlsoNoted:  "Also noted.",
	Halftone:   "The artwork holds a halftone of %s lines an inch.",
	Notes: map[preflight.NoteCode]oneMany{
		preflight.NotePoints:        {"One tapering point will round off.", "%s tapering points will round off."},
		preflight.NoteSizeDoubtful:  {"The file may not tell its true size: check it.", "The file may not tell its true size: check it."},
		preflight.NoteCornersMeet:   {"Two parts of the ink meet by a corner: have them joined or parted.", "In %s places parts of the ink meet by a corner: have them joined or parted."},
		preflight.NoteLowResolution: {"The file is coarse for this film.", "The file is coarse for this film."},
		preflight.NoteGreyAreas:     {"Grey areas half-harden: have them made black or white.", "Grey areas half-harden: have them made black or white."},
		preflight.NoteNotSolid:      {"The ink is not solid black: light may come through.", "The ink is not solid black: light may come through."},
		preflight.NoteSpecks:        {"One speck of dust or stray pixel.", "%s specks of dust or stray pixels."},
		preflight.NoteEdgeTouch:     {"Ink comes too near the artwork's edge: little film is left there to tape.", "Ink comes too near the artwork's edge: little film is left there to tape."},
		preflight.NoteMaybeNegative: {"Most of it is ink: is it a negative?", "Most of it is ink: is it a negative?"},
		preflight.NoteLossy:         {"Saved with loss: fine edges are blurred.", "Saved with loss: fine edges are blurred."},
		preflight.NoteMorePages:     {"The file has more pages; only the first was judged.", "The file has more pages; only the first was judged."},
	},
	Cautions: "Cautions.",
	CautionsText: "Blast in an enclosed, exhausted cabinet or with an approved blasting respirator. Never blast with silica sand. " +
		"Stone and ceramic can give off silica dust whatever the grit. Let the pressure off before opening a pot. Do not look at the lamp. " +
		"Follow local codes, the makers' sheets and your safety officer.",
}

var germanBench = benchWording{
	Sheet:  "Werkstattblatt",
	Answer: "Antwort des Kunden",
	Fails:  "Versagt:", Risk: "Fraglich:", Holds: "Hält:",
	FailPart: oneMany{"ein Merkmal versagt", "%s Merkmale versagen"}, RiskPart: oneMany{", eines ist fraglich", ", %s sind fraglich"},
	RiskOnly: oneMany{"ein Merkmal.", "%s Merkmale."},
	AllHold:  "nichts versagt, nichts ist fraglich.",
	Blank:    "Nichts zu gravieren:", BlankText: "In dieser Datei ist nichts schwarz. Vor dem Drucken beim Kunden nachfragen.",
	BlankWash: "Es gibt keine Öffnung auszuwaschen.",
	Approval:  "Nur mit Freigabe des Kunden gravieren.", Seen: "gesehen",

	Film: "Folie", Size: "Graviergröße", Polarity: "Vorlage", Grit: "Korn", Depth: "Tiefe",
	Starting: "Grenzen: Anfangswerte", MeasuredLimits: "Grenzen: hier gemessen", Mixed: "Grenzen: teils eigene",
	WhyThickest: "Die dickste, die hält.", WhyNone: "In dieser Größe hält keine.", WhyToo: "Auch %s hielte.", WhyThinner: "%s hielte.",
	SizeFrom: map[string]string{"metadata": "laut Datei", "width": "Breite laut Auftrag", "height": "Höhe laut Auftrag", "dpi": "Punkte je Zoll laut Auftrag"},
	Positive: "Positiv", Negative: "Negativ", BlackCarves: "Schwarz wird graviert", ClearCarves: "Klares wird graviert; hier schwarz gezeigt",
	NoGrit: "noch zu wählen", GritEnters: "%s oder feiner kommt überall hinein",
	GritFree: "größtes Korn %s; kommt überall hinein", GritStops: "kommt nicht hinein bei %s", GritSlow: "langsam bei %s", GritCoarse: "größtes Korn %s",
	GritStopsIn: oneMany{"kommt in eine Öffnung nicht hinein", "kommt in %s Öffnungen nicht hinein"}, GritSlowIn: oneMany{"langsam in einer", "langsam in %s"}, AmongThem: "%s, darunter %s",
	DepthAt: "bei %s, am engsten; keine Öffnung tiefer, als sie breit ist", DepthNarrowest: "am engsten; keine Öffnung tiefer, als sie breit ist",
	DepthAsked: oneMany{"verlangt; eine Öffnung ist enger", "verlangt; %s Öffnungen sind enger"},
	DepthFine:  "verlangt; jede Öffnung ist so weit", NoOpening: "keine Linie, kein Punkt in der Vorlage",

	Kind:       [4]string{"Linie", "Punkt", "Steg", "Insel"},
	WatchTitle: "Beim Auswaschen achten auf", InOrder: "Der Reihe nach",
	ColKind: "Art", ColCount: "Zahl", ColUM: "µm", ColLimit: "versagt / hält", ColWatch: "achten auf", ColOK: "ok",
	ColStep: "Schritt", ColSet: "Einstellung", ColBasis: "Grundlage", ColNote: "eintragen",
	Watch: byKind{"muss auf ganzer Länge frei werden", "muss frei werden: spült sich schwer",
		"schmale Folie: kann sich heben", "hält nur am Kleber: kann sich heben"},
	NothingToWatch: "Nichts versagt, nichts ist fraglich: auf das übliche Freiwerden achten.",
	Letters:        "Die Buchstaben sind die des Korrekturabzugs.", Marks: oneMany{"%s: Marke %s", "%s: Marken %s"},
	TapeMargin: "Klebeband %s",

	Steps:         [7]string{"Positiv drucken", "Belichten", "Auswaschen", "Trocknen, aufziehen", "Abkleben", "Strahlen", "Abziehen, spülen, prüfen"},
	PrintSet:      "mit 100" + nbsp + "%%, %s; Druckseite auf die Schicht",
	PrintInverted: "umgekehrt, was graviert wird, ist schwarz; %s",
	WashSet:       "auf %s achten; überbelichtete Folie wäscht sich nicht frei",
	TapeSet:       "Folie ringsum mindestens %s über die Farbe; Fenster %s", TapeSetNone: "Folie ringsum so weit, wie das Klebeband braucht",
	BlastDepth: "keine Öffnung tiefer, als sie breit ist: %s", BlastGrit: "%s, größtes Korn %s", InspectSet: "mit dem Abzug vergleichen, %s", InspectHolds: "mit dem Abzug vergleichen",
	PrintNote: "sattes Schwarz? ____", ExposeNote: "____ s", WashNote: "____ s", BlastNote: "Korn ____ Druck ____", TapeNote: "Rand ____",
	Basis: map[preflight.Basis]string{preflight.Memory: "aus dem Gedächtnis", preflight.Derived: "abgeleitet", preflight.Published: "veröffentlicht", preflight.ShopRule: "Werkstattregel", preflight.Measured: "gemessen"},
	Usual: "allgemein üblich, ohne veröffentlichte Quelle", SheetWins: "Was üblich ist, ist ein Anfang: Das Datenblatt der Folie geht vor.", Keeps: "eine fertige Schablone hält: %s",
	BasisPrint: "veröffentlicht (A&E Magazine, Okt. 2018)", BasisWash: "veröffentlicht (A&E Magazine, Okt. 2018)", BasisBlast: "Tiefe: veröffentlicht (R. Dobbins, A&E Magazine)",
	Facts: map[string]string{
		"40 to 60 s, by the lamp's strength":                      "40 bis 60 s, je nach Stärke der Lampe",
		"warm water, about 30 to 40 s in a machine":               "warmes Wasser, in der Maschine etwa 30 bis 40 s",
		"warm water, up to a minute in a machine":                 "warmes Wasser, in der Maschine bis zu einer Minute",
		"5 to 10 min in a dryer, by thickness":                    "5 bis 10 min im Trockner, je nach Dicke",
		"about six months on release paper, if no air is trapped": "etwa sechs Monate auf Trennpapier, ohne Lufteinschluss",
	},

	ChartBasis: "Errechnet aus den Breiten, die für dieses Blatt gemessen wurden, nicht bei jeder Breite neu geprüft: die gewählte Folie und Größe prüfen.",
	ChartSome:  "Die Folien, die dieser am nächsten sind; choose nennt alle.",
	AlsoNoted:  "Außerdem.",
	Halftone:   "Die Vorlage enthält ein Punktraster von %s Linien je Zoll.",
	Notes: map[preflight.NoteCode]oneMany{
		preflight.NotePoints:        {"Eine Spitze rundet sich ab.", "%s Spitzen runden sich ab."},
		preflight.NoteSizeDoubtful:  {"Die Datei nennt vielleicht nicht ihre wahre Größe: prüfen.", "Die Datei nennt vielleicht nicht ihre wahre Größe: prüfen."},
		preflight.NoteCornersMeet:   {"Zwei Teile des Schwarz treffen sich an einer Ecke: verbinden oder trennen lassen.", "An %s Stellen treffen sich Teile des Schwarz an einer Ecke: verbinden oder trennen lassen."},
		preflight.NoteLowResolution: {"Die Datei ist grob für diese Folie.", "Die Datei ist grob für diese Folie."},
		preflight.NoteGreyAreas:     {"Graue Flächen härten halb: schwarz oder weiß machen lassen.", "Graue Flächen härten halb: schwarz oder weiß machen lassen."},
		preflight.NoteNotSolid:      {"Die Farbe ist nicht satt schwarz: Licht kann durchkommen.", "Die Farbe ist nicht satt schwarz: Licht kann durchkommen."},
		preflight.NoteSpecks:        {"Ein Staubkorn oder verirrter Bildpunkt.", "%s Staubkörner oder verirrte Bildpunkte."},
		preflight.NoteEdgeTouch:     {"Farbe reicht zu nah an den Rand der Vorlage: Dort bleibt wenig Folie zum Abkleben.", "Farbe reicht zu nah an den Rand der Vorlage: Dort bleibt wenig Folie zum Abkleben."},
		preflight.NoteMaybeNegative: {"Das meiste ist schwarz: Ist es ein Negativ?", "Das meiste ist schwarz: Ist es ein Negativ?"},
		preflight.NoteLossy:         {"Mit Verlust gespeichert: Feine Kanten sind verwischt.", "Mit Verlust gespeichert: Feine Kanten sind verwischt."},
		preflight.NoteMorePages:     {"Die Datei hat weitere Seiten; geprüft ist nur die erste.", "Die Datei hat weitere Seiten; geprüft ist nur die erste."},
	},
	Cautions: "Vorsicht.",
	CautionsText: "In geschlossener, abgesaugter Kabine strahlen oder mit zugelassenem Strahlerschutz für die Atmung. Nie mit Quarzsand strahlen. " +
		"Stein und Keramik können bei jedem Korn Quarzstaub abgeben. Vor dem Öffnen den Druck aus dem Kessel lassen. Nicht in die Lampe sehen. " +
		"Örtliche Vorschriften, die Blätter der Hersteller und die Fachkraft für Arbeitssicherheit gehen vor.",
}
