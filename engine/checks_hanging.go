package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// on is what is said of a leaf on its track, or of one that hangs free.
func (d *designed) on(track, free string) string {
	if d.Inputs.Hangs {
		return free
	}
	return track
}

// hangingCheck is a check of a leaf that hangs free, sound until it is found
// otherwise.
func (d *designed) hangingCheck(q plan.Question, field string, x, margin float64, of text.Dimension) plan.Check {
	return plan.Check{Question: q, Severity: plan.Sound, Field: field, Where: plan.PartIDs(plan.PartPad),
		At: geom.Point{X: x, Y: d.Layout.TrackOffset}, HasMargin: true, Margin: margin, MarginOf: of}
}

// checkHanging says whether carriages, beam, catch and block hold a leaf free of the
// ground, and what gets through under it.
func (d *designed) checkHanging(found *findings) {
	h := d.Plan.Leaf.Hanging
	if h == nil {
		return
	}
	d.checkCounter(found, h)
	if !d.Plan.Unjudged(plan.QuestionHangingUnjudged) {
		d.checkCarriages(found, h)
		d.checkNose(found, h)
		d.checkBlock(found, h)
	}
	d.checkGaps(found, h)
}

// checkCounter looks at the counter part and at how far the carriages stand apart.
func (d *designed) checkCounter(found *findings, h *plan.Hanging) {
	in, p := d.Inputs, d.Practice
	least := max(h.Beam.Height, p.HangCarriage)
	c := d.hangingCheck(plan.QuestionHangingSpacing, survey.GateHangingSpacing, h.Rear, h.Between-least, text.Length)
	if c.Margin < -plan.Tolerance {
		c.Severity = plan.Stop
		c.What = text.Say("The carriages stand {0} apart; nearer to each other than {1}, the beam's depth or a carriage's length, they hold as one.",
			text.MM(h.Between), text.MM(least))
		c.Consequence = text.Say("The leaf tips over them, nose down.")
		found.add(c)
	} else {
		found.quietly(c.Question, c.Field, c.Margin, c.MarginOf)
	}
	c = d.hangingCheck(plan.QuestionHangingCounter, survey.GateHangingSpacing, h.Rear, h.Counter/in.Width-leastCounter, text.Grade)
	switch {
	case h.Counter < plan.Tolerance:
		c.Severity = plan.Stop
		c.What = text.Say("The leaf has no counter part: both carriages stand where the frame itself is.")
		c.Consequence = text.Say("Nothing behind the carriages holds its nose up.")
	case c.Margin < 0:
		c.Severity = plan.Warning
		c.What = text.Say("The counter part of {0} is {1} of the opening; 40 to 50 % are usual.", text.MM(h.Counter),
			text.Percent(h.Counter/in.Width))
		c.Consequence = text.Say("The carriages are worked hard, and their play shows at the nose.")
	default:
		c.What = text.Say("The counter part is {0} long, {1} of the opening: the shop's first guess, and nothing says it is too short.",
			text.MM(h.Counter), text.Percent(h.Counter/in.Width))
		switch h.By {
		case plan.CounterByFound:
			c.What = text.Say("The counter part is {0} long, {1} of the opening, as carriages and nose ask for it.", c.What.Args...)
		case plan.CounterByGiven:
			c.What = text.Say("The counter part is {0} long, {1} of the opening, as the carriages were given.", c.What.Args...)
		case plan.CounterByNone:
			c.Severity = plan.Warning
			c.What = text.Say("No counter part up to the opening's own length holds this leaf: the first guess of {0} is drawn.",
				text.MM(h.Counter))
			c.Consequence = text.Say("What fails, and by how much, the checks beside this one say.")
			c.HasMargin = false
		}
	}
	found.add(c)
	if !in.BeamPart {
		found.quiet(plan.QuestionHangingBeamPart, survey.GateHangingBeamMass)
		return
	}
	c = d.hangingCheck(plan.QuestionHangingBeamPart, survey.GateHangingBeamMass, h.Front, 0, text.Count)
	c.Severity, c.HasMargin = plan.Warning, false
	c.What = text.Say("Of the beam some of the maker's three numbers are missing: the shop's own beam {0} is taken.",
		text.Word(h.Beam.Section))
	c.Consequence = text.Say("Mass, second moment and section modulus go together: ask for the others.")
	found.add(c)
}

