package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"reflect"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
	"stencilproof/raster/pen"
)

// openTerminal opens a pseudo terminal: the side that a program writes to, and
// what it wrote so far.
func openTerminal(t *testing.T) (tty *os.File, written func() string) {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Skip("no pseudo terminals here: " + err.Error())
	}
	t.Cleanup(func() { master.Close() })
	number, unlock := new(uint32), new(uint32)
	raw, err := master.SyscallConn()
	require.NoError(t, err)
	require.NoError(t, raw.Control(func(fd uintptr) {
		// TIOCGPTN and TIOCSPTLCK of ioctl_tty(2).
		for request, value := range map[uintptr]*uint32{0x80045430: number, 0x40045431: unlock} {
			_, _, errno := syscall.Syscall(syscall.SYS_IOCTL, fd, request, reflect.ValueOf(value).Pointer())
			require.Zero(t, errno)
		}
	}))
	runtime.KeepAlive(number)
	runtime.KeepAlive(unlock)
	tty, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", *number), os.O_RDWR|syscall.O_NOCTTY, 0)
	require.NoError(t, err)
	t.Cleanup(func() { tty.Close() })
	var mu sync.Mutex
	var all bytes.Buffer
	go func() {
		buf := make([]byte, 4096)
		for {
			n, err := master.Read(buf)
			mu.Lock()
			all.Write(buf[:n])
			mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	return tty, func() string {
		mu.Lock()
		defer mu.Unlock()
		return all.String()
	}
}

// screen is what stands on a terminal that was written to, without blanks at
// the end of lines.
func screen(written string) []string {
	var lines []string
	for _, line := range strings.Split(written, "\n") {
		var cells []rune
		at := 0
		for _, r := range line {
			if r == '\r' {
				at = 0
				continue
			}
			if at == len(cells) {
				cells = append(cells, ' ')
			}
			cells[at] = r
			at++
		}
		lines = append(lines, strings.TrimRight(string(cells), " "))
	}
	return lines
}

// slowArtwork is a PNG of which the quickest machine has more to measure than the bar
// waits between two drawings: a page of hairlines.
func slowArtwork(t *testing.T) []byte {
	t.Helper()
	c := pen.NewCanvas(2400, 2100)
	for y := 20.0; y < 2080; y += 12 {
		for x := 20.0; x < 2280; x += 110 {
			c.Fill(pen.Line(raster.Point{X: x, Y: y}, raster.Point{X: x + 100, Y: y + 5}, 1.5))
		}
	}
	var b bytes.Buffer
	require.NoError(t, artwork.EncodePNG(&b, c.Ink(), 600))
	return b.Bytes()
}

// await waits until ok, and fails when that takes longer than any machine needs.
func await(t *testing.T, what string, ok func() bool) {
	t.Helper()
	for end := time.Now().Add(time.Minute); !ok(); time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("waited a minute for %s", what)
		}
	}
}

// On a terminal a bar tells how far the work is, ten times a second at most,
// and is wiped; it is silent when asked to be or when nobody looks; and an
// interrupt in the middle of the measuring wipes it too.
func TestBar(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the command on a page that takes a while")
	}
	dir := desk(t)
	self, err := os.Executable()
	require.NoError(t, err)
	slow := slowArtwork(t)
	type ran struct {
		cmd   *exec.Cmd
		feed  func()
		out   *bytes.Buffer
		began time.Time
	}
	start := func(stderr *os.File, args ...string) ran {
		r := ran{cmd: exec.Command(self, args...), out: &bytes.Buffer{}, began: time.Now()}
		in, err := r.cmd.StdinPipe()
		require.NoError(t, err)
		r.cmd.Dir, r.cmd.Stdout, r.cmd.Stderr = dir, r.out, stderr
		r.cmd.Env = append(os.Environ(), asCommand+"=1", "TERM=xterm")
		require.NoError(t, r.cmd.Start())
		r.feed = func() {
			_, err := in.Write(slow)
			require.NoError(t, err)
			require.NoError(t, in.Close())
		}
		return r
	}

	tty, written := openTerminal(t)
	r := start(tty, "check", "--film", "3mil", "--no-proof", "--format", "json", "holds.png", "-")
	await(t, "the bar", func() bool { return strings.Contains(written(), "artwork 2 of 2 [     ") })
	r.feed()
	await(t, "measuring", func() bool { return strings.Contains(written(), " % measuring") })
	assert.Equal(t, statusFails, exitOf(r.cmd.Wait()))
	took := time.Since(r.began)
	assert.Equal(t, 2, strings.Count(r.out.String(), "\n"))
	await(t, "the closing table", func() bool { return strings.Contains(written(), "fails  -") })
	drawn := strings.Count(written(), "\rartwork")
	assert.LessOrEqual(t, drawn, int(took/barEvery)+1, "drawn more often than ten times a second")
	shown := screen(written())
	assert.Empty(t, shown[0], "the bar is wiped")
	for _, line := range shown {
		assert.NotContains(t, line, "[")
	}
	assert.Contains(t, strings.Join(shown, "\n"), "2 artworks: 1 hold, 0 at risk, 1 fail, 0 not checked")

	// Nothing when quiet.
	tty, written = openTerminal(t)
	r = start(tty, "check", "--film", "3mil", "--no-proof", "--quiet", "-")
	r.feed()
	assert.Equal(t, statusFails, exitOf(r.cmd.Wait()))
	assert.Empty(t, written())

	// Nothing but words when standard error is a file.
	file, err := os.Create("errors.txt")
	require.NoError(t, err)
	r = start(file, "check", "--film", "3mil", "--format", "json", "-")
	r.feed()
	assert.Equal(t, statusFails, exitOf(r.cmd.Wait()))
	said, err := os.ReadFile("errors.txt")
	require.NoError(t, err)
	assert.Equal(t, "no proof was written for standard input; --out DIR says where it should go\n", string(said))

	// Interrupted while measuring, by check and by choose.
	for _, args := range [][]string{{"check", "--film", "3mil", "-"}, {"choose", "--chart", "other.svg", "-"}} {
		tty, written = openTerminal(t)
		r = start(tty, args...)
		r.feed()
		await(t, "measuring", func() bool { return strings.Contains(written(), " % measuring") })
		require.NoError(t, r.cmd.Process.Signal(syscall.SIGINT))
		assert.Equal(t, statusBroken, exitOf(r.cmd.Wait()))
		assert.Empty(t, r.out.String())
		await(t, "the last word", func() bool { return strings.Contains(written(), "interrupted") })
		shown = screen(written())
		assert.True(t, strings.HasPrefix(shown[0], "stencilproof: "), "what stands on the terminal: %q", shown)
		assert.NoFileExists(t, "other.svg")
	}
}

func TestBarLine(t *testing.T) {
	b := &bar{works: make([]work, 12)}
	assert.Empty(t, b.line(), "nothing is in hand yet")
	b.tell(0, "measuring", 0.5)
	b.tell(1, "reading", 1)
	assert.Equal(t, "artwork 1 of 12 [============            ]  50 % measuring", b.line())
	b.tell(0, "measuring", 0.4)
	assert.Contains(t, b.line(), " 50 %", "it never goes back")
	b.done(0)
	assert.Equal(t, "artwork 2 of 12 [========================] 100 % reading", b.line())
	b.tell(1, strings.Repeat("long ", 20), 7)
	assert.Len(t, b.line(), barColumns)
}
