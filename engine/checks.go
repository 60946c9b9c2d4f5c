package engine

import (
	"math"

	"pegpour/engine/geom"
)

// findings are what checks say of a design. Every question that is asked is
// answered: by add where the answer is worth saying, by quiet or quietly where
// it is not.
type findings struct {
	checks   []Check
	silent   []Answer
	cautions []Caution
}

func (f *findings) add(c Check) {
	if c.Code == "" {
		c.Code = string(c.Question)
	}
	f.checks = append(f.checks, c)
}

// quiet answers that all is in order, with nothing that could be measured.
func (f *findings) quiet(q Question, field string) {
	f.silent = append(f.silent, Answer{Question: q, Field: field, Severity: Sound})
}

// quietly answers that all is in order, and by how much.
func (f *findings) quietly(q Question, field string, margin float64, of Dimension) {
	f.silent = append(f.silent, Answer{q, field, Sound, margin, of, true})
}

func (f *findings) caution(c Caution) { f.cautions = append(f.cautions, c) }

// check looks at the whole layout. Families of checks stand in files of their
// own; each adds what it found, in order or not.
func (d *designed) check() findings {
	// Room for what a site of this ground usually has, so that the lists need
	// not be moved while they grow.
	checks, quiet := 16, 20
	if d.plan.Ground != nil {
		checks, quiet = 24, 40
	}
	found := findings{checks: make([]Check, 0, checks), silent: make([]Answer, 0, quiet), cautions: make([]Caution, 0, 10)}
	d.checkNetwork(&found)
	d.checkRoom(&found)
	d.checkMotion(&found)
	d.checkPanels(&found)
	d.checkLeaf(&found)
	d.checkFooting(&found)
	d.checkObstructions(&found)
	d.checkGround(&found)
	d.checkLevels(&found)
	d.checkStrength(&found)
	d.checkSurface(&found)
	d.checkPower(&found)
	d.checkMinima(&found)
	d.checkSupply(&found)
	d.checkRefused(&found)
	d.caution(&found)
	return found
}

// ruleMost is the upper end of a rule's range: no remedy goes beyond it.
func ruleMost(key string) float64 {
	r, _ := RuleByKey(key)
	return r.High
}

