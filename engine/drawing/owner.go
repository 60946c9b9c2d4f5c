package drawing

import (
	"math"
	"slices"

	"pegpour/engine/draw"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// LayerScaleFigures is the layer of car and person in the owner's views.
const LayerScaleFigures = "Car and person"

// OwnerOptions choose what the owner sees.
type OwnerOptions struct {
	// Open is how far the gate stands open, 0 shut to 1 open; what lies outside
	// is taken to the nearer end, NaN as shut.
	Open float64
	// Inside looks from inside the property instead of from the street.
	Inside bool
	// Figures shows a car and a person for scale.
	Figures bool
	// Say and Write as in SceneOptions.
	Say   func(string) string
	Write func(text.Arg) string
}

func (o *OwnerOptions) words(s string) string {
	if o.Say != nil {
		return o.Say(s)
	}
	return s
}

// share is Open within 0 to 1.
func (o *OwnerOptions) share() float64 {
	if !(o.Open > 0) {
		return 0
	}
	return min(o.Open, 1)
}

// panelBox is one panel of the leaf where it stands now.
type panelBox struct {
	x1, x2, y1, y2 float64
	latch          bool    // of the latch side
	tail           float64 // how far the bottom rail runs on past x2; negative: before x1
}

// panelsAt finds the leaf's panels with the gate open by a share of its way:
// each goes from where it stands shut to where it stands open.
func panelsAt(p *plan.Plan, share float64) []panelBox {
	var shut, open []plan.Outline
	for i := range p.Outlines {
		switch p.Outlines[i].Kind {
		case plan.PartLeafShut:
			shut = append(shut, p.Outlines[i])
		case plan.PartLeafOpen:
			open = append(open, p.Outlines[i])
		}
	}
	var all []panelBox
	for i := range shut {
		if i >= len(open) {
			break
		}
		low, high := shut[i].Ring.Bounds()
		to, end := open[i].Ring.Bounds()
		tail := max(0, (end.X-to.X)-(high.X-low.X))
		move := share * (to.X - low.X)
		if shut[i].Latch { // it runs the other way, its tail behind it
			move, tail = share*(end.X-high.X), -tail
		}
		all = append(all, panelBox{x1: low.X + move, x2: high.X + move, y1: low.Y, y2: high.Y, latch: shut[i].Latch, tail: tail})
	}
	return all
}

// OwnerPlanScene draws the plan without any figure: the drive, the fence, the
// gate where it stands now, what is poured, and a car for scale.
func OwnerPlanScene(p *plan.Plan, o OwnerOptions) *draw.Scene {
	s := &draw.Scene{Title: o.words("Seen from above"), Desc: OwnerSpoken(p, o)}
	options := SceneOptions{Say: o.Say}
	area := func(id string, ring draw.Ring, holes ...geom.Polygon) {
		r := draw.Region{Tag: ownerTag(p, id), Outer: ring, Light: draw.LightFull}
		if id == "drive" {
			r.Hatch = surfaceHatch(p.Site.Surface)
		}
		for _, h := range holes {
			r.Holes = append(r.Holes, ringOf(h))
		}
		s.Add(r)
	}
	drive := ownerDrive(p, &OwnerOptions{})
	start, end := ownerExtent(p)
	area("ground", draw.RectRing(start, -ownerOuter, end, ownerFar))
	area("drive", ringOf(drive))
	for i := range p.Poured {
		area("poured", ringOf(p.Poured[i].Outer), p.Poured[i].Holes...)
	}
	depth := postDepth(p)
	_, post := p.Site.PostRunBack.Bounds()
	first, _ := p.Site.PostLatch.Bounds()
	for _, f := range [...][2]float64{{start, first.X}, {post.X, end}} {
		if f[1] > f[0] {
			area("fence", draw.RectRing(f[0], -depth*0.7, f[1], -depth*0.3))
		}
	}
	area("post", ringOf(p.Site.PostLatch))
	area("post", ringOf(p.Site.PostRunBack))
	for i := range p.Site.Obstructions {
		ob := &p.Site.Obstructions[i]
		c := ob.Box.Centroid()
		area("obstruction", ringOf(ob.Box))
		s.Add(draw.Leader{Tag: draw.Tag{ID: "owner.obstruction.name", Role: draw.RoleNote, Context: true},
			At: draw.Pt(c.X, c.Y), Text: plan.NameOfObstruction(ob).In(options.words)})
	}
	for _, side := range p.Sides() {
		if side.HangsFree() {
			continue
		}
		from, to := side.At(side.Track.Start), side.At(side.Track.End)
		s.Add(draw.Line{Tag: ownerTag(p, "track"), From: draw.Pt(from, p.Track.Offset), To: draw.Pt(to, p.Track.Offset)})
	}
	for i := range p.Outlines {
		id := ""
		switch p.Outlines[i].Kind {
		case plan.PartMotor:
			id = "motor"
		case plan.PartGuidePost:
			id = "guide"
		case plan.PartOutletPost:
			id = "outlet"
		case plan.PartHardStop, plan.PartMeetingStop:
			id = "stop"
		default:
			continue
		}
		area(id, ringOf(p.Outlines[i].Ring))
	}
	for _, b := range panelsAt(p, o.share()) {
		area("leaf", draw.RectRing(b.x1, b.y1, b.x2, b.y2))
	}
	if o.Figures {
		carFromAbove(s, p)
	}
	return s
}

// ownerExtent is how far along the fence the owner's views go, mm.
func ownerExtent(p *plan.Plan) (start, end float64) {
	low, high := boundsOfParts(p)
	return min(low.X, 0) - 900, max(high.X, p.Opening) + 500
}

// How far the owner's views go to either side of the fence, mm: a car's length where
// the car stands, the front garden or a little of the street where it does not.
const (
	ownerFar   = carLong + 900
	ownerOuter = 1500.0
)

// reach is how far the drive is shown towards the street and into the property, mm.
func (o *OwnerOptions) reach() (outer, inner float64) {
	if o.Inside && o.Figures {
		return ownerFar, ownerGarden
	}
	return ownerOuter, ownerFar
}

// ownerDrive is the drive carried on along its edges as far as the owner's
// views go, from the street in.
func ownerDrive(p *plan.Plan, o *OwnerOptions) geom.Polygon {
	right, left := ownerEdges(p, o)
	ring := append(geom.Polygon(nil), right...)
	for i := len(left) - 1; i >= 0; i-- {
		ring = append(ring, left[i])
	}
	return ring
}

// ownerEdges are the drive's edges carried on so.
func ownerEdges(p *plan.Plan, o *OwnerOptions) (right, left []geom.Point) {
	outer, inner := o.reach()
	carry := func(line []geom.Point) []geom.Point {
		if len(line) < 2 {
			return line
		}
		out := append([]geom.Point(nil), line...)
		a, b := out[len(out)-2], out[len(out)-1]
		// An edge that lies nearly along the fence goes no further.
		if dy := b.Y - a.Y; dy > 1 && b.Y < inner {
			x := b.X + (inner-b.Y)*(b.X-a.X)/dy
			out = append(out, geom.Point{X: max(b.X-1.5*inner, min(b.X+1.5*inner, x)), Y: inner})
		}
		if a := out[0]; a.Y > -outer {
			out = append([]geom.Point{{X: a.X, Y: -outer}}, out...)
		}
		return out
	}
	return keptApart(carry(p.Site.RunBackEdge), carry(p.Site.LatchEdge))
}

// ownerLane is the least width of the drive shown, mm: edges that come together
// further in than was taped would cross.
const ownerLane = 600.0

// keptApart leaves a lane between two edges where they would come together or cross.
func keptApart(right, left []geom.Point) (r, l []geom.Point) {
	var ys []float64
	for _, q := range append(slices.Clip(right), left...) {
		ys = append(ys, q.Y)
	}
	slices.Sort(ys)
	gap := func(y float64) float64 { return edgeAt(right, y) - edgeAt(left, y) }
	near := func(y float64) bool { return gap(y) < ownerLane }
	if !slices.ContainsFunc(ys, near) {
		return right, left
	}
	for i := 1; i < len(ys); i++ {
		a, b := ys[i-1], ys[i]
		if near(a) != near(b) {
			ys = slices.Insert(ys, i, a+(b-a)*(gap(a)-ownerLane)/(gap(a)-gap(b)))
			i++
		}
	}
	for _, y := range slices.Compact(ys) {
		middle, half := (edgeAt(right, y)+edgeAt(left, y))/2, max(gap(y), ownerLane)/2
		r, l = append(r, geom.Point{X: middle + half, Y: y}), append(l, geom.Point{X: middle - half, Y: y})
	}
	return r, l
}

// driveAxis is where the drive's middle meets the fence, and its direction from there;
// false where the edges are not known.
func driveAxis(p *plan.Plan) (at draw.Point, sin, cos float64, ok bool) {
	middle := func(y float64) float64 { return (edgeAt(p.Site.RunBackEdge, y) + edgeAt(p.Site.LatchEdge, y)) / 2 }
	a, b := middle(0), middle(ownerNear)
	long := math.Hypot(b-a, ownerNear)
	if math.IsNaN(long) || len(p.Site.RunBackEdge) < 2 || len(p.Site.LatchEdge) < 2 {
		return draw.Pt(p.Opening/2, 0), 1, 0, false
	}
	return draw.Pt(a, 0), ownerNear / long, (b - a) / long, true
}

// ownerNear is how far inside the drive's direction is taken, mm.
const ownerNear = 1000.0

// driveWidth is the drive where it is narrowest inside the gate, as far as it is
// drawn, square to its own direction, mm.
func driveWidth(p *plan.Plan) float64 {
	narrow := math.Inf(1)
	_, sin, _, ok := driveAxis(p)
	if !ok {
		return narrow
	}
	right, left := p.Site.RunBackEdge, p.Site.LatchEdge
	for _, q := range append(append([]geom.Point{{}}, right...), left...) {
		if q.Y >= 0 {
			narrow = min(narrow, sin*(edgeAt(right, q.Y)-edgeAt(left, q.Y)))
		}
	}
	return max(0, narrow)
}

// OwnerSpoken is the summary in plain words.
func OwnerSpoken(p *plan.Plan, o OwnerOptions) string {
	if p.Pair != nil {
		t := text.Say("Two leaves that meet close an opening of {0}. They stand {1} open.", text.MM(p.Opening),
			text.Arg{Value: o.share(), Dimension: text.Fraction})
		return (&SceneOptions{Say: o.Say, Write: o.Write}).sentence(t)
	}
	t := text.Say("The gate closes an opening of {0} and slides {1} seen from the street. It stands {2} open.",
		text.MM(p.Opening), text.Word(streetHand(p)), text.Arg{Value: o.share(), Dimension: text.Fraction})
	return t.Write(o.words(t.Format), func(a text.Arg) string {
		if a.Dimension == text.Words {
			return a.Words.In(o.words)
		}
		if o.Write != nil {
			return o.Write(a)
		}
		return text.PlainArg(a)
	})
}

// streetHand is the way the gate opens as seen from the street.
func streetHand(p *plan.Plan) text.Name {
	if p.Mirrored() {
		return "to the left"
	}
	return "to the right"
}

// OwnerFacts are what an owner asks, in plain words and without a price.
func OwnerFacts(p *plan.Plan) []text.Text {
	var facts []text.Text
	wide := 0.0
	for _, side := range p.Sides() {
		wide += side.Leaf.ClearStraight
	}
	if p.Pair == nil {
		facts = append(facts, text.Say("The gate slides {0}, seen from the street.", text.Word(streetHand(p))))
	} else {
		facts = append(facts, text.Say("Two leaves meet in the drive, and each slides to its own side."))
		if known := p.Pair.RunBack.Ground.Known() || p.Pair.Latch.Ground.Known(); known && p.WholeGround() == nil {
			facts = append(facts, text.Say("The picture shows the ground level, which it is not."))
		}
	}
	clear := text.Say("A car has {0} to drive through.", text.MM(wide))
	if drive := driveWidth(p); drive < wide-plan.Tolerance {
		clear = text.Say("A car has {0} to drive through: the drive is narrower than the gate.", text.MM(drive))
	}
	facts = append(facts, clear)
	for _, side := range p.Sides() {
		if side.Leaf.RearOpen > side.Opening {
			facts = append(facts, side.Said(text.Say(
				"Behind the post the open gate needs {0} along the fence, kept free of plants and bins.",
				text.MM(side.Leaf.RearOpen-side.Opening))))
		}
	}
	switch {
	case p.HangsFree():
		facts = append(facts, text.Say("Your drive stays as it is: nothing is laid on it, and the gate hangs free over it with up to {0} of gap.",
			text.MM(p.Leaf.Hanging.Widest.Gap)))
	case p.Site.CarriesTrack:
		facts = append(facts, text.Say("Your drive stays as it is: only a low track is fixed on it."))
	case p.Site.Surface == survey.SurfacePavers:
		facts = append(facts, text.Say("A strip of your pavers is lifted for the track."))
	case p.Quantities.SawCut > 0:
		facts = append(facts, text.Say("A strip is cut out of your drive for the track and filled with concrete."))
	default:
		facts = append(facts, text.Say("A strip of concrete goes across your drive for the track."))
	}
	for _, side := range p.Sides() {
		low, high, ok := side.Extent(plan.PartPad)
		if !ok {
			continue
		}
		says := text.Say("Beside the drive the motor gets a concrete base of about {0} by {1}.",
			text.MM(high.X-low.X), text.MM(high.Y-low.Y))
		if side.HangsFree() {
			says = text.Say("Beside the drive a concrete block of about {0} by {1} carries the gate.", says.Args...)
		}
		facts = append(facts, side.Said(says))
	}
	if c := p.Leaf.Colour; c == survey.ColourBare {
		facts = append(facts, text.Say("The gate's metal is left as it is, without a coat of colour."))
	} else if c != "" {
		for _, o := range survey.FieldOf(survey.GateColour).Options {
			if o.Value == c {
				facts = append(facts, text.Say("Colour of the gate's metal: {0}.", text.Word(text.Name(o.Words))))
			}
		}
	}
	if p.Has(plan.PartMotor) {
		facts = append(facts, text.Say("The motor needs power: a licensed electrician brings it."))
	}
	facts = append(facts, text.Say("After the pour no car for seven days where concrete crosses the drive."))
	if p.Site.CarriesTrack {
		facts = facts[:len(facts)-1]
	}
	return facts
}
