package preflight

import "path"

// Fact is what is usual at one step of the work with a film, for the shop's
// own sheet. None of them weighs in a verdict.
type Fact struct {
	Step  string // one of ProcessSteps
	Set   string // what to set or do
	Basis Basis
	Why   string

	Remark string // the shop's own words beside it, if there are any
}

// commonPractice is what the usual facts rest on.
const commonPractice = "common practice, no published source; the film's own sheet wins"

// usualFacts are the steps as shops commonly do them, all from memory.
// washOutOver3Mil replaces the wash-out of films thicker than 3 mil.
var usualFacts = map[string]string{
	"exposure": "40 to 60 s, by the lamp's strength",
	"wash-out": "warm water, about 30 to 40 s in a machine",
	"drying":   "5 to 10 min in a dryer, by thickness",
	"storage":  "about six months on release paper, if no air is trapped",
}

const (
	washOutOver3Mil = "warm water, up to a minute in a machine"
	threeMilUM      = 76.2
)

// Facts returns a fact for each step, in the order of ProcessSteps: the
// film's own rule in the shop file, else the shop's, else what is usual.
func Facts(f *Film, s *Shop) []Fact {
	out := make([]Fact, len(ProcessSteps))
	for i, step := range ProcessSteps {
		out[i] = Fact{Step: step, Set: usualFacts[step], Basis: Memory, Why: commonPractice}
		if step == "wash-out" && f.ThicknessUM > threeMilUM {
			out[i].Set = washOutOver3Mil
		}
	}
	if s == nil {
		return out
	}
	rules := s.Process
	for _, own := range s.OwnFilms {
		if sameName(own.Name, f.Name) {
			rules = append(rules[:len(rules):len(rules)], own.Process...)
		}
	}
	for _, r := range rules {
		for i := range out {
			if out[i].Step == r.Step {
				why := "a rule of this shop"
				if r.Remark != "" {
					why += ": " + r.Remark
				}
				out[i] = Fact{Step: r.Step, Set: r.Set, Basis: ShopRule, Why: why + " (" + path.Base(s.File) + ")", Remark: r.Remark}
			}
		}
	}
	return out
}
