package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

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
		Margin: min(s.Sliding-p.FactorSliding, s.Turning-p.FactorTurning),
		What: text.Say("First pass at the wall, {0} of ground on a base {1} wide: sliding {2}, overturning {3}, resultant {4} from the middle of the base ({5} allowed), bearing {6} of {7}.",
			text.MM(s.Held), text.MM(s.Base), text.Plain(s.Sliding), text.Plain(s.Turning), text.MM(math.Abs(s.Eccentricity)),
			text.MM(s.Sixth), text.Megapascals(s.Bearing), text.Megapascals(s.Allowed))}
	if g.Rising.OfPosts {
		c.Field, c.HasMargin = practice.PracticePath+practice.RuleWallPostSpacing, false
		c.What = text.Say(d.on("First pass at the wall, {0} of ground between posts {1} apart: {2} push a post, {3} above the strip; it stands {4} deep in a hole {5} across.",
			"First pass at the wall, {0} of ground between posts {1} apart: {2} push a post, {3} above the floor of the cavity; it stands {4} deep in a hole {5} across."),
			text.MM(s.Held), text.MM(p.WallPostSpacing), text.Arg{Value: s.PostForce, Dimension: text.Force},
			text.MM(s.PostMoment/max(1, s.PostForce)), text.MM(s.PostDepth), text.MM(p.WallHole))
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
		HasMargin: true, Margin: 1 - s.StemUse, MarginOf: text.Use,
		What: text.Say("The wall's stem takes {0} of what it may with bars of {1} every {2}, {3} in from its face.",
			text.Used(s.StemUse), text.MM(p.StemBar), text.MM(p.StemSpacing), text.MM(p.StemDepth)),
		Consequence: text.Say("A first pass is no design: local codes and engineers decide.")}
	if r.OfPosts {
		c.Field = practice.PracticePath + practice.RuleWallPostSpacing
		c.Margin = 1 - max(s.PostUse, s.SleeperUse)
		c.What = text.Say("A post of the wall is bent by {0}, {1} of what it may; the lowest sleeper takes {2} of what it may.",
			text.NewtonMillimetres(s.PostBending), text.Used(s.PostUse), text.Used(s.SleeperUse))
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
