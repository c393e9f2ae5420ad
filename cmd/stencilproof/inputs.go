package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"

	"stencilproof/preflight"
)

// input is one artwork to check, in the order of the batch.
type input struct {
	name string // as it is reported; "-" is standard input
	err  error  // why there is nothing to read, found while gathering
}

// artworkEndings are the file names that a folder is searched for. A file that
// is named by the person is read whatever its ending.
var artworkEndings = []string{".png", ".tif", ".tiff", ".jpg", ".jpeg", ".bmp", ".webp", ".gif"}

// ownOutput matches the pictures that check itself writes, so that checking a
// folder twice does not check the proofs of the first time.
var ownOutput = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`-proof(-\d+)?\.png$`) })

// gatherInputs turns the arguments into artworks: files as they are, folders
// searched to the bottom in the order of their names. Hidden files and folders
// are passed over. What cannot be found stays in the list with its error, so
// that the rest goes on.
func gatherInputs(args []string) []input {
	var list []input
	for _, arg := range args {
		info, err := os.Stat(arg)
		switch {
		case arg == "-":
			list = append(list, input{name: arg})
		case err != nil:
			list = append(list, input{name: arg, err: notFound(arg, err)})
		case info.IsDir():
			list = append(list, searchFolder(arg)...)
		default:
			list = append(list, input{name: arg})
		}
	}
	return list
}

// notFound is the error of a name that leads nowhere.
func notFound(name string, err error) error {
	if os.IsNotExist(err) {
		hint := "check the name"
		if strings.ContainsAny(name, "*?[") {
			hint = "nothing matches the pattern; check the name"
		}
		return &preflight.Problem{What: "no such file or folder", Do: hint}
	}
	return reason(err)
}

// reason is the cause of a failed operation without the path, which is
// reported before it.
func reason(err error) error {
	if p, ok := err.(*fs.PathError); ok {
		return p.Err
	}
	return err
}

// searchFolder lists the artworks below a folder.
func searchFolder(folder string) []input {
	var list []input
	filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			list = append(list, input{name: name, err: reason(err)})
			return nil
		}
		hidden := name != folder && strings.HasPrefix(d.Name(), ".")
		switch {
		case d.IsDir() && hidden:
			return fs.SkipDir
		case d.IsDir() || hidden || ownOutput().MatchString(d.Name()):
		case slices.Contains(artworkEndings, strings.ToLower(filepath.Ext(name))):
			list = append(list, input{name: name})
		}
		return nil
	})
	if len(list) == 0 {
		list = append(list, input{name: folder, err: &preflight.Problem{What: "no artwork in this folder",
			Do: fmt.Sprintf("a folder is searched for files ending in %s", strings.Join(artworkEndings, ", "))}})
	}
	return list
}
