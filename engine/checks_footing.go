package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkFooting says whether the steel footing carries the leaf.
func (d *designed) checkFooting(found *findings) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	f := made.Footing
	if f == nil {
		return
	}
	at := geom.Point{X: (f.From + f.To) / 2, Y: l.TrackOffset}
	built, other := &f.Flat, &f.OnEdge
	otherWay := survey.BarOnEdge
	sags, fails, lay := "Posts every {0}: the bar, flat, takes {1} of {2} and sags {3} of {4} under a wheel of {5}. Laid the other way posts would stand every {6}.",
		"The bar, flat, carries a wheel of {0} over {1} at most: too little between posts.", "Lay the bar on edge."
	if f.Laid == survey.BarOnEdge {
		built, other, otherWay = &f.OnEdge, &f.Flat, survey.BarFlat
		sags, fails, lay = "Posts every {0}: the bar, on edge, takes {1} of {2} and sags {3} of {4} under a wheel of {5}. Laid the other way posts would stand every {6}.",
			"The bar, on edge, carries a wheel of {0} over {1} at most: too little between posts.", "Lay the bar flat."
	}
	c := plan.Check{Question: plan.QuestionFootingBar, Severity: plan.Sound, Where: plan.PartIDs(plan.PartFootingBar),
		At: at, HasMargin: true, Margin: built.Limit - built.Deflection, MarginOf: text.Length,
		What: text.Say(sags,
			text.MM(f.Spacing), text.Megapascals(built.Stress), text.Megapascals(built.Allowable), text.Tenths(built.Deflection),
			text.Tenths(built.Limit), text.Newtons(f.Wheel), text.MM(other.Spacing))}
	if !built.Feasible {
		c.Severity, c.Field = plan.Stop, survey.GateFootingBar
		c.What = text.Say(fails, text.Newtons(f.Wheel), text.MM(built.Widest))
		c.Consequence = text.Say("It sags under the leaf and the wheel has to climb out at every post.")
		if other.Feasible {
			c.Remedies = []plan.Remedy{{Words: text.Say(lay),
				Changes: []plan.Change{{Path: survey.GateFootingBar, Words: otherWay}}}}
		} else {
			c.Remedies = []plan.Remedy{{Words: text.Say("Take a thicker bar."),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleFootingBarThickness,
					Value: min(practice.MostOf(practice.RuleFootingBarThickness), p.BarThickness*p.BarStep)}}}}
		}
	}
	found.add(c)
	switch {
	case f.Through.Unjudged:
	case f.Through.Uplift <= 1:
		found.quiet(plan.QuestionFootingUplift, "")
	default:
		found.add(plan.Check{Question: plan.QuestionFootingUplift, Severity: plan.Warning,
			Where: plan.PartIDs(plan.PartFootingBar), At: at,
			What:        text.Say("Where the bar runs on over its posts, a wheel in one span pulls up on the post beyond the next with up to {0}.", text.Newtons(f.Through.Uplift)),
			Consequence: text.Say("Weld or bolt the bar down at every post; loose, it rattles and lifts.")})
	}
	switch {
	case l.Panels < 2 || f.Laid != survey.BarFlat:
	case l.Pitch >= p.BarWidth+plan.Tolerance:
		found.quietly(plan.QuestionFootingPitch, practice.PracticePath+practice.RuleTrackPitch, l.Pitch-p.BarWidth,
			text.Length)
	default:
		more := math.Ceil(p.BarWidth + p.BarGap - l.Pitch)
		found.add(plan.Check{Question: plan.QuestionFootingPitch, Severity: plan.Stop,
			Field: practice.PracticePath + practice.RuleTrackPitch,
			Where: []string{plan.PartFootingBar.ID(1), plan.PartFootingBar.ID(2)}, At: at, HasMargin: true,
			Margin: l.Pitch - p.BarWidth, MarginOf: text.Length,
			What: text.Say("Flat bars {0} wide do not lie side by side with tracks {1} apart.", text.MM(p.BarWidth),
				text.MM(l.Pitch)),
			Consequence: text.Say("The second bar has no place."),
			Remedies: []plan.Remedy{{Words: text.Say("Set the tracks {0} further apart.", text.MM(more)),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleTrackPitch, Value: p.TrackPitch + more}}},
				{Words: text.Say("Lay the bars on edge."),
					Changes: []plan.Change{{Path: survey.GateFootingBar, Words: survey.BarOnEdge}}}}})
	}
	if !f.Levelled {
		return // the check of the levels has stopped it already
	}
	d.checkPosts(found)
	switch {
	case !f.OnPad:
	case f.PadDrop <= plan.Tolerance:
		found.quiet(plan.QuestionFootingPad, survey.GatePadOn)
	default:
		deep := l.FootDepth + f.PadDrop
		if pad := made.Deepest(plan.PartPad); pad != nil {
			deep = pad.Deep()
		}
		k := plan.Check{Question: plan.QuestionFootingPad, Severity: plan.Warning, Field: survey.GatePadOn,
			Where: plan.PartIDs(plan.PartPad), At: geom.Point{X: l.PadFar, Y: l.PadOut},
			What:        text.Say("The concrete pad stands up to {0} above the falling ground and is poured {1} deep: form its sides.", text.MM(deep-l.FootDepth), text.MM(deep)),
			Consequence: text.Say("Poured without a form it runs down the bank.")}
		k.Remedies = []plan.Remedy{{Words: text.Say("Stand the motor on a steel plate on posts."),
			Changes: []plan.Change{{Path: survey.GatePadOn, Words: survey.PadSteel}}}}
		found.add(k)
	}
	switch {
	case !in.PadOnSteel():
	case !l.HasPlate:
		found.quiet(plan.QuestionFootingGuide, survey.GateGuide)
	default:
		found.add(plan.Check{Question: plan.QuestionFootingGuide, Severity: plan.Warning, Field: survey.GateGuide,
			Where: plan.PartIDs(plan.PartBasePlate), At: l.Plate.Middle(),
			What:        text.Say("The guide post is bolted to the steel plate of the motor."),
			Consequence: text.Say("The leaf's push bends the plate: cast the guide post in, or have an engineer look at it."),
			Remedies: []plan.Remedy{{Words: text.Say("Cast the guide post in."),
				Changes: []plan.Change{{Path: survey.GateGuide, Words: survey.GuideCastIn}}}}})
	}
	found.caution(plan.Caution{Code: "bank", Where: plan.PartIDs(plan.PartFootingBar),
		Words: text.Say("Digging and standing on a bank: it slides when wet. Keep the spoil off its top, and do not dig two neighbouring holes at once.")})
}

