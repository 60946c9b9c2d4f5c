package engine

import (
	"slices"
	"sync"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// Trial is a design for who mends it Stop by Stop and reads what it holds: its figures
// and load cases are worked out when Whole asks for them, and remedies that are found by
// search are looked for one check at a time.
type Trial struct {
	Survey   *survey.Survey
	Practice *practice.Practice
	Plan     *plan.Plan // as Judge finds it, but for its figures and load cases

	sketch   *Sketch
	left     []plan.Question // of Stops that nothing was searched for yet
	searched func() []plan.Check
}

// Attempt designs as [Judge] does. What is refused counts as not measured. Both arguments
// are kept, and neither is changed.
func Attempt(s *survey.Survey, p *practice.Practice) *Trial {
	t := &Trial{Survey: s, Practice: p}
	t.sketch, _ = begin(s, p)
	t.sketch.searches, t.sketch.bare = searching{of: searchNone, left: &t.left}, true
	t.Plan = t.sketch.Finish()
	if t.sketch.pair != nil {
		t.searched = sync.OnceValue(func() []plan.Check {
			sketch, _ := begin(s, p)
			sketch.searches = searching{of: searchStops}
			return sketch.Finish().Checks
		})
	}
	return t
}

// Whole is the plan with its figures and load cases.
func (t *Trial) Whole() *plan.Plan {
	if t.Plan.Figures == nil && t.sketch.read != nil { // a pair has them
		t.sketch.read.explain()
	}
	return t.Plan
}

// Room is what the open leaf needs behind the run-back post, mm: the plan's figure of it.
func (t *Trial) Room() float64 {
	if read := t.sketch.read; read != nil {
		return roomNeeded(read.Inputs, read.Practice, &read.Plan.Leaf)
	}
	f, _ := t.Plan.Figure(plan.FigureRoomNeeded)
	return f.Value
}

// Searches reports whether more remedies of a Stop may be found by search than its
// check proposes by itself.
func (t *Trial) Searches(c *plan.Check) bool { return slices.Contains(t.left, c.Question) }

// Remedies are those that [Design] proposes for a Stop, which is one of the plan's checks.
func (t *Trial) Remedies(c *plan.Check) []plan.Remedy {
	if !t.Searches(c) {
		return c.Remedies
	}
	for i := range t.Plan.Checks {
		switch {
		case c != &t.Plan.Checks[i]:
		case t.searched != nil: // the same as the plan's, in their order
			return t.searched()[i].Remedies
		default:
			read := *t.sketch.read
			read.searches = searching{of: searchOne, question: c.Question, field: c.Field}
			return read.again(i).Remedies
		}
	}
	return c.Remedies
}
