package raster

import (
	"math"
	"slices"
)

// cornerRule is how a contour's corners are found and repaired.
//
// A pixel's box, and the straight segments between crossings, round every
// corner off. That costs a right angle a constant length of contour, whatever
// the size, so 4A/P would read 0.37 px high on every square. A corner is a
// place where most of a wide turn happens within a short stretch: on a disc the
// short stretch takes a share of 0.4. The length that a corner of turn t
// rounded with radius rho has lost is 2 rho (tan(t/2) - t/2).
type cornerRule struct {
	smooth       float64 // sigma before anything else, pixels
	inner, outer float64 // half lengths of the two stretches
	share        float64 // least share of the turn in the inner one
	faint        float64 // the same where the inner one turns by wideTurn or less
	rho          float64
	dir          float64 // half length over which a direction is taken
}

var (
	greyCorner    = cornerRule{smooth: 0, inner: 1, outer: 2.5, share: 0.65, faint: 0.74, rho: 0.80, dir: cornerDir}
	bilevelCorner = cornerRule{smooth: 1, inner: 2, outer: 4, share: 0.8, faint: 0.8, rho: 1.55, dir: cornerDir}
)

const (
	cornerStep = 0.25 // resampling of the contour, pixels
	cornerTurn = 40 * math.Pi / 180
	// wideTurn is more than the contour of a disc of 3 px turns by within a pixel
	// of any place. Discs to 16 px have shares up to 0.73 here and there.
	wideTurn = 60 * math.Pi / 180
	// endTurn is the turn from which on it is no corner but the end of something narrow,
	// whose sides run near parallel.
	endTurn = 155 * math.Pi / 180
	// acuteTurn is the turn from which on a corner that is rounded by half a pixel looks like
	// a sharp one and has lost so much less, that half of what is repaired is doubt; of the
	// end of something narrow, which may be a point, endDoubt pixels are. (With these 92 in
	// 100 of the leaves and triangles of TestPointedPiecesLieWithin lie within, 29 without.)
	acuteTurn = 100 * math.Pi / 180
	endDoubt  = 2.0
	cornerDir = 0.6 // half length over which a direction is taken, pixels
)

// A blurred edge rounds corners off farther, in proportion: the rule is stretched by sharpSlope
// over the rise of coverage over a pixel across the edge, at the middle one of its places,
// where that is softFrom or more; 1.2 is what sharp edges have. (Squares, triangles and
// rectangles of 12 to 24 px blurred by 1 px read 0.0 to 0.1 px wide with it, up to 1.3
// without.)
const (
	sharpSlope = 0.8
	softFrom   = 1.4
	softMost   = 4.0
	softWidth  = 3.0 // px, 4A/P under which coverage is nowhere steep
	// Where a blurred corner takes more than blurShare of an eighth of the contour, it cannot
	// be told from a disc's bend: blurLost radii of the rounding are doubt. (Four right angles
	// lose 1.7 of them, three of 60 degrees 4.1.)
	blurShare = 0.8
	blurLost  = 2.2
	blurFrom  = 1.7 // sharp discs of 2.5 to 6 px have 1.5 here and there
)

// softness is by how much the rule is stretched for the edges of a piece in grey; 1 for sharp
// ones.
func (p *piece) softness(loops []loop) float64 {
	var slopes []float64
	at := func(q, n Point, t float64) float64 {
		return p.f.at(q.X+n.X*t+float64(p.x0), q.Y+n.Y*t+float64(p.y0))
	}
	for _, l := range loops {
		pts, _ := resampled(nil, l, true, 1)
		for i, q := range pts {
			a, b := pts[(i+len(pts)-1)%len(pts)], pts[(i+1)%len(pts)]
			n := normal(unit(Point{b.X - a.X, b.Y - a.Y}))
			slopes = append(slopes, math.Abs(at(q, n, 0.5)-at(q, n, -0.5)))
		}
	}
	if len(slopes) == 0 {
		return 1
	}
	slices.Sort(slopes)
	soft := sharpSlope / max(slopes[len(slopes)/2], 0.05)
	if soft < softFrom {
		return 1
	}
	return min(soft, softMost)
}