func (d *designed) checkPosts(found *findings) {
	p, made := d.Practice, d.Plan
	f := made.Footing
	worst, highest := &f.Posts[f.Worst-1], &f.Posts[f.Highest-1]
	where := func(q *plan.FootingPost) ([]string, geom.Point) {
		return []string{plan.PartFootingPost.ID(q.Number)}, geom.Point{X: q.Chainage, Y: q.Offset}
	}
	c := plan.Check{Question: plan.QuestionFootingPost, Severity: plan.Sound, HasMargin: true, Margin: 1 - worst.Use,
		MarginOf: text.Ratio,
		What: text.Say("Posts stand up to {0} out of the ground; the hardest worked, number {1}, uses {2} of its strength under {3} down and {4} sideways.",
			text.MM(highest.Above), text.Number(float64(worst.Number)), text.Used(worst.Use), text.Newtons(worst.Load),
			text.Newtons(worst.Push))}
	c.Where, c.At = where(worst)
	bigger := []plan.Remedy{{Words: text.Say("Take posts of {0}.", text.MM(p.FootPost+p.PostStep)),
		Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleFootingPost,
			Value: min(practice.MostOf(practice.RuleFootingPost), p.FootPost+p.PostStep)}}}}
	if worst.Use > 1 {
		c.Severity, c.Field = plan.Stop, practice.PracticePath+practice.RuleFootingPost
		c.What = text.Say("Post {0}, {1} out of the ground, is asked for {2} of its strength.",
			text.Number(float64(worst.Number)), text.MM(worst.Above), text.Used(worst.Use))
		c.Consequence = text.Say("It bends over when somebody leans on the open leaf.")
		c.Remedies = bigger
	}
	if !worst.Unjudged {
		found.add(c)
	}
	switch {
	case highest.Unjudged:
	case highest.Sway <= p.FootSway:
		found.quietly(plan.QuestionFootingSway, practice.PracticePath+practice.RuleFootingPost, p.FootSway-highest.Sway,
			text.Length)
	default:
		k := plan.Check{Question: plan.QuestionFootingSway, Severity: plan.Warning,
			Field: practice.PracticePath + practice.RuleFootingPost, HasMargin: true, Margin: p.FootSway - highest.Sway,
			MarginOf: text.Length, Remedies: bigger,
			What: text.Say("The top of post {0} gives way {1} sideways under {2}; {3} are allowed.",
				text.Number(float64(highest.Number)), text.Tenths(highest.Sway), text.Newtons(highest.Push),
				text.Tenths(p.FootSway)),
			Consequence: text.Say("Brace it out from the track line, or the leaf leans in its rollers.")}
		k.Where, k.At = where(highest)
		found.add(k)
	}
	switch {
	case highest.Unjudged:
	case highest.Slenderness <= p.SlendernessMost:
		found.quietly(plan.QuestionFootingSlender, practice.PracticePath+practice.RuleFootingPost,
			p.SlendernessMost-highest.Slenderness, text.Ratio)
	default:
		k := plan.Check{Question: plan.QuestionFootingSlender, Severity: plan.Warning,
			Field: practice.PracticePath + practice.RuleFootingPost, HasMargin: true,
			Margin: p.SlendernessMost - highest.Slenderness, MarginOf: text.Ratio, Remedies: bigger,
			What: text.Say("Post {0} is too slender for a compression member: {1}, usual is up to {2}.",
				text.Number(float64(highest.Number)), text.Plain(highest.Slenderness), text.Number(p.SlendernessMost)),
			Consequence: text.Say("Small knocks bend it, and bent it carries little.")}
		k.Where, k.At = where(highest)
		found.add(k)
	}
	deepest := highest
	for i := range f.Posts {
		q := &f.Posts[i]
		if q.Depth > deepest.Depth || !q.Held {
			deepest = q
			if !q.Held {
				break
			}
		}
	}
	k := plan.Check{Question: plan.QuestionFootingHole, Severity: plan.Sound, HasMargin: true,
		Margin: p.FootEmbedMost - deepest.Depth, MarginOf: text.Length,
		What: text.Say("Holes up to {0} deep below the ground hold the posts.", text.MM(deepest.Depth))}
	k.Where, k.At = where(deepest)
	if !deepest.Held {
		k.Severity, k.Field = plan.Stop, practice.PracticePath+practice.RuleFootingEmbedMost
		k.What = text.Say("Post {0} needs a hole {1} deep; {2} can be dug by hand.", text.Number(float64(deepest.Number)),
			text.MM(deepest.Depth), text.MM(p.FootEmbedMost))
		k.Consequence = text.Say("Shallower, the bank lets it lean.")
		wider := p.FootHole + p.WiderHole
		if wider <= practice.MostOf(practice.RuleFootingHole) && d.Inputs.Bearing.Moves() <= p.FootEmbedMost {
			k.Remedies = []plan.Remedy{{Words: text.Say("Dig holes of {0}.", text.MM(wider)),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleFootingHole, Value: wider}}}}
		}
	}
	if deepest.Held || deepest.Depth > p.FootEmbedMost+
		plan.Tolerance { // else no depth could be worked out, and its refusal says so
		found.add(k)
	}
	if !d.Inputs.Bearing.Firm.Presumed {
		return // the holes' refusal says so
	}
	hardest := 0.0
	for i := range f.Posts {
		q := &f.Posts[i]
		hardest = max(hardest, q.BearingUse)
		if q.BearingUse > 1 {
			wider := math.Ceil(p.FootHole*math.Sqrt(q.BearingUse)/p.HoleStep) * p.HoleStep
			b := plan.Check{Question: plan.QuestionFootingBearing, Severity: plan.Stop,
				Field: practice.PracticePath + practice.RuleFootingHole, HasMargin: true, Margin: 1 - q.BearingUse,
				MarginOf: text.Ratio,
				What: text.Say("The load of {0} on post {1} asks for {2} of what the ground under its hole carries.",
					text.Newtons(q.Load), text.Number(float64(q.Number)), text.Used(q.BearingUse)),
				Consequence: text.Say("It sinks, and the track with it."),
				Remedies: []plan.Remedy{{Words: text.Say("Dig holes of {0}.", text.MM(wider)),
					Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleFootingHole,
						Value: min(practice.MostOf("footing.hole"), wider)}}}}}
			b.Where, b.At = where(q)
			found.add(b)
			return
		}
	}
	found.quietly(plan.QuestionFootingBearing, practice.PracticePath+practice.RuleFootingHole, 1-hardest, text.Ratio)
}
