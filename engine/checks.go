package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// designed is a design as far as its stages have come, for those that only read
// it: figures and checks.
type designed struct {
	*stages.Designed
	searches searching
	ends     []int // of each family among the checks
}

// searching says for which checks remedies are found by search, which costs more than
// all the rest of a design.
type searching struct {
	of       searchesFor
	question plan.Question // of the one that is searched for
	field    string
	// left are the Stops whose remedies were not searched for.
	left *[]plan.Question
}

type searchesFor int

const (
	searchAll searchesFor = iota
	searchStops
	searchOne
	searchNone
)

// search reports whether remedies of a check are searched for.
func (s *searching) search(c *plan.Check) bool {
	switch {
	case s.of == searchAll, s.of == searchStops && c.Severity == plan.Stop,
		s.of == searchOne && c.Question == s.question && c.Field == s.field:
		return true
	case c.Severity == plan.Stop && s.left != nil:
		*s.left = append(*s.left, c.Question)
	}
	return false
}

// findings are what checks say of a design. Every question that is asked is
// answered: by add where the answer is worth saying, by quiet or quietly where
// it is not.
type findings struct {
	checks   []plan.Check
	silent   []plan.Answer
	cautions []plan.Caution
}

func (f *findings) add(c plan.Check) {
	if c.Code == "" {
		c.Code = string(c.Question)
	}
	f.checks = append(f.checks, c)
}

// quiet answers that all is in order, with nothing that could be measured.
func (f *findings) quiet(q plan.Question, field string) {
	f.silent = append(f.silent, plan.Answer{Question: q, Field: field, Severity: plan.Sound})
}

// quietly answers that all is in order, and by how much.
func (f *findings) quietly(q plan.Question, field string, margin float64, of text.Dimension) {
	f.silent = append(f.silent,
		plan.Answer{Question: q, Field: field, Severity: plan.Sound, Margin: margin, MarginOf: of, HasMargin: true})
}

func (f *findings) caution(c plan.Caution) { f.cautions = append(f.cautions, c) }

// families are the checks of a layout, each family in a file of its own: it adds what it
// found, in order or not, and looks at nothing that another one found.
var families = [...]func(*designed, *findings){
	(*designed).checkNetwork,
	(*designed).checkRoom,
	(*designed).checkMotion,
	(*designed).checkPanels,
	(*designed).checkLeaf,
	(*designed).checkHanging,
	(*designed).checkFooting,
	(*designed).checkObstructions,
	(*designed).checkGround,
	(*designed).checkFrost,
	(*designed).checkExpansive,
	(*designed).checkDig,
	(*designed).checkLevels,
	(*designed).checkStrength,
	(*designed).checkSurface,
	(*designed).checkPower,
	(*designed).checkMinima,
	(*designed).checkSupply,
	(*designed).checkRefused,
	(*designed).caution,
}

// check looks at the whole layout.
func (d *designed) check() findings {
	// Room for what a site of this ground usually has, so that the lists need
	// not be moved while they grow.
	checks, quiet := 30, 28
	if d.Plan.Ground != nil {
		checks, quiet = 35, 48
	}
	found := findings{checks: make([]plan.Check, 0, checks), silent: make([]plan.Answer, 0, quiet),
		cautions: make([]plan.Caution, 0, 10)}
	d.ends = make([]int, len(families))
	for i, look := range families {
		look(d, &found)
		d.ends[i] = len(found.checks)
	}
	for i := range found.checks {
		found.checks[i].Where = d.Plan.Pieces(found.checks[i].Where)
	}
	for i := range found.cautions {
		found.cautions[i].Where = d.Plan.Pieces(found.cautions[i].Where)
	}
	return found
}

// again looks once more at the family of a check, for remedies that were not searched for
// the first time, and returns the check.
func (d *designed) again(check int) *plan.Check {
	family, start := 0, 0
	for d.ends[family] <= check {
		start = d.ends[family]
		family++
	}
	var found findings
	families[family](d, &found)
	return &found.checks[check-start]
}

