package preflight

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// halftone draws tone(x, y), 0 to 1, as round dots on a square lattice of the
// given pitch in pixels, turned by deg.
func halftone(w, h int, pitch, deg float64, tone func(x, y float64) float64) *pen.Canvas {
	c := pen.NewCanvas(w, h)
	sin, cos := math.Sincos(deg * math.Pi / 180)
	n := int(float64(w+h)/pitch) + 2
	for i := -n; i <= n; i++ {
		for j := -n; j <= n; j++ {
			x := (float64(i)*cos-float64(j)*sin)*pitch + 0.37
			y := (float64(i)*sin+float64(j)*cos)*pitch + 0.81
			if x < -pitch || y < -pitch || x > float64(w)+pitch || y > float64(h)+pitch {
				continue
			}
			if v := tone(x, y); v > 0 {
				c.Fill(pen.Disc(x, y, 2*pitch*math.Sqrt(v/math.Pi)))
			}
		}
	}
	return c
}

// Halftones from 5 to 95 % black, over the rulings and angles of the trade: each
// is recognised as one, with its ruling within 1 % and its angle within 1 degree,
// both as dots and, where they have grown together, as holes.
func TestScreens(t *testing.T) {
	for _, c := range []struct {
		ppi, lpi, deg float64
		holes         bool // there are as many dots of film as make a lattice
	}{
		{300, 20, 0, true}, {300, 45, 45, true}, {300, 65, 15, true},
		{600, 30, 22.5, true}, {600, 65, 45, true}, {600, 50, 60, true},
		{1200, 65, 75, true}, {1200, 85, 45, false},
	} {
		pitch := c.ppi / c.lpi
		w := int(28 * pitch)
		drawn := halftone(w, w, pitch, c.deg, func(x, y float64) float64 { return 0.05 + 0.9*x/float64(w) })
		for edges, k := range both(drawn) {
			for _, negative := range []bool{false, true} {
				name := fmt.Sprintf("%v %s, negative %v", c, edges, negative)
				if negative {
					k.Invert()
				}
				found := surveyScreens(k.Bits, c.ppi)
				require.Len(t, found, 1, name)
				assert.Equal(t, found, screensOnTheWay(k, c.ppi), name)
				s := found[0]
				assert.InEpsilon(t, c.lpi, c.ppi/s.Pitch, 0.01, name)
				off := math.Abs(s.Angle - c.deg)
				assert.Less(t, min(off, 90-off), 1.0, name)
				assert.Greater(t, s.Dots+s.Holes, 400, name)
				if !negative {
					assert.Greater(t, s.Dots, 350, name)
					assert.Equal(t, c.holes, s.Holes > 0, name)
				}
			}
		}
	}
}

// screensOnTheWay looks for halftones among the pieces that a measuring labels
// anyway, or by itself where that labels others.
func screensOnTheWay(k *raster.Ink, ppi float64) []Screen {
	req := raster.Request{Safe: [4]float64{5.4, 7, 7, 12}, Bare: true}
	wait := lookForScreens(k, ppi, &req)
	raster.Measure(k, req)
	return wait()
}

// What the halftone says is what was drawn: 12 x 12 dots of 6.9 px and one of
// 4.5, 20 px apart at 600 ppi, are 30 lines an inch.
func TestHalftoneNote(t *testing.T) {
	dots := halftone(280, 280, 20, 0, func(x, y float64) float64 {
		switch {
		case x < 20 || y < 20 || x > 260 || y > 260:
			return 0
		case x < 60 && x > 40 && y > 40 && y < 60:
			return 0.04
		}
		return 0.0935
	})
	r := examined(t, dots.Ink(), 600, plainFilm) // dots hold from 200 um on, gaps from 200, islands from 400
	n := noteOf(t, r, NoteGreyAreas)
	um := 25400.0 / 600
	assert.InDelta(t, 30, n.Values["ruling_lpi"], 0.05)
	assert.InDelta(t, 0, math.Mod(n.Values["angle_deg"]+0.5, 90), 1)
	assert.Equal(t, 144.0, n.Values["dots"])
	assert.Zero(t, n.Values["holes"])
	assert.InDelta(t, 4.5*um, n.Values["finest_dot_um"], 0.5*um)
	assert.NotContains(t, n.Values, "finest_hole_um")
	assert.Equal(t, 200.0, n.Values["dot_safe_um"])
	// A dot of 200 um on cells of 20 px: pi/4 (200/846.7)^2. Gaps of 200: dots of 646.7.
	assert.InDelta(t, 4.382, n.Values["lightest_pct"], 0.05)
	assert.InDelta(t, 45.82, n.Values["darkest_pct"], 0.2)
	// 10 % is a dot of 0.3568 of its cell, so cells of 560.5 um: 45.3 lines an inch.
	assert.InDelta(t, 45.31, n.Values["held_lpi"], 0.01)
	assert.Len(t, n.Boxes, 1)
	// Its dots are judged as any: the one of 190 um is at risk.
	assert.Equal(t, AtRisk, r.Verdict)
	assert.Equal(t, Count{AtRisk: 1}, r.Counts[raster.Dot])
}

