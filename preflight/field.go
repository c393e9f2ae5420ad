package preflight

import (
	"math/bits"

	"stencilproof/raster"
)

// Field is how the ink lies on the whole plane, in pixels.
type Field struct {
	InkShare   float64    // ink area over plane area
	FrameShare float64    // share of the outermost pixels that are ink
	Ink        raster.Box // around all ink; zero without ink
	// Nearest is the ink nearest to each border, in the order left, top, right,
	// bottom: the middle of the pixels that are.
	Nearest [4]raster.Point
}

// surveyField reads a plane once, a word at a time.
func surveyField(b *raster.Bits) Field {
	var f Field
	if b.W == 0 || b.H == 0 {
		return f
	}
	ink := 0
	x0, y0, x1, y1 := b.W, -1, 0, 0
	columns := make([]uint64, b.Stride) // which columns hold ink
	for y := range b.H {
		any := uint64(0)
		for i, w := range b.Row(y) {
			if w != 0 {
				ink += bits.OnesCount64(w)
				columns[i] |= w
				any |= w
			}
		}
		if any != 0 {
			if y0 < 0 {
				y0 = y
			}
			y1 = y + 1
		}
	}
	f.InkShare = float64(ink) / (float64(b.W) * float64(b.H))
	f.FrameShare = frameShare(b)
	if ink == 0 {
		return f
	}
	for i, w := range columns {
		if w != 0 {
			x0 = min(x0, i*64+bits.TrailingZeros64(w))
			x1 = i*64 + 64 - bits.LeadingZeros64(w)
		}
	}
	f.Ink = raster.Box{X0: float64(x0), Y0: float64(y0), X1: float64(x1), Y1: float64(y1)}
	column := func(x int) raster.Point {
		lo, hi := -1, 0
		for y := range b.H {
			if b.Get(x, y) {
				if lo < 0 {
					lo = y
				}
				hi = y
			}
		}
		return raster.Point{X: float64(x) + 0.5, Y: float64(lo+hi+1) / 2}
	}
	row := func(y int) raster.Point {
		lo, hi := -1, 0
		for i, w := range b.Row(y) {
			if w != 0 {
				if lo < 0 {
					lo = i*64 + bits.TrailingZeros64(w)
				}
				hi = i*64 + 63 - bits.LeadingZeros64(w)
			}
		}
		return raster.Point{X: float64(lo+hi+1) / 2, Y: float64(y) + 0.5}
	}
	f.Nearest = [4]raster.Point{column(x0), row(y0), column(x1 - 1), row(y1 - 1)}
	return f
}

// frameShare is the share of a plane's outermost pixels that are set.
func frameShare(b *raster.Bits) float64 {
	n, set := 0, 0
	count := func(x, y int) {
		n++
		if b.Get(x, y) {
			set++
		}
	}
	for x := range b.W {
		count(x, 0)
		if b.H > 1 {
			count(x, b.H-1)
		}
	}
	for y := 1; y < b.H-1; y++ {
		count(0, y)
		if b.W > 1 {
			count(b.W-1, y)
		}
	}
	return float64(set) / float64(n)
}

// DefaultTapeMarginMM is the clear film that taping down a stencil needs around
// the ink. Common practice, no published source.
const DefaultTapeMarginMM = 6

// edgeTouches returns the note edge-touch when ink comes nearer to the border
// than the tape margin, with the place on each side where it does.
func edgeTouches(s *Survey, marginMM float64) []Note {
	f := &s.Field
	if f.InkShare == 0 {
		return nil
	}
	mm := s.Artwork.UMPerPx() / 1000
	w, h := float64(s.Artwork.WidthPx), float64(s.Artwork.HeightPx)
	n := Note{Code: NoteEdgeTouch, Values: map[string]float64{"margin_mm": marginMM}}
	for i, gap := range [4]float64{f.Ink.X0, f.Ink.Y0, w - f.Ink.X1, h - f.Ink.Y1} {
		if gap*mm < marginMM {
			n.Count++
			n.Values[[4]string{"left_mm", "top_mm", "right_mm", "bottom_mm"}[i]] = gap * mm
			n.Places = append(n.Places, s.place(f.Nearest[i]))
		}
	}
	if n.Count == 0 {
		return nil
	}
	return []Note{n}
}

// Shares of ink from which the field looks turned round: more ink than film, or
// three of the four sides solid. Chosen here; no published source.
const (
	mostlyInk  = 0.5
	inkedFrame = 0.75
)

// maybeNegative returns the note maybe-negative when most of the field is ink
// or the artwork's frame is.
func maybeNegative(s *Survey) []Note {
	f := &s.Field
	if f.InkShare <= mostlyInk && f.FrameShare < inkedFrame {
		return nil
	}
	return []Note{{Code: NoteMaybeNegative,
		Values: map[string]float64{"ink_pct": 100 * f.InkShare, "frame_pct": 100 * f.FrameShare},
		Words:  map[string]string{"taken_as": s.Artwork.Polarity()}}}
}