// leastCounter is the counter part over the opening below which it is said to be
// short: a little under what is usual. Common practice, no published source.
const leastCounter = 0.35

func (d *designed) checkCarriages(found *findings, h *plan.Hanging) {
	front, rear := h.MostCarried()
	most := max(front, rear)
	shut := &h.Carried[0]
	c := d.hangingCheck(plan.QuestionHangingCarriages, survey.GateHangingBears, h.Front, h.Bears-most, text.Force)
	switch {
	case h.Bears == 0:
		c.Severity, c.HasMargin, c.Margin = plan.Warning, false, 0
		c.What = text.Say("The front carriage carries {0} and the rear one {1}; what one of them is made for was not given, so that it cannot be judged.",
			text.Newtons(shut.Front), text.Newtons(shut.Rear))
		c.Consequence = text.Say("An overloaded carriage breaks its rollers, and the leaf comes down on its nose. Ask its maker.")
	case most > h.Bears:
		c.Severity = plan.Stop
		c.What = text.Say("A carriage carries up to {0} and is made for {1}.", text.Newtons(most), text.Newtons(h.Bears))
		c.Consequence = text.Say("Its rollers break, and the leaf comes down on its nose.")
		c.Remedies = []plan.Remedy{{Words: text.Say("Take carriages made for {0}.", text.Newtons(math.Ceil(most/500)*500)),
			Changes: []plan.Change{{Path: survey.GateHangingBears, Value: math.Ceil(most/500) * 500}}}}
	default:
		c.What = text.Say("Over the whole travel the front carriage carries up to {0} and the rear one {1}, up or down; each is made for {2}.",
			text.Newtons(front), text.Newtons(rear), text.Newtons(h.Bears))
	}
	found.add(c)
}

// checkNose looks at the nose before it is caught, and at the beam over the front
// carriage.
func (d *designed) checkNose(found *findings, h *plan.Hanging) {
	in := d.Inputs
	rule := func(key string) string { return practice.PracticePath + key }
	down := h.Down()
	c := d.hangingCheck(plan.QuestionHangingNose, rule(practice.RuleHangRamp), 0, h.Ramp-down, text.Length)
	c.Where = plan.PartIDs(plan.PartLeafShut)
	c.What = text.Say("The nose sags {0} as the beam bends, the block that turns on its ground adds {1} and the carriages' play {2}; the ramp of the catch lifts it by {3}.",
		text.Tenths(h.Sag), text.Tenths(h.Tilt), text.Tenths(h.Play), text.Tenths(h.Ramp))
	if !h.Tilts {
		c.Severity = plan.Warning
		c.Consequence = text.Say("Nothing may be presumed of the ground under the block: how far it turns under the leaf is not counted.")
	}
	if c.Margin < 0 {
		c.Severity = plan.Stop
		c.What = text.Say("The nose sags {0} as the beam bends, the block that turns on its ground adds {1} and the carriages' play {2}: more than the {3} that the ramp of the catch lifts.",
			c.What.Args...)
		c.Consequence = text.Say("It runs into the catch instead of up it, and the leaf does not shut. What infill and top rail stiffen is not counted.")
		if ramp := math.Ceil(down/5) * 5; ramp <= practice.MostOf(practice.RuleHangRamp) {
			c.Remedies = append(c.Remedies, plan.Remedy{Words: text.Say("Fit a catch whose ramp lifts {0}.", text.MM(ramp)),
				Changes: []plan.Change{{Path: rule(practice.RuleHangRamp), Value: ramp}}})
		}
		if !h.Beam.ByMaker {
			c.Remedies = append(c.Remedies, d.deeperBeam(&c)...)
		}
	}
	found.add(c)
	if !in.LatchStop {
		c = d.hangingCheck(plan.QuestionHangingCatch, survey.GateLatchStop, 0, 0, text.Length)
		c.Severity, c.HasMargin, c.Where = plan.Warning, false, plan.PartIDs(plan.PartLeafShut)
		c.What = text.Say("Without a catch at the latch post nothing carries the nose or holds its foot against wind while the leaf is shut.")
		c.Consequence = text.Say("All of it hangs on the carriages and on the block.")
		c.Remedies = []plan.Remedy{{Words: text.Say("Fit a catch that stops and holds the leaf."),
			Changes: []plan.Change{{Path: survey.GateLatchStop, Words: survey.Yes}}}}
		found.add(c)
	} else {
		found.quiet(plan.QuestionHangingCatch, survey.GateLatchStop)
	}
	use := h.Stress / h.May
	c = d.hangingCheck(plan.QuestionHangingBeam, rule(practice.RuleHangBeamHeight), h.Front, 1-use, text.Use)
	c.What = text.Say("Over the front carriage the beam bends with {0}: {1} of what {2} may take.",
		text.NewtonMillimetres(h.Moment), text.Used(use), text.Word(h.Beam.Section))
	if use > 1 {
		c.Severity = plan.Stop
		c.Consequence = text.Say("It bends and stays bent, and the nose hangs.")
		if !h.Beam.ByMaker {
			c.Remedies = d.deeperBeam(&c)
		}
	}
	found.add(c)
}

