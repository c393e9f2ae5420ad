package main

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
)

// A mistake of the program's own on one artwork is told as such, and the others of the
// batch are judged all the same.
func TestFaultLeavesTheBatch(t *testing.T) {
	desk(t)
	film, err := preflight.ParseFilm("3 mil", preflight.Films())
	require.NoError(t, err)
	p := &checkPlan{film: film, films: preflight.Films(), quiet: true}
	p.options.Checks = []preflight.Check{func(s *preflight.Survey, _ *preflight.Report) []preflight.Note {
		if s.Artwork.File == "risk.png" {
			var none []preflight.Note
			return none[2:3]
		}
		return nil
	}}
	var out, said bytes.Buffer
	status := check(context.Background(), streams{in: strings.NewReader(""), out: &out, err: &said}, p, []string{"holds.png", "risk.png", "fails.png"})
	assert.Equal(t, statusBroken, status)
	assert.Contains(t, out.String(), "holds.png")
	assert.Contains(t, out.String(), "fails.png")
	assert.Regexp(t, `(?s)^stencilproof: risk\.png: stencilproof made a mistake of its own \(runtime error: slice bounds out of range \[:3\] with capacity 0, at stencilproof/fault_test\.go:\d+\)\nhint: [^\n]*report it`, said.String())
}
