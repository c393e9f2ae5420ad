package preflight

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
	"stencilproof/raster/pen"
)

// examined judges an ink plane as if it had been read from a file.
func examined(t *testing.T, k *raster.Ink, ppi float64, film Film) *Report {
	t.Helper()
	r, err := Examine(pictureOf(k, ppi), Order{File: "test"}, film, Options{})
	require.NoError(t, err)
	return r
}

func pictureOf(k *raster.Ink, ppi float64) *artwork.Picture {
	return &artwork.Picture{Format: "png", Ink: k, XPerInch: ppi, YPerInch: ppi, Pages: 1, Page: 1}
}

// both returns a drawing with grey edges and cut to black and white.
func both(c *pen.Canvas) map[string]*raster.Ink {
	return map[string]*raster.Ink{"grey": c.Ink(), "bilevel": c.Bilevel()}
}

// Straight bars of known width at several angles, on several films: each is
// judged as its drawn width is, wherever the drawn width is further from a
// limit than the reading may be off. Grey readings of what does not hold are
// good to 0.06 px, of the finest that holds to 0.1; of a bilevel bar the file itself says no more than its plus-minus.
func TestBarsOfKnownWidth(t *testing.T) {
	if testing.Short() {
		t.Skip("measures many times")
	}
	const ppi = 1200
	um := 25400.0 / ppi
	for _, film := range []Film{Films()[0], Films()[1]} {
		l := film.Limit(raster.Line)
		for _, share := range []float64{0.7, 0.95, 1.05, 1.3, 1.44, 1.56, 2} {
			for _, angle := range []float64{0, 17, 45} {
				width := share * l.FailUM
				c := pen.NewCanvas(240, 240)
				sin, cos := math.Sincos(angle * math.Pi / 180)
				c.Fill(pen.Line(raster.Point{X: 120.3 - 60*cos, Y: 120.6 - 60*sin}, raster.Point{X: 120.3 + 60*cos, Y: 120.6 + 60*sin}, width/um))
				for edges, k := range both(c) {
					name := fmt.Sprintf("%s, %.2f of the limit (%.2f px), %v degrees, %s", film.Name, share, width/um, angle, edges)
					r := examined(t, k, ppi, film)
					f := r.Finest[raster.Line]
					require.True(t, f.Found, name)
					slack := 0.06 * um
					if width > l.SafeUM {
						slack = 0.1 * um
					}
					if edges == "bilevel" {
						slack = f.PlusMinusUM
					}
					assert.InDelta(t, width, f.WidthUM, slack+1e-9, name)
					if math.Abs(width-l.FailUM) > slack && math.Abs(width-l.SafeUM) > slack {
						assert.Equal(t, l.judge(width), r.Verdict, name)
					}
				}
			}
		}
	}
}

