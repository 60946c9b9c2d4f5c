package engine

import (
	"math"
	"slices"

	"pegpour/engine/geom"
)

// checkObstructions tests the concrete and the whole box that the leaf sweeps
// against everything that was taped.
func (d *designed) checkObstructions(found *findings) {
	p, l, plan := d.practice, d.layout, d.plan
	sweeps := sweptBoxes(&l.placement, &plan.Leaf)
	for i := range plan.Site.Obstructions {
		ob := &plan.Site.Obstructions[i]
		path := string(ObstructionAlong.At(ob.Index))
		name := obstructionName(ob)
		at := ob.Box.Centroid()
		gap := math.Inf(1)
		nearest := ""
		for k := range plan.Outlines {
			o := &plan.Outlines[k]
			if !o.Concrete {
				continue
			}
			if d := geom.Distance(ob.Box, o.Ring); d < gap {
				gap, nearest = d, o.ID
			}
		}
		switch {
		case ob.Kind == ObstructionService: // it lies under the leaf's way
		case !slices.ContainsFunc(sweeps, func(s box) bool { return geom.Distance(ob.Box, s.ring()) <= 0 }):
			found.quiet(QuestionObstructionLeaf, path)
		default:
			found.add(Check{Question: QuestionObstructionLeaf, Severity: Stop, Field: path, Where: PartIDs(PartLeafOpen), At: at,
				What: say("{0} stands in the way of the leaf.", wordArg(name)), Consequence: say("The leaf hits it on its way.")})
		}
		switch {
		case math.IsInf(gap, 1):
		case gap <= 0:
			found.add(Check{Question: QuestionObstructionGap, Code: CodeObstructionDig, Severity: Stop, Field: path, Where: []string{nearest}, At: at, HasMargin: true, Margin: -p.ObstructionClearance, MarginOf: Length,
				What: say("{0} stands where the concrete goes.", wordArg(name)), Consequence: digConsequence(ob.Kind)})
		case gap < p.ObstructionClearance-tolerance:
			found.add(Check{Question: QuestionObstructionGap, Code: CodeObstructionNear, Severity: Warning, Field: path, Where: []string{nearest}, At: at, HasMargin: true, Margin: gap - p.ObstructionClearance, MarginOf: Length,
				What: say("{0} is {1} from the concrete; {2} are wanted.", wordArg(name), mm(gap), mm(p.ObstructionClearance)), Consequence: digConsequence(ob.Kind)})
		default:
			found.add(Check{Question: QuestionObstructionGap, Code: CodeObstructionClear, Severity: Sound, Field: path, Where: []string{nearest}, At: at, HasMargin: true, Margin: gap - p.ObstructionClearance, MarginOf: Length,
				What: say("{0} is {1} from the concrete.", wordArg(name), mm(gap))})
		}
	}
}

func obstructionName(o *ObstructionBox) string {
	if o.Name != "" {
		return o.Name
	}
	f := FieldOf(ObstructionKind.At(o.Index))
	for _, option := range f.Options {
		if option.Value == o.Kind {
			return option.Words
		}
	}
	return f.Options[0].Words
}

func digConsequence(kind string) Text {
	switch kind {
	case ObstructionService:
		return say("A spade through a buried service can kill. Have it located and exposed by hand; its owner says how near one may dig.")
	case ObstructionTree:
		return say("Cut roots can bring a tree down, and roots lift concrete.")
	case ObstructionPit, ObstructionTank:
		return say("The ground beside it may be loose, and its lid must still open.")
	}
	return say("It has to be moved, or the layout has to change.")
}

