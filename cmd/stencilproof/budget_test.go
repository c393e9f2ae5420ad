package main

import (
	"context"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is in hand together never exceeds the budget, but for a piece that is
// larger than all of it and then is alone.
func TestBudget(t *testing.T) {
	b := newBudget(100)
	var used, alone atomic.Int64
	var wg sync.WaitGroup
	for i := range 200 {
		wg.Add(1)
		go func() {
			defer wg.Done()
			weight := int64(i%7)*20 + 1 // up to 121
			if !b.take(context.Background(), weight) {
				t.Error("take gave up")
				return
			}
			if now := used.Add(weight); now > 100 && now != weight {
				t.Errorf("%d in hand", now)
			} else if now > 100 {
				alone.Add(1)
			}
			used.Add(-weight)
			b.give(weight)
		}()
	}
	wg.Wait()
	assert.Zero(t, b.used)
	assert.Positive(t, alone.Load(), "pieces over the budget came through, alone")
}

func TestBudgetEndsWithTheContext(t *testing.T) {
	b := newBudget(10)
	ctx, cancel := context.WithCancel(context.Background())
	assert.True(t, b.take(ctx, 10))
	got := make(chan bool)
	go func() { got <- b.take(ctx, 5) }()
	cancel()
	assert.False(t, <-got)
	b.give(10)
	assert.False(t, b.take(ctx, 1))
}
