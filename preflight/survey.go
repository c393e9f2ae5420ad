package preflight

import (
	"stencilproof/raster"
	"stencilproof/raster/artwork"
)

// Order is what the person says about an artwork.
type Order struct {
	File     string // as named by the person; "-" is standard input
	SHA256   string // of the file's bytes, in hexadecimal
	Size     Size
	Negative bool // clear areas carve
	// OpeningsUM asks for every line and dot narrower than this, in micrometres,
	// whether it holds or not; grit and depth need them. 0 asks for none.
	OpeningsUM float64
	// Progress is told how far the measuring is, 0 to 1 of the stage named. It is
	// called from several goroutines and must return at once. nil: nobody asks.
	Progress func(stage string, share float64)
}

// telling is Progress for one stage.
func (o *Order) telling(stage string) func(share float64) {
	if o.Progress == nil {
		return nil
	}
	o.Progress(stage, 0)
	return func(share float64) { o.Progress(stage, share) }
}

// Survey is an artwork measured once, to be judged on any film it covers.
// Nothing in it changes after Take.
type Survey struct {
	Artwork  Artwork
	Measured *raster.Result // pixels of the artwork
	// Reach holds the safe limits, by Kind and in pixels, under which every
	// feature is in Measured. Limits beyond them need another survey.
	Reach    [4]float64
	Openings []Opening      // lines and dots narrower than the order asked for, narrowest first
	Dust     []raster.Speck // the specks that stand alone
	FineDots []raster.Speck // the specks that are dots of a halftone
	Crumbs   []raster.Speck // those that broke off the end of a tip
	Field    Field
	Tones    []Tone
	Screens  []Screen // halftones, the largest first
	Levels   Levels
	Colours  []artwork.Colour // the main colours that are neither grey, black nor white
	Lossy    bool
	soft     float64 // px over which soft edges are grey; 0 for sharp ones
	doubt    float64 // px, by which lossy or linear edges widen every plus and minus
	Pages    int     // in the file
	Page     int     // the one surveyed, from 1
}

// Levels are the grey levels taken for clear and for solid, coverages of 0 to
// 255. Stretched says that they were not 0 and 255.
type Levels struct {
	Paper, Ink uint8
	Stretched  bool
}

// Covers reports whether every feature that a film could lose was measured.
func (s *Survey) Covers(f *Film) bool {
	for i, l := range f.Limits {
		// A billionth for the way from micrometres to pixels and back.
		if l.SafeUM/s.Artwork.UMPerPx() > s.Reach[i]*(1+1e-9) {
			return false
		}
	}
	return true
}

// AtWidth returns the survey for another engraved width in millimetres, sharing
// the measurements. Enlarging keeps every film covered; reducing may not.
func (s *Survey) AtWidth(mm float64) *Survey {
	c := *s
	a := &c.Artwork
	a.PxPerInch = float64(a.WidthPx) * 25.4 / mm
	a.SizeFrom = "width"
	a.WidthMM, a.HeightMM = mmOf(a.WidthPx, a.PxPerInch), mmOf(a.HeightPx, a.PxPerInch)
	return &c
}

// mmOf is the length of n pixels, to the nanometre so that 600 px at 300 ppi
// are 50.8 mm.
func mmOf(n int, ppi float64) float64 { return roundMicro(float64(n) * 25.4 / ppi) }

// place turns a point in pixels into millimetres.
func (s *Survey) place(p raster.Point) PointMM {
	mm := s.Artwork.UMPerPx() / 1000
	return PointMM{p.X * mm, p.Y * mm}
}

// middle is the place of a box's middle.
func (s *Survey) middle(b raster.Box) PointMM {
	return s.place(raster.Point{X: (b.X0 + b.X1) / 2, Y: (b.Y0 + b.Y1) / 2})
}

// box turns a box in pixels into millimetres.
func (s *Survey) box(b raster.Box) BoxMM {
	mm := s.Artwork.UMPerPx() / 1000
	return BoxMM{b.X0 * mm, b.Y0 * mm, b.X1 * mm, b.Y1 * mm}
}

func square(v float64) float64 { return v * v }
