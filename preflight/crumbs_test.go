package preflight

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// A crumb ahead of its tip is the tip's; dust is dust, in the open, beside an
// edge, ahead of a blunt end or a corner, and beside a hairline; so is a pinhole.
func TestSplitSpecks(t *testing.T) {
	b := drawn(`
		##############................
		##############................
		##############.#..............
		##############......#.........
		#####.............##..........
		#####...........#.............
		###......#....................
		###............#....########..
		##..................########..
		##.#...#............########..
		#...................########..
		#......#####................#.
		............................#.
		#...#.........................
		#..................#..........
		#..##########.................
		#..##########.................
		#..##########.................
		#..######.###.................
		#..##########.................
		#..##########.................
		#..##########.................`)
	// The tip on the left points down and has crumbs of its own below it.
	for y := 11; y < 22; y++ {
		b.Clear(0, y)
	}
	b.Set(0, 12)
	b.Set(0, 15)
	speck := func(x, y, w, h int, film bool) raster.Speck {
		return raster.Speck{Film: film, Area: float64(w * h), Box: raster.Box{X0: float64(x), Y0: float64(y), X1: float64(x + w), Y1: float64(y + h)}}
	}
	crumbs := []raster.Speck{speck(0, 12, 1, 1, false), speck(0, 15, 1, 1, false)} // the second hangs on the first
	dust := []raster.Speck{
		speck(15, 2, 1, 1, false),                                                                                                            // beside an edge
		speck(20, 3, 1, 1, false), speck(18, 4, 2, 1, false), speck(16, 5, 1, 1, false), speck(15, 7, 1, 1, false), speck(9, 6, 1, 1, false), // a row of its own
		speck(3, 9, 1, 1, false), speck(7, 9, 1, 1, false), // beside the tip, and beside a hairline
		speck(28, 11, 1, 2, false),                            // at a corner
		speck(4, 13, 1, 1, false), speck(19, 14, 1, 1, false), // ahead of a blunt edge, in the open
		speck(9, 18, 1, 1, true), // a pinhole
	}
	alone, broken := splitSpecks(b, append(crumbs, dust...))
	assert.Equal(t, dust, alone)
	assert.Equal(t, crumbs, broken)
	alone, broken = splitSpecks(b, nil)
	assert.Nil(t, alone)
	assert.Nil(t, broken)
}

// The pixel ahead of a crotch that runs into a wide counter touches it by a corner: it is
// the crotch's end, and no island that could be lost. One pixel farther off it is dust.
func TestSplitSpecksOfABluntCrotch(t *testing.T) {
	b := drawn(`
		##############
		##############
		########.#####
		#######.######
		#####...######
		####....######
		..............
		..............`)
	speck := func(x, y int, area float64) raster.Speck {
		return raster.Speck{Film: true, Area: area, Box: raster.Box{X0: float64(x), Y0: float64(y), X1: float64(x + 1), Y1: float64(y + 1)}}
	}
	alone, broken := splitSpecks(b, []raster.Speck{speck(8, 2, 1)})
	assert.Len(t, broken, 1)
	assert.Empty(t, alone)
	b.Set(8, 2)
	b.Clear(8, 0)
	alone, broken = splitSpecks(b, []raster.Speck{speck(8, 0, 1)})
	assert.Empty(t, broken)
	assert.Len(t, alone, 1)
}

// A pixel that touches several shapes by its corners is the end of the one that points at
// it, here of the crotch between two hairlines; and one that touches a dent by a corner is
// the dent's end. Beside an edge along the rows it is dust.
func TestSplitSpecksThatTouchByACorner(t *testing.T) {
	for name, art := range map[string]struct {
		x, y  int
		dust  bool
		lines string
	}{
		"between hairlines": {4, 3, false, `
			########.....
			#############
			#####........
			####.##......
			###.#..#.....
			###.#...##...
			#.#..#....##.
			#.#..#......#
			..#...#......
			..#....#.....
			..#....#.....`},
		"at a dent": {5, 4, false, `
			..............
			..............
			##.........###
			######.#######
			#####.########
			##############`},
		"at an edge": {5, 4, true, `
			..............
			..............
			..............
			######........
			#####.########
			##############`},
	} {
		b := drawn(art.lines)
		d := raster.Speck{Film: true, Area: 1, Box: raster.Box{X0: float64(art.x), Y0: float64(art.y), X1: float64(art.x + 1), Y1: float64(art.y + 1)}}
		alone, _ := splitSpecks(b, []raster.Speck{d})
		assert.Equal(t, art.dust, len(alone) == 1, name)
	}
}

