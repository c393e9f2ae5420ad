package main

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOnHugePages(t *testing.T) {
	if _, err := os.Stat("/sys/kernel/mm/transparent_hugepage"); err != nil || strconv.IntSize < 64 {
		t.Skip("this kernel has no transparent huge pages")
	}
	// In a process of its own, whose heap has no room but this.
	const fresh = "STENCILPROOF_FRESH_HEAP"
	if os.Getenv(fresh) == "" {
		again := exec.Command(os.Args[0], "-test.run=^TestOnHugePages$")
		again.Env = append(os.Environ(), fresh+"=1")
		out, err := again.CombinedOutput()
		assert.NoError(t, err, string(out))
		return
	}
	onHugePages(256 << 20)
	plane := make([]byte, 64<<20)
	// It may begin in what was free below the room.
	flags := mappingFlags(t, uintptr(unsafe.Pointer(&plane[len(plane)/2])))
	runtime.KeepAlive(plane)
	assert.Contains(t, flags, "hg", "what is allocated later lies in the marked room")
}

// Where the room is not to be had the program goes on without.
func TestOnHugePagesWithoutRoom(t *testing.T) {
	onHugePages(1 << 46)
}

// mappingFlags returns the kernel's flags of the mapping that an address lies in.
// Source: the kernel's manual of /proc, field VmFlags of smaps.
func mappingFlags(t *testing.T, address uintptr) []string {
	f, err := os.Open("/proc/self/smaps")
	require.NoError(t, err)
	defer f.Close()
	within := false
	for lines := bufio.NewScanner(f); lines.Scan(); {
		var from, to uintptr
		if n, _ := fmt.Sscanf(lines.Text(), "%x-%x ", &from, &to); n == 2 {
			within = from <= address && address < to
		}
		if flags, ok := strings.CutPrefix(lines.Text(), "VmFlags:"); ok && within {
			return strings.Fields(flags)
		}
	}
	require.Fail(t, "no mapping holds the address")
	return nil
}
