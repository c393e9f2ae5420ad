package raster

// Kind tells what a feature is to the stencil.
type Kind int

// The four kinds, in the order in which they are listed everywhere.
const (
	Line   Kind = iota // ink, long: a narrow opening
	Dot                // ink, a small separate piece
	Strip              // film between two places of ink
	Island             // film enclosed by ink
)

// Kinds lists the four kinds in their order.
var Kinds = [4]Kind{Line, Dot, Strip, Island}

func (k Kind) String() string { return [...]string{"line", "dot", "strip", "island"}[k] }

// Feature is one measured place: a thin part of ink or film, a dot, or an
// island. All lengths are in pixels of the artwork.
type Feature struct {
	Kind      Kind
	Width     float64 // the narrowest sustained width; for dots and islands the larger of 4A/P and the largest disc
	PlusMinus float64 // the true width lies within Width +- PlusMinus (95 %)
	At        Point   // where it is narrowest
	Across    Point   // unit vector along that narrowest cross-section; zero for dots and islands without one
	Length    float64 // along the centre line; the longest extent for dots and islands
	Area      float64 // square pixels: of the thin part, or of the whole piece
	Box       Box     // around the thin part, or the whole piece
	Path      []Point // the centre line; nil for dots and islands
	Closed    bool    // the centre line is a ring
	Corner    bool    // two parts meet here by the corner of two pixels: Width is the pixels', whatever their size

	course Point // amid what thinning left of it; zero for what is no course
}

// Tip is a point of ink or film that tapers to nothing: it rounds off and is
// told, but never judged.
type Tip struct {
	Film bool
	At   Point   // its end
	Lost float64 // length that a disc of the safe limit does not reach, in pixels
}

// Speck is a piece too small to be drawn on purpose.
type Speck struct {
	Film bool
	Area float64
	Box  Box
}

// Request says how large the discs of the proposals are: the safe limit of
// each kind, in pixels, by Kind.
type Request struct {
	Safe [4]float64
	// Bare leaves Finest out of the kinds of which nothing is under its limit.
	Bare bool
	// Enough stops at the first feature under its limit: whether there is any is
	// all that is asked. It implies Bare.
	Enough bool
	// Known is what earlier measurings of the same ink found out; nil for none.
	Known *Known
	// Progress is told now and then how much is done, 0 to 1, never less than
	// before by much. It is called from several goroutines at once and must
	// return at once. nil: nobody asks.
	Progress func(share float64)
	// Sides is told of the pieces of the ink, and then of those of the film, with
	// specks and all, when they are those of the artwork's own pixels (OwnPieces):
	// whoever wants them need not label the page again. They lie dx, dy pixels right
	// of and below their place, for the page has a margin of film. p must not be kept, and is
	// nil for film that has taken specks of ink up. nil: nobody asks.
	Sides func(film bool, p *Pieces, dx, dy int)
}

// Finest is the narrowest width of a kind over the whole artwork.
type Finest struct {
	Found     bool
	Width     float64
	PlusMinus float64
	At        Point
}

// Result is what Measure found, before anything is judged.
type Result struct {
	Features []Feature // with Width under the safe limit of their kind, in reading order
	Finest   [4]Finest // by Kind, whether it holds or not
	Tips     []Tip
	Specks   []Speck
}