// checkRoom compares what the layout takes with the room there is.
func (d *designed) checkRoom(found *findings) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	need := roomNeeded(in, p, &made.Leaf)
	c := plan.Check{Question: plan.QuestionRoomAlong, Field: survey.RunBackRoom, Where: plan.PartIDs(plan.PartLeafOpen),
		At:          geom.Point{X: made.Leaf.RearOpen, Y: l.TrackOffset},
		Consequence: text.Say("The leaf hits what stands there before it is open.")}
	switch {
	case !in.RoomKnown:
		c.Severity = plan.Warning
		c.What = text.Say("The room behind the run-back post was not measured: this leaf needs {0}.", text.MM(need))
	case in.Room-need < -plan.Tolerance:
		c.Severity, c.HasMargin, c.Margin, c.MarginOf = plan.Stop, true, in.Room-need, text.Length
		c.What = text.Say("The open leaf needs {0} behind the run-back post and there is {1}: {2} short.", text.MM(need),
			text.MM(in.Room), text.MM(need-in.Room))
		if over := max(made.Leaf.Tail, made.Leaf.RailOver); over > 0 && l.HasGuide && in.RunBackEdge.At(0) > in.Width {
			c.Remedies = append(c.Remedies,
				plan.Remedy{Words: text.Say("Hold the leaf by a bracket on the gate post instead of a guide post."),
					Changes: []plan.Change{{Path: survey.GateGuide, Words: survey.GuideOnPost}}})
		}
		if in.HardStop && !in.Hangs && in.Room-need+p.StopAllowance >= 0 {
			c.Remedies = append(c.Remedies,
				plan.Remedy{Words: text.Say("Let the end of the run-back itself carry the stop, and leave {0} out.",
					text.MM(p.StopAllowance)),
					Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleLeafStopAllowance, Value: 0}}})
		}
		if in.Hangs {
			c.Remedies = append(c.Remedies, plan.Remedy{Words: text.Say("Carry the leaf on a track across the drive: it then needs no counter part."),
				Changes: []plan.Change{{Path: survey.GateCarried, Words: survey.CarriedTrack}}})
		} else {
			c.Remedies = append(c.Remedies, d.stackingRemedy()...)
		}
		c.Remedies = append(c.Remedies,
			plan.Remedy{Words: text.Say("Run the gate to the other side, or make the room: {0} are missing.",
				text.MM(need-in.Room))})
	default:
		c.Severity, c.HasMargin, c.Margin, c.MarginOf = plan.Sound, true, in.Room-need, text.Length
		c.What = text.Say("The open leaf needs {0} behind the run-back post and there is {1}.", text.MM(need),
			text.MM(in.Room))
	}
	found.add(c)

	strip := l.StripEnd - in.Width
	switch {
	case in.Hangs || !in.RoomKnown || in.Room-need < -plan.Tolerance:
	case strip-in.Room <= plan.Tolerance:
		found.quietly(plan.QuestionRoomStrip, survey.RunBackRoom, made.Site.Room-l.StripEnd, text.Length)
	default:
		found.add(plan.Check{Question: plan.QuestionRoomStrip, Severity: plan.Warning, Field: survey.RunBackRoom,
			Where: plan.PartIDs(plan.PartRunBackStrip), At: geom.Point{X: l.StripEnd, Y: l.StripWidth / 2},
			What: text.Say("The run-back strip wants {0} and there is {1}: pour it to the end of the room.",
				text.MM(strip), text.MM(in.Room)),
			Consequence: text.Say("The leaf fits, but the hard stop has less concrete behind it."),
			HasMargin:   true, Margin: in.Room - strip, MarginOf: text.Length})
	}
	if !l.HasPad {
		return
	}
	says := padSays(in.Hangs)
	out := plan.Check{Question: plan.QuestionRoomPad, Field: survey.RunBackDepth, Where: plan.PartIDs(plan.PartPad),
		At: geom.Point{X: (in.RunBackEdge.At(0) + l.PadFar) / 2, Y: l.PadOut}}
	switch {
	case !in.DepthKnown:
		out.Severity = plan.Warning
		out.What = text.Say(says.unknown, text.MM(l.PadOut))
	case in.Depth-l.PadOut < -plan.Tolerance:
		out.Severity, out.HasMargin, out.Margin, out.MarginOf = plan.Stop, true, in.Depth-l.PadOut, text.Length
		out.What = text.Say(says.outShort, text.MM(l.PadOut),
			text.MM(in.Depth), text.MM(l.PadOut-in.Depth))
		out.Consequence = text.Say(says.outThen)
		if in.Guide == survey.GuideBasePlate {
			out.Remedies = append(out.Remedies,
				plan.Remedy{Words: text.Say("Cast the guide post in: it needs less pad than a base plate."),
					Changes: []plan.Change{{Path: survey.GateGuide, Words: survey.GuideCastIn}}})
		}
		if in.Cladding > 0 {
			out.Remedies = append(out.Remedies,
				plan.Remedy{Words: text.Say("Leave the cladding flush in the frame: everything moves {0} towards the fence.",
					text.MM(in.Cladding)), Changes: []plan.Change{{Path: survey.GateCladding, Value: 0}}})
		}
	default:
		out.Severity, out.HasMargin, out.Margin, out.MarginOf = plan.Sound, true, in.Depth-l.PadOut, text.Length
		out.What = text.Say(says.out, text.MM(l.PadOut),
			text.MM(in.Depth))
	}
	found.add(out)
	switch {
	case !in.RoomKnown:
	case l.PadFar-in.Width-in.Room <= plan.Tolerance:
		if !in.PadOnSteel() {
			found.quietly(plan.QuestionRoomPadAlong, survey.RunBackRoom, made.Site.Room-l.PadFar, text.Length)
		}
	default:
		found.add(plan.Check{Question: plan.QuestionRoomPadAlong, Severity: plan.Stop, Field: survey.RunBackRoom,
			Where: plan.PartIDs(plan.PartPad), At: geom.Point{X: l.PadFar, Y: l.PadOut / 2},
			What: text.Say(says.along,
				text.MM(l.PadFar-in.Width), text.MM(in.Room), text.MM(l.PadFar-in.Width-in.Room)),
			HasMargin: true, Margin: in.Room - (l.PadFar - in.Width), MarginOf: text.Length,
			Consequence: text.Say("The pad cannot be poured.")})
	}
}

