package report

import (
	"bytes"
	"fmt"
	"io"
	"text/tabwriter"

	"stencilproof/preflight"
	"stencilproof/raster"
)

// Films prints films and their limits as a table in micrometres, and below it
// what each limit rests on.
func Films(w io.Writer, films []preflight.Film) error {
	var b bytes.Buffer
	fmt.Fprintln(&b, "Limits in micrometres: under the first number fails, from the second on holds.")
	fmt.Fprintln(&b)
	t := tabwriter.NewWriter(&b, 0, 0, 3, ' ', 0)
	fmt.Fprintf(t, "film\tthick")
	for _, k := range raster.Kinds {
		fmt.Fprintf(t, "\t%s", k)
	}
	fmt.Fprintln(t, "\tlimits are")
	for _, f := range films {
		fmt.Fprintf(t, "%s\t%s", f.Name, plain(f.ThicknessUM))
		for _, k := range raster.Kinds {
			l := f.Limit(k)
			fmt.Fprintf(t, "\t%s / %s", plain(l.FailUM), plain(l.SafeUM))
		}
		fmt.Fprintf(t, "\t%s\n", basisOf(&f))
	}
	t.Flush()
	for _, group := range sameWhys(films) {
		fmt.Fprintf(&b, "\nWhat the limits of %s rest on (t is the film's thickness):\n", group.names)
		writeWhys(&b, group.film)
	}
	_, err := w.Write(b.Bytes())
	return err
}

// startingValues is the word for limits of which none is the shop's own.
const startingValues = "starting values"

// basisOf says in a word whether a film's limits were measured.
func basisOf(f *preflight.Film) string {
	if f.Measured {
		return "measured in this shop"
	}
	usual := preflight.DefaultFilm(f.Name, f.ThicknessUM)
	for k, l := range f.Limits {
		if l.FailBasis >= preflight.ShopRule || l.SafeBasis >= preflight.ShopRule {
			return "partly this shop's own"
		}
		if u := usual.Limits[k]; l.FailWhy != u.FailWhy || l.SafeWhy != u.SafeWhy {
			return "partly from the shop file"
		}
	}
	return startingValues
}

// writeWhys prints the reason of every limit of a film, two lines a kind.
func writeWhys(b *bytes.Buffer, f *preflight.Film) {
	for _, k := range raster.Kinds {
		l := f.Limit(k)
		fmt.Fprintf(b, "  %-7s fails under  %s\n", k, l.FailWhy)
		fmt.Fprintf(b, "  %-7s holds from   %s\n", "", l.SafeWhy)
	}
}

// whyGroup is films whose limits rest on the same reasons.
type whyGroup struct {
	names string
	film  *preflight.Film
}

// sameWhys groups films by the reasons of their limits, in the order given.
func sameWhys(films []preflight.Film) []whyGroup {
	var groups []whyGroup
	at := map[[8]string]int{}
	for i := range films {
		var key [8]string
		for k, l := range films[i].Limits {
			key[2*k], key[2*k+1] = l.FailWhy, l.SafeWhy
		}
		if g, ok := at[key]; ok {
			groups[g].names += ", " + films[i].Name
			continue
		}
		at[key] = len(groups)
		groups = append(groups, whyGroup{films[i].Name, &films[i]})
	}
	return groups
}
