package preflight

import (
	"fmt"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"stencilproof/raster"
)

// Shop is what a shop file says: the shop's own films and limits, its habits,
// and how it signs its proofs. The zero value is a shop that said nothing.
type Shop struct {
	File string // the name it was read under; "" when there is none

	// The customer's block of a proof.
	Name    string
	Address []string
	Email   string
	Phone   string
	Logo    string // a picture, relative to the shop file's folder

	// Habits. "" or 0 where the file says nothing.
	Film         string  // the film that is meant when none is named
	Units        string  // "mm", "in" or "mil"
	Language     string  // "en", ...: two letters
	Paper        string  // "A4" or "Letter"
	TapeMarginUM float64 // film kept free around the artwork for tape

	OwnFilms []ShopFilm
	Process  []ProcessRule // for every film
}

// Nearly is the film of the shop's own that a film is not, but may have been meant for: as
// thick to within a fiftieth. "76um" is 0.2 um thinner than "3 mil".
func (s *Shop) Nearly(f *Film) (own ShopFilm, ok bool) {
	for _, o := range s.OwnFilms {
		if sameName(o.Name, f.Name) {
			return ShopFilm{}, false
		}
		if math.Abs(o.ThicknessUM-f.ThicknessUM) <= o.ThicknessUM/50 {
			own, ok = o, true
		}
	}
	return own, ok
}

// ShopFilm is a film as the shop file gives it. A kind it does not mention has
// the default limits of the thickness.
type ShopFilm struct {
	Name        string
	ThicknessUM float64
	Remark      string
	Limits      [4]*ShopLimit
	Process     []ProcessRule // for this film
}

// ShopLimit is a pair of limits of the shop's own.
type ShopLimit struct {
	FailUM, SafeUM float64
	Basis          Basis
	FailBasis      Basis     // as Basis, but where nothing that fails was seen
	Date           time.Time // zero when not given
	Remark         string
}

// ProcessRule is what the shop does at a step of its work, in its own words.
type ProcessRule struct {
	Step   string // one of ProcessSteps
	Set    string // "45 s"
	Remark string
}

// Languages are those that proofs are written in.
var Languages = []string{"en", "de"}

// ProcessSteps are the steps of the work a shop file may set.
var ProcessSteps = []string{"exposure", "wash-out", "drying", "storage"}

// basisWords are the words for a limit's basis in a shop file.
var basisWords = map[string]Basis{
	"measured": Measured, "shop rule": ShopRule, "published": Published, "from memory": Memory,
}

// Films returns the films in force: the default table, each film of the
// shop's replacing the one of the same name (case and spaces do not matter)
// and the others added, thinnest first.
func (s *Shop) Films() []Film {
	films := Films()
	for _, own := range s.OwnFilms {
		f := own.film(s.File)
		i := slices.IndexFunc(films, func(g Film) bool { return sameName(g.Name, f.Name) })
		if i < 0 {
			films = append(films, f)
		} else {
			films[i] = f
		}
	}
	slices.SortStableFunc(films, func(a, b Film) int {
		switch {
		case a.ThicknessUM < b.ThicknessUM:
			return -1
		case a.ThicknessUM > b.ThicknessUM:
			return 1
		}
		return 0
	})
	return films
}

func sameName(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), ""), strings.Join(strings.Fields(b), ""))
}

// film makes the film that judging takes. It counts as measured only when all
// its limits are: a report that says "measured" must not rest on a guess.
func (f *ShopFilm) film(file string) Film {
	out := DefaultFilm(f.Name, f.ThicknessUM)
	out.Remark = f.Remark
	out.Measured = true
	for k, l := range f.Limits {
		if l == nil {
			out.Measured = false
			continue
		}
		out.Limits[k] = Limit{FailUM: l.FailUM, SafeUM: l.SafeUM, FailBasis: l.FailBasis, SafeBasis: l.Basis, FailWhy: l.why(l.FailBasis, file), SafeWhy: l.why(l.Basis, file)}
		out.Measured = out.Measured && l.Basis == Measured && l.FailBasis == Measured
	}
	return out
}

// why says in words what a number of the pair rests on.
func (l *ShopLimit) why(basis Basis, file string) string {
	words := map[Basis]string{
		Measured: "measured in this shop", ShopRule: "a rule of this shop",
		Published: "published", Memory: "from memory",
	}[basis]
	if basis != l.Basis && l.Basis == Measured {
		words += ", for nothing that fails was seen on the gauge"
	}
	if !l.Date.IsZero() {
		words += " on " + l.Date.Format(time.DateOnly)
	}
	if l.Remark != "" {
		words += ": " + l.Remark
	}
	return words + " (" + path.Base(strings.ReplaceAll(file, `\`, "/")) + ")"
}

// ShopError is what is wrong in a shop file, and where.
type ShopError struct {
	File string
	Line int // 1 is the first; 0 when it is about the whole file
	What string
	Do   string
}

func (e *ShopError) Error() string {
	if e.Line == 0 {
		return e.File + ": " + e.What
	}
	return e.File + ":" + strconv.Itoa(e.Line) + ": " + e.What
}

// Hint returns what would put it right.
func (e *ShopError) Hint() string { return e.Do }

// check refuses what no single key shows: double names and unknown films.
func (s *Shop) check(lines tomlLines) error {
	for i, f := range s.OwnFilms {
		for j, g := range s.OwnFilms[:i] {
			if sameName(f.Name, g.Name) {
				return &ShopError{s.File, lines.of(fmt.Sprintf("film[%d].name", i)),
					fmt.Sprintf("film %q stands here twice", f.Name),
					fmt.Sprintf("the first one is on line %d: give one of them another name, or remove it", lines.of(fmt.Sprintf("film[%d].name", j)))}
			}
		}
	}
	if s.Film != "" {
		if _, err := ParseFilm(s.Film, s.Films()); err != nil {
			return &ShopError{s.File, lines.of("habits.film"), err.Error(), hintOf(err)}
		}
	}
	return nil
}

// hintOf returns the hint that an error carries, or "".
func hintOf(err error) string {
	if p, ok := err.(interface{ Hint() string }); ok {
		return p.Hint()
	}
	return ""
}

// kindNamed returns the kind of a name such as "line".
func kindNamed(name string) (raster.Kind, bool) {
	for _, k := range raster.Kinds {
		if k.String() == name {
			return k, true
		}
	}
	return 0, false
}