// padWords are what is said of the pad, or of the block in its place.
type padWords struct{ unknown, out, outShort, outThen, along string }

func padSays(hangs bool) padWords {
	if hangs {
		return padWords{"The free depth out from the fence was not measured: the block under the carriages needs {0}.",
			"The block under the carriages needs {0} out from the fence and there is {1}.",
			"The block under the carriages needs {0} out from the fence and there is {1}: {2} short.",
			"The carriages have nothing to stand on.",
			"The block under the carriages reaches {0} behind the run-back post and there is {1}: {2} short."}
	}
	return padWords{"The free depth out from the fence was not measured: the motor pad needs {0}.",
		"The motor pad needs {0} out from the fence and there is {1}.",
		"The motor pad needs {0} out from the fence and there is {1}: {2} short.",
		"The motor does not stand where the rack passes.",
		"The motor pad reaches {0} behind the run-back post and there is {1}: {2} short."}
}

// checkMotion says what the place of guide post and motor does to the opening.
func (d *designed) checkMotion(found *findings) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	leaf := &made.Leaf
	before := func(q plan.Question, what string, part plan.PartKind, x float64) {
		if in.Width-x <= plan.Tolerance {
			found.quietly(q, survey.DriveRunBackEdgeAngle, x-in.Width, text.Length)
			return
		}
		found.add(plan.Check{Question: q, Severity: plan.Warning, Field: survey.DriveRunBackEdgeAngle,
			Where: plan.PartIDs(part), At: geom.Point{X: x, Y: l.Guide.Y1},
			What: text.Say(what, text.MM(in.Width-x), text.MM(in.Width), text.MM(leaf.ClearStraight),
				text.MM(leaf.ClearAlong)),
			Consequence: text.Say("It stands off the drive, but a wide load that cuts the corner meets it."),
			HasMargin:   true, Margin: x - in.Width, MarginOf: text.Length,
			Remedies: []plan.Remedy{{Words: text.Say("Set everything {0} further along.", text.MM(math.Ceil(in.Width-x))),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RulePlaceEdgeGap,
					Value: p.EdgeGap + math.Ceil(in.Width-x)}}}}})
	}
	if l.HasGuide {
		before(plan.QuestionOpeningGuide,
			"The guide post stands {0} before the run-back post: straight in, the clear opening falls from {1} to {2}; along the drive it is {3}.", plan.PartGuidePost, l.Guide.X1)
	}
	if l.HasMotor {
		before(plan.QuestionOpeningMotor,
			"The motor stands {0} before the run-back post: straight in, the clear opening falls from {1} to {2}; along the drive it is {3}.", plan.PartMotor, l.Motor.X1)
	}
	if leaf.Lost > plan.Tolerance {
		sets := math.Ceil(leaf.Lost)
		found.add(plan.Check{Question: plan.QuestionMotionLost, Severity: plan.Warning, Field: survey.DriveRunBackEdgeAlong,
			Where: plan.PartIDs(plan.PartLeafOpen), At: geom.Point{X: leaf.OpenAt, Y: l.TrackOffset},
			What:        text.Say("The leaf cannot clear the opening: pinion or rollers reach its front end while {0} of it still stand in the opening.", text.MM(leaf.Lost)),
			Consequence: text.Say("Rack or guide rail would run out, and the leaf would drop out of what holds it."),
			HasMargin:   true, Margin: -leaf.Lost, MarginOf: text.Length,
			Remedies: []plan.Remedy{{Words: text.Say("Set guide post and motor {0} further along: the leaf then clears.",
				text.MM(sets)), Changes: []plan.Change{{Path: practice.PracticePath + practice.RulePlaceEdgeGap,
				Value: p.EdgeGap + sets}}}}})
	} else {
		end := leaf.RollersAt - p.RollerSpacing/2
		if l.HasMotor {
			end = min(end, leaf.PinionAt)
		}
		found.quietly(plan.QuestionMotionLost, survey.DriveRunBackEdgeAlong, end-leaf.OpenAt-leaf.Lost-p.EngagementMargin,
			text.Length)
		found.add(plan.Check{Question: plan.QuestionMotionClears, Severity: plan.Sound,
			Where: plan.PartIDs(plan.PartLeafOpen), At: geom.Point{X: leaf.OpenAt, Y: l.TrackOffset},
			What: text.Say("Rack and guide rail reach from shut to open, and the leaf clears the opening.")})
	}
	if l.HasGuide {
		gap := l.Guide.Y1 - l.LeafBack
		c := plan.Check{Question: plan.QuestionMotionPass, Severity: plan.Sound, Where: plan.PartIDs(plan.PartGuidePost),
			At: geom.Point{X: l.Guide.X1, Y: l.Guide.Y1}, HasMargin: true, Margin: gap, MarginOf: text.Length,
			What: text.Say("The leaf passes the guide post with {0} to spare.", text.MM(gap))}
		if gap <= plan.Tolerance {
			c.Severity = plan.Stop
			c.What = text.Say("The leaf does not pass the guide post: {0} too little.", text.MM(-gap))
			c.Field = practice.PracticePath + practice.RuleGuideSetback
			c.Remedies = []plan.Remedy{{Words: text.Say("Set the guide post {0} further back.",
				text.MM(math.Ceil(p.PassGuide-gap))),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleGuideSetback,
					Value: p.GuideSetback + math.Ceil(p.PassGuide-gap)}}}}
		}
		found.add(c)
	}
	if front := l.LeafFront; front > plan.Tolerance {
		found.quietly(plan.QuestionMotionFence, practice.PracticePath+practice.RuleTrackOffset, front, text.Length)
	} else {
		found.add(plan.Check{Question: plan.QuestionMotionFence, Severity: plan.Stop, Where: plan.PartIDs(plan.PartLeafOpen),
			At: geom.Point{X: in.Width, Y: front}, Field: practice.PracticePath + practice.RuleTrackOffset,
			What:      text.Say("The leaf rubs the fence: its front stands {0} from the back of the posts.", text.MM(front)),
			HasMargin: true, Margin: front, MarginOf: text.Length,
			Remedies: []plan.Remedy{{Words: text.Say("Set the track further out from the posts."),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleTrackOffset,
					Value: l.TrackOffset - in.Cladding + math.Ceil(p.PassFence-front)}}}}})
	}
	if over := l.TrackOffset + l.Shift + p.TrackWidth/2 - l.StripWidth; in.Hangs || over <= plan.Tolerance {
		if made.Footing == nil && !in.Hangs {
			found.quietly(plan.QuestionMotionTrack, survey.GateCladding, l.StripWidth-(l.TrackOffset+l.Shift)-p.TrackWidth/2,
				text.Length)
		}
	} else {
		found.add(plan.Check{Question: plan.QuestionMotionTrack, Severity: plan.Stop,
			Where: plan.PartIDs(plan.PartRunBackStrip), At: geom.Point{X: in.Width, Y: l.TrackOffset},
			Field: survey.GateCladding,
			What:  text.Say("The track hangs {0} over the side of the strip.", text.MM(over)), HasMargin: true, Margin: -over,
			MarginOf: text.Length,
			Remedies: []plan.Remedy{{Words: text.Say("Make the strip {0} wider.", text.MM(math.Ceil(over+p.TrackWidth/2))),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleStripWidth,
					Value: p.StripWidth + math.Ceil(over+p.TrackWidth/2)}}}}})
	}
	if in.HardStop {
		found.quiet(plan.QuestionMotionStop, survey.GateHardStop)
	} else {
		found.add(plan.Check{Question: plan.QuestionMotionStop, Severity: plan.Warning, Field: survey.GateHardStop,
			Where: plan.PartIDs(plan.PartLeafOpen), At: geom.Point{X: leaf.RearOpen, Y: l.TrackOffset},
			What:        text.Say("No hard stop at the end of the run-back."),
			Consequence: text.Say("A leaf pushed too far leaves its rollers and falls. People have been killed by falling gates."),
			Remedies: []plan.Remedy{{Words: text.Say("Fit a hard stop."),
				Changes: []plan.Change{{Path: survey.GateHardStop, Words: survey.Yes}}}}})
	}
}
