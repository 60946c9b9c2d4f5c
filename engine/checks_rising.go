package engine

import (
	"math"

	"pegpour/engine/geom"
)

// checkPadLevel says whether there is a level for the pad, and where there is
// none which change makes one: each is tried before it is offered.
func (d *designed) checkPadLevel(found *findings) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	g := plan.Ground
	pad := g.Pad
	at := geom.Point{X: l.pinion, Y: l.padOut / 2}
	if pad.HasLevel {
		found.add(Check{Question: QuestionPadWindow, Severity: Sound, Where: PartIDs(PartPad), At: at, HasMargin: true, Margin: (pad.High - pad.Low) / 2, MarginOf: Length,
			What: say("The pad lies level at {0}, inside a window from {1} to {2}: rainwater runs round it, and the pinion meets the rack {3} above the motor's base.", mm(pad.Level), mm(pad.Low), mm(pad.High), mm(pad.Pinion))})
		step := pad.StepNear
		if math.Abs(pad.StepFar) > math.Abs(step) {
			step = pad.StepFar
		}
		if math.Abs(step) <= p.PadStep {
			found.quietly(QuestionPadStep, "", p.PadStep-math.Abs(step), Length)
		} else {
			found.add(Check{Question: QuestionPadStep, Severity: Warning, Where: PartIDs(PartPad), At: at, HasMargin: true, Margin: p.PadStep - math.Abs(step), MarginOf: Length,
				What:        say("Where pad and strip meet there is a step: the pad stands {0} above the strip at its near end and {1} at its far end.", mm(pad.StepNear), mm(pad.StepFar)),
				Consequence: say("The strip keeps its grade under the track; form the pad's edge along the back of the strip, and leave the leaf and its rack their room.")})
		}
		return
	}
	c := Check{Question: QuestionPadWindow, Severity: Stop, Field: GroundChannel, Where: PartIDs(PartPad), At: pad.HighAt, HasMargin: true, Margin: -pad.Gap, MarginOf: Length,
		What:        say("There is no level for the pad: for rainwater to run round it, it must lie at {0} or higher; for the pinion to meet the rack, at {1} or lower. {2} are missing.", mm(pad.Low), mm(pad.High), mm(pad.Gap)),
		Consequence: say("Too low, the motor stands in water; too high, its pinion jams the rack.")}
	opens := func(channel bool, q *Practice, layout *layout, parts []Outline) bool {
		site := groundSiteOf(in, layout, nil)
		t := padLevel(g, parts, &site, channel, q)
		return t != nil && t.HasLevel
	}
	q := *p
	q.RackHeight = math.Ceil(p.RackHeight + pad.Gap + 2)
	if _, e := p.With(map[string]float64{RuleLeafRackHeight: q.RackHeight}); e == nil && opens(g.Choices.Channel, &q, l, plan.Outlines) {
		c.Remedies = append(c.Remedies, Remedy{Words: say("Fix the rack {0} higher on the leaf: {1} above the strip.", mm(q.RackHeight-p.RackHeight), mm(q.RackHeight)),
			Changes: []Change{{Path: PracticePath + RuleLeafRackHeight, Value: q.RackHeight}}})
	}
	if !g.Choices.Channel && opens(true, p, l, plan.Outlines) {
		c.Remedies = append(c.Remedies, Remedy{Words: say("Lay a drain or dished channel around the high side of the pad, running out on the low side."), Changes: []Change{{Path: GroundChannel, Words: Yes}}})
	}
	if p.MotorPacker > 0 {
		q = *p
		q.MotorPacker = 0
		if opens(g.Choices.Channel, &q, l, plan.Outlines) {
			c.Remedies = append(c.Remedies, Remedy{Words: say("Take the packer of {0} out from under the motor.", mm(p.MotorPacker)), Changes: []Change{{Path: PracticePath + RuleMotorPacker, Value: 0}}})
		}
	}
	for _, along := range [...]float64{200, 400, 800, 1200} {
		q = *p
		q.EdgeGap += along
		if q.EdgeGap > ruleMost(RulePlaceEdgeGap) {
			break
		}
		moved := layout{placement: place(in, &q), stripEnds: l.stripEnds}
		var stub outlineList
		stub.add(Outline{Kind: PartPad}, between(box{math.Inf(-1), 0, moved.padFar, moved.padOut}, &in.runBackEdge, nil))
		if opens(g.Choices.Channel, &q, &moved, stub) {
			c.Remedies = append(c.Remedies, Remedy{Words: say("Set the motor {0} further along.", mm(along)), Changes: []Change{{Path: PracticePath + RulePlaceEdgeGap, Value: q.EdgeGap}}})
			break
		}
	}
	if p.MotorPacker == 0 {
		c.Consequence = say("Too low, the motor stands in water; too high, its pinion jams the rack. A packer under the motor does not help here: it lifts the pinion further.")
	}
	found.add(c)
}

