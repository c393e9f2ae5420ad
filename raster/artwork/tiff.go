package artwork

import (
	"fmt"
	"io"
	"runtime"
	"sync"
	"sync/atomic"
)

// maxPages bounds the directories that are followed.
const maxPages = 4096

// decodeTIFF reads one picture of a TIFF.
func decodeTIFF(src source, l limits) (*Picture, error) {
	f, err := openTIFF(src)
	if err != nil {
		return nil, err
	}
	pages, err := f.pages()
	if err != nil {
		return nil, err
	}
	p := &Picture{Pages: len(pages)}
	if p.Page, err = l.pageOf(p.Pages); err != nil {
		return nil, err
	}
	g, err := f.page(pages[p.Page-1], l, p)
	if err != nil || l.headOnly {
		return p, err
	}
	p.Model, p.Depth = g.ink.space.String(), g.depth
	if g.depth == 1 && g.samples == 1 && g.ink.space == greySpace {
		p.Model = "bilevel"
	}
	p.Lossy = g.compression == compJPEG
	if err := g.decode(p); err != nil {
		return nil, err
	}
	if g.guessed && p.Alpha {
		p.remark("Its extra channel is not marked; it was taken for transparency.")
	}
	return p, nil
}

// pages lists the directories that hold pictures of their own: no reduced copy
// (bit 0 of NewSubfileType, or 2 in the old SubfileType) and no mask (bit 2).
// When nothing else is there, the first counts after all.
func (f *tiffFile) pages() ([]fields, error) {
	var real []fields
	var first fields
	seen := map[int64]bool{}
	for off := f.first; off != 0 || first == nil; {
		if seen[off] || len(seen) >= maxPages {
			break // directories in a ring; those seen so far count
		}
		seen[off] = true
		d, next, err := f.directory(off)
		if err != nil {
			return nil, err
		}
		if first == nil {
			first = d
		}
		kind, err := f.one(d, tagNewSubfileType, 0)
		if err != nil {
			return nil, err
		}
		old, err := f.one(d, tagSubfileType, 1)
		if err != nil {
			return nil, err
		}
		if kind&5 == 0 && old != 2 {
			real = append(real, d)
		}
		off = next
	}
	if len(real) == 0 {
		real = []fields{first}
	}
	return real, nil
}

// decode reads all chunks, bands of them in parallel.
func (g *tiffPage) decode(p *Picture) error {
	c := newCanvas(g.w, g.h)
	workers := min(runtime.GOMAXPROCS(0), g.bands)
	tallies := make([]*tally, workers)
	errs := make([]error, workers)
	failed := make([]int, workers) // the band of errs
	var next, stop atomic.Int64
	stop.Store(int64(g.bands))
	var wait sync.WaitGroup
	for i := range workers {
		wait.Go(func() {
			w := newTIFFWorker(g, c)
			// Bands are handed out in order and none is abandoned once begun, so the
			// first damaged one is always the one that is reported.
			for {
				band := next.Add(1) - 1
				if band >= stop.Load() {
					break
				}
				if err := w.band(int(band)); err != nil {
					errs[i], failed[i] = err, int(band)
					stop.Store(0)
					break
				}
			}
			tallies[i] = w.conv.finish()
		})
	}
	wait.Wait()
	worst := -1
	for i, err := range errs {
		if err != nil && (worst < 0 || failed[i] < failed[worst]) {
			worst = i
		}
	}
	if worst >= 0 {
		return dataError(fmt.Sprintf("tiff: rows from %d on", failed[worst]*g.ch), errs[worst])
	}
	for _, t := range tallies[1:] {
		tallies[0].merge(t)
	}
	tallies[0].tell(p)
	p.Ink = c.ink()
	return nil
}

// tiffWorker decodes bands: a row of tiles, or a strip.
type tiffWorker struct {
	g      *tiffPage
	canvas *canvas
	conv   *converter
	files  []inflater // by plane
	planes [][]byte   // a row of each plane
	// straight says that stored bits are ink as they are, flip that they are its
	// complement; else they take the way of all samples.
	straight, flip bool
	fax            fax
	line           []uint64
}

func newTIFFWorker(g *tiffPage, c *canvas) *tiffWorker {
	w := &tiffWorker{g: g, canvas: c, conv: newConverter(g.ink, min(g.cw, g.w), g.isLittle())}
	n := 1
	if g.apart {
		n = g.samples
	}
	w.files, w.planes = make([]inflater, n), make([][]byte, n)
	for i := range w.files {
		w.files[i].g = g
	}
	if t := w.conv.lut; g.depth == 1 && len(t) == 2 {
		w.straight = t[0] == 0 && t[1] == 255
		w.flip = t[0] == 255 && t[1] == 0
	}
	w.line = make([]uint64, (g.cw+63)/64)
	return w
}

