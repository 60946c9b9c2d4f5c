package engine

import (
	"math"

	"pegpour/engine/motion"
	"pegpour/engine/soil"
	"pegpour/engine/steel"
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
func (in *inputs) padOnSteel() bool { return in.falls && in.padOn == PadSteel }

// fall lays out the steel footing where the ground falls off the edge of the
// drive. It takes the place of the run-back strip, which it ends where the rear
// wheel, or the hard stop, needs it.
func (plan *Plan) fall(in *inputs, p *Practice, l *layout) {
	if !in.onSteel() {
		return
	}
	leaf := &plan.Leaf
	f := &FootingPlan{Laid: in.footingBar, HoleSize: p.FootHole, PostSize: p.FootPost, Plate: p.PadPlate, PadOn: in.padOn}
	plan.Footing = f
	end := leaf.OpenAt + leaf.Frame - leaf.Panels[0].Wheels[0].At + p.EngagementMargin
	if in.hardStop {
		end = math.Max(end, leaf.RearOpen+p.StopAllowance)
	}
	l.stripEnd, l.stripRule = end, end
	near := in.runBackEdge.MaxOver(0, l.trackOffset+l.shift+p.BarWidth/2)
	first := near + p.FootHole/2
	f.From = near
	if l.hasPad && !in.padOnSteel() {
		// The far side of the pad carries the near end of the bar.
		f.OnPad, first = true, l.padFar-p.FootBearing/2
		f.From = l.padFar - p.FootBearing
	}
	// The last post stands under the end, beyond the last wheel.
	f.To = math.Max(end, first+minSpan) + p.FootPost/2
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
	f.Flat = barCase(p, BarFlat, f.Wheel, last-first, wheelBase)
	f.OnEdge = barCase(p, BarOnEdge, f.Wheel, last-first, wheelBase)
	built := f.built()
	f.Spacing = built.Spacing
	bar, deep := barSection(p, f.Laid)
	f.Section, f.Deep = bar.Name, deep
	reaction := f.Wheel*(1+math.Max(0, 1-wheelBase/f.Spacing)) + bar.Mass(f.Spacing)*motion.Gravity
	f.Posts = make([]FootingPost, 0, (built.Spans+1)*l.panels+4)
	add := func(post FootingPost) {
		post.Number = len(f.Posts) + 1
		f.Posts = append(f.Posts, post)
	}
	for i := range leaf.Panels {
		for k := 0; k <= built.Spans; k++ {
			if k == 0 && f.OnPad {
				continue
			}
			add(FootingPost{Panel: i + 1, Chainage: first + float64(k)*f.Spacing, Offset: leaf.Panels[i].TrackOffset, Load: reaction, Push: p.FootPush})
		}
	}
	if l.hasPad && in.padOnSteel() {
		near := in.runBackEdge.MaxOver(0, l.padOut) + p.FootPost/2
		weight := l.padOut * (l.padFar - near) * p.PadPlate * steel.Density * 1e-9 * motion.Gravity
		for _, y := range [2]float64{l.leafBack + p.FootPost, l.padOut - p.FootPost/2} {
			for _, x := range [2]float64{near, l.padFar - p.FootPost/2} {
				add(FootingPost{Chainage: x, Offset: y, Load: weight/4 + personOnPlate, Push: math.Max(p.MotorThrust, p.FootPush) / 4})
			}
		}
	}
}

// standPosts finds how tall the posts of the steel footing stand, their holes,
// how hard they are worked, and what a bar does that runs through over them.
func (plan *Plan) standPosts(in *inputs, p *Practice) {
	f := plan.Footing
	if f == nil {
		return
	}
	f.Levelled = plan.Ground != nil && plan.Ground.hasBank()
	plan.runThrough(f, p)
	tube, err := steel.Hollow(p.FootPost, p.FootPost, p.FootPostWall)
	if err != nil {
		tube, _ = steel.Flat(p.FootPost, p.FootPost)
	}
	for i := range f.Posts {
		q := &f.Posts[i]
		carries := f.Deep / math.Cos(plan.Leaf.Slope)
		if q.Panel == 0 {
			carries = p.PadPlate
		}
		drop, guess := plan.dropOff(p, q.Chainage, q.Offset)
		q.Above, q.Guess = math.Max(0, drop-carries), guess
		plan.standPost(in, p, f, q, tube)
		if q.Above > f.Posts[max(0, f.Highest-1)].Above || f.Highest == 0 {
			f.Highest = q.Number
		}
		if q.Use > f.Posts[max(0, f.Worst-1)].Use || f.Worst == 0 {
			f.Worst = q.Number
		}
	}
	next := 0
	for i := range plan.Outlines {
		if o := &plan.Outlines[i]; o.Kind == PartFootingHole {
			o.Depth = f.Posts[next].Depth
			next++
		}
	}
}

// minSpan is the least length of a bar between its first and last support, mm:
// common practice, no published source.
const minSpan = 300

// personOnPlate is a person standing on the motor's plate, N. Common practice.
const personOnPlate = 1000

// barSection is the bar as it lies and its depth.
func barSection(p *Practice, laid string) (steel.Section, float64) {
	deep, wide := p.BarThickness, p.BarWidth
	if laid == BarOnEdge {
		deep, wide = wide, deep
	}
	s, _ := steel.Flat(deep, wide)
	return s, deep
}

// barCase finds the widest spacing of posts for the bar laid one way, and what
// it does at the spacing that divides the length evenly. One wheel stands in a
// span at a time, since spans are never wider than the wheels stand apart.
//
//	M = P·L/4 + w·L²/8;  σ = M/W + S·L/(4·W_s) ≤ f_y/safety
//	δ = P·L³/(48·E·I) + 5·w·L⁴/(384·E·I) ≤ min(L/ratio, the most)
//
// P the wheel with its margin, w the bar's own weight, S the sideways push.
//
// Source: any handbook of beams. Checked: testdata/references/steel.json,
// beam-midspan; the tests hold it against steel.Spacing and steel.Bar.Moving.
func barCase(p *Practice, laid string, wheel, length, wheelBase float64) BarCase {
	s, _ := barSection(p, laid)
	own := s.Mass(1) * motion.Gravity
	c := BarCase{Laid: laid, Allowable: p.FootYield / p.FootSafety}
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

// built is the way the bar is laid.
func (f *FootingPlan) built() *BarCase {
	if f.Laid == BarOnEdge {
		return &f.OnEdge
	}
	return &f.Flat
}

// runThrough finds what the bar as built does when it is not cut at its posts.
func (plan *Plan) runThrough(f *FootingPlan, p *Practice) {
	built := f.built()
	s, _ := barSection(p, f.Laid)
	wheels := plan.Leaf.Panels[0].Wheels
	spans := min(built.Spans, throughSpans)
	bar := steel.Bar{Spans: make([]float64, spans), Elasticity: steelModulus, Inertia: s.InertiaVertical, Uniform: s.Mass(1) * motion.Gravity, Continuous: true}
	for i := range bar.Spans {
		bar.Spans[i] = built.Spacing
	}
	r, err := bar.Moving([]steel.Wheel{{Load: f.Wheel}, {Behind: wheels[1].At - wheels[0].At, Load: f.Wheel}})
	if err != nil {
		return
	}
	f.Through = BarThrough{Sagging: r.Sagging, Hogging: r.Hogging, Deflection: r.Deflection, Uplift: r.Uplift}
	for _, v := range r.Reactions {
		f.Through.Reaction = math.Max(f.Through.Reaction, v)
	}
}

// throughSpans is how many spans a bar without end is taken to have: beyond
// four nothing changes by a hundredth.
const throughSpans = 4

// standPost finds the hole of a post and how hard it is worked.
func (plan *Plan) standPost(in *inputs, p *Practice, f *FootingPlan, post *FootingPost, tube steel.Section) {
	class := footingSoil(in)
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
	if in.soil == SoilSoft || in.soil == SoilWet {
		post.Depth += math.Max(0, in.depthToFirm)
	}
	post.Held = post.Held && post.Depth <= p.FootEmbedMost+tolerance
	post.Length = post.Above + post.Depth
	post.Bearing = post.Load / (p.FootHole * p.FootHole * class.Bearing)
	check := steel.Post{Section: tube, Length: math.Max(1, post.Above), K: postEnds, Elasticity: steelModulus, Yield: p.FootYield, Safety: p.FootSafety,
		Axial: post.Load, Vertical: post.Load * p.FootEccentric, Sideways: post.Push * post.Above}
	if r, err := check.Check(); err == nil {
		post.Use, post.Slenderness = r.Utilisation, r.Slenderness
	} else {
		post.Use = unbuildable
	}
	_, post.Sway, _ = steel.Cantilever(post.Push, post.Above, steelModulus, tube.InertiaSideways)
}

// unbuildable stands for the use of a post that cannot be reckoned with.
const unbuildable = 99

// embedStep is to what hole depths are rounded up, mm: common practice.
const embedStep = 50

// footingSoil is the class of the ground that holds the posts: the weakest of
// the presumptive classes unless rock was found. In soft or wet ground the
// depth to firm is dug in addition.
func footingSoil(in *inputs) soil.Class {
	key := "clay"
	if in.soil == SoilRock {
		key = "soft-rock"
	}
	class, _ := soil.ClassOf(key)
	return class
}

// dropOff is how far the ground off the edge lies under the track's grade.
// Away from the line on which it was levelled it is taken to lie as low as it
// does on that line, where the surface through all readings is higher: the
// surface slants back up to the edge of the drive between them.
func (plan *Plan) dropOff(p *Practice, x, y float64) (drop float64, guess bool) {
	g := plan.Ground
	drop, guess = g.DropBelowTrack(x, y)
	if g == nil || g.model == nil || !g.hasBank() || math.Abs(y-g.Track.Offset) <= p.TrackBand || x <= g.model.edge.At(y) {
		return drop, guess
	}
	return math.Max(drop, g.Track.At(x, y)-g.model.trend.At(x, y)-g.model.beside(x, y)), guess
}
