package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// replaceFile writes a file whole: to a temporary one beside it, which then
// takes its name. A failed run leaves the old file, or none.
func replaceFile(name string, data []byte) error {
	dir := filepath.Dir(name)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("writing %s: %w", name, reason(err))
	}
	mode := fs.FileMode(0o644)
	if old, err := os.Stat(name); err == nil {
		mode = old.Mode().Perm()
	}
	tmp, err := os.CreateTemp(dir, ".stencilproof-*")
	if err != nil {
		return fmt.Errorf("writing %s: %w", name, reason(err))
	}
	_, err = tmp.Write(data)
	err = errors.Join(err, tmp.Chmod(mode), tmp.Sync(), tmp.Close())
	if err == nil {
		err = os.Rename(tmp.Name(), name)
	}
	if err != nil {
		os.Remove(tmp.Name())
		return fmt.Errorf("writing %s: %w", name, err)
	}
	return nil
}

// createFile writes a new file, and refuses to write over one.
func createFile(name string, data []byte) error { return createFileAs(name, data, 0o644) }

// createFileAs is createFile with a mode.
func createFileAs(name string, data []byte, mode fs.FileMode) error {
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return fmt.Errorf("writing %s: %w", name, err)
	}
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return fmt.Errorf("writing %s: %w", name, err)
	}
	_, err = f.Write(data)
	if err = errors.Join(err, f.Close()); err != nil {
		os.Remove(name)
		return fmt.Errorf("writing %s: %w", name, err)
	}
	return nil
}

// replaceKeeping is replaceFile for a name that somebody chose, which may be
// that of a file of another kind: what stood there is kept as a copy, unless it
// is the same already.
func replaceKeeping(name string, data []byte) (kept string, err error) {
	old, err := os.ReadFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return "", fmt.Errorf("writing %s: %w", name, reason(err))
	case bytes.Equal(old, data):
		return "", nil
	default:
		if kept, err = copyAside(name, old); err != nil {
			return "", fmt.Errorf("keeping a copy: %w", err)
		}
	}
	if err = replaceFile(name, data); err != nil && kept != "" {
		os.Remove(kept) // the file itself still stands
		kept = ""
	}
	return kept, err
}

// tellKept says where the file that was there before is kept, if there was one.
func (s streams) tellKept(name, kept string) {
	if kept != "" {
		fmt.Fprintf(s.err, "%s was there already: it is kept as %s\n", name, kept)
	}
}

// copyAside keeps a copy of a file's contents as NAME.1.bak, or the next number
// that is free, and returns the copy's name. Nobody may read it who may not read the file.
func copyAside(name string, data []byte) (string, error) {
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(name); err == nil {
		mode &= info.Mode().Perm() | 0o600
	}
	for n := 1; ; n++ {
		copyName := fmt.Sprintf("%s.%d.bak", name, n)
		err := createFileAs(copyName, data, mode)
		if !errors.Is(err, fs.ErrExist) {
			return copyName, err
		}
	}
}
