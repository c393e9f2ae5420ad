package main

import (
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestGrowth(t *testing.T) {
	const page = 9921 * 14031
	assert.Equal(t, mostGrowth, growth(0, 1<<20))
	assert.Equal(t, mostGrowth, growth(1000*600, 1<<20))
	assert.Equal(t, 100, growth(8e6, 40e6))
	assert.Equal(t, leastGrowth, growth(page, 120e6))
	assert.Equal(t, leastGrowth, growth(1<<62, 1<<63))
	// What a page may use in any case: with 60 MB in use half as much again.
	assert.InDelta(t, 100*(bytesAPixel*page/60e6-1), growth(page, 60e6), 1)
	assert.Equal(t, mostGrowth, growth(page, 0))
	var c collector
	c.expect(8e6)
	c.expect(1000)
	assert.EqualValues(t, 8e6, c.pixels, "the largest artwork met counts")
}

// The percentage follows what is in use whenever memory has been collected.
func TestCollectorFollowsUse(t *testing.T) {
	var c collector
	c.expect(200e6)
	percent := func() int {
		c.mu.Lock()
		defer c.mu.Unlock()
		return c.percent
	}
	runtime.GC()
	assert.Eventually(t, func() bool { return percent() > 300 }, 10*time.Second, time.Millisecond, "hardly anything in use")
	held := make([]byte, 100e6)
	runtime.GC()
	assert.Eventually(t, func() bool { return percent() < 60 }, 10*time.Second, time.Millisecond)
	runtime.KeepAlive(held)
}
