package raster

import (
	"sync"
	"sync/atomic"
)

// progress tells how far a measuring is, as a share of its time. The zero value
// and nil tell nobody.
type progress struct {
	tell     func(share float64)
	from, to float64 // what the step in hand covers
	all      int64
	done     atomic.Int64
}

// The steps of a measuring, and at which share of its time each ends, about.
// Measuring the arcs is the long one, and is counted arc group by arc group.
const (
	doneLaying  = 0.05
	doneIslands = 0.08
	doneFilmFit = 0.20
	doneFilm    = 0.40
	doneDots    = 0.44
	doneInkFit  = 0.56
	doneInk     = 0.97
)

// reach says that all up to share is done.
func (p *progress) reach(share float64) {
	if p == nil || p.tell == nil {
		return
	}
	p.from = share
	p.tell(share)
}

// split returns what tells the film's share of it, and what the ink's.
func (p *progress) split() (film, ink *progress) {
	film, ink = &progress{}, &progress{}
	if p.tell == nil {
		return film, ink
	}
	var mu sync.Mutex
	far := [2]float64{doneLaying, doneFilm}
	side := func(i int) func(float64) {
		return func(share float64) {
			mu.Lock()
			defer mu.Unlock()
			far[i] = max(far[i], share)
			p.tell(far[0] + far[1] - doneFilm)
		}
	}
	film.tell, ink.tell = side(0), side(1)
	return film, ink
}

// count begins a step of n parts that ends at share to.
func (p *progress) count(n int, to float64) {
	if p == nil || p.tell == nil {
		return
	}
	p.to, p.all = to, int64(n)
	p.done.Store(0)
}

// parting begins the measuring of n groups of arcs of the film or the ink.
func (p *progress) parting(film bool, n int) {
	if film {
		p.reach(doneFilmFit)
		p.count(n, doneFilm)
		return
	}
	p.reach(doneInkFit)
	p.count(n, doneInk)
}

// one says that one part more of the step is done. Parts may end on any
// goroutine.
func (p *progress) one() {
	if p == nil || p.tell == nil {
		return
	}
	n := p.done.Add(1)
	p.tell(p.from + (p.to-p.from)*float64(n)/float64(p.all))
}
