package advice

import (
	"cmp"
	"slices"

	"pegpour/engine/plan"
	"pegpour/engine/sorting"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// mattersFrom is the part of a result's variance from which a value counts as
// mattering to it. Common practice, no published source.
const mattersFrom = 0.01

// StillAssumed parts what a plan assumes into what is worth measuring, most
// first, and what changes nothing that is ordered, cut, dug or checked. A
// number that nothing stands in for and a choice that was not made always
// matter: the first because a check waits for it, the second because no
// uncertainty can be given to it.
//
// report is Confidence's for the same survey and practice.
func StillAssumed(plan *plan.Plan, report *ConfidenceReport) (matter, idle []survey.Assumption) {
	weight := map[string]float64{}
	note := func(shares []Share) {
		for _, s := range shares {
			weight[s.Path] = max(weight[s.Path], s.Part)
		}
	}
	for i := range report.Results {
		if slices.Contains(decisive[:], report.Results[i].ID) {
			note(report.Results[i].Shares)
		}
	}
	for i := range report.Checks {
		if c := &report.Checks[i]; c.TooClose || c.Decides {
			note(c.Shares)
		}
	}
	rank := func(a *survey.Assumption) float64 {
		switch {
		case a.Unknown:
			return 2
		case a.Dimension == text.Choice:
			return mattersFrom
		}
		return weight[a.Path]
	}
	for _, a := range plan.Assumed {
		if rank(&a) >= mattersFrom {
			matter = append(matter, a)
		} else {
			idle = append(idle, a)
		}
	}
	sorting.Stable(matter, func(a, b survey.Assumption) int { return cmp.Compare(rank(&b), rank(&a)) })
	return matter, idle
}
