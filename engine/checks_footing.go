package engine

import (
	"math"

	"pegpour/engine/geom"
)

// checkFooting says whether the steel footing carries the leaf.
func (d *designed) checkFooting(found *findings) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	f := plan.Footing
	if f == nil {
		return
	}
	at := geom.Point{X: (f.From + f.To) / 2, Y: l.trackOffset}
	built, other := &f.Flat, &f.OnEdge
	otherWay := BarOnEdge
	sags, fails, lay := "Posts every {0}: the bar, flat, takes {1} of {2} and sags {3} of {4} under a wheel of {5}. Laid the other way posts would stand every {6}.",
		"The bar, flat, carries a wheel of {0} over {1} at most: too little between posts.", "Lay the bar on edge."
	if f.Laid == BarOnEdge {
		built, other, otherWay = &f.OnEdge, &f.Flat, BarFlat
		sags, fails, lay = "Posts every {0}: the bar, on edge, takes {1} of {2} and sags {3} of {4} under a wheel of {5}. Laid the other way posts would stand every {6}.",
			"The bar, on edge, carries a wheel of {0} over {1} at most: too little between posts.", "Lay the bar flat."
	}
	c := Check{Question: QuestionFootingBar, Severity: Sound, Where: PartIDs(PartFootingBar), At: at, HasMargin: true, Margin: built.Limit - built.Deflection, MarginOf: Length,
		What: say(sags,
			mm(f.Spacing), stress(built.Stress), stress(built.Allowable), tenths(built.Deflection), tenths(built.Limit), newton(f.Wheel), mm(other.Spacing))}
	if !built.Feasible {
		c.Severity, c.Field = Stop, GateFootingBar
		c.What = say(fails, newton(f.Wheel), mm(built.Widest))
		c.Consequence = say("It sags under the leaf and the wheel has to climb out at every post.")
		if other.Feasible {
			c.Remedies = []Remedy{{Words: say(lay), Changes: []Change{{Path: GateFootingBar, Words: otherWay}}}}
		} else {
			c.Remedies = []Remedy{{Words: say("Take a thicker bar."), Changes: []Change{{Path: PracticePath + RuleFootingBarThickness, Value: math.Min(ruleMost(RuleFootingBarThickness), p.BarThickness*p.BarStep)}}}}
		}
	}
	found.add(c)
	if f.Through.Uplift <= 1 {
		found.quiet(QuestionFootingUplift, "")
	} else {
		found.add(Check{Question: QuestionFootingUplift, Severity: Warning, Where: PartIDs(PartFootingBar), At: at,
			What:        say("Where the bar runs on over its posts, a wheel in one span pulls up on the post beyond the next with up to {0}.", newton(f.Through.Uplift)),
			Consequence: say("Weld or bolt the bar down at every post; loose, it rattles and lifts.")})
	}
	switch {
	case l.panels < 2 || f.Laid != BarFlat:
	case l.pitch >= p.BarWidth+tolerance:
		found.quietly(QuestionFootingPitch, PracticePath+RuleTrackPitch, l.pitch-p.BarWidth, Length)
	default:
		more := math.Ceil(p.BarWidth + p.BarGap - l.pitch)
		found.add(Check{Question: QuestionFootingPitch, Severity: Stop, Field: PracticePath + RuleTrackPitch, Where: []string{PartFootingBar.ID(1), PartFootingBar.ID(2)}, At: at, HasMargin: true, Margin: l.pitch - p.BarWidth, MarginOf: Length,
			What:        say("Flat bars {0} wide do not lie side by side with tracks {1} apart.", mm(p.BarWidth), mm(l.pitch)),
			Consequence: say("The second bar has no place."),
			Remedies: []Remedy{{Words: say("Set the tracks {0} further apart.", mm(more)), Changes: []Change{{Path: PracticePath + RuleTrackPitch, Value: p.TrackPitch + more}}},
				{Words: say("Lay the bars on edge."), Changes: []Change{{Path: GateFootingBar, Words: BarOnEdge}}}}})
	}
	if !f.Levelled {
		return // the check of the levels has stopped it already
	}
	d.checkPosts(found)
	switch {
	case !f.OnPad:
	case f.PadDrop <= tolerance:
		found.quiet(QuestionFootingPad, GatePadOn)
	default:
		k := Check{Question: QuestionFootingPad, Severity: Warning, Field: GatePadOn, Where: PartIDs(PartPad), At: geom.Point{X: l.padFar, Y: l.padOut},
			What:        say("The concrete pad stands up to {0} above the falling ground and is poured {1} deep: form its sides.", mm(f.PadDrop), mm(l.footDepth+f.PadDrop)),
			Consequence: say("Poured without a form it runs down the bank.")}
		k.Remedies = []Remedy{{Words: say("Stand the motor on a steel plate on posts."), Changes: []Change{{Path: GatePadOn, Words: PadSteel}}}}
		found.add(k)
	}
	switch {
	case !in.padOnSteel():
	case !l.hasPlate:
		found.quiet(QuestionFootingGuide, GateGuide)
	default:
		found.add(Check{Question: QuestionFootingGuide, Severity: Warning, Field: GateGuide, Where: PartIDs(PartBasePlate), At: l.plate.middle(),
			What:        say("The guide post is bolted to the steel plate of the motor."),
			Consequence: say("The leaf's push bends the plate: cast the guide post in, or have an engineer look at it."),
			Remedies:    []Remedy{{Words: say("Cast the guide post in."), Changes: []Change{{Path: GateGuide, Words: GuideCastIn}}}}})
	}
	found.caution(Caution{Code: "bank", Where: PartIDs(PartFootingBar),
		Words: say("Digging and standing on a bank: it slides when wet. Keep the spoil off its top, and do not dig two neighbouring holes at once.")})
}

