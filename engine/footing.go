package engine

import (
	"math"

	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// steelModulus is the modulus of elasticity of steel, MPa. Source: AISC 360 and
// EN 1993-1-1 give 200 000 and 210 000 (memory); the smaller is the safe side.
const steelModulus = 200000

// postEnds is the effective-length factor of a post fixed at its foot and free
// at its top. Source: AISC 360, commentary table C-A-7.1 (memory).
const postEnds = 2

// onSteel reports whether the track runs on a steel footing.
func (in *inputs) onSteel() bool { return in.falls }

// padOnSteel reports whether the motor stands on a plate on posts.
func (in *inputs) padOnSteel() bool { return in.falls && in.padOn == survey.PadSteel }

// layoutFooting lays out the steel footing where the ground falls off the edge
// of the drive, in place of the run-back strip: the bars, the widest spacing of
// their posts, and where the posts stand. It is nil on other ground. How tall the
// posts are is for standFooting to say.
func layoutFooting(in *inputs, p *practice.Practice, l *layout, leaf *plan.Leaf) (*plan.Footing, []plan.Refusal) {
	if !in.onSteel() {
		return nil, nil
	}
	f := &plan.Footing{Laid: in.footingBar, HoleSize: p.FootHole, PostSize: p.FootPost, Plate: p.PadPlate, PadOn: in.padOn}
	near := in.runBackEdge.MaxOver(0, l.trackOffset+l.shift+p.BarWidth/2)
	first := near + p.FootHole/2
	f.From = near
	if l.hasPad && !in.padOnSteel() {
		// The far side of the pad carries the near end of the bar.
		f.OnPad, first = true, l.padFar-p.FootBearing/2
		f.From = l.padFar - p.FootBearing
	}
	// The last post stands under the end, beyond the last wheel.
	f.To = math.Max(l.stripEnd, first+minSpan) + p.FootPost/2
	last := f.To - p.FootPost/2
	cos := math.Cos(leaf.Slope)
	f.Bar = (f.To - f.From) / cos

	for i := range leaf.Panels {
		for _, w := range leaf.Panels[i].Wheels {
			f.Wheel = math.Max(f.Wheel, w.Most)
		}
	}
	f.Wheel *= p.FootMargin
	wheelBase := leaf.Panels[0].Wheels[1].At - leaf.Panels[0].Wheels[0].At
	f.Flat = barCase(p, survey.BarFlat, f.Wheel, last-first, wheelBase)
	f.OnEdge = barCase(p, survey.BarOnEdge, f.Wheel, last-first, wheelBase)
	built := f.Built()
	f.Spacing = built.Spacing
	bar, deep, err := barSection(p, f.Laid)
	f.Section, f.Deep = text.Name(bar.Name), deep
	reaction := f.Wheel*(1+math.Max(0, 1-wheelBase/f.Spacing)) + bar.Mass(f.Spacing)*motion.Gravity
	f.Posts = make([]plan.FootingPost, 0, (built.Spans+1)*l.panels+4)
	add := func(post plan.FootingPost) {
		post.Number = len(f.Posts) + 1
		f.Posts = append(f.Posts, post)
	}
	for i := range leaf.Panels {
		for k := 0; k <= built.Spans; k++ {
			if k == 0 && f.OnPad {
				continue
			}
			add(plan.FootingPost{Panel: i + 1, Chainage: first + float64(k)*f.Spacing, Offset: leaf.Panels[i].TrackOffset, Load: reaction, Push: p.FootPush})
		}
	}
	if l.hasPad && in.padOnSteel() {
		near := in.runBackEdge.MaxOver(0, l.padOut) + p.FootPost/2
		weight := l.padOut * (l.padFar - near) * p.PadPlate * steel.Density * 1e-9 * motion.Gravity
		for _, y := range [2]float64{l.leafBack + p.FootPost, l.padOut - p.FootPost/2} {
			for _, x := range [2]float64{near, l.padFar - p.FootPost/2} {
				add(plan.FootingPost{Chainage: x, Offset: y, Load: weight/4 + personOnPlate, Push: math.Max(p.MotorThrust, p.FootPush) / 4})
			}
		}
	}
	return f, plan.AppendRefusal(nil, plan.QuestionFootingUnjudged, plan.Stop, "The footing bar", err, practice.PracticePath+practice.RuleFootingBarThickness)
}

// standFooting stands the footing in the ground: how tall its posts are, their
// holes, how hard they are worked, what a bar does that runs through over them,
// and how far the ground falls under a concrete pad.
func standFooting(laid *plan.Footing, in *inputs, p *practice.Practice, leaf *plan.Leaf, g *plan.Ground, parts []plan.Outline) (*plan.Footing, []plan.Refusal) {
	if laid == nil {
		return nil, nil
	}
	standing := *laid
	f := &standing
	f.Levelled = g.HasBank()
	var err error
	f.Through, err = runThrough(f, p, leaf)
	refused := plan.AppendRefusal(nil, plan.QuestionFootingUnjudged, plan.Stop, "A bar that runs on over its posts", err, practice.PracticePath+practice.RuleFootingBarThickness)
	tube, err := footingTube(p)
	refused = plan.AppendRefusal(refused, plan.QuestionFootingUnjudged, plan.Stop, "The section of the footing posts", err, practice.PracticePath+practice.RuleFootingPostWall)
	badTube := err != nil
	class := footingSoil(in)
	f.Posts = make([]plan.FootingPost, len(laid.Posts))
	err = nil
	for i := range laid.Posts {
		q := laid.Posts[i]
		carries := f.Deep / math.Cos(leaf.Slope)
		if q.Panel == 0 {
			carries = p.PadPlate
		}
		drop, guess := dropOff(g, p.TrackBand, q.Chainage, q.Offset)
		q.Above, q.Guess = math.Max(0, drop-carries), guess
		e := standPost(&q, in, p, &class, tube)
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
	refused = plan.AppendRefusal(refused, plan.QuestionFootingUnjudged, plan.Stop, "A footing post", err, practice.PracticePath+practice.RuleFootingPost)
	if !in.padOnSteel() {
		f.PadDrop, f.PadMeanDrop = dropUnderPad(g, p.TrackBand, parts)
	}
	return f, refused
}

// dropUnderPad is how far the lowest ground under a concrete pad lies below the
// track, and the same in the middle of it, mm: the pad's underside is level, the
// footing's depth below the lowest ground under it.
func dropUnderPad(g *plan.Ground, band float64, parts []plan.Outline) (lowest, mean float64) {
	for i := range parts {
		o := &parts[i]
		if o.Kind != plan.PartPad {
			continue
		}
		for _, c := range o.Ring {
			drop, _ := dropOff(g, band, c.X, c.Y)
			lowest = math.Max(lowest, drop)
		}
		c := o.Ring.Centroid()
		drop, _ := dropOff(g, band, c.X, c.Y)
		mean = math.Min(lowest, math.Max(0, drop))
	}
	return lowest, mean
}

// footingTube is the section of the footing's posts. Where no tube has these
// sides, a solid bar stands in for its mass, and the error says so.
func footingTube(p *practice.Practice) (steel.Section, error) {
	tube, err := steel.Hollow(p.FootPost, p.FootPost, p.FootPostWall)
	if err != nil {
		solid, e := steel.Flat(p.FootPost, p.FootPost)
		if e != nil {
			return steel.Section{Name: "no such section", Height: p.FootPost, Width: p.FootPost, Area: p.FootPost * p.FootPost}, e
		}
		return solid, err
	}
	return tube, nil
}

// minSpan is the least length of a bar between its first and last support, mm:
// common practice, no published source.
const minSpan = 300

// personOnPlate is a person standing on the motor's plate, N. Common practice.
const personOnPlate = 1000

// barSection is the bar as it lies and its depth.
func barSection(p *practice.Practice, laid string) (steel.Section, float64, error) {
	deep, wide := p.BarThickness, p.BarWidth
	if laid == survey.BarOnEdge {
		deep, wide = wide, deep
	}
	s, err := steel.Flat(deep, wide)
	return s, deep, err
}

// barCase finds the widest spacing of posts for the bar laid one way, and what
// it does at the spacing that divides the length evenly. One wheel stands in a
// span at a time, since spans are never wider than the wheels stand apart.
//
//	M = P·L/4 + w·L²/8;  σ = M/W + S·L/(4·W_s) ≤ f_y/safety
//	δ = P·L³/(48·E·I) + 5·w·L⁴/(384·E·I) ≤ min(L/ratio, the most)
//
// P the wheel with its margin, w the bar's own weight, S the sideways push. A bar
// of no section that there is carries nothing.
//
// Source: any handbook of beams. Checked: testdata/references/steel.json,
// beam-midspan; the tests hold it against steel.Spacing and steel.Bar.Moving.
func barCase(p *practice.Practice, laid string, wheel, length, wheelBase float64) plan.BarCase {
	s, _, err := barSection(p, laid)
	own := s.Mass(1) * motion.Gravity
	c := plan.BarCase{Laid: laid, Allowable: p.FootYield / p.FootSafety}
	if err != nil {
		c.SetBy, c.Spans, c.Spacing = "practice", 1, length
		return c
	}
	at := func(span float64) (moment, stress, deflection, limit float64) {
		moment = wheel*span/4 + own*span*span/8
		stress = moment/s.ModulusVertical + p.FootPush*span/4/s.ModulusSideways
		rigid := steelModulus * s.InertiaVertical
		deflection = wheel*span*span*span/(48*rigid) + 5*own*span*span*span*span/(384*rigid)
		return moment, stress, deflection, math.Min(span/p.FootSpanOver, p.FootSag)
	}
	most := math.Min(p.FootSpacingMost, math.Max(minSpan, wheelBase))
	fits := func(span float64, stressOnly bool) bool {
		_, stress, deflection, limit := at(span)
		return stress <= c.Allowable && (stressOnly || deflection <= limit)
	}
	c.Widest, c.SetBy = most, "practice"
	if !fits(most, false) {
		low, high := 0.0, most
		for range 50 {
			if mid := (low + high) / 2; fits(mid, false) {
				low = mid
			} else {
				high = mid
			}
		}
		c.Widest, c.SetBy = low, "deflection"
		if !fits(low*1.001+0.001, true) {
			c.SetBy = "stress"
		}
	}
	c.Feasible = c.Widest >= minSpan
	widest := math.Max(c.Widest, minSpan)
	c.Spans = int(math.Max(1, math.Ceil(length/widest-1e-9)))
	c.Spacing = length / float64(c.Spans)
	c.Moment, c.Stress, c.Deflection, c.Limit = at(c.Spacing)
	return c
}

// runThrough finds what the bar as built does when it is not cut at its posts.
func runThrough(f *plan.Footing, p *practice.Practice, leaf *plan.Leaf) (plan.BarThrough, error) {
	built := f.Built()
	s, _, err := barSection(p, f.Laid)
	if err != nil {
		return plan.BarThrough{}, err
	}
	wheels := &leaf.Panels[0].Wheels
	spans := min(built.Spans, throughSpans)
	bar := steel.Bar{Spans: make([]float64, spans), Elasticity: steelModulus, Inertia: s.InertiaVertical, Uniform: s.Mass(1) * motion.Gravity, Continuous: true}
	for i := range bar.Spans {
		bar.Spans[i] = built.Spacing
	}
	r, err := bar.Moving([]steel.Wheel{{Load: f.Wheel}, {Behind: wheels[1].At - wheels[0].At, Load: f.Wheel}})
	if err != nil {
		return plan.BarThrough{}, err
	}
	through := plan.BarThrough{Sagging: r.Sagging, Hogging: r.Hogging, Deflection: r.Deflection, Uplift: r.Uplift}
	for _, v := range r.Reactions {
		through.Reaction = math.Max(through.Reaction, v)
	}
	return through, nil
}

// throughSpans is how many spans a bar without end is taken to have: beyond
// four nothing changes by a hundredth.
const throughSpans = 4

// standPost finds the hole of a post that is being stood, and how hard it is worked.
func standPost(post *plan.FootingPost, in *inputs, p *practice.Practice, class *soil.Class, tube steel.Section) error {
	post.Depth = p.FootEmbed
	post.Held = true
	if post.Push > 0 {
		e := soil.EmbeddedPost{Force: post.Push, Height: post.Above, Width: soil.SquareWidth(p.FootHole), Lateral: class.Lateral, Factor: 1}
		r, err := e.Nonconstrained()
		if err != nil {
			post.Held = false
		} else {
			post.Depth = math.Max(post.Depth, math.Ceil(r.Depth/embedStep)*embedStep)
		}
	}
	post.Depth += math.Max(0, in.softDepth())
	post.Held = post.Held && post.Depth <= p.FootEmbedMost+plan.Tolerance
	post.Length = post.Above + post.Depth
	post.Bearing = post.Load / (p.FootHole * p.FootHole * class.Bearing)
	check := steel.Post{Section: tube, Length: math.Max(1, post.Above), K: postEnds, Elasticity: steelModulus, Yield: p.FootYield, Safety: p.FootSafety,
		Axial: post.Load, Vertical: post.Load * p.FootEccentric, Sideways: post.Push * post.Above}
	r, err := check.Check()
	if err != nil {
		return err
	}
	post.Use, post.Slenderness = r.Utilisation, r.Slenderness
	_, post.Sway, err = steel.Cantilever(post.Push, post.Above, steelModulus, tube.InertiaSideways)
	return err
}

// embedStep is to what hole depths are rounded up, mm: common practice.
const embedStep = 50

// footingSoil is the class of the ground that holds the posts: the weakest of
// the presumptive classes unless rock was found. In soft or wet ground the
// depth to firm is dug in addition.
func footingSoil(in *inputs) soil.Class {
	key := "clay"
	if in.soil == survey.SoilRock {
		key = "soft-rock"
	}
	class, _ := soil.ClassOf(key)
	return class
}

// dropOff is how far the ground off the edge lies under the track's grade.
// Away from the line on which it was levelled it is taken to lie as low as it
// does on that line, band either side, where the surface through all readings is higher: the
// surface slants back up to the edge of the drive between them.
func dropOff(g *plan.Ground, band, x, y float64) (drop float64, guess bool) {
	drop, guess = g.DropBelowTrack(x, y)
	if !g.HasBank() || math.Abs(y-g.Track.Offset) <= band || x <= g.Model.RunBackEdge.At(y) {
		return drop, guess
	}
	return math.Max(drop, g.Track.At(x, y)-g.Model.Trend.At(x, y)-g.Model.Beside(x, y)), guess
}
