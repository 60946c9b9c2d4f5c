package engine

import (
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkObstructions tests the concrete and the whole box that the leaf sweeps
// against everything that was taped.
func (d *designed) checkObstructions(found *findings) {
	p, l, made := d.Practice, d.Layout, d.Plan
	sweeps := stages.SweptBoxes(&l.Placement, &made.Leaf)
	for i := range made.Site.Obstructions {
		ob := &made.Site.Obstructions[i]
		path := string(survey.ObstructionAlong.At(ob.Index))
		name := plan.NameOfObstruction(ob)
		at := ob.Box.Centroid()
		gap := math.Inf(1)
		nearest := ""
		for k := range made.Outlines {
			o := &made.Outlines[k]
			if !o.Concrete {
				continue
			}
			if d := geom.Distance(ob.Box, o.Ring); d < gap {
				gap, nearest = d, o.ID
			}
		}
		switch {
		case ob.Kind == survey.ObstructionService: // it lies under the leaf's way
		case !slices.ContainsFunc(sweeps, func(s geom.Rectangle) bool { return geom.Distance(ob.Box, s.Ring()) <= 0 }):
			found.quiet(plan.QuestionObstructionLeaf, path)
		default:
			found.add(plan.Check{Question: plan.QuestionObstructionLeaf, Severity: plan.Stop, Field: path,
				Where: plan.PartIDs(plan.PartLeafOpen), At: at,
				What:        text.Say("{0} stands in the way of the leaf.", text.Word(name)),
				Consequence: text.Say("The leaf hits it on its way.")})
		}
		switch {
		case math.IsInf(gap, 1):
		case gap <= 0:
			found.add(plan.Check{Question: plan.QuestionObstructionGap, Code: plan.CodeObstructionDig, Severity: plan.Stop,
				Field: path, Where: []string{nearest}, At: at, HasMargin: true, Margin: -p.ObstructionClearance,
				MarginOf: text.Length,
				What:     text.Say("{0} stands where the concrete goes.", text.Word(name)), Consequence: digConsequence(ob.Kind)})
		case gap < p.ObstructionClearance-plan.Tolerance:
			found.add(plan.Check{Question: plan.QuestionObstructionGap, Code: plan.CodeObstructionNear, Severity: plan.Warning,
				Field: path, Where: []string{nearest}, At: at, HasMargin: true, Margin: gap - p.ObstructionClearance,
				MarginOf: text.Length,
				What: text.Say("{0} is {1} from the concrete; {2} are wanted.", text.Word(name), text.MM(gap),
					text.MM(p.ObstructionClearance)), Consequence: digConsequence(ob.Kind)})
		default:
			found.add(plan.Check{Question: plan.QuestionObstructionGap, Code: plan.CodeObstructionClear, Severity: plan.Sound,
				Field: path, Where: []string{nearest}, At: at, HasMargin: true, Margin: gap - p.ObstructionClearance,
				MarginOf: text.Length,
				What:     text.Say("{0} is {1} from the concrete.", text.Word(name), text.MM(gap))})
		}
	}
}

func digConsequence(kind string) text.Text {
	switch kind {
	case survey.ObstructionService:
		return text.Say("A spade through a buried service can kill. Have it located and exposed by hand; its owner says how near one may dig.")
	case survey.ObstructionTree:
		return text.Say("Cut roots can bring a tree down, and roots lift concrete.")
	case survey.ObstructionPit, survey.ObstructionTank:
		return text.Say("The ground beside it may be loose, and its lid must still open.")
	}
	return text.Say("It has to be moved, or the layout has to change.")
}

// checkGround says what the soil asks for and what is not known of it.
func (d *designed) checkGround(found *findings) {
	in, p, l := d.Inputs, d.Practice, d.Layout
	at := geom.Point{X: in.Width + p.PadAlong/2, Y: p.PadOut / 2}
	sinks := "On soft or wet ground the strip sinks and the leaf runs off its track."
	withHole, without, guess := "Soft or wet ground: strip and pad go down {0}, the guide post {1}.",
		"Soft or wet ground: strip and pad go down {0}.", "Soft or wet ground, and the depth to firm was not measured: {0} is a guess."
	if in.Hangs {
		sinks = "On soft or wet ground the block sinks, and the nose of the leaf with it."
		withHole, without = "Soft or wet ground: the block under the carriages goes down {0}, the guide post {1}.",
			"Soft or wet ground: the block under the carriages goes down {0}."
	}
	switch {
	case !in.SoilKnown:
		found.add(plan.Check{Question: plan.QuestionGroundSoil, Code: plan.CodeGroundUnknown, Severity: plan.Warning,
			Field: survey.GroundSoil, Where: plan.PartIDs(plan.PartRunBackStrip, plan.PartPad), At: at,
			What:        text.Say("The ground beside the drive was not looked at: firm ground is assumed."),
			Consequence: text.Say(sinks)})
	case in.Soil == survey.SoilSoft || in.Soil == survey.SoilWet:
		c := plan.Check{Question: plan.QuestionGroundSoil, Code: plan.CodeGroundSoft, Severity: plan.Warning,
			Field: survey.GroundDepthToFirm, Where: plan.PartIDs(plan.PartRunBackStrip, plan.PartPad), At: at,
			What: text.Say(withHole, text.MM(l.FootDepth),
				text.MM(d.Stand.Hole.Depth)),
			Consequence: text.Say("Stop only on firm and dry ground; the trench decides, not the drawing.")}
		if !l.HasHole {
			c.What = text.Say(without, text.MM(l.FootDepth))
		}
		if in.AssumedPaths[survey.GroundDepthToFirm] {
			c.What = text.Say(guess,
				text.MM(l.FootDepth))
		}
		found.add(c)
	case in.Soil == survey.SoilRock:
		found.add(plan.Check{Question: plan.QuestionGroundSoil, Code: plan.CodeGroundRock, Severity: plan.Warning,
			Field: survey.GroundSoil, Where: plan.PartIDs(plan.PartPostHole), At: at,
			What:        text.Say("Rock: the depths stand as they are, and digging them needs a breaker."),
			Consequence: text.Say("Where the hole cannot be dug, a base plate on the pad may be the way: ask an engineer.")})
	default:
		found.add(plan.Check{Question: plan.QuestionGroundSoil, Code: plan.CodeGroundFirm, Severity: plan.Sound,
			Field: survey.GroundSoil, Where: plan.PartIDs(plan.PartRunBackStrip, plan.PartPad), At: at,
			What: d.firmWords()})
	}
}

// firmWords says how deep strip and pad are on firm ground.
func (d *designed) firmWords() text.Text {
	strip, pad := d.Plan.Strip(), d.Plan.Deepest(plan.PartPad)
	switch {
	case strip == nil && pad == nil:
		return text.Say("Firm ground for the holes of the posts.")
	case d.Plan.HangsFree():
		return text.Say("Firm ground: the block under the carriages {0} deep.", text.MM(pad.Deep()))
	case strip == nil:
		return text.Say("Firm ground: the motor pad {0} deep.", text.MM(pad.Deep()))
	case pad != nil && math.Abs(pad.Deep()-strip.Deep()) >= plan.Tolerance:
		return text.Say("Firm ground: the strip {0} deep, the motor pad {1}.", text.MM(strip.Deep()), text.MM(pad.Deep()))
	}
	return text.Say("Firm ground: strip and pad {0} deep.", text.MM(strip.Deep()))
}

// checkSurface says what the driveway asks for.
func (d *designed) checkSurface(found *findings) {
	in, t := d.Inputs, d.Treatment
	at := geom.Point{X: in.Width / 2, Y: 100}
	c := plan.Check{Question: plan.QuestionDriveSurface, Severity: plan.Sound, Field: survey.DriveSurface,
		Where: plan.PartIDs(plan.PartDriveStrip), At: at, What: t.How}
	if in.Hangs {
		c.Where = plan.PartIDs(plan.PartLeafShut)
		found.add(c)
		return
	}
	if in.AssumedPaths[survey.DriveSurface] {
		c.Severity = plan.Warning
		c.What = text.Say("The driveway surface was not given: sound concrete is assumed.")
		c.Consequence = text.Say(
			"Any other surface needs a strip 150 deep with mesh across the whole opening, or has to be looked at.")
	}
	found.add(c)
	switch {
	case in.Surface != survey.SurfacePavers:
	case !in.AssumedPaths[survey.DrivePaverBase]:
		found.quiet(plan.QuestionDrivePaverBase, survey.DrivePaverBase)
	default:
		found.add(plan.Check{Question: plan.QuestionDrivePaverBase, Severity: plan.Warning, Field: survey.DrivePaverBase,
			Where: plan.PartIDs(plan.PartDriveStrip), At: at,
			What:        text.Say("What lies under the pavers is not known: lift one and look."),
			Consequence: text.Say("Glued to concrete they carry the track as they are, and the strip falls away.")})
	}
	switch {
	case in.Surface != survey.SurfaceConcrete || in.AssumedPaths[survey.DriveSurface]:
	case !in.AssumedPaths[survey.DriveConcreteSound]:
		found.quiet(plan.QuestionDriveConcreteSound, survey.DriveConcreteSound)
	default:
		found.add(plan.Check{Question: plan.QuestionDriveConcreteSound, Severity: plan.Warning,
			Field: survey.DriveConcreteSound, Where: []string{}, At: at,
			What:        text.Say("The concrete was not looked over: it is assumed sound."),
			Consequence: text.Say("Cracked or rocking concrete lets the track move.")})
	}
}

// checkPower keeps conduits before the pour and the outlet off the fence.
func (d *designed) checkPower(found *findings) {
	in, l, made := d.Inputs, d.Layout, d.Plan
	if !l.HasMotor {
		return
	}
	at := l.Motor.Middle()
	switch {
	case in.Motor != survey.MotorPlugIn || in.Outlet != survey.OutletGuidePost:
	case l.HasGuide:
		found.quiet(plan.QuestionPowerOutlet, survey.GateOutlet)
	default:
		found.add(plan.Check{Question: plan.QuestionPowerOutlet, Severity: plan.Warning, Field: survey.GateOutlet,
			Where: plan.PartIDs(plan.PartOutletPost), At: l.Outlet.Middle(),
			What:        text.Say("There is no guide post for the outlet: it goes on a small post beside the motor."),
			Consequence: text.Say("On the fence the leaf would tear the cable off.")})
	}
	if len(made.Conduits) == 0 {
		found.quiet(plan.QuestionPowerConduit, survey.GateMotor)
	} else {
		found.add(plan.Check{Question: plan.QuestionPowerConduit, Severity: plan.Warning, Field: survey.GateMotor,
			Where: plan.PartIDs(plan.PartPad), At: at,
			What: text.Say("Conduits to cast into the pad before the pour: {0}.",
				text.Number(float64(len(made.Conduits)))),
			Consequence: text.Say("After the pour they mean a breaker. A licensed electrician does the wiring.")})
	}
}

// checkMinima names the trade minima that this shop's rules go under.
func (d *designed) checkMinima(found *findings) {
	p := d.Practice
	under := 0
	p.Minima(func(r *practice.Rule, v float64) {
		if v >= r.Default-plan.Tolerance {
			return
		}
		found.add(plan.Check{Question: plan.QuestionMinimum, Code: plan.MinimumCode(r.Key), Severity: plan.Warning,
			Field:     practice.PracticePath + r.Key,
			HasMargin: true, Margin: v - r.Default, MarginOf: r.Dimension,
			What: text.Say("{0}: this shop uses {1}; the trade's least is {2}.", text.Word(r.Name), text.MM(v),
				text.MM(r.Default)),
			Remedies: []plan.Remedy{{Words: text.Say("Go back to {0}.", text.MM(r.Default)),
				Changes: []plan.Change{{Path: practice.PracticePath + r.Key, Value: r.Default}}}}})
		under++
	})
	if under == 0 {
		found.quiet(plan.QuestionMinimum, "")
	}
}

// checkSupply compares the order with a ready-mix truck's minimum.
func (d *designed) checkSupply(found *findings) {
	p, made := d.Practice, d.Plan
	q := &made.Quantities
	if q.Order <= 0 {
		return
	}
	c := plan.Check{Question: plan.QuestionSupply, Code: plan.CodeSupplySite, Severity: plan.Sound, HasMargin: true,
		Margin: q.Order - p.ReadyMixMinimum, MarginOf: text.Volume,
		What: text.Say("{0} is below a ready-mix truck's minimum of {1}: mix it on site.", text.CubicMM(q.Order),
			text.CubicMM(p.ReadyMixMinimum))}
	if q.ReadyMix {
		c.Code = plan.CodeSupplyReadyMix
		c.What = text.Say("{0} reaches a ready-mix truck's minimum of {1}.", text.CubicMM(q.Order),
			text.CubicMM(p.ReadyMixMinimum))
	}
	found.add(c)
}

// caution puts the usual cautions where the work meets the hazard. Local codes
// and licensed practice decide.
func (d *designed) caution(found *findings) {
	l, t := d.Layout, d.Treatment
	say1 := func(code, words string, parts ...plan.PartKind) {
		found.caution(plan.Caution{Code: code, Words: text.Say(words), Where: plan.PartIDs(parts...)})
	}
	say1("services", "Before the first spade: have buried services located. Dig by hand near them.",
		plan.PartRunBackStrip, plan.PartPad, plan.PartPostHole)
	if l.HasHole || l.FootDepth > d.Practice.TrenchCovered {
		say1("excavation", "Keep holes covered or fenced while open, and stay out of any trench that could fall in.",
			plan.PartPostHole, plan.PartPad)
	}
	say1("concrete", "Wet cement burns skin and eyes: gloves, boots, glasses, and water at hand.", plan.PartRunBackStrip,
		plan.PartPad)
	if t.SawCut || l.HasPlate || l.HasMotor {
		say1("silica", "Cutting and drilling concrete throws silica dust that scars lungs: cut wet, wear a fitted mask.",
			plan.PartDriveStrip, plan.PartBasePlate, plan.PartMotor)
	}
	say1("falling", "A leaf that leaves its guide falls: hard stops at both ends before it is ever moved, and never stand in its path while it is held by hand.", plan.PartLeafOpen, plan.PartHardStop)
	if l.HasMotor {
		say1("crush", "A driven leaf crushes and shears: safety edges, beams and force limits by your local standard, tested before handing over.", plan.PartLeafOpen, plan.PartGuidePost)
		say1("electricity", "Mains wiring is a licensed electrician's work.", plan.PartMotor, plan.PartOutletPost)
	}
	say1("codes", "These are first-pass figures of the trade. Local codes, licensed trades and engineers decide.")
}