// checkBank looks at ground that rises or falls off the edge of the drive.
func (d *designed) checkBank(found *findings) {
	in, l, plan := d.inputs, d.layout, d.plan
	g := plan.Ground
	at := geom.Point{X: in.width + (l.stripEnd-in.width)/2, Y: l.padOut}
	switch {
	case g.Shape != GroundRises && g.Shape != GroundFalls:
	case g.hasBank():
		found.quiet(QuestionBankNone, GroundLevelsTaken)
	default:
		found.add(Check{Question: QuestionBankNone, Severity: Stop, Field: GroundLevelsTaken, Where: PartIDs(PartRunBackStrip), At: at,
			What:        say("The ground beyond the edge of the drive was not levelled: what it needs is not worked out."),
			Consequence: say("Take levels along the track line, and again as far out as the cavity's wall, to the end of the run-back.")})
		return
	}
	if g.hasBank() {
		last := -1
		for i := range g.Profile {
			if g.Profile[i].Extrapolated {
				last = i
				break
			}
		}
		if last < 0 {
			found.quiet(QuestionBankBeyond, GroundLevelsTaken)
		} else {
			q := &g.Profile[last]
			found.add(Check{Question: QuestionBankBeyond, Severity: Warning, Field: GroundLevelsTaken, Where: PartIDs(PartRunBackStrip), At: geom.Point{X: q.Chainage, Y: l.trackOffset}, HasMargin: true, Margin: q.Chainage - l.stripEnd, MarginOf: Length,
				What:        say("From chainage {0} on nothing was levelled: the ground is taken to stay as it is there. The strip ends at {1}.", mm(q.Chainage), mm(l.stripEnd)),
				Consequence: say("What lies beyond the last level is a guess.")})
		}
	}
	if g.Rising != nil {
		d.checkCavity(found)
	}
	if g.Shape != GroundFalls {
		d.checkLowGround(found)
	}
}

// checkLowGround says where the ground lies under the strip's underside, so that
// the strip would hang in the air.
func (d *designed) checkLowGround(found *findings) {
	in, l, plan := d.inputs, d.layout, d.plan
	g := plan.Ground
	worst := -1
	for i := range g.Profile {
		q := &g.Profile[i]
		if q.Chainage > in.runBackEdge.At(l.trackOffset)+tolerance && (worst < 0 || q.Strip-q.Level > g.Profile[worst].Strip-g.Profile[worst].Level) {
			worst = i
		}
	}
	if worst < 0 {
		return
	}
	q := &g.Profile[worst]
	if low := q.Strip - q.Level; low <= l.footDepth+tolerance {
		found.quietly(QuestionBankLow, GroundShape, l.footDepth-low, Length)
	} else {
		found.add(Check{Question: QuestionBankLow, Severity: Stop, Field: GroundShape, Where: PartIDs(PartRunBackStrip), At: geom.Point{X: q.Chainage, Y: l.trackOffset}, HasMargin: true, Margin: l.footDepth - low, MarginOf: Length,
			What:        say("At chainage {0} the ground lies {1} under the track's grade, and the strip is {2} deep: it would hang in the air.", mm(q.Chainage), mm(low), mm(l.footDepth)),
			Consequence: say("Concrete poured on fill sinks with it."),
			Remedies:    []Remedy{{Words: say("Carry the track on as over ground that falls off the edge."), Changes: []Change{{Path: GroundShape, Words: GroundFalls}}}}})
	}
}

