package stages

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/refusal"
)

// footLoad is what acts on the foot of a carriage at once.
type footLoad struct {
	lift, push float64 // N up, and along or sideways at the beam's axis
	along      bool
	travelled  float64 // mm
}

// footLoads are what acts on the front carriage's foot and on the rear one's: the leaf
// at every place of its travel that is looked at, got up to speed and brought to rest by
// the motor or by hand in the wind in which it is still moved, stalled against something
// at the height of a hand, shut and open in the wind of the site, and as it meets its
// stops. A force at one height that another answers turns the leaf, and the carriages
// hold that over their distance:
//
//	R_front ± ΔR, R_rear ∓ ΔR;  ΔR = |Σ F·h|/s
//
// The stop of the open leaf sits in the beam and meets the front carriage. Weight that
// presses a foot down is not counted: it holds nothing, and asks nothing of anchors.
//
// Source: statics, d'Alembert.
func footLoads(p *practice.Practice, h *plan.Hanging, centre float64, motor bool, m *plan.Motion,
	impacts []plan.Impact) (of [2][]footLoad) {
	add := func(at *plan.CarriedAt, turns float64, wind [2]float64) {
		for i, carried := range [2]float64{at.Front, at.Rear} {
			of[i] = worseLoad(of[i], footLoad{lift: max(0, math.Abs(turns)/h.Between-carried), push: wind[i],
				travelled: at.Travelled})
		}
	}
	last := len(h.Carried) - 1
	add(&h.Carried[0], 0, h.Wind[0])
	add(&h.Carried[last], 0, h.Wind[1])
	for i := range h.Carried {
		at := &h.Carried[i]
		add(at, p.HandForce*(p.HandHeight-centre), h.Wind[2])
		if motor {
			add(at, m.Start*(centre-p.RackHeight), h.Wind[2])
			add(at, p.MotorThrust*(p.HandHeight-p.RackHeight), [2]float64{})
		}
	}
	for i := range impacts {
		hit := &impacts[i]
		at, stop := &h.Carried[0], hit.Height
		if hit.Stop == plan.StopOpen {
			at, stop = &h.Carried[last], beamHigh(h)
		}
		// What the stop has over the drive brings the leaf to rest, at its centre.
		drive := centre
		switch hit.By {
		case plan.ByMotor:
			drive = p.RackHeight
		case plan.ByHand:
			drive = p.HandHeight
		}
		turns := hit.Force*(stop-centre) - hit.Drive*(drive-centre)
		add(at, turns, [2]float64{})
		if hit.Stop == plan.StopOpen {
			of[0] = worseLoad(of[0], footLoad{lift: max(0, math.Abs(turns)/h.Between-at.Front), push: hit.Force,
				along: true, travelled: at.Travelled})
		}
	}
	return of
}

// beamHigh is how high the axis of the beam lies above the block, mm.
func beamHigh(h *plan.Hanging) float64 { return h.Under + h.Beam.Height/2 }

// worseLoad adds a load, without those that another one of the same direction covers.
func worseLoad(loads []footLoad, next footLoad) []footLoad {
	kept := loads[:0]
	for _, was := range loads {
		if was.along == next.along && was.lift >= next.lift && was.push >= next.push {
			return loads
		}
		if was.along != next.along || was.lift > next.lift || was.push > next.push {
			kept = append(kept, was)
		}
	}
	return append(kept, next)
}

const (
	errNoWind     = refusal.Error("the wind on the leaf is not known")
	errFewAnchors = refusal.Error("anchors in one line along the beam do not hold it sideways")
)

// carriages judges the anchors of both carriages, each by what works it hardest.
func (d *Designed) carriages(s *plan.Strength) ([]plan.CarriageHold, []plan.Refusal) {
	p := d.Practice
	if err := error(errNoWind); s.Guide == nil {
		return nil, notLookedAt("The carriages' anchors", err, practice.PracticePath+practice.RuleWindSpeed)
	} else if err = errFewAnchors; p.HangAnchors < 4 {
		return nil, notLookedAt("The carriages' anchors", err, practice.PracticePath+practice.RuleHangAnchors)
	}
	leaf := &d.Plan.Leaf
	loads := footLoads(p, leaf.Hanging, leaf.Panels[0].CentreHeight, d.Layout.HasMotor, &leaf.Motion, s.Impacts)
	var holds []plan.CarriageHold
	var refused []plan.Refusal
	for i := range loads {
		worst := plan.CarriageHold{}
		b := d.CarriageOn(p, d.Layout, i, worst)
		for _, load := range loads[i] {
			b.under(p, load.asHold())
			hold, no := b.judge(p)
			if len(no) > 0 {
				refused = append(refused, no...)
			}
			if hold.EdgeLeast > 0 || hold.Use >= worst.Use {
				worst = load.asHold()
				worst.AnchorHold = hold
			}
			if hold.EdgeLeast > 0 || len(no) > 0 {
				break // the same of every other load
			}
		}
		holds = append(holds, worst)
	}
	return holds, refused
}

// asHold is the load of anchors that are still to be judged.
func (f footLoad) asHold() plan.CarriageHold {
	return plan.CarriageHold{Lift: f.lift, Push: f.push, Along: f.along, Travelled: f.travelled}
}

// CarriageOn is the foot of the front carriage, or of the rear one, on the block as a
// practice lays it out, under a load. A carriage that is pulled up is so as long as the
// leaf stands.
func (d *Designed) CarriageOn(p *practice.Practice, l *Layout, which int, load plan.CarriageHold) Bolted {
	b := Bolted{Name: "The front carriage's anchors", anchors: p.HangAnchors, height: beamHigh(d.Plan.Leaf.Hanging),
		depth: p.HangAnchorDepth, kind: p.HangAnchorKind, At: geom.Point{X: l.Front, Y: l.TrackOffset}}
	if which == 1 {
		b.Name, b.At.X = "The rear carriage's anchors", l.Rear
	}
	b.under(p, load)
	b.into(d, l, plan.PartPad, l.PadFar, l.PadOut)
	return b
}

// under puts a carriage's foot under a load.
func (b *Bolted) under(p *practice.Practice, load plan.CarriageHold) {
	b.push, b.lift, b.lasting, b.out = load.Push, load.Lift, load.Lift > 0, !load.Along
	b.length, b.width = p.HangFoot, p.HangCarriage
	if load.Along {
		b.length, b.width = b.width, b.length
	}
}