// checkRoom compares what the layout takes with the room there is.
func (d *designed) checkRoom(found *findings) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	need := roomNeeded(in, p, &plan.Leaf)
	c := Check{Question: QuestionRoomAlong, Field: RunBackRoom, Where: PartIDs(PartLeafOpen), At: geom.Point{X: plan.Leaf.RearOpen, Y: l.trackOffset},
		Consequence: say("The leaf hits what stands there before it is open.")}
	switch {
	case !in.roomKnown:
		c.Severity = Warning
		c.What = say("The room behind the run-back post was not measured: this leaf needs {0}.", mm(need))
	case in.room-need < -tolerance:
		c.Severity, c.HasMargin, c.Margin, c.MarginOf = Stop, true, in.room-need, Length
		c.What = say("The open leaf needs {0} behind the run-back post and there is {1}: {2} short.", mm(need), mm(in.room), mm(need-in.room))
		if over := math.Max(plan.Leaf.Tail, plan.Leaf.RailOver); over > 0 && l.hasGuide && in.runBackEdge.At(0) > in.width {
			c.Remedies = append(c.Remedies, Remedy{Words: say("Hold the leaf by a bracket on the gate post instead of a guide post."), Changes: []Change{{Path: GateGuide, Words: GuideOnPost}}})
		}
		if in.hardStop && in.room-need+p.StopAllowance >= 0 {
			c.Remedies = append(c.Remedies, Remedy{Words: say("Let the end of the run-back itself carry the stop, and leave {0} out.", mm(p.StopAllowance)), Changes: []Change{{Path: PracticePath + RuleLeafStopAllowance, Value: 0}}})
		}
		c.Remedies = append(c.Remedies, d.stackingRemedy()...)
		c.Remedies = append(c.Remedies, Remedy{Words: say("Run the gate to the other side, or make the room: {0} are missing.", mm(need-in.room))})
	default:
		c.Severity, c.HasMargin, c.Margin, c.MarginOf = Sound, true, in.room-need, Length
		c.What = say("The open leaf needs {0} behind the run-back post and there is {1}.", mm(need), mm(in.room))
	}
	found.add(c)

	strip := l.stripEnd - in.width
	switch {
	case !in.roomKnown || in.room-need < -tolerance:
	case strip-in.room <= tolerance:
		found.quietly(QuestionRoomStrip, RunBackRoom, plan.Site.Room-l.stripEnd, Length)
	default:
		found.add(Check{Question: QuestionRoomStrip, Severity: Warning, Field: RunBackRoom, Where: PartIDs(PartRunBackStrip), At: geom.Point{X: l.stripEnd, Y: l.stripWidth / 2},
			What:        say("The run-back strip wants {0} and there is {1}: pour it to the end of the room.", mm(strip), mm(in.room)),
			Consequence: say("The leaf fits, but the hard stop has less concrete behind it."),
			HasMargin:   true, Margin: in.room - strip, MarginOf: Length})
	}
	if !l.hasPad {
		return
	}
	out := Check{Question: QuestionRoomPad, Field: RunBackDepth, Where: PartIDs(PartPad), At: geom.Point{X: (in.runBackEdge.At(0) + l.padFar) / 2, Y: l.padOut}}
	switch {
	case !in.depthKnown:
		out.Severity = Warning
		out.What = say("The free depth out from the fence was not measured: the motor pad needs {0}.", mm(l.padOut))
	case in.depth-l.padOut < -tolerance:
		out.Severity, out.HasMargin, out.Margin, out.MarginOf = Stop, true, in.depth-l.padOut, Length
		out.What = say("The motor pad needs {0} out from the fence and there is {1}: {2} short.", mm(l.padOut), mm(in.depth), mm(l.padOut-in.depth))
		out.Consequence = say("The motor does not stand where the rack passes.")
		if in.guide == GuideBasePlate {
			out.Remedies = append(out.Remedies, Remedy{Words: say("Cast the guide post in: it needs less pad than a base plate."), Changes: []Change{{Path: GateGuide, Words: GuideCastIn}}})
		}
		if in.cladding > 0 {
			out.Remedies = append(out.Remedies, Remedy{Words: say("Leave the cladding flush in the frame: everything moves {0} towards the fence.", mm(in.cladding)), Changes: []Change{{Path: GateCladding, Value: 0}}})
		}
	default:
		out.Severity, out.HasMargin, out.Margin, out.MarginOf = Sound, true, in.depth-l.padOut, Length
		out.What = say("The motor pad needs {0} out from the fence and there is {1}.", mm(l.padOut), mm(in.depth))
	}
	found.add(out)
	switch {
	case !in.roomKnown:
	case l.padFar-in.width-in.room <= tolerance:
		if !in.padOnSteel() {
			found.quietly(QuestionRoomPadAlong, RunBackRoom, plan.Site.Room-l.padFar, Length)
		}
	default:
		found.add(Check{Question: QuestionRoomPadAlong, Severity: Stop, Field: RunBackRoom, Where: PartIDs(PartPad), At: geom.Point{X: l.padFar, Y: l.padOut / 2},
			What:      say("The motor pad reaches {0} behind the run-back post and there is {1}: {2} short.", mm(l.padFar-in.width), mm(in.room), mm(l.padFar-in.width-in.room)),
			HasMargin: true, Margin: in.room - (l.padFar - in.width), MarginOf: Length,
			Consequence: say("The pad cannot be poured.")})
	}
}