// checkGround says what the soil asks for and what is not known of it.
func (d *designed) checkGround(found *findings) {
	in, p, l := d.inputs, d.practice, d.layout
	at := geom.Point{X: in.width + p.PadAlong/2, Y: p.PadOut / 2}
	switch {
	case !in.soilKnown:
		found.add(Check{Question: QuestionGroundSoil, Code: CodeGroundUnknown, Severity: Warning, Field: GroundSoil, Where: PartIDs(PartRunBackStrip, PartPad), At: at,
			What:        say("The ground beside the drive was not looked at: firm ground is assumed."),
			Consequence: say("On soft or wet ground the strip sinks and the leaf runs off its track.")})
	case in.soil == SoilSoft || in.soil == SoilWet:
		c := Check{Question: QuestionGroundSoil, Code: CodeGroundSoft, Severity: Warning, Field: GroundDepthToFirm, Where: PartIDs(PartRunBackStrip, PartPad), At: at,
			What:        say("Soft or wet ground: strip and pad go down {0}, the guide post {1}.", mm(l.footDepth), mm(l.holeDepth)),
			Consequence: say("Stop only on firm and dry ground; the trench decides, not the drawing.")}
		if in.assumedPaths[GroundDepthToFirm] {
			c.What = say("Soft or wet ground, and the depth to firm was not measured: {0} is a guess.", mm(l.footDepth))
		}
		found.add(c)
	case in.soil == SoilRock:
		found.add(Check{Question: QuestionGroundSoil, Code: CodeGroundRock, Severity: Warning, Field: GroundSoil, Where: PartIDs(PartPostHole), At: at,
			What:        say("Rock: the depths stand as they are, and digging them needs a breaker."),
			Consequence: say("Where the hole cannot be dug, a base plate on the pad may be the way: ask an engineer.")})
	default:
		found.add(Check{Question: QuestionGroundSoil, Code: CodeGroundFirm, Severity: Sound, Field: GroundSoil, Where: PartIDs(PartRunBackStrip, PartPad), At: at,
			What: say("Firm ground: strip and pad {0} deep.", mm(l.footDepth))})
	}
}

// checkSurface says what the driveway asks for.
func (d *designed) checkSurface(found *findings) {
	in, t := d.inputs, d.treatment
	at := geom.Point{X: in.width / 2, Y: 100}
	c := Check{Question: QuestionDriveSurface, Severity: Sound, Field: DriveSurface, Where: PartIDs(PartDriveStrip), At: at, What: t.how}
	if in.assumedPaths[DriveSurface] {
		c.Severity = Warning
		c.What = say("The driveway surface was not given: sound concrete is assumed.")
		c.Consequence = say("Any other surface needs a strip 150 deep with mesh across the whole opening, or has to be looked at.")
	}
	found.add(c)
	switch {
	case in.surface != SurfacePavers:
	case !in.assumedPaths[DrivePaverBase]:
		found.quiet(QuestionDrivePaverBase, DrivePaverBase)
	default:
		found.add(Check{Question: QuestionDrivePaverBase, Severity: Warning, Field: DrivePaverBase, Where: PartIDs(PartDriveStrip), At: at,
			What:        say("What lies under the pavers is not known: lift one and look."),
			Consequence: say("Glued to concrete they carry the track as they are, and the strip falls away.")})
	}
	switch {
	case in.surface != SurfaceConcrete || in.assumedPaths[DriveSurface]:
	case !in.assumedPaths[DriveConcreteSound]:
		found.quiet(QuestionDriveConcreteSound, DriveConcreteSound)
	default:
		found.add(Check{Question: QuestionDriveConcreteSound, Severity: Warning, Field: DriveConcreteSound, Where: []string{}, At: at,
			What:        say("The concrete was not looked over: it is assumed sound."),
			Consequence: say("Cracked or rocking concrete lets the track move.")})
	}
}

// checkPower keeps conduits before the pour and the outlet off the fence.
func (d *designed) checkPower(found *findings) {
	in, l, plan := d.inputs, d.layout, d.plan
	if !l.hasMotor {
		return
	}
	at := l.motor.middle()
	switch {
	case in.motor != MotorPlugIn || in.outlet != OutletGuidePost:
	case l.hasGuide:
		found.quiet(QuestionPowerOutlet, GateOutlet)
	default:
		found.add(Check{Question: QuestionPowerOutlet, Severity: Warning, Field: GateOutlet, Where: PartIDs(PartOutletPost), At: l.outlet.middle(),
			What:        say("There is no guide post for the outlet: it goes on a small post beside the motor."),
			Consequence: say("On the fence the leaf would tear the cable off.")})
	}
	if len(plan.Conduits) == 0 {
		found.quiet(QuestionPowerConduit, GateMotor)
	} else {
		found.add(Check{Question: QuestionPowerConduit, Severity: Warning, Field: GateMotor, Where: PartIDs(PartPad), At: at,
			What:        say("Conduits to cast into the pad before the pour: {0}.", number(float64(len(plan.Conduits)))),
			Consequence: say("After the pour they mean a breaker. A licensed electrician does the wiring.")})
	}
}

