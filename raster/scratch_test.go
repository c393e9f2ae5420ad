package raster

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is lent is clear, however often it was lent before, and nothing appended
// to one piece runs into another.
func TestScratchLendsClearPieces(t *testing.T) {
	for range 3 {
		s, done := borrow()
		var lent [][]float64
		for i := range 200 {
			f := s.ofFloats(i)
			for j, v := range f {
				assert.Zero(t, v)
				f[j] = float64(i)
			}
			lent = append(lent, append(f, -1)) // moves to the heap
		}
		for i, f := range lent {
			for _, v := range f[:i] {
				assert.Equal(t, float64(i), v)
			}
		}
		done()
	}
	var none *scratch
	assert.Len(t, none.ofPoints(3), 3)
	assert.Len(t, none.ofStations(3), 3)
}
