package stages

import (
	"cmp"
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/refusal"
	"pegpour/engine/soil"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// hangingInputs are of a leaf that hangs free.
type hangingInputs struct {
	Hangs                     bool
	Bears, Spacing, Clearance float64 // N, mm, mm; 0 where not given
	Beam                      plan.Beam
	// BeamPart says that some of the maker's numbers of the beam are missing.
	BeamPart bool
}

// resolveHanging reads it. What carries the leaf is a track where nothing is said:
// surveys had no other way before.
func resolveHanging(r *survey.Reader) (in hangingInputs) {
	if in.Hangs = r.Words(survey.GateCarried) == survey.CarriedFree; !in.Hangs {
		return in
	}
	in.Bears, _ = r.Number(survey.GateHangingBears)
	in.Clearance, _ = r.Number(survey.GateHangingClearance)
	taken := func(path survey.Path) float64 {
		v, _, _ := r.Reading(path)
		return v.Size
	}
	in.Spacing = taken(survey.GateHangingSpacing)
	mass, inertia, modulus := taken(survey.GateHangingBeamMass), taken(survey.GateHangingBeamInertia),
		taken(survey.GateHangingBeamModulus)
	if mass > 0 && inertia > 0 && modulus > 0 {
		in.Beam = plan.Beam{Section: "beam by its maker's numbers", Mass: mass, Inertia: inertia * 1e4, Modulus: modulus * 1e3,
			ByMaker: true}
		in.Beam.Height = 2 * in.Beam.Inertia / in.Beam.Modulus
		return in
	}
	in.BeamPart = mass > 0 || inertia > 0 || modulus > 0
	in.Beam = shopBeam(r.Practice())
	return in
}

// shopBeam is the hollow section that the shop takes.
func shopBeam(p *practice.Practice) plan.Beam {
	s, err := steel.Hollow(p.HangBeamHeight, p.HangBeamWidth, p.HangBeamWall)
	if err != nil {
		return plan.Beam{Section: "no such section", Height: p.HangBeamHeight}
	}
	return plan.Beam{Section: text.Name(s.Name), Height: s.Height, Mass: s.MassPerMetre(), Inertia: s.InertiaVertical,
		Modulus: s.ModulusVertical}
}

// ForHanging is the practice as a leaf that hangs free is made: the beam stands in
// the bottom rail's place, and heights count from the block as they count from the
// foot of a track.
func ForHanging(in *Inputs, p practice.Practice) practice.Practice {
	p.LeafAbove, p.BottomRail = p.HangUnder, in.Beam.Height
	p.HangClearance, p.Rolling = in.Clearance, p.HangRolls
	return p
}

// carriageReach is how much of the beam a carriage takes from its middle, mm.
func carriageReach(p *practice.Practice) float64 { return p.HangCarriage/2 + p.EngagementMargin }

// leastBetween is the least distance of the carriages, mm: nearer to each other than
// the beam is deep they are one.
func leastBetween(in *Inputs, p *practice.Practice) float64 {
	return max(in.Beam.Height, p.HangCarriage)
}

// placeHanging puts the front carriage as near to the post as rule and edge of the
// drive allow, and gives the block its width.
func (l *Placement) placeHanging(in *Inputs, p *practice.Practice) {
	half := max(p.LeafThickness, p.HangBeamWidth) / 2
	l.LeafFront = l.TrackOffset - half
	if front := l.TrackOffset - p.LeafThickness/2 - in.Cladding; front < l.LeafFront {
		l.LeafFront = front
	}
	l.LeafBack = l.TrackOffset + half
	l.PadOut = max(l.PadOut, p.HangBlockWidth)
}

// counterStep is by how much the counter part is tried longer or shorter, mm.
const counterStep = 100

// HangLeaf makes the leaf that hangs free, with the counter part that carriages and
// beam ask for, and puts the rear carriage and the end of the block.
//
// The rear carriage stands as far back as the counter part lets it while the leaf is
// shut, with the carriage's length and the margin of engagement in the beam:
//
//	C = x_rear + half a carriage + margin − W − o
//
// The shop's first guess of C stands where it holds, or where it is not known what
// the carriages bear and the nose sags no more than the catch lifts. Else it is the
// length nearest to it that holds: farther apart the carriages carry less and the beam
// sags more, while the block is longer and turns less on its ground. So what sags is
// tried with a shorter counter part first and then with a longer one.
func HangLeaf(in *Inputs, p *practice.Practice, placed *Placement) (Placement, plan.Leaf, []plan.Refusal) {
	reach, least := carriageReach(p), leastBetween(in, p)
	front := placed.Front
	counterOf := func(between float64) float64 { return front + between + reach - in.Width - p.OverlapRunBack }
	var tried plan.Leaf // with a length that did not hold
	build := func(between float64) (Placement, plan.Leaf, []plan.Refusal) {
		l := *placed
		l.Rear = front + between
		l.PadFar = max(l.PadFar, l.Rear+p.HangEdge)
		leaf, refused := buildLeaf(in, p, &l, 0, &tried)
		return l, leaf, append(refused, hang(in, p, &l, &leaf, tried.Hanging)...)
	}
	if in.Spacing > 0 {
		l, leaf, refused := build(in.Spacing)
		leaf.Hanging.By = plan.CounterByGiven
		return l, leaf, refused
	}
	rule := max(least, p.HangCounter*in.Width+in.Width+p.OverlapRunBack-front-reach)
	l, leaf, refused := build(rule)
	leaf.Hanging.By = plan.CounterByRule
	if HoldsUp(leaf.Hanging) {
		return l, leaf, refused
	}
	none := func() (Placement, plan.Leaf, []plan.Refusal) {
		leaf.Hanging.By = plan.CounterByNone
		return l, leaf, refused
	}
	over, sags := overloaded(leaf.Hanging), leaf.Hanging.Down() > leaf.Hanging.Ramp
	for _, step := range [2]float64{-counterStep, counterStep} {
		if leaf.Hanging.Unjudged || !over && !sags || over && step < 0 {
			continue // no length helps the beam's own strength, and none that is less a carriage
		}
		for between := rule + step; between >= least && counterOf(between) <= in.Width; between += step {
			l, leaf, refused := build(between)
			if HoldsUp(leaf.Hanging) {
				leaf.Hanging.By = plan.CounterByFound
				return l, leaf, refused
			}
			tried = leaf
			if h := leaf.Hanging; step > 0 && h.Sag+h.Play > h.Ramp {
				break // and sags more, the longer it is
			}
		}
	}
	return none()
}

// overloaded reports whether a carriage carries more than it is made for.
func overloaded(h *plan.Hanging) bool {
	front, rear := h.MostCarried()
	return h.Bears > 0 && max(front, rear) > h.Bears
}

// HoldsUp reports whether carriages, beam and catch take a leaf as it hangs.
func HoldsUp(h *plan.Hanging) bool {
	return !h.Unjudged && !overloaded(h) && h.Down() <= h.Ramp && h.Stress <= h.May
}

// carriedSteps is at how many places of the travel the carriages are looked at.
const carriedSteps = 4

// hang finds what carriages and beam of a leaf take, and gives it to the leaf, written
// over what is not wanted.
func hang(in *Inputs, p *practice.Practice, l *Placement, leaf *plan.Leaf, over *plan.Hanging) []plan.Refusal {
	if over == nil {
		over = &plan.Hanging{Carried: make([]plan.CarriedAt, 0, carriedSteps+1)}
	}
	panel, h := &leaf.Panels[0], over
	*h = plan.Hanging{Carried: over.Carried[:0], Front: l.Front, Rear: l.Rear, Between: l.Rear - l.Front, Counter: leaf.Tail,
		Whole: leaf.Frame + leaf.Tail, Weight: panel.Mass * motion.Gravity, Centre: l.Front - panel.ShutAt - panel.CentreAlong,
		Bears: in.Bears, Beam: in.Beam, Over: l.Front - panel.ShutAt, Play: p.HangPlay, Ramp: p.HangRamp,
		Clearance: p.HangClearance, Under: p.HangUnder, May: p.PostYield / p.SteelSafety}
	leaf.Hanging = h
	elasticity := float64(steel.LowElasticity)
	if in.Metal == survey.MetalAluminium && !in.Beam.ByMaker {
		elasticity, h.May = steel.AluminiumElasticity, p.AluminiumYield/p.SteelSafety
		h.Beam.Mass *= steel.AluminiumDensity / steel.Density
		h.Beam.Section = text.Named("aluminium {0}", h.Beam.Section)
	}
	c := steel.TwoCarriages{Weight: h.Weight, Centre: h.Centre, Between: h.Between}
	var refused error
	for i := range carriedSteps + 1 {
		at := plan.CarriedAt{Travelled: max(0, leaf.Travel) * float64(i) / carriedSteps}
		var err error
		at.Front, at.Rear, err = c.Carried(at.Travelled)
		refused = cmp.Or(refused, err)
		h.Carried = append(h.Carried, at)
	}
	// Stiles at even distances are a load evenly spread, and half a stile at the nose.
	for i := range leaf.Members {
		if m := &leaf.Members[i]; m.Mark == markStile {
			h.End = m.Mass / float64(m.Count) / 2 * motion.Gravity
		}
	}
	moment := h.Weight*h.Centre + behind(h, p, leaf, panel)*motion.Gravity
	q := max(0, moment-h.End*h.Over) * 2 / (h.Over * h.Over)
	var err error
	h.Moment, h.Sag, err = steel.Overhang{Over: h.Over, Between: h.Between, Elasticity: elasticity, Inertia: h.Beam.Inertia,
		Uniform: q, End: h.End}.Nose()
	refused = cmp.Or(refused, err)
	refused = cmp.Or(refused, tilt(h, in, l, panel))
	if h.Beam.Modulus > 0 {
		h.Stress = h.Moment / h.Beam.Modulus
	} else {
		refused = cmp.Or(refused, error(errNoBeam))
	}
	h.Unjudged = refused != nil
	return plan.AppendRefusal(nil, plan.QuestionHangingUnjudged, plan.Stop, "What carriages and beam take", refused,
		practice.PracticePath+practice.RuleHangBeamHeight)
}

// tilt finds how far the nose goes down as the block turns on its ground under the shut
// leaf, by the ground's soft end.
func tilt(h *plan.Hanging, in *Inputs, l *Placement, panel *plan.Panel) error {
	firm := &in.Bearing.Firm
	if h.Tilts = firm.Presumed; !h.Tilts {
		return nil
	}
	near := in.RunBackEdge.MaxOver(0, l.PadOut)
	middle := (near + l.PadFar) / 2
	angle, err := soil.Tilt(h.Weight*max(0, middle-h.Front+h.Centre), firm.SubgradeModulus.Low, l.PadOut, l.PadFar-near)
	h.Tilt = angle * (middle - panel.ShutAt)
	return err
}

const errNoBeam = refusal.Error("no hollow section has the sides of the beam")

// behind is what stands behind the front carriage of the shut leaf times how far, kg·mm:
// of the beam, its brace, the guide rail and the rack. With the weight and its centre it
// gives what hangs before it.
func behind(h *plan.Hanging, p *practice.Practice, leaf *plan.Leaf, panel *plan.Panel) float64 {
	tail := func(each, to float64) float64 { return each / 1000 * math.Pow(max(0, to-h.Over), 2) / 2 }
	sum := tail(h.Beam.Mass, h.Whole) + tail(p.MassGuideRail, leaf.Frame+panel.RailOver)
	if panel.Driven {
		sum += tail(p.MassRack, leaf.Rack)
	}
	for i := range leaf.Members {
		if m := &leaf.Members[i]; m.Mark == markBrace {
			sum += m.Mass * max(0, leaf.Frame+leaf.Tail/2-h.Over)
		}
	}
	return sum
}

// outlineHanging adds the counter part of the shut leaf and both carriages.
func (list *OutlineList) outlineHanging(p *practice.Practice, l *Layout, leaf *plan.Leaf) {
	h := leaf.Hanging
	half := p.HangBeamWidth / 2
	end := leaf.ShutAt + leaf.Frame
	list.stand(plan.PartCounter, 1, "Counter part", geom.RectangleOf(end, l.TrackOffset-half, end+leaf.Tail, l.TrackOffset+half))
	for i, x := range [2]float64{h.Front, h.Rear} {
		list.stand(plan.PartCarriage, i+1, [2]text.Name{"Front carriage", "Rear carriage"}[i],
			geom.RectangleOf(x-p.HangCarriage/2, l.TrackOffset-half, x+p.HangCarriage/2, l.TrackOffset+half))
	}
}

// What only a leaf that hangs free is made of.
const (
	markBeam  = text.Name("Beam with counter part")
	markBrace = text.Name("Brace of the counter part")
	markStile = text.Name("Stile")
)

// hangingMembers are beam and brace of a leaf that hangs free, in the bottom rail's
// place. The brace goes from the top of the rear stile to the end of the beam.
func (b *leafBuilder) hangingMembers(panel *plan.Panel, rail steel.Section, railName text.Name, stile float64) {
	p, leaf, beam := b.p, b.leaf, b.in.Beam
	metal := b.metal
	if beam.ByMaker {
		metal = 1
	}
	length := leaf.Frame + panel.Tail
	mass := beam.Mass * metal * length / 1000
	name := beam.Section
	if b.aluminium && !beam.ByMaker {
		name = text.Named("aluminium {0}", name)
	}
	b.member(plan.Member{Mark: markBeam, Section: name, Length: length, Count: 1, Mass: mass, Metal: true}, beam.Height)
	b.add(mass, length/2, p.LeafAbove+beam.Height/2, 0)
	if beam.Mass == 0 {
		leaf.SectionMissing = true
	}
	brace := math.Hypot(panel.Tail, stile)
	mass = rail.Mass(brace) * b.metal
	b.member(plan.Member{Mark: markBrace, Section: railName, Length: brace, Count: 1, Mass: mass, Metal: true}, p.RailHeight)
	b.add(mass, leaf.Frame+panel.Tail/2, p.LeafAbove+beam.Height+stile/2, 0)
}

// WithBeam is a site and a practice with the shop's beam of another height, mm.
func WithBeam(in *Inputs, p *practice.Practice, high float64) (Inputs, practice.Practice) {
	other, q := *in, *p
	q.HangBeamHeight = high
	other.Beam = shopBeam(&q)
	return other, ForHanging(&other, q)
}
