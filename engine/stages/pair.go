package stages

import (
	"math"

	"pegpour/engine/concrete"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// PairSide is one side of a pair, designed as a whole in its own frame.
type PairSide struct {
	Inputs    *Inputs
	Layout    *Layout
	Treatment *DriveTreatment
	Ground    *plan.Ground
	Plan      *plan.Plan
}

// Meeting outlines the stop in the drive and the footing under it, and lays the conduit
// that joins the motors: at is where the leaves meet, strips the drive strip in the
// frame of the whole. A drive that carries the track carries the stop. Where no strip is
// poured the conduit runs behind the pads, in a trench through gravel and earth, else
// bored under the drive.
func Meeting(run, latch *PairSide, p *practice.Practice, at float64) (parts []plan.Outline, cable []plan.Conduit) {
	var list OutlineList
	l, t := run.Layout, run.Treatment
	middle := l.TrackOffset + l.Shift/2
	if t.Strip {
		half := p.PairFoot / 2
		near := max(0, middle-half)
		list.stand(plan.PartMeetingFooting, 1, "Footing of the stop in the drive",
			geom.RectangleOf(at-half, near, at+half, near+p.PairFoot))
		list[0].Concrete, list[0].Depth, list[0].Top = true, max(p.PairFootDepth, t.Depth+t.top), t.top
	}
	long := p.PairStopLength/2 + l.Shift/2
	list.stand(plan.PartMeetingStop, 1, "Stop in the drive",
		geom.RectangleOf(at-p.PairGap/2-stopThick/2, middle-long, at+p.PairGap/2+stopThick/2, middle+long))
	if !l.HasMotor || !latch.Layout.HasMotor {
		return list, nil
	}
	a, b := l.Motor.Middle(), latch.Layout.Motor.Middle()
	a.X, b.X = at+a.X, at-b.X
	if !t.Strip {
		y, down := max(l.PadOut, latch.Layout.PadOut)+p.ConduitBeyond, p.PairCableDepth
		c := plan.Conduit{For: "cable from motor to motor, in the ground across the drive",
			Line: []geom.Point{a, {X: a.X, Y: y}, {X: b.X, Y: y}, b}, Deep: down,
			Length: 2*y - a.Y - b.Y + a.X - b.X + 2*(down+p.ConduitUpstand)}
		if s := run.Inputs.Surface; s == survey.SurfaceGravel || s == survey.SurfaceEarth {
			c.Dig = (a.X - b.X) * p.PairCableTrench * down
		}
		cable = append(cable, c)
	} else {
		y := l.DriveWidth / 2
		line := []geom.Point{a, {X: a.X, Y: y}, {X: b.X, Y: y}, b}
		down := t.Depth + t.top
		cable = append(cable, plan.Conduit{For: "cable from motor to motor, under the drive strip", Line: line,
			Length: a.Y - y + a.X - b.X + b.Y - y + 2*(down+p.ConduitUpstand)})
	}
	return list, cable
}

// stopThick is how much longer the stop is along the fence than the gap, mm: it is drawn so
// that it is seen, and nothing is reckoned from it.
const stopThick = 20

// Meet finds what the stop in the drive takes from both leaves and from a wheel, and what
// it holds. The leaf that comes alone finds no help from the other, so that the harder
// impact counts and not the difference. parts are the strip and the footing in the frame
// of the whole. Of two grounds the weaker counts.
func Meet(run, latch *PairSide, p *practice.Practice, parts []plan.Outline, m *plan.Meeting) {
	m.Offset = run.Layout.TrackOffset
	m.Gap, m.Catch, m.Height = p.PairGap, p.PairCatch, p.PairStopHeight
	m.Wheel, _ = WheelOf(p, run.Inputs.vehicle)
	for i, side := range [...]*PairSide{run, latch} {
		if hit, _ := side.Plan.Strength.WorstImpact(plan.StopShut); hit != nil {
			m.Impacts[i] = hit.Force
		}
		m.Thrusts[i] = side.Plan.Leaf.Motion.Stalled
	}
	var weight float64
	var foot *plan.Outline
	before := make([]geom.Deep, 0, 4)
	for i := range parts {
		switch o := &parts[i]; o.Kind {
		case plan.PartDriveStrip:
			weight += o.Area * o.Deep() * concrete.UnitWeight
			before = append(before, geom.Deep{Polygon: o.Ring, Depth: o.Depth})
		case plan.PartMeetingFooting:
			foot = o
		}
	}
	if foot == nil {
		return // the drive itself carries the stop: what it is worth below cannot be seen
	}
	m.Foot, m.Depth = p.PairFoot, foot.Depth
	below, err := geom.VolumeBeyond(geom.Deep{Polygon: foot.Ring, Depth: foot.Depth}, before)
	if err != nil {
		below = 0
	}
	weight += below * concrete.UnitWeight
	refuse := func(what text.Name, err error) {
		m.Refused = append(m.Refused, notLookedAt(what, err, survey.GroundClass)...)
	}
	m.Holds, m.Bearing = math.Inf(1), (m.Wheel+foot.Area*foot.Deep()*concrete.UnitWeight)/foot.Area
	for _, side := range [...]*PairSide{run, latch} {
		firm := &side.Inputs.Bearing.Firm
		holds, err := firm.HoldsAlong(weight, foot.Area, foot.Depth, p.PairFoot)
		if err != nil {
			refuse("What the footing of the stop in the drive holds", err)
			m.Holds, m.Use, m.BearingUse = 0, 0, 0
			return
		}
		m.Holds = min(m.Holds, holds)
		m.BearingUse = max(m.BearingUse, m.Bearing/firm.Bearing)
	}
	if m.Holds > 0 {
		m.Use = m.Hardest() / m.Holds
	}
}

// Whole are the quantities of both sides together. What is one for both is counted once:
// the drive strip, its mesh, the order of concrete, the loads. strips are the parts of the
// drive strip in the frame of the whole, foot is what the stop's footing adds below it.
func Whole(run, latch *PairSide, p *practice.Practice, strips []plan.Outline, foot *plan.Outline,
	cable []plan.Conduit, metal float64) (plan.Quantities, []plan.Refusal) {
	a, b := &run.Plan.Quantities, &latch.Plan.Quantities
	t := Taker{In: run.Inputs, P: p, L: run.Layout, Treatment: run.Treatment}
	q := *a
	q.Parts, q.Lines, q.Unpriced, q.Cost, q.Bags, q.Batches = nil, nil, nil, 0, 0, 0
	for _, sum := range [...][2]*float64{{&q.Concrete, &b.Concrete}, {&q.Area, &b.Area}, {&q.DigBank, &b.DigBank},
		{&q.Tinted, &b.Tinted}, {&q.SpoilMass, &b.SpoilMass}, {&q.Form, &b.Form}, {&q.SawCut, &b.SawCut},
		{&q.PaversLifted, &b.PaversLifted}, {&q.Track, &b.Track}, {&q.Conduit, &b.Conduit}} {
		*sum[0] += *sum[1]
	}
	q.Fixings, q.Anchors = q.Fixings+b.Fixings, q.Anchors+b.Anchors
	var strip plan.PartQuantity // the drive strip, of both sides
	for i, side := range [...]*plan.Quantities{a, b} {
		for _, part := range side.Parts {
			o, _ := [...]*plan.Plan{run.Plan, latch.Plan}[i].Outline(part.ID)
			if o.Kind != plan.PartDriveStrip {
				part.ID, part.Name = SideID(part.ID, i == 1), SideName(part.Name, i == 1)
				q.Parts = append(q.Parts, part)
				continue
			}
			strip.Area, strip.Volume, strip.Depth = strip.Area+part.Area, strip.Volume+part.Volume, part.Depth
		}
	}
	sides := q.Parts
	q.Parts = make([]plan.PartQuantity, 0, len(strips)+len(sides)+1)
	whole := 0.0
	for i := range strips {
		whole += strips[i].Area
	}
	for i := range strips {
		o := &strips[i]
		piece := plan.PartQuantity{ID: o.ID, Name: o.Name, Area: o.Area, Depth: strip.Depth, Volume: strip.Volume * o.Area / whole,
			How: text.Say("{0} × {1} deep", text.SquareMM(o.Area), text.MM(strip.Depth))}
		if run.Treatment.crown > 0 {
			piece.How = text.Say("{0} × {1} deep, and the crown {2}", text.SquareMM(o.Area), text.MM(strip.Depth),
				text.CubicMM(piece.Volume-o.Area*strip.Depth))
		}
		q.Parts = append(q.Parts, piece)
	}
	q.Parts = append(q.Parts, sides...)
	if foot != nil {
		t.footing(&q, foot, strips, run, latch)
	}
	for i := range cable {
		q.DigBank += cable[i].Dig
		q.SpoilMass += max(spoilMass(cable[i].Dig, &run.Inputs.Bearing), spoilMass(cable[i].Dig, &latch.Inputs.Bearing))
	}
	var err error
	q.Order, err = concrete.Order(q.Concrete, p.ConcreteWaste)
	t.refuse("The concrete to order", err, practice.PracticePath+practice.RuleConcreteWaste)
	t.supply(&q)
	byVolume, byMass := TrailerLoads(p, &q)
	q.Loads = max(byVolume, byMass)
	q.Mesh, q.MeshSheets = 0, 0
	crossed := Taker{In: run.Inputs, P: p, L: run.Layout, Treatment: &DriveTreatment{}, Parts: strips}
	crossed.driveStripItems(&q)
	for i := range cable {
		q.Conduit += cable[i].Length
	}
	other := PricedOf(&run.Plan.Leaf, run.Layout.HasGuide, run.Layout.HasMotor, metal, run.Ground)
	other.add(PricedOf(&latch.Plan.Leaf, latch.Layout.HasGuide, latch.Layout.HasMotor, 0, latch.Ground))
	price(&q, p, other)
	return q, append(t.Refused, crossed.Refused...)
}

// footing adds what the stop's footing asks for below the strip.
func (t *Taker) footing(q *plan.Quantities, foot *plan.Outline, strips []plan.Outline, run, latch *PairSide) {
	before, dug := make([]geom.Deep, 0, len(strips)), make([]geom.Polygon, 0, len(strips))
	for i := range strips {
		before = append(before, geom.Deep{Polygon: strips[i].Ring, Depth: strips[i].Depth})
		dug = append(dug, strips[i].Ring)
	}
	below, err := geom.VolumeBeyond(geom.Deep{Polygon: foot.Ring, Depth: foot.Depth}, before)
	t.refuse("The footing of the stop in the drive", err, practice.PracticePath+practice.RulePairFoot)
	if err != nil {
		below = foot.Area * foot.Depth // on the safe side
	}
	beside := geom.AreaBeyond(foot.Ring, dug)
	volume := below - beside*foot.Top
	part := plan.PartQuantity{ID: foot.ID, Name: foot.Name, Area: foot.Area, Depth: foot.Deep(), Volume: volume,
		How: text.Say("{0} × {1} deep, less what the drive strip has", text.SquareMM(foot.Area), text.MM(foot.Deep()))}
	q.Parts = append(q.Parts, part)
	q.Concrete += volume
	q.Area += beside
	q.DigBank += below
	if foot.Tint {
		q.Tinted += volume * (1 + t.P.ConcreteWaste)
	}
	q.SpoilMass += max(spoilMass(below, &run.Inputs.Bearing), spoilMass(below, &latch.Inputs.Bearing))
}

// SideID is the identity of a part of one side among those of both, SideName its name.
func SideID(id string, latch bool) string {
	if latch {
		return "other." + id
	}
	return id
}

// SideName is the name of a part with its side in words of the place.
func SideName(name text.Name, latch bool) text.Name {
	side := plan.RunBackSide
	if latch {
		side = plan.LatchSide
	}
	return text.Named("{0}, {1}", name, side)
}

// add counts what is bought for another leaf.
func (one *Priced) add(other *Priced) {
	one.metal += other.metal
	one.panels, one.guidePosts, one.leaves = one.panels+other.panels, one.guidePosts+other.guidePosts, one.leaves+other.leaves
	one.wallFace, one.drain = one.wallFace+other.wallFace, one.drain+other.drain
	one.motors, one.rack, one.infill = one.motors+other.motors, one.rack+other.rack, one.infill+other.infill
	one.carriages += other.carriages
}