// softer is the rule stretched so many times.
func (r cornerRule) softer(times float64) cornerRule {
	r.inner, r.outer, r.rho, r.dir = r.inner*times, r.outer*times, r.rho*times, r.dir*times
	return r
}

// perimeter returns the loop's length with its corners repaired, and by how much it may be
// off for its acute ones. soft is the piece's softness.
func (l loop) perimeter(bilevel bool, soft float64) (length, doubt float64) {
	rule := greyCorner.softer(soft)
	if bilevel {
		rule = bilevelCorner
	}
	pts, step := resampled(nil, l, true, cornerStep)
	if step == 0 {
		return 0, 0
	}
	if rule.smooth > 0 {
		pts = loopSmoothed(pts, rule.smooth/step)
	}
	for i := range pts {
		length += dist(pts[i], pts[(i+1)%len(pts)])
	}
	lost, doubt := rule.repair(pts, step, length)
	if soft > blurFrom && lost == 0 && rule.outer > blurShare*length/8 {
		doubt += blurLost * rule.rho
	}
	return length + lost, doubt
}

// loopSmoothed returns the Gaussian mean along a closed line, sigma in points.
func loopSmoothed(pts []Point, sigma float64) []Point {
	n := len(pts)
	reach := min(int(3*sigma+1), (n-1)/2)
	kernel := make([]float64, reach+1)
	sum := 0.0
	for i := range kernel {
		kernel[i] = math.Exp(-float64(i*i) / (2 * sigma * sigma))
		sum += kernel[i]
		if i > 0 {
			sum += kernel[i]
		}
	}
	out := make([]Point, n)
	for i := range out {
		var x, y float64
		for k := -reach; k <= reach; k++ {
			j := i + k
			if j < 0 {
				j += n
			} else if j >= n {
				j -= n
			}
			w := kernel[max(k, -k)]
			x += w * pts[j].X
			y += w * pts[j].Y
		}
		out[i] = Point{x / sum, y / sum}
	}
	return out
}

// repair returns the length that the corners of an evenly spaced loop have lost, and how
// much of it is doubt.
func (r cornerRule) repair(pts []Point, step, length float64) (lost, doubt float64) {
	n := len(pts)
	outer := min(r.outer, length/8)
	inner := r.inner * outer / r.outer
	no, ni := max(1, int(math.Round(outer/step))), max(1, int(math.Round(inner/step)))
	nd := max(1, min(n/4, int(math.Round(r.dir/step))))
	if n < 8 {
		return 0, 0
	}
	heading := make([]float64, n)
	for i := range heading {
		a, b := pts[(i-nd+n)%n], pts[(i+nd)%n]
		heading[i] = math.Atan2(b.Y-a.Y, b.X-a.X)
	}
	turn := func(i, half int) float64 {
		t := heading[(i+half)%n] - heading[((i-half)%n+n)%n]
		return math.Remainder(t, 2*math.Pi)
	}
	sharp := make([]float64, n) // inner turn at the places that qualify
	for i := range sharp {
		o := turn(i, no)
		if math.Abs(o) <= cornerTurn {
			continue
		}
		q := turn(i, ni)
		if q/o > r.faint || q/o > r.share && math.Abs(q) > wideTurn {
			sharp[i] = math.Abs(q)
		}
	}
	for i := 0; i < n; i++ {
		if sharp[i] == 0 {
			continue
		}
		top := true
		for k := -no; k <= no && top; k++ {
			j := ((i+k)%n + n) % n
			if sharp[j] > sharp[i] || sharp[j] == sharp[i] && k < 0 {
				top = false
			}
		}
		if top {
			t := math.Abs(turn(i, no))
			if t > endTurn { // two corners, or a round end
				lost += 4 * r.rho * (math.Tan(t/4) - t/4)
				doubt += endDoubt
				continue
			}
			t = min(t, 150*math.Pi/180)
			corner := 2 * r.rho * (math.Tan(t/2) - t/2)
			if lost += corner; t > acuteTurn {
				doubt += corner / 2
			}
		}
	}
	return lost, doubt
}
