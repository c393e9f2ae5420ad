package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"text/tabwriter"

	"stencilproof/preflight"
	"stencilproof/preflight/report"
)

// batchMemory is how many bytes the artworks in hand may take together, about.
// An A4 page at 1200 pixels an inch in grey takes 0.4 GB of it.
const batchMemory = 1 << 30

// check examines every artwork and prints the reports in the order of the
// arguments. The status is the worst of all.
func check(ctx context.Context, s streams, p *checkPlan, args []string) int {
	inputs, passed := gatherInputs(args)
	if !p.quiet {
		s.tellPassed(passed)
	}
	if n := countStdin(inputs); n > 1 {
		return s.refuse("check: - is named more than once", "standard input can be read once")
	}
	stems := make([]string, len(inputs))
	if p.proof {
		stems = proofStems(inputs, p.out)
	}
	desk := &desktop{inputs: guardInputs(inputs)}

	results := make([]chan outcome, len(inputs))
	for i := range results {
		results[i] = make(chan outcome, 1)
	}
	memory := newBudget(batchMemory)
	bar := s.newBar(len(inputs), p.quiet)
	defer bar.end()
	next := make(chan int)
	for range min(p.workers(), len(inputs)) {
		go func() {
			for i := range next {
				if err := inputs[i].err; err != nil {
					results[i] <- outcome{err: err}
					continue
				}
				tell := func(stage string, share float64) { bar.tell(i, stage, share) }
				var o outcome
				if err := catch(func() error {
					o = p.examine(ctx, inputs[i].name, s.in, memory, desk, stems[i], tell)
					return nil
				}); err != nil {
					o = outcome{err: err}
				}
				bar.done(i)
				results[i] <- o
			}
		}()
	}
	go func() {
		defer close(next)
		for i := range inputs {
			select {
			case next <- i:
			case <-ctx.Done():
				return
			}
		}
	}()

	t := tally{}
	for i := range inputs {
		select {
		case o := <-results[i]:
			if o.err == nil || ctx.Err() == nil {
				err := bar.aside(func() error { return s.tell(p, inputs[i].name, &o, t.judged() > 0) })
				if err != nil {
					bar.end()
					return s.refuseErr("writing the report", err)
				}
				t.add(inputs[i].name, &o)
				continue
			}
		case <-ctx.Done():
		}
		bar.end()
		desk.clear()
		return s.refuse(fmt.Sprintf("interrupted after %d of %d artworks", i, len(inputs)), "")
	}
	bar.end()
	if len(inputs) > 1 && !p.quiet {
		t.print(s.err)
	}
	return t.status
}

// desktop is where a batch puts its proofs.
type desktop struct {
	inputs  guarded
	writing sync.RWMutex
}

// proof lays out and writes a proof, unless it would go onto an artwork or the
// context has ended.
//
// It returns the files written, and what keepProof put aside.
func (d *desktop) proof(ctx context.Context, stem string, lay func() ([]proofFile, error)) (files []proofFile, aside [][2]string, err error) {
	if err := d.inputs.refusesStem(stem); err != nil {
		return nil, nil, err
	}
	err = catch(func() (err error) {
		files, err = lay()
		return err
	})
	if err != nil {
		return nil, nil, err
	}
	d.writing.RLock()
	defer d.writing.RUnlock()
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	aside, err = keepProof(files, d.inputs)
	return files, aside, err
}

// clear waits for files that are being written, and lets no more be: an
// interrupt waits for that and for nothing else.
func (d *desktop) clear() { d.writing.Lock() }

func countStdin(inputs []input) int {
	n := 0
	for _, in := range inputs {
		if in.name == "-" {
			n++
		}
	}
	return n
}

// workers is how many artworks are in hand at once. Measuring one uses all
// processors for much of its time, so by default there are only two.
func (p *checkPlan) workers() int {
	if p.jobs > 0 {
		return p.jobs
	}
	return min(2, runtime.GOMAXPROCS(0))
}

// tell prints what became of an artwork: its report to standard output, all
// else to standard error. further says that a report stands before it.
func (s streams) tell(p *checkPlan, name string, o *outcome, further bool) error {
	if o.report != nil {
		if further && !p.json {
			if _, err := io.WriteString(s.out, "\n"); err != nil {
				return err
			}
		}
		if _, err := s.out.Write(o.report); err != nil {
			return err
		}
	}
	if o.err != nil {
		s.refuseErr(report.Shown(name), o.err)
	}
	if p.quiet {
		return nil
	}
	for _, a := range o.aside {
		if a[1] == "" {
			fmt.Fprintf(s.err, "%s was a page of the proof before this one, which has fewer: it is removed\n", report.Shown(a[0]))
		}
		s.tellKept(a[0], a[1])
	}
	if o.report != nil && p.proof && p.out == "" && name == "-" {
		fmt.Fprintln(s.err, "no proof was written for standard input; --out DIR says where it should go")
	}
	for _, k := range keptByStem(o.kept) {
		of := "" // where its name does not tell
		if base := filepath.Base(name); strings.TrimSuffix(strings.TrimSuffix(filepath.Base(k.stem), "-proof"), "-bench") != strings.TrimSuffix(base, filepath.Ext(base)) {
			of = ", of " + report.Shown(name)
		}
		fmt.Fprintf(s.err, "%s: %s (%s)%s\n", k.what, report.Shown(k.stem), strings.Join(k.endings, ", "), of)
	}
	return nil
}

// tally adds up a batch for its closing table.
type tally struct {
	status int
	counts [5]int // by preflight.Verdict, broken and blank
	unkept int    // whose proof could not be kept
	rows   [][3]string
}

// What an artwork may be counted as beside its verdict: one not checked, and one with
// nothing to carve, which fails nothing.
const (
	broken = int(preflight.Fails) + 1 + iota
	blank
)

func (t *tally) add(name string, o *outcome) {
	if o.err != nil {
		t.status = statusBroken
		if o.report != nil {
			t.unkept++
		}
	}
	if o.report == nil {
		t.counts[broken]++
		t.rows = append(t.rows, [3]string{"not checked", report.Shown(name), o.err.Error()})
		return
	}
	if o.blank {
		t.counts[blank]++
		t.rows = append(t.rows, [3]string{"nothing to carve", report.Shown(name), ""})
		return
	}
	t.counts[o.verdict]++
	if o.verdict == preflight.Fails {
		t.status = max(t.status, statusFails)
	}
	t.rows = append(t.rows, [3]string{o.verdict.String(), report.Shown(name), o.worst})
}

// judged is how many artworks have a report.
func (t *tally) judged() int { return len(t.rows) - t.counts[broken] }

// print writes the closing table.
func (t *tally) print(w io.Writer) {
	fmt.Fprintf(w, "\n%d artworks: %d hold, %d at risk, %d fail, %d not checked",
		len(t.rows), t.counts[preflight.Holds], t.counts[preflight.AtRisk], t.counts[preflight.Fails], t.counts[broken])
	if n := t.counts[blank]; n > 0 {
		fmt.Fprintf(w, ", %d with nothing to carve", n)
	}
	if t.unkept > 0 {
		fmt.Fprintf(w, "; %d without a proof, which could not be kept", t.unkept)
	}
	fmt.Fprintln(w)
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, r := range t.rows {
		fmt.Fprintf(tw, "  %s\t%s\t%s\n", r[0], r[1], r[2])
	}
	tw.Flush()
}
