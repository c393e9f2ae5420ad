package main

import (
	"math"
	"runtime/debug"
	"sync"
)

// The percentages of growth at which memory is collected: one for artwork so
// small that collecting costs more than it saves, and one for pages, which are a
// few large planes without a pointer and little else, so that looking through
// them costs next to nothing and the peak stays near what is in use. Between
// them it goes by the artwork's size: up to growthBytes are let grow, for an
// artwork of a byte a pixel.
const (
	mostGrowth  = 400
	leastGrowth = 10
	growthBytes = 8e6
)

// collect is the program's one collector.
var collect collector

// collector sets how soon memory is collected, by the largest artwork met.
type collector struct {
	mu      sync.Mutex
	pixels  int64
	percent int
}

// growth is the percentage for an artwork.
func growth(pixels int64) int {
	return int(math.Max(leastGrowth, math.Min(mostGrowth, 100*growthBytes/math.Max(1, float64(pixels)))))
}

// expect makes ready for an artwork.
func (c *collector) expect(pixels int64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.pixels = max(c.pixels, pixels)
	if p := growth(c.pixels); p != c.percent {
		c.percent = p
		debug.SetGCPercent(p)
	}
}
