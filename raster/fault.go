package raster

import (
	"fmt"
	"runtime/debug"
	"strings"
	"sync"
	"sync/atomic"
)

// Fault is a mistake of the program's own: what a panic said, and where. One artwork
// that meets one must not take the others of a batch with it.
type Fault struct {
	What  any
	Stack []byte
}

// Catch runs fn, and returns what it panics with; nil when it does not.
func Catch(fn func()) (f *Fault) {
	defer func() {
		switch p := recover().(type) {
		case nil:
		case *Fault: // of a goroutine, passed on
			f = p
		default:
			f = &Fault{p, debug.Stack()}
		}
	}()
	fn()
	return nil
}

// Error says what happened, and in which line.
func (f *Fault) Error() string {
	if at := f.where(); at != "" {
		return fmt.Sprintf("%v, at %s", f.What, at)
	}
	return fmt.Sprint(f.What)
}

// where is the file and line of our own that panicked: the first place of ours in the
// stack after the panic.
func (f *Fault) where() string {
	_, after, ok := strings.Cut(string(f.Stack), "\npanic(")
	if !ok {
		return ""
	}
	ours := false // the line above a place names its function
	for line := range strings.Lines(after) {
		if !strings.HasPrefix(line, "\t") {
			ours = strings.HasPrefix(line, "stencilproof/") || strings.HasPrefix(line, "main.")
			continue
		}
		if ours {
			place, _, _ := strings.Cut(strings.TrimSpace(line), " ")
			parts := strings.Split(place, "/")
			return strings.Join(parts[max(0, len(parts)-2):], "/")
		}
	}
	return ""
}

// crew is goroutines that are waited for. Where one panics, wait does.
type crew struct {
	group sync.WaitGroup
	fault atomic.Pointer[Fault]
}

func (c *crew) run(fn func()) {
	c.group.Go(func() {
		if f := Catch(fn); f != nil {
			c.fault.CompareAndSwap(nil, f)
		}
	})
}

func (c *crew) wait() {
	c.group.Wait()
	if f := c.fault.Load(); f != nil {
		panic(f)
	}
}
