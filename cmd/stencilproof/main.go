// Command stencilproof judges artwork for carving through a photoresist
// stencil before the film is exposed. "stencilproof --help" lists what it does.
package main

import (
	"context"
	"errors"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/spf13/pflag"
)

// The exit statuses. Over several artworks the highest wins.
const (
	statusHolds  = 0 // nothing fails
	statusFails  = 1 // at least one feature fails
	statusBroken = 2 // bad usage, an unreadable file, an unknown size
)

func main() {
	collect.expect(0)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// streams are the three streams of a command. The report goes to out, all
// else to err.
type streams struct {
	in  io.Reader
	out io.Writer
	err io.Writer
}

// command is one subcommand. Its run gets the arguments after the flags, and
// parsed says which flags were given.
type command struct {
	name string
	// prepare adds the flags and returns what runs once they are parsed.
	prepare func(*pflag.FlagSet) func(ctx context.Context, s streams, args []string) int
}

// commands lists the subcommands in the order of the help.
var commands = []command{
	{"check", checkCommand},
	{"choose", chooseCommand},
	{"films", filmsCommand},
	{"shop", shopCommand},
	{"gauge", gaugeCommand},
}

// run is the whole program: it returns the exit status. An interrupt ends the
// work in hand; a second one ends the program at once.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop)
	out := &heard{Writer: stdout}
	s := streams{stdin, out, stderr}
	status := s.run(ctx, args)
	if out.err != nil && status != statusBroken { // whoever reads the status must not take it for all said
		return s.refuseErr("writing the output", out.err)
	}
	return status
}

// heard is a writer that remembers that writing failed.
type heard struct {
	io.Writer
	err error
}

func (h *heard) Write(p []byte) (int, error) {
	n, err := h.Writer.Write(p)
	if err != nil && h.err == nil {
		h.err = err
	}
	return n, err
}

// run does what the arguments say.
func (s streams) run(ctx context.Context, args []string) int {
	if len(args) == 0 {
		return s.refuse("no command given", "stencilproof --help lists the commands")
	}
	name, rest := args[0], args[1:]
	switch name {
	case "-h", "--help":
		return s.help("")
	case "help":
		if len(rest) == 0 {
			return s.help("")
		}
		name, rest = rest[0], []string{"--help"}
	}
	for _, c := range commands {
		if c.name != name {
			continue
		}
		flags := pflag.NewFlagSet(name, pflag.ContinueOnError)
		flags.SetOutput(io.Discard)
		flags.SortFlags = false
		do := c.prepare(flags)
		flags.VisitAll(func(f *pflag.Flag) {
			if !strings.HasPrefix(f.Value.Type(), "string") || f.Value.Type() == "string" { // no list
				f.Value = &once{Value: f.Value}
			}
		})
		switch err := flags.Parse(rest); {
		case errors.Is(err, pflag.ErrHelp):
			return s.help(name)
		case err != nil:
			return s.refuse(name+": "+err.Error(), "stencilproof "+name+" --help lists the flags")
		}
		return do(ctx, s, flags.Args())
	}
	return s.refuse("no command "+quote(name), "stencilproof --help lists the commands")
}

// once is a flag that may be given once: of two values that contradict each other neither
// is passed over.
type once struct {
	pflag.Value
	given bool
}

func (o *once) Set(s string) error {
	if o.given {
		return errors.New("given twice")
	}
	o.given = true
	return o.Value.Set(s)
}
