package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"sync/atomic"

	"stencilproof/preflight"
	"stencilproof/preflight/report"
	"stencilproof/raster/artwork"
)

// opened is an artwork's bytes, open for reading at any place.
type opened struct {
	io.ReaderAt
	size  int64
	close func() error
}

// openInput opens an artwork. Standard input, and files that cannot be read
// twice, are read into memory, up to the limit on bytes.
func openInput(name string, stdin io.Reader, maxBytes int64) (*opened, error) {
	if name == "-" {
		return slurp(stdin, maxBytes)
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, notFound(name, err)
	}
	info, err := f.Stat()
	if err != nil {
		f.Close()
		return nil, reason(err)
	}
	if info.Mode().IsRegular() {
		return &opened{f, info.Size(), f.Close}, nil
	}
	defer f.Close()
	if info.IsDir() {
		return nil, &preflight.Problem{What: "it is a folder", Do: "name one artwork in it; check alone takes whole folders"}
	}
	return slurp(f, maxBytes)
}

func slurp(r io.Reader, maxBytes int64) (*opened, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return nil, err
	}
	if int64(len(data)) > maxBytes {
		return nil, fmt.Errorf("over the limit of %d MB", maxBytes/1e6)
	}
	return &opened{bytes.NewReader(data), int64(len(data)), func() error { return nil }}, nil
}

// sum is the SHA-256 of an artwork's bytes, in hexadecimal.
func (o *opened) sum() (string, error) {
	h := sha256.New()
	if _, err := io.Copy(h, io.NewSectionReader(o, 0, o.size)); err != nil {
		return "", reason(err)
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// bytesPerPixel is what checking an artwork costs at its peak, about: a grey
// plane, packed bits several times over, and what the proof draws. A bilevel
// artwork costs less.
const bytesPerPixel = 3

// pixels is how many pixels an artwork has, by its header.
func (o *opened) pixels() int64 {
	h, err := artwork.DecodeHeader(o, o.size)
	if err != nil {
		return 0 // decoding will say the same, and cost nothing
	}
	return int64(h.Width) * int64(h.Height)
}

// outcome is what became of one artwork.
type outcome struct {
	report  []byte // text or JSON, to standard output; nil when not judged
	verdict preflight.Verdict
	blank   bool   // nothing would be carved
	worst   string // what is worst, in a word or two, for the closing table
	err     error  // why it could not be judged, or its proof not be kept
	kept    []string
	aside   [][2]string // files that others had made with the names they are kept under; pages removed, without
}

// The shares of an artwork's work that reading, measuring and the proof take,
// about: each ends here.
const (
	readingDone   = 0.08
	measuringDone = 0.85
	sizesDone     = 0.875 // what other sizes would make of it
	judgingDone   = 0.90  // and thinner films
)

// part spreads the shares of one stage over from up to to.
func part(tell func(string, float64), from, to float64) func(string, float64) {
	return func(stage string, share float64) { tell(stage, from+(to-from)*share) }
}

// watched is a source that tells how much of it was read, to its end and again
// from its beginning when it is read twice.
type watched struct {
	io.ReaderAt
	size int64
	read atomic.Int64
	tell func(stage string, share float64)
}

func (w *watched) ReadAt(p []byte, at int64) (int, error) {
	n, err := w.ReaderAt.ReadAt(p, at)
	w.tell("reading", min(1, float64(w.read.Add(int64(n)))/float64(w.size+1)))
	return n, err
}

// examine checks one artwork and keeps its proof. stem is where its files go,
// "" for none; tell is told how far the work is.
func (p *checkPlan) examine(ctx context.Context, name string, stdin io.Reader, budget *budget, desk *desktop, stem string, tell func(stage string, share float64)) (o outcome) {
	tell("waiting", 0)
	src, err := openInput(name, stdin, artwork.DefaultMaxBytes)
	if err != nil {
		return outcome{err: err}
	}
	defer src.close()
	pixels := src.pixels()
	weight := pixels * bytesPerPixel
	if !budget.take(ctx, weight) {
		return outcome{err: ctx.Err()}
	}
	defer budget.give(weight)
	collect.expect(pixels)

	order := p.order
	order.File = name
	order.Progress = part(tell, readingDone, measuringDone)
	if order.SHA256, err = src.sum(); err != nil {
		return outcome{err: err}
	}
	pic, err := artwork.Decode(&watched{ReaderAt: src, size: src.size, tell: part(tell, 0, readingDone)}, src.size, p.decode)
	if err != nil {
		return outcome{err: err}
	}
	if ctx.Err() != nil {
		return outcome{err: ctx.Err()}
	}
	survey, err := preflight.Take(pic, order, p.film)
	if err != nil {
		return outcome{err: err}
	}
	r := preflight.Judge(survey, p.film, p.options)
	o.verdict, o.blank, o.worst = r.Verdict, r.Blank(), worstOf(r)
	write := report.Text
	if p.json {
		write = report.JSON
	}
	var b bytes.Buffer
	if err := write(&b, r); err != nil {
		return outcome{err: err}
	}
	o.report = b.Bytes()
	if stem == "" || ctx.Err() != nil {
		return o
	}
	files, aside, err := desk.proof(ctx, stem, func() ([]proofFile, error) {
		job := p.job
		sizes := part(tell, measuringDone, sizesDone)
		r := preflight.Confirm(r, survey, pic, p.options, func(share float64) { sizes("measuring for other sizes", share) })
		if r.Verdict != preflight.Holds {
			job.Films = thinnerFilms(survey, pic, p.films, p.film, p.options, part(tell, sizesDone, judgingDone))
		}
		tell("drawing the proof", judgingDone)
		bench := p.bench
		if bench != nil {
			facts := *bench
			facts.Films = allFilms(survey, p.films, p.film, job.Films, p.options)
			bench = &facts
		}
		return layProof(r, pic.Ink, job, bench, stem)
	})
	o.aside = aside
	if err != nil {
		o.err = err
		return o
	}
	for _, f := range files {
		o.kept = append(o.kept, f.name)
	}
	return o
}

// worstOf names an artwork's worst mark.
func worstOf(r *preflight.Report) string {
	if len(r.Marks) == 0 {
		return ""
	}
	m := &r.Marks[0]
	return fmt.Sprintf("%s of %.3f mm", m.Kind, m.WidthUM/1000)
}
