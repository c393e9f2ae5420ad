package main

import (
	"math"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"sync"
)

// The percentages of growth at which memory is collected: one for artwork so
// small that collecting costs more than it saves, and one for pages, which are a
// few large planes without a pointer and little else, so that looking through
// them costs next to nothing and the peak stays near what is in use. Between
// them it goes by the artwork's size: up to growthBytes are let grow, for an
// artwork of a byte a pixel. And until the heap has reached bytesAPixel of the
// artwork it is let grow in any case: a page needs that much at its peak, and
// collecting before saves nothing.
const (
	mostGrowth  = 400
	leastGrowth = 10
	growthBytes = 8e6
	bytesAPixel = 0.66
)

// How much of the heap is to lie on huge pages: more than a check uses, but
// taking it costs some time too, so for small artwork not much more.
const (
	mostRoom   = 512 << 20
	roomAPixel = 64
)

// collect is the program's one collector.
var collect collector

// collector sets how soon memory is collected, by the largest artwork met and
// by what was in use when memory was last collected.
type collector struct {
	mu      sync.Mutex
	pixels  int64
	percent int
	room    int64 // on huge pages, in bytes
}

// growth is the percentage for an artwork, with so many bytes in use.
func growth(pixels int64, live uint64) int {
	bySize := 100 * growthBytes / math.Max(1, float64(pixels))
	byUse := 100 * (bytesAPixel*float64(pixels)/math.Max(1, float64(live)) - 1)
	return int(math.Max(leastGrowth, math.Min(mostGrowth, math.Max(bySize, byUse))))
}

// expect makes ready for an artwork.
func (c *collector) expect(pixels int64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.percent == 0 {
		c.afterEach()
	}
	c.pixels = max(c.pixels, pixels)
	if want := min(mostRoom, c.pixels*roomAPixel); want >= 2*c.room && pixels > 0 {
		c.room = want
		onHugePages(int(want))
	}
	c.set()
}

// set sets the percentage anew. The lock is held.
func (c *collector) set() {
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(live)
	if p := growth(c.pixels, live[0].Value.Uint64()); p != c.percent {
		c.percent = p
		debug.SetGCPercent(p)
	}
}

// afterEach sets the percentage anew whenever memory has been collected: it
// leaves something to be collected, and does so again when that is gone.
func (c *collector) afterEach() {
	runtime.SetFinalizer(&struct{ of *collector }{c}, func(*struct{ of *collector }) {
		c.mu.Lock()
		defer c.mu.Unlock()
		c.set()
		c.afterEach()
	})
}
