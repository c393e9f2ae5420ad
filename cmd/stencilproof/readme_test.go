package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// readme is README.md, and the working folder becomes one that holds the
// examples as the commands name them.
func readme(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	examples, err := filepath.Abs(filepath.Join("..", "..", "examples"))
	require.NoError(t, err)
	names, err := filepath.Glob(filepath.Join(examples, "*.*"))
	require.NoError(t, err)
	emptyHome(t)
	t.Chdir(t.TempDir())
	for _, name := range names {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		put(t, filepath.Join("examples", filepath.Base(name)), data)
	}
	return string(text)
}

// words splits a command line of the README, where only double quotes join words.
func words(line string) (list []string) {
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(line, -1) {
		list = append(list, m[1]+m[2])
	}
	return list
}

// started are the command lines of a text that begin with the words given.
func started(text, with string) (list [][]string) {
	for _, line := range strings.Split(text, "\n") {
		if rest, ok := strings.CutPrefix(strings.TrimSpace(line), with+" "); ok {
			list = append(list, words(rest))
		}
	}
	return list
}

// The commands that the README gives to begin with: the first must end well, the
// one whose artwork does not hold must say so, and both leave what is promised.
func TestReadmeFirstCommands(t *testing.T) {
	list := started(readme(t), "go run ./cmd/stencilproof")
	require.Len(t, list, 2)
	for i, want := range []struct {
		status int
		says   string
		stem   string
	}{
		{statusHolds, "Nothing fails.", "boathouse-plate"},
		{statusFails, "FAILS", "regatta-crest"},
	} {
		if i > 0 && testing.Short() {
			break // the crest takes its time under the race detector
		}
		r := runIt(list[i]...)
		assert.Equal(t, want.status, r.status, r.err)
		assert.Contains(t, r.out, want.says)
		for _, end := range []string{".html", ".pdf", ".png"} {
			assert.FileExists(t, filepath.Join("out", want.stem+"-proof"+end))
		}
	}
}

// The worked example from the gauge to a check, and the numbers told with it.
func TestReadmeWorkedExample(t *testing.T) {
	text := readme(t)
	_, text, ok := strings.Cut(text, "### The shop's own limits")
	require.True(t, ok)
	text, _, _ = strings.Cut(text, "\n### ")
	list := started(text, "stencilproof")
	require.Len(t, list, 4)

	before := judged(t, runIt("check", "--film", "3 mil", "--no-proof", "--format", "json", "examples/boathouse-plate.png"))
	assert.Equal(t, "default", before.Film.Basis)
	assert.Equal(t, 114.3, before.Film.Limits["line"].Safe)

	var last ran
	for _, args := range list {
		last = runIt(args...)
		require.Zero(t, last.status, "%v: %s", args, last.err)
		if args[0] == "films" {
			assert.Regexp(t, `(?m)^3 mil .*measured in this shop$`, last.out)
			assert.Regexp(t, `(?m)^4 mil .*starting values$`, last.out)
		}
	}
	assert.FileExists(t, filepath.Join("out", "gauge-sheet.html"))
	assert.Contains(t, last.out, "AT RISK")

	after := judged(t, runIt("check", "--shop", "out/shop.toml", "--film", "3 mil", "--no-proof", "--format", "json", "examples/boathouse-plate.png"))
	assert.Equal(t, "measured", after.Film.Basis)
	assert.Less(t, after.Counts["line"].AtRisk, before.Counts["line"].AtRisk, "the README says fewer")
	assert.Positive(t, after.Counts["line"].AtRisk)
	assert.Equal(t, 94.8, after.Film.Limits["line"].Safe, "nine dots of 2400 an inch, less 0.5 %")
	for _, told := range []string{"a line holds from 0.1143 mm", "a line holds from 0.0948 mm"} {
		assert.True(t, strings.Contains(text, told), "the README lacks %q", told)
	}
	assert.Greater(t, after.Film.Limits["strip"].Fail, before.Film.Limits["strip"].Fail, "the README says stricter")
	assert.Greater(t, after.Film.Limits["strip"].Safe, before.Film.Limits["strip"].Safe)
}

// report1 is what these tests read of a report.
type report1 struct {
	Film struct {
		Basis  string
		Limits map[string]struct{ Fail, Safe float64 } `json:"limits_um"`
	}
	Counts map[string]struct {
		AtRisk int `json:"at_risk"`
	}
}

// judged reads the report of a run that judged one artwork.
func judged(t *testing.T, r ran) (got report1) {
	t.Helper()
	require.NoError(t, json.Unmarshal([]byte(r.out), &got), r.err)
	return got
}

var flagPattern = regexp.MustCompile(`--[a-z][a-z-]*`)

// Every command and flag that the help lists is in the README, and no other.
func TestReadmeFlags(t *testing.T) {
	text := readme(t)
	known := map[string]bool{"--help": true}
	for _, command := range regexp.MustCompile(`(?m)^  stencilproof (\w+) `).FindAllStringSubmatch(runIt("--help").out, -1) {
		name := command[1]
		assert.True(t, strings.Contains(text, "\n### "+name+"\n"), "the README lacks command %s", name)
		for _, f := range flagPattern.FindAllString(runIt(name, "--help").out, -1) {
			known[f] = true
			assert.True(t, strings.Contains(text, "`"+f), "the README lacks flag %s of %s", f, name)
		}
	}
	assert.Greater(t, len(known), 30)
	for _, f := range flagPattern.FindAllString(text, -1) {
		assert.True(t, known[f], "the README names %s, which no help lists", f)
	}
}

// What the documents link to is there.
func TestDocumentLinks(t *testing.T) {
	for _, name := range []string{"README.md", "DEVELOPERS.md", "examples/README.md"} {
		data, err := os.ReadFile(filepath.Join("..", "..", name))
		require.NoError(t, err)
		for _, m := range regexp.MustCompile(`\]\(([^)#]+)(#[^)]*)?\)`).FindAllStringSubmatch(string(data), -1) {
			assert.FileExists(t, filepath.Join("..", "..", filepath.Dir(name), filepath.FromSlash(m[1])), name)
		}
	}
}

var (
	testPattern = regexp.MustCompile("`((?:Test|Fuzz|Benchmark)[A-Z][A-Za-z0-9]*)`")
	filePattern = regexp.MustCompile("`((?:cmd|raster|preflight|testdata|examples)/[a-zA-Z0-9_./-]+)`")
)

// Every test and file that DEVELOPERS.md names exists.
func TestDevelopersNames(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "DEVELOPERS.md"))
	require.NoError(t, err)
	code := ""
	require.NoError(t, filepath.WalkDir(filepath.Join("..", ".."), func(name string, d os.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(name, "_test.go") {
			text, err := os.ReadFile(name)
			code += string(text)
			return err
		}
		return err
	}))
	names := testPattern.FindAllStringSubmatch(string(data), -1)
	assert.Greater(t, len(names), 60)
	for _, m := range names {
		assert.True(t, strings.Contains(code, "func "+m[1]+"("), "DEVELOPERS.md names the test %s, which is not there", m[1])
	}
	for _, m := range filePattern.FindAllStringSubmatch(string(data), -1) {
		_, err := os.Stat(filepath.Join("..", "..", filepath.FromSlash(m[1])))
		assert.NoError(t, err, "DEVELOPERS.md names a file that is not there")
	}
}
