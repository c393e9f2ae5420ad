package artwork

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// The bad files of these tests are good ones with named bytes changed.

func readForm(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(formsDir, name))
	require.NoError(t, err)
	return b
}

func be32(b []byte) uint32 { return binary.BigEndian.Uint32(b) }

// putCRC sets the last four bytes of a PNG chunk, given from its name on.
func putCRC(chunk []byte) {
	n := len(chunk) - 4
	binary.BigEndian.PutUint32(chunk[n:], crc32.ChecksumIEEE(chunk[:n]))
}

// replace changes the first old to new, of the same length.
func replace(b []byte, old, new string) []byte {
	return bytes.Replace(b, []byte(old), []byte(new), 1)
}

func flipAt(b []byte, i int) []byte {
	b = bytes.Clone(b)
	b[i] ^= 0x10
	return b
}

// tagAt returns the offset of a tag's entry in the first directory of a classic
// little-endian TIFF.
func tagAt(t testing.TB, b []byte, tag uint16) int {
	t.Helper()
	le := binary.LittleEndian
	require.Equal(t, "II*\x00", string(b[:4]))
	at := int(le.Uint32(b[4:]))
	for i := range int(le.Uint16(b[at:])) {
		if e := at + 2 + 12*i; le.Uint16(b[e:]) == tag {
			return e
		}
	}
	require.Failf(t, "no such tag", "%d", tag)
	return 0
}

// retag returns the file with a tag's value, or the offset of its values, changed;
// the field becomes a LONG of count.
func retag(t testing.TB, b []byte, tag uint16, count, value uint32) []byte {
	t.Helper()
	b = bytes.Clone(b)
	e := tagAt(t, b, tag)
	le := binary.LittleEndian
	le.PutUint16(b[e+2:], 4)
	le.PutUint32(b[e+4:], count)
	le.PutUint32(b[e+8:], value)
	return b
}

// rename gives a tag another number, so that it is missing (and another there).
func rename(t testing.TB, b []byte, tag, to uint16) []byte {
	t.Helper()
	b = bytes.Clone(b)
	binary.LittleEndian.PutUint16(b[tagAt(t, b, tag):], to)
	return b
}

// longs appends values to the file and returns their offset.
func longs(b []byte, values ...uint32) ([]byte, uint32) {
	at := uint32(len(b))
	b = bytes.Clone(b)
	for _, v := range values {
		b = binary.LittleEndian.AppendUint32(b, v)
	}
	return b, at
}
