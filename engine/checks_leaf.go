package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkLeaf says whether the leaf can be built, carried, moved and held.
func (d *designed) checkLeaf(found *findings) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	d.checkWheels(found)
	d.checkUpright(found)
	d.checkGraded(found)
	d.checkRunaway(found)
	d.checkForces(found)
	d.checkStops(found)
	leaf := &made.Leaf
	if !leaf.SectionMissing {
		found.quiet(plan.QuestionLeafSection, practice.PracticePath+practice.RuleFrameWall)
	} else {
		found.add(plan.Check{Question: plan.QuestionLeafSection, Severity: plan.Warning,
			Field: practice.PracticePath + practice.RuleFrameWall, Where: plan.PartIDs(plan.PartLeafShut),
			At: geom.Point{X: in.Width / 2, Y: l.TrackOffset},
			What: text.Say("No hollow section has these sides with a wall of {0}: masses are of one with sharp corners.",
				text.MM(p.FrameWall)),
			Consequence: text.Say("The merchant will not have it.")})
	}
	if between := leaf.Height*math.Cos(leaf.Slope) - (p.RailHeight + p.BottomRail); between > 0 {
		found.quietly(plan.QuestionLeafRails, survey.GateHeight, between, text.Length)
	} else {
		found.add(plan.Check{Question: plan.QuestionLeafRails, Severity: plan.Stop, Field: survey.GateHeight,
			Where: plan.PartIDs(plan.PartLeafShut), At: geom.Point{X: in.Width / 2, Y: l.TrackOffset},
			What:        text.Say("The rails alone are as high as the leaf of {0}.", text.MM(leaf.Height)),
			Consequence: text.Say("There is no room for stiles between them.")})
	}
}

func (d *designed) checkWheels(found *findings) {
	p, made := d.Practice, d.Plan
	if made.Unjudged(plan.QuestionWheelsUnjudged) || made.HangsFree() {
		return
	}
	leaf := &made.Leaf
	least, stalled, most, panel, at := math.Inf(1), math.Inf(1), 0.0, 1, 0.0
	for i := range leaf.Panels {
		for _, w := range leaf.Panels[i].Wheels {
			most, stalled = max(most, w.Most), min(stalled, w.Stalled)
			if w.Least < least {
				least, panel, at = w.Least, leaf.Panels[i].Number, w.At
			}
		}
	}
	c := plan.Check{Question: plan.QuestionLeafWheels, Severity: plan.Sound, Where: plan.PartIDs(plan.PartLeafShut),
		At:        geom.Point{X: leaf.Panels[panel-1].ShutAt + at, Y: leaf.Panels[panel-1].TrackOffset},
		HasMargin: true, Margin: least, MarginOf: text.Force,
		What: text.Say("Wheels carry between {0} and {1}, however the leaf is driven or pushed.", text.Newtons(least),
			text.Newtons(most))}
	if least <= 0 {
		c.Severity, c.Field = plan.Stop, practice.PracticePath+practice.RuleLeafWheelInset
		c.What = text.Say("A wheel lifts off the track: it is short of {0} to stay down.", text.Newtons(-least))
		c.Consequence = text.Say("The leaf tips over its other wheel, and out of its guide.")
		c.Remedies = []plan.Remedy{{Words: text.Say("Set the wheels {0} from the ends of the leaf.", text.MM(p.WheelsOut)),
			Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleLeafWheelInset, Value: p.WheelsOut}}}}
	} else if stalled <= 0 {
		c.Severity, c.Margin, c.Field = plan.Warning, stalled, practice.PracticePath+practice.RuleMotorThrust
		c.What = text.Say("When the driven leaf meets something at the height of a hand and the motor pushes on with {0}, a wheel lifts off the track.", text.Newtons(p.MotorThrust))
		c.Consequence = text.Say(
			"The leaf tips in its guide. Limit the motor's force, and fit safety edges that stop it at once.")
	} else if most > p.WheelBears {
		c.Severity, c.Margin, c.Field = plan.Warning, p.WheelBears-most, practice.PracticePath+practice.RuleLeafWheelBears
		c.What = text.Say("A wheel carries up to {0} and is made for {1}.", text.Newtons(most), text.Newtons(p.WheelBears))
		c.Consequence = text.Say("Its bearings wear out, and the leaf drags or comes down on its track.")
		if stronger := math.Ceil(most/500) * 500; stronger <= practice.MostOf(practice.RuleLeafWheelBears) {
			c.Remedies = []plan.Remedy{{Words: text.Say("Fit wheels made for {0}.", text.Newtons(stronger)),
				Changes: []plan.Change{{Path: c.Field, Value: stronger}}}}
		}
	}
	found.add(c)
}

