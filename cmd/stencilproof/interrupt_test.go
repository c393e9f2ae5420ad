//go:build unix

package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// asCommand, in the environment, makes the test program be the command.
const asCommand = "STENCILPROOF_TEST_AS_COMMAND"

func TestMain(m *testing.M) {
	if os.Getenv(asCommand) != "" {
		main()
	}
	os.Exit(m.Run())
}

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

// Interrupted at any moment, a run leaves each proof file old or new, whole,
// and no temporary one.
func TestInterruptLeavesOldOrNew(t *testing.T) {
	if testing.Short() {
		t.Skip("starts the command several times")
	}
	dir := desk(t)
	self, err := os.Executable()
	require.NoError(t, err)
	endings := map[string]string{"fails-proof.html": "</html>\n", "fails-proof.pdf": "%%EOF\n", "fails-proof.png": "IEND\xaeB`\x82"}
	start := func() *exec.Cmd {
		cmd := exec.Command(self, "check", "--film", "3mil", "fails.png")
		cmd.Dir, cmd.Env = dir, append(os.Environ(), asCommand+"=1")
		require.NoError(t, cmd.Start())
		return cmd
	}
	began := time.Now()
	require.Equal(t, statusFails, exitOf(start().Wait()))
	whole := time.Since(began)
	interrupted := 0
	for i := range 6 {
		for name := range endings {
			put(t, name, []byte("old"))
		}
		cmd := start()
		time.Sleep(whole * time.Duration(i+1) / 6)
		cmd.Process.Signal(syscall.SIGINT) // may have ended already
		if exitOf(cmd.Wait()) == statusBroken {
			interrupted++
		}
		for name, ending := range endings {
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			if string(data) != "old" {
				assert.True(t, bytes.HasSuffix(bytes.TrimRight(data, "\n"), bytes.TrimRight([]byte(ending), "\n")), "%s is neither old nor whole", name)
			}
		}
		left, err := filepath.Glob(".stencilproof-*")
		require.NoError(t, err)
		assert.Empty(t, left, "temporary files are left")
	}
	assert.Positive(t, interrupted, "some runs were interrupted")
}

// exitOf is the exit status behind the error of a finished command.
func exitOf(err error) int {
	var e *exec.ExitError
	if errors.As(err, &e) {
		return e.ExitCode()
	}
	return 0
}
