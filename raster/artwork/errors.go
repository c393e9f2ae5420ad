package artwork

import (
	"errors"
	"fmt"
	"io"
)

// FormatError says that the file is damaged, cut off, or not what its first
// bytes claim.
type FormatError string

func (e FormatError) Error() string { return string(e) }

// UnsupportedError says that the file is sound but holds something that is not
// read here, and what to do about it.
type UnsupportedError struct {
	What   string // "a TIFF with JPEG 2000 compression"
	Advice string // "save it as TIFF with LZW or Group 4 compression"
}

func (e UnsupportedError) Error() string { return e.What + " is not read here: " + e.Advice }

// LimitError says that the file or its picture is larger than the limit that
// Options set, so that nothing of it was decoded.
type LimitError struct {
	What string // "tiff: 60000 x 60000 pixels, 3600 million"
	Over string // "the limit of 700 million pixels"
	// Pixels says that it is Options.MaxPixels, which may be raised.
	Pixels bool
}

func (e LimitError) Error() string { return e.What + ": over " + e.Over }

// formatf returns a FormatError.
func formatf(format string, args ...any) error { return FormatError(fmt.Sprintf(format, args...)) }

// dataError names the place at which data stopped making sense. An early end
// gets words of its own, for that is how a cut-off file looks from inside. What
// is already typed stays as it is, and so does trouble of the reader itself.
func dataError(where string, err error) error {
	var f FormatError
	var u UnsupportedError
	var l LimitError
	if err == nil || errors.As(err, &f) || errors.As(err, &u) || errors.As(err, &l) {
		return err
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return formatf("%s: the data end too early; the file is cut off or damaged, ask for it again", where)
	}
	var r readError
	if errors.As(err, &r) {
		return r.err
	}
	return formatf("%s: damaged data (%v); ask for the file again", where, err)
}

// guard turns a panic of a decoder into a FormatError.
func guard(where string, err *error) {
	if p := recover(); p != nil {
		*err = formatf("%s: damaged data (the decoder gave up: %v)", where, p)
	}
}
