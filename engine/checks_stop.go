package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkStops says for each stop whether the leaf stays on its wheels when it meets
// it.
func (d *designed) checkStops(found *findings) {
	for _, stop := range [2]plan.MeetsStop{plan.StopShut, plan.StopOpen} {
		d.checkStop(found, stop)
	}
}

func (d *designed) checkStop(found *findings, stop plan.MeetsStop) {
	made := d.Plan
	_, worst := made.Strength.WorstImpact(stop)
	if worst == nil || made.Unjudged(plan.QuestionWheelsUnjudged) {
		return
	}
	if made.HangsFree() {
		field := survey.GateLatchStop
		if stop == plan.StopOpen {
			field = survey.GateHardStop
		}
		found.quiet(plan.QuestionMotionImpact, field) // carriages hold it up and down
		return
	}
	leaf := &made.Leaf
	centre := leaf.Panels[worst.Panel-1].CentreHeight
	c := plan.Check{Question: plan.QuestionMotionImpact, Severity: plan.Sound, Field: survey.GateLatchStop,
		Where: plan.PartIDs(plan.PartLeafShut), At: geom.Point{Y: d.Layout.TrackOffset}, HasMargin: true,
		Margin: worst.Wheel, MarginOf: text.Force}
	says := [2]string{"The leaf meets the stop at the latch post at {0} a second, the stop pushes back with {1}, and its wheels stay down.",
		"The leaf meets the stop at the latch post at {0} a second. It pushes back with {1}, {2} above the track; the leaf's centre lies at {3}: a wheel lifts, short of {4} to stay down."}
	if d.Inputs.Meets {
		c.Field = practice.PracticePath + practice.RulePairStopHeight
		says = [2]string{"The leaf meets the stop in the drive at {0} a second, the stop pushes back with {1}, and its wheels stay down.",
			"The leaf meets the stop in the drive at {0} a second. It pushes back with {1}, {2} above the track; the leaf's centre lies at {3}: a wheel lifts, short of {4} to stay down."}
	}
	if stop == plan.StopOpen {
		c.Field, c.Where = survey.GateHardStop, plan.PartIDs(plan.PartHardStop)
		c.At = geom.Point{X: leaf.RearOpen, Y: d.Layout.TrackOffset}
		says = [2]string{"The leaf meets the hard stop at {0} a second, the stop pushes back with {1}, and its wheels stay down.",
			"The leaf meets the hard stop at {0} a second. It pushes back with {1}, {2} above the track; the leaf's centre lies at {3}: a wheel lifts, short of {4} to stay down."}
	}
	c.What = text.Say(says[0], text.MM(worst.Speed), text.Newtons(worst.Force))
	if worst.Wheel <= 0 {
		c.Severity = plan.Warning
		c.What = text.Say(says[1], text.MM(worst.Speed), text.Newtons(worst.Force), text.MM(worst.Height), text.MM(centre),
			text.Newtons(-worst.Wheel))
		c.Consequence = text.Say("The leaf can jump its track and leave its guide. Chain it whenever nothing holds it.")
		if worst.By != plan.ByGrade {
			c.Consequence = text.Say("The leaf can jump its track and leave its guide.")
		}
		if d.searches.search(&c) {
			c.Remedies = d.stopRemedies(stop, centre)
		}
	}
	found.add(c)
}

// stopRemedies are a buffer that gives way further and, for the hard stop, one as
// high as the leaf's centre. Each is looked at before it is offered.
func (d *designed) stopRemedies(stop plan.MeetsStop, centre float64) (remedies []plan.Remedy) {
	stays := func(q *practice.Practice) bool {
		s := plan.Strength{}
		var refused []plan.Refusal
		s.Impacts, refused = stages.Impacts(d.Inputs, q, &d.Plan.Leaf, d.Layout.HasMotor)
		_, worst := s.WorstImpact(stop)
		return len(refused) == 0 && worst != nil && worst.Wheel > 0
	}
	q := *d.Practice
	if q.StopHeight = math.Round(centre); stop == plan.StopOpen && q.StopHeight <= practice.MostOf(practice.RuleStopHeight) &&
		stays(&q) {
		remedies = append(remedies, plan.Remedy{
			Words:   text.Say("Set the buffer of the hard stop {0} high, where the leaf's centre lies.", text.MM(q.StopHeight)),
			Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleStopHeight, Value: q.StopHeight}}})
	}
	for q = *d.Practice; q.StopBuffer < practice.MostOf(practice.RuleStopBuffer); {
		q.StopBuffer = min((math.Floor(q.StopBuffer/q.RemedyStep)+1)*q.RemedyStep, practice.MostOf(practice.RuleStopBuffer))
		if stays(&q) {
			return append(remedies, plan.Remedy{Words: text.Say("Fit a buffer that gives way by {0}.", text.MM(q.StopBuffer)),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleStopBuffer, Value: q.StopBuffer}}})
		}
	}
	return remedies
}
