package engine

import (
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkAnchors says of each plate that is bolted down whether its anchors and the
// concrete around them hold.
func (d *designed) checkAnchors(found *findings, engineer text.Text) {
	s := d.Plan.Strength
	if s.Guide != nil {
		d.checkHold(found, plan.QuestionStrengthPlate, plan.PartBasePlate, &s.Guide.Hold, engineer,
			text.Say("They tear out, and the leaf falls with the post."))
	}
	d.checkHold(found, plan.QuestionStrengthMotor, plan.PartMotor, &s.MotorHold, engineer, text.Text{})
	d.checkHold(found, plan.QuestionStrengthStop, plan.PartHardStop, &s.StopHold, engineer,
		text.Say("They tear out, and the leaf runs off the end of its track and falls."))
	if len(s.Carriages) > 0 {
		d.checkHold(found, plan.QuestionStrengthCarriages, plan.PartCarriage, &s.Carriages[s.WorstCarriage()].AnchorHold, engineer,
			text.Say("They tear out, and the leaf comes down with the carriage."))
	}
}

// bolted is the plate of a part as a practice lays it out; of carriages the worse.
func (d *designed) bolted(p *practice.Practice, l *stages.Layout, part plan.PartKind) stages.Bolted {
	if part == plan.PartCarriage {
		worst := d.Plan.Strength.WorstCarriage()
		return d.CarriageOn(p, l, worst, d.Plan.Strength.Carriages[worst])
	}
	return d.BoltedOn(p, l, part, d.Plan.Strength)
}

// checkHold speaks of one plate; falls says what comes of anchors that tear out,
// where a leaf hangs on them.
func (d *designed) checkHold(found *findings, q plan.Question, part plan.PartKind, h *plan.AnchorHold,
	engineer, falls text.Text) {
	if h.Use == 0 && h.EdgeLeast == 0 {
		return
	}
	b := d.bolted(d.Practice, d.Layout, part)
	c := plan.Check{Question: q, Severity: plan.Warning, Field: practice.PracticePath + b.DepthRule(),
		Where: plan.PartIDs(part), At: b.At, HasMargin: true, Margin: 1 - h.Use, MarginOf: text.Use,
		Consequence: engineer}
	switch {
	case h.EdgeLeast > 0:
		c.Margin, c.MarginOf = h.Edge-h.EdgeLeast, text.Length
		c.What = text.Say("{0}: {1} from the edge of the concrete; nearer than {2} they split it, and cannot be judged.",
			text.Word(b.Name), text.MM(max(0, h.Edge)), text.MM(h.EdgeLeast))
	case h.Use > 1:
		if h.Breaks && !falls.Empty() {
			c.Severity, c.Consequence = plan.Stop, falls
		}
		c.What = text.Say("{0}: {1} of what they and their concrete may take. What fails first: {2}, under {3} where {4} may be.",
			text.Word(b.Name), text.Used(h.Use), text.Word(h.Mode), text.Newtons(h.Demand), text.Newtons(h.Allowable))
	default:
		if h.Unsaid {
			return
		}
		c.Severity = plan.Sound
		c.What = text.Say("{0}: {1} of what they and their concrete may take. What would fail first: {2}.",
			text.Word(b.Name), text.Used(h.Use), text.Word(h.Mode))
	}
	if c.Severity != plan.Sound && d.searches.search(&c) {
		c.Remedies = d.anchorRemedies(part)
	}
	found.add(c)
}

// anchorRemedies are what clears the check of a plate's anchors when one or two
// rules are raised: deeper anchors, more concrete beyond the plate or at the end,
// or thicker concrete with deeper anchors. Each is looked at before it is offered.
func (d *designed) anchorRemedies(part plan.PartKind) (remedies []plan.Remedy) {
	type raised struct {
		rule  string
		at    *float64
		steps float64 // at once
	}
	q := *d.Practice
	// at raises the rules by n steps at once: what then holds, and false beyond a
	// rule's range.
	at := func(n int, rules []raised) (holds, within bool) {
		q = *d.Practice
		for _, r := range rules {
			rule, _ := practice.RuleByKey(r.rule)
			if *r.at += float64(n) * r.steps * max(d.Practice.RemedyStep, 1); *r.at > rule.High {
				return false, false
			}
		}
		l := stages.Layout{Placement: stages.Place(d.Inputs, &q)}
		if d.Inputs.Hangs {
			l.Placement, _, _ = stages.HangLeaf(d.Inputs, &q, &l.Placement)
			l.FootDepth = d.Layout.FootDepth
		}
		l.StripEnds = stages.EndStrip(d.Inputs, &q, &l.Placement, &d.Plan.Leaf)
		b := d.bolted(&q, &l, part)
		h, maker, err := b.Hold(&q)
		return err == nil && maker == nil && h.Use <= 1, true
	}
	try := func(says string, rules ...raised) {
		fails, holds := 0, 1
		for ok := false; !ok; {
			var within bool
			if ok, within = at(holds, rules); ok {
				break
			} else if within {
				fails, holds = holds, 2*holds
			} else if holds--; holds <= fails {
				return
			}
		}
		for holds-fails > 1 {
			middle := (fails + holds) / 2
			if ok, _ := at(middle, rules); ok {
				holds = middle
			} else {
				fails = middle
			}
		}
		at(holds, rules)
		change := make([]plan.Change, 0, len(rules))
		var sizes []text.Arg
		for _, r := range rules {
			rule, _ := practice.RuleByKey(r.rule)
			change = append(change, plan.Change{Path: practice.PracticePath + r.rule, Value: *r.at})
			sizes = append(sizes, text.Arg{Value: *r.at, Dimension: rule.Dimension})
		}
		remedies = append(remedies, plan.Remedy{Words: text.Say(says, sizes...), Changes: change})
	}
	depth := raised{practice.RuleAnchorDepth, &q.AnchorDepth, 1}
	if part == plan.PartCarriage {
		depth = raised{practice.RuleHangAnchorDepth, &q.HangAnchorDepth, 1}
	}
	const deeper, wider = "Set the anchors {0} deep.", "Pour {0} of concrete beyond the plate."
	try(deeper, depth)
	switch part {
	case plan.PartBasePlate:
		try(wider, raised{practice.RuleGuidePlateMargin, &q.PlateMargin, 1})
	case plan.PartMotor:
		try(wider, raised{practice.RulePadMargin, &q.PadMargin, 1})
		try("Set motor and guide post {0} clear of the drive's edge.", raised{practice.RulePlaceEdgeGap, &q.EdgeGap, 1})
	case plan.PartCarriage:
		try("Let the beam run {0} behind the posts.", raised{practice.RuleHangOffset, &q.HangOffset, 1})
		try("Let the block go on {0} beyond the middle of a carriage.", raised{practice.RuleHangEdge, &q.HangEdge, 1})
	default:
		try("Let the strip and the stop's place go on {0} beyond the open leaf.",
			raised{practice.RuleLeafStopAllowance, &q.StopAllowance, 1})
	}
	kind := d.Practice.AnchorKind
	if part == plan.PartCarriage {
		kind = d.Practice.HangAnchorKind
	}
	if kind == practice.AnchorResin && d.Practice.AnchorBond == 0 {
		try("Take a resin with a bond of {0} in cracked concrete by its maker's approval, and enter it with the rules.",
			raised{practice.RuleAnchorBond, &q.AnchorBond, 1}, raised{practice.RuleAnchorBondUncracked, &q.AnchorBondUncracked, 1})
	}
	if strip := (raised{practice.RuleStripDepth, &q.StripDepth, 1}); len(remedies) == 0 && part == plan.PartCarriage {
		try("Let the beam run {0} behind the posts and set the carriages' anchors {1} deep.",
			raised{practice.RuleHangOffset, &q.HangOffset, 1}, depth)
	} else if len(remedies) == 0 {
		try("Pour strip and pad {0} deep and set the anchors {1} deep.", strip, depth)
		if part == plan.PartHardStop && len(remedies) == 0 {
			try("Pour the strip {0} deep and set the anchors {1} deep; let the strip and the stop's place go on {2} beyond the open leaf.",
				strip, depth, raised{practice.RuleLeafStopAllowance, &q.StopAllowance, 2})
		}
	}
	if part == plan.PartBasePlate {
		remedies = append(remedies, plan.Remedy{Words: text.Say("Cast the guide post in: the ground then holds it."),
			Changes: []plan.Change{{Path: survey.GateGuide, Words: survey.GuideCastIn}}})
	}
	return remedies
}
