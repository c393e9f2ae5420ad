package proof

import (
	"bytes"
	"compress/zlib"
	"io"
	"testing"
)

// streams returns every stream of a PDF that unpacks.
func streams(t *testing.T, pdf []byte) []string {
	t.Helper()
	var out []string
	for rest := pdf; ; {
		i := bytes.Index(rest, []byte("stream\n"))
		if i < 0 {
			return out
		}
		rest = rest[i+len("stream\n"):]
		if z, err := zlib.NewReader(bytes.NewReader(rest)); err == nil {
			if b, err := io.ReadAll(z); err == nil {
				out = append(out, string(b))
			}
		}
	}
}
