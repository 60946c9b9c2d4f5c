package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// What is tried where something does not do, mm, the usual sizes first: they bound
// a search, and what is found is designed with before it is offered.
var (
	padMoves     = [...]float64{200, 400, 800, 1200}   // of motor and pad along the fence
	postSpacings = [...]float64{1500, 1200, 1000, 750} // of a sleeper wall's posts
)

// rackSpare is added where a rack is set higher, mm, so that the window for the
// pad is not of nothing.
const rackSpare = 2

// leastCut is the least dig whose two ways of working out are compared, mm³: a
// litre.
const leastCut = 1e6

// checkPadLevel says whether there is a level for the pad, and where there is
// none which change makes one: each is tried before it is offered.
func (d *designed) checkPadLevel(found *findings) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	g := made.Ground
	pad := g.Pad
	at := geom.Point{X: l.Pinion, Y: l.PadOut / 2}
	if pad.HasLevel {
		found.add(plan.Check{Question: plan.QuestionPadWindow, Severity: plan.Sound, Where: plan.PartIDs(plan.PartPad),
			At: at, HasMargin: true, Margin: (pad.High - pad.Low) / 2, MarginOf: text.Length,
			What: text.Say("The pad lies level at {0}, inside a window from {1} to {2}: rainwater runs round it, and the pinion meets the rack {3} above the motor's base.", text.MM(pad.Level), text.MM(pad.Low), text.MM(pad.High), text.MM(pad.Pinion))})
		step := pad.StepNear
		if math.Abs(pad.StepFar) > math.Abs(step) {
			step = pad.StepFar
		}
		if math.Abs(step) <= p.PadStep {
			found.quietly(plan.QuestionPadStep, "", p.PadStep-math.Abs(step), text.Length)
		} else {
			found.add(plan.Check{Question: plan.QuestionPadStep, Severity: plan.Warning, Where: plan.PartIDs(plan.PartPad),
				At: at, HasMargin: true, Margin: p.PadStep - math.Abs(step), MarginOf: text.Length,
				What:        text.Say("Where pad and strip meet there is a step: the pad stands {0} above the strip at its near end and {1} at its far end.", text.MM(pad.StepNear), text.MM(pad.StepFar)),
				Consequence: text.Say("The strip keeps its grade under the track; form the pad's edge along the back of the strip, and leave the leaf and its rack their room.")})
		}
		return
	}
	c := plan.Check{Question: plan.QuestionPadWindow, Severity: plan.Stop, Field: survey.GroundChannel,
		Where: plan.PartIDs(plan.PartPad), At: pad.HighAt, HasMargin: true, Margin: -pad.Gap, MarginOf: text.Length,
		What:        text.Say("There is no level for the pad: for rainwater to run round it, it must lie at {0} or higher; for the pinion to meet the rack, at {1} or lower. {2} are missing.", text.MM(pad.Low), text.MM(pad.High), text.MM(pad.Gap)),
		Consequence: text.Say("Too low, the motor stands in water; too high, its pinion jams the rack.")}
	opens := func(channel bool, q *practice.Practice, layout *stages.Layout, parts []plan.Outline) bool {
		site := stages.GroundSiteOf(in, layout, nil)
		t := ground.LevelPad(g, parts, &site, channel, q)
		return t != nil && t.HasLevel
	}
	q := *p
	q.RackHeight = math.Ceil(p.RackHeight + pad.Gap + rackSpare)
	if _, e := p.With(map[string]float64{practice.RuleLeafRackHeight: q.RackHeight}); e == nil &&
		opens(g.Choices.Channel, &q, l, made.Outlines) {
		c.Remedies = append(c.Remedies,
			plan.Remedy{Words: text.Say("Fix the rack {0} higher on the leaf: {1} above the strip.",
				text.MM(q.RackHeight-p.RackHeight), text.MM(q.RackHeight)),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleLeafRackHeight, Value: q.RackHeight}}})
	}
	if !g.Choices.Channel && opens(true, p, l, made.Outlines) {
		c.Remedies = append(c.Remedies,
			plan.Remedy{Words: text.Say(
				"Lay a drain or dished channel around the high side of the pad, running out on the low side."),
				Changes: []plan.Change{{Path: survey.GroundChannel, Words: survey.Yes}}})
	}
	if p.MotorPacker > 0 {
		q = *p
		q.MotorPacker = 0
		if opens(g.Choices.Channel, &q, l, made.Outlines) {
			c.Remedies = append(c.Remedies,
				plan.Remedy{Words: text.Say("Take the packer of {0} out from under the motor.", text.MM(p.MotorPacker)),
					Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleMotorPacker, Value: 0}}})
		}
	}
	for _, along := range padMoves {
		q = *p
		q.EdgeGap += along
		if q.EdgeGap > practice.MostOf(practice.RulePlaceEdgeGap) {
			break
		}
		moved := stages.Layout{Placement: stages.Place(in, &q), StripEnds: l.StripEnds}
		var stub stages.OutlineList
		stub.Add(plan.Outline{Kind: plan.PartPad},
			geom.Between(geom.RectangleOf(math.Inf(-1), 0, moved.PadFar, moved.PadOut), &in.RunBackEdge, nil))
		if opens(g.Choices.Channel, &q, &moved, stub) {
			c.Remedies = append(c.Remedies,
				plan.Remedy{Words: text.Say("Set the motor {0} further along.", text.MM(along)),
					Changes: []plan.Change{{Path: practice.PracticePath + practice.RulePlaceEdgeGap, Value: q.EdgeGap}}})
			break
		}
	}
	if p.MotorPacker == 0 {
		c.Consequence = text.Say(
			"Too low, the motor stands in water; too high, its pinion jams the rack. A packer under the motor does not help here: it lifts the pinion further.")
	}
	found.add(c)
}

