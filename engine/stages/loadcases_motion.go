package stages

import (
	"math"

	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// motionCases are the load cases of a leaf that moves or is moved, put together
// from what was found elsewhere: nothing is worked out here that no check or
// figure shows. All loads are characteristic. A case that could not be judged is
// left out; a refusal names it.
func (d *Designed) motionCases(s *plan.Strength) []plan.LoadCase {
	p, l, leaf := d.Practice, d.Layout, &d.Plan.Leaf
	low, high := p.RollingEnds()
	high *= leaf.Hanging.Presses()
	m := &leaf.Motion
	var cases []plan.LoadCase
	if !d.Plan.Unjudged(plan.QuestionMotionUnjudged) {
		cases = append(cases, d.movingCase(s, high))
	}
	if leaf.Hanging == nil && !d.Plan.Unjudged(plan.QuestionMotionUnjudged) {
		released := plan.LoadCase{ID: "released", Name: "Released", Factor: 1, Source: SourceIncline, Speed: m.Speed,
			What: text.Say("Nothing holds the leaf on its track of {0}; rolling at its low end of {1}, without what it takes to set off.",
				text.Percent(math.Tan(leaf.Slope)), text.Plain(low)),
			Loads: []plan.CaseForce{{Name: "Weight along the track", Force: math.Abs(m.Downhill)},
				{Name: "Rolling resistance, low end", Force: m.RollingLow}}}
		if m.Runaway {
			released.Forces = []plan.CaseForce{{Name: "Holds it still", Force: m.Held}}
		}
		cases = append(cases, released)
	}
	if l.HasMotor && !d.Plan.Unjudged(plan.QuestionMotionUnjudged) {
		cases = append(cases, d.stalledCase(s))
	}
	for i := range s.Impacts {
		cases = append(cases, impactCase(p, leaf, &s.Impacts[i], d.Inputs.Meets))
	}
	return cases
}

// movingCase is the leaf moved by its motor, or by hand, in the wind in which it
// is still moved.
func (d *Designed) movingCase(s *plan.Strength, high float64) plan.LoadCase {
	p, leaf := d.Practice, &d.Plan.Leaf
	m := &leaf.Motion
	c := plan.LoadCase{ID: "moving", Name: "Moving", Factor: 1, Source: SourceIncline,
		What: text.Say("The leaf is moved in wind of {0} and in no more; rolling at its high end of {1}, the guide rollers rub with {2} of the push on them.",
			text.Pascals(p.WindMoving), text.Plain(high), text.Plain(p.GuideFriction)),
		Loads: []plan.CaseForce{{Name: "Rolling resistance, high end", Force: m.Rolling},
			{Name: "Guide rollers rub", Force: m.Rubbing}}}
	if leaf.Hanging == nil {
		c.Loads = append(c.Loads, plan.CaseForce{Name: "Weight along the track", Force: math.Abs(m.Downhill)})
	}
	if d.Layout.HasMotor {
		c.Speed, c.Safety = p.MotorSpeed*Geared(leaf, 1, DrivenPanel(d.Inputs)), p.MotorMargin
		c.Loads = append(c.Loads, plan.CaseForce{Name: "Getting up to speed", Force: m.Start})
		c.Forces = append(c.Forces, plan.CaseForce{Name: "Motor", Force: m.Pull, Where: plan.PartMotor.ID(1)})
	}
	c.Forces = append(c.Forces, plan.CaseForce{Name: "Hand", Force: m.Hand})
	if s.Guide != nil {
		lean := math.Abs(leaf.Panels[len(leaf.Panels)-1].RollerPush)
		c.Forces = append(c.Forces, plan.CaseForce{Name: "Guide rollers, sideways", Force: math.Abs(s.Guide.Moving) + lean})
	}
	least, most := math.Inf(1), 0.0
	for i := range leaf.Panels {
		for _, w := range leaf.Panels[i].Wheels {
			least, most = min(least, w.Least), max(most, w.Most)
		}
	}
	if !d.Plan.Unjudged(plan.QuestionWheelsUnjudged) && leaf.Hanging == nil {
		c.Forces = append(c.Forces, plan.CaseForce{Name: "Wheel, most", Force: most},
			plan.CaseForce{Name: "Wheel, least", Force: least})
	}
	return c
}

// stalledCase is the motor that pushes on against something in the way.
func (d *Designed) stalledCase(s *plan.Strength) plan.LoadCase {
	p, leaf := d.Practice, &d.Plan.Leaf
	m := &leaf.Motion
	c := plan.LoadCase{ID: "stalled", Name: "Stalled", Factor: 1,
		Source: "EN 12453: 400 N at the first, 150 N after 0.75 s, on a spring of 500 N/mm",
		What: text.Say("The leaf meets something at {0} a second and the motor pushes on with all it has.",
			text.MM(p.MotorSpeed*Geared(leaf, 1, DrivenPanel(d.Inputs)))),
		Speed: p.MotorSpeed * Geared(leaf, 1, DrivenPanel(d.Inputs)),
		Loads: []plan.CaseForce{{Name: "Motor", Force: p.MotorThrust, Where: plan.PartMotor.ID(1)},
			{Name: "Pull of the grade", Force: m.Held}},
		Forces: []plan.CaseForce{{Name: "Closing edge, at the first", Force: m.StalledPeak},
			{Name: "Closing edge, going on", Force: m.Stalled}}}
	if s.MotorAnchor != (plan.AnchorDemand{}) {
		c.Forces = append(c.Forces,
			plan.CaseForce{Name: "Each anchor of the motor, pulled", Force: s.MotorAnchor.Tension, Where: plan.PartMotor.ID(1)},
			plan.CaseForce{Name: "Each anchor of the motor, sideways", Force: s.MotorAnchor.Shear, Where: plan.PartMotor.ID(1)})
	}
	if !d.Plan.Unjudged(plan.QuestionWheelsUnjudged) && leaf.Hanging == nil {
		least := math.Inf(1)
		for i := range leaf.Panels {
			for _, w := range leaf.Panels[i].Wheels {
				least = min(least, w.Stalled)
			}
		}
		c.Forces = append(c.Forces, plan.CaseForce{Name: "Wheel, least", Force: least})
	}
	return c
}

// impactCase is the leaf as it meets a stop.
func impactCase(p *practice.Practice, leaf *plan.Leaf, hit *plan.Impact, meets bool) plan.LoadCase {
	c := plan.LoadCase{ID: "impact." + string(hit.Stop) + "." + string(hit.By), Factor: 1, Source: SourceStop,
		Speed: hit.Speed, Loads: []plan.CaseForce{{Name: "Weight of the leaf", Force: leaf.Mass * motion.Gravity},
			{Name: "Goes on pushing", Force: hit.Drive}}}
	where := ""
	if hit.Stop == plan.StopOpen {
		c.Name = "Impact on the hard stop"
		if leaf.Hanging == nil {
			where = plan.PartHardStop.ID(1)
		}
	} else if meets {
		c.Name = "Impact on the stop in the drive"
	} else {
		c.Name = "Impact at the latch post"
	}
	how := "Driven, the leaf meets the stop at {0} a second and the motor pushes on; its buffer gives way by {1}."
	switch hit.By {
	case plan.ByGrade:
		how = "Released, the leaf meets the stop at {0} a second; its buffer gives way by {1}."
	case plan.ByHand:
		how = "Pushed by hand, the leaf meets the stop at {0} a second; its buffer gives way by {1}."
	}
	c.What = text.Say(how, text.MM(hit.Speed), text.MM(p.StopBuffer))
	c.Forces = []plan.CaseForce{{Name: "Stop", Force: hit.Force, Where: where}}
	if leaf.Hanging == nil {
		c.Forces = append(c.Forces, plan.CaseForce{Name: "Wheel, least", Force: hit.Wheel})
	}
	if hit.Tension > 0 {
		c.Forces = append(c.Forces, plan.CaseForce{Name: "Each anchor of the stop, pulled", Force: hit.Tension, Where: where},
			plan.CaseForce{Name: "Each anchor of the stop, sideways", Force: hit.Shear, Where: where})
	}
	return c
}
