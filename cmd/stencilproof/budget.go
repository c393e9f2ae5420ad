package main

import (
	"context"
	"sync"
)

// budget is memory shared by the artworks in hand. What is larger than all of
// it waits until it is alone.
type budget struct {
	mu   sync.Mutex
	free *sync.Cond
	all  int64
	used int64
}

func newBudget(bytes int64) *budget {
	b := &budget{all: bytes}
	b.free = sync.NewCond(&b.mu)
	return b
}

// take waits until weight bytes are free, and takes them. It returns false when
// the context ends first.
func (b *budget) take(ctx context.Context, weight int64) bool {
	stop := context.AfterFunc(ctx, func() {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.free.Broadcast()
	})
	defer stop()
	b.mu.Lock()
	defer b.mu.Unlock()
	for b.used > 0 && b.used+weight > b.all {
		if ctx.Err() != nil {
			return false
		}
		b.free.Wait()
	}
	if ctx.Err() != nil {
		return false
	}
	b.used += weight
	return true
}

// give returns what take took.
func (b *budget) give(weight int64) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.used -= weight
	b.free.Broadcast()
}
