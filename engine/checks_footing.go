package engine

import (
	"math"
	"strconv"

	"pegpour/engine/geom"
)

// sourceFooting names what the footing is reckoned by.
const sourceFooting = "handbook beam formulas; AISC 360 column curve (memory); International Building Code 1807.3.2, embedded posts"

// checkFooting says whether the steel footing carries the leaf.
func (plan *Plan) checkFooting(in *inputs, p *Practice, l *layout) {
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
	c := Check{Code: "footing.bar", Severity: Sound, Where: []string{"footing.bar.1"}, At: at, HasMargin: true, Margin: built.Limit - built.Deflection, MarginOf: Length,
		What: say(sags,
			mm(f.Spacing), stress(built.Stress), stress(built.Allowable), tenths(built.Deflection), tenths(built.Limit), newton(f.Wheel), mm(other.Spacing))}
	if !built.Feasible {
		c.Severity, c.Field = Stop, "gate.footingBar"
		c.What = say(fails, newton(f.Wheel), mm(built.Widest))
		c.Consequence = say("It sags under the leaf and the wheel has to climb out at every post.")
		if other.Feasible {
			c.Remedies = []Remedy{{Words: say(lay), Changes: []Change{{Path: "gate.footingBar", Words: otherWay}}}}
		} else {
			c.Remedies = []Remedy{{Words: say("Take a thicker bar."), Changes: []Change{{Path: "practice.footing.barThickness", Value: math.Min(60, p.BarThickness*1.5)}}}}
		}
	}
	plan.add(c)
	if f.Through.Uplift > 1 {
		plan.add(Check{Code: "footing.uplift", Severity: Mind, Where: []string{"footing.bar.1"}, At: at,
			What:        say("Where the bar runs on over its posts, a wheel in one span pulls up on the post beyond the next with up to {0}.", newton(f.Through.Uplift)),
			Consequence: say("Weld or bolt the bar down at every post; loose, it rattles and lifts.")})
	}
	if l.panels > 1 && f.Laid == BarFlat && l.pitch < p.BarWidth+tolerance {
		more := math.Ceil(p.BarWidth + 5 - l.pitch)
		plan.add(Check{Code: "footing.pitch", Severity: Stop, Field: "practice.track.pitch", Where: []string{"footing.bar.1", "footing.bar.2"}, At: at, HasMargin: true, Margin: l.pitch - p.BarWidth, MarginOf: Length,
			What:        say("Flat bars {0} wide do not lie side by side with tracks {1} apart.", mm(p.BarWidth), mm(l.pitch)),
			Consequence: say("The second bar has no place."),
			Remedies: []Remedy{{Words: say("Set the tracks {0} further apart.", mm(more)), Changes: []Change{{Path: "practice.track.pitch", Value: p.TrackPitch + more}}},
				{Words: say("Lay the bars on edge."), Changes: []Change{{Path: "gate.footingBar", Words: BarOnEdge}}}}})
	}
	if !f.Levelled {
		return // the check of the levels has stopped it already
	}
	plan.checkPosts(in, p, l)
	if f.OnPad && f.PadDrop > tolerance {
		k := Check{Code: "footing.pad", Severity: Mind, Field: "gate.padOn", Where: []string{"pad"}, At: geom.Point{X: l.padFar, Y: l.padOut},
			What:        say("The concrete pad stands up to {0} above the falling ground and is poured {1} deep: form its sides.", mm(f.PadDrop), mm(l.footDepth+f.PadDrop)),
			Consequence: say("Poured without a form it runs down the bank.")}
		k.Remedies = []Remedy{{Words: say("Stand the motor on a steel plate on posts."), Changes: []Change{{Path: "gate.padOn", Words: PadSteel}}}}
		plan.add(k)
	}
	if in.padOnSteel() && l.hasPlate {
		plan.add(Check{Code: "footing.guide", Severity: Mind, Field: "gate.guide", Where: []string{"plate"}, At: l.plate.middle(),
			What:        say("The guide post is bolted to the steel plate of the motor."),
			Consequence: say("The leaf's push bends the plate: cast the guide post in, or have an engineer look at it."),
			Remedies:    []Remedy{{Words: say("Cast the guide post in."), Changes: []Change{{Path: "gate.guide", Words: GuideCastIn}}}}})
	}
	plan.Cautions = append(plan.Cautions, Caution{Code: "bank", Where: []string{"footing.bar.1"},
		Words: say("Digging and standing on a bank: it slides when wet. Keep the spoil off its top, and do not dig two neighbouring holes at once.")})
}

