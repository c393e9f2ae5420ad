//go:build unix

package main

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Choosing among seven films costs less than twice one check, as people run it, with its
// proof, of the film whose limits cost most. It is timed, so it wants a machine with
// nothing else to do, and is asked for by STENCILPROOF_COST.
func TestChooseCostsLessThanTwoChecks(t *testing.T) {
	if os.Getenv("STENCILPROOF_COST") == "" {
		t.Skip("timed: set STENCILPROOF_COST on a quiet machine")
	}
	self, err := os.Executable()
	require.NoError(t, err)
	took := func(args ...string) time.Duration {
		cmd := exec.Command(self, args...)
		cmd.Env = append(os.Environ(), asCommand+"=1")
		began := time.Now()
		status := exitOf(cmd.Run())
		require.LessOrEqual(t, status, statusFails, "%v", args)
		return time.Since(began)
	}
	for _, name := range []string{"fair-winds.png", "boathouse-plate.png", "regatta-crest.png", "regatta-crest.tif", "cutter-dots.png", "cutter-dots.tif"} {
		art := filepath.Join("..", "..", "examples", name)
		check, choose := time.Duration(math.MaxInt64), time.Duration(math.MaxInt64)
		for range 5 { // the best of, turn and turn about
			check = min(check, took("check", "--film", "10 mil", "--quiet", "--out", t.TempDir(), art))
			choose = min(choose, took("choose", "--quiet", art))
		}
		t.Logf("%s: check %.2f s, choose %.2f s, %.2f checks", name, check.Seconds(), choose.Seconds(), choose.Seconds()/check.Seconds())
		assert.Less(t, choose.Seconds(), 2*check.Seconds(), name)
	}
}