// deeperBeams are heights that are sold, mm.
var deeperBeams = [...]float64{180, 200, 250, 300}

// deeperBeam looks for the least height of the shop's beam with which a leaf holds.
func (d *designed) deeperBeam(c *plan.Check) []plan.Remedy {
	if !d.searches.search(c) {
		return nil
	}
	for _, high := range deeperBeams {
		if high <= d.Practice.HangBeamHeight {
			continue
		}
		in, q := stages.WithBeam(d.Inputs, d.Practice, high)
		if _, leaf, refused := stages.HangLeaf(&in, &q, &d.Layout.Placement); len(refused) == 0 && stages.HoldsUp(leaf.Hanging) {
			return []plan.Remedy{{Words: text.Say("Take a beam {0} high.", text.MM(high)),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleHangBeamHeight, Value: high}}}}
		}
	}
	return nil
}

// checkBlock looks at the block under the carriages: whether it tips, presses into
// the ground or slides.
func (d *designed) checkBlock(found *findings, h *plan.Hanging) {
	p, b := d.Practice, &h.Block
	engineer := text.Say("A first pass, not a design: local codes and a licensed engineer decide.")
	x := (h.Front + h.Rear) / 2
	wide := practice.PracticePath + practice.RuleHangBlockWidth
	c := d.hangingCheck(plan.QuestionHangingTips, wide, x, b.Holds()-p.HangTipping, text.Ratio)
	c.Consequence = engineer
	c.What = text.Say("The block of {0} holds {1} times what tips it towards the drive, {2} times towards the run-back and {3} times across; {4} times are wanted.",
		text.Kilograms(b.Weight/motion.Gravity), factor(b.AtDrive), factor(b.AtFar), factor(b.Across), text.Plain(p.HangTipping))
	if c.Margin < 0 || b.Lifted {
		c.Severity = plan.Warning
		c.What = text.Say("The block of {0} holds {1} times what tips it towards the drive, {2} times towards the run-back and {3} times across, less than the {4} times that are wanted.", c.What.Args...)
		if b.Lifted || b.Holds() < 1 {
			c.Severity = plan.Stop
			c.Consequence = text.Say("It tips out of the ground with the leaf on it.")
		}
		c.Remedies = d.widerBlock(&c)
	}
	found.add(c)
	if b.May == 0 {
		c = d.hangingCheck(plan.QuestionHangingPresses, survey.GroundClass, x, 0, text.Use)
		c.Severity, c.HasMargin, c.Consequence = plan.Warning, false, engineer
		c.What = text.Say("What the ground under the block bears may not be presumed: whether the block sinks or slides cannot be judged without a soils investigation.")
		found.add(c)
		return
	}
	c = d.hangingCheck(plan.QuestionHangingPresses, survey.GroundClass, x, 1-b.Pressure/b.May, text.Use)
	c.Consequence = engineer
	c.What = text.Say("The block presses on the ground with up to {0}, {1} of what may be presumed of it.",
		text.Megapascals(b.Pressure), text.Used(b.Pressure/b.May))
	if b.Pressure > b.May {
		c.Severity = plan.Warning
		c.Consequence = text.Say("It sinks at one end, and the nose of the leaf goes up or down with it.")
		c.Remedies = d.widerBlock(&c)
	}
	found.add(c)
	c = d.hangingCheck(plan.QuestionHangingSlides, wide, x, b.Slides-p.HangSliding, text.Ratio)
	c.Consequence = engineer
	c.What = text.Say("The ground under the block holds {0} times what pushes it along or out; {1} times are wanted.",
		factor(b.Slides), text.Plain(p.HangSliding))
	if c.Margin < 0 {
		c.Severity = plan.Warning
		c.What = text.Say("The ground under the block holds {0} times what pushes it along or out, less than the {1} times that are wanted; what stands before it is not counted.", c.What.Args...)
		c.Remedies = d.widerBlock(&c)
	}
	found.add(c)
}

