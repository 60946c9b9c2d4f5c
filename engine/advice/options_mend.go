package advice

import (
	"math"
	"slices"
	"strings"

	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// mostNeeds is how many Stops are mended before a way counts as another gate.
const mostNeeds = 6

// mostRounds is how many Stops are tried in all: mends may bring one another up.
const mostRounds = 2 * mostNeeds

// mend looks for what lets a way be built that a Stop forbids: a stronger motor, a
// stiffer section, a rule of the shop moved. It takes one Stop after the other and the
// first remedy that clears it and leaves fewer of them, else the one that leaves
// fewest, and mends in turn what that brings up: thicker sections ask for a stronger
// motor. Neither a reading nor a choice that makes it another way is changed. asIs is the
// way's design; returned is the design that can be built, else asIs.
func (w *BuildOption) mend(asIs *engine.Trial) *engine.Trial {
	made := asIs
	changes, shops := w.Changes, asIs.Practice
	var needs []plan.Remedy
	rounds := 0
	for left := stops(made.Plan); len(left) > 0; left = stops(made.Plan) {
		s, p := made.Survey, made.Practice
		hopeless := slices.ContainsFunc(left, func(c *plan.Check) bool {
			return !made.Searches(c) && len(proposedMends(c.Remedies)) == 0 && len(leversFor(p, c)) == 0
		})
		if rounds++; hopeless || rounds > mostRounds || len(needs) == mostNeeds {
			return asIs
		}
		var best plan.Remedy
		var next *engine.Trial
		fewest := -1
		for _, r := range mends(s, p, left[0], made.Remedies(left[0])) {
			after, ok := attempt(s, p, left[0], r)
			if n := len(stops(after.Plan)); ok && (fewest < 0 || n < fewest) {
				best, fewest, next = r, n, after
			}
			if fewest >= 0 && fewest < len(left) {
				break // it brings up nothing
			}
		}
		if fewest < 0 {
			return asIs
		}
		made = next
		before := len(needs)
		if needs = slices.DeleteFunc(needs, func(n plan.Remedy) bool { return replaces(best, n) }); len(needs) < before {
			best.Words = inAll(shops, best)
		}
		needs = append(needs, best)
	}
	for _, r := range needs {
		w.Needs = append(w.Needs, r.Words)
		for _, c := range r.Changes {
			changes = append(slices.DeleteFunc(slices.Clone(changes),
				func(o plan.Change) bool { return o.Path == c.Path }), c)
		}
	}
	w.Changes = changes
	return made
}

// replaces reports whether a remedy changes all that an earlier one did.
func replaces(r, earlier plan.Remedy) bool {
	return !slices.ContainsFunc(earlier.Changes, func(e plan.Change) bool {
		return !slices.ContainsFunc(r.Changes, func(c plan.Change) bool { return c.Path == e.Path })
	})
}

// inAll are the words of a remedy that replaces an earlier one: what a lever of one
// rule then moves by counts from the shop's rule.
func inAll(shops *practice.Practice, r plan.Remedy) text.Text {
	for i := range levers {
		key, isRule := strings.CutPrefix(levers[i].path, practice.PracticePath)
		if isRule && len(r.Changes) == 1 && r.Changes[0].Path == levers[i].path {
			rule := practice.RuleOf(key)
			return levers[i].words(math.Abs(r.Changes[0].Value-rule.Of(*shops)), r.Changes[0].Value)
		}
	}
	return r.Words
}

// stops are the checks of a plan that forbid building it.
func stops(made *plan.Plan) []*plan.Check {
	var list []*plan.Check
	for i := range made.Checks {
		if made.Checks[i].Severity == plan.Stop {
			list = append(list, &made.Checks[i])
		}
	}
	return list
}

// mends are the remedies of a check that leave readings and the way as they are: of
// those that are proposed, else the least changes of a rule that clear it.
func mends(s *survey.Survey, p *practice.Practice, c *plan.Check, proposed []plan.Remedy) []plan.Remedy {
	list := proposedMends(proposed)
	if len(list) > 0 {
		return list
	}
	for _, l := range leversFor(p, c) {
		if r, ok := l.search(s, p, c, func() {}); ok {
			list = append(list, r)
		}
	}
	return list
}

func proposedMends(remedies []plan.Remedy) []plan.Remedy {
	return slices.DeleteFunc(slices.Clone(remedies), func(r plan.Remedy) bool {
		return len(r.Changes) == 0 || slices.ContainsFunc(r.Changes, func(c plan.Change) bool { return !mending(c.Path) })
	})
}

// leversFor are the levers of rules that can make up for what a check is short by.
func leversFor(p *practice.Practice, c *plan.Check) []*lever {
	var list []*lever
	for i := range levers {
		if l := &levers[i]; mending(l.path) && c.Question.Among(l.settles) && -c.Margin <= l.reach(p) {
			list = append(list, l)
		}
	}
	return list
}

// mending reports whether what stands at a path may change without making another
// way or touching what was read on site.
func mending(path string) bool {
	if strings.HasPrefix(path, practice.PracticePath) {
		return true
	}
	f, ok := survey.FieldAt(path)
	return ok && !f.Numeric() && strings.HasPrefix(path, "gate.") && path != survey.GateHardStop &&
		!slices.Contains(optionQuestions, path)
}

// reach is how far a lever of a rule can be moved, mm.
func (l *lever) reach(p *practice.Practice) float64 {
	key, _ := strings.CutPrefix(l.path, practice.PracticePath)
	r := practice.RuleOf(key)
	now := r.Of(*p)
	return max(l.limit(now, &r)-now, now-l.limit(now, &r))
}
