package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Artwork named like a proof is artwork: a folder search judges it, and no proof is laid
// over it. What others made under a proof's name is kept, what check made itself gives
// way, and files of kinds that are not read are told.
func TestFilesOfOthersNamedLikeProofs(t *testing.T) {
	desk(t)
	holds, err := os.ReadFile("holds.png")
	require.NoError(t, err)
	fails, err := os.ReadFile("fails.png")
	require.NoError(t, err)
	require.NoError(t, os.Mkdir("order", 0o755))
	put(t, "order/club.png", holds)
	put(t, "order/club-proof.png", fails)
	put(t, "order/club-proof.pdf", []byte("the customer's letter"))
	put(t, "order/form.svg", []byte("<svg/>"))
	for range 2 {
		r := runIt("check", "--film", "3mil", "order")
		assert.Equal(t, 2, r.status, "the proof of club.png has no place")
		assert.Contains(t, r.out, "FAILS  order/club-proof.png")
		assert.Contains(t, r.err, "order/club.png: the proof order/club-proof.png would be written over an artwork")
		assert.Contains(t, r.err, "not read: order/club-proof.pdf, order/form.svg")
		assert.Contains(t, r.err, "\n2 artworks: 1 hold, 0 at risk, 1 fail, 0 not checked; 1 without a proof, which could not be kept\n")
		data, err := os.ReadFile("order/club-proof.png")
		require.NoError(t, err)
		assert.Equal(t, fails, data)
	}

	require.NoError(t, os.Remove("order/club-proof.png"))
	r := runIt("check", "--film", "3mil", "--bench", "order/club.png")
	assert.Equal(t, 0, r.status)
	assert.Contains(t, r.err, "order/club-proof.pdf was there already: it is kept as order/club-proof.pdf.1.bak")
	kept, err := os.ReadFile("order/club-proof.pdf.1.bak")
	require.NoError(t, err)
	assert.Equal(t, "the customer's letter", string(kept))
	r = runIt("check", "--film", "3mil", "--bench", "order")
	assert.Equal(t, 0, r.status)
	assert.NotContains(t, r.err, "kept as", "its own files give way")
	assert.Contains(t, r.err, "not read: order/form.svg (", "nor are they told")
	assert.NotContains(t, r.err, "artworks:")
}

// The proof of another job is no earlier state of this one: it is kept, pages and all.
func TestProofOfAnotherJobIsKept(t *testing.T) {
	desk(t)
	args := []string{"check", "--film", "3mil", "--out", "out", "fails.png"}
	require.Equal(t, 1, runIt(append(args, "--job", "1 <a>")...).status)
	first, err := os.ReadFile("out/fails-proof.pdf")
	require.NoError(t, err)
	page, err := os.ReadFile("out/fails-proof.png")
	require.NoError(t, err)
	put(t, "out/fails-proof-2.png", page)
	assert.NotContains(t, runIt(append(args, "--job", "1 <a>", "--revision", "B")...).err, "kept as")
	put(t, "out/fails-proof-2.png", page)
	second, err := os.ReadFile("out/fails-proof.pdf")
	require.NoError(t, err)
	assert.NotEqual(t, first, second)
	r := runIt(append(args, "--job", "2")...)
	require.Equal(t, 1, r.status, r.err)
	for _, name := range []string{"fails-proof.html", "fails-proof.pdf", "fails-proof.png", "fails-proof-2.png"} {
		assert.Contains(t, r.err, name+" was there already: it is kept as out/"+name+".1.bak")
	}
	kept, err := os.ReadFile("out/fails-proof.pdf.1.bak")
	require.NoError(t, err)
	assert.Equal(t, second, kept)
	assert.NoFileExists(t, "out/fails-proof-2.png")
	assert.NotContains(t, runIt(args...).err, "kept as", "one of no job replaces any")
}

// A link to a folder inside a folder that is searched is not followed, for it may lead in a
// circle, and is told.
func TestLinkedFolderIsTold(t *testing.T) {
	desk(t)
	holds, err := os.ReadFile("holds.png")
	require.NoError(t, err)
	require.NoError(t, os.MkdirAll("order", 0o755))
	require.NoError(t, os.MkdirAll("else", 0o755))
	put(t, "order/a.png", holds)
	put(t, "else/b.png", holds)
	if err := os.Symlink(filepath.Join("..", "else"), filepath.Join("order", "more")); err != nil {
		t.Skip("no links can be made here: ", err)
	}
	r := runIt("check", "--film", "3mil", "--no-proof", "order")
	assert.Equal(t, statusHolds, r.status)
	assert.Contains(t, r.err, "not read: "+filepath.Join("order", "more")+string(filepath.Separator))
	assert.Contains(t, r.err, "links to folders are not followed, name them")
}