func (plan *Plan) checkPosts(in *inputs, p *Practice, l *layout) {
	f := plan.Footing
	worst, highest := &f.Posts[f.Worst-1], &f.Posts[f.Highest-1]
	where := func(q *FootingPost) ([]string, geom.Point) {
		return []string{"footing.post." + strconv.Itoa(q.Number)}, geom.Point{X: q.Chainage, Y: q.Offset}
	}
	c := Check{Code: "footing.post", Severity: Sound, HasMargin: true, Margin: 1 - worst.Use, MarginOf: Ratio,
		What: say("Posts stand up to {0} out of the ground; the hardest worked, number {1}, uses {2} of its strength under {3} down and {4} sideways.",
			mm(highest.Above), number(float64(worst.Number)), percent(worst.Use), newton(worst.Load), newton(worst.Push))}
	c.Where, c.At = where(worst)
	bigger := []Remedy{{Words: say("Take posts of {0}.", mm(p.FootPost+25)), Changes: []Change{{Path: "practice.footing.post", Value: math.Min(200, p.FootPost+25)}}}}
	if worst.Use > 1 {
		c.Severity, c.Field = Stop, "practice.footing.post"
		c.What = say("Post {0}, {1} out of the ground, is asked for {2} of its strength.", number(float64(worst.Number)), mm(worst.Above), percent(worst.Use))
		c.Consequence = say("It bends over when somebody leans on the open leaf.")
		c.Remedies = bigger
	}
	if !worst.Unjudged {
		plan.add(c)
	}
	if highest.Sway > p.FootSway {
		k := Check{Code: "footing.sway", Severity: Mind, Field: "practice.footing.post", HasMargin: true, Margin: p.FootSway - highest.Sway, MarginOf: Length, Remedies: bigger,
			What:        say("The top of post {0} gives way {1} sideways under {2}; {3} are allowed.", number(float64(highest.Number)), tenths(highest.Sway), newton(highest.Push), tenths(p.FootSway)),
			Consequence: say("Brace it out from the track line, or the leaf leans in its rollers.")}
		k.Where, k.At = where(highest)
		plan.add(k)
	}
	if highest.Slenderness > slendernessMost {
		k := Check{Code: "footing.slender", Severity: Mind, Field: "practice.footing.post", HasMargin: true, Margin: slendernessMost - highest.Slenderness, MarginOf: Ratio, Remedies: bigger,
			What:        say("Post {0} is too slender for a compression member: {1}, usual is up to {2}.", number(float64(highest.Number)), ratio(highest.Slenderness), number(slendernessMost)),
			Consequence: say("Small knocks bend it, and bent it carries little.")}
		k.Where, k.At = where(highest)
		plan.add(k)
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
	k := Check{Code: "footing.hole", Severity: Sound, HasMargin: true, Margin: p.FootEmbedMost - deepest.Depth, MarginOf: Length,
		What: say("Holes up to {0} deep below the ground hold the posts.", mm(deepest.Depth))}
	k.Where, k.At = where(deepest)
	if !deepest.Held {
		k.Severity, k.Field = Stop, "practice.footing.embedMost"
		k.What = say("Post {0} needs a hole {1} deep; {2} can be dug by hand.", number(float64(deepest.Number)), mm(deepest.Depth), mm(p.FootEmbedMost))
		k.Consequence = say("Shallower, the bank lets it lean.")
		if wider := p.FootHole + 150; wider <= 800 {
			k.Remedies = []Remedy{{Words: say("Dig holes of {0}.", mm(wider)), Changes: []Change{{Path: "practice.footing.hole", Value: wider}}}}
		}
	}
	plan.add(k)
	for i := range f.Posts {
		if q := &f.Posts[i]; q.Bearing > 1 {
			b := Check{Code: "footing.bearing", Severity: Stop, Field: "practice.footing.hole", HasMargin: true, Margin: 1 - q.Bearing, MarginOf: Ratio,
				What:        say("The load of {0} on post {1} asks for {2} of what the ground under its hole carries.", newton(q.Load), number(float64(q.Number)), percent(q.Bearing)),
				Consequence: say("It sinks, and the track with it."),
				Remedies:    []Remedy{{Words: say("Dig holes of {0}.", mm(math.Ceil(p.FootHole*math.Sqrt(q.Bearing)/50)*50)), Changes: []Change{{Path: "practice.footing.hole", Value: math.Min(800, math.Ceil(p.FootHole*math.Sqrt(q.Bearing)/50)*50)}}}}}
			b.Where, b.At = where(q)
			plan.add(b)
			break
		}
	}
}

// slendernessMost is the slenderness above which a compression member is not
// made. Source: AISC 360, user note in E2 (memory).
const slendernessMost = 200

// tenths is a small length, of which tenths of a millimetre matter.
func tenths(v float64) Arg { return Arg{Value: math.Round(v*10) / 10, Dimension: SmallLength} }

// SmallLength is a length of which tenths of a millimetre matter, mm.
const SmallLength Dimension = "small length"

// explainFooting gives the figures of the steel footing.
func (plan *Plan) explainFooting(in *inputs, p *Practice, l *layout) {
	f := plan.Footing
	if f == nil {
		return
	}
	ground := []string{"ground.shape", "ground.levels.taken", "gate.footingBar", "opening.width"}
	built := &f.Flat
	if f.Laid == BarOnEdge {
		built = &f.OnEdge
	}
	for _, c := range [...]struct {
		id, name string
		of       *BarCase
	}{{"footing.flat", "Widest post spacing, bar flat", &f.Flat}, {"footing.onEdge", "Widest post spacing, bar on edge", &f.OnEdge}} {
		plan.figure(in, Figure{ID: c.id, Name: c.name, Dimension: Length, Value: c.of.Widest,
			How:   say("set by {0}; at {1} a wheel of {2} bends it to {3} of {4} and {5} of {6}", wordArg(c.of.SetBy), mm(c.of.Spacing), newton(f.Wheel), stress(c.of.Stress), stress(c.of.Allowable), tenths(c.of.Deflection), tenths(c.of.Limit)),
			Rules: []string{"footing.barWidth", "footing.barThickness", "footing.spacingMost", "footing.spanOver", "footing.sag", "footing.margin", "footing.push", "footing.yield", "footing.safety"}, Fields: ground, Source: sourceFooting})
	}
	plan.figure(in, Figure{ID: "footing.spacing", Name: "Between footing posts", Dimension: Length, Value: f.Spacing,
		How: say("{0} spans, none wider than {1}", number(float64(built.Spans)), mm(built.Widest)), Rules: []string{"footing.spacingMost"}, Fields: ground, Source: sourceFooting})
	plan.figure(in, Figure{ID: "footing.bar", Name: "Footing bar, cut length", Dimension: Length, Value: f.Bar,
		How: say("from chainage {0} to {1}, beyond the rear wheel and the stop, along the grade", mm(f.From), mm(f.To)), Fields: ground, Source: sourceGeometry})
	if !f.Levelled {
		return
	}
	for i := range f.Posts {
		q := &f.Posts[i]
		n := strconv.Itoa(q.Number)
		plan.figure(in, Figure{ID: "footing.post." + n, Name: fill("Footing post {0}, cut length", n), Dimension: Length, Value: q.Length,
			How:   say("{0} out of the ground at chainage {1} + {2} in its hole", mm(q.Above), mm(q.Chainage), mm(q.Depth)),
			Rules: []string{"footing.embedLeast", "footing.hole", "footing.push"}, Fields: ground, Source: sourceFooting})
	}
}
