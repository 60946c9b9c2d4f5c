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
				spare, tells = math.Min(spare, more), tells && ok
			}
		}
		if last < 0 {
			found.quiet(plan.QuestionBankBeyond, survey.GroundLevelsTaken)
		} else {
			q := &g.Profile[last]
			found.add(plan.Check{Question: plan.QuestionBankBeyond, Severity: plan.Warning, Field: survey.GroundLevelsTaken,
				Where: plan.PartIDs(plan.PartRunBackStrip), At: geom.Point{X: q.Chainage, Y: l.TrackOffset}, HasMargin: tells && spare < 0,
				Margin: math.Min(0, spare), MarginOf: text.Length,
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
		What: text.Say("The cavity is {0} wide inside: a hand reaches the release at the back of the motor, and a broom the track.", text.MM(r.Width))}
	switch {
	case in.DepthKnown && in.Depth-out < -plan.Tolerance:
		c.Severity, c.Field, c.Margin = plan.Stop, survey.RunBackDepth, in.Depth-out
		c.What = text.Say("Cavity and wall need {0} out from the fence and there is {1}: {2} short.", text.MM(out),
			text.MM(in.Depth), text.MM(out-in.Depth))
		c.Consequence = text.Say("A narrower slot leaves no room for a hand behind the motor.")
	case in.RoomKnown && in.Width+in.Room-(r.End+r.Thickness) < -plan.Tolerance:
		c.Severity, c.Field, c.Margin = plan.Warning, survey.RunBackRoom, in.Width+in.Room-(r.End+r.Thickness)
		c.What = text.Say("The end wall stands {0} beyond the room there is along the fence.", text.MM(-c.Margin))
		c.Consequence = text.Say("What stands there already has to hold the ground, or the strip ends sooner.")
	}
	found.add(c)
	if r.Highest < plan.LeastHeld {
		found.add(plan.Check{Question: plan.QuestionWallNone, Severity: plan.Warning, Field: survey.GroundShape,
			Where: plan.PartIDs(plan.PartCavity), At: at,
			What: text.Say("By the levels taken the ground beside the drive does not stand above the track: no earth is held back.")})
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
			Consequence: text.Say("Give the low end a grated pit and a pipe that runs out, or the rear wheels stand in water.")})
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
			What:        text.Say("The cut reaches beyond the levels taken: dig and wall heights there are a guess."),
			Consequence: text.Say("Take levels at the far end of the run-back, on the track line and as far out as the wall.")})
	}
}