func (d *designed) checkPosts(found *findings) {
	p, plan := d.practice, d.plan
	f := plan.Footing
	worst, highest := &f.Posts[f.Worst-1], &f.Posts[f.Highest-1]
	where := func(q *FootingPost) ([]string, geom.Point) {
		return []string{PartFootingPost.ID(q.Number)}, geom.Point{X: q.Chainage, Y: q.Offset}
	}
	c := Check{Question: QuestionFootingPost, Severity: Sound, HasMargin: true, Margin: 1 - worst.Use, MarginOf: Ratio,
		What: say("Posts stand up to {0} out of the ground; the hardest worked, number {1}, uses {2} of its strength under {3} down and {4} sideways.",
			mm(highest.Above), number(float64(worst.Number)), percent(worst.Use), newton(worst.Load), newton(worst.Push))}
	c.Where, c.At = where(worst)
	bigger := []Remedy{{Words: say("Take posts of {0}.", mm(p.FootPost+p.PostStep)), Changes: []Change{{Path: PracticePath + RuleFootingPost, Value: math.Min(ruleMost("footing.post"), p.FootPost+p.PostStep)}}}}
	if worst.Use > 1 {
		c.Severity, c.Field = Stop, PracticePath+RuleFootingPost
		c.What = say("Post {0}, {1} out of the ground, is asked for {2} of its strength.", number(float64(worst.Number)), mm(worst.Above), percent(worst.Use))
		c.Consequence = say("It bends over when somebody leans on the open leaf.")
		c.Remedies = bigger
	}
	if !worst.Unjudged {
		found.add(c)
	}
	if highest.Sway <= p.FootSway {
		found.quietly(QuestionFootingSway, PracticePath+RuleFootingPost, p.FootSway-highest.Sway, Length)
	} else {
		k := Check{Question: QuestionFootingSway, Severity: Warning, Field: PracticePath + RuleFootingPost, HasMargin: true, Margin: p.FootSway - highest.Sway, MarginOf: Length, Remedies: bigger,
			What:        say("The top of post {0} gives way {1} sideways under {2}; {3} are allowed.", number(float64(highest.Number)), tenths(highest.Sway), newton(highest.Push), tenths(p.FootSway)),
			Consequence: say("Brace it out from the track line, or the leaf leans in its rollers.")}
		k.Where, k.At = where(highest)
		found.add(k)
	}
	if highest.Slenderness <= p.SlendernessMost {
		found.quietly(QuestionFootingSlender, PracticePath+RuleFootingPost, p.SlendernessMost-highest.Slenderness, Ratio)
	} else {
		k := Check{Question: QuestionFootingSlender, Severity: Warning, Field: PracticePath + RuleFootingPost, HasMargin: true, Margin: p.SlendernessMost - highest.Slenderness, MarginOf: Ratio, Remedies: bigger,
			What:        say("Post {0} is too slender for a compression member: {1}, usual is up to {2}.", number(float64(highest.Number)), ratio(highest.Slenderness), number(p.SlendernessMost)),
			Consequence: say("Small knocks bend it, and bent it carries little.")}
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
	k := Check{Question: QuestionFootingHole, Severity: Sound, HasMargin: true, Margin: p.FootEmbedMost - deepest.Depth, MarginOf: Length,
		What: say("Holes up to {0} deep below the ground hold the posts.", mm(deepest.Depth))}
	k.Where, k.At = where(deepest)
	if !deepest.Held {
		k.Severity, k.Field = Stop, PracticePath+RuleFootingEmbedMost
		k.What = say("Post {0} needs a hole {1} deep; {2} can be dug by hand.", number(float64(deepest.Number)), mm(deepest.Depth), mm(p.FootEmbedMost))
		k.Consequence = say("Shallower, the bank lets it lean.")
		if wider := p.FootHole + p.WiderHole; wider <= ruleMost("footing.hole") {
			k.Remedies = []Remedy{{Words: say("Dig holes of {0}.", mm(wider)), Changes: []Change{{Path: PracticePath + RuleFootingHole, Value: wider}}}}
		}
	}
	found.add(k)
	hardest := 0.0
	for i := range f.Posts {
		q := &f.Posts[i]
		hardest = math.Max(hardest, q.Bearing)
		if q.Bearing > 1 {
			b := Check{Question: QuestionFootingBearing, Severity: Stop, Field: PracticePath + RuleFootingHole, HasMargin: true, Margin: 1 - q.Bearing, MarginOf: Ratio,
				What:        say("The load of {0} on post {1} asks for {2} of what the ground under its hole carries.", newton(q.Load), number(float64(q.Number)), percent(q.Bearing)),
				Consequence: say("It sinks, and the track with it."),
				Remedies:    []Remedy{{Words: say("Dig holes of {0}.", mm(math.Ceil(p.FootHole*math.Sqrt(q.Bearing)/50)*50)), Changes: []Change{{Path: PracticePath + RuleFootingHole, Value: math.Min(ruleMost("footing.hole"), math.Ceil(p.FootHole*math.Sqrt(q.Bearing)/50)*50)}}}}}
			b.Where, b.At = where(q)
			found.add(b)
			return
		}
	}
	found.quietly(QuestionFootingBearing, PracticePath+RuleFootingHole, 1-hardest, Ratio)
}

// tenths is a small length, of which tenths of a millimetre matter.
func tenths(v float64) Arg { return Arg{Value: math.Round(v*10) / 10, Dimension: SmallLength} }
