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
	"stencilproof/preflight/report"
)

// input is one artwork to check, in the order of the batch.
type input struct {
	name string // as it is reported; "-" is standard input
	err  error  // why there is nothing to read, found while gathering
}

// artworkEndings are the file names that a folder is searched for. A file that
// is named by the person is read whatever its ending.
var artworkEndings = []string{".png", ".tif", ".tiff", ".jpg", ".jpeg", ".bmp", ".webp", ".gif"}

// unreadable are the endings of other kinds of artwork, which a folder search tells of.
var unreadable = []string{".pdf", ".svg", ".svgz", ".eps", ".ps", ".ai", ".cdr", ".dxf", ".psd", ".heic", ".heif", ".avif", ".jp2", ".jxl", ".pcx", ".tga"}

// ownNames matches the files that check itself writes, so that checking a folder twice
// does not check the proofs of the first time. A name alone says little: see made.
var ownNames = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`-(proof(-\d+)?\.png|(proof|bench)\.pdf)$`) })

// gatherInputs turns the arguments into artworks: files as they are, folders
// searched to the bottom in the order of their names. Hidden files and folders
// are passed over. What cannot be found stays in the list with its error, so
// that the rest goes on. passed are the files in the folders that look like artwork
// of a kind that is not read, and links to folders, which end in a separator.
func gatherInputs(args []string) (list []input, passed []string) {
	for _, arg := range args {
		info, err := os.Stat(arg)
		switch {
		case arg == "-":
			list = append(list, input{name: arg})
		case err != nil:
			list = append(list, input{name: arg, err: notFound(arg, err)})
		case info.IsDir():
			found, other := searchFolder(arg)
			list, passed = append(list, found...), append(passed, other...)
		default:
			list = append(list, input{name: arg})
		}
	}
	return list, passed
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

// searchFolder lists the artworks below a folder, and what looks like artwork that is
// not read.
func searchFolder(folder string) (list []input, passed []string) {
	filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			list = append(list, input{name: name, err: reason(err)})
			return nil
		}
		hidden := name != folder && strings.HasPrefix(d.Name(), ".")
		ending := strings.ToLower(filepath.Ext(name))
		switch {
		case d.IsDir() && hidden:
			return fs.SkipDir
		case !hidden && d.Type()&fs.ModeSymlink != 0 && isFolder(name):
			passed = append(passed, name+string(filepath.Separator))
		case d.IsDir() || hidden || ownNames().MatchString(d.Name()) && made(name):
		case slices.Contains(artworkEndings, ending):
			list = append(list, input{name: name})
		case slices.Contains(unreadable, ending):
			passed = append(passed, name)
		}
		return nil
	})
	if len(list) == 0 {
		list = append(list, input{name: folder, err: &preflight.Problem{What: "no artwork in this folder",
			Do: searchedFor()}})
	}
	return list, passed
}

// isFolder reports whether a name leads to a folder.
func isFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}

func searchedFor() string {
	return "a folder is searched for files ending in " + strings.Join(artworkEndings, ", ")
}

// tellPassed tells of files in folders that look like artwork and are not read.
func (s streams) tellPassed(passed []string) {
	if len(passed) == 0 {
		return
	}
	const most = 10
	shown := make([]string, 0, most)
	why := searchedFor()
	for _, name := range passed[:min(most, len(passed))] {
		shown = append(shown, report.Shown(name))
	}
	if slices.ContainsFunc(passed, func(name string) bool { return strings.HasSuffix(name, string(filepath.Separator)) }) {
		why += "; links to folders are not followed, name them"
	}
	more := ""
	if n := len(passed) - most; n > 0 {
		more = fmt.Sprintf(" and %d more", n)
	}
	fmt.Fprintf(s.err, "not read: %s%s (%s)\n", strings.Join(shown, ", "), more, why)
}
