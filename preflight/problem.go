package preflight

// Problem is an error of the person asking, not of the program: What is wrong,
// and Do is what would put it right. A command prints the two on lines of
// their own.
type Problem struct {
	What string
	Do   string
}

func (p *Problem) Error() string { return p.What }

// Hint returns what would put it right.
func (p *Problem) Hint() string { return p.Do }
