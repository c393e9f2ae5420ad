package main

import (
	"math"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// rope is a ring of n slanted strands around (cx, cy): r its middle radius,
// thick its thickness, gap the film left between strands, all in millimetres.
func rope(cx, cy, r, thick, gap float64, n int) pen.Path {
	pitch := 360 / float64(n)
	// The strand leans by this share of its own length along the ring.
	const lean = 1.15
	at := func(i int, along, across float64) raster.Point {
		deg := (float64(i) + along + lean*math.Sin(math.Pi/2*across)/2) * pitch
		return polar(cx, cy, r+across*thick/2, deg)
	}
	// Seen along the ring the gap is wider than across the leaning strand.
	arc := 2 * math.Pi * r / float64(n)
	half := gap / 2 / arc * math.Sqrt(1+math.Pow(lean*arc/thick, 2))
	var out pen.Path
	for i := range n {
		var ring []raster.Point
		const steps = 24
		// Ends bulge: the strand's outer edge is an arch from its left side to its right.
		end := func(s, side float64) float64 { return side * (0.86 + 0.14*math.Sin(math.Pi*s)) }
		for k := 0; k <= steps; k++ { // up the left side
			ring = append(ring, at(i, half, end(0, 1)*(2*float64(k)/steps-1)))
		}
		for k := 1; k < steps; k++ { // over the outer end
			s := float64(k) / steps
			ring = append(ring, at(i, half+s*(1-2*half), end(s, 1)))
		}
		for k := 0; k <= steps; k++ { // down the right side
			ring = append(ring, at(i, 1-half, end(0, 1)*(1-2*float64(k)/steps)))
		}
		for k := 1; k < steps; k++ { // back along the inner end
			s := 1 - float64(k)/steps
			ring = append(ring, at(i, half+s*(1-2*half), end(s, -1)))
		}
		out = append(out, ring)
	}
	return out
}