// checkUpright reports the proof of motion and what holds the leaf upright.
func (d *designed) checkUpright(found *findings) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	proof := &made.Leaf.Proof
	at := geom.Point{X: proof.FewFrom, Y: l.TrackOffset}
	c := plan.Check{Question: plan.QuestionMotionUpright, Severity: plan.Sound, Where: plan.PartIDs(plan.PartLeafShut),
		At: at,
		What: text.Say("At every point of the travel at least {0} parts hold the leaf upright.",
			text.Number(float64(proof.LeastHolders)))}
	switch {
	case proof.LeastHolders == 1:
		c.Severity, c.Field = plan.Warning, practice.PracticePath+practice.RuleGuideRollerSpacing
		c.What = text.Say("With the leading edge between chainage {0} and {1} only one part holds the leaf upright.",
			text.MM(proof.FewFrom), text.MM(proof.FewTo))
		c.Consequence = text.Say("If that part comes loose the leaf falls. People have been killed by falling gates.")
		if p.RollerSpacing < 1 {
			c.Remedies = []plan.Remedy{{Words: text.Say("Fit two pairs of rollers, {0} apart.", text.MM(p.RollerPairs)),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleGuideRollerSpacing, Value: p.RollerPairs}}}}
		}
	case proof.LeastHolders < 1:
		c.Severity, c.Field = plan.Stop, practice.PracticePath+practice.RuleLeafEngagement
		c.What = text.Say("With the leading edge between chainage {0} and {1} nothing holds the leaf upright.",
			text.MM(proof.FewFrom), text.MM(proof.FewTo))
		c.Consequence = text.Say("The leaf falls. People have been killed by falling gates.")
	}
	found.add(c)
	if in.StopsShut() {
		found.quiet(plan.QuestionMotionLatchStop, survey.GateLatchStop)
	} else {
		found.add(plan.Check{Question: plan.QuestionMotionLatchStop, Severity: plan.Warning, Field: survey.GateLatchStop,
			Where: plan.PartIDs(plan.PartLeafShut), At: geom.Point{Y: l.TrackOffset},
			What:        text.Say("No catch or stop at the latch post."),
			Consequence: text.Say("A leaf that runs on past the post leaves its rollers and falls."),
			Remedies: []plan.Remedy{{Words: text.Say("Fit a catch that stops and holds the leaf."),
				Changes: []plan.Change{{Path: survey.GateLatchStop, Words: survey.Yes}}}}})
	}
	for i := range proof.Items {
		item := &proof.Items[i]
		q, field := proofQuestion(item.ID)
		if q == "" {
			continue // room, stops and what stands in the way have checks of their own
		}
		if item.Holds {
			found.quietly(q, field, item.Margin, text.Length)
			continue
		}
		short := -item.Margin
		k := plan.Check{Question: q, Severity: plan.Stop, Field: field, Where: plan.PartIDs(plan.PartLeafOpen),
			At: geom.Point{X: made.Leaf.OpenAt, Y: l.TrackOffset}, HasMargin: true, Margin: item.Margin, MarginOf: text.Length}
		switch q {
		case plan.QuestionProofPinion:
			k.What = text.Say("The pinion reaches past the end of the rack by {0}.", text.MM(short))
			k.Consequence = text.Say("The motor turns and the leaf stands still.")
		case plan.QuestionProofRollers, plan.QuestionProofCarrier:
			k.What = text.Say("The guide rail does not reach far enough into its rollers: {0} too short.", text.MM(short))
			k.Consequence = text.Say("The leaf drops out of what holds it.")
		case plan.QuestionProofCarriages:
			k.What = text.Say("The beam does not reach through both carriages: {0} too short.", text.MM(short))
			k.Consequence = text.Say("The leaf drops out of its carriages.")
		case plan.QuestionProofWheels:
			k.What = text.Say("A wheel runs {0} past the end of the track.", text.MM(short))
			k.Consequence = text.Say("The leaf drops off its track.")
			if inset := math.Ceil(p.WheelInset + short); inset < made.Leaf.Frame/2 {
				k.Remedies = []plan.Remedy{{Words: text.Say("Set the wheels {0} from the ends of the leaf.", text.MM(inset)),
					Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleLeafWheelInset, Value: inset}}}}
			}
		}
		found.add(k)
	}
	if proof.Agrees {
		found.quiet(plan.QuestionProofDisagrees, "")
	} else {
		found.add(plan.Check{Question: plan.QuestionProofDisagrees, Severity: plan.Stop,
			Where: plan.PartIDs(plan.PartLeafOpen), At: at,
			What:        text.Say("Two ways of proving the motion do not agree: do not build from this plan, and report it."),
			Consequence: text.Say("One of the two is wrong.")})
	}
}

// proofQuestion is the question of an item of the proof of motion and the field
// at which it stands; none for an item that has a check elsewhere.
func proofQuestion(item string) (q plan.Question, field string) {
	switch item {
	case "pinion":
		return plan.QuestionProofPinion, practice.PracticePath + practice.RuleLeafEngagement
	case "rollers":
		return plan.QuestionProofRollers, practice.PracticePath + practice.RuleLeafEngagement
	case "carrier":
		return plan.QuestionProofCarrier, practice.PracticePath + practice.RuleLeafEngagement
	case "carriages":
		return plan.QuestionProofCarriages, practice.PracticePath + practice.RuleHangCarriage
	case "wheels":
		return plan.QuestionProofWheels, practice.PracticePath + practice.RuleLeafWheelInset
	}
	return "", ""
}

// checkGraded says what a grade does to the leaf.
func (d *designed) checkGraded(found *findings) {
	in, l, made := d.Inputs, d.Layout, d.Plan
	leaf := &made.Leaf
	lean := leaf.Height * math.Abs(math.Sin(leaf.Slope))
	if lean < 1 { // a square leaf does
		found.quiet(plan.QuestionLeafRaked, survey.GroundShape)
		return
	}
	raked := text.Say("The leaf is raked, {0} higher at its rear end: stiles plumb, rails along the track, every end cut {1} off square.", text.MM(math.Abs(leaf.Rise)), text.Radians(math.Abs(leaf.Slope)))
	if leaf.Rise < 0 {
		raked = text.Say("The leaf is raked, {0} lower at its rear end: stiles plumb, rails along the track, every end cut {1} off square.", raked.Args...)
	}
	found.add(plan.Check{Question: plan.QuestionLeafRaked, Severity: plan.Warning, Field: survey.GroundShape,
		Where: plan.PartIDs(plan.PartLeafShut), At: geom.Point{X: in.Width / 2, Y: l.TrackOffset},
		What: raked,
		Consequence: text.Say("A square leaf on this track leans {0} over its height, and shuts on the latch post at the top or at the foot only.",
			text.MM(lean))})
}
