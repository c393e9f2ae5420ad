package main

import (
	"os"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// On a full disk the old proof stays, nothing half-written is left, and the
// report is given all the same.
func TestFullDisk(t *testing.T) {
	desk(t)
	require.NoError(t, os.Mkdir("full", 0o755))
	if err := syscall.Mount("tmpfs", "full", "tmpfs", 0, "size=64k"); err != nil {
		t.Skip("a small disk cannot be mounted here (that takes root): ", err)
	}
	defer syscall.Unmount("full", 0)
	put(t, "full/holds-proof.html", []byte("old"))
	r := runIt("check", "--film", "3mil", "--out", "full", "holds.png")
	assert.Equal(t, statusBroken, r.status)
	assert.Contains(t, r.out, "HOLDS")
	assert.Contains(t, r.err, "no space left")
	left, err := os.ReadDir("full")
	require.NoError(t, err)
	require.Len(t, left, 1)
	data, err := os.ReadFile("full/holds-proof.html")
	require.NoError(t, err)
	assert.Equal(t, "old", string(data))
}
