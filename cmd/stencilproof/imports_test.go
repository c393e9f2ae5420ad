package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mayImport says which packages of this module a package may import. The
// direction is raster <- raster/artwork <- preflight <- report, proof <- cmd.
// What is not listed may import nothing of the module.
var mayImport = map[string][]string{
	"raster":                {},
	"raster/pen":            {"raster"},
	"raster/artwork":        {"raster"},
	"preflight":             {"raster", "raster/pen", "raster/artwork"},
	"preflight/report":      {"raster", "raster/artwork", "preflight"},
	"preflight/proof":       {"raster", "raster/pen", "raster/artwork", "preflight", "preflight/proof/sheet"},
	"preflight/proof/sheet": {},
	"cmd/stencilproof":      {"raster", "raster/artwork", "preflight", "preflight/report", "preflight/proof", "preflight/proof/sheet"},
	"examples":              {"raster", "raster/pen", "raster/artwork"},
}

// noneOf lists the standard packages refused below raster and preflight: they
// measure and judge, and leave files, flags, wires and pages to the command.
var noneOf = []string{"os", "os/exec", "flag", "log", "log/slog", "net", "net/http", "html/template"}

// mayPage are the packages that write pages, and so may use html/template.
var mayPage = []string{"preflight/proof", "preflight/report"}

const module = "stencilproof"

// refusal returns why package pkg must not import imp, or "".
func refusal(pkg, imp string) string {
	if imp == module || strings.HasPrefix(imp, module+"/") {
		inner := strings.TrimPrefix(strings.TrimPrefix(imp, module), "/")
		if !slices.Contains(mayImport[pkg], inner) {
			return "against the direction of the layout"
		}
		return ""
	}
	top, _, _ := strings.Cut(pkg, "/")
	if (top == "raster" || top == "preflight") && slices.Contains(noneOf, imp) {
		if imp == "html/template" && slices.Contains(mayPage, pkg) {
			return ""
		}
		return "belongs in the command"
	}
	if imp == "C" || imp == "unsafe" {
		return "pure Go only"
	}
	return ""
}

func TestImports(t *testing.T) {
	root := filepath.Join("..", "..")
	files := 0
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if base := d.Name(); name != root && (strings.HasPrefix(base, ".") || base == "testdata" || base == "out") {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		files++
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		for _, spec := range f.Imports {
			imp, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if why := refusal(packageOf(rel), imp); why != "" {
				t.Errorf("%s imports %s: %s", rel, imp, why)
			}
		}
		return nil
	})
	require.NoError(t, err)
	assert.Greater(t, files, 10, "the walk found the module")
}

// packageOf returns the package folder of a file; programs under examples count
// as one.
func packageOf(rel string) string {
	pkg := path.Dir(rel)
	if strings.HasPrefix(pkg, "examples/") {
		return "examples"
	}
	return pkg
}

// The rules themselves, so that a rule that lets all through is seen.
func TestImportRules(t *testing.T) {
	for _, c := range []struct {
		pkg, imp string
		ok       bool
	}{
		{"raster", "math/bits", true},
		{"raster", "os", false},
		{"raster", "stencilproof/preflight", false},
		{"raster", "stencilproof/raster/artwork", false},
		{"raster/artwork", "stencilproof/raster", true},
		{"raster/artwork", "log", false},
		{"raster/pen", "stencilproof/raster/artwork", false},
		{"preflight", "stencilproof/raster/artwork", true},
		{"preflight", "stencilproof/preflight/report", false},
		{"preflight", "flag", false},
		{"preflight", "html/template", false},
		{"preflight/proof", "html/template", true},
		{"preflight/proof", "net/http", false},
		{"preflight/proof", "stencilproof/preflight/report", false},
		{"preflight/report", "stencilproof/preflight/proof", false},
		{"cmd/stencilproof", "stencilproof/preflight/proof", true},
		{"cmd/stencilproof", "net/http", true},
		{"somewhere/else", "stencilproof/raster", false},
		{"raster", "unsafe", false},
		{"cmd/stencilproof", "C", false},
	} {
		assert.Equal(t, c.ok, refusal(c.pkg, c.imp) == "", "%s imports %s", c.pkg, c.imp)
	}
}

func TestTopLevel(t *testing.T) {
	allowed := []string{"cmd", "preflight", "raster", "testdata", "examples", "go.mod", "go.sum", "README.md", "DEVELOPERS.md"}
	entries, err := os.ReadDir(filepath.Join("..", ".."))
	require.NoError(t, err)
	for _, e := range entries {
		name := e.Name()
		if strings.HasPrefix(name, ".") || name == "out" { // out is in .gitignore
			continue
		}
		assert.Contains(t, allowed, name, "outside the agreed layout")
	}
}
