package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"stencilproof/preflight"
	"stencilproof/raster"
	"stencilproof/raster/artwork"
)

// hinted is an error that knows what would put it right.
type hinted interface {
	error
	Hint() string
}

// refuse says on standard error what is wrong and what to do, and returns the
// status of work that could not be done.
func (s streams) refuse(what, hint string) int {
	fmt.Fprintf(s.err, "stencilproof: %s\n", what)
	if hint != "" {
		fmt.Fprintf(s.err, "hint: %s\n", hint)
	}
	return statusBroken
}

// refuseErr is refuse for an error, with the hint it carries. about names what
// the error is about; it may be empty.
func (s streams) refuseErr(about string, err error) int {
	hint := ""
	var h hinted
	if errors.As(err, &h) {
		hint = h.Hint()
	} else {
		hint = artworkHint(err)
	}
	what := err.Error()
	if about != "" {
		what = about + ": " + what
	}
	return s.refuse(what, hint)
}

// artworkHint is what to do about a file that is not decoded, where the error
// itself does not say it.
func artworkHint(err error) string {
	var format artwork.FormatError
	var limit artwork.LimitError
	switch {
	case errors.As(err, &limit) && limit.Pixels:
		return "if the size is right, --max-pixels N raises the limit"
	case errors.As(err, &format) && !strings.Contains(err.Error(), "ask for"):
		return "check that it is the artwork, or ask for it again, as PNG or TIFF"
	}
	return ""
}

// catch runs fn. A panic in it is the program's own fault, and comes back as an error,
// so that the other artworks of a batch are judged all the same.
func catch(fn func() error) (err error) {
	if fault := raster.Catch(func() { err = fn() }); fault != nil {
		return &preflight.Problem{What: "stencilproof made a mistake of its own (" + fault.Error() + ")",
			Do: "it is the program's fault, not the file's: please report it, with the file and this line"}
	}
	return err
}

// quote writes a word of the person's as it was typed, made safe to print.
func quote(s string) string { return strconv.Quote(s) }

// help prints the help of a subcommand, or of the whole program, to standard
// output.
func (s streams) help(name string) int {
	text, ok := helps[name]
	if !ok {
		return s.refuse("no help on "+quote(name), "stencilproof --help lists the commands")
	}
	_, err := io.WriteString(s.out, strings.TrimPrefix(text, "\n"))
	if err != nil {
		return s.refuseErr("writing the help", err)
	}
	return statusHolds
}

// helps holds the help of every subcommand, and of the program under "".
var helps = map[string]string{
	"":       helpMain,
	"check":  helpCheck,
	"choose": helpChoose,
	"shop":   helpShop,
	"gauge":  helpGauge,
	"films": `
stencilproof films [--shop FILE]

The films in force and their limits, yours from the shop file among them. A
width under the first number of a pair fails; from the second number on it
holds; between the two it is at risk. Below the table stands what each limit
rests on.

Any other thickness may be given to a command as it is: --film 7mil,
--film 76um, --film 0.1mm. The same rules then make its limits.

  --shop FILE   the shop file; without it the one in your configuration
                folder, if it is there
`,
}

const helpMain = `
stencilproof reads the artwork for a photoresist stencil and says, before
anything is exposed, which lines, gaps, dots and islands the film will lose.

  stencilproof check    judge artwork against a film; write proof and report
  stencilproof choose   which films hold it, at this size and from which size
  stencilproof films    the films and their limits
  stencilproof shop     the file with your own films, limits and name
  stencilproof gauge    a test positive; turn what survived into limits

stencilproof COMMAND --help tells more about each. To begin with:

  stencilproof check --film "3 mil" cup.png

Exit status: 0 nothing fails, 1 at least one feature fails, 2 could not check.
`