// checkWall gives the first pass at the wall's stability.
func (d *designed) checkWall(found *findings, at geom.Point) {
	in, p, made := d.Inputs, d.Practice, d.Plan
	g := made.Ground
	s := g.Rising.Stability
	if s == nil {
		return
	}
	c := plan.Check{Question: plan.QuestionWallStands, Severity: plan.Sound,
		Field: practice.PracticePath + practice.RuleWallBaseRatio, Where: plan.PartIDs(plan.PartWall), At: at,
		HasMargin: true, MarginOf: text.Ratio,
		Margin: math.Min(s.Sliding-p.FactorSliding, s.Turning-p.FactorTurning),
		What: text.Say("First pass at the wall, {0} of ground on a base {1} wide: sliding {2}, overturning {3}, resultant {4} from the middle of the base ({5} allowed), bearing {6} of {7}.",
			text.MM(s.Held), text.MM(s.Base), text.Plain(s.Sliding), text.Plain(s.Turning), text.MM(math.Abs(s.Eccentricity)),
			text.MM(s.Sixth), text.Megapascals(s.Bearing), text.Megapascals(s.Allowed))}
	if g.Rising.OfPosts {
		c.Field, c.HasMargin = practice.PracticePath+practice.RuleWallPostSpacing, false
		c.What = text.Say("First pass at the wall, {0} of ground between posts {1} apart: {2} push a post, {3} above the strip; it stands {4} deep in a hole {5} across.",
			text.MM(s.Held), text.MM(p.WallPostSpacing), text.Arg{Value: s.PostForce, Dimension: text.Force},
			text.MM(s.PostMoment/math.Max(1, s.PostForce)), text.MM(s.PostDepth), text.MM(p.WallHole))
	}
	held := ground.WallGroundOf(&in.Bearing)
	onPosts := func(spacing float64) (plan.WallStability, bool) {
		q := *p
		q.WallPostSpacing = spacing
		trial, err := ground.WallOnPosts(*s, &held, &q)
		return trial, err == nil
	}
	closer := func(does func(*plan.WallStability) bool) []plan.Remedy {
		for _, spacing := range postSpacings {
			if trial, ok := onPosts(spacing); ok && spacing < p.WallPostSpacing && does(&trial) {
				return []plan.Remedy{{Words: text.Say("Set the posts {0} apart.", text.MM(spacing)),
					Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleWallPostSpacing, Value: spacing}}}}
			}
		}
		return nil
	}
	switch {
	case s.Steep:
		c.Severity, c.HasMargin, c.Field = plan.Stop, false, survey.GroundLevelsTaken
		c.What = text.Say("The ground behind the wall climbs at {0}, as steep as such ground can stand: no wall is worked out.", text.Radians(s.Backslope))
		c.Consequence = text.Say("An engineer looks at the whole bank.")
	case g.Choices.Load == survey.LoadBuilding:
		c.Severity, c.HasMargin, c.Field = plan.Stop, false, survey.GroundCavityLoad
		c.What = text.Say("A building stands behind the wall.")
		c.Consequence = text.Say(
			"Digging beside its footing can bring it down: an engineer designs this wall, whatever its height.")
	case s.Held+s.BaseDown > p.WallMost:
		c.Severity, c.HasMargin, c.Field = plan.Stop, false, survey.GroundDepthToFirm
		down := "With its base down on the firm ground the wall is {0} tall; above {1} this first pass has nothing to say about it."
		if held.Moves > held.Soft {
			c.Field = survey.GroundFrost
			down = "With its base below what frost or swelling clay moves the wall is {0} tall; above {1} this first pass has nothing to say about it."
		}
		c.What = text.Say(down, text.MM(s.Held+s.BaseDown), text.MM(p.WallMost))
		c.Consequence = text.Say("An engineer designs it.")
	case !s.Presumed && g.Rising.OfPosts:
		c.Severity, c.Field = plan.Warning, survey.GroundSoil
		c.What = text.Say("What the ground around the wall's posts can take cannot be presumed ({0}): {1} push each post, and how deep it stands is not worked out.", text.Word(s.Soil), text.Arg{Value: s.PostForce, Dimension: text.Force})
		c.Consequence = text.Say("Look at the ground first; soft ground needs a soils investigation.")
	case !s.Stands && g.Rising.OfPosts:
		c.Severity = plan.Stop
		c.What = text.Say("Posts {0} apart would have to stand {1} deep: {2} push each of them, and {3} is as deep as holes are dug.", text.MM(p.WallPostSpacing), text.MM(s.PostDepth), text.Arg{Value: s.PostForce, Dimension: text.Force}, text.MM(p.WallPostDeepest))
		c.Consequence = text.Say("Closer posts, a stepped bank or a wall of an engineer's design may do.")
		c.Remedies = closer(func(w *plan.WallStability) bool { return w.Stands })
	case !s.Presumed:
		c.Severity, c.HasMargin, c.Field = plan.Warning, false, survey.GroundSoil
		c.What = text.Say("What the ground under the wall carries cannot be presumed ({0}): sliding {1}, overturning {2} on a base {3} wide, bearing {4}.",
			text.Word(s.Soil), text.Plain(s.Sliding), text.Plain(s.Turning), text.MM(s.Base), text.Megapascals(s.Bearing))
		c.Consequence = text.Say("Look at the ground first; soft ground needs a soils investigation.")
	case !s.Stands:
		c.Severity = plan.Stop
		if w, ok := onPosts(p.WallPostSpacing); ok && w.Stands {
			c.Remedies = []plan.Remedy{{Words: text.Say("Build it of sleepers between posts."),
				Changes: []plan.Change{{Path: survey.GroundCavityWall, Words: survey.WallOfPosts}}}}
		}
		c.Consequence = text.Say(
			"By this first pass it slides, tips or sinks. A stepped bank, posts in deep holes or a wall of an engineer's design may do.")
	default:
		c.HasMargin = c.HasMargin && s.Stands
		c.Consequence = text.Say("A first pass is no design: local codes and engineers decide.")
	}
	if s.BaseDown > 0 && c.Severity == plan.Sound {
		down := "First pass at the wall, {0} of ground, its base {1} wide taken down by {2} to firm ground: sliding {3}, overturning {4}, bearing {5} of {6}."
		if held.Moves > held.Soft {
			down = "First pass at the wall, {0} of ground, its base {1} wide taken down by {2} below frost: sliding {3}, overturning {4}, bearing {5} of {6}."
		}
		c.What = text.Say(down,
			text.MM(s.Held), text.MM(s.Base), text.MM(s.BaseDown), text.Plain(s.Sliding), text.Plain(s.Turning),
			text.Megapascals(s.Bearing), text.Megapascals(s.Allowed))
		c.Consequence = text.Say("Dig the base down until firm ground shows under all of it; the ground decides, not the drawing.")
	}
	found.add(c)
	if s.Presumed && !s.Steep && s.Thrust > 0 { // else nothing of it is sound, as said
		d.checkWallMembers(found, at, closer)
		d.checkWallBlocked(found, at)
	}
}

