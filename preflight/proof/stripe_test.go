package proof

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
	"stencilproof/raster"
	"stencilproof/raster/pen"
)

// By hand: a rectangle of 0.1 x 2 mm has 4A/P = 0.8/4.2 = 0.190476 mm; one as long that
// just reaches 0.3 mm is 0.3*2/(4-0.3) = 0.162162 mm wide.
func TestStripeByHand(t *testing.T) {
	island := func(w, l float64) *preflight.Mark {
		return &preflight.Mark{Kind: raster.Island, Count: 1, WidthUM: 2000 * w * l / (w + l), AreaMM2: w * l, FailUM: 200, SafeUM: 300}
	}
	s, ok := sizeOf(island(0.1, 2))
	require.True(t, ok)
	assert.InDelta(t, 100, s.width, 1e-6)
	assert.InDelta(t, 162.162, s.safe, 1e-3)
	assert.InDelta(t, 2*s.safe*2000/(s.safe+2000), 300, 1e-6, "that wide its 4A/P is the limit")
	assert.InDelta(t, 2*s.fail*2000/(s.fail+2000), 200, 1e-6)
	s, ok = sizeOf(island(0.1, 0.38)) // not four times as long as wide
	assert.False(t, ok)
	assert.Equal(t, 300.0, s.safe)
	disc := &preflight.Mark{Kind: raster.Island, Count: 1, WidthUM: 200, AreaMM2: math.Pi * 0.01, FailUM: 200, SafeUM: 300}
	_, ok = sizeOf(disc)
	assert.False(t, ok)
	for _, other := range []func(*preflight.Mark){
		func(m *preflight.Mark) { m.Kind = raster.Dot }, func(m *preflight.Mark) { m.Specks = true }, func(m *preflight.Mark) { m.Count = 2 },
	} {
		m := island(0.1, 2)
		other(m)
		_, ok = sizeOf(m)
		assert.False(t, ok)
	}
}

// The arrows of a close-up stand square to a straight edge, whichever way it runs, and
// level at a disc, where the report gives no direction.
func TestArrowsStandSquare(t *testing.T) {
	for deg := 0.0; deg < 180; deg += 15 {
		c := pen.NewCanvas(300, 300)
		s, co := math.Sincos(deg * math.Pi / 180)
		at := func(x, y float64) raster.Point { return raster.Point{X: 150 + x*co - y*s, Y: 150 + x*s + y*co} }
		c.Fill(pen.Polygon(at(-110, -5), at(110, -5), at(110, 5), at(-110, 5)))
		a := &art{ink: c.Ink(), mm: 0.02, widthM: 6, height: 6}
		got := a.narrowest(look{kind: raster.Line, at: preflight.PointMM{X: 3, Y: 3}, widthMM: 0.2})
		off := math.Mod(got-deg-90+720+90, 180) - 90
		assert.InDelta(t, 0, off, 3, "at %g: %g", deg, got)
	}
	c := pen.NewCanvas(300, 300)
	c.Fill(pen.Disc(150, 150, 40))
	a := &art{ink: c.Ink(), mm: 0.02, widthM: 6, height: 6}
	assert.Zero(t, a.narrowest(look{kind: raster.Dot, at: preflight.PointMM{X: 3, Y: 3}, widthMM: 0.8}))
}

// No line of the shop's block is lost, however many there are, and none is wider than
// its room.
func TestShopLinesAreAllThere(t *testing.T) {
	s := Shop{Address: []string{"The Boathouse", "Ropewalk 7", "Skerrick Haven", "SH4 2TT", "United Kingdom"}, Email: "bench@tern-and-tide.example", Phone: "+44 555 0147"}
	for _, room := range []float64{0, 30, 60, 200} {
		lines := shopLines(s, room)
		all := strings.Join(lines, "\n")
		for _, want := range append(s.Address, s.Email, s.Phone) {
			assert.Contains(t, all, want, "room %g", room)
		}
		if room == 200 {
			assert.LessOrEqual(t, len(lines), fewLines)
		}
		for _, l := range lines {
			if strings.Contains(l, ", ") || strings.Contains(l, " · ") {
				assert.LessOrEqual(t, fontFact.Width(l), room)
			}
		}
	}
}
