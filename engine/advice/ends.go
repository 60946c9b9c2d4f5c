package advice

import (
	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// answerAt is the check of a plan that answers what another plan's check does: the
// same question at the same field, else the same question alone, since a check that
// goes wrong may be settled elsewhere.
func answerAt(made *plan.Plan, q plan.Question, field string) (found *plan.Check) {
	for i := range made.Checks {
		if c := &made.Checks[i]; c.Question == q {
			if c.Field == field {
				return c
			}
			if found == nil {
				found = c
			}
		}
	}
	return found
}

// bothEnds designs with wind, ground and rolling at each end of what they may be,
// all corners of the three, and adds to each margin whether the answer is the same
// in all of them and on which of them it rests. Between the ends a margin moves one
// way, so that the corners hold its least and its most. What comes up only in a
// corner is added.
//
// Checked: against random draws between the ends (TestBothEndsMonteCarlo).
func bothEnds(s *survey.Survey, p *practice.Practice, made *plan.Plan, checks []CheckConfidence,
	pause func()) []CheckConfidence {
	axes := practice.Uncertains()
	corners := make([]plan.Plan, 1<<len(axes))
	for k := range corners {
		pause()
		rules := *p
		for i := range axes {
			axes[i].Set(&rules, k>>i&1 == 1)
		}
		corners[k], _ = engine.Judge(*s, rules)
	}
	// turning names the axes along which something differs between two corners.
	turning := func(differ func(a, b *plan.Plan) bool) (names []text.Name) {
		for i := range axes {
			for k := range corners {
				if other := k | 1<<i; other != k && differ(&corners[k], &corners[other]) {
					names = append(names, axes[i].Name)
					break
				}
			}
		}
		return names
	}
	for n := range checks {
		c := &checks[n]
		if c.Index < 0 {
			continue
		}
		at := func(q *plan.Plan) *plan.Check { return answerAt(q, c.question, c.Field) }
		others := func(a, b *plan.Check) bool {
			return a != b && (a == nil || b == nil || a.Severity != b.Severity || a.Code != b.Code)
		}
		for k := range corners {
			c.Flips = c.Flips || others(at(&corners[k]), &made.Checks[c.Index])
		}
		c.RestsOn = turning(func(a, b *plan.Plan) bool {
			x, y := at(a), at(b)
			return others(x, y) || !c.Flips && x != nil && y != nil && x.Margin != y.Margin
		})
		c.sayEnds(made.Checks[c.Index].Severity)
	}
	for k := range corners {
		for i := range corners[k].Checks {
			m := &corners[k].Checks[i]
			wrong := func(q *plan.Plan) bool {
				a := answerAt(q, m.Question, m.Field)
				return a != nil && (a.Severity != plan.Sound || a.HasMargin && q == made) // that is told above
			}
			if m.Severity == plan.Sound || m.Question == plan.QuestionMinimum || wrong(made) || marked(checks, m.Question) {
				continue
			}
			c := CheckConfidence{Code: m.Code, Field: m.Field, Index: -1, MarginOf: m.MarginOf, Decides: true, Flips: true,
				question: m.Question, RestsOn: turning(func(a, b *plan.Plan) bool { return wrong(a) != wrong(b) })}
			c.Words = text.Say("{0} In order as the rules stand. Could flip, by this: {1}.", text.List(m.What), text.WordList(c.RestsOn))
			checks = append(checks, c)
		}
	}
	return checks
}

// marked reports whether a question that does not stand is among the checks.
func marked(checks []CheckConfidence, q plan.Question) bool {
	for i := range checks {
		if checks[i].question == q && checks[i].Index < 0 {
			return true
		}
	}
	return false
}

// sayEnds adds to a check's words what its ends say.
func (c *CheckConfidence) sayEnds(severity plan.Severity) {
	if len(c.RestsOn) == 0 {
		return
	}
	words, names := text.List(c.Words), text.WordList(c.RestsOn)
	if !c.question.Among(plan.StrengthQuestions) {
		words = text.List(text.Say("By the readings alone. {0}", words))
	}
	switch {
	case c.Flips:
		c.Words = text.Say("{0} Could flip, by this: {1}.", words, names)
	case severity == plan.Sound:
		c.Words = text.Say("{0} Holds at both ends of this: {1}.", words, names)
	default:
		c.Words = text.Say("{0} Not in order at either end of this: {1}.", words, names)
	}
}
