package preflight

import (
	"fmt"

	"stencilproof/raster"
)

// What a width is uncertain by beyond what its own pixels tell, in pixels.
//
// JPEG leaves ripples beside an edge and takes as much from it: in a trial on 60
// bars saved at quality 75 widths read 0.10 px narrow, 0.21 at worst;
// TestLossyWidthsLieWithin sees 0.09 at worst. So do ripples of enlarging, and noise: one of
// 4 of 255 takes 0.05 px, 0.17 at worst, of 8 twice that. Edges blended in linear light hold
// less coverage than the shape has, half a pixel of width in all.
const (
	lossyDoubt  = 0.22
	linearDoubt = 0.5
	noiseDoubt  = 0.03 // for each of 255
	softDoubt   = 0.1  // for each pixel over which edges are softer than sharp ones
	levelDoubt  = 0.15 // where no bold ink tells the ink's level
)

// Edges of at least edgesLength pixels tell how soft they are, and how grainy. Drawings have
// a softness of 0.8 to 1.2 and a grain of 0.1 at most; a blur of 0.7 px and a picture
// enlarged twofold have 2 and more, JPEG, noise and ripples a grain of 1.2 and more.
const (
	edgesLength = 200
	sharpEdges  = 0.8
	softEdges   = 1.8
	grainyEdges = 1.0
	softLoses   = 3.0 // px, lines and gaps lost in blurs of up to 1.5 px now and then
)

// quality is what the edges of an artwork tell.
type quality struct {
	lossy, linear bool
	levels        raster.Levels
	edges         raster.Edges
}

func (q *quality) soft() bool   { return q.edges.Length >= edgesLength && q.edges.Soft > softEdges }
func (q *quality) grainy() bool { return q.edges.Length >= edgesLength && q.edges.Grain > grainyEdges }

// doubt is by how much the edges widen plus and minus.
func (q *quality) doubt() float64 {
	d := noiseDoubt * q.levels.Noise
	if q.lossy || q.grainy() {
		d = max(d, lossyDoubt)
	}
	if q.linear {
		d += linearDoubt
	}
	if q.soft() {
		d += softDoubt * (q.edges.Soft - sharpEdges)
	}
	if q.levels.Unsure {
		d += levelDoubt
	}
	return d
}

// remarks are what is told of the edges; um is the size of a pixel in micrometres.
func (q *quality) remarks(um float64) (told []string) {
	if q.linear {
		told = append(told, linearRemark)
	}
	if q.soft() {
		told = append(told, fmt.Sprintf("The edges are soft, as of a scan or an enlarged picture: lines and gaps under some %.2f mm, and dots and islands under twice that, may be lost in them without being told. A sharper file shows them.", softLoses*um/1000))
	}
	if q.grainy() && !q.lossy {
		told = append(told, fmt.Sprintf("There are grain or ripples beside the edges, as of noise, enlarging, or a JPEG saved anew: widths are sure to %.1f pixels less.", lossyDoubt))
	}
	if q.levels.Unsure {
		told = append(told, "Neither bold ink nor bare paper is large enough to tell how dark they are: the darkest, or the lightest, of the lines is taken for it.")
	}
	return told
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
