package pen

import (
	"math"
	"math/rand"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/goregular"

	"stencilproof/raster"
)

func area(c *Canvas) float64 {
	n := 0.0
	for _, v := range c.Grey {
		n += float64(v) / 255
	}
	return n
}

// By hand: a rectangle from (1.25, 0.5) to (3.5, 2) covers row 0 half, row 1
// whole; columns 1, 2, 3 by 3/4, 1 and 1/2.
func TestFillByHand(t *testing.T) {
	c := NewCanvas(5, 3)
	c.Fill(Rect(1.25, 0.5, 2.25, 1.5))
	require.Equal(t, []uint8{
		0, 96, 128, 64, 0,
		0, 191, 255, 128, 0,
		0, 0, 0, 0, 0,
	}, c.Grey)
}

// The slow twin counts 40 x 40 points a pixel, by winding number. Polygons
// reach over all four edges of the canvas; they may cross themselves nowhere,
// so they are stars around a point.
func TestFillAgainstCounting(t *testing.T) {
	for seed := int64(1); seed <= 30; seed++ {
		r := rand.New(rand.NewSource(seed))
		var ring []raster.Point
		cx, cy := 20*r.Float64(), 20*r.Float64()
		for i := range 9 {
			s, k := math.Sincos(2 * math.Pi * (float64(i) + 0.9*r.Float64()) / 9)
			d := 2 + 14*r.Float64()
			ring = append(ring, raster.Point{X: cx + d*k, Y: cy + d*s})
		}
		c := NewCanvas(20, 20)
		if seed%2 == 0 {
			c.Fill(Path{ring}.Reversed())
		} else {
			c.Fill(Path{ring})
		}
		const n = 40
		for y := range 20 {
			for x := range 20 {
				in := 0
				for j := range n * n {
					if inside(ring, float64(x)+(float64(j%n)+0.5)/n, float64(y)+(float64(j/n)+0.5)/n) {
						in++
					}
				}
				// 1 / n a crossing edge, and half a grey step.
				require.InDelta(t, float64(in)/(n*n), float64(c.Grey[y*20+x])/255, 0.03, "seed %d, pixel %d,%d", seed, x, y)
			}
		}
	}
}

func inside(ring []raster.Point, x, y float64) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y > y) != (b.Y > y) && x < a.X+(y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// Area of a disc, a ring and slanted lines by formula.
func TestShapesHaveTheirArea(t *testing.T) {
	for _, row := range []struct {
		name string
		p    Path
		want float64
	}{
		{"disc", Disc(50.3, 49.8, 60), math.Pi * 900},
		{"small disc", Disc(50.3, 49.8, 3.6), math.Pi * 1.8 * 1.8},
		{"ring", Ring(50, 50, 70, 2.5), math.Pi * 70 * 2.5},
		{"line", Line(raster.Point{X: 10, Y: 12}, raster.Point{X: 70, Y: 92}, 3.6), 100 * 3.6},
		{"turned", Rect(-20, -1, 40, 2).Turned(33).Moved(50, 50), 80},
	} {
		c := NewCanvas(100, 100)
		c.Fill(row.p)
		require.InDelta(t, row.want, area(c), 0.001*row.want+0.1, row.name)
		c.Erase(row.p)
		require.Less(t, area(c), 0.2*row.want, "%s: an edge keeps a(1-a) of its pixels", row.name)
	}
}

// A shape taller than a band must have no seam between bands.
func TestFillHasNoSeams(t *testing.T) {
	c := NewCanvas(9, 4*bandRows+5)
	c.Fill(Rect(2, 0.5, 4, 4*float64(bandRows)+4))
	for y := 1; y < c.H-1; y++ {
		require.Equal(t, []uint8{0, 0, 255, 255, 255, 255, 0, 0, 0}, c.Grey[y*9:y*9+9], "row %d", y)
	}
}

func TestLettering(t *testing.T) {
	f, err := NewFace(goregular.TTF)
	require.NoError(t, err)
	_, _, err = f.Letter('\U0001f41f', 10)
	require.ErrorContains(t, err, "no letter")
	_, err = NewFace([]byte("no font"))
	require.ErrorContains(t, err, "reading the typeface")

	// The letter o has a hole, and reads the same after half a turn.
	c := NewCanvas(100, 100)
	c.Fill(f.Text("o", 100, 0).Moved(20, 80))
	in := c.Grey[53*c.W+int(20+f.Width("o", 100, 0)/2)]
	require.Zero(t, in, "the counter is clear")
	require.Greater(t, area(c), 500.0)

	// Text on a circle keeps its area, upright on top and at the bottom.
	flat := NewCanvas(200, 200)
	flat.Fill(f.Text("Tern", 30, 1).Moved(20, 80))
	for _, inside := range []bool{false, true} {
		deg := -90.0
		if inside {
			deg = 90
		}
		arc := NewCanvas(200, 200)
		arc.Fill(f.Arc("Tern", 30, 1, 60, deg, inside).Moved(100, 100))
		require.InDelta(t, area(flat), area(arc), 2, "inside %v", inside)
	}
}

// A face is drawn with from many goroutines: each gets the letters it asked for.
func TestOneFaceManyHands(t *testing.T) {
	f, err := NewFace(goregular.TTF)
	require.NoError(t, err)
	texts := []string{"Tern & Tide", "Regatta 1887", "Boathouse", "fair winds"}
	var want []Path
	for _, s := range texts {
		want = append(want, f.Text(s, 40, 1))
	}
	var all sync.WaitGroup
	for i := range 8 * len(texts) {
		all.Go(func() {
			for range 20 {
				assert.Equal(t, want[i%len(texts)], f.Text(texts[i%len(texts)], 40, 1))
			}
		})
	}
	all.Wait()
}