// Regular, and no halftone.
func TestScreensSilent(t *testing.T) {
	const w = 900
	silent := func(name string, b *raster.Bits) {
		t.Helper()
		assert.Empty(t, surveyScreens(b, 600), name)
		c := b.Clone()
		c.Complement()
		assert.Empty(t, surveyScreens(c, 600), name+", negative")
	}
	draw := func(fill func(c *pen.Canvas)) *raster.Bits {
		c := pen.NewCanvas(w, w)
		fill(c)
		return c.Ink().Bits
	}
	every := func(pitch float64, put func(x, y float64)) {
		for y := pitch; y < w-pitch; y += pitch {
			for x := pitch; x < w-pitch; x += pitch {
				put(x, y)
			}
		}
	}
	silent("a net of hairlines", draw(func(c *pen.Canvas) {
		for d := 20.0; d < w-20; d += 20 {
			c.Fill(pen.Rect(20, d, w-40, 3))
			c.Fill(pen.Rect(d, 20, 3, w-40))
		}
	}))
	silent("tiles", draw(func(c *pen.Canvas) { every(40, func(x, y float64) { c.Fill(pen.Rect(x, y, 36, 36)) }) }))
	silent("polka dots, coarser than any halftone", draw(func(c *pen.Canvas) { every(70, func(x, y float64) { c.Fill(pen.Disc(x, y, 25)) }) }))
	silent("beads on a ring, and a row of them", draw(func(c *pen.Canvas) {
		for i := range 120 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 60)
			c.Fill(pen.Disc(450+400*cos, 450+400*sin, 12))
			c.Fill(pen.Disc(12+7*float64(i), 450, 4))
		}
	}))
	silent("nine rows of ten", draw(func(c *pen.Canvas) {
		for i := range 90 {
			c.Fill(pen.Disc(100+20*float64(i%10), 100+20*float64(i/10), 8))
		}
	}))
	for _, n := range []int{400, 4000, 40000} {
		rng := rand.New(rand.NewPCG(uint64(n), 9))
		b := raster.NewBits(w, w)
		for range n {
			b.Set(rng.IntN(w), rng.IntN(w))
		}
		silent(fmt.Sprintf("%d grains of dust", n), b)
	}
	silent("nothing", raster.NewBits(w, w))
	assert.Empty(t, surveyScreens(raster.NewBits(50, 50), 20), "no resolution for one")
}

// The nearest four are those that looking at all finds.
func TestFindNear(t *testing.T) {
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 5))
		list := make([]grain, 1+rng.IntN(60))
		for i := range list {
			list[i].at = raster.Point{X: float64(rng.IntN(12)), Y: float64(rng.IntN(200)) / 10}
		}
		near := findNear(list)
		for i := range list {
			var all []float64
			for j := range list {
				if j != i {
					all = append(all, math.Hypot(list[j].at.X-list[i].at.X, list[j].at.Y-list[i].at.Y))
				}
			}
			slices.Sort(all)
			require.Equal(t, min(4, len(all)), list[i].n)
			for k := range list[i].n {
				require.Equal(t, all[k], length(list[i].near[k]), "seed %d", seed)
				require.Equal(t, list[i].near[k].X, list[near[i][k]].at.X-list[i].at.X)
			}
		}
	}
}
