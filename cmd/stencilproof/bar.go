package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"
	"unicode/utf8"
)

// How often the bar is drawn, how long it is, and the longest line: an old
// terminal has 80 columns, and a line that breaks cannot be wiped.
const (
	barEvery   = 100 * time.Millisecond
	barCells   = 24
	barColumns = 72
)

// bar tells on a terminal how far the work is: one line, drawn anew ten times a
// second at most, and wiped before anything else is printed. A nil bar tells
// nothing. Its methods may be called from several goroutines.
type bar struct {
	mu    sync.Mutex
	w     io.Writer
	works []work
	shown string // what stands on the terminal
	stop  func() // ends the drawing
}

// work is one artwork in hand.
type work struct {
	stage string
	share float64 // of all of it, 0 to 1
	done  bool
}

// newBar begins a bar for n artworks; nil unless standard error is a terminal.
// The first drawing comes after a tenth of a second, so that what is quick
// shows nothing.
func (s streams) newBar(n int, quiet bool) *bar {
	if quiet || n == 0 || !terminal(s.err) {
		return nil
	}
	b := &bar{w: s.err, works: make([]work, n)}
	stop, ended := make(chan struct{}), make(chan struct{})
	b.stop = sync.OnceFunc(func() {
		close(stop)
		<-ended
	})
	go func() {
		defer close(ended)
		tick := time.NewTicker(barEvery)
		defer tick.Stop()
		for {
			select {
			case <-tick.C:
				b.mu.Lock()
				b.show(b.line())
				b.mu.Unlock()
			case <-stop:
				return
			}
		}
	}()
	return b
}

// terminal reports whether w is one that a line can be drawn on again and again.
func terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok || os.Getenv("TERM") == "dumb" {
		return false
	}
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull) // a character device, and no terminal
	return err != nil || !os.SameFile(info, null)
}

// tell says that artwork i is in a stage, and how much of all its work is done.
func (b *bar) tell(i int, stage string, share float64) {
	if b == nil {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	w := &b.works[i]
	w.stage, w.share = stage, min(max(share, w.share), 1)
}

// done says that nothing is left to do for artwork i.
func (b *bar) done(i int) {
	if b == nil {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.works[i].done = true
}

// aside wipes the bar and keeps it off the terminal while fn prints.
func (b *bar) aside(fn func() error) error {
	if b == nil {
		return fn()
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.show("")
	return fn()
}

// end wipes the bar for good; ending twice does nothing more.
func (b *bar) end() {
	if b == nil {
		return
	}
	b.stop()
	b.aside(func() error { return nil })
}

// line is what the bar shows: the first artwork that is not done.
func (b *bar) line() string {
	for i, w := range b.works {
		if w.done || w.stage == "" {
			continue
		}
		full := int(w.share * barCells)
		line := fmt.Sprintf("artwork %d of %d [%s%s] %3d %% %s", i+1, len(b.works),
			strings.Repeat("=", full), strings.Repeat(" ", barCells-full), int(100*w.share), w.stage)
		if r := []rune(line); len(r) > barColumns {
			line = string(r[:barColumns])
		}
		return line
	}
	return ""
}

// show puts a line where the last one stood. It writes no control codes but the
// carriage return, which every terminal knows.
func (b *bar) show(line string) {
	if line == b.shown {
		return
	}
	wipe := max(0, utf8.RuneCountInString(b.shown)-utf8.RuneCountInString(line))
	end := ""
	if line == "" {
		end = "\r"
	}
	io.WriteString(b.w, "\r"+line+strings.Repeat(" ", wipe)+end)
	b.shown = line
}
