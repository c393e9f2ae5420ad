package main

import (
	"context"
	"fmt"

	"github.com/spf13/pflag"

	"stencilproof/preflight"
	"stencilproof/preflight/report"
)

func filmsCommand(*pflag.FlagSet) func(context.Context, streams, []string) int {
	return func(_ context.Context, s streams, args []string) int {
		if len(args) > 0 {
			return s.refuse(fmt.Sprintf("films takes no arguments, got %s", quote(args[0])), "stencilproof films --help tells more")
		}
		if err := report.Films(s.out, preflight.Films()); err != nil {
			return s.refuseErr("writing the films", err)
		}
		return statusHolds
	}
}
