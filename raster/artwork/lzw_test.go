package artwork

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/tiff/lzw"
)

// packLZW codes data as TIFF 6.0 section 13 describes it, clearing the table when
// it has top entries.
func packLZW(data []byte, top int) []byte {
	var b bitText
	width, next, table := 9, 258, map[string]int{}
	put := func(code int) { b.add(fmt.Sprintf("%0*b", width, code)) }
	code := func(s string) int {
		if len(s) == 1 {
			return int(s[0])
		}
		return table[s]
	}
	put(256)
	cur := ""
	for _, v := range data {
		s := cur + string([]byte{v})
		if _, ok := table[s]; ok || len(s) == 1 {
			cur = s
			continue
		}
		put(code(cur))
		table[s] = next
		next++
		cur = s[len(s)-1:]
		if next == 512 || next == 1024 || next == 2048 {
			width++
		}
		if next == top {
			put(256)
			width, next, table = 9, 258, map[string]int{}
		}
	}
	if cur != "" {
		put(code(cur))
		// The reader adds an entry with this code too, and may grow.
		if next++; next == 512 || next == 1024 || next == 2048 {
			width++
		}
	}
	put(257)
	return b.out
}

// TestLZW compares with what was packed and with x/image/tiff/lzw, over data that
// make long entries, new ones that are used at once, and full tables.
func TestLZW(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	noise := make([]byte, 40000)
	for i := range noise {
		noise[i] = byte(rnd.Uint32())
	}
	few := make([]byte, 40000)
	for i := range few {
		few[i] = byte(rnd.IntN(3))
	}
	var z lzwReader // one for all, as strips use it
	for name, data := range map[string][]byte{
		"empty": nil, "one": {7}, "zeros": make([]byte, 200000), "noise": noise, "few": few,
		"steps": bytes.Repeat([]byte{1, 2, 1, 2, 1, 3}, 5000),
	} {
		for _, top := range []int{300, 511, 600, 1024, 4094} {
			t.Run(fmt.Sprint(name, " ", top), func(t *testing.T) {
				packed := packLZW(data, top)
				z.reset(bufio.NewReader(bytes.NewReader(packed)))
				got, err := io.ReadAll(&z)
				require.NoError(t, err)
				require.True(t, bytes.Equal(data, got))
				want, err := io.ReadAll(lzw.NewReader(bytes.NewReader(packed), lzw.MSB, 8))
				require.NoError(t, err)
				require.True(t, bytes.Equal(want, got))
				z.reset(bufio.NewReader(bytes.NewReader(packed[:len(packed)-1])))
				_, err = io.ReadAll(&z)
				require.ErrorIs(t, err, io.ErrUnexpectedEOF)
			})
		}
	}
}

// TestLZWNoise: on noise the reader ends as x/image/tiff/lzw does, and has the
// same bytes before.
func TestLZWNoise(t *testing.T) {
	var z lzwReader
	for seed := range uint64(300) {
		rnd := rand.New(rand.NewPCG(seed, 5))
		b := make([]byte, 1+rnd.IntN(300))
		for i := range b {
			b[i] = byte(rnd.Uint32() & rnd.Uint32())
		}
		z.reset(bufio.NewReader(bytes.NewReader(b)))
		got, err := io.ReadAll(&z)
		want, wantErr := io.ReadAll(lzw.NewReader(bytes.NewReader(b), lzw.MSB, 8))
		require.Equal(t, wantErr == nil, err == nil, "seed %d: %v, twin %v", seed, err, wantErr)
		require.True(t, bytes.Equal(want, got), "seed %d", seed)
	}
}
