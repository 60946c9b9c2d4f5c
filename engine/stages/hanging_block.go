package stages

import (
	"cmp"
	"math"

	"pegpour/engine/concrete"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/survey"
)

// FindBlock finds how deep the block under the carriages goes into the ground, mm:
// the least by the shop's rule, below soft ground and what frost or swelling clay
// moves, and deeper in steps as long as it does not hold and its weight still may
// make it. Where no depth that is proposed holds the least stands, and a check says
// what is missing.
func FindBlock(in *Inputs, p *practice.Practice, l *Placement, leaf *plan.Leaf, blown *LeafWind) (deep float64,
	unheld bool, refused []plan.Refusal) {
	least := leastBlock(in, p)
	for deep = least; deep == least || deep <= p.HangBlockDeepest; deep += p.HoleStep {
		b, err := StandBlock(in, p, l, leaf, blown, deep)
		if err != nil {
			return least, false, plan.AppendRefusal(nil, plan.QuestionHangingUnjudged, plan.Stop, "The block under the carriages",
				err, practice.PracticePath+practice.RuleHangBlockDepth)
		}
		if !b.Lifted && b.Holds() >= p.HangTipping && (!in.Bearing.Firm.Presumed || b.Slides >= p.HangSliding) {
			return deep, false, nil
		}
	}
	return least, true, nil
}

// leastBlock is the least depth of a block in the ground, in whole steps, mm.
func leastBlock(in *Inputs, p *practice.Practice) float64 {
	least := max(p.HangBlockDepth, max(in.Bearing.DepthToFirm, in.Bearing.Moves()))
	return math.Ceil(least/p.HoleStep) * p.HoleStep
}

// StandBlock looks at a block of a depth (mm) under everything that acts on it: the
// leaf shut and open, the motor's thrust either way, the stop of the open leaf, and
// across it the wind on the leaf, from either side, as far as the carriages take it,
// and where the guide post stands on it as far as the rollers do. It stands by its
// weight: what the ground around it holds is not counted.
//
// Source: soil.Block; that nothing else is counted is common practice.
func StandBlock(in *Inputs, p *practice.Practice, l *Placement, leaf *plan.Leaf, blown *LeafWind, deep float64) (plan.Block,
	error) {
	h := leaf.Hanging
	near := in.RunBackEdge.MaxOver(0, l.PadOut)
	b := plan.Block{Length: l.PadFar - near, Width: l.PadOut, Deep: deep}
	b.Weight = b.Length * b.Width * deep * concrete.UnitWeight
	b.AtDrive, b.AtFar, b.Across = soil.MostFactor, soil.MostFactor, soil.MostFactor
	firm := &in.Bearing.Firm
	if firm.Presumed {
		b.May = firm.Bearing
	}
	high := deep + h.Under + h.Beam.Height/2
	var refused error
	look := func(length, breadth float64, loads ...soil.BlockLoad) soil.BlockStands {
		s, err := soil.Block{Length: length, Breadth: breadth, Weight: b.Weight, Loads: loads}.Stands()
		refused = cmp.Or(refused, err)
		b.Lifted = b.Lifted || !s.Inside
		b.Pressure = max(b.Pressure, s.Peak)
		if s.Horizontal > 0 && firm.Presumed {
			holds := max(0, s.Vertical)*firm.Friction + firm.Adhesion*breadth*s.Contact
			if slides := min(soil.MostFactor, holds/s.Horizontal); b.Slides == 0 || slides < b.Slides {
				b.Slides = slides
			}
		}
		return s
	}
	thrust := 0.0
	if l.HasMotor {
		thrust = p.MotorThrust
	}
	stop, err := openStop(in, p, leaf, l.HasMotor)
	refused = cmp.Or(refused, err)
	shut, open := h.Carried[0], h.Carried[len(h.Carried)-1]
	for _, c := range [...]struct {
		at           plan.CarriedAt
		push, height float64
	}{{shut, -thrust, deep + PinionHigh(p)}, {shut, thrust, deep + PinionHigh(p)}, {open, -thrust, deep + PinionHigh(p)},
		{open, max(thrust, stop), high}} {
		s := look(b.Length, b.Width, soil.BlockLoad{At: h.Front - near, Down: c.at.Front},
			soil.BlockLoad{At: h.Rear - near, Down: c.at.Rear}, soil.BlockLoad{Push: c.push, Height: c.height})
		b.AtDrive, b.AtFar = min(b.AtDrive, s.Near), min(b.AtFar, s.Far)
		b.Pushed = max(b.Pushed, s.Horizontal)
	}
	b.Sideways = blown.carriages
	post := soil.BlockLoad{Height: deep}
	if l.HasPlate && blown.push != nil {
		post = soil.BlockLoad{Push: blown.push.Push, Height: deep + blown.push.Height}
	}
	for _, side := range [2]float64{1, -1} {
		s := look(b.Width, b.Length, soil.BlockLoad{At: l.TrackOffset, Down: h.Weight, Push: side * b.Sideways, Height: high},
			soil.BlockLoad{Push: side * post.Push, Height: post.Height})
		b.Across = min(b.Across, min(s.Near, s.Far))
	}
	return b, refused
}

