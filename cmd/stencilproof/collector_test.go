package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestGrowth(t *testing.T) {
	assert.Equal(t, mostGrowth, growth(0))
	assert.Equal(t, mostGrowth, growth(1000*600))
	assert.Equal(t, 100, growth(8e6))
	assert.Equal(t, leastGrowth, growth(9921*14031))
	assert.Equal(t, leastGrowth, growth(1<<62))
	var c collector
	c.expect(8e6)
	c.expect(1000)
	assert.Equal(t, 100, c.percent, "the largest artwork met counts")
}