// checkMinima names the trade minima that this shop's rules go under.
func (d *designed) checkMinima(found *findings) {
	p := d.practice
	under := 0
	p.Minima(func(r *Rule, v float64) {
		if v >= r.Default-tolerance {
			return
		}
		found.add(Check{Question: QuestionMinimum, Code: minimumCode(r.Key), Severity: Warning, Field: PracticePath + r.Key,
			HasMargin: true, Margin: v - r.Default, MarginOf: r.Dimension,
			What: say("{0}: this shop uses {1}; the trade's least is {2}.", wordArg(r.Name), mm(v), mm(r.Default)),
			Remedies: []Remedy{{Words: say("Go back to {0}.", mm(r.Default)),
				Changes: []Change{{Path: PracticePath + r.Key, Value: r.Default}}}}})
		under++
	})
	if under == 0 {
		found.quiet(QuestionMinimum, "")
	}
}

// checkSupply compares the order with a ready-mix truck's minimum.
func (d *designed) checkSupply(found *findings) {
	p, plan := d.practice, d.plan
	q := &plan.Quantities
	if q.Order <= 0 {
		return
	}
	c := Check{Question: QuestionSupply, Code: CodeSupplySite, Severity: Sound, HasMargin: true, Margin: q.Order - p.ReadyMixMinimum, MarginOf: Volume,
		What: say("{0} is below a ready-mix truck's minimum of {1}: mix it on site.", mm3(q.Order), mm3(p.ReadyMixMinimum))}
	if q.ReadyMix {
		c.Code = CodeSupplyReadyMix
		c.What = say("{0} reaches a ready-mix truck's minimum of {1}.", mm3(q.Order), mm3(p.ReadyMixMinimum))
	}
	found.add(c)
}

// caution puts the usual cautions where the work meets the hazard. Local codes
// and licensed practice decide.
func (d *designed) caution(found *findings) {
	l, t := d.layout, d.treatment
	say1 := func(code, words string, parts ...PartKind) {
		found.caution(Caution{Code: code, Words: say(words), Where: PartIDs(parts...)})
	}
	say1("services", "Before the first spade: have buried services located. Dig by hand near them.", PartRunBackStrip, PartPad, PartPostHole)
	if l.hasHole || l.footDepth > d.practice.TrenchCovered {
		say1("excavation", "Keep holes covered or fenced while open, and stay out of any trench that could fall in.", PartPostHole, PartPad)
	}
	say1("concrete", "Wet cement burns skin and eyes: gloves, boots, glasses, and water at hand.", PartRunBackStrip, PartPad)
	if t.sawCut || l.hasPlate || l.hasMotor {
		say1("silica", "Cutting and drilling concrete throws silica dust that scars lungs: cut wet, wear a fitted mask.", PartDriveStrip, PartBasePlate, PartMotor)
	}
	say1("falling", "A leaf that leaves its guide falls: hard stops at both ends before it is ever moved, and never stand in its path while it is held by hand.", PartLeafOpen, PartHardStop)
	if l.hasMotor {
		say1("crush", "A driven leaf crushes and shears: safety edges, beams and force limits by your local standard, tested before handing over.", PartLeafOpen, PartGuidePost)
		say1("electricity", "Mains wiring is a licensed electrician's work.", PartMotor, PartOutletPost)
	}
	say1("codes", "These are first-pass figures of the trade. Local codes, licensed trades and engineers decide.")
}
