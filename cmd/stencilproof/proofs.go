package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"stencilproof/preflight"
	"stencilproof/preflight/proof"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// proofStems gives every artwork the path of its proof files without their
// endings: NAME-proof beside it or in the folder out, "" for standard input
// without a folder. Within a batch no two are the same, not even on a disk that
// takes capitals for small letters: artworks of one name differ by their
// ending (NAME-png-proof, NAME-tif-proof), and those that still meet are
// numbered in their order (NAME-png-2-proof).
func proofStems(inputs []input, out string) []string {
	stems := make([]string, len(inputs))
	key := func(s string) string { return strings.ToLower(filepath.Clean(s)) }
	folder := func(name string) string {
		if out != "" {
			return out
		}
		return filepath.Dir(name)
	}
	met := map[string]int{}
	for i, in := range inputs {
		switch {
		case in.name == "-" && out == "":
			continue
		case in.name == "-":
			stems[i] = filepath.Join(out, "stdin")
		default:
			base := filepath.Base(in.name)
			stems[i] = filepath.Join(folder(in.name), strings.TrimSuffix(base, filepath.Ext(base)))
		}
		met[key(stems[i])]++
	}
	taken := map[string]bool{}
	for i, in := range inputs {
		if stems[i] == "" {
			continue
		}
		if met[key(stems[i])] > 1 {
			if ending := strings.TrimPrefix(filepath.Ext(in.name), "."); ending != "" {
				stems[i] += "-" + ending
			}
		}
		stem := stems[i]
		for n := 2; taken[key(stem)]; n++ {
			stem = fmt.Sprintf("%s-%d", stems[i], n)
		}
		taken[key(stem)] = true
		stems[i] = stem + "-proof"
	}
	return stems
}

// guarded are the files that must never be written over: the inputs.
type guarded []os.FileInfo

// guardInputs notes the files behind every input, however they are named.
func guardInputs(inputs []input) guarded {
	var g guarded
	for _, in := range inputs {
		if info, err := os.Stat(in.name); err == nil && in.name != "-" {
			g = append(g, info)
		}
	}
	return g
}

// has reports whether name is one of the inputs, be it by a link, by other capitals
// or by another path.
func (g guarded) has(name string) bool {
	info, err := os.Stat(name) // not there: nothing to lose
	return err == nil && slices.ContainsFunc(g, func(in os.FileInfo) bool { return os.SameFile(info, in) })
}

// refuses returns an error when name is one of the inputs.
func (g guarded) refuses(name string) error {
	if g.has(name) {
		return &preflight.Problem{What: fmt.Sprintf("the proof %s would be written over an artwork", name), Do: "--out DIR puts the proofs elsewhere"}
	}
	return nil
}

// proofFile is one file of a proof, ready to be written.
type proofFile struct {
	name string
	data []byte
}

// sheetFile is a file of a proof that is still to be made.
type sheetFile struct {
	name  string
	write func(io.Writer) error
}

// document is a document as HTML and as PDF.
func document(stem string, doc *proof.Document) []sheetFile {
	return []sheetFile{{stem + ".html", doc.HTML}, {stem + ".pdf", doc.PDF}}
}

// layProof makes the files of a proof in memory: the page as HTML and as PDF,
// and each page as a picture; with facts, the bench sheet as HTML and PDF too.
func layProof(r *preflight.Report, k *raster.Ink, job proof.Job, bench *proof.BenchFacts, stem string) ([]proofFile, error) {
	doc := proof.Build(r, k, job)
	list := document(stem, doc)
	for i := range doc.Pages {
		ending := ".png"
		if i > 0 {
			ending = fmt.Sprintf("-%d.png", i+1)
		}
		list = append(list, sheetFile{stem + ending, func(w io.Writer) error { return doc.PNGPage(w, i) }})
	}
	if bench != nil {
		list = append(list, document(benchStem(stem), proof.BuildBench(r, k, job, *bench))...)
	}
	return makeFiles(list)
}

