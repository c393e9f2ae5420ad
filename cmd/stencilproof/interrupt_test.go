//go:build unix

package main

import (
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stuck is a standard input that interrupts the program when it is read, and
// never gives anything.
type stuck struct{ release chan struct{} }

func (s stuck) Read([]byte) (int, error) {
	syscall.Kill(os.Getpid(), syscall.SIGINT)
	<-s.release
	return 0, os.ErrClosed
}

func TestInterrupt(t *testing.T) {
	desk(t)
	before := files(t)
	in := stuck{make(chan struct{})}
	defer close(in.release)
	var out, errs strings.Builder
	done := make(chan int)
	go func() {
		done <- run([]string{"check", "--film", "3mil", "--jobs", "1", "-", "holds.png"}, in, &out, &errs)
	}()
	select {
	case status := <-done:
		assert.Equal(t, statusBroken, status)
		assert.Contains(t, errs.String(), "interrupted after 0 of 2 artworks")
		assert.Empty(t, out.String())
	case <-time.After(20 * time.Second):
		t.Fatal("an interrupt does not end the work in hand")
	}
	require.Empty(t, files(t, before...))
}
