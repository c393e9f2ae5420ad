package main

import (
	"context"
	"fmt"

	"github.com/spf13/pflag"

	"stencilproof/preflight/report"
)

func filmsCommand(flags *pflag.FlagSet) func(context.Context, streams, []string) int {
	shopFile := flags.String("shop", "", shopFileUse)
	return func(_ context.Context, s streams, args []string) int {
		if len(args) > 0 {
			return s.refuse(fmt.Sprintf("films takes no arguments, got %s", quote(args[0])), "stencilproof films --help tells more")
		}
		shop, err := loadShop(*shopFile)
		if err != nil {
			return s.refuseErr("", err)
		}
		if err := report.Films(s.out, shop.Films()); err != nil {
			return s.refuseErr("writing the films", err)
		}
		return statusHolds
	}
}
