package preflight

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"stencilproof/raster"
)

// GaugeReading is what a person read off one gauge or several of the same
// print: for each kind, by raster.Kind, the number of the narrowest step that
// came out whole in each run. An empty list leaves the kind as it is.
type GaugeReading [4][]int

// Recorded is a pair of limits found with the gauge.
type Recorded struct {
	Kind   raster.Kind
	Limit  ShopLimit
	Before *ShopLimit // what the shop file held; nil when nothing
}

// A recording's limits are steps of the gauge, and check of the gauge must find
// the step that was lost under fail and the one from which all is safe not under
// safe. So the limits give way by as much as check may read a step wrong: of all
// films' gauges at 600 to 2400 dots an inch it read lines and strips within 0.23 %,
// discs, some of which seem to have corners on few pixels, within 2.0 %. A step is
// 12 %.
const (
	readWithin      = 1.005
	readDiscsWithin = 1.025
)

// Limits turns a reading into limits. For one run, fail is the last step lost
// and safe one step above the first whole one, but for what readWithin says; where a
// step is not as wide in all directions, fail is the widest lost and safe the narrowest
// of the step above.
// Several runs widen the pair and never narrow it: the lowest fail, the highest
// safe. Errors are of type *Problem.
func (g *Gauge) Limits(r GaugeReading) (map[raster.Kind]Limit, error) {
	out := map[raster.Kind]Limit{}
	for _, k := range raster.Kinds {
		for _, number := range r[k] {
			fail, safe, basis, err := g.pair(k, number)
			if err != nil {
				return nil, err
			}
			l, seen := out[k]
			if !seen || fail < l.FailUM {
				l.FailUM, l.FailBasis = fail, basis
			}
			l.SafeUM, l.SafeBasis = math.Max(l.SafeUM, safe), Measured
			out[k] = l
		}
	}
	if len(out) == 0 {
		return nil, &Problem{"no step was read", "give the narrowest step that came out whole, such as --line 7 --dot 5 --strip 9 --island 6"}
	}
	return out, nil
}

// pair returns the limits from one number, rounded to 0.1 um, and what the first rests
// on: where even the narrowest step drawn came out whole nothing that fails was seen.
func (g *Gauge) pair(k raster.Kind, number int) (fail, safe float64, failBasis Basis, err error) {
	steps := g.Steps[k]
	i := slices.IndexFunc(steps, func(s GaugeStep) bool { return s.Number == number })
	if i < 0 {
		var have []string
		for _, s := range steps {
			have = append(have, strconv.Itoa(s.Number))
		}
		do := "its steps are " + strings.Join(have, ", ")
		if number > steps[len(steps)-1].Number {
			do += "; where even the widest was lost leave the kind out: the gauge of a thicker film has wider ones"
		}
		return 0, 0, 0, &Problem{fmt.Sprintf("the gauge of %s has no %s step %d", g.Film.Name, k, number), do}
	}
	// Where no narrower or wider step was drawn, the comb goes on by one.
	lost, next := steps[i].LeastUM/r20, steps[i].MostUM*r20
	if i > 0 {
		lost = steps[i-1].MostUM
	}
	if i+1 < len(steps) {
		next = steps[i+1].LeastUM
	}
	within := readWithin
	if k == raster.Dot || k == raster.Island {
		within = readDiscsWithin
	}
	fail, safe = math.Round(10*lost*within)/10, math.Round(10*next/within)/10
	if i > 0 {
		return fail, safe, Measured, nil
	}
	if g.TooFine[k] { // the starting value stays
		fail = math.Min(fail, g.Film.Limits[k].FailUM)
	}
	return fail, safe, Memory, nil
}

