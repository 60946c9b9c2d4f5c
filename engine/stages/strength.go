package stages

import (
	"slices"

	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Strengthen makes the first pass over strength: loads by practice, formulas by
// the packages that hold them, each refusing what it does not cover. What was
// refused stands in the plan's Refused, and never as a number that passes. Its load cases
// are those of [Designed.LoadCases].
func Strengthen(d *Designed) *plan.Strength {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	s := &plan.Strength{}
	var refused []plan.Refusal
	note := func() { s.Refused = append(s.Refused, refused...) }
	s.Soil, refused = SoilTaken(&in.Bearing)
	note()
	if d.Treatment.Strip {
		s.Strip, refused = StripUnderWheel(crossingOf(in, p, &s.Soil, made.Outlines, l.DriveWidth, d.Treatment.Depth))
		note()
	}
	s.Guide, refused = d.Stand.Push, d.Stand.refused
	note()
	s.Frame, refused = FrameOf(in, p, &l.Placement, &made.Leaf, s.Guide)
	note()
	if s.Guide != nil && l.HasGuide {
		push, height := s.Guide.Push, s.Guide.Height
		s.Guide.PostBending, refused = GuidePost(p, push, height)
		note()
		if l.HasPlate {
			s.Guide.PostOnPlate, refused = postOnPlate(p, push, height, slices.Collect(made.Parts(plan.PartRunBackStrip)),
				slices.Collect(made.Parts(plan.PartPad)))
			note()
			s.Guide.Hold, refused = d.holdOf(p, l, plan.PartBasePlate, s)
			note()
		}
	}
	s.RunBackPost, s.LatchPost, refused = gatePosts(in, p, &l.Placement, s.Guide)
	note()
	if l.HasMotor {
		s.MotorAnchor, refused = motorAnchors(p)
		note()
		s.MotorHold, refused = d.holdOf(p, l, plan.PartMotor, s)
		note()
	}
	d.stops(s)
	if in.Hangs && !made.Leaf.Hanging.Unjudged {
		s.Carriages, refused = d.carriages(s)
		note()
	}
	return s
}

// SoilTaken is what the ground bears, as documents hold it.
func SoilTaken(b *ground.Bearing) (plan.SoilTaken, []plan.Refusal) {
	c := &b.Firm
	taken := plan.SoilTaken{Key: c.Key, Name: text.Name(c.Name), Known: b.Named, Presumed: c.Presumed, Bearing: c.Bearing,
		Lateral: c.Lateral, Subgrade: c.SubgradeModulus.Low, SubgradeHigh: c.SubgradeModulus.High}
	if c.Name == "" {
		return taken, notLookedAt("The ground", refuseGround(b), survey.GroundClass)
	}
	return taken, nil
}

// notLookedAt notes what a formula would not take, and the field that may settle
// it.
func notLookedAt(what text.Name, err error, field string) []plan.Refusal {
	return []plan.Refusal{{What: what,
		Words: text.Say("{0} was not looked at: {1}.", text.Word(what), text.List(text.Because(err))), Field: field}}
}
