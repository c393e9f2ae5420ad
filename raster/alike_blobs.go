package raster

import (
	"encoding/binary"
	"sync"
)

// alikeBlobs remembers whole pieces measured. In whole pixels a piece's width depends
// on its pixels and on nothing around it, and a page has the same dots, and the same
// holes of the same letters, again and again. A nil one remembers nothing.
type alikeBlobs struct {
	mu    sync.Mutex
	known map[string]Blob
	size  int
}

const (
	// blobWindow is the largest window of a piece remembered, in pixels.
	blobWindow = 1 << 14
	// blobsMost bounds what is remembered, in bytes.
	blobsMost = 8 << 20
)

// key is all that measuring a piece depends on; empty for what is not remembered.
func (t *alikeBlobs) key(p *piece) string {
	if t == nil || p.f.grey != nil || p.own.W*p.own.H > blobWindow {
		return ""
	}
	k := make([]byte, 0, 16+8*len(p.own.Words))
	side := byte(0)
	if p.f.film {
		side = 1
	}
	k = append(k, side)
	k = binary.LittleEndian.AppendUint32(k, uint32(p.own.W))
	k = binary.LittleEndian.AppendUint32(k, uint32(p.own.H))
	for _, w := range p.own.Words {
		k = binary.LittleEndian.AppendUint64(k, w)
	}
	return string(k)
}

func (t *alikeBlobs) get(key string) (Blob, bool) {
	if key == "" {
		return Blob{}, false
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	b, ok := t.known[key]
	return b, ok
}

func (t *alikeBlobs) put(key string, b Blob) {
	if key == "" {
		return
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	const perBlob = 128
	if t.size += len(key) + perBlob; t.size > blobsMost {
		return
	}
	if t.known == nil {
		t.known = map[string]Blob{}
	}
	t.known[key] = b
}