// checkWallMembers looks at what the wall is made of: the stem of blocks, or
// sleeper and post.
func (d *designed) checkWallMembers(found *findings, at geom.Point,
	closer func(func(*plan.WallStability) bool) []plan.Remedy) {
	p, r := d.Practice, d.Plan.Ground.Rising
	s := r.Stability
	c := plan.Check{Question: plan.QuestionWallStrength, Severity: plan.Sound,
		Field: practice.PracticePath + practice.RuleWallStemSpacing, Where: plan.PartIDs(plan.PartWall), At: at,
		HasMargin: true, Margin: 1 - s.StemUse, MarginOf: text.Fraction,
		What: text.Say("The wall's stem takes {0} of what it may with bars of {1} every {2}, {3} in from its face.",
			text.Percent(s.StemUse), text.MM(p.StemBar), text.MM(p.StemSpacing), text.MM(p.StemDepth)),
		Consequence: text.Say("A first pass is no design: local codes and engineers decide.")}
	if r.OfPosts {
		c.Field = practice.PracticePath + practice.RuleWallPostSpacing
		c.Margin = 1 - math.Max(s.PostUse, s.SleeperUse)
		c.What = text.Say("A post of the wall is bent by {0}, {1} of what it may; the lowest sleeper takes {2} of what it may.",
			text.NewtonMillimetres(s.PostBending), text.Percent(s.PostUse), text.Percent(s.SleeperUse))
	}
	if c.Margin < 0 {
		c.Severity = plan.Stop
		c.Consequence = text.Say("It bends over or breaks.")
		if r.OfPosts {
			c.Remedies = closer(func(w *plan.WallStability) bool { return w.PostUse <= 1 && w.SleeperUse <= 1 })
		} else if half := p.StemSpacing / 2; s.StemUse <= 1.8 && half >= practice.RuleOf(practice.RuleWallStemSpacing).Low {
			c.Remedies = []plan.Remedy{{Words: text.Say("Set the upright bars {0} apart.", text.MM(half)),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleWallStemSpacing, Value: half}}}}
		}
	}
	found.add(c)
}

// checkWallBlocked says what the wall does when its drain is blocked.
func (d *designed) checkWallBlocked(found *findings, at geom.Point) {
	p, s := d.Practice, d.Plan.Ground.Rising.Stability
	if !s.Drained {
		return // that it has none is said already, and counted
	}
	c := plan.Check{Question: plan.QuestionWallBlocked, Severity: plan.Sound, Field: survey.GroundCavityDrain,
		Where: plan.PartIDs(plan.PartWall), At: at, HasMargin: true, Margin: s.Blocked - p.FactorBlocked,
		MarginOf: text.Ratio,
		What: text.Say("With its drain blocked and water to the top the wall still stands: factor {0}.",
			text.Plain(s.Blocked)),
		Consequence: text.Say("Lay the drain so that it can be flushed.")}
	if c.Margin < 0 {
		c.Severity = plan.Warning
		c.What = text.Say("With its drain blocked and water to the top the wall does not stand: factor {0}, and {1} are wanted.",
			text.Plain(s.Blocked), text.Plain(p.FactorBlocked))
		c.Consequence = text.Say("Its drain is all that holds it in heavy rain: clean gravel behind it, a pipe that can be flushed, and weep holes through it.")
	}
	found.add(c)
}
