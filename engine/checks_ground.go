package engine

import (
	"math"
	"slices"
	"strconv"

	"pegpour/engine/geom"
)

// checkObstructions tests the concrete and the whole box that the leaf sweeps
// against everything that was taped.
func (plan *Plan) checkObstructions(p *Practice, l *layout) {
	sweeps := sweptBoxes(&l.placement, &plan.Leaf)
	for i := range plan.Site.Obstructions {
		ob := &plan.Site.Obstructions[i]
		path := "runBack.obstructions." + strconv.Itoa(ob.Index) + ".along"
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
		if ob.Kind != ObstructionService && slices.ContainsFunc(sweeps, func(s box) bool { return geom.Distance(ob.Box, s.ring()) <= 0 }) {
			plan.add(Check{Code: "obstruction.leaf", Severity: Stop, Field: path, Where: []string{"leafOpen"}, At: at,
				What: say("{0} stands in the way of the leaf.", wordArg(name)), Consequence: say("The leaf hits it on its way.")})
		}
		switch {
		case math.IsInf(gap, 1):
		case gap <= 0:
			plan.add(Check{Code: "obstruction.dig", Severity: Stop, Field: path, Where: []string{nearest}, At: at, HasMargin: true, Margin: -p.ObstructionClearance, MarginOf: Length,
				What: say("{0} stands where the concrete goes.", wordArg(name)), Consequence: digConsequence(ob.Kind)})
		case gap < p.ObstructionClearance-tolerance:
			plan.add(Check{Code: "obstruction.near", Severity: Mind, Field: path, Where: []string{nearest}, At: at, HasMargin: true, Margin: gap - p.ObstructionClearance, MarginOf: Length,
				What: say("{0} is {1} from the concrete; {2} are wanted.", wordArg(name), mm(gap), mm(p.ObstructionClearance)), Consequence: digConsequence(ob.Kind)})
		default:
			plan.add(Check{Code: "obstruction.clear", Severity: Sound, Field: path, Where: []string{nearest}, At: at, HasMargin: true, Margin: gap - p.ObstructionClearance, MarginOf: Length,
				What: say("{0} is {1} from the concrete.", wordArg(name), mm(gap))})
		}
	}
}