// checkBank looks at ground that rises or falls off the edge of the drive.
func (d *designed) checkBank(found *findings) {
	in, l, made := d.Inputs, d.Layout, d.Plan
	g := made.Ground
	at := geom.Point{X: in.Width + (l.StripEnd-in.Width)/2, Y: l.PadOut}
	switch {
	case g.Shape != survey.GroundRises && g.Shape != survey.GroundFalls:
	case g.HasBank():
		found.quiet(plan.QuestionBankNone, survey.GroundLevelsTaken)
	default:
		found.add(plan.Check{Question: plan.QuestionBankNone, Severity: plan.Stop, Field: survey.GroundLevelsTaken,
			Where: plan.PartIDs(plan.PartRunBackStrip), At: at,
			What:        text.Say("The ground beyond the edge of the drive was not levelled: what it needs is not worked out."),
			Consequence: text.Say("Take levels along the track line, and again as far out as the cavity's wall, to the end of the run-back.")})
		return
	}
	if g.HasBank() {
		last, spare, tells := -1, math.Inf(1), true
		for i := range g.Profile {
			q := &g.Profile[i]
			if q.Extrapolated && last < 0 {
				last = i
			}
			if q.Chainage > in.RunBackEdge.At(l.TrackOffset)+plan.Tolerance {
				more, ok := g.Model.Spare(q.Chainage, l.TrackOffset)
				spare, tells = min(spare, more), tells && ok
			}
		}
		if last < 0 {
			found.quiet(plan.QuestionBankBeyond, survey.GroundLevelsTaken)
		} else {
			q := &g.Profile[last]
			found.add(plan.Check{Question: plan.QuestionBankBeyond, Severity: plan.Warning, Field: survey.GroundLevelsTaken,
				Where: plan.PartIDs(plan.PartRunBackStrip), At: geom.Point{X: q.Chainage, Y: l.TrackOffset}, HasMargin: tells && spare < 0,
				Margin: min(0, spare), MarginOf: text.Length,
				What:        text.Say("From chainage {0} on nothing was levelled: the ground is taken to stay as it is there. The strip ends at {1}.", text.MM(q.Chainage), text.MM(l.StripEnd)),
				Consequence: text.Say("What lies beyond the last level is a guess.")})
		}
	}
	if g.Rising != nil {
		d.checkCavity(found)
	}
	if g.Shape != survey.GroundFalls {
		d.checkLowGround(found)
	}
}