// factor is a factor of safety as it is told: beyond a hundred it is no number.
func factor(v float64) text.Arg { return text.Plain(min(soil.MostFactor, math.Round(v*100)/100)) }

// widerBlock looks for the least width, in steps, with which a block of a depth that
// is proposed holds.
func (d *designed) widerBlock(c *plan.Check) []plan.Remedy {
	if !d.searches.search(c) {
		return nil
	}
	p := *d.Practice
	for wide := math.Floor(d.Layout.PadOut/100)*100 + 100; wide <= practice.MostOf(practice.RuleHangBlockWidth); wide += 100 {
		p.HangBlockWidth = wide
		placed := stages.Place(d.Inputs, &p)
		l, leaf, refused := stages.HangLeaf(d.Inputs, &p, &placed)
		if len(refused) > 0 {
			continue
		}
		blown := stages.LeafInWind(d.Inputs, &p, &l, &leaf)
		deep, unheld, refused := stages.FindBlock(d.Inputs, &p, &l, &leaf, &blown)
		if unheld || len(refused) > 0 {
			continue
		}
		if b, err := stages.StandBlock(d.Inputs, &p, &l, &leaf, &blown, deep); err == nil && (b.May == 0 || b.Pressure <= b.May) {
			return []plan.Remedy{{Words: text.Say("Make the block {0} wide and {1} deep.", text.MM(wide), text.MM(deep)),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleHangBlockWidth, Value: wide}}}}
		}
	}
	return nil
}

