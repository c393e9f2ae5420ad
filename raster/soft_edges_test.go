package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// enlarged is a grey plane k times as large, by repeating pixels or between them.
func enlarged(w, h, k int, grey []uint8, repeat bool) (int, int, []uint8) {
	out := make([]uint8, w*k*h*k)
	at := func(x, y int) float64 {
		return float64(grey[min(max(y, 0), h-1)*w+min(max(x, 0), w-1)])
	}
	for y := range h * k {
		for x := range w * k {
			if repeat {
				out[y*w*k+x] = grey[y/k*w+x/k]
				continue
			}
			u, v := (float64(x)+0.5)/float64(k)-0.5, (float64(y)+0.5)/float64(k)-0.5
			i, j := math.Floor(u), math.Floor(v)
			s, t := u-i, v-j
			a, b := int(i), int(j)
			out[y*w*k+x] = uint8((at(a, b)*(1-s)+at(a+1, b)*s)*(1-t) + (at(a, b+1)*(1-s)+at(a+1, b+1)*s)*t + 0.5)
		}
	}
	return w * k, h * k, out
}

// The edges of bold shapes that are soft, noisy or enlarged have nothing thin about them:
// every pixel along them is about half-way between those around it. (The corners of doubled
// pixels break off as specks here and there, which preflight sets aside as a tip's.)
func TestSoftEdgesHaveNoThreads(t *testing.T) {
	found, n := 0, 0
	for seed := range uint64(24) {
		rng := rand.New(rand.NewPCG(seed, 86))
		d, c := canvas(rng, 40)
		d.add(discPoly(c, 34))
		d.hole(discPoly(c, 20))
		if seed%2 == 0 {
			d, c = canvas(rng, 40)
			d.add(barPoly(c, rng.Float64()*math.Pi, 60, 24))
		}
		cover := d.coverage()
		grey := make([]uint8, len(cover))
		for i, v := range cover {
			grey[i] = uint8(v*255 + 0.5)
		}
		for _, soft := range []string{"twice", "three times", "three times between", "blurred and noisy"} {
			w, h, g := d.w, d.h, grey
			switch soft {
			case "twice":
				w, h, g = enlarged(w, h, 2, grey, true)
			case "three times":
				w, h, g = enlarged(w, h, 3, grey, true)
			case "three times between":
				w, h, g = enlarged(w, h, 3, grey, false)
			default:
				g = make([]uint8, len(grey))
				for i, v := range blurred(cover, w, h, 1.5) {
					g[i] = uint8(min(max(v*255+5*rng.NormFloat64(), 0), 255) + 0.5)
				}
			}
			limit := uniform(rng, 5, 9)
			r := Measure(NewGreyInk(w, h, g), Request{Safe: [4]float64{limit, limit, limit, limit}, Bare: true})
			n++
			if len(r.Features) > 0 {
				found++
				t.Logf("seed %d, %s, limit %.1f: %d features", seed, soft, limit, len(r.Features))
			}
		}
	}
	t.Logf("of %d shapes %d have features", n, found)
	assert.Zero(t, found)
}
