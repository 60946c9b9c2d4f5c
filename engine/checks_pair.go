package engine

import (
	"math"
	"slices"
	"strings"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkPair says what was found on either side, with the side in words of the place, and
// looks at where the leaves meet.
func (d *Sketch) checkPair() {
	whole, sides := &d.plan, d.pair.sides()
	var found findings
	d.checkMeeting(&found)
	for i := range sides {
		side := &sides[i]
		for k := range side.Checks {
			c := &side.Checks[k]
			minimum := c.Question == plan.QuestionMinimum
			once := minimum || slices.Contains(ofTheDrive, c.Question) && alike(sides[1-i].Checks, c)
			if c.Question == plan.QuestionSupply || once && side.Latch {
				continue // of the whole, or said already
			}
			found.checks = append(found.checks, *c)
			placeCheck(&found.checks[len(found.checks)-1], side, whole, once)
		}
		for k := range side.Quiet {
			found.silent = append(found.silent, side.Quiet[k])
			a := &found.silent[len(found.silent)-1]
			a.Field = side.Path(a.Field)
		}
		for k := range side.Cautions {
			found.cautionAt(&side.Cautions[k], whereIn(whole, side, side.Cautions[k].Where))
		}
	}
	all := &designed{Designed: &stages.Designed{Practice: &d.practice, Plan: whole}}
	all.checkNetwork(&found)
	all.checkSupply(&found)
	all.checkRefused(&found)
	if d.doubtful {
		found.doubt()
	}
	whole.Checks, whole.Quiet, whole.Cautions = found.checks, found.silent, found.cautions
}

// ofTheDrive are the questions about what both leaves share: what is found alike on either
// side is said once.
var ofTheDrive = []plan.Question{plan.QuestionDriveSurface, plan.QuestionDrivePaverBase, plan.QuestionDriveConcreteSound,
	plan.QuestionStrengthStrip, plan.QuestionStrengthShear, plan.QuestionStrengthSteel, plan.QuestionStrengthCover,
	plan.QuestionStrengthJoints, plan.QuestionLevelsNone, plan.QuestionLevelsBroken, plan.QuestionLevelsArithmetic,
	plan.QuestionLevelsOpen, plan.QuestionLevelsTwice, plan.QuestionLevelsClosure, plan.QuestionLevelsUnchecked}

// alike reports whether checks say the same words to the same question.
func alike(checks []plan.Check, c *plan.Check) bool {
	for i := range checks {
		if q := &checks[i]; q.Question == c.Question && q.Severity == c.Severity && q.What.String() == c.What.String() {
			return true
		}
	}
	return false
}

// placeCheck tells a side's check in the whole plan, with its side unless both say it.
func placeCheck(c *plan.Check, side *plan.Side, whole *plan.Plan, once bool) {
	if !once {
		c.What = side.Said(c.What)
	}
	c.At = placeIn(side, c.At)
	c.Field = side.Path(c.Field)
	c.Where = whereIn(whole, side, c.Where)
	c.Remedies = slices.Clone(c.Remedies)
	for k := range c.Remedies {
		r := &c.Remedies[k]
		r.Changes = slices.Clone(r.Changes)
		for n := range r.Changes {
			r.Changes[n].Path = side.Path(r.Changes[n].Path)
		}
	}
}

// cautionAt puts a caution at parts, or adds them to it where it stands already.
func (f *findings) cautionAt(c *plan.Caution, where []string) {
	for i := range f.cautions {
		if q := &f.cautions[i]; q.Code == c.Code {
			q.Where = append(q.Where, where...)
			return
		}
	}
	f.caution(plan.Caution{Code: c.Code, Words: c.Words, Where: where})
}

// whereIn are the parts of a side among those of the whole.
func whereIn(whole *plan.Plan, side *plan.Side, ids []string) []string {
	out := make([]string, 0, len(ids))
	for _, id := range ids {
		if _, strip := strings.CutPrefix(id, plan.PartDriveStrip.ID(1)); strip {
			if !slices.Contains(out, plan.PartDriveStrip.ID(1)) {
				out = append(out, plan.PartDriveStrip.ID(1))
			}
			continue
		}
		out = append(out, stages.SideID(id, side.Latch))
	}
	return whole.Pieces(out)
}

// checkMeeting looks at the place where the leaves meet: far enough from both posts and
// from the edges of the drive, which leaf shuts first, the catch over the gap, the stop
// under a wheel and under what the leaves push it with.
func (d *Sketch) checkMeeting(found *findings) {
	q, p, m := d.pair, &d.practice, &d.plan.Pair.Meeting
	const rule = practice.PracticePath
	left(ask(found, m, plan.QuestionPairMeets, survey.PairMeets,
		text.Say("The leaves meet {0} from the latch post and {1} from the run-back post.", text.MM(m.At), text.MM(q.opening-m.At))),
		min(m.At, q.opening-m.At)-p.PairLeast, text.Length)

	// Edges that reach beyond the meeting place: a side's concrete would begin on the other.
	inner := min(q.run.innerEdge(), q.latch.innerEdge())
	if inner >= 0 {
		found.quietly(plan.QuestionPairEdge, survey.PairMeets, inner, text.Length)
	} else {
		c := ask(found, m, plan.QuestionPairEdge, survey.PairMeets,
			text.Say("An edge of the drive reaches {0} beyond where the leaves meet.", text.MM(-inner)))
		left(c, inner, text.Length)
		c.Severity = plan.Stop
		c.Consequence = text.Say("The concrete of one side would begin on the other, and quantities would count it twice.")
	}

	what := "The leaf of the run-back side shuts first and rests against the stop; its catch takes the edge of the other."
	if m.First == survey.FirstLatch {
		what = "The leaf of the latch side shuts first and rests against the stop; its catch takes the edge of the other."
	}
	c := ask(found, m, plan.QuestionPairFirst, survey.PairFirst, text.Say(what))
	if !q.firstSaid {
		c.Severity = plan.Warning
		c.What = text.Say("Nobody said which leaf shuts first: that of the run-back side is taken.")
		c.Consequence = text.Say("The wrong order shuts the catch behind the other leaf, and the motors push it apart.")
		c.Remedies = mend(text.Say("Let the leaf of the run-back side shut first."),
			plan.Change{Path: survey.PairFirst, Words: survey.FirstRunBack})
	}

	over := m.Catch - m.Gap
	c = ask(found, m, plan.QuestionPairCatch, rule+practice.RulePairCatch,
		text.Say("The catch of the leaf that shuts first takes the other by {0}.", text.MM(over)))
	left(c, over-p.PairGrip, text.Length)
	if over < p.PairGrip-plan.Tolerance {
		c.Severity = plan.Stop
		c.What = text.Say("The catch reaches {0} and the gap between the leaves is {1}: it takes less than {2} of the other leaf.",
			text.MM(m.Catch), text.MM(m.Gap), text.MM(p.PairGrip))
		c.Consequence = text.Say("Nothing ties the leaves together, and each swings in the wind by itself.")
		c.Remedies = mend(text.Say("Make the catch reach {0}.", text.MM(m.Gap+p.PairGrip)),
			plan.Change{Path: c.Field, Value: m.Gap + p.PairGrip})
	}

	hardest := text.Newtons(m.Hardest())
	if m.Thrusts != [2]float64{} {
		ask(found, m, plan.QuestionPairThrust, rule+practice.RuleMotorThrust,
			text.Say("The motors go on pushing with {0} and {1} against each other; the harder impact on the stop is {2}.",
				text.Newtons(m.Thrusts[0]), text.Newtons(m.Thrusts[1]), hardest))
	}
	d.checkCable(found, m)
	if m.Foot == 0 {
		c = ask(found, m, plan.QuestionPairStop, survey.DriveConcreteSound,
			text.Say("The stop is bolted to the drive's own concrete and takes {0}: how thick that is was not looked at.", hardest))
		c.Severity, c.Consequence = plan.Warning, text.Say("Drill one hole and measure before it is bolted down.")
		return
	}
	if m.Holds == 0 {
		c = ask(found, m, plan.QuestionPairStop, survey.GroundClass,
			text.Say("The stop in the drive takes {0}: whether the ground holds the footing under it was not looked at.", hardest))
		c.Severity = plan.Warning
		return
	}
	c = ask(found, m, plan.QuestionPairStop, rule+practice.RulePairFootDepth,
		text.Say("The stop in the drive takes {0} of what its footing and the strip hold, {1} of {2}.", text.Used(m.Use), hardest,
			text.Newtons(m.Holds)))
	if left(c, 1-m.Use, text.Use); m.Use > 1 {
		c.Severity, c.Consequence = plan.Warning, text.Say("The stop moves, and the leaves no longer meet where their catch is.")
		c.Remedies = d.largerFoot(practice.RulePairFootDepth, "Take the footing under the stop in the drive {0} deep.")
	}
	c = ask(found, m, plan.QuestionPairWheel, rule+practice.RulePairFoot,
		text.Say("A wheel of {0} that rolls over the stop presses the ground under its footing with {1}, {2} of what may be presumed.",
			text.Newtons(m.Wheel), text.Pascals(m.Bearing*plan.Megapascal), text.Used(m.BearingUse)))
	if left(c, 1-m.BearingUse, text.Use); m.BearingUse > 1 {
		c.Severity, c.Consequence = plan.Warning, text.Say("The footing sinks under the wheels and takes the track with it.")
		c.Remedies = d.largerFoot(practice.RulePairFoot, "Make the footing under the stop in the drive {0} each way.")
	}
}

// checkCable says what joins the motors: by it the one follows the other.
func (d *Sketch) checkCable(found *findings, m *plan.Meeting) {
	whole := &d.plan
	if !m.Cable {
		found.quiet(plan.QuestionPairCable, survey.GateMotor)
		return
	}
	cable := &whole.Conduits[len(whole.Conduits)-1]
	what := text.Say("A conduit of {0} goes under the drive strip from motor to motor, before the pour: by its cable the motor of the leaf that shuts second follows the other.",
		text.MM(cable.Length))
	field := string(survey.GateMotor)
	if cable.Deep > 0 {
		field = practice.PracticePath + practice.RulePairCableDepth
		what = text.Say("A conduit of {0} goes from motor to motor, bored under the drive {1} deep: by its cable the motor of the leaf that shuts second follows the other.",
			text.MM(cable.Length), text.MM(cable.Deep))
		if cable.Dig > 0 {
			what = text.Say("A conduit of {0} goes from motor to motor, in a trench across the drive {1} deep: by its cable the motor of the leaf that shuts second follows the other. {2} is dug for it.",
				text.MM(cable.Length), text.MM(cable.Deep), text.CubicMM(cable.Dig))
		}
	}
	c := ask(found, m, plan.QuestionPairCable, field, what)
	c.Severity, c.At, c.Where = plan.Warning, cable.Line[1], []string{plan.PartPad.ID(1), stages.SideID(plan.PartPad.ID(1), true)}
	c.Consequence = text.Say("Have buried services located across the whole drive first. What goes into the conduit, and how deep it must lie, a licensed electrician says.")
}

// ask adds a question about the stop in the drive with the answer that all is in order.
//
//go:noinline
func ask(found *findings, m *plan.Meeting, question plan.Question, field string, what text.Text) *plan.Check {
	found.add(plan.Check{Question: question, Severity: plan.Sound, Field: field, Where: plan.PartIDs(plan.PartMeetingStop),
		At: geom.Point{X: m.At, Y: m.Offset}, What: what})
	return &found.checks[len(found.checks)-1]
}

// left is the margin of a check.
//
//go:noinline
func left(c *plan.Check, margin float64, of text.Dimension) {
	c.HasMargin, c.Margin, c.MarginOf = true, margin, of
}

// mend is the one remedy that makes one change.
//
//go:noinline
func mend(words text.Text, change plan.Change) []plan.Remedy {
	return []plan.Remedy{{Words: words, Changes: []plan.Change{change}}}
}

// innerEdge is how far from the meeting place a side's own edge of the drive stays, mm.
func (d *Sketch) innerEdge() float64 { return d.inputs.RunBackEdge.MinOver(0, d.layout.PadOut) }

// meetingOf is what the stop takes and holds as a practice makes its footing.
func (d *Sketch) meetingOf(p *practice.Practice) plan.Meeting {
	q, m := d.pair, d.plan.Pair.Meeting
	run, latch := q.run.pairSide(), q.latch.pairSide()
	parts, _ := stages.Meeting(run, latch, p, m.At)
	for o := range d.plan.Parts(plan.PartDriveStrip) {
		parts = append(parts, *o)
	}
	stages.Meet(run, latch, p, parts, &m)
	return m
}

// largerFoot is a footing under the stop as large, by one of its rules, as what the leaves
// push and a wheel on it ask; none where no size that is allowed does.
func (d *Sketch) largerFoot(rule, words string) []plan.Remedy {
	p := d.practice
	at := &p.PairFoot
	if rule == practice.RulePairFootDepth {
		at = &p.PairFootDepth
	}
	for most := practice.MostOf(rule); *at < most; {
		*at = min((math.Floor(*at/p.RemedyStep)+1)*p.RemedyStep, most)
		m := d.meetingOf(&p)
		use := m.BearingUse
		if rule == practice.RulePairFootDepth {
			use = m.Use
		}
		if m.Holds > 0 && use <= 1 {
			return []plan.Remedy{{Words: text.Say(words, text.MM(*at)),
				Changes: []plan.Change{{Path: practice.PracticePath + rule, Value: *at}}}}
		}
	}
	return nil
}
