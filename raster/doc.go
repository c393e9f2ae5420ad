// Package raster measures ink on a pixel grid: how wide its lines, gaps, dots
// and enclosed holes are, and where they are narrowest. It knows pixels only;
// films, millimetres and words begin in package preflight.
//
// # Contract
//
// Axes: x runs right, y runs down. Pixel (0, 0) is the top left one and covers
// the square [0,1) x [0,1), so its centre is the point (0.5, 0.5). Places and
// widths are in pixels of the artwork as it was read, whatever finer grid the
// work was done on.
//
// Ink: each pixel has a coverage from 0 (clear) to 1 (solid ink). It is linear
// in the encoded value, as rasterisers blend it. The ink's edge runs where
// coverage crosses 1/2, between pixels; on the pixel grid a pixel is ink when
// its coverage is at least 1/2. Film is what is not ink.
//
// Outside the image is film: ink ends at the border, and a gap between ink and
// the border is no gap, for the film goes on.
//
// Connectivity: ink 8 (corner neighbours touch), film 4.
//
// Width at a place of a centre line: the integral of coverage along the normal
// there, from the middle of one side's surroundings to the other's. The width
// of a dot or an island is the larger of 4A/P and the largest disc that fits.
package raster