// checkMotion says what the place of guide post and motor does to the opening.
func (d *designed) checkMotion(found *findings) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	leaf := &plan.Leaf
	before := func(q Question, what string, part PartKind, x float64) {
		if in.width-x <= tolerance {
			found.quietly(q, DriveRunBackEdgeAngle, x-in.width, Length)
			return
		}
		found.add(Check{Question: q, Severity: Warning, Field: DriveRunBackEdgeAngle, Where: PartIDs(part), At: geom.Point{X: x, Y: l.guide.y1},
			What:        say(what, mm(in.width-x), mm(in.width), mm(leaf.ClearStraight), mm(leaf.ClearAlong)),
			Consequence: say("It stands off the drive, but a wide load that cuts the corner meets it."),
			HasMargin:   true, Margin: x - in.width, MarginOf: Length,
			Remedies: []Remedy{{Words: say("Set everything {0} further along.", mm(math.Ceil(in.width-x))), Changes: []Change{{Path: PracticePath + RulePlaceEdgeGap, Value: p.EdgeGap + math.Ceil(in.width-x)}}}}})
	}
	if l.hasGuide {
		before(QuestionOpeningGuide, "The guide post stands {0} before the run-back post: straight in, the clear opening falls from {1} to {2}; along the drive it is {3}.", PartGuidePost, l.guide.x1)
	}
	if l.hasMotor {
		before(QuestionOpeningMotor, "The motor stands {0} before the run-back post: straight in, the clear opening falls from {1} to {2}; along the drive it is {3}.", PartMotor, l.motor.x1)
	}
	if leaf.Lost > tolerance {
		sets := math.Ceil(leaf.Lost)
		found.add(Check{Question: QuestionMotionLost, Severity: Warning, Field: DriveRunBackEdgeAlong, Where: PartIDs(PartLeafOpen), At: geom.Point{X: leaf.OpenAt, Y: l.trackOffset},
			What:        say("The leaf cannot clear the opening: pinion or rollers reach its front end while {0} of it still stand in the opening.", mm(leaf.Lost)),
			Consequence: say("Rack or guide rail would run out, and the leaf would drop out of what holds it."),
			HasMargin:   true, Margin: -leaf.Lost, MarginOf: Length,
			Remedies: []Remedy{{Words: say("Set guide post and motor {0} further along: the leaf then clears.", mm(sets)), Changes: []Change{{Path: PracticePath + RulePlaceEdgeGap, Value: p.EdgeGap + sets}}}}})
	} else {
		end := leaf.RollersAt - p.RollerSpacing/2
		if l.hasMotor {
			end = math.Min(end, leaf.PinionAt)
		}
		found.quietly(QuestionMotionLost, DriveRunBackEdgeAlong, end-leaf.OpenAt-leaf.Lost-p.EngagementMargin, Length)
		found.add(Check{Question: QuestionMotionClears, Severity: Sound, Where: PartIDs(PartLeafOpen), At: geom.Point{X: leaf.OpenAt, Y: l.trackOffset},
			What: say("Rack and guide rail reach from shut to open, and the leaf clears the opening.")})
	}
	if l.hasGuide {
		gap := l.guide.y1 - l.leafBack
		c := Check{Question: QuestionMotionPass, Severity: Sound, Where: PartIDs(PartGuidePost), At: geom.Point{X: l.guide.x1, Y: l.guide.y1}, HasMargin: true, Margin: gap, MarginOf: Length,
			What: say("The leaf passes the guide post with {0} to spare.", mm(gap))}
		if gap <= tolerance {
			c.Severity = Stop
			c.What = say("The leaf does not pass the guide post: {0} too little.", mm(-gap))
			c.Field = PracticePath + RuleGuideSetback
			c.Remedies = []Remedy{{Words: say("Set the guide post {0} further back.", mm(math.Ceil(p.PassGuide-gap))), Changes: []Change{{Path: PracticePath + RuleGuideSetback, Value: p.GuideSetback + math.Ceil(p.PassGuide-gap)}}}}
		}
		found.add(c)
	}
	if front := l.leafFront; front > tolerance {
		found.quietly(QuestionMotionFence, PracticePath+RuleTrackOffset, front, Length)
	} else {
		found.add(Check{Question: QuestionMotionFence, Severity: Stop, Where: PartIDs(PartLeafOpen), At: geom.Point{X: in.width, Y: front}, Field: PracticePath + RuleTrackOffset,
			What: say("The leaf rubs the fence: its front stands {0} from the back of the posts.", mm(front)), HasMargin: true, Margin: front, MarginOf: Length,
			Remedies: []Remedy{{Words: say("Set the track further out from the posts."), Changes: []Change{{Path: PracticePath + RuleTrackOffset, Value: p.TrackOffset + math.Ceil(p.PassFence-front)}}}}})
	}
	if over := l.trackOffset + l.shift + p.TrackWidth/2 - l.stripWidth; over <= tolerance {
		if plan.Footing == nil {
			found.quietly(QuestionMotionTrack, GateCladding, l.stripWidth-(l.trackOffset+l.shift)-p.TrackWidth/2, Length)
		}
	} else {
		found.add(Check{Question: QuestionMotionTrack, Severity: Stop, Where: PartIDs(PartRunBackStrip), At: geom.Point{X: in.width, Y: l.trackOffset}, Field: GateCladding,
			What: say("The track hangs {0} over the side of the strip.", mm(over)), HasMargin: true, Margin: -over, MarginOf: Length,
			Remedies: []Remedy{{Words: say("Make the strip {0} wider.", mm(math.Ceil(over+p.TrackWidth/2))), Changes: []Change{{Path: PracticePath + RuleStripWidth, Value: p.StripWidth + math.Ceil(over+p.TrackWidth/2)}}}}})
	}
	if in.hardStop {
		found.quiet(QuestionMotionStop, GateHardStop)
	} else {
		found.add(Check{Question: QuestionMotionStop, Severity: Warning, Field: GateHardStop, Where: PartIDs(PartLeafOpen), At: geom.Point{X: leaf.RearOpen, Y: l.trackOffset},
			What:        say("No hard stop at the end of the run-back."),
			Consequence: say("A leaf pushed too far leaves its rollers and falls. People have been killed by falling gates."),
			Remedies:    []Remedy{{Words: say("Fit a hard stop."), Changes: []Change{{Path: GateHardStop, Words: Yes}}}}})
	}
}
