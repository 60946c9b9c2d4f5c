package stages

import (
	"cmp"
	"errors"
	"math"

	"pegpour/engine/anchor"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/slab"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// anchorRows finds what the rows of anchors of a plate of a length and a width
// (mm) must hold under a moment (N·mm) along its length, a shear and a lift (N).
func anchorRows(p *practice.Practice, length, width, anchors, moment, shear, lift float64) (steel.RowDemand, error) {
	modulus, err := slab.ModulusACI(p.ConcreteStrength)
	if err != nil {
		return steel.RowDemand{}, err
	}
	ratio, err := steel.ModularRatio(modulus)
	if err != nil {
		return steel.RowDemand{}, err
	}
	return steel.TwoRowPlate{Length: length, Width: width, Inset: p.AnchorInset, Anchors: int(anchors),
		StressArea: p.AnchorArea, ModularRatio: ratio, Moment: moment, Shear: shear, Lift: lift}.Demand()
}

// anchorDemand is what each anchor of the worse row must hold. A shop's rule may
// name a part of an anchor, which shares the shear and holds no tension.
func anchorDemand(p *practice.Practice, length, width, anchors, moment, shear float64) (plan.AnchorDemand, error) {
	rows, err := anchorRows(p, length, width, anchors, moment, shear, 0)
	if err != nil {
		return plan.AnchorDemand{}, err
	}
	return plan.AnchorDemand{Tension: rows.Tension, Shear: shear / anchors}, nil
}

// Bolted is a plate that is bolted to concrete and pushed at a height above it.
type Bolted struct {
	Name          text.Name
	length, width float64 // mm, along the push and across it
	anchors       float64
	push, height  float64 // N, mm
	aside         float64 // mm of the push beside the plate's middle
	out           bool    // pushed square to the fence, else along it
	oneWay        bool    // away from the drive only
	lift          float64 // N that pulls it up
	depth         float64 // mm of its anchors; 0 for the shop's usual
	kind          float64 // of its anchors, as practice counts them
	lasting       bool    // what pulls it up does so all the time
	At            geom.Point
	rings         []geom.Polygon // of the concrete, in pieces
	thick         float64        // mm of it
}

// BoltedOn is the plate of a part as a practice lays it out: its concrete is that
// of the design, thicker where the practice makes footings deeper.
func (d *Designed) BoltedOn(p *practice.Practice, l *Layout, part plan.PartKind, s *plan.Strength) Bolted {
	b := Bolted{Name: "The motor's anchors", length: p.MotorLength, width: p.MotorWidth, anchors: p.MotorAnchors,
		kind: p.AnchorKind, push: p.MotorThrust, height: PinionHigh(p), At: l.Motor.Middle()}
	far, wide, poured := l.PadFar, l.PadOut, plan.PartPad
	switch part {
	case plan.PartBasePlate:
		b = Bolted{Name: "The base plate's anchors", length: p.PlateSize, width: p.PlateSize, anchors: p.PlateAnchors,
			kind: p.AnchorKind, push: s.Guide.Push, height: s.Guide.Height, out: true, At: l.Plate.Middle()}
	case plan.PartHardStop:
		hit, _ := s.WorstImpact(plan.StopOpen)
		b = Bolted{Name: "The anchoring of the hard stop", length: p.StopLength, width: p.StopWidth, anchors: p.StopAnchors,
			kind: p.AnchorKind, push: hit.Force, height: hit.Height, oneWay: true, At: l.stop.Middle()}
		b.aside = b.At.Y - d.Plan.Leaf.Panels[hit.Panel-1].TrackOffset
		far, wide, poured = l.StripEnd, l.StripWidth, plan.PartRunBackStrip
	}
	b.into(d, l, poured, far, wide)
	return b
}

// into puts the plate on a part's concrete, as far along and out as it goes.
func (b *Bolted) into(d *Designed, l *Layout, poured plan.PartKind, far, wide float64) {
	b.rings = geom.Between(geom.RectangleOf(math.Inf(-1), 0, far, wide), &d.Inputs.RunBackEdge, nil)
	for o := range d.Plan.Parts(poured) {
		if b.thick == 0 || o.Deep() < b.thick {
			b.thick = o.Deep()
		}
	}
	b.thick += l.FootDepth - d.Layout.FootDepth
}

// holdOf judges the anchors of a part. On a steel plate bolts hold in steel, no
// concrete is asked, and how the plate bends at them is not looked at.
func (d *Designed) holdOf(p *practice.Practice, l *Layout, part plan.PartKind, s *plan.Strength) (plan.AnchorHold,
	[]plan.Refusal) {
	b := d.BoltedOn(p, l, part, s)
	if part != plan.PartHardStop && d.Inputs.PadOnSteel() {
		return plan.AnchorHold{}, []plan.Refusal{{What: b.Name, Field: survey.GatePadOn,
			Words: text.Say("{0} cannot be judged: they go into a steel plate, and how it bends at them was not looked at.", text.Word(b.Name))}}
	}
	return b.judge(p)
}

// judge holds a plate's anchors against what is asked of them, and says what could not
// be looked at.
func (b *Bolted) judge(p *practice.Practice) (plan.AnchorHold, []plan.Refusal) {
	hold, maker, err := b.Hold(p)
	var refused []plan.Refusal
	if hold.Unsaid = maker != nil; hold.Unsaid {
		refused = notLookedAt(b.Name, maker, practice.PracticePath+practice.RuleAnchorPullOut)
	}
	if near := (*anchor.ArgumentError)(nil); errors.As(err, &near) && near.Argument == anchor.EdgeArgument {
		g := b.group(p)
		g.Left, g.Right, g.Front, g.Back = b.edges(1)
		return plan.AnchorHold{Edge: g.Nearest(), EdgeLeast: near.Low}, refused
	}
	if err != nil {
		refused = append(refused, notLookedAt(b.Name, err, practice.PracticePath+b.DepthRule())...)
	}
	return hold, refused
}

// DepthRule is the rule of how deep its anchors go.
func (b *Bolted) DepthRule() string {
	if b.depth > 0 {
		return practice.RuleHangAnchorDepth
	}
	return practice.RuleAnchorDepth
}

// group is the anchors as they stand about the plate's middle: four at its
// corners, or two in line with the push.
func (b *Bolted) group(p *practice.Practice) anchor.Group {
	d := anchor.Thread(p.AnchorArea)
	class := math.Floor(p.AnchorClass)
	g := anchor.Group{Kind: anchor.Bonded, Diameter: d, StressArea: p.AnchorArea, Depth: p.AnchorDepth,
		Ultimate: 100 * class, Yield: 100 * class * math.Round(10*(p.AnchorClass-class)) / 10, Brittle: true,
		BondStress: p.AnchorBond, BondUncracked: p.AnchorBondUncracked, Strength: p.ConcreteStrength, Thickness: b.thick,
		LoadFactor: anchor.StrengthFactor, Sustained: b.lasting}
	if b.depth > 0 {
		g.Depth = b.depth
	}
	switch b.kind {
	case practice.AnchorExpanding:
		g.Kind, g.PullOut = anchor.Expanding, p.AnchorPullOut
	case practice.AnchorCastIn:
		g.Kind, g.HeadArea = anchor.Headed, anchor.NutArea(d)
	}
	along, across := b.length-2*p.AnchorInset, 0.0
	if b.anchors >= 4 {
		across = b.width - 2*p.AnchorInset
	}
	if b.out {
		along, across = across, along
	}
	g.Places = anchor.Rectangle(along, across)
	return g
}

// Hold judges the anchors. The concrete is the best of the rectangles that lie
// within it about the plate: what is left away holds nothing. maker says what a
// maker's number would add.
func (b *Bolted) Hold(p *practice.Practice) (hold plan.AnchorHold, maker, err error) {
	rows, err := anchorRows(p, b.length, b.width, b.anchors, b.push*b.height, b.push, b.lift)
	if err != nil {
		return hold, nil, err
	}
	g := b.group(p)
	senses := []float64{1, -1}
	if b.oneWay {
		senses = senses[:1]
	}
	for _, sense := range senses {
		load := anchor.Load{ShearX: sense * b.push, Twist: sense * b.push * b.aside}
		if b.out {
			load = anchor.Load{ShearY: sense * b.push}
		}
		load.Tension = make([]float64, 0, len(g.Places))
		for _, a := range g.Places {
			t, at := rows.Near, a.X
			if b.out {
				at = a.Y
			}
			if at*sense < 0 {
				t = rows.Tension
			}
			load.Tension = append(load.Tension, t)
		}
		best, failed := anchor.Result{Use: math.Inf(1)}, error(nil)
		for part := 1.0; part > 0.2; part -= 0.2 {
			left, right, front, back := b.edges(part)
			if part < 1 && left == g.Left && right == g.Right {
				continue // no longer than the wider one, which holds more
			}
			g.Left, g.Right, g.Front, g.Back = left, right, front, back
			r, e := g.Check(load)
			if m := (*anchor.MakerError)(nil); g.Kind == anchor.Expanding && errors.As(e, &m) {
				maker, g.PullOut = e, 1e6 // all that does not need it is judged
				r, e = g.Check(load)
			}
			switch {
			case e != nil:
				failed = cmp.Or(failed, e)
			case r.Use < best.Use:
				best = r
			}
		}
		if math.IsInf(best.Use, 1) {
			return plan.AnchorHold{}, maker, failed
		}
		if w := &best.Worst; best.Use > hold.Use {
			hold = plan.AnchorHold{Use: best.Use, Mode: text.Name(w.Mode), Demand: w.Demand, Allowable: w.Allowable,
				Anchors: w.Anchors}
		}
		for _, modes := range [2][]anchor.Capacity{best.Tension, best.Shear} {
			for i := range modes {
				c := &modes[i]
				// What a maker would say of bond is not known to break.
				byBond := (c.Mode == anchor.BondBroken || c.Mode == anchor.PriedOut) && p.AnchorBond == 0
				hold.Breaks = hold.Breaks || c.Demand > c.Nominal && !byBond
			}
		}
	}
	return hold, maker, nil
}

// edges are the distances from the plate's middle to the sides of a rectangle of
// concrete that takes a part of what there is out from the fence and back to it,
// and is as long as the concrete is all over that width.
func (b *Bolted) edges(part float64) (left, right, front, back float64) {
	for _, ring := range b.rings {
		low, high := ring.Bounds()
		if !ring.Contains(b.At) {
			continue
		}
		front, back = part*(b.At.Y-low.Y), part*(high.Y-b.At.Y)
		left, right = anchor.NoEdge, anchor.NoEdge
		for i, v := range ring {
			u := ring[(i+1)%len(ring)]
			if v.Y > u.Y {
				u, v = v, u
			}
			from, to := max(v.Y, b.At.Y-front), min(u.Y, b.At.Y+back)
			if v.Y == u.Y && (v.Y <= b.At.Y-front || v.Y >= b.At.Y+back) || from > to {
				continue
			}
			x1, x2 := v.X, u.X
			if u.Y > v.Y && from < to {
				slant := (u.X - v.X) / (u.Y - v.Y)
				x1, x2 = v.X+(from-v.Y)*slant, v.X+(to-v.Y)*slant
			} else if u.Y > v.Y {
				continue
			}
			if x1 > x2 {
				x1, x2 = x2, x1
			}
			if x2 > b.At.X && x1 < b.At.X {
				return 0, 0, front, back
			}
			if x2 <= b.At.X {
				left = min(left, b.At.X-x2)
			} else {
				right = min(right, x1-b.At.X)
			}
		}
	}
	return left, right, front, back
}
