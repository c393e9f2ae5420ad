package raster

// contour.go follows a piece's edge where its coverage crosses half, between
// pixel centres.

// loop is a closed contour: points in the coordinates of the piece's window, the piece
// on the right hand as seen along it on the screen; the last point joins the first.
type loop []Point

var sideStep = [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}

// loops returns the closed contours of the piece, its outer one and its holes'.
//
// A crack is a pixel of the piece and a side on which its neighbour is none;
// coverage crosses half between the two centres, at the linear share. From
// crack to crack the walk goes round the block of four pixels ahead. Where
// only the diagonal ones belong to the piece, they join when the mean of the
// four reaches half; in bilevel pictures ink always joins and film never does.
func (p *piece) loops() []loop {
	w, h := p.own.W, p.own.H
	seen := NewBits(w, h) // cracks on the left side of a pixel that a loop passed
	var out []loop
	for y := 0; y < h; y++ {
		for x := 0; x < w; x++ {
			if p.own.Get(x, y) && !p.own.Get(x-1, y) && !seen.Get(x, y) {
				out = append(out, p.follow(x, y, seen))
			}
		}
	}
	return out
}

func (p *piece) follow(sx, sy int, seen *Bits) loop {
	out := make(loop, 0, 64)
	x, y, side := sx, sy, 2
	for {
		d := sideStep[side]
		if side == 2 {
			seen.Set(x, y)
		}
		v, o := p.value(x, y), p.value(x+d[0], y+d[1])
		t := 0.5
		if v != o {
			t = min(1, max(0, (v-0.5)/(v-o)))
		}
		out = append(out, Point{float64(x) + 0.5 + float64(d[0])*t, float64(y) + 0.5 + float64(d[1])*t})
		turn := (side + 1) & 3
		a := sideStep[turn]
		ahead := p.own.Get(x+a[0], y+a[1])
		across := p.own.Get(x+a[0]+d[0], y+a[1]+d[1])
		if !ahead && across {
			across = p.joined(x, y, a, d)
			ahead = across
		}
		switch {
		case !ahead:
			side = turn
		case !across:
			x, y = x+a[0], y+a[1]
		default:
			x, y = x+a[0]+d[0], y+a[1]+d[1]
			side = (turn + 2) & 3
		}
		if x == sx && y == sy && side == 2 {
			return out
		}
	}
}

// joined decides whether two diagonal pixels of the piece meet in the block of
// four. The sum is taken in one order, wherever the walk comes from: at just 2
// the last digit decides, and it must not differ between the way in and out.
func (p *piece) joined(x, y int, a, d [2]int) bool {
	if p.f.grey == nil {
		return !p.f.film
	}
	x, y = min(x, x+a[0]+d[0]), min(y, y+a[1]+d[1])
	return p.value(x, y)+p.value(x+1, y)+p.value(x, y+1)+p.value(x+1, y+1) >= 2
}
