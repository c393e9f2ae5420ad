package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// slowSmoothed is the definition: at every point the straight line with the least
// weighted squares through its neighbours within three sigma.
func slowSmoothed(pts []Point, weight []float64, closed bool, step, sigma float64, i int) (place, dir Point) {
	n := len(pts)
	reach := int(math.Ceil(3 * sigma / step))
	if closed {
		reach = min(reach, (n-1)/2)
	}
	var w0, w1, w2, x0, x1, y0, y1 float64
	for k := -reach; k <= reach; k++ {
		j := i + k
		if closed {
			j = (j + n) % n
		} else if j < 0 || j >= n {
			continue
		}
		s := float64(k) * step
		w := math.Exp(-s * s / (2 * sigma * sigma))
		if weight != nil {
			w *= weight[j]
		}
		w0, w1, w2 = w0+w, w1+w*s, w2+w*s*s
		x0, x1, y0, y1 = x0+w*pts[j].X, x1+w*s*pts[j].X, y0+w*pts[j].Y, y1+w*s*pts[j].Y
	}
	det := w0*w2 - w1*w1
	dx, dy := (w0*x1-w1*x0)/det, (w0*y1-w1*y0)/det
	return Point{(x0 - dx*w1) / w0, (y0 - dy*w1) / w0}, unit(Point{dx, dy})
}

func TestSmoothedIsItsDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	for range 200 {
		n := 3 + rng.IntN(120)
		pts, weight := make([]Point, n), make([]float64, n)
		for i := range pts {
			pts[i] = Point{float64(i)/2 + rng.Float64(), 3 * rng.Float64()}
			weight[i] = 0.1 + rng.Float64()
		}
		if rng.IntN(2) == 0 {
			weight = nil
		}
		closed, sigma := rng.IntN(2) == 0, 1+5*rng.Float64()
		place, dir := smoothed(pts, weight, closed, 0.5, sigma)
		for i := range pts {
			p, d := slowSmoothed(pts, weight, closed, 0.5, sigma, i)
			assert.InDelta(t, 0, dist(p, place[i]), 1e-6, "%d of %d, closed %v", i, n, closed)
			assert.InDelta(t, 0, dist(d, dir[i]), 1e-6, "%d of %d, closed %v", i, n, closed)
		}
	}
}