// RecordGauge puts the limits of a reading into the text of a shop file, which
// may be empty, and returns the new text and what was read of each kind. The rest of the text
// stays as it is. A pair that was measured before is widened, never narrowed,
// unless anew is set; where it holds the reading already it stays, and the text with it.
// Every pair that gives way is kept under film.was. name is
// the file's, for messages. Errors are of type *Problem or *ShopError.
func RecordGauge(name string, text []byte, g *Gauge, r GaugeReading, anew bool, date time.Time) ([]byte, []Recorded, error) {
	limits, err := g.Limits(r)
	if err != nil {
		return nil, nil, err
	}
	shop, err := ParseShop(name, text)
	if err != nil {
		return nil, nil, err
	}
	e := newShopEdit(name, text)
	film := slices.IndexFunc(shop.OwnFilms, func(f ShopFilm) bool { return sameName(f.Name, g.Film.Name) })
	if film >= 0 && math.Abs(shop.OwnFilms[film].ThicknessUM-g.Film.ThicknessUM) > 1e-6 {
		return nil, nil, &Problem{fmt.Sprintf("film %q is %g um thick in %s, the gauge was for %g um", g.Film.Name, shop.OwnFilms[film].ThicknessUM, name, g.Film.ThicknessUM),
			"record the gauge that was printed for this film"}
	}
	var done, changed []Recorded
	for _, k := range raster.Kinds {
		l, ok := limits[k]
		if !ok {
			continue
		}
		rec := Recorded{Kind: k, Limit: ShopLimit{l.FailUM, l.SafeUM, Measured, l.FailBasis, date, readingRemark(r[k])}}
		if film >= 0 {
			rec.Before = shop.OwnFilms[film].Limits[k]
		}
		if b := rec.Before; b != nil && b.Basis == Measured && !anew {
			if b.FailUM <= l.FailUM && b.SafeUM >= l.SafeUM {
				rec.Limit = *b // it stays to the letter, with its date
				done = append(done, rec)
				continue
			}
			rec.Limit.FailUM, rec.Limit.SafeUM = math.Min(b.FailUM, l.FailUM), math.Max(b.SafeUM, l.SafeUM)
			if b.FailUM <= l.FailUM {
				rec.Limit.FailBasis = b.FailBasis
			}
			rec.Limit.Remark = widenedRemark(b, l, rec.Limit.Remark, date)
		}
		done, changed = append(done, rec), append(changed, rec)
	}
	if len(changed) == 0 {
		return text, done, nil
	}
	if film < 0 {
		e.addFilm(g.Film, changed)
	} else if err := e.renew(film, changed); err != nil {
		return nil, nil, err
	}
	out := e.text()
	if err := confirm(name, out, g.Film.Name, done); err != nil {
		return nil, nil, err
	}
	return out, done, nil
}

// readingRemark says what a pair was read from.
func readingRemark(numbers []int) string {
	if len(numbers) == 1 {
		return fmt.Sprintf("gauge, step %d the first whole", numbers[0])
	}
	words := make([]string, len(numbers))
	for i, n := range numbers {
		words[i] = strconv.Itoa(n)
	}
	return fmt.Sprintf("gauge, %d runs, steps %s the first whole", len(numbers), strings.Join(words, ", "))
}

// widenedRemark says which reading each number of a widened pair comes from: the one
// before, with its date, or the new one, which read the pair l on date.
func widenedRemark(before *ShopLimit, l Limit, reading string, date time.Time) string {
	const fails, holds = "fail: ", "; safe: "
	fail, safe := before.Remark, before.Remark
	if rest, ok := strings.CutPrefix(before.Remark, fails); ok {
		if a, b, ok := strings.Cut(rest, holds); ok {
			fail, safe = a, b
		}
	}
	fail, safe = datedRemark(fail, before.Date, date), datedRemark(safe, before.Date, date)
	if l.FailUM < before.FailUM {
		fail = reading
	}
	if l.SafeUM > before.SafeUM {
		safe = reading
	}
	if fail == safe {
		return fail
	}
	return fails + fail + holds + safe
}

// datedRemark is an older remark beside the date of a newer one.
func datedRemark(remark string, of, now time.Time) string {
	if remark == "" {
		remark = "measured"
	}
	day := of.Format(time.DateOnly)
	if of.IsZero() || day == now.Format(time.DateOnly) || endsInDate(remark) {
		return remark
	}
	return remark + ", " + day
}

// endsInDate reports whether a remark tells its own date.
func endsInDate(remark string) bool {
	at := len(remark) - len(time.DateOnly)
	if at < 0 {
		return false
	}
	_, err := time.Parse(time.DateOnly, remark[at:])
	return err == nil
}

// confirm reads the new text back: it must be a shop file that holds just the
// pairs recorded.
func confirm(name string, text []byte, film string, done []Recorded) error {
	shop, err := ParseShop(name, text)
	if err != nil {
		return fmt.Errorf("the limits do not fit into %s as it is written: %w", name, err)
	}
	for _, f := range shop.OwnFilms {
		if !sameName(f.Name, film) {
			continue
		}
		for _, d := range done {
			if got := f.Limits[d.Kind]; got == nil || math.Abs(got.FailUM-d.Limit.FailUM) > 1e-6 || math.Abs(got.SafeUM-d.Limit.SafeUM) > 1e-6 {
				return fmt.Errorf("the %s's limits do not fit into %s as it is written", d.Kind, name)
			}
		}
		return nil
	}
	return fmt.Errorf("film %q does not fit into %s as it is written", film, name)
}
