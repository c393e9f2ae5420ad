package preflight

import (
	"slices"

	"stencilproof/raster"
)

// Verdict of a feature, and of an artwork: its worst feature's.
type Verdict int

// From best to worst, so that the larger one wins.
const (
	Holds Verdict = iota
	AtRisk
	Fails
)

func (v Verdict) String() string { return [...]string{"holds", "at-risk", "fails"}[v] }

// Artwork says what was read and at what size it was judged.
type Artwork struct {
	File      string
	SHA256    string
	Format    string // "png", "tiff", ...
	WidthPx   int
	HeightPx  int
	PxPerInch float64
	SizeFrom  string // metadata, width, height, dpi
	WidthMM   float64
	HeightMM  float64
	Negative  bool
	Bilevel   bool
	Remarks   []string // whole sentences on what the reader had to assume
}

// UMPerPx returns the engraved size of one pixel in micrometres.
func (a *Artwork) UMPerPx() float64 { return 25400 / a.PxPerInch }

// Polarity is "negative" when clear areas carve, else "positive".
func (a *Artwork) Polarity() string {
	if a.Negative {
		return "negative"
	}
	return "positive"
}

// PointMM is a place in millimetres from the artwork's top left corner.
type PointMM struct{ X, Y float64 }

// BoxMM is a rectangle in millimetres.
type BoxMM struct{ X0, Y0, X1, Y1 float64 }

// Mark is a feature, or many alike and close together, that does not hold.
type Mark struct {
	ID          int // 1, 2, ... in the order of the report, worst first
	Kind        raster.Kind
	Verdict     Verdict
	Count       int  // features in this mark
	Corner      bool // two parts meet by a corner, see raster.Feature: no size and no finer file makes it wider
	Specks      bool // specks that stand alone, probably dust: the note specks counts them
	WidthUM     float64
	PlusMinusUM float64
	FailUM      float64
	SafeUM      float64
	LengthMM    float64
	AreaMM2     float64
	At          PointMM // where it is narrowest
	AcrossDeg   float64 // direction of the narrowest cross-section, 0 along x turning towards y, below 180; NaN when there is none
	Box         BoxMM
	Path        []PointMM // centre line of a single line or strip; nil otherwise
	Closed      bool      // the centre line is a ring
	Boxes       []BoxMM   // the boxes of its features when Count > 1; nil otherwise
	Ats         []PointMM // where each of them is narrowest, in the order of Boxes
}

// Blank reports whether nothing would be carved at all.
func (r *Report) Blank() bool {
	return len(r.Marks) == 0 && slices.ContainsFunc(r.Notes, func(n Note) bool { return n.Code == NoteNoInk })
}

// GreyParts reports whether notes tell of grey that is no halftone: no film and no size helps
// with that.
func GreyParts(notes []Note) bool {
	return slices.ContainsFunc(notes, func(n Note) bool { return n.Code == NoteGreyAreas && n.Values["ruling_lpi"] == 0 })
}

// Finest is the narrowest width of a kind, whether it holds or not.
type Finest struct {
	Found       bool
	WidthUM     float64
	PlusMinusUM float64
	At          PointMM
}

// Count counts features, not marks.
type Count struct{ Fails, AtRisk int }

// NoteCode names a note; the codes are part of the report's contract.
type NoteCode string

// The codes of schema 1.
const (
	NotePoints        NoteCode = "points"
	NoteSizeDoubtful  NoteCode = "size-doubtful"
	NoteLowResolution NoteCode = "low-resolution"
	NoteGreyAreas     NoteCode = "grey-areas"
	NoteNotSolid      NoteCode = "not-solid"
	NoteSpecks        NoteCode = "specks"
	NoteEdgeTouch     NoteCode = "edge-touch"
	NoteMaybeNegative NoteCode = "maybe-negative"
	NoteLossy         NoteCode = "lossy"
	NoteMorePages     NoteCode = "more-pages"
	NoteGrit          NoteCode = "grit"
	NoteDepth         NoteCode = "depth"
	NoteCornersMeet   NoteCode = "corners-meet" // added to the design's list: no size and no finer file helps there
	NoteNoInk         NoteCode = "no-ink"       // added to the design's list: an empty artwork holds nothing to judge
)

// Note is a remark on the artwork as data; package report puts it into words.
type Note struct {
	Code   NoteCode
	Count  int                // how many places, where that means something
	Values map[string]float64 // numbers the words need, keys with their unit: "needed_ppi", "lost_mm"
	Words  map[string]string  // names the words need, such as a grit's
	Places []PointMM          // at most a dozen
	Boxes  []BoxMM
}

// Report is everything that was found about one artwork on one film. Text,
// JSON, and proof all come from this one value.
type Report struct {
	Artwork Artwork
	Film    Film
	Verdict Verdict
	Finest  [4]Finest // by raster.Kind
	Counts  [4]Count  // by raster.Kind
	Marks   []Mark
	Notes   []Note
	// SufficesFromWidthMM is the engraved width at which the narrowest found of each
	// kind just reaches its safe limit; 0 when there is nothing to judge. It was not
	// judged there: a disc of another size may find other places.
	SufficesFromWidthMM float64
	// HoldsFromWidthMM is an engraved width close to it at which nothing was judged to
	// fail or be at risk, and CleanFromWidthMM one at which nothing but dust was; 0 where
	// none was found, or looked for (see Confirm).
	HoldsFromWidthMM, CleanFromWidthMM float64
	// HoldsUntried says that HoldsFromWidthMM is 0 for the pixels that judging such a
	// width would have taken.
	HoldsUntried bool
	TapeMarginMM float64 // clear film wanted around the ink
}
