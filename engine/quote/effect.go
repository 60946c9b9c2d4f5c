package quote

import (
	"slices"

	"pegpour/engine"
	"pegpour/engine/advice"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Shift is a size of a site as it is and as it would be. Was or Now has no Dimension
// where there is no such size.
type Shift struct {
	ID       string
	Name     text.Name
	Was, Now text.Arg
}

// Effect is what other rules would change at a site.
type Effect struct {
	// Shifts are the sizes that would be written otherwise: first those that decide
	// what is ordered, cut and dug, then the others.
	Shifts []Shift
	// Decisive counts the first of them.
	Decisive int
	// Was and Now are the totals of the quotes, HoursWas and HoursNow their hours.
	// Priced is set where both have a price for something, Partial where one has no
	// price for all of it.
	Was, Now           Amount
	HoursWas, HoursNow Decimal
	Priced, Partial    bool
	// Stops are what would say Stop and does not yet, Clears what would not any more;
	// StopsWas and StopsNow count all of them.
	Stops, Clears      []text.Text
	StopsWas, StopsNow int
}

// Nothing reports whether all stays as it is.
func (e *Effect) Nothing() bool {
	return len(e.Shifts) == 0 && e.Was == e.Now && e.HoursWas == e.HoursNow && len(e.Stops) == 0 && len(e.Clears) == 0
}

// EffectOf designs and prices a site by other rules and sets it beside the plan p and the
// quote base of it as it is. Errors: ErrLarge. A rule that is refused counts as not given.
func EffectOf(s survey.Survey, p *plan.Plan, base *Quote, by *practice.Practice) (Effect, error) {
	made, _ := engine.Judge(s, *by)
	then, err := Make(&s, &made, by)
	if err != ErrLarge {
		err = nil
	}
	e := Effect{Was: base.Total, Now: then.Total, HoursWas: base.Hours, HoursNow: then.Hours,
		Priced: len(base.Items()) > 0 && len(then.Items()) > 0, Partial: !base.Whole() || !then.Whole()}
	e.shift(p, &made)
	e.Stops, e.StopsNow = stopsBeside(&made, p)
	e.Clears, e.StopsWas = stopsBeside(p, &made)
	return e, err
}

// shift finds the sizes that are written otherwise.
func (e *Effect) shift(was, now *plan.Plan) {
	first := append([]string{plan.FigureConcreteOrder, plan.FigureDigBank}, advice.DecisiveFigures()...)
	for i := range first {
		if !slices.Contains(first[:i], first[i]) {
			e.compare(was, now, first[i])
		}
	}
	e.Decisive = len(e.Shifts)
	for _, from := range [...]*plan.Plan{now, was} {
		for i := range from.Figures {
			id := from.Figures[i].ID
			if !slices.Contains(first, id) && !slices.ContainsFunc(e.Shifts, func(s Shift) bool { return s.ID == id }) {
				e.compare(was, now, id)
			}
		}
	}
}

// compare notes a figure where the two plans do not write the same for it.
func (e *Effect) compare(was, now *plan.Plan, id string) {
	shift := Shift{ID: id}
	before, had := was.Figure(id)
	after, has := now.Figure(id)
	if had {
		shift.Name, shift.Was = before.Told()
	}
	if has {
		shift.Name, shift.Now = after.Told()
	}
	if had != has || had && text.PlainArg(shift.Was) != text.PlainArg(shift.Now) {
		e.Shifts = append(e.Shifts, shift)
	}
}

// stopsBeside are the checks of a plan that say Stop where another has none of the same
// code, and how many say Stop in all.
func stopsBeside(p, other *plan.Plan) (fresh []text.Text, all int) {
	for i := range p.Checks {
		if c := &p.Checks[i]; c.Severity == plan.Stop {
			all++
			if !stops(other, c.Code) {
				fresh = append(fresh, c.What)
			}
		}
	}
	return fresh, all
}
