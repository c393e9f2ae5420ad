package proof

import (
	"fmt"
	"time"

	"stencilproof/preflight"
	"stencilproof/raster"
)

var germanMonths = [12]string{"Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September", "Oktober", "November", "Dezember"}

var german = wording{
	Code: "de", Decimal: ",", Thousand: ".", Under: "unter", A4: true,
	Date: func(t time.Time) string {
		return fmt.Sprintf("%d.%s%s %d", t.Day(), nbsp, germanMonths[t.Month()-1], t.Year())
	},

	Title: "Korrekturabzug", BenchTitle: "Werkstattblatt",
	Job: "Auftrag", For: "Für", Artwork: "Vorlage", Rev: "Fassung", DateIs: "Datum",

	HoldsTitle:   "Bereit zum Gravieren, %s breit:",
	RiskTitle:    "Gravieren möglich, %s breit, mit etwas Risiko:",
	FailsTitle:   "Noch nicht bereit zum Gravieren, %s breit:",
	BlankTitle:   "Nichts zu gravieren:",
	BlankText:    "In dieser Datei ist nichts schwarz, also würde nichts graviert.",
	BlankHelp:    "Ihre Datei ist ganz weiß. Fehlt die Zeichnung, senden Sie sie bitte noch einmal. Soll das Weiße graviert werden, sagen Sie es uns mit Ihrer Antwort.",
	BlankApprove: "Mein Stück bleibt, wie es ist.", BlankChanges: "Gravieren, was ich hier notiere.",
	HoldsText: "Jede Linie, jede Lücke, jeder Punkt und jeder Fleck ist groß genug und gelingt wie gezeichnet.",
	RiskPlaces: oneMany{
		"Nichts geht sicher verloren, aber eine Stelle gelingt vielleicht nicht wie gezeichnet.",
		"Nichts geht sicher verloren, aber %s Stellen gelingen vielleicht nicht wie gezeichnet."},
	FailPlaces: oneMany{"Eine Stelle gelingt nicht wie gezeichnet", "%s Stellen gelingen nicht wie gezeichnet"},
	MorePlaces: oneMany{", eine weitere vielleicht nicht.", ", %s weitere vielleicht nicht."},
	RiskFeatures: oneMany{
		"Nichts geht sicher verloren, aber %s (%s) gelingt vielleicht nicht wie gezeichnet.",
		"Nichts geht sicher verloren, aber %s (%s) gelingen vielleicht nicht wie gezeichnet."},
	FailFeatures: oneMany{"%s (%s) gelingt nicht wie gezeichnet", "%s (%s) gelingen nicht wie gezeichnet"},
	MoreFeatures: oneMany{", eine weitere Stelle (%s) vielleicht nicht.", ", %s weitere (%s) vielleicht nicht."},
	Details:      oneMany{"eine Einzelheit", "%s Einzelheiten"},
	KindFeatures: [4]oneMany{
		{"eine dünne schwarze Linie", "%s dünne schwarze Linien"},
		{"ein kleiner schwarzer Punkt", "%s kleine schwarze Punkte"},
		{"eine enge weiße Lücke", "%s enge weiße Lücken"},
		{"ein kleiner weißer Fleck", "%s kleine weiße Flecken"}},
	GoToAnswer: "Zu Ihrer Antwort",

	TrueSize:     "Ihre Vorlage in Originalgröße",
	Reduced:      "Ihre Vorlage, auf %s verkleinert",
	Fractions:    [3]string{"die Hälfte", "ein Fünftel", "ein Zehntel"},
	FullSizePage: "Die letzte Seite zeigt sie in Originalgröße.",
	BlackCarved:  "Schwarz wird graviert. Weiß bleibt, wie es ist.",
	WasNegative:  "In Ihrer Datei sind Schwarz und Weiß vertauscht; wir haben sie umgekehrt.",
	RulerHint:    "Wahre Größe beim Druck mit 100" + nbsp + "%%. Am Bildschirm eine Bankkarte an das Lineal legen: beide sind %s lang.",
	CardHint:     "Der Umriss ist eine Bankkarte im selben Maßstab.",
	BankCard:     "Bankkarte",
	ArtworkAlt:   "Ihre Vorlage, %s. Schwarz wird graviert.",

	Where:    "Wo Sie hinsehen sollten",
	KeyFails: "durchgezogen: gelingt nicht",
	KeyRisk:  "gestrichelt: gelingt vielleicht nicht",
	MapAlt:   "Die Vorlage in Grau; Umrisse mit den Buchstaben %s zeigen die Stellen.",
	Further:  oneMany{"Eine weitere Stelle auf Seite" + nbsp + "%s.", "%s weitere Stellen auf Seite" + nbsp + "%s."},
	PlacesOn: "Die Stellen stehen einzeln ab Seite" + nbsp + "%s.",
	Places:   oneMany{"Die eine Stelle", "Die %s Stellen"},
	Place:    "Stelle %s",
	Numerals: [13]string{"keine", "eine", "zwei", "drei", "vier", "fünf", "sechs", "sieben", "acht", "neun", "zehn", "elf", "zwölf"},

	KindName: byKind{"dünne schwarze Linie", "kleiner schwarzer Punkt", "enge weiße Lücke", "kleiner weißer Fleck"},
	HeadOne: byKind{"Eine schwarze Linie ist %s breit", "Ein schwarzer Punkt misst %s",
		"Eine weiße Lücke ist %s breit", "Ein weißer Fleck misst %s"},
	HeadMany: byKind{"%s schwarze Linien, die dünnste %s breit", "%s schwarze Punkte, der kleinste misst %s",
		"%s weiße Lücken, die engste %s breit", "%s weiße Flecken, der kleinste misst %s"},
	HeadScattered: byKind{"%s schwarze Linien an vielen Stellen, die dünnste %s breit", "%s schwarze Punkte an vielen Stellen, der kleinste misst %s",
		"%s weiße Lücken an vielen Stellen, die engste %s breit", "%s weiße Flecken an vielen Stellen, der kleinste misst %s"},
	FailEffect: byKind{"Zu dünn zum Gravieren: Sie bricht ab oder fehlt ganz.", "Zu klein zum Gravieren: Dort entsteht nichts.",
		"Zu eng, um zu halten: Das Schwarz beider Seiten läuft zusammen.", "Zu klein, um zu halten: Der Fleck wird mit ausgraviert."},
	RiskEffect: byKind{"Wird vielleicht unterbrochen.", "Fehlt vielleicht.",
		"Bricht vielleicht weg, dann läuft das Schwarz beider Seiten zusammen.", "Wird vielleicht mit ausgraviert."},
	Limits: "Unter" + nbsp + "%s" + nbsp + "verloren; %s" + nbsp + "ist" + nbsp + "sicher.",
	Advice: byKind{"Auf %s verstärken oder das Ganze %s breit gravieren.", "Auf %s vergrößern oder das Ganze %s breit gravieren.",
		"Lücke auf %s weiten oder das Ganze %s breit gravieren.", "Weiß auf %s vergrößern oder das Ganze %s breit gravieren."},
	AdviceAlone:   byKind{"Auf %s verstärken.", "Auf %s vergrößern.", "Lücke auf %s weiten.", "Weiß auf %s vergrößern."},
	PatternAlone:  "Ein gröberes Punktmuster nehmen, keinen Punkt unter %s.",
	AdvicePattern: "Ein gröberes Punktmuster nehmen, keinen Punkt unter %s, oder das Ganze %s breit gravieren.",
	MayHold:       "Auf ±%s gemessen, gelingt also vielleicht doch: Eine feinere Datei brächte Klarheit.",
	MayFail:       "Auf ±%s gemessen, fehlt also vielleicht ganz: Eine feinere Datei brächte Klarheit.",
	Larger:        "%s-mal größer gezeichnet",
	Smaller:       "auf %s verkleinert",
	AtSize:        "in Originalgröße gezeichnet",
	CloseUpAlt:    "Stelle %s vergrößert: %s.",

	Specks: speckWording{
		HeadOne:     map[raster.Kind]string{raster.Dot: "Ein schwarzes Stäubchen misst %s", raster.Island: "Ein weißes Stäubchen misst %s"},
		HeadMany:    map[raster.Kind]string{raster.Dot: "%s schwarze Stäubchen, das kleinste misst %s", raster.Island: "%s weiße Stäubchen, das kleinste misst %s"},
		Effect:      map[raster.Kind]string{raster.Dot: "Wahrscheinlich Staub. Dort entsteht nichts.", raster.Island: "Wahrscheinlich Staub. Wird mit ausgraviert."},
		EffectMany:  map[raster.Kind]string{raster.Dot: "Staub oder die feinsten Punkte eines Musters. Dort entsteht nichts.", raster.Island: "Staub oder die feinsten Flecken eines Musters. Sie werden mit ausgraviert."},
		Advice:      oneMany{"Ist es Staub, bitte löschen. Ist es gewollt, größer zeichnen.", "Sind sie Staub, bitte löschen. Sind sie gewollt, größer zeichnen."},
		Change:      oneMany{"ein Stäubchen löschen (%s)", "%s Stäubchen löschen (%s)"},
		CleanFrom:   "Ohne die Stäubchen ab %s.",
		LargerClean: "Sind die Stäubchen gelöscht, gelingt ab %s Breite alles wie gezeichnet.",
		CleanHere:   "Ohne die Stäubchen gelingt in dieser Größe alles.",
		Watch:       map[raster.Kind]string{raster.Dot: "wohl Staub in der Datei: nachfragen", raster.Island: "wohl ein Nadelloch in der Datei: nachfragen"},
	},

	Corner: cornerWording{
		Effect: "Zwei schwarze Teile treffen sich nur an einer Ecke.",
		Advice: oneMany{"Dort verbinden oder trennen.", "Überall verbinden oder trennen."},
		Change: oneMany{"die Ecke bei %s verbinden oder trennen", "%s Ecken verbinden oder trennen (%s)"},
	},
	Stripe: stripeWording{
		Head:        "Ein weißer Streifen ist %s breit",
		Change:      "einen weißen Streifen weiten (%s)",
		FailEffect:  "Zu schmal, um zu halten: Der Streifen wird mit ausgraviert.",
		Advice:      "Weiß auf %s weiten oder das Ganze %s breit gravieren.",
		AdviceAlone: "Weiß auf %s weiten.",
	},

	PlotTitle: "Das Kleinste jeder Art und was sich gravieren lässt",
	Lost:      "verloren", MayLost: "vielleicht verloren", HoldsZone: "gelingt",
	NoneFound: "keine",
	PlotAlt:   "Das Kleinste jeder Art, verglichen mit dem, was sich gravieren lässt.",
	PlotRow:   "%s: %s; unter %s geht es verloren, %s ist sicher.",

	Remedies: "Was hilft", AnyOne: "Eines davon genügt.", OnlyOne: "Das allein genügt.",
	GreyFirst:   "Lassen Sie zuerst die grauen Teile Ihrer Datei schwarz oder weiß machen: Grau kann so oder so ausfallen.",
	ChangeTitle: "Die Vorlage ändern.", LargerTitle: "Größer gravieren.", FilmTitle: "Eine dünnere Folie nehmen.",
	Change: [4]oneMany{
		{"eine Linie verstärken (%s)", "%s Linien verstärken (%s)"},
		{"einen Punkt vergrößern (%s)", "%s Punkte vergrößern (%s)"},
		{"eine Lücke weiten (%s)", "%s Lücken weiten (%s)"},
		{"einen weißen Fleck vergrößern (%s)", "%s weiße Flecken vergrößern (%s)"}},
	ChangePattern: "ein gröberes Punktmuster nehmen, keinen Punkt unter %s (%s)",
	ToBeSafe:      oneMany{"Noch besser auch %s.", "Noch besser auch %s."},
	LargerText:    "Ab %s Breite gelingt alles wie gezeichnet.",
	LargerAbout:   "Etwa %s breit graviert sollte alles wie gezeichnet gelingen; in dieser Größe haben wir es nicht geprüft.",
	LargerNot:     "Größer zu gravieren hilft kaum: Erst bei etwa %sfacher Breite gelänge alles wie gezeichnet.",
	FilmText:      "Folie schützt Ihr Stück beim Gravieren. Unter unserer dünneren (%s) gelingt in dieser Größe alles.",
	FilmNotEnough: "Eine dünnere Folie zum Schutz Ihres Stücks genügt nicht: Mit unserer dünnsten (%s) ginge bei %s vielleicht trotzdem etwas verloren.",
	And:           " und ", Range: "%s bis %s",

	Closest:        "Am knappsten ist %s mit %s; %s genügen.",
	CouldBe:        "Bis hinunter zu %s Breite ginge nichts verloren.",
	SmallestOfEach: "Das Kleinste jeder Art",
	ClosestKind:    byKind{"eine dünne schwarze Linie", "ein kleiner schwarzer Punkt", "eine enge weiße Lücke", "ein kleiner weißer Fleck"},
	NothingFound:   "Wir haben jede Linie, jede Lücke, jeden Punkt und jeden umschlossenen Fleck der Datei angesehen.",

	Answer:  "Ihre Antwort",
	Approve: "Freigabe ohne Änderung", ApproveChanges: "Freigabe mit Änderungen", NewArtwork: "Neue Vorlage folgt",
	CarveAsShown: "Wie gezeigt gravieren.", CarveUnchanged: "Unverändert gravieren.",
	KnowFail: "Ich weiß, dass bei %s nicht alles wie gezeichnet gelingt.", KnowRisk: "Ich weiß, dass bei %s vielleicht nicht alles wie gezeichnet gelingt.",
	KnowBoth:    "Ich weiß, dass bei %s nicht alles wie gezeichnet gelingt, bei %s vielleicht nicht.",
	ChangesText: "Wie genannt ändern, dann gravieren.", ChangesHolds: "Mit der Änderung gravieren, die ich hier notiere.",
	NewText: "Auf meine neue Datei warten.",
	Name:    "Name", DateLine: "Datum", Signature: "Unterschrift",
	OnPaper:     "Auf Papier: ankreuzen, unterschreiben, zurücksenden. Wir gravieren nach Ihrer Antwort.",
	OnScreen:    "Tippen Sie auf eines der drei: Eine E-Mail an uns öffnet sich, fertig zum Absenden.",
	MailSubject: "Korrekturabzug %s: %s",

	Judged:          "Wie geprüft wurde.",
	JudgedFilm:      "Beim Gravieren schützt eine %s dicke Folie Ihr Stück.",
	JudgedFilmNamed: "Beim Gravieren schützt eine %s dicke Folie (%s) Ihr Stück.",
	JudgedFile:      "Ihre Datei wurde mit %s Punkten je Zoll gemessen.",
	JudgedDefault:   "Die Grenzen sind Anfangswerte aus veröffentlichtem Rat und üblicher Praxis, in unserer Werkstatt noch nicht erprobt.",
	JudgedMeasured:  "Die Grenzen wurden in unserer Werkstatt an dieser Folie gemessen.",
	JudgedOwn:       "Die Grenzen sind unsere eigenen, aus der Arbeit mit dieser Folie.",
	JudgedMixed:     "Einige Grenzen sind unsere eigenen; die übrigen sind Anfangswerte aus veröffentlichtem Rat und üblicher Praxis.",
	ProofNo:         "Korrekturabzug", PageOf: "Seite %s von %s",
	Halftone: "Ein Teil Ihrer Vorlage ist ein Muster aus kleinen Punkten. Die kleinsten Punkte und die engsten Abstände dazwischen sind am feinsten zu gravieren.",
	Notes: map[preflight.NoteCode]string{
		preflight.NoteSizeDoubtful:  "Ihre Datei nennt vielleicht nicht ihre wahre Größe. Bitte prüfen Sie, ob die Größe oben die gewünschte ist.",
		preflight.NoteLowResolution: "Ihre Datei ist grob für diese Folie, deshalb ließen sich die feinsten Breiten nicht scharf messen.",
		preflight.NoteGreyAreas:     "Teile Ihrer Datei sind grau. Nur Schwarz und Weiß lassen sich gravieren; Grau kann so oder so ausfallen.",
		preflight.NoteLossy:         "Ihre Datei wurde mit Verlust gespeichert, das verwischt feine Kanten. Besser wäre die ursprüngliche Zeichnung.",
		preflight.NoteCornersMeet:   "An manchen Stellen treffen sich zwei schwarze Teile nur an einer Ecke. Lassen Sie sie dort verbinden oder trennen: Keine Größe und keine feinere Datei hilft.",
		preflight.NoteNoInk:         "In Ihrer Datei ist nichts schwarz, also würde nichts graviert.",
		preflight.NoteMaybeNegative: "Der größte Teil Ihrer Datei ist schwarz. Bitte prüfen Sie oben, ob Schwarz das ist, was graviert werden soll.",
	},
	NeedDots: "Eine Datei mit %s Punkten je Zoll würde genügen.",

	Bench: germanBench,
	Chart: chartWording{
		Title: "Welche Folie bei welcher Breite",
		Fails: "versagt", Risk: "fraglich", Hold: "hält: nichts versagt, nichts ist fraglich",
		From: "ab %s", Never: "bei keiner Breite",
		ThisJob: "dieser Auftrag: %s breit, %s", ThisSize: "dieser Auftrag: %s breit", Unit: "%s breit",
		Alt: "Welche Folie diese Vorlage bei welcher Breite hält.",
		Row: "%s: versagt unter %s, hält ab %s.", RowNever: "%s: hält bei keiner Breite.",
	},
}
