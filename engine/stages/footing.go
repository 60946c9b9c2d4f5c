package stages

import (
	"cmp"
	"math"

	"pegpour/engine/ground"
	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// OnSteel reports whether the track runs on a steel footing.
func (in *Inputs) OnSteel() bool { return in.falls && !in.Hangs }

// PadOnSteel reports whether the motor stands on a plate on posts.
func (in *Inputs) PadOnSteel() bool { return in.OnSteel() && in.padOn == survey.PadSteel }

// LayoutFooting lays out the steel footing where the ground falls off the edge
// of the drive, in place of the run-back strip: the bars, the widest spacing of
// their posts, and where the posts stand. It is nil on other ground. How tall the
// posts are is for StandFooting to say.
func LayoutFooting(in *Inputs, p *practice.Practice, l *Layout, leaf *plan.Leaf, blown *LeafWind) (*plan.Footing,
	[]plan.Refusal) {
	if !in.OnSteel() {
		return nil, nil
	}
	f := &plan.Footing{Laid: in.footingBar, HoleSize: p.FootHole, PostSize: p.FootPost, Plate: p.PadPlate, PadOn: in.padOn}
	near := in.RunBackEdge.MaxOver(0, l.TrackOffset+l.Shift+p.BarWidth/2)
	first := near + p.FootHole/2
	f.From = near
	if l.HasPad && !in.PadOnSteel() {
		// The far side of the pad carries the near end of the bar.
		f.OnPad, first = true, l.PadFar-p.FootBearing/2
		f.From = l.PadFar - p.FootBearing
	}
	// The last post stands under the end, beyond the last wheel.
	f.To = max(l.StripEnd, first+p.FootSpacingLeast) + p.FootPost/2
	last := f.To - p.FootPost/2
	cos := math.Cos(leaf.Slope)
	f.Bar = (f.To - f.From) / cos

	for i := range leaf.Panels {
		for _, w := range leaf.Panels[i].Wheels {
			f.Wheel = max(f.Wheel, w.Most)
		}
	}
	f.Wheel *= p.FootMargin
	wheelBase := leaf.Panels[0].Wheels[1].At - leaf.Panels[0].Wheels[0].At
	var failed [5]error
	f.Push = p.FootPush
	if blown.push != nil {
		f.Push = max(f.Push, blown.push.Wheel)
	}
	f.Flat, failed[0] = BarCase(p, survey.BarFlat, f.Wheel, f.Push, last-first, wheelBase)
	f.OnEdge, failed[1] = BarCase(p, survey.BarOnEdge, f.Wheel, f.Push, last-first, wheelBase)
	built := f.Built()
	f.Spacing = built.Spacing
	var bar steel.Section
	bar, f.Deep, failed[2] = BarSection(p, f.Laid)
	f.Section = text.Name(bar.Name)
	var reaction float64
	reaction, failed[3] = steel.PostReaction(bar, f.Spacing, f.Wheel, wheelBase)
	failed[4] = blown.err
	f.Posts = make([]plan.FootingPost, 0, (built.Spans+1)*l.Panels+4)
	add := func(post plan.FootingPost) {
		post.Number = len(f.Posts) + 1
		f.Posts = append(f.Posts, post)
	}
	for i := range leaf.Panels {
		for k := 0; k <= built.Spans; k++ {
			if k == 0 && f.OnPad {
				continue
			}
			add(plan.FootingPost{Panel: i + 1, Chainage: first + float64(k)*f.Spacing, Offset: leaf.Panels[i].TrackOffset,
				Load: reaction, Push: f.Push})
		}
	}
	if l.HasPad && in.PadOnSteel() {
		near := in.RunBackEdge.MaxOver(0, l.PadOut) + p.FootPost/2
		weight := l.PadOut * (l.PadFar - near) * p.PadPlate * steel.Density * 1e-9 * motion.Gravity
		for _, y := range [2]float64{l.LeafBack + p.FootPost, l.PadOut - p.FootPost/2} {
			for _, x := range [2]float64{near, l.PadFar - p.FootPost/2} {
				add(plan.FootingPost{Chainage: x, Offset: y, Load: weight/4 + p.PersonOnPlate,
					Push: max(p.MotorThrust, p.FootPush) / 4})
			}
		}
	}
	return f, plan.AppendRefusal(nil, plan.QuestionFootingUnjudged, plan.Stop, "The footing bar", cmp.Or(failed[:]...),
		practice.PracticePath+practice.RuleFootingBarThickness)
}

// StandFooting stands the footing in the ground: how tall its posts are, their
// holes, how hard they are worked, what a bar does that runs through over them,
// and how far the ground falls under a concrete pad.
func StandFooting(laid *plan.Footing, in *Inputs, p *practice.Practice, leaf *plan.Leaf, g *plan.Ground,
	parts []plan.Outline) (*plan.Footing, []plan.Refusal) {
	if laid == nil {
		return nil, nil
	}
	standing := *laid
	f := &standing
	f.Levelled = g.HasBank()
	var err error
	f.Through, err = runThrough(f, p, leaf)
	refused := plan.AppendRefusal(nil, plan.QuestionFootingUnjudged, plan.Stop, "A bar that runs on over its posts", err,
		practice.PracticePath+practice.RuleFootingBarThickness)
	tube, err := footingTube(p)
	refused = plan.AppendRefusal(refused, plan.QuestionFootingUnjudged, plan.Stop, "The section of the footing posts",
		err, practice.PracticePath+practice.RuleFootingPostWall)
	badTube := err != nil
	f.Posts = make([]plan.FootingPost, len(laid.Posts))
	err = nil
	var holes error
	for i := range laid.Posts {
		q := laid.Posts[i]
		carries := f.Deep / math.Cos(leaf.Slope)
		if q.Panel == 0 {
			carries = p.PadPlate
		}
		drop, guess := DropOff(g, p.TrackBand, q.Chainage, q.Offset)
		q.Above, q.Guess = max(0, drop-carries), guess
		b, away := bearingAt(in, g, q.Chainage, q.Offset)
		noHole, e := standPost(&q, &b, away, p, carries, tube)
		holes = cmp.Or(holes, noHole)
		if q.Unjudged = e != nil || badTube; q.Unjudged {
			q.Use, q.Slenderness, q.Sway = 0, 0, 0
		}
		if err == nil && !badTube {
			err = e
		}
		f.Posts[i] = q
		if q.Above > f.Posts[max(0, f.Highest-1)].Above || f.Highest == 0 {
			f.Highest = q.Number
		}
		if worst := &f.Posts[max(0, f.Worst-1)]; f.Worst == 0 || q.Use > worst.Use || worst.Unjudged && !q.Unjudged {
			f.Worst = q.Number
		}
	}
	refused = plan.AppendRefusal(refused, plan.QuestionFootingUnjudged, plan.Stop, "A footing post", err,
		practice.PracticePath+practice.RuleFootingPost)
	refused = plan.AppendRefusal(refused, plan.QuestionFootingUnjudged, plan.Stop, "The hole of a footing post", holes,
		practice.PracticePath+practice.RuleFootingHole)
	if !in.PadOnSteel() {
		f.PadDrop, f.PadMeanDrop = dropUnderPad(g, p.TrackBand, parts)
	}
	return f, refused
}

// dropUnderPad is how far the lowest ground under a concrete pad lies below the
// track, and the same in the middle of it, mm: the pad's underside is level, the
// footing's depth below the lowest ground under it.
func dropUnderPad(g *plan.Ground, band float64, parts []plan.Outline) (lowest, mean float64) {
	area := 0.0
	for i := range parts {
		o := &parts[i]
		if o.Kind != plan.PartPad {
			continue
		}
		for _, c := range o.Ring {
			drop, _ := DropOff(g, band, c.X, c.Y)
			lowest = max(lowest, drop)
		}
		c := o.Ring.Centroid()
		drop, _ := DropOff(g, band, c.X, c.Y)
		mean += o.Area * max(0, drop)
		area += o.Area
	}
	if area == 0 {
		return 0, 0
	}
	return lowest, min(lowest, mean/area)
}

// footingTube is the section of the footing's posts. Where no tube has these
// sides, a solid bar stands in for its mass, and the error says so.
func footingTube(p *practice.Practice) (steel.Section, error) {
	tube, err := steel.Hollow(p.FootPost, p.FootPost, p.FootPostWall)
	if err != nil {
		solid, e := steel.Flat(p.FootPost, p.FootPost)
		if e != nil {
			return steel.Section{Name: "no such section", Height: p.FootPost, Width: p.FootPost, Area: p.FootPost * p.FootPost},
				e
		}
		return solid, err
	}
	return tube, nil
}

// BarSection is the bar as it lies and its depth.
func BarSection(p *practice.Practice, laid string) (steel.Section, float64, error) {
	deep, wide := p.BarThickness, p.BarWidth
	if laid == survey.BarOnEdge {
		deep, wide = wide, deep
	}
	s, err := steel.Flat(deep, wide)
	return s, deep, err
}

// BarCase finds the widest spacing of posts for the bar laid one way, and what
// it does at the spacing that divides the length evenly. One wheel stands in a
// span at a time, since spans are never wider than the wheels stand apart. Where
// the narrowest spacing of the practice is wider than its widest, the widest
// holds. A bar that a formula refuses lies in one span, and carries nothing.
func BarCase(p *practice.Practice, laid string, wheel, push, length, wheelBase float64) (plan.BarCase, error) {
	c := plan.BarCase{Laid: laid, SetBy: setBy[steel.LimitedByMost], Spans: 1, Spacing: length,
		Allowable: p.FootYield / p.FootSafety}
	section, _, err := BarSection(p, laid)
	if err != nil {
		return c, err
	}
	most := min(p.FootSpacingMost, max(p.FootSpacingLeast, wheelBase))
	spans, err := steel.EvenSpacing{Section: section, Elasticity: steel.LowElasticity, Allowable: c.Allowable,
		Wheel: wheel, Sideways: push,
		SpanOver: p.FootSpanOver, MostDeflection: p.FootSag, Least: min(p.FootSpacingLeast, most), Most: most,
		Length: length}.Divide()
	if err != nil {
		return c, err
	}
	c.Widest, c.SetBy, c.Feasible, c.Spans, c.Spacing = spans.Widest, setBy[spans.LimitedBy], spans.Feasible, spans.Spans,
		spans.Spacing
	use := &spans.Use
	c.Moment, c.Stress, c.Deflection, c.Limit = use.Moment, use.Stress, use.Deflection, use.DeflectionLimit
	return c, nil
}

// setBy is how documents name what sets the widest spacing.
var setBy = map[steel.SpacingLimit]text.Name{
	steel.LimitedByMost: "practice", steel.LimitedByDeflection: "deflection", steel.LimitedByStress: "stress",
}

// runThrough finds what the bar as built does when it is not cut at its posts.
func runThrough(f *plan.Footing, p *practice.Practice, leaf *plan.Leaf) (plan.BarThrough, error) {
	built := f.Built()
	s, _, err := BarSection(p, f.Laid)
	if err != nil {
		return plan.BarThrough{Unjudged: true}, err
	}
	wheels := &leaf.Panels[0].Wheels
	spans := min(built.Spans, throughSpans)
	bar := steel.Bar{Spans: make([]float64, spans), Elasticity: steel.LowElasticity, Inertia: s.InertiaVertical,
		Uniform: s.Mass(1) * motion.Gravity, Continuous: true}
	for i := range bar.Spans {
		bar.Spans[i] = built.Spacing
	}
	r, err := bar.Moving([]steel.Wheel{{Load: f.Wheel}, {Behind: wheels[1].At - wheels[0].At, Load: f.Wheel}})
	if err != nil {
		return plan.BarThrough{Unjudged: true}, err
	}
	through := plan.BarThrough{Sagging: r.Sagging, Hogging: r.Hogging, Deflection: r.Deflection, Uplift: r.Uplift}
	for _, v := range r.Reactions {
		through.Reaction = max(through.Reaction, v)
	}
	return through, nil
}

// throughSpans is how many spans a bar without end is taken to have: beyond
// four nothing changes by a hundredth.
const throughSpans = 4

// standPost finds the hole of a post that is being stood, and how hard it is
// worked; carries is the depth of the bar or plate on it, mm, away why the ground at
// it holds nothing. Of what a formula refuses of either there is an error.
func standPost(post *plan.FootingPost, b *ground.Bearing, away error, p *practice.Practice, carries float64,
	tube steel.Section) (hole, strength error) {
	post.Depth = p.FootEmbed
	post.Held = true
	lever := post.Above + carries // the push acts at the top of what the post carries
	switch {
	case !b.Firm.Presumed:
		post.Held, hole = false, refuseGround(b)
	case away != nil:
		post.Held, hole = false, away
	case post.Push > 0:
		e := soil.EmbeddedPost{Force: post.Push, Height: lever + b.DepthToFirm, Width: soil.SquareWidth(p.FootHole),
			Lateral: b.Firm.Lateral, Factor: 1}
		r, err := e.Nonconstrained()
		if err != nil {
			post.Held, hole = false, err
		} else {
			post.Depth = max(post.Depth, math.Ceil(r.Depth/p.HoleStep)*p.HoleStep)
		}
	}
	post.Depth = max(post.Depth+b.DepthToFirm, math.Ceil(b.Moves()/p.HoleStep)*p.HoleStep)
	post.Held = post.Held && post.Depth <= p.FootEmbedMost+plan.Tolerance
	post.Length = post.Above + post.Depth
	if b.Firm.Presumed {
		post.BearingUse = post.Load / (p.FootHole * p.FootHole * b.Firm.Bearing)
	}
	check := steel.Post{Section: tube, Length: max(1, post.Above), K: steel.CantileverLength,
		Elasticity: steel.LowElasticity, Yield: p.FootYield, Safety: p.FootSafety,
		Axial: post.Load, Vertical: post.Load * p.FootEccentric, Sideways: post.Push * lever}
	r, err := check.Check()
	if err != nil {
		return hole, err
	}
	post.Use, post.Slenderness = r.Utilisation, r.Slenderness
	_, post.Sway, err = steel.Cantilever(post.Push, lever, steel.LowElasticity, tube.InertiaSideways)
	return hole, err
}

// DropOff is how far the ground off the edge lies under the track's grade.
// Away from the line on which it was levelled it is taken to lie as low as it
// does on that line, band either side, where the surface through all readings is higher: the
// surface slants back up to the edge of the drive between them.
func DropOff(g *plan.Ground, band, x, y float64) (drop float64, guess bool) {
	drop, guess = g.DropBelowTrack(x, y)
	if !g.HasBank() || math.Abs(y-g.Track.Offset) <= band || x <= g.Model.RunBackEdge.At(y) {
		return drop, guess
	}
	return max(drop, g.Track.At(x, y)-g.Model.Trend.At(x, y)-g.Model.Beside(x, y)), guess
}