// makeFiles makes files in memory, two at a time: a page as a picture takes some
// tens of megabytes while it is drawn.
func makeFiles(list []sheetFile) ([]proofFile, error) {
	files := make([]proofFile, len(list))
	errs := make([]error, len(list))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(2, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(list); i = int(next.Add(1)) - 1 {
				var b bytes.Buffer
				err := catch(func() error { return list[i].write(&b) })
				if err != nil {
					errs[i] = fmt.Errorf("making %s: %w", list[i].name, err)
				}
				files[i] = proofFile{list[i].name, b.Bytes()}
			}
		})
	}
	wg.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return files, nil
}

// refusesStem is refuses for the files that every proof has, so that none is
// laid out in vain.
func (g guarded) refusesStem(stem string) error {
	for _, ending := range [3]string{".html", ".pdf", ".png"} {
		if err := g.refuses(stem + ending); err != nil {
			return err
		}
	}
	return nil
}

// keepProof writes the files of a proof, none of them onto an artwork. What stands there
// and was not made by this program, or for another job, is kept; it returns which files under
// which names. Pages of the proof that this one replaces, which had more of them, go, so that
// none is sent with it; they are returned without a name.
func keepProof(files []proofFile, inputs guarded) (aside [][2]string, err error) {
	for _, f := range files {
		if err := inputs.refuses(f.name); err != nil {
			return nil, err
		}
	}
	others := ofOtherJob(files)
	for _, f := range files {
		write := replaceKeeping
		if made(f.name) && !others {
			write = func(name string, data []byte) (string, error) { return "", replaceFile(name, data) }
		}
		kept, err := write(f.name, f.data)
		if kept != "" {
			aside = append(aside, [2]string{f.name, kept})
		}
		if err != nil {
			return aside, &preflight.Problem{What: err.Error(), Do: "--out DIR puts the proofs elsewhere, --no-proof leaves them out"}
		}
	}
	for _, name := range earlierPages(files, inputs) {
		kept := ""
		if others {
			data, err := os.ReadFile(name)
			if err != nil {
				continue
			}
			if kept, err = copyAside(name, data); err != nil {
				continue
			}
		}
		if os.Remove(name) == nil {
			aside = append(aside, [2]string{name, kept})
		}
	}
	return aside, nil
}

// jobMeta finds the number of a page's job.
var jobMeta = regexp.MustCompile(`<meta name="` + proof.JobMeta + `" content="([^"]*)">`)

// ofOtherJob reports whether the proof that stands where another is to be written is that
// of another job: both say whose they are.
func ofOtherJob(files []proofFile) bool {
	for _, f := range files {
		if filepath.Ext(f.name) != ".html" {
			continue
		}
		old, err := os.ReadFile(f.name)
		if err != nil {
			return false
		}
		a, b := jobMeta.FindSubmatch(old), jobMeta.FindSubmatch(f.data)
		return a != nil && b != nil && !bytes.Equal(a[1], b[1])
	}
	return false
}

// earlierPages are the pictures of pages that stand where those of a proof would, had it
// more of them, and were made by this program.
func earlierPages(files []proofFile, inputs guarded) (names []string) {
	if len(files) == 0 {
		return nil
	}
	stem := strings.TrimSuffix(files[0].name, filepath.Ext(files[0].name))
	pages := 0
	for _, f := range files {
		if filepath.Ext(f.name) == ".png" {
			pages++
		}
	}
	for n := max(2, pages+1); ; n++ {
		name := fmt.Sprintf("%s-%d.png", stem, n)
		if !made(name) || inputs.has(name) {
			return names
		}
		names = append(names, name)
	}
}

// made reports whether a file is a page or a picture that this program has made: each
// says so in its own way.
func made(name string) bool {
	mark := map[string]string{
		".png":  "tEXtSoftware\x00" + sheet.Program,
		".html": `<meta name="generator" content="` + sheet.Program + `">`,
		".pdf":  "/Producer (" + sheet.Program + ")",
	}[strings.ToLower(filepath.Ext(name))]
	if mark == "" {
		return false
	}
	data, err := os.ReadFile(name)
	return err == nil && bytes.Contains(data, []byte(mark))
}