// checkLowGround says where the ground lies under the strip's underside, so that
// the strip would hang in the air.
func (d *designed) checkLowGround(found *findings) {
	in, l, made := d.Inputs, d.Layout, d.Plan
	g := made.Ground
	worst := -1
	for i := range g.Profile {
		q := &g.Profile[i]
		if q.Chainage > in.RunBackEdge.At(l.TrackOffset)+plan.Tolerance &&
			(worst < 0 || q.Strip-q.Level > g.Profile[worst].Strip-g.Profile[worst].Level) {
			worst = i
		}
	}
	if worst < 0 {
		return
	}
	q := &g.Profile[worst]
	if low := q.Strip - q.Level; low <= l.FootDepth+plan.Tolerance {
		found.quietly(plan.QuestionBankLow, survey.GroundShape, l.FootDepth-low, text.Length)
	} else {
		found.add(plan.Check{Question: plan.QuestionBankLow, Severity: plan.Stop, Field: survey.GroundShape,
			Where: plan.PartIDs(plan.PartRunBackStrip), At: geom.Point{X: q.Chainage, Y: l.TrackOffset}, HasMargin: true,
			Margin: l.FootDepth - low, MarginOf: text.Length,
			What:        text.Say("At chainage {0} the ground lies {1} under the track's grade, and the strip is {2} deep: it would hang in the air.", text.MM(q.Chainage), text.MM(low), text.MM(l.FootDepth)),
			Consequence: text.Say("Concrete poured on fill sinks with it."),
			Remedies: []plan.Remedy{{Words: text.Say("Carry the track on as over ground that falls off the edge."),
				Changes: []plan.Change{{Path: survey.GroundShape, Words: survey.GroundFalls}}}}})
	}
}

