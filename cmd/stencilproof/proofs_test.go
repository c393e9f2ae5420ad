package main

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestProofsAreKept(t *testing.T) {
	desk(t)
	before := files(t)
	r := runIt("check", "--film", "3mil", "--date", "2027-05-03", "fails.png")
	require.Equal(t, statusFails, r.status, r.err)
	assert.Equal(t, []string{"fails-proof.html", "fails-proof.pdf", "fails-proof.png"}, files(t, before...))
	assert.Equal(t, "proof: fails-proof (.html, .pdf, .png)\n", r.err)
	for name, magic := range map[string]string{"fails-proof.html": "<!", "fails-proof.pdf": "%PDF-", "fails-proof.png": "\x89PNG"} {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.True(t, bytes.HasPrefix(data, []byte(magic)), name)
	}

	// The same again gives the same bytes, and the proofs are not checked as artwork.
	first := map[string][]byte{}
	for _, name := range files(t, before...) {
		first[name], _ = os.ReadFile(name)
	}
	for _, name := range []string{"holds.png", "risk.png", "blank.png", "nosize.png", "broken.png", "fax.tif"} {
		require.NoError(t, os.Remove(name))
	}
	r = runIt("check", "--film", "3mil", "--date", "2027-05-03", "--quiet", ".")
	assert.Equal(t, statusFails, r.status)
	assert.Equal(t, 1, strings.Count(r.out, "What the numbers rest on"))
	for name, data := range first {
		again, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(data, again), "%s differs between two runs", name)
	}

	// Elsewhere, in a folder that is made for them.
	before = files(t)
	r = runIt("check", "--film", "3mil", "--out", "sent/today", "--quiet", "fails.png")
	require.Equal(t, statusFails, r.status, r.err)
	assert.Equal(t, []string{"sent/today/fails-proof.html", "sent/today/fails-proof.pdf", "sent/today/fails-proof.png"}, files(t, before...))

	before = files(t)
	var out, errs strings.Builder
	data := deskFiles(t)["holds.png"]
	status := run([]string{"check", "--film", "3mil", "--out", "sent", "-"}, bytes.NewReader(data), &out, &errs)
	assert.Zero(t, status, errs.String())
	assert.Equal(t, []string{"sent/stdin-proof.html", "sent/stdin-proof.pdf", "sent/stdin-proof.png"}, files(t, before...))
}

// A proof with fewer pages than the one it replaces leaves none of its pages behind, and
// says so; what others made under such a name stays.
func TestNoPageOfAnEarlierProofIsLeft(t *testing.T) {
	desk(t)
	require.Zero(t, runIt("check", "--film", "3mil", "holds.png").status)
	page, err := os.ReadFile("holds-proof.png")
	require.NoError(t, err)
	for _, name := range []string{"holds-proof-2.png", "holds-proof-3.png"} {
		require.NoError(t, os.WriteFile(name, page, 0o644))
	}
	require.NoError(t, os.WriteFile("holds-proof-4.png", deskFiles(t)["fails.png"], 0o644))
	r := runIt("check", "--film", "3mil", "holds.png")
	require.Zero(t, r.status)
	for _, name := range []string{"holds-proof-2.png", "holds-proof-3.png"} {
		assert.NoFileExists(t, name)
		assert.Contains(t, r.err, name+" was a page of the proof before this one, which has fewer: it is removed\n")
	}
	assert.FileExists(t, "holds-proof-4.png")
}

// Where artworks share a name, what is written says whose it is.
func TestWhoseProofItIs(t *testing.T) {
	desk(t)
	for _, dir := range []string{"one", "two"} {
		require.NoError(t, os.Mkdir(dir, 0o755))
		require.NoError(t, os.WriteFile(dir+"/logo.png", deskFiles(t)["holds.png"], 0o644))
	}
	r := runIt("check", "--film", "3mil", "--out", "sent", "one/logo.png", "two/logo.png")
	require.Zero(t, r.status, r.err)
	assert.Contains(t, filepath.ToSlash(r.err), "proof: sent/logo-png-proof (.html, .pdf, .png), of one/logo.png\n")
	assert.Contains(t, filepath.ToSlash(r.err), "proof: sent/logo-png-2-proof (.html, .pdf, .png), of two/logo.png\n")
}

