package raster

import (
	"math"
	"os"
	"testing"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789&"

// faces returns the typefaces found on the machine. The Go faces come with
// x/image; DejaVu and URW are Debian's fonts-dejavu-core and fonts-urw-base35.
func faces(t testing.TB) map[string]*sfnt.Font {
	out := map[string]*sfnt.Font{}
	add := func(name string, data []byte) {
		f, err := sfnt.Parse(data)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		out[name] = f
	}
	add("Go Regular", goregular.TTF)
	add("Go Bold", gobold.TTF)
	add("Go Italic", goitalic.TTF)
	for name, file := range map[string]string{
		"DejaVu Serif":      "truetype/dejavu/DejaVuSerif.ttf",
		"DejaVu Sans Bold":  "truetype/dejavu/DejaVuSans-Bold.ttf",
		"DejaVu Serif Bold": "truetype/dejavu/DejaVuSerif-Bold.ttf",
		"C059 Roman":        "opentype/urw-base35/C059-Roman.otf",
		"Nimbus Roman":      "opentype/urw-base35/NimbusRoman-Regular.otf",
		"Z003":              "opentype/urw-base35/Z003-MediumItalic.otf",
	} {
		if data, err := os.ReadFile("/usr/share/fonts/" + file); err == nil {
			add(name, data)
		}
	}
	return out
}

// outline is a letter's outline as closed polygons of short steps, in ems.
func outline(f *sfnt.Font, r rune, step float64) [][]Point {
	var buf sfnt.Buffer
	i, err := f.GlyphIndex(&buf, r)
	if err != nil {
		panic(err)
	}
	segs, err := f.LoadGlyph(&buf, i, fixed.I(1000), nil)
	if err != nil {
		panic(err)
	}
	pt := func(p fixed.Point26_6) Point { return Point{float64(p.X) / 64000, float64(p.Y) / 64000} }
	var out [][]Point
	var cur []Point
	line := func(to func(t float64) Point, length float64) {
		n := max(1, int(math.Ceil(length/step)))
		for i := 1; i <= n; i++ {
			cur = append(cur, to(float64(i)/float64(n)))
		}
	}
	mix := func(a, b Point, t float64) Point { return Point{a.X + (b.X-a.X)*t, a.Y + (b.Y-a.Y)*t} }
	dist := func(a, b Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }
	closeUp := func() {
		if len(cur) > 2 {
			a, b := cur[len(cur)-1], cur[0]
			if dist(a, b) > 1e-6 {
				line(func(t float64) Point { return mix(a, b, t) }, dist(a, b))
			}
			out = append(out, cur[1:])
		}
		cur = nil
	}
	for _, s := range segs {
		if s.Op == sfnt.SegmentOpMoveTo {
			closeUp()
			cur = []Point{pt(s.Args[0])}
			continue
		}
		a := cur[len(cur)-1]
		switch s.Op {
		case sfnt.SegmentOpLineTo:
			b := pt(s.Args[0])
			line(func(t float64) Point { return mix(a, b, t) }, dist(a, b))
		case sfnt.SegmentOpQuadTo:
			b, c := pt(s.Args[0]), pt(s.Args[1])
			line(func(t float64) Point { return mix(mix(a, b, t), mix(b, c, t), t) }, dist(a, b)+dist(b, c))
		case sfnt.SegmentOpCubeTo:
			b, c, d := pt(s.Args[0]), pt(s.Args[1]), pt(s.Args[2])
			line(func(t float64) Point {
				return mix(mix(mix(a, b, t), mix(b, c, t), t), mix(mix(b, c, t), mix(c, d, t), t), t)
			}, dist(a, b)+dist(b, c)+dist(c, d))
		}
	}
	closeUp()
	return out
}

// inside counts windings (non-zero rule).
func inside(poly [][]Point, p Point) bool {
	n := 0
	for _, c := range poly {
		for i, a := range c {
			b := c[(i+1)%len(c)]
			if (a.Y <= p.Y) != (b.Y <= p.Y) {
				if x := a.X + (p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y); x > p.X {
					if b.Y > a.Y {
						n++
					} else {
						n--
					}
				}
			}
		}
	}
	return n != 0
}

// narrowest is the truth that the letters are drawn by, in ems: the shortest
// chord inside the ink (or the film between) that either meets both walls at
// within 7.5 degrees of square, or is locally the shortest way between two
// stretches of outline far apart along it. Worked out on the outline, from all
// pairs of its points; no pixel is involved.
func narrowest(f *sfnt.Font, r rune) (ink, film float64) {
	const step = 1.0 / 500
	poly := outline(f, r, step)
	type node struct {
		p, n    Point // n points into the ink
		c, i, k int
		flat    bool
	}
	var all []node
	for c, line := range poly {
		for i := range line {
			a, b := line[(i+len(line)-1)%len(line)], line[(i+1)%len(line)]
			l := math.Hypot(b.X-a.X, b.Y-a.Y)
			n := Point{-(b.Y - a.Y) / l, (b.X - a.X) / l}
			e := 1e-4
			m := line[i]
			in, ut := inside(poly, Point{m.X + n.X*e, m.Y + n.Y*e}), inside(poly, Point{m.X - n.X*e, m.Y - n.Y*e})
			if in == ut {
				continue // an edge inside overlapping contours
			}
			if ut {
				n = Point{-n.X, -n.Y}
			}
			u := Point{m.X - a.X, m.Y - a.Y}
			v := Point{b.X - m.X, b.Y - m.Y}
			cos := (u.X*v.X + u.Y*v.Y) / (math.Hypot(u.X, u.Y) * math.Hypot(v.X, v.Y))
			all = append(all, node{m, n, c, i, len(line), cos > math.Cos(0.15)})
		}
	}
	ink, film = math.Inf(1), math.Inf(1)
	d := func(i, j int) float64 { return math.Hypot(all[i].p.X-all[j].p.X, all[i].p.Y-all[j].p.Y) }
	at := func(i, s int) int { // the node s steps on along its contour
		j := i + s
		if j < 0 || j >= len(all) || all[j].c != all[i].c {
			return i
		}
		return j
	}
	// runs tells whether node b is the one s steps on from a, none in between
	// left out, or the contour's own seam.
	runs := func(a, b, s int) bool {
		return all[b].i-all[a].i == s || a == b && (all[a].i+s < 0 || all[a].i+s >= all[a].k)
	}
	for i := range all {
		for j := i + 1; j < len(all); j++ {
			dx, dy := all[j].p.X-all[i].p.X, all[j].p.Y-all[i].p.Y
			// A chord of ink leaves smooth walls along their normals, one of film
			// against them (a corner's normal is too vague to tell); one longer
			// than the least so far is no use.
			si, sj := dx*all[i].n.X+dy*all[i].n.Y, -(dx*all[j].n.X + dy*all[j].n.Y)
			mayInk := !(all[i].flat && si < 0) && !(all[j].flat && sj < 0)
			mayFilm := !(all[i].flat && si > 0) && !(all[j].flat && sj > 0)
			l2 := dx*dx + dy*dy
			if l2 < 1e-12 || !(mayInk && l2 < ink*ink) && !(mayFilm && l2 < film*film) {
				continue
			}
			l := math.Sqrt(l2)
			way := math.Inf(1)
			if all[i].c == all[j].c {
				k := all[j].i - all[i].i
				way = float64(min(k, all[i].k-k)) * step
			}
			if way < 3*l {
				continue
			}
			u := Point{dx / l, dy / l}
			ci, cj := si/l, sj/l
			walls := all[i].flat && all[j].flat && math.Abs(ci) > 0.991 && math.Abs(cj) > 0.991
			if !walls {
				least := true
				for s := -2; s <= 2 && least; s++ {
					a, b := at(i, s), at(j, s)
					// Where one contour dives into another the first nodes on either
					// side seem least for want of neighbours.
					whole := l > 4*step || runs(i, a, s) && runs(j, b, s)
					least = whole && d(a, j) >= l-1e-9 && d(i, b) >= l-1e-9
				}
				if !least {
					continue
				}
			}
			m := Point{(all[i].p.X + all[j].p.X) / 2, (all[i].p.Y + all[j].p.Y) / 2}
			q1 := Point{all[i].p.X + u.X*l*.1, all[i].p.Y + u.Y*l*.1}
			q2 := Point{all[i].p.X + u.X*l*.9, all[i].p.Y + u.Y*l*.9}
			in := inside(poly, m)
			if in != inside(poly, q1) || in != inside(poly, q2) {
				continue
			}
			if in && !mayInk || !in && !mayFilm {
				continue // across a wall and what lies beyond
			}
			if in {
				ink = math.Min(ink, l)
			} else {
				film = math.Min(film, l)
			}
		}
	}
	return ink, film
}
