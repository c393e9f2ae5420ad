package preflight

import "stencilproof/raster"

// Basis says what a number rests on.
type Basis int

// From weakest to strongest.
const (
	Memory    Basis = iota // common practice, from memory, no published source
	Derived                // worked out from another number by a stated formula
	Published              // seen in a published source
	ShopRule               // set by the shop's owner
	Measured               // measured in this shop with the gauge
)

// Limit is the pair of widths that decides: width < FailUM fails, FailUM <=
// width < SafeUM is at risk, SafeUM <= width holds. Micrometres.
type Limit struct {
	FailUM, SafeUM       float64
	FailBasis, SafeBasis Basis
	FailWhy, SafeWhy     string // the source in words, e.g. "1.0 t; trade article"
}

// Film is a film with its limits, one pair for each raster.Kind.
type Film struct {
	Name        string
	ThicknessUM float64
	Measured    bool // its limits were measured in this shop
	Limits      [4]Limit
	Remark      string
}

// Limit returns the film's pair for a kind.
func (f *Film) Limit(k raster.Kind) Limit { return f.Limits[k] }