// openStop is the hardest that the stop of the open leaf pushes, N; 0 without one.
func openStop(in *Inputs, p *practice.Practice, leaf *plan.Leaf, motor bool) (most float64, err error) {
	if !in.HardStop {
		return 0, nil
	}
	met, err := impactsOn(plan.StopOpen, in, p, leaf, motor)
	for i := range met {
		most = max(most, met[i].Force)
	}
	return most, err
}

// LevelHanging puts the leaf over the ground as it is modelled: its underside at the
// highest place of the drive under it and the clearance over that, and the block so
// far below it as the carriages need. It returns the leaf with its gaps, the ground
// with the block's level, and how deep the block's pieces go.
//
// The block's underside lies at least its depth in the ground, at the lowest place
// under it, and its top is level.
func LevelHanging(in *Inputs, p *practice.Practice, l *Placement, leaf plan.Leaf, g *plan.Ground,
	parts []plan.Outline) (plan.Leaf, *plan.Ground, []ground.PadDepth) {
	h := *leaf.Hanging
	leaf.Hanging = &h
	underLeaf(&h, in, l, &leaf, g)
	var depths []ground.PadDepth
	deepest, thick := 0.0, 0.0
	h.Below = math.Inf(-1)
	for i := range parts {
		o := &parts[i]
		if o.Kind != plan.PartPad {
			continue
		}
		lowest := h.BlockTop
		for _, c := range o.Ring {
			z := finishedUnder(g, in, c.X, c.Y)
			lowest, h.Below = min(lowest, z), max(h.Below, z-h.BlockTop)
		}
		c := o.Ring.Centroid()
		plane := g.SurfaceLevel(c.X, c.Y)
		d := ground.PadDepth{Piece: o.Piece, Depth: plane - lowest + l.FootDepth, Top: plane - h.BlockTop}
		depths = append(depths, d)
		deepest, thick = max(deepest, d.Depth), max(thick, d.Depth-d.Top)
	}
	if math.IsInf(h.Below, 0) { // no block is drawn
		h.Below = 0
	}
	if g.Known() {
		levelled := *g
		levelled.Packing = nil
		levelled.Pad = &plan.PadLevel{HasLevel: true, Level: h.BlockTop, Low: h.BlockTop, High: h.BlockTop,
			Formation: deepest, Thick: thick, Pinion: p.RackHeight - p.MotorPacker}
		levelled.Pad.StepNear = h.BlockTop - g.SurfaceLevel(l.Front, l.PadOut)
		levelled.Pad.StepFar = h.BlockTop - g.SurfaceLevel(l.PadFar, l.PadOut)
		g = &levelled
	}
	return leaf, g, depths
}

// finishedUnder is the level of the ground at a place as it lies once a cavity is
// dug, where one is.
func finishedUnder(g *plan.Ground, in *Inputs, x, y float64) float64 {
	if !g.Known() {
		return 0
	}
	level, _ := g.GroundLevel(x, y)
	if g.Shape == survey.GroundRises && x > in.RunBackEdge.At(y) {
		level = min(level, g.SurfaceLevel(x, y))
	}
	return level
}

// BlockClear is how much of the block stands above the ground in the mean, mm.
func BlockClear(in *Inputs, g *plan.Ground, parts []plan.Outline) float64 {
	sum, n := 0.0, 0.0
	for i := range parts {
		o := &parts[i]
		if o.Kind != plan.PartPad {
			continue
		}
		plane := o.Ring.Centroid()
		top := g.SurfaceLevel(plane.X, plane.Y)
		for _, c := range o.Ring {
			sum, n = sum+top-finishedUnder(g, in, c.X, c.Y), n+1
		}
	}
	if n == 0 {
		return 0
	}
	return max(0, sum/n)
}

// JudgeBlock looks at the block as deep as it became, and gives it to the leaf.
func JudgeBlock(in *Inputs, p *practice.Practice, l *Placement, leaf plan.Leaf, blown *LeafWind, parts []plan.Outline,
	unheld bool) (plan.Leaf, []plan.Refusal) {
	deep := 0.0
	for i := range parts {
		if o := &parts[i]; o.Kind == plan.PartPad && (deep == 0 || o.Deep() < deep) {
			deep = o.Deep()
		}
	}
	h := *leaf.Hanging
	leaf.Hanging = &h
	b, err := StandBlock(in, p, l, &leaf, blown, deep)
	b.Unheld = unheld
	b.Deeper = l.FootDepth > leastBlock(in, p)+plan.Tolerance
	h.Block, h.Wind = b, blown.feet
	return leaf, plan.AppendRefusal(nil, plan.QuestionHangingUnjudged, plan.Stop, "The block under the carriages", err,
		practice.PracticePath+practice.RuleHangBlockDepth)
}