// checkGaps says what gets through under the shut leaf, and whether the open one
// clears the ground behind the post.
func (d *designed) checkGaps(found *findings, h *plan.Hanging) {
	p := d.Practice
	w := &h.Widest
	c := d.hangingCheck(plan.QuestionHangingGap, survey.GateHangingClearance, w.Chainage, p.HangGap-w.Gap, text.Length)
	c.Where = plan.PartIDs(plan.PartLeafShut)
	c.What = text.Say("The gap under the leaf is {0} at the highest place of the drive and {1} at chainage {2}, where it is widest.",
		text.MM(h.Clearance), text.MM(w.Gap), text.MM(w.Chainage))
	if c.Margin < -plan.Tolerance {
		from, to := h.WideGaps(p.HangGap)
		c.Severity = plan.Warning
		c.What = text.Say("Under the leaf {0} are open at chainage {1}; from {2} to {3} it is more than {4}.", text.MM(w.Gap),
			text.MM(w.Chainage), text.MM(from), text.MM(to), text.MM(p.HangGap))
		c.Consequence = text.Say("A child or a dog gets through. A skirt that follows the drive closes it, or the drive is made up there.")
	}
	found.add(c)
	c = d.hangingCheck(plan.QuestionHangingWater, survey.GroundShape, h.Rear, p.PadStep-h.Below, text.Length)
	if c.Margin >= 0 {
		found.quietly(c.Question, c.Field, c.Margin, c.MarginOf)
	} else {
		c.Severity = plan.Warning
		c.What = text.Say("The ground beside the block stands up to {0} above its top.", text.MM(h.Below))
		c.Consequence = text.Say("Rainwater and gravel come in on the carriages: lay the ground back, or drain the block. More clearance over the drive lifts it.")
		found.add(c)
	}
	low := &h.Lowest
	c = d.hangingCheck(plan.QuestionHangingRunBack, survey.GroundShape, low.Chainage, low.Gap-p.HangOver, text.Length)
	c.Where = plan.PartIDs(plan.PartLeafOpen)
	c.What = text.Say("Behind the post the leaf clears the ground by {0} or more.", text.MM(low.Gap))
	if c.Margin < -plan.Tolerance {
		c.Severity = plan.Warning
		c.What = text.Say("At chainage {0} the ground behind the post leaves {1} under the leaf: dig {2} away over its whole way.",
			text.MM(low.Chainage), text.MM(max(0, low.Gap)), text.MM(p.HangOver-low.Gap))
		c.Consequence = text.Say("The leaf runs aground before it is open. This dig, {0} in the bank, is in the quantities.",
			text.CubicMM(h.Dig))
	}
	found.add(c)
}

// checkDriveLevels is checkLevels for a leaf that no track carries: its level hangs
// on the drive's highest place, and the gap under it on all of them.
func (d *designed) checkDriveLevels(found *findings) {
	in, l, g := d.Inputs, d.Layout, d.Plan.Ground
	at := geom.Point{X: in.Width / 2, Y: l.TrackOffset}
	if !g.Known() {
		found.add(plan.Check{Question: plan.QuestionLevelsNone, Severity: plan.Stop, Field: survey.GroundLevelsTaken,
			Where: plan.PartIDs(plan.PartLeafShut), At: at,
			What:        text.Say("There is no level on the drive: the gap under the leaf is not known, and the plan is drawn level."),
			Consequence: text.Say("The leaf runs aground on a drive that climbs, or hangs high over one that falls.")})
		return
	}
	found.quiet(plan.QuestionLevelsNone, survey.GroundLevelsTaken)
	if t := &g.Track; t.GradeKnown {
		found.quiet(plan.QuestionLevelsGrade, survey.GroundLevelsTaken)
	} else {
		found.add(plan.Check{Question: plan.QuestionLevelsGrade, Severity: plan.Warning, Field: survey.GroundLevelsTaken,
			Where: plan.PartIDs(plan.PartLeafShut), At: at,
			What:        text.Say("The fall of the drive along the leaf is not known: two levels under it, well apart, give it. Level is assumed."),
			Consequence: text.Say("The leaf's level over the drive and the gap under it hang on it.")})
	}
	d.checkDoubtful(found, at, text.Say("The leaf's level over the drive and the gap under it hang on it."))
	d.checkShape(found)
	if (g.Shape == survey.GroundRises || g.Shape == survey.GroundFalls) && !g.HasBank() {
		found.add(plan.Check{Question: plan.QuestionBankNone, Severity: plan.Stop, Field: survey.GroundLevelsTaken,
			Where: plan.PartIDs(plan.PartPad), At: geom.Point{X: l.PadFar, Y: l.PadOut},
			What:        text.Say("The ground beyond the edge of the drive was not levelled: how deep the block goes, and whether the open leaf clears it, is not known."),
			Consequence: text.Say("Take levels where the block goes and as far as the open leaf reaches.")})
		return
	}
	if g.Rising != nil {
		d.checkCavity(found)
	}
}