// checkCavity looks at the slot in rising ground and at its wall.
func (d *designed) checkCavity(found *findings) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	g := plan.Ground
	r := g.Rising
	at := geom.Point{X: r.HighestAt, Y: r.Width}
	out := r.Width + r.Thickness
	c := Check{Question: QuestionCavityWidth, Severity: Sound, Where: PartIDs(PartCavity), At: geom.Point{X: l.pinion, Y: r.Width}, HasMargin: true, Margin: r.Width - p.CavityWidth, MarginOf: Length,
		What: say("The cavity is {0} wide inside: a hand reaches the release at the back of the motor, and a broom the track.", mm(r.Width))}
	switch {
	case in.depthKnown && in.depth-out < -tolerance:
		c.Severity, c.Field, c.Margin = Stop, RunBackDepth, in.depth-out
		c.What = say("Cavity and wall need {0} out from the fence and there is {1}: {2} short.", mm(out), mm(in.depth), mm(out-in.depth))
		c.Consequence = say("A narrower slot leaves no room for a hand behind the motor.")
	case in.roomKnown && in.width+in.room-(r.End+r.Thickness) < -tolerance:
		c.Severity, c.Field, c.Margin = Warning, RunBackRoom, in.width+in.room-(r.End+r.Thickness)
		c.What = say("The end wall stands {0} beyond the room there is along the fence.", mm(-c.Margin))
		c.Consequence = say("What stands there already has to hold the ground, or the strip ends sooner.")
	}
	found.add(c)
	if r.Highest < 1 {
		found.add(Check{Question: QuestionWallNone, Severity: Warning, Field: GroundShape, Where: PartIDs(PartCavity), At: at,
			What: say("By the levels taken the ground beside the drive does not stand above the track: no earth is held back.")})
		return
	}
	found.quiet(QuestionWallNone, GroundShape)
	if r.Highest <= p.WallMost {
		found.quietly(QuestionWallMost, PracticePath+RuleWallMost, p.WallMost-r.Highest, Length)
	}
	if r.Highest > p.WallMost {
		found.add(Check{Question: QuestionWallMost, Severity: Stop, Field: PracticePath + RuleWallMost, Where: PartIDs(PartWall), At: at, HasMargin: true, Margin: p.WallMost - r.Highest, MarginOf: Length,
			What:        say("The wall would hold back {0} of ground at chainage {1}; above {2} this first pass has nothing to say about it. The dig is worked out, the wall is not.", mm(r.Highest), mm(r.HighestAt), mm(p.WallMost)),
			Consequence: say("An engineer designs it, and the cut itself needs shoring: nobody goes into it as it is.")})
	} else if r.Highest > p.WallEngineer {
		found.add(Check{Question: QuestionWallEngineer, Severity: Warning, Field: PracticePath + RuleWallEngineer, Where: PartIDs(PartWall), At: at, HasMargin: true, Margin: p.WallEngineer - r.Highest, MarginOf: Length,
			What:        say("The wall holds back {0} of ground at chainage {1}: beyond {2} local rules usually want an engineer and a permit.", mm(r.Highest), mm(r.HighestAt), mm(p.WallEngineer)),
			Consequence: say("Ask before digging.")})
	} else {
		found.add(Check{Question: QuestionWallEngineer, Severity: Sound, Field: PracticePath + RuleWallEngineer, Where: PartIDs(PartWall), At: at, HasMargin: true, Margin: p.WallEngineer - r.Highest, MarginOf: Length,
			What: say("The wall holds back {0} of ground at most, at chainage {1}.", mm(r.Highest), mm(r.HighestAt))})
	}
	d.checkWall(found, at)
	if g.Choices.Drained {
		found.quiet(QuestionWallDrain, GroundCavityDrain)
	} else {
		found.add(Check{Question: QuestionWallDrain, Severity: Stop, Field: GroundCavityDrain, Where: PartIDs(PartWall), At: at,
			What:        say("Nothing leads the water away behind the wall."),
			Consequence: say("Water standing behind a wall pushes it about as hard again as the ground does: most garden walls that fall, fall in the rain."),
			Remedies:    []Remedy{{Words: say("Lay a slotted pipe in gravel behind the wall, {0} of it, running out.", mm(r.WallLength)), Changes: []Change{{Path: GroundCavityDrain, Words: Yes}}}}})
	}
	if g.Track.Grade >= -p.CavityFall {
		found.quiet(QuestionCavityWater, GroundShape)
	} else {
		found.add(Check{Question: QuestionCavityWater, Severity: Warning, Field: GroundShape, Where: PartIDs(PartCavity), At: geom.Point{X: r.End, Y: r.Width / 2},
			What:        say("The cavity falls {0} towards its closed end: rainwater collects there.", mm(-g.Track.Grade*(r.End-r.Start))),
			Consequence: say("Give the low end a grated pit and a pipe that runs out, or the rear wheels stand in water.")})
	}
	switch {
	case r.SurfaceCore <= 1e6:
	case math.Abs(r.Core-r.SurfaceCore) <= p.CutMethods*r.SurfaceCore:
		found.quietly(QuestionCutMethods, "", p.CutMethods*r.SurfaceCore-math.Abs(r.Core-r.SurfaceCore), Volume)
	default:
		found.add(Check{Question: QuestionCutMethods, Severity: Warning, Where: PartIDs(PartCavity), At: at,
			What:        say("Two ways of working out the dig do not agree: {0} by sections, {1} by surfaces.", mm3(r.Core), mm3(r.SurfaceCore)),
			Consequence: say("The ground is too broken for the levels taken: take more of them.")})
	}
	if !r.Extrapolated {
		found.quiet(QuestionCutBeyond, GroundLevelsTaken)
	} else {
		found.add(Check{Question: QuestionCutBeyond, Severity: Warning, Field: GroundLevelsTaken, Where: PartIDs(PartCavity), At: geom.Point{X: r.End, Y: r.Width},
			What:        say("The cut reaches beyond the levels taken: dig and wall heights there are a guess."),
			Consequence: say("Take levels at the far end of the run-back, on the track line and as far out as the wall.")})
	}
}

