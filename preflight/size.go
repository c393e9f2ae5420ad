package preflight

import (
	"fmt"
	"math"
)

// Size is the engraved size that was asked for. At most one field is set; with
// none the file's own metadata decide.
type Size struct {
	WidthUM, HeightUM float64
	PxPerInch         float64
}

// The pixels an inch that are taken at all. 20 ppi is coarser than any film,
// 20000 finer than any plotter: outside lies a wrong unit.
const (
	leastPPI = 1
	mostPPI  = 100000
)

// settle returns the pixels an inch at which a picture of w x h pixels is
// judged, and where they come from: "width", "height", "dpi" or "metadata".
// metaPPI is the file's own, 0 when it has none.
func (s Size) settle(w, h int, metaPPI float64) (ppi float64, from string, err error) {
	switch {
	case s.WidthUM > 0:
		ppi, from = float64(w)*25400/s.WidthUM, "width"
	case s.HeightUM > 0:
		ppi, from = float64(h)*25400/s.HeightUM, "height"
	case s.PxPerInch > 0:
		ppi, from = s.PxPerInch, "dpi"
	case metaPPI > 0:
		ppi, from = metaPPI, "metadata"
	default:
		return 0, "", &Problem{"the engraved size is not known: the file carries no resolution",
			"give one of --width 80mm, --height 3in or --dpi 600"}
	}
	if !(ppi >= leastPPI && ppi <= mostPPI) {
		return 0, "", &Problem{fmt.Sprintf("%d x %d pixels at %.4g pixels an inch (from %s) is no size to engrave at", w, h, ppi, from),
			"check the number and its unit: --width 80mm, --height 3in or --dpi 600"}
	}
	return ppi, from, nil
}

// Engraved sizes outside these are doubted: a longer side that no ware has.
// Common practice, no published source: a badge is 5 mm, a door panel 2.5 m.
const (
	smallestWareMM = 5
	largestWareMM  = 2500
)

// sizeDoubts returns the note size-doubtful when the size looks like nobody's
// choice: 72 or 96 pixels an inch from metadata are what programs write when
// nobody chose, and some sizes no ware has.
func sizeDoubts(a *Artwork) []Note {
	longer := math.Max(a.WidthMM, a.HeightMM)
	why := ""
	switch {
	case a.SizeFrom == "metadata" && (near(a.PxPerInch, 72) || near(a.PxPerInch, 96)):
		why = "unset"
	case longer < smallestWareMM:
		why = "small"
	case longer > largestWareMM:
		why = "large"
	default:
		return nil
	}
	return []Note{{Code: NoteSizeDoubtful, Words: map[string]string{"why": why},
		Values: map[string]float64{"px_per_inch": a.PxPerInch, "width_mm": a.WidthMM, "height_mm": a.HeightMM,
			"smallest_mm": smallestWareMM, "largest_mm": largestWareMM}}}
}

// near allows for pixels a metre in whole numbers: 72 ppi is written as 2835 a
// metre and reads back as 72.009.
func near(ppi, want float64) bool { return math.Abs(ppi-want) < 0.05 }
