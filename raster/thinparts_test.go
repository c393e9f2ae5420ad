package raster

import "math"

// square returns an empty picture of about side pixels and its middle, moved off
// the pixel grid by phase.
func square(side, phase float64) (*drawing, Point) {
	n := int(math.Ceil(side))
	return &drawing{w: n, h: n}, Point{float64(n)/2 + phase, float64(n)/2 + phase/2}
}

// both runs fn on the drawing with grey edges and on the same cut at half.
func (d *drawing) both(fn func(k *Ink, bilevel bool)) {
	k := d.ink(rendering{})
	fn(k, false)
	fn(NewBilevelInk(k.Bits.Clone()), true)
}

// wedge draws a wedge of a full angle that hangs on a block a limit and a third
// deep, and points along deg.
func wedge(d, angle, deg float64) *drawing {
	long, h := 1.3*d/math.Tan(angle/2*math.Pi/180), 1.3*d
	pic, c := square(2.6*long+6*d, 0.3)
	a := deg * math.Pi / 180
	var p []Point
	for _, q := range [][2]float64{{0, -h}, {long, 0}, {0, h}, {-h, h}, {-h, -h}} {
		p = append(p, polar(polar(c, q[0], a), q[1], a+math.Pi/2))
	}
	pic.add(p)
	return pic
}