// The last pixels of a bilevel tip, of ink or of film, are never taken for dust:
// tips of 15 degrees, where judging ends, to corners, at many angles and places.
func TestTipsLeaveNoDust(t *testing.T) {
	broken, alone, tips := 0, 0, 0
	turns := 40
	if testing.Short() {
		turns = 10
	}
	for _, deg := range []float64{15, 22, 35, 60} {
		for i := range turns {
			a, h := float64(i)*9.1*math.Pi/180, deg/2*math.Pi/180
			tip := raster.Point{X: 50.3 + 0.013*float64(i), Y: 50.7}
			c := pen.NewCanvas(100, 100)
			c.Fill(pen.Polygon(tip, raster.Point{X: tip.X + 45*math.Cos(a-h), Y: tip.Y + 45*math.Sin(a-h)}, raster.Point{X: tip.X + 45*math.Cos(a+h), Y: tip.Y + 45*math.Sin(a+h)}))
			k := c.Bilevel()
			if i%2 == 1 {
				k.Invert()
			}
			s := surveyed(t, k, 300, Films()[1])
			broken, alone, tips = broken+len(s.Crumbs), alone+len(s.Dust), tips+1
		}
	}
	assert.Positive(t, broken, "tips that break")
	assert.LessOrEqual(t, alone, tips/100)
}

// dusty strews single pixels and pairs over a drawing, none of which touches
// anything.
func dusty(b *raster.Bits, n int, rng *rand.Rand) (grains int) {
	for range n {
		x, y := 1+rng.IntN(b.W-4), 1+rng.IntN(b.H-3)
		free := true
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 2; dx++ {
				free = free && !b.Get(x+dx, y+dy)
			}
		}
		if !free {
			continue
		}
		grains++
		b.Set(x, y)
		if grains%3 == 0 {
			b.Set(x+1, y)
		}
	}
	return grains
}

// A dusty scan at 300 pixels an inch: dust fails, in one mark with its count,
// however near to the drawing it lies, and is left out only when asked.
func TestDustyScan(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	c := pen.NewCanvas(420, 400)
	for i := range 12 {
		x, y := 90+float64(i%4)*65, 90+float64(i/4)*75
		c.Fill(pen.Rect(x, y, 25, 50))
		c.Fill(pen.Disc(x+40, y+10, 12))
	}
	clean := examined(t, c.Bilevel(), 300, Films()[1])
	require.Equal(t, Holds, clean.Verdict)
	require.False(t, hasNote(clean, NoteSpecks))

	k := c.Bilevel()
	n := dusty(k.Bits, 500, rng)
	s := surveyed(t, k, 300, Films()[1])
	assert.GreaterOrEqual(t, len(s.Dust), n-n/100, "of %d grains %d are taken as ends of tips", n, len(s.Crumbs))
	r := Judge(s, Films()[1], Options{})
	note := noteOf(t, r, NoteSpecks)
	assert.Equal(t, len(s.Dust), note.Count)
	assert.Len(t, note.Places, mostPlaces)
	assert.Equal(t, Fails, r.Verdict)
	dots := 0
	for _, m := range r.Marks {
		assert.True(t, m.Specks, "only dust is marked")
		if m.Kind == raster.Dot {
			dots += m.Count
		}
	}
	assert.Equal(t, len(s.Dust), dots)
	assert.LessOrEqual(t, len(r.Marks), 2)

	// Left out, the drawing is judged as it is.
	r = Judge(s, Films()[1], Options{DropSpecks: true})
	assert.Equal(t, Holds, r.Verdict)
	assert.Empty(t, r.Marks)
	assert.Equal(t, "no", noteOf(t, r, NoteSpecks).Words["judged"])
}

// A bilevel hairline of under a pixel is broken in the file. However it breaks,
// alone or between thick parts, it fails: it is never passed over.
func TestBrokenHairlineFails(t *testing.T) {
	for _, width := range []float64{0.55, 0.7, 0.9} {
		for _, deg := range []float64{0, 3, 17, 45, 71} {
			for _, ends := range []bool{false, true} {
				name := fmt.Sprintf("%v px at %v degrees, between blocks: %v", width, deg, ends)
				sin, cos := math.Sincos(deg * math.Pi / 180)
				at := func(d float64) raster.Point { return raster.Point{X: 150.4 + d*cos, Y: 150.2 + d*sin} }
				c := pen.NewCanvas(300, 300)
				c.Fill(pen.Line(at(-25), at(25), width))
				if ends {
					c.Fill(pen.Line(at(-45), at(-24), 20))
					c.Fill(pen.Line(at(24), at(45), 20))
				}
				k := c.Bilevel()
				blocks := pen.NewCanvas(300, 300)
				if ends {
					blocks.Fill(pen.Line(at(-45), at(-24), 20))
					blocks.Fill(pen.Line(at(24), at(45), 20))
				}
				if k.Bits.Count() <= blocks.Bilevel().Bits.Count()+8 {
					continue // it is not in the file
				}
				// A pixel is 85 um, and one on whole pixels reads up to 110: it fails from
				// 5 mil film on, of which 127 um is the limit.
				assert.Equal(t, Fails, examined(t, k, 300, Films()[3]).Verdict, name)
				assert.NotEqual(t, Holds, examined(t, k, 300, Films()[1]).Verdict, name)
			}
		}
	}
}