// USAF 1951 target: element e of group g has R = 2^(g + (e-1)/6) line pairs a
// millimetre, so three bars and two gaps each 500/R micrometres wide; the bars
// are five widths long (MIL-STD-150A; the length from memory). Each element is
// three lines and two strips, once upright and once lying.
func TestUSAF1951(t *testing.T) {
	const ppi = 1200
	um := 25400.0 / ppi
	for _, film := range []Film{Films()[0], Films()[1], Films()[4]} {
		for group := 0; group <= 3; group++ {
			for element := 1; element <= 6; element++ {
				width := 500 / math.Exp2(float64(group)+float64(element-1)/6)
				if width > 1.3*film.Limit(raster.Strip).SafeUM || width < 2.5*um {
					continue
				}
				w := width / um
				apart := 5*w + 2*film.Limit(raster.Strip).SafeUM/um // of the two sets
				side := int(5*w+apart) + 200
				c := pen.NewCanvas(side, side)
				for i := range 3 {
					c.Fill(pen.Rect(100.37+float64(2*i)*w, 100.21, w, 5*w))
					c.Fill(pen.Rect(100.37+apart, 100.21+float64(2*i)*w, 5*w, w))
				}
				line, strip := film.Limit(raster.Line).judge(width), film.Limit(raster.Strip).judge(width)
				for edges, k := range both(c) {
					r := examined(t, k, ppi, film)
					name := fmt.Sprintf("%s, group %d element %d (%.1f um, %.2f px), %s", film.Name, group, element, width, w, edges)
					for _, kind := range []struct {
						k    raster.Kind
						want Verdict
						n    int
					}{{raster.Line, line, 6}, {raster.Strip, strip, 4}} {
						slack := 0.06 * um
						if edges == "bilevel" {
							slack = um // the bar's edges fall where the grid has them
						}
						l := film.Limit(kind.k)
						if math.Abs(width-l.FailUM) <= slack || math.Abs(width-l.SafeUM) <= slack {
							continue
						}
						want := Count{}
						switch kind.want {
						case Fails:
							want.Fails = kind.n
						case AtRisk:
							want.AtRisk = kind.n
						}
						assert.Equal(t, want, r.Counts[kind.k], "%s: %v", name, kind.k)
					}
					assert.Equal(t, Count{}, r.Counts[raster.Dot], name)
					assert.Equal(t, Count{}, r.Counts[raster.Island], name)
				}
			}
		}
	}
}

// A scan on greyish paper with pale ink is stretched and told; edges blended in
// linear light are remarked, and plainly blended ones are not.
func TestLevelsAndBlending(t *testing.T) {
	draw := func() *pen.Canvas {
		c := pen.NewCanvas(400, 400)
		for i := range 6 {
			c.Fill(pen.Ring(200, 200, 60+40*float64(i), 9))
		}
		return c
	}
	plain := examined(t, draw().Ink(), 600, Films()[1])
	assert.False(t, hasNote(plain, NoteNotSolid))
	assert.Empty(t, plain.Artwork.Remarks)

	scan := draw()
	for i, v := range scan.Grey {
		scan.Grey[i] = uint8(math.Round(25 + float64(v)*200/255))
	}
	r := examined(t, scan.Ink(), 600, Films()[1])
	n := noteOf(t, r, NoteNotSolid)
	assert.InDelta(t, 100*25/255.0, n.Values["paper_pct"], 0.5)
	assert.InDelta(t, 100*225/255.0, n.Values["ink_pct"], 0.5)
	assert.False(t, hasNote(r, NoteGreyAreas), "the paper is no tint")
	assert.InDelta(t, plain.Finest[raster.Line].WidthUM, r.Finest[raster.Line].WidthUM, 2)

	inLight := func(c *pen.Canvas) *raster.Ink {
		for i, v := range c.Grey {
			light := 1 - float64(v)/255 // linear light, now encoded by the sRGB curve (IEC 61966-2-1)
			e := 12.92 * light
			if light > 0.0031308 {
				e = 1.055*math.Pow(light, 1/2.4) - 0.055
			}
			c.Grey[i] = uint8(math.Round(255 * (1 - e)))
		}
		return c.Ink()
	}
	assert.Len(t, examined(t, inLight(draw()), 600, Films()[1]).Artwork.Remarks, 1)

	// A logo of four short bars is enough for it, and blended plainly says nothing.
	for i := range 10 {
		logo := func() *pen.Canvas {
			c := pen.NewCanvas(140, 140)
			for j := range 4 {
				c.Fill(pen.Rect(-20, -3.5, 40, 7).Turned(float64(17*i+40*j)).Moved(40+0.37*float64(i)+60*float64(j%2), 40+60*float64(j/2)))
			}
			return c
		}
		assert.Len(t, examined(t, inLight(logo()), 600, Films()[1]).Artwork.Remarks, 1, "logo %d", i)
		assert.Empty(t, examined(t, logo().Ink(), 600, Films()[1]).Artwork.Remarks, "logo %d", i)
	}
}
