package preflight

import "stencilproof/raster"

// What a width is uncertain by beyond what its own pixels tell, in pixels.
//
// JPEG leaves ripples beside an edge and takes as much from it: in a trial on 60
// bars saved at quality 75 widths read 0.10 px narrow, 0.21 at worst;
// TestLossyWidthsLieWithin sees 0.09 at worst. Edges blended in linear light hold
// less coverage than the shape has, half a pixel of width in all.
const (
	lossyDoubt  = 0.22
	linearDoubt = 0.5
)

// edgeDoubt returns by how much the edges of an artwork widen plus and minus.
func edgeDoubt(lossy, linear bool) float64 {
	d := 0.0
	if lossy {
		d += lossyDoubt
	}
	if linear {
		d += linearDoubt
	}
	return d
}

// widenBy widens the plus and minus of everything measured by px pixels.
func widenBy(r *raster.Result, px float64) {
	for i := range r.Features {
		r.Features[i].PlusMinus += px
	}
	for k := range r.Finest {
		if r.Finest[k].Found {
			r.Finest[k].PlusMinus += px
		}
	}
}