func TestProofStems(t *testing.T) {
	for _, c := range []struct {
		name string
		in   []string
		out  string
		want []string
	}{
		{"beside", []string{"a/cup.png", "b/cup.png"}, "", []string{"a/cup-proof", "b/cup-proof"}},
		{"two endings", []string{"cup.png", "cup.tif", "bowl.png"}, "", []string{"cup-png-proof", "cup-tif-proof", "bowl-proof"}},
		{"two folders into one", []string{"a/cup.png", "b/cup.png", "b/cup.tif"}, "o", []string{"o/cup-png-proof", "o/cup-png-2-proof", "o/cup-tif-proof"}},
		{"capitals", []string{"Cup.png", "cup.PNG"}, "", []string{"Cup-png-proof", "cup-PNG-2-proof"}},
		{"a made-up name that is taken", []string{"cup.png", "cup.tif", "cup-png.bmp"}, "", []string{"cup-png-proof", "cup-tif-proof", "cup-png-2-proof"}},
		{"twice the same", []string{"cup.png", "./cup.png"}, "", []string{"cup-png-proof", "cup-png-2-proof"}},
		{"no ending", []string{"cup", "a/cup"}, "o", []string{"o/cup-proof", "o/cup-2-proof"}},
		{"standard input", []string{"-", "cup.png"}, "", []string{"", "cup-proof"}},
		{"standard input into a folder", []string{"-", "stdin.png"}, "o", []string{"o/stdin-proof", "o/stdin-png-proof"}},
	} {
		var inputs []input
		for _, name := range c.in {
			inputs = append(inputs, input{name: name})
		}
		var got []string
		seen := map[string]bool{}
		for _, stem := range proofStems(inputs, c.out) {
			got = append(got, filepath.ToSlash(stem))
			assert.False(t, stem != "" && seen[strings.ToLower(stem)], c.name)
			seen[strings.ToLower(stem)] = true
		}
		assert.Equal(t, c.want, got, c.name)
	}
}

// A proof is never written onto an artwork, by whatever name.
func TestNeverOntoAnInput(t *testing.T) {
	kept := func(t *testing.T, names ...string) {
		t.Helper()
		before := map[string][]byte{}
		for _, name := range names {
			before[name], _ = os.ReadFile(name)
			require.NotEmpty(t, before[name])
		}
		r := runIt(append([]string{"check", "--film", "3mil"}, names...)...)
		assert.Equal(t, statusBroken, r.status)
		assert.Contains(t, r.err, "would be written over an artwork")
		assert.Contains(t, r.err, "hint: --out DIR")
		for name, data := range before {
			after, err := os.ReadFile(name)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(data, after), "%s was changed", name)
		}
	}
	holds := pngOf(t, rule(0.32), 600)
	t.Run("its own name", func(t *testing.T) {
		desk(t)
		put(t, "cup.png", holds)
		put(t, "cup-proof.png", holds)
		kept(t, "cup.png", "cup-proof.png")
	})
	t.Run("a hard link", func(t *testing.T) {
		desk(t)
		put(t, "cup.png", holds)
		require.NoError(t, os.Link("cup.png", "cup-proof.png"))
		kept(t, "cup.png")
	})
	t.Run("a symbolic link", func(t *testing.T) {
		desk(t)
		put(t, "cup.png", holds)
		if err := os.Symlink("cup.png", "cup-proof.png"); err != nil {
			t.Skip("no symbolic links here: ", err)
		}
		kept(t, "cup.png")
	})
	t.Run("an input given by a link to it", func(t *testing.T) {
		desk(t)
		put(t, "cup.png", holds)
		put(t, "store/plate.png", holds)
		if err := os.Symlink(filepath.Join("store", "plate.png"), "cup-proof.png"); err != nil {
			t.Skip("no symbolic links here: ", err)
		}
		kept(t, "cup.png", filepath.Join("store", "..", "store", "plate.png"))
	})
	t.Run("through a linked folder", func(t *testing.T) {
		desk(t)
		put(t, "in/cup-proof.png", holds)
		put(t, "cup.png", holds)
		if err := os.Symlink("in", "out"); err != nil {
			t.Skip("no symbolic links here: ", err)
		}
		before, _ := os.ReadFile("in/cup-proof.png")
		r := runIt("check", "--film", "3mil", "--out", "out", "cup.png", "in/cup-proof.png")
		assert.Equal(t, statusBroken, r.status)
		after, _ := os.ReadFile("in/cup-proof.png")
		assert.True(t, bytes.Equal(before, after))
	})
}