// checkWall gives the first pass at the wall's stability.
func (d *designed) checkWall(found *findings, at geom.Point) {
	in, p, plan := d.inputs, d.practice, d.plan
	g := plan.Ground
	s := g.Rising.Stability
	if s == nil {
		return
	}
	c := Check{Question: QuestionWallStands, Severity: Sound, Field: PracticePath + RuleWallBaseRatio, Where: PartIDs(PartWall), At: at, HasMargin: true, MarginOf: Ratio,
		Margin: math.Min(s.Sliding-p.FactorSliding, s.Turning-p.FactorTurning),
		What: say("First pass at the wall, {0} of ground on a base {1} wide: sliding {2}, overturning {3}, resultant {4} from the middle of the base ({5} allowed), bearing {6} of {7}.",
			mm(s.Held), mm(s.Base), ratio(s.Sliding), ratio(s.Turning), mm(math.Abs(s.Eccentricity)), mm(s.Third), stress(s.Bearing), stress(s.Allowed))}
	if g.Rising.OfPosts {
		c.Field, c.HasMargin = PracticePath+RuleWallPostSpacing, false
		c.What = say("First pass at the wall, {0} of ground between posts {1} apart: {2} push a post, {3} above the strip; it stands {4} deep in a hole {5} across.",
			mm(s.Held), mm(p.WallPostSpacing), Arg{Value: s.PostForce, Dimension: Force}, mm(s.PostMoment/math.Max(1, s.PostForce)), mm(s.PostDepth), mm(p.WallHole))
	}
	class := soilClass(in)
	onPosts := func(spacing float64) bool {
		q := *p
		q.WallPostSpacing = spacing
		trial, err := wallOnPosts(*s, &class, in.softDepth(), &q)
		return err == nil && trial.Stands
	}
	switch {
	case s.Steep:
		c.Severity, c.HasMargin, c.Field = Stop, false, GroundLevelsTaken
		c.What = say("The ground behind the wall climbs at {0}, as steep as such ground can stand: no wall is worked out.", rad(s.Backslope))
		c.Consequence = say("An engineer looks at the whole bank.")
	case g.Choices.Load == LoadBuilding:
		c.Severity, c.HasMargin, c.Field = Stop, false, GroundCavityLoad
		c.What = say("A building stands behind the wall.")
		c.Consequence = say("Digging beside its footing can bring it down: an engineer designs this wall, whatever its height.")
	case !s.Presumed && g.Rising.OfPosts:
		c.Severity, c.Field = Warning, GroundSoil
		c.What = say("What the ground around the wall's posts can take cannot be presumed ({0}): {1} push each post, and how deep it stands is not worked out.", wordArg(s.Soil), Arg{Value: s.PostForce, Dimension: Force})
		c.Consequence = say("Look at the ground first; soft ground needs a soils investigation.")
	case !s.Stands && g.Rising.OfPosts:
		c.Severity = Stop
		c.What = say("Posts {0} apart would have to stand {1} deep: {2} push each of them, and {3} is as deep as holes are dug.", mm(p.WallPostSpacing), mm(s.PostDepth), Arg{Value: s.PostForce, Dimension: Force}, mm(p.WallPostDeepest))
		c.Consequence = say("Closer posts, a stepped bank or a wall of an engineer's design may do.")
		for _, spacing := range [...]float64{1500, 1200, 1000, 750} {
			if spacing < p.WallPostSpacing && onPosts(spacing) {
				c.Remedies = []Remedy{{Words: say("Set the posts {0} apart.", mm(spacing)), Changes: []Change{{Path: PracticePath + RuleWallPostSpacing, Value: spacing}}}}
				break
			}
		}
	case !s.Presumed:
		c.Severity, c.HasMargin, c.Field = Warning, false, GroundSoil
		c.What = say("What the ground under the wall carries cannot be presumed ({0}): sliding {1}, overturning {2} on a base {3} wide, bearing {4}.",
			wordArg(s.Soil), ratio(s.Sliding), ratio(s.Turning), mm(s.Base), stress(s.Bearing))
		c.Consequence = say("Look at the ground first; soft ground needs a soils investigation.")
	case !s.Stands:
		c.Severity = Stop
		if onPosts(p.WallPostSpacing) {
			c.Remedies = []Remedy{{Words: say("Build it of sleepers between posts."), Changes: []Change{{Path: GroundCavityWall, Words: WallOfPosts}}}}
		}
		c.Consequence = say("By this first pass it slides, tips or sinks. A stepped bank, posts in deep holes or a wall of an engineer's design may do.")
	default:
		c.HasMargin = c.HasMargin && s.Stands
		c.Consequence = say("A first pass is no design: local codes and engineers decide.")
	}
	if c.Severity == Stop && s.Held > p.WallEngineer && !s.Steep && g.Choices.Load != LoadBuilding {
		c.Severity = Warning // an engineer designs it in any case
	}
	found.add(c)
}

func stress(v float64) Arg { return Arg{Value: v, Dimension: Stress} }
