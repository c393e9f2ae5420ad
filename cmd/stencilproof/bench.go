package main

import (
	"path/filepath"
	"slices"
	"strings"

	"stencilproof/preflight"
	"stencilproof/preflight/proof"
)

// benchStem is where the bench sheet goes that belongs to a proof: NAME-bench
// beside NAME-proof.
func benchStem(proofStem string) string { return strings.TrimSuffix(proofStem, "-proof") + "-bench" }

// benchFacts gathers what the bench sheet says beyond the report. The flags
// were understood before.
func (f *checkFlags) benchFacts(shop *preflight.Shop, film *preflight.Film) *proof.BenchFacts {
	b := &proof.BenchFacts{Facts: preflight.Facts(film, shop), TapeMarginUM: shop.TapeMarginUM}
	if f.set("grit") {
		if g, err := preflight.ParseGrit(f.grit); err == nil {
			b.Grit = &g
		}
	}
	if f.set("depth") {
		if um, err := preflight.ParseLength(f.depth); err == nil {
			b.DepthUM = um
		}
	}
	return b
}

// kept tells of the files of a proof, or of a bench sheet.
type kept struct {
	what, stem string
	endings    []string
}

// keptByStem gathers the names of an artwork's files by what they are.
func keptByStem(names []string) []kept {
	var out []kept
	for _, name := range names {
		ending := filepath.Ext(name)
		stem := strings.TrimSuffix(name, ending)
		if ending == ".html" { // each document's first
			what := "proof"
			if strings.HasSuffix(stem, "-bench") {
				what = "bench sheet"
			}
			out = append(out, kept{what, stem, nil})
		}
		if k := &out[len(out)-1]; !slices.Contains(k.endings, ending) {
			k.endings = append(k.endings, ending)
		}
	}
	return out
}