// checkCavity looks at the slot in rising ground and at its wall.
func (d *designed) checkCavity(found *findings) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	g := made.Ground
	r := g.Rising
	at := geom.Point{X: r.HighestAt, Y: r.Width}
	out := r.Width + r.Thickness
	c := plan.Check{Question: plan.QuestionCavityWidth, Severity: plan.Sound, Where: plan.PartIDs(plan.PartCavity),
		At: geom.Point{X: l.Pinion, Y: r.Width}, HasMargin: true, Margin: r.Width - p.CavityWidth, MarginOf: text.Length,
		What: text.Say(d.on("The cavity is {0} wide inside: a hand reaches the release at the back of the motor, and a broom the track.",
			"The cavity is {0} wide inside: a hand reaches the release at the back of the motor, and a broom the ground under the leaf."), text.MM(r.Width))}
	switch {
	case in.DepthKnown && in.Depth-out < -plan.Tolerance:
		c.Severity, c.Field, c.Margin = plan.Stop, survey.RunBackDepth, in.Depth-out
		c.What = text.Say("Cavity and wall need {0} out from the fence and there is {1}: {2} short.", text.MM(out),
			text.MM(in.Depth), text.MM(out-in.Depth))
		c.Consequence = text.Say("A narrower slot leaves no room for a hand behind the motor.")
	case in.RoomKnown && in.Width+in.Room-(r.End+r.Thickness) < -plan.Tolerance:
		c.Severity, c.Field, c.Margin = plan.Warning, survey.RunBackRoom, in.Width+in.Room-(r.End+r.Thickness)
		c.What = text.Say("The end wall stands {0} beyond the room there is along the fence.", text.MM(-c.Margin))
		c.Consequence = text.Say(d.on("What stands there already has to hold the ground, or the strip ends sooner.",
			"What stands there already has to hold the ground, or the cavity ends sooner."))
	}
	found.add(c)
	if r.Highest < plan.LeastHeld {
		found.add(plan.Check{Question: plan.QuestionWallNone, Severity: plan.Warning, Field: survey.GroundShape,
			Where: plan.PartIDs(plan.PartCavity), At: at,
			What: text.Say(d.on("By the levels taken the ground beside the drive does not stand above the track: no earth is held back.",
				"By the levels taken the ground beside the drive does not stand above its own grade: no earth is held back."))})
		return
	}
	found.quiet(plan.QuestionWallNone, survey.GroundShape)
	if r.Highest <= p.WallMost {
		found.quietly(plan.QuestionWallMost, practice.PracticePath+practice.RuleWallMost, p.WallMost-r.Highest, text.Length)
	}
	if r.Highest > p.WallMost {
		found.add(plan.Check{Question: plan.QuestionWallMost, Severity: plan.Stop,
			Field: practice.PracticePath + practice.RuleWallMost, Where: plan.PartIDs(plan.PartWall), At: at, HasMargin: true,
			Margin: p.WallMost - r.Highest, MarginOf: text.Length,
			What:        text.Say("The wall would hold back {0} of ground at chainage {1}; above {2} this first pass has nothing to say about it. The dig is worked out, the wall is not.", text.MM(r.Highest), text.MM(r.HighestAt), text.MM(p.WallMost)),
			Consequence: text.Say("An engineer designs it, and the cut itself needs shoring: nobody goes into it as it is.")})
	} else if r.Highest > p.WallEngineer {
		found.add(plan.Check{Question: plan.QuestionWallEngineer, Severity: plan.Warning,
			Field: practice.PracticePath + practice.RuleWallEngineer, Where: plan.PartIDs(plan.PartWall), At: at,
			HasMargin: true, Margin: p.WallEngineer - r.Highest, MarginOf: text.Length,
			What:        text.Say("The wall holds back {0} of ground at chainage {1}: beyond {2} local rules usually want an engineer and a permit.", text.MM(r.Highest), text.MM(r.HighestAt), text.MM(p.WallEngineer)),
			Consequence: text.Say("Ask before digging.")})
	} else {
		found.add(plan.Check{Question: plan.QuestionWallEngineer, Severity: plan.Sound,
			Field: practice.PracticePath + practice.RuleWallEngineer, Where: plan.PartIDs(plan.PartWall), At: at,
			HasMargin: true, Margin: p.WallEngineer - r.Highest, MarginOf: text.Length,
			What: text.Say("The wall holds back {0} of ground at most, at chainage {1}.", text.MM(r.Highest),
				text.MM(r.HighestAt))})
	}
	d.checkWall(found, at)
	if g.Choices.Drained {
		found.quiet(plan.QuestionWallDrain, survey.GroundCavityDrain)
	} else {
		found.add(plan.Check{Question: plan.QuestionWallDrain, Severity: plan.Stop, Field: survey.GroundCavityDrain,
			Where: plan.PartIDs(plan.PartWall), At: at,
			What:        text.Say("Nothing leads the water away behind the wall."),
			Consequence: text.Say("Water standing behind a wall pushes it about as hard again as the ground does: most garden walls that fall, fall in the rain."),
			Remedies: []plan.Remedy{{Words: text.Say("Lay a slotted pipe in gravel behind the wall, {0} of it, running out.",
				text.MM(r.WallLength)), Changes: []plan.Change{{Path: survey.GroundCavityDrain, Words: survey.Yes}}}}})
	}
	if g.Track.Grade >= -p.CavityFall {
		found.quiet(plan.QuestionCavityWater, survey.GroundShape)
	} else {
		found.add(plan.Check{Question: plan.QuestionCavityWater, Severity: plan.Warning, Field: survey.GroundShape,
			Where: plan.PartIDs(plan.PartCavity), At: geom.Point{X: r.End, Y: r.Width / 2},
			What: text.Say("The cavity falls {0} towards its closed end: rainwater collects there.",
				text.MM(-g.Track.Grade*(r.End-r.Start))),
			Consequence: text.Say(d.on("Give the low end a grated pit and a pipe that runs out, or the rear wheels stand in water.",
				"Give the low end a grated pit and a pipe that runs out, or the block stands in water."))})
	}
	switch {
	case r.SurfaceCore <= leastCut:
	case math.Abs(r.Core-r.SurfaceCore) <= p.CutMethods*r.SurfaceCore:
		found.quietly(plan.QuestionCutMethods, "", p.CutMethods*r.SurfaceCore-math.Abs(r.Core-r.SurfaceCore), text.Volume)
	default:
		found.add(plan.Check{Question: plan.QuestionCutMethods, Severity: plan.Warning, Where: plan.PartIDs(plan.PartCavity),
			At: at,
			What: text.Say("Two ways of working out the dig do not agree: {0} by sections, {1} by surfaces.",
				text.CubicMM(r.Core), text.CubicMM(r.SurfaceCore)),
			Consequence: text.Say("The ground is too broken for the levels taken: take more of them.")})
	}
	if !r.Extrapolated {
		found.quiet(plan.QuestionCutBeyond, survey.GroundLevelsTaken)
	} else {
		found.add(plan.Check{Question: plan.QuestionCutBeyond, Severity: plan.Warning, Field: survey.GroundLevelsTaken,
			Where: plan.PartIDs(plan.PartCavity), At: geom.Point{X: r.End, Y: r.Width},
			What: text.Say("The cut reaches beyond the levels taken: dig and wall heights there are a guess."),
			Consequence: text.Say(d.on("Take levels at the far end of the run-back, on the track line and as far out as the wall.",
				"Take levels at the far end of the run-back, under the leaf and as far out as the wall."))})
	}
}
