package engine

import (
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/refusal"
	"pegpour/engine/slab"
	"pegpour/engine/soil"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// strengthen makes the first pass over strength: loads by practice, formulas by
// the packages that hold them, each refusing what it does not cover. What was
// refused stands in the plan's Refused, and never as a number that passes.
func strengthen(d *designed) *plan.Strength {
	in, p, l, made := d.inputs, d.practice, d.layout, d.plan
	s := &plan.Strength{}
	var refused []plan.Refusal
	note := func() { s.Refused = append(s.Refused, refused...) }
	s.Soil, refused = soilTaken(in)
	note()
	if d.treatment.strip {
		s.Strip, refused = stripUnderWheel(crossingOf(in, p, &s.Soil, made.Outlines, l.driveWidth, d.treatment.depth))
		note()
	}
	s.Guide, refused = guideInWind(in, p, &made.Leaf, footBelowTrack(made, p, l))
	note()
	if s.Guide != nil && l.hasGuide {
		push, height := s.Guide.Push, s.Guide.Height
		s.Guide.PostBending, refused = guidePost(p, push, height)
		note()
		if l.hasPlate {
			strip, _ := made.Part(plan.PartRunBackStrip, 1)
			pad, _ := made.Part(plan.PartPad, 1)
			s.Guide.PostOnPlate, refused = postOnPlate(p, push, height, strip, pad)
		} else {
			soft := l.footDepth - p.StripDepth
			s.Guide.PostInHole, refused = postInHole(p, &s.Soil, push, height, soft, l.holeDepth)
		}
		note()
	}
	if l.hasMotor {
		s.MotorAnchor, refused = motorAnchors(p)
		note()
	}
	if in.hardStop {
		s.StopLoad, s.StopShear, refused = loadOfStop(p, &made.Leaf, l.hasMotor)
		note()
	}
	return s
}

// soilTaken finds the class of the firm ground: the one named on site, or the
// weakest that may be presumed. Soft and wet ground is dug through.
func soilTaken(in *inputs) (plan.SoilTaken, []plan.Refusal) {
	key, known := in.soilClass, in.soilClass != ""
	if !known {
		key = "clay"
		if in.soil == survey.SoilRock {
			key = "soft-rock"
		}
	}
	c, ok := soil.ClassOf(key)
	if !ok {
		return plan.SoilTaken{Key: key, Known: known},
			notLookedAt("The ground", refusal.Error("nothing is known of ground of this class"), survey.GroundClass)
	}
	return plan.SoilTaken{Key: key, Name: text.Name(c.Name), Known: known, Presumed: c.Presumed, Bearing: c.Bearing,
		Lateral: c.Lateral, Subgrade: c.SubgradeModulus.Low, SubgradeHigh: c.SubgradeModulus.High}, nil
}

// notLookedAt notes what a formula would not take, and the field that may settle
// it.
func notLookedAt(what text.Name, err error, field string) []plan.Refusal {
	return []plan.Refusal{{What: what,
		Words: text.Say("{0} was not looked at: {1}.", text.Word(what), text.List(text.Because(err))), Field: field}}
}

// anchorDemand finds what each anchor of a plate of a length and a width (mm)
// must hold under a moment (N·mm) along its length and a shear (N). A shop's rule
// may name a part of an anchor, which shares the shear and holds no tension.
func anchorDemand(p *practice.Practice, length, width, anchors, moment, shear float64) (plan.AnchorDemand, error) {
	modulus, err := slab.ModulusACI(p.ConcreteStrength)
	if err != nil {
		return plan.AnchorDemand{}, err
	}
	ratio, err := steel.ModularRatio(modulus)
	if err != nil {
		return plan.AnchorDemand{}, err
	}
	rows, err := steel.TwoRowPlate{Length: length, Width: width, Inset: p.AnchorInset, Anchors: int(anchors),
		StressArea:   p.AnchorArea,
		ModularRatio: ratio, Moment: moment, Shear: shear}.Demand()
	if err != nil {
		return plan.AnchorDemand{}, err
	}
	return plan.AnchorDemand{Tension: rows.Tension, Shear: shear / anchors}, nil
}
