package raster

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// outOfRange panics as a mistake in an index does.
func outOfRange(list []int, i int) int { return list[i] }

// A panic in any of the goroutines reaches whoever asked for the work, once the others
// have ended, and says where it was.
func TestFaultsArePassedOn(t *testing.T) {
	for name, work := range map[string]func(){
		"at once":     func() { outOfRange(nil, 3) },
		"in parallel": func() { inParallelBy(3, 50, func(i int) { outOfRange(make([]int, 40), i) }) },
		"alone":       func() { inParallelBy(1, 50, func(i int) { outOfRange(make([]int, 40), i) }) },
		"nested": func() {
			inParallelBy(2, 4, func(int) { inParallelBy(2, 4, func(i int) { outOfRange(make([]int, 3), i) }) })
		},
		"bands": func() { bands(1<<12, func(y0, y1 int) { outOfRange(make([]int, 10), y1) }) },
	} {
		f := Catch(work)
		require.NotNil(t, f, name)
		assert.Regexp(t, `^runtime error: index out of range \[\d+\] with length \d+, at raster/fault_test\.go:11$`, f.Error(), name)
	}
	assert.Nil(t, Catch(func() {}))
	assert.Equal(t, "worn out", Catch(func() { panic("worn out") }).What)
}
