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

// checkPair says what was found on either side, with the side in words of the place, and
// looks at where the leaves meet.
func (d *Sketch) checkPair() {
	whole, sides := &d.plan, d.pair.sides()
	var found findings
	d.checkMeeting(&found)
	for i := range sides {
		side := &sides[i]
		for _, c := range side.Checks {
			if c.Question == plan.QuestionSupply || c.Question == plan.QuestionMinimum && side.Latch {
				continue // of the whole, or said once
			}
			once := slices.Contains(ofTheDrive, c.Question)
			if once = once && alike(sides[0].Checks, &c) && alike(sides[1].Checks, &c); once && side.Latch {
				continue
			}
			if c.Question != plan.QuestionMinimum && !once {
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
			found.checks = append(found.checks, c)
		}
		for _, a := range side.Quiet {
			a.Field = side.Path(a.Field)
			found.silent = append(found.silent, a)
		}
		for _, c := range side.Cautions {
			c.Where = whereIn(whole, side, c.Where)
			same := slices.IndexFunc(found.cautions, func(q plan.Caution) bool { return q.Code == c.Code })
			if same < 0 {
				found.caution(c)
			} else {
				at := &found.cautions[same].Where
				*at = append(slices.Clip(*at), c.Where...)
			}
		}
	}
	all := &designed{Designed: &stages.Designed{Practice: &d.practice, Plan: whole}}
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
	return slices.ContainsFunc(checks, func(q plan.Check) bool {
		return q.Question == c.Question && q.Severity == c.Severity && q.What.String() == c.What.String()
	})
}

// whereIn are the parts of a side among those of the whole.
func whereIn(whole *plan.Plan, side *plan.Side, ids []string) []string {
	out := make([]string, 0, len(ids))
	for _, id := range ids {
		if o, ok := side.Outline(id); ok && o.Kind == plan.PartDriveStrip {
			for strip := range whole.Parts(plan.PartDriveStrip) {
				if !slices.Contains(out, strip.ID) {
					out = append(out, strip.ID)
				}
			}
			continue
		}
		out = append(out, stages.SideID(id, side.Latch))
	}
	return out
}

// checkMeeting looks at the place where the leaves meet: far enough from both posts and
// from the edges of the drive, which leaf shuts first, the catch over the gap, the stop
// under a wheel and under what the leaves push it with.
func (d *Sketch) checkMeeting(found *findings) {
	q, p, m := d.pair, &d.practice, &d.plan.Pair.Meeting
	at := geom.Point{X: m.At, Y: q.run.layout.TrackOffset}
	stop := plan.PartIDs(plan.PartMeetingStop)
	near := math.Min(m.At, q.opening-m.At) - p.PairLeast
	found.add(plan.Check{Question: plan.QuestionPairMeets, Severity: plan.Sound, Field: survey.PairMeets, Where: stop, At: at,
		HasMargin: true, Margin: near, MarginOf: text.Length,
		What: text.Say("The leaves meet {0} from the latch post and {1} from the run-back post.", text.MM(m.At), text.MM(q.opening-m.At))})

	// Edges that reach beyond the meeting place: a side's concrete would begin on the other.
	inner := math.Inf(1)
	for _, side := range [...]*Sketch{q.run, q.latch} {
		inner = math.Min(inner, side.inputs.RunBackEdge.MinOver(0, side.layout.PadOut))
	}
	edge := plan.Check{Question: plan.QuestionPairEdge, Severity: plan.Stop, Field: survey.PairMeets, Where: stop, At: at,
		HasMargin: true, Margin: inner, MarginOf: text.Length,
		What:        text.Say("An edge of the drive reaches {0} beyond where the leaves meet.", text.MM(-inner)),
		Consequence: text.Say("The concrete of one side would begin on the other, and quantities would count it twice.")}
	if inner >= 0 {
		found.quietly(edge.Question, edge.Field, inner, text.Length)
	} else {
		found.add(edge)
	}

	first := plan.Check{Question: plan.QuestionPairFirst, Severity: plan.Sound, Field: survey.PairFirst, Where: stop, At: at,
		What: text.Say("The leaf of the run-back side shuts first and rests against the stop; its catch takes the edge of the other.")}
	if m.First == survey.FirstLatch {
		first.What = text.Say("The leaf of the latch side shuts first and rests against the stop; its catch takes the edge of the other.")
	}
	if !q.firstSaid {
		first.Severity = plan.Warning
		first.What = text.Say("Nobody said which leaf shuts first: that of the run-back side is taken.")
		first.Consequence = text.Say("The wrong order shuts the catch behind the other leaf, and the motors push it apart.")
		first.Remedies = []plan.Remedy{{Words: text.Say("Let the leaf of the run-back side shut first."),
			Changes: []plan.Change{{Path: survey.PairFirst, Words: survey.FirstRunBack}}}}
	}
	found.add(first)

	over := m.Catch - m.Gap
	catch := plan.Check{Question: plan.QuestionPairCatch, Severity: plan.Sound, Field: practice.PracticePath + practice.RulePairCatch,
		Where: stop, At: at, HasMargin: true, Margin: over - p.PairGrip, MarginOf: text.Length,
		What: text.Say("The catch of the leaf that shuts first takes the other by {0}.", text.MM(over))}
	if over < p.PairGrip-plan.Tolerance {
		catch.Severity = plan.Stop
		catch.What = text.Say("The catch reaches {0} and the gap between the leaves is {1}: it takes less than {2} of the other leaf.",
			text.MM(m.Catch), text.MM(m.Gap), text.MM(p.PairGrip))
		catch.Consequence = text.Say("Nothing ties the leaves together, and each swings in the wind by itself.")
		catch.Remedies = []plan.Remedy{{Words: text.Say("Make the catch reach {0}.", text.MM(m.Gap+p.PairGrip)),
			Changes: []plan.Change{{Path: catch.Field, Value: m.Gap + p.PairGrip}}}}
	}
	found.add(catch)

	push := text.Say("The motors go on pushing with {0} and {1} against each other; the harder impact on the stop is {2}.",
		text.Newtons(m.Thrusts[0]), text.Newtons(m.Thrusts[1]), text.Newtons(m.Hardest()))
	if m.Thrusts != [2]float64{} {
		found.add(plan.Check{Question: plan.QuestionPairThrust, Severity: plan.Sound, Field: practice.PracticePath + practice.RuleMotorThrust,
			Where: stop, At: at, What: push})
	}
	holds := plan.Check{Question: plan.QuestionPairStop, Severity: plan.Sound, Field: practice.PracticePath + practice.RulePairFootDepth,
		Where: stop, At: at}
	switch {
	case m.Foot == 0:
		holds.Field = survey.DriveConcreteSound
		holds.Severity = plan.Warning
		holds.What = text.Say("The stop is bolted to the drive's own concrete and takes {0}: how thick that is was not looked at.",
			text.Newtons(m.Hardest()))
		holds.Consequence = text.Say("Drill one hole and measure before it is bolted down.")
	case m.Holds == 0:
		holds.Severity, holds.Field = plan.Warning, survey.GroundClass
		holds.What = push
		holds.Consequence = text.Say("Whether the ground holds the footing under it was not looked at.")
	default:
		holds.HasMargin, holds.Margin, holds.MarginOf = true, 1-m.Use, text.Use
		holds.What = text.Say("The stop in the drive takes {0} of what its footing and the strip hold, {1} of {2}.", text.Used(m.Use),
			text.Newtons(m.Hardest()), text.Newtons(m.Holds))
		if m.Use > 1 {
			holds.Severity = plan.Warning
			holds.Consequence = text.Say("The stop moves, and the leaves no longer meet where their catch is.")
			holds.Remedies = d.deeperStop()
		}
	}
	found.add(holds)
	if m.Foot == 0 || m.Holds == 0 {
		return
	}
	wheel := plan.Check{Question: plan.QuestionPairWheel, Severity: plan.Sound, Field: practice.PracticePath + practice.RulePairFoot,
		Where: plan.PartIDs(plan.PartMeetingFooting), At: at, HasMargin: true, Margin: 1 - m.BearingUse, MarginOf: text.Use,
		What: text.Say("A wheel of {0} that rolls over the stop presses the ground under its footing with {1}, {2} of what may be presumed.",
			text.Newtons(m.Wheel), text.Pascals(m.Bearing*plan.Megapascal), text.Used(m.BearingUse))}
	if m.BearingUse > 1 {
		wheel.Severity = plan.Warning
		wheel.Consequence = text.Say("The footing sinks under the wheels and takes the track with it.")
		wheel.Remedies = d.widerStop()
	}
	found.add(wheel)
}

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

// deeperStop is a footing deep enough for what the leaves push the stop with, widerStop one
// wide enough for a wheel on it; none where no size that is allowed does.
func (d *Sketch) deeperStop() []plan.Remedy {
	return d.largerFoot(practice.RulePairFootDepth, "Take the footing under the stop in the drive {0} deep.",
		func(p *practice.Practice) *float64 { return &p.PairFootDepth }, func(m *plan.Meeting) float64 { return m.Use })
}

func (d *Sketch) widerStop() []plan.Remedy {
	return d.largerFoot(practice.RulePairFoot, "Make the footing under the stop in the drive {0} each way.",
		func(p *practice.Practice) *float64 { return &p.PairFoot }, func(m *plan.Meeting) float64 { return m.BearingUse })
}

func (d *Sketch) largerFoot(rule, words string, size func(*practice.Practice) *float64,
	use func(*plan.Meeting) float64) []plan.Remedy {
	p := d.practice
	at := size(&p)
	for most := practice.MostOf(rule); *at < most; {
		*at = math.Min((math.Floor(*at/p.RemedyStep)+1)*p.RemedyStep, most)
		if m := d.meetingOf(&p); m.Holds > 0 && use(&m) <= 1 {
			return []plan.Remedy{{Words: text.Say(words, text.MM(*at)),
				Changes: []plan.Change{{Path: practice.PracticePath + rule, Value: *at}}}}
		}
	}
	return nil
}