// band decodes one row of chunks. A panic of a decoder becomes an error here,
// since the caller's recover cannot reach this goroutine.
func (w *tiffWorker) band(band int) (err error) {
	defer guard("tiff", &err)
	g := w.g
	for i := range g.across {
		chunk := band*g.across + i
		x := i * g.cw
		width, rows := min(g.cw, g.w-x), min(g.ch, g.h-band*g.ch)
		switch g.compression {
		case compRLE, compRLEW, compG3, compG4:
			err = w.faxChunk(chunk, x, band*g.ch, width, rows)
		case compJPEG:
			err = w.jpegChunk(chunk, x, band*g.ch, width, rows)
		default:
			err = w.chunk(chunk, x, band*g.ch, width, rows)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// chunk reads the rows of a chunk, of each plane in step, so that no more than a
// row of each is held however long a strip is.
func (w *tiffWorker) chunk(chunk, x, y, width, rows int) error {
	g := w.g
	size, step := g.rowBytes(), g.samples
	if g.apart {
		step = 1
	}
	readers := make([]io.Reader, len(w.planes))
	for p := range readers {
		r, err := w.files[p].open(chunk + p*g.across*g.bands)
		if err != nil {
			return err
		}
		readers[p] = r
		if w.planes[p] == nil {
			w.planes[p] = make([]byte, size)
		}
	}
	for row := range rows {
		for p, r := range readers {
			if _, err := io.ReadFull(r, w.planes[p]); err != nil {
				return err
			}
			if g.predictor {
				unpredict(w.planes[p], g.depth, step, g.isLittle())
			}
		}
		if err := w.emit(x, y+row, width, w.planes); err != nil {
			return err
		}
	}
	for p, r := range readers {
		// Room for the rows of the chunk that lie below the picture.
		if err := w.files[p].close(r, int64(size)*int64(g.ch-rows)+int64(size)); err != nil {
			return err
		}
	}
	return nil
}

// emit puts one row of a chunk onto the canvas.
func (w *tiffWorker) emit(x, y, width int, planes [][]byte) error {
	if w.straight || w.flip {
		fromMSB(w.line, planes[0], width)
		w.emitLine(x, y, width, w.line)
		return nil
	}
	cover, err := w.conv.coverage(planes, width)
	if err != nil {
		return err
	}
	w.canvas.put(x, y, cover)
	return nil
}

// emitLine ORs packed values into the canvas as ink. Bits beyond width must be 0.
func (w *tiffWorker) emitLine(x, y, width int, line []uint64) {
	row := w.canvas.bits.Row(y)
	for i := 0; i < (width+63)/64; i++ {
		v := line[i]
		if w.flip {
			v = ^v
			if rest := width - 64*i; rest < 64 {
				v &= 1<<rest - 1
			}
		}
		if v != 0 {
			orBits(row, x+64*i, v)
		}
	}
}

// faxChunk decodes a chunk of one of the CCITT codes. A black run is a 1 bit
// (TIFF 6.0 sections 10 and 11); whether that is ink PhotometricInterpretation
// says, as with every other bit. (BlackIsZero files are where readers err.)
func (w *tiffWorker) faxChunk(chunk, x, y, width, rows int) error {
	g := w.g
	raw, err := g.rawChunk(chunk)
	if err != nil {
		return err
	}
	mode := faxMode{width: g.cw}
	switch g.compression {
	case compG4:
		mode.kind = faxT6
	case compG3:
		mode.kind = faxT4
		if g.t4&1 != 0 {
			mode.kind = faxT4twoD
		}
	case compRLE:
		mode.align = 8
	case compRLEW:
		mode.align = 16
	}
	w.fax.reset(raw, mode)
	packed := make([]byte, 0)
	for row := range rows {
		clear(w.line)
		if err := w.fax.row(w.line); err != nil {
			return fmt.Errorf("row %d: %w", y+row, err)
		}
		if width < g.cw { // a tile over the picture's edge
			n := (width + 63) / 64
			if rest := width & 63; rest != 0 {
				w.line[n-1] &= 1<<rest - 1
			}
		}
		if w.straight || w.flip {
			w.emitLine(x, y+row, width, w.line)
			continue
		}
		packed = toMSB(packed[:0], w.line, width)
		if err := w.emit(x, y+row, width, [][]byte{packed}); err != nil {
			return err
		}
	}
	return nil
}
