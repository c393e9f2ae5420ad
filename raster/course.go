package raster

// Course is a rough centre line of a thin part: points one or two pixels apart,
// each within about 1.5 px of the true centre line. It may be as short as the
// waist between two corners.
type Course struct {
	Path   []Point
	Closed bool // the line is a ring; its last point is next to its first
	// Tight says that the path is the straight way between two places where a
	// disc of the limit fits: it tells its own direction, however short.
	Tight bool
	// TipStart and TipEnd say that the shape itself ends there; otherwise it
	// runs on into something thicker, a junction, or the rest of the same line.
	TipStart, TipEnd bool
}

// Section is one cross-section of a thin part.
type Section struct {
	S      float64 // arc length from the course's start
	At     Point   // on the refined centre line
	Across Point   // unit normal
	Width  float64 // the integral of coverage along the normal
}

// Profile is a course measured: its sections, and its narrowest sustained width.
type Profile struct {
	Sections  []Section // ends dropped as the method needs; empty when nothing could be measured
	Width     float64
	PlusMinus float64
	At        Point
	Across    Point
	Length    float64 // of the whole course
	wall      bool    // Width is that of a neck at a wall
}

// Blob is a whole piece measured from its sub-pixel contour.
type Blob struct {
	Area, Perimeter float64
	Hydraulic       float64 // 4A/P
	Disc            float64 // diameter of the largest disc that fits
	Width           float64 // the larger of the two
	PlusMinus       float64
	Centre          Point // of the largest disc
	Extent          float64
}
