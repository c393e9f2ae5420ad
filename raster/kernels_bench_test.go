package raster

import (
	"math"
	"math/rand/v2"
	"testing"
)

// benchPage is A4 at 600 pixels an inch with bars, rings and dots all over it,
// invented for the benchmarks.
func benchPage() *Bits {
	const w, h = 4960, 7016
	r := rand.New(rand.NewPCG(5, 6))
	b := NewBits(w, h)
	disc := func(cx, cy, radius float64, set bool) {
		for y := max(0, int(cy-radius)); y < min(h, int(cy+radius)+1); y++ {
			dy := float64(y) + 0.5 - cy
			if half := math.Sqrt(math.Max(0, radius*radius-dy*dy)); half > 0 {
				fillRun(b.Row(y), max(0, int(cx-half)), min(w, int(cx+half)), set)
			}
		}
	}
	for range 1200 {
		cx, cy, radius := r.Float64()*w, r.Float64()*h, 6+60*r.Float64()*r.Float64()
		disc(cx, cy, radius, true)
		disc(cx, cy, radius-3-6*r.Float64(), false)
	}
	for range 1500 {
		x, y, turn := r.Float64()*w, r.Float64()*h, r.Float64()*math.Pi
		half := 1.5 + 4*r.Float64()
		for range 30 + r.IntN(200) {
			disc(x, y, half, true)
			x, y = x+math.Cos(turn), y+math.Sin(turn)
		}
	}
	return b
}

// The kernels that go over whole pages, in millions of pixels a second.
func BenchmarkKernels(b *testing.B) {
	page := benchPage()
	const d = 5.4 // the limit of 3 mil film at twice the page's resolution
	rc := d/2 + 0.5
	e := Erode(page, rc)
	cores := Label(e, true)
	req := Request{Bare: true}
	for i := range req.Safe {
		req.Safe[i] = d
	}
	for _, k := range []struct {
		name string
		run  func()
	}{
		{"erode", func() { erodeInto(NewBits(page.W, page.H), page, rc) }},
		{"dilate", func() { dilateInto(NewBits(page.W, page.H), e, rc) }},
		{"label", func() { Label(page, true) }},
		{"room for a disc", func() { cores.roomy(page, strongRadius(d), nil) }},
		{"thin", func() { thinIn(page.Clone(), e, true, nil, 0) }},
		{"measure", func() { Measure(NewBilevelInk(page), req) }},
	} {
		b.Run(k.name, func(b *testing.B) {
			for b.Loop() {
				k.run()
			}
			b.ReportMetric(float64(page.W*page.H)*float64(b.N)/1e6/b.Elapsed().Seconds(), "Mpx/s")
		})
	}
}
