package main

import (
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
)

// ran is what a run of the command left.
type ran struct {
	status   int
	out, err string
}

func runIt(args ...string) ran {
	var out, errs strings.Builder
	status := run(args, strings.NewReader(""), &out, &errs)
	return ran{status, out.String(), errs.String()}
}

// emptyHome gives the run a configuration folder of its own and returns where
// the usual shop file would be.
func emptyHome(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(dir, "config"))
	if runtime.GOOS == "windows" {
		t.Setenv("AppData", filepath.Join(dir, "config"))
	}
	usual, err := usualShopFile()
	require.NoError(t, err)
	return usual
}

func TestShopFileComesIntoForce(t *testing.T) {
	usual := emptyHome(t)
	r := runIt("shop", "show")
	assert.Zero(t, r.status)
	assert.Contains(t, r.out, "No shop file is in force")
	assert.Contains(t, r.out, usual)
	plain := runIt("films")

	r = runIt("shop", "draft")
	require.Zero(t, r.status, r.err)
	assert.Contains(t, r.out, usual)
	data, err := os.ReadFile(usual)
	require.NoError(t, err)
	assert.Equal(t, preflight.ShopDraft, string(data))
	assert.Equal(t, plain, runIt("films"), "the draft alone changes nothing")

	r = runIt("shop", "draft")
	assert.Equal(t, 2, r.status)
	assert.Contains(t, r.err, "is there already")

	require.NoError(t, os.WriteFile(usual, []byte("[habits]\ntape-margin = \"1/4 in\"\n"), 0o644))
	for _, args := range [][]string{{"films"}, {"shop", "show"}} {
		r = runIt(args...)
		assert.Equal(t, 2, r.status)
		assert.Empty(t, r.out)
		assert.Contains(t, r.err, "shop.toml:2: ")
		assert.Contains(t, r.err, "hint: ")
	}

	other := filepath.Join(t.TempDir(), "mine.toml")
	require.NoError(t, os.WriteFile(other, []byte("[[film]]\nname = \"Harbour Blue\"\nthickness = \"90um\"\n"), 0o644))
	r = runIt("films", "--shop", other)
	require.Zero(t, r.status, r.err)
	assert.Contains(t, r.out, "Harbour Blue")
	r = runIt("shop", "show", "--shop", other)
	assert.Contains(t, r.out, "Harbour Blue, 90 um, 0 of 4 kinds")
	put(t, filepath.Join(filepath.Dir(other), "line.png"), pngOf(t, rule(0.32), 600))
	line := filepath.Join(filepath.Dir(other), "line.png")
	for name, lacks := range map[string]bool{"東京ガラス": true, "Gläserei Ørsted & Γυαλί": false} {
		r = runIt("check", "--film", "3mil", "--shop", other, "--out", t.TempDir(), "--lang", "DE", "--customer", name, line)
		assert.Zero(t, r.status, r.err)
		assert.Equal(t, lacks, strings.Contains(r.err, "lacks characters of --customer"), name)
	}
	assert.Contains(t, runIt("check", "--no-proof", "--shop", other, "--film", "91um", line).err, `--film "Harbour Blue" takes those`)
	assert.NotContains(t, runIt("check", "--no-proof", "--shop", other, "--film", "harbour blue", line).err, "takes those")
}

func TestShopUsage(t *testing.T) {
	emptyHome(t)
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"shop"}, "one word"},
		{[]string{"shop", "draft", "show"}, "one word"},
		{[]string{"shop", "keep"}, `got "keep"`},
		{[]string{"shop", "show", "--out", "x"}, "writes no file"},
		{[]string{"shop", "draft", "--shop", "x"}, "reads no shop file"},
		{[]string{"shop", "show", "--shop", "nowhere.toml"}, "no shop file nowhere.toml"},
		{[]string{"films", "--shop", "nowhere.toml"}, "no shop file nowhere.toml"},
		{[]string{"shop", "draft", "new.toml"}, "hint: --out FILE"},
		{[]string{"shop", "show", "./new"}, "hint: --shop FILE"},
		{[]string{"films", "--shop", "../../examples"}, "the shop file ../../examples cannot be read"},
		{[]string{"gauge", "record", "--film", "3 mil", "--line", "7", "--shop", "../../examples"}, "hint: name a file that can be"},
	} {
		r := runIt(c.args...)
		assert.Equal(t, 2, r.status, c.args)
		assert.Empty(t, r.out, c.args)
		assert.Contains(t, r.err, c.want)
	}
	r := runIt("shop", "draft", "--out", "-")
	assert.Equal(t, ran{0, preflight.ShopDraft, ""}, r)
	assert.Contains(t, runIt("shop", "--help").out, "draft")
}

func TestFilesAreKept(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "sub", "a.toml")
	require.NoError(t, replaceFile(name, []byte("one")))
	require.NoError(t, os.Chmod(name, 0o600))
	for i, want := range []string{"a.toml.1.bak", "a.toml.2.bak"} {
		got, err := copyAside(name, []byte{byte('0' + i)})
		require.NoError(t, err)
		assert.Equal(t, want, filepath.Base(got))
	}
	require.NoError(t, replaceFile(name, []byte("two")))
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, "two", string(data))
	info, err := os.Stat(name)
	require.NoError(t, err)
	if runtime.GOOS != "windows" {
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "its rights stay")
	}
	entries, err := os.ReadDir(filepath.Dir(name))
	require.NoError(t, err)
	assert.Len(t, entries, 3, "no temporary file is left")
	assert.ErrorIs(t, createFile(name, nil), os.ErrExist)
}

// closedPipe is an output that nobody reads.
type closedPipe struct{}

func (closedPipe) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

// Whatever a command has to say, where it cannot be written the status is not that of a
// run in which all is well.
func TestOutputThatCannotBeWritten(t *testing.T) {
	usual := emptyHome(t)
	put(t, usual, []byte("[shop]\nname = \"Tern & Tide\"\n"))
	dir := t.TempDir()
	gauge := filepath.Join(dir, "g.png")
	for _, args := range [][]string{
		{"--help"}, {"films"}, {"shop", "show"}, {"shop", "draft", "--out", filepath.Join(dir, "draft.toml")},
		{"gauge", "print", "--film", "10 mil", "--dpi", "300", "--out", gauge},
		{"gauge", "record", "--film", "10 mil", "--dpi", "300", "--line", "7", "--shop", filepath.Join(dir, "own.toml")},
	} {
		var errs strings.Builder
		assert.Equal(t, statusBroken, run(args, strings.NewReader(""), closedPipe{}, &errs), "%v", args)
		assert.Contains(t, errs.String(), "writing", "%v", args)
	}
}

// Names in a shop file cannot steer a terminal, and a copy of a file that others may not
// read is not for them either.
func TestShopFilesOfOthers(t *testing.T) {
	usual := emptyHome(t)
	put(t, usual, []byte("[[film]]\nname = \"a\\u001b[2Jb\"\nthickness = \"3 mil\"\n"))
	r := runIt("shop", "show")
	assert.Equal(t, statusHolds, r.status)
	assert.NotContains(t, r.out, "\x1b")
	assert.Contains(t, r.out, `"a\x1b[2Jb"`)
	if runtime.GOOS == "windows" {
		return
	}
	require.NoError(t, os.Chmod(usual, 0o600))
	r = runIt("gauge", "record", "--film", "4 mil", "--dpi", "1200", "--line", "7")
	require.Equal(t, statusHolds, r.status, r.err)
	info, err := os.Stat(usual + ".1.bak")
	require.NoError(t, err)
	assert.Zero(t, info.Mode().Perm()&0o077)
}
