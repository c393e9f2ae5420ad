package raster

// spares keeps planes of one size, that of a scene's, which are used no more, for
// whoever needs one next: a page's plane is megabytes, and fresh ones cost more
// than they seem to.
type spares struct{ list []*Bits }

// take returns a plane of the size of b, which all have. What it holds is anything.
func (s *spares) take(b *Bits) *Bits {
	if s != nil && len(s.list) > 0 {
		last := s.list[len(s.list)-1]
		s.list = s.list[:len(s.list)-1]
		return last
	}
	return NewBits(b.W, b.H)
}

// give takes planes back.
func (s *spares) give(planes ...*Bits) {
	if s != nil {
		s.list = append(s.list, planes...)
	}
}
