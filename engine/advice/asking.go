package advice

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// What an answer may move before its question is worth asking: lengths by a
// millimetre, other figures by a hundredth of themselves. Common practice, no
// published source.
const (
	askingLength = 1.0
	askingPart   = 0.01
	// askingReach is how many standard uncertainties of a guess an answer may
	// lie from what is assumed.
	askingReach = 2.0
)

// Matters reports whether an answer to the question at path could change
// anything at this site: a figure that decides what is ordered, cut and dug, a
// quantity, or the severity of a check.
//
// A number is tried as far off what is assumed as a guess may be, to both sides
// and half-way, within what its field allows; a choice is tried with each of its options. A number that
// nothing stands in for, the hand of the gate and a text always
// matter. So does a question whose answer brings up others: they are asked
// because of it.
//
// What belongs to an entry of a list (a place under the string, a taped point, a
// thing in the way) is asked with it always: each may move little, all of them
// together much, and a reading without its place is none.
//
// plan is Design's own for survey and practice. It takes up to four designs for
// a number and one for each option of a choice.
func Matters(s survey.Survey, p practice.Practice, plan *plan.Plan, path string) bool {
	return MattersInSteps(s, p, plan, path, func() {})
}

// MattersInSteps is Matters for who has other work to let in: it calls pause before each
// design.
func MattersInSteps(s survey.Survey, p practice.Practice, plan *plan.Plan, path string, pause func()) bool {
	f, ok := survey.FieldAt(path)
	if !ok || f.Answered(&s) || ofAnEntry(path) {
		return true
	}
	switch {
	case f.Numeric():
		v, stands := f.Assumed(&s, &p)
		if !stands {
			return true
		}
		reach := askingReach * f.Uncertainty(survey.Value{}, &p)
		for _, off := range []float64{-reach, reach, -reach / 2, reach / 2} {
			trial := s.Clone()
			tried := min(max(v+off, f.Low), max(f.High, f.Low))
			pause()
			if f.SetValue(&trial, survey.Measured(tried, survey.ByEstimate)) == nil && moves(plan, trial, p) {
				return true
			}
		}
		return false
	case f.Path == survey.OpeningHand || f.Path == survey.OpeningSeenFrom:
		return true // no figure knows the hand, but nobody can build without it
	case f.Dimension == text.Choice:
		for _, o := range f.Options {
			trial := s.Clone()
			if o.Value == f.Chosen(&s) || f.SetWords(&trial, o.Value) != nil {
				continue
			}
			pause()
			if moves(plan, trial, p) || asksMore(&s, &trial) {
				return true
			}
		}
		return false
	}
	return true
}

// ofAnEntry reports whether a path leads through an entry of a list.
func ofAnEntry(path string) bool {
	for step := range strings.SplitSeq(path, ".") {
		if _, err := strconv.Atoi(step); err == nil {
			return true
		}
	}
	return false
}

// asksMore reports whether a site needs fields that it did not need before a
// choice was made; the entries of its lists are the same.
func asksMore(before, after *survey.Survey) bool {
	for _, f := range survey.Fields(after) {
		if f.Needed(after) && !f.Needed(before) {
			return true
		}
	}
	return false
}

// moves reports whether a plan of another survey differs in anything that is
// ordered, cut, dug or checked.
func moves(plan *plan.Plan, other survey.Survey, p practice.Practice) bool {
	after, _ := engine.Judge(other, p)
	for _, id := range decisive {
		for _, id := range [...]string{id, stages.SideID(id, true)} { // of two leaves the other has its own
			a, had := plan.Figure(id)
			b, has := after.Figure(id)
			if had != has || had && differs(a.Dimension, a.Value, b.Value) {
				return true
			}
		}
	}
	if ordered(&plan.Quantities) != ordered(&after.Quantities) || amountsDiffer(&plan.Quantities, &after.Quantities) {
		return true
	}
	if len(plan.Checks) != len(after.Checks) {
		return true
	}
	was, is := worstByCode(plan.Checks), worstByCode(after.Checks)
	for code, severity := range is {
		if before, there := was[code]; !there || before != severity {
			return true
		}
	}
	return false
}

// wholeOrders are the amounts that are bought one by one.
type wholeOrders struct{ bags, batches, loads, sheets, fixings, anchors int }

func ordered(q *plan.Quantities) wholeOrders {
	return wholeOrders{q.Bags, q.Batches, q.Loads, q.MeshSheets, q.Fixings, q.Anchors}
}

// amountsDiffer compares what is bought or dug by length, area or volume, and
// the cut list.
func amountsDiffer(a, b *plan.Quantities) bool {
	pairs := [...][2]float64{{a.Order, b.Order}, {a.DigBank, b.DigBank}, {a.PaversLifted, b.PaversLifted},
		{a.Tinted, b.Tinted}}
	for _, p := range pairs {
		if differs(text.Volume, p[0], p[1]) {
			return true
		}
	}
	if len(a.Lines) != len(b.Lines) {
		return true
	}
	for i := range a.Lines {
		if a.Lines[i].Key != b.Lines[i].Key || differs(a.Lines[i].Of, a.Lines[i].Amount, b.Lines[i].Amount) {
			return true
		}
	}
	return false
}

// worstByCode gives the worst severity of the checks of each code.
func worstByCode(checks []plan.Check) map[string]plan.Severity {
	order := [...]plan.Severity{plan.Sound, plan.Warning, plan.Stop}
	worst := make(map[string]plan.Severity, len(checks))
	for i := range checks {
		c := &checks[i]
		if slices.Index(order[:], c.Severity) > slices.Index(order[:], worst[c.Code]) {
			worst[c.Code] = c.Severity
		}
	}
	return worst
}

func differs(d text.Dimension, a, b float64) bool {
	if d == text.Length || d == text.SmallLength {
		return math.Abs(a-b) > askingLength
	}
	return math.Abs(a-b) > askingPart*math.Abs(a)
}