// What cannot be written is said, the report is given all the same, and nothing
// half-written is left.
func TestProofCannotBeWritten(t *testing.T) {
	desk(t)
	put(t, "blocked", []byte("a file, no folder"))
	before := files(t)
	r := runIt("check", "--film", "3mil", "--out", "blocked", "holds.png")
	assert.Equal(t, statusBroken, r.status)
	assert.Contains(t, r.out, "HOLDS")
	assert.Contains(t, r.err, "stencilproof: holds.png: writing blocked")
	assert.Contains(t, r.err, "hint: --out DIR")
	assert.Empty(t, files(t, before...))

	if runtime.GOOS == "windows" || os.Geteuid() == 0 {
		t.Skip("the rest needs a folder that cannot be written: not as root, not on Windows")
	}
	require.NoError(t, os.Mkdir("locked", 0o555))
	r = runIt("check", "--film", "3mil", "--out", "locked", "holds.png")
	assert.Equal(t, statusBroken, r.status)
	assert.Contains(t, r.err, "permission denied")
}

// A proof that is replaced is replaced whole, also where a link stood.
func TestOldProofIsReplaced(t *testing.T) {
	desk(t)
	put(t, "holds-proof.pdf", []byte("old"))
	put(t, "elsewhere.html", []byte("somebody's page"))
	if runtime.GOOS != "windows" {
		require.NoError(t, os.Symlink("elsewhere.html", "holds-proof.html"))
	}
	r := runIt("check", "--film", "3mil", "holds.png")
	require.Zero(t, r.status, r.err)
	pdf, err := os.ReadFile("holds-proof.pdf")
	require.NoError(t, err)
	assert.True(t, bytes.HasPrefix(pdf, []byte("%PDF-")))
	page, err := os.ReadFile("elsewhere.html")
	require.NoError(t, err)
	assert.Equal(t, "somebody's page", string(page), "a link is replaced, not what it leads to")
}

func TestBenchSheet(t *testing.T) {
	desk(t)
	before := files(t)
	r := runIt("check", "--film", "3mil", "--date", "2027-05-03", "--bench", "--grit", "F180", "--depth", "0.2mm", "fails.png")
	require.Equal(t, statusFails, r.status, r.err)
	assert.Equal(t, []string{"fails-bench.html", "fails-bench.pdf", "fails-proof.html", "fails-proof.pdf", "fails-proof.png"}, files(t, before...))
	assert.Equal(t, "proof: fails-proof (.html, .pdf, .png)\nbench sheet: fails-bench (.html, .pdf)\n", r.err)
	page, err := os.ReadFile("fails-bench.html")
	require.NoError(t, err)
	for _, want := range []string{"F180", "0.20\u00a0mm", "Bench sheet", "fails.png"} {
		assert.Contains(t, string(page), want)
	}

	r = runIt("check", "--film", "3mil", "--bench", "--no-proof", "fails.png")
	assert.Equal(t, statusBroken, r.status)
	assert.Contains(t, r.err, "--bench and --no-proof contradict each other")
}