func obstructionName(o *ObstructionBox) string {
	if o.Name != "" {
		return o.Name
	}
	f, _ := obstructionField(o.Index, "kind")
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
func (plan *Plan) checkGround(in *inputs, p *Practice, l *layout) {
	at := geom.Point{X: in.width + p.PadAlong/2, Y: p.PadOut / 2}
	switch {
	case !in.soilKnown:
		plan.add(Check{Code: "ground.unknown", Severity: Mind, Field: "ground.soil", Where: []string{"strip", "pad"}, At: at,
			What:        say("The ground beside the drive was not looked at: firm ground is assumed."),
			Consequence: say("On soft or wet ground the strip sinks and the leaf runs off its track.")})
	case in.soil == SoilSoft || in.soil == SoilWet:
		c := Check{Code: "ground.soft", Severity: Mind, Field: "ground.depthToFirm", Where: []string{"strip", "pad"}, At: at,
			What:        say("Soft or wet ground: strip and pad go down {0}, the guide post {1}.", mm(l.footDepth), mm(l.holeDepth)),
			Consequence: say("Stop only on firm and dry ground; the trench decides, not the drawing.")}
		if in.assumedPaths["ground.depthToFirm"] {
			c.What = say("Soft or wet ground, and the depth to firm was not measured: {0} is a guess.", mm(l.footDepth))
		}
		plan.add(c)
	case in.soil == SoilRock:
		plan.add(Check{Code: "ground.rock", Severity: Mind, Field: "ground.soil", Where: []string{"hole"}, At: at,
			What:        say("Rock: the depths stand as they are, and digging them needs a breaker."),
			Consequence: say("Where the hole cannot be dug, a base plate on the pad may be the way: ask an engineer.")})
	default:
		plan.add(Check{Code: "ground.firm", Severity: Sound, Field: "ground.soil", Where: []string{"strip", "pad"}, At: at,
			What: say("Firm ground: strip and pad {0} deep.", mm(l.footDepth))})
	}
}

// checkSurface says what the driveway asks for.
func (plan *Plan) checkSurface(in *inputs, t *driveTreatment) {
	at := geom.Point{X: in.width / 2, Y: 100}
	c := Check{Code: "drive.surface", Severity: Sound, Field: "drive.surface", Where: []string{"driveStrip"}, At: at, What: t.how}
	if in.assumedPaths["drive.surface"] {
		c.Severity = Mind
		c.What = say("The driveway surface was not given: sound concrete is assumed.")
		c.Consequence = say("Any other surface needs a strip 150 deep with mesh across the whole opening, or has to be looked at.")
	}
	plan.add(c)
	if in.surface == SurfacePavers && in.assumedPaths["drive.paverBase"] {
		plan.add(Check{Code: "drive.paverBase", Severity: Mind, Field: "drive.paverBase", Where: []string{"driveStrip"}, At: at,
			What:        say("What lies under the pavers is not known: lift one and look."),
			Consequence: say("Glued to concrete they carry the track as they are, and the strip falls away.")})
	}
	if in.surface == SurfaceConcrete && in.assumedPaths["drive.concreteSound"] && !in.assumedPaths["drive.surface"] {
		plan.add(Check{Code: "drive.concreteSound", Severity: Mind, Field: "drive.concreteSound", Where: []string{}, At: at,
			What:        say("The concrete was not looked over: it is assumed sound."),
			Consequence: say("Cracked or rocking concrete lets the track move.")})
	}
}

// checkPower keeps conduits before the pour and the outlet off the fence.
func (plan *Plan) checkPower(in *inputs, l *layout) {
	if !l.hasMotor {
		return
	}
	at := l.motor.middle()
	if in.motor == MotorPlugIn && in.outlet == OutletGuidePost && !l.hasGuide {
		plan.add(Check{Code: "power.outlet", Severity: Mind, Field: "gate.outlet", Where: []string{"outlet"}, At: l.outlet.middle(),
			What:        say("There is no guide post for the outlet: it goes on a small post beside the motor."),
			Consequence: say("On the fence the leaf would tear the cable off.")})
	}
	if len(plan.Conduits) > 0 {
		plan.add(Check{Code: "power.conduit", Severity: Mind, Field: "gate.motor", Where: []string{"pad"}, At: at,
			What:        say("Conduits to cast into the pad before the pour: {0}.", number(float64(len(plan.Conduits)))),
			Consequence: say("After the pour they mean a breaker. A licensed electrician does the wiring.")})
	}
}

// checkMinima names the trade minima that this shop's rules go under.
func (plan *Plan) checkMinima(p *Practice) {
	for i := range rules {
		r := &rules[i]
		if v := *r.at(p); r.Minimum && v < r.Default-tolerance {
			plan.add(Check{Code: "minimum." + r.Key, Severity: Mind, Field: "practice." + r.Key, HasMargin: true, Margin: v - r.Default, MarginOf: r.Dimension,
				What:     say("{0}: this shop uses {1}; the trade's least is {2}.", wordArg(r.Name), mm(v), mm(r.Default)),
				Remedies: []Remedy{{Words: say("Go back to {0}.", mm(r.Default)), Changes: []Change{{Path: "practice." + r.Key, Value: r.Default}}}}})
		}
	}
}

// checkSupply compares the order with a ready-mix truck's minimum.
func (plan *Plan) checkSupply(p *Practice) {
	q := &plan.Quantities
	if q.Order <= 0 {
		return
	}
	c := Check{Code: "supply.site", Severity: Sound, HasMargin: true, Margin: q.Order - p.ReadyMixMinimum, MarginOf: Volume,
		What: say("{0} is below a ready-mix truck's minimum of {1}: mix it on site.", mm3(q.Order), mm3(p.ReadyMixMinimum))}
	if q.ReadyMix {
		c.Code = "supply.readyMix"
		c.What = say("{0} reaches a ready-mix truck's minimum of {1}.", mm3(q.Order), mm3(p.ReadyMixMinimum))
	}
	plan.add(c)
}

// caution puts the usual cautions where the work meets the hazard. Local codes
// and licensed practice decide.
func (plan *Plan) caution(in *inputs, l *layout, t *driveTreatment) {
	say1 := func(code, words string, where ...string) {
		plan.Cautions = append(plan.Cautions, Caution{Code: code, Words: say(words), Where: where})
	}
	say1("services", "Before the first spade: have buried services located. Dig by hand near them.", "strip", "pad", "hole")
	if l.hasHole || l.footDepth > 300 {
		say1("excavation", "Keep holes covered or fenced while open, and stay out of any trench that could fall in.", "hole", "pad")
	}
	say1("concrete", "Wet cement burns skin and eyes: gloves, boots, glasses, and water at hand.", "strip", "pad")
	if t.sawCut || l.hasPlate || l.hasMotor {
		say1("silica", "Cutting and drilling concrete throws silica dust that scars lungs: cut wet, wear a fitted mask.", "driveStrip", "plate", "motor")
	}
	say1("falling", "A leaf that leaves its guide falls: hard stops at both ends before it is ever moved, and never stand in its path while it is held by hand.", "leafOpen", "stop")
	if l.hasMotor {
		say1("crush", "A driven leaf crushes and shears: safety edges, beams and force limits by your local standard, tested before handing over.", "leafOpen", "guide")
		say1("electricity", "Mains wiring is a licensed electrician's work.", "motor", "outlet")
	}
	say1("codes", "These are first-pass figures of the trade. Local codes, licensed trades and engineers decide.")
}
