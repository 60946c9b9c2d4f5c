package engine

import (
	"math"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/wind"
)

// solidity is the solid part of the leaf's face.
func solidity(infill string, p *practice.Practice) (float64, error) {
	switch infill {
	case survey.InfillBattens:
		return wind.RowSolidity(p.BattenHeight, p.BattenGap)
	case survey.InfillBoards:
		return wind.RowSolidity(p.BoardWidth, p.BoardGap)
	case survey.InfillUprights:
		part, err := wind.RowSolidity(p.UprightSize, p.UprightGap)
		return math.Max(p.OpenSolidity, part), err
	case survey.InfillMesh:
		return p.MeshSolidity, nil
	case survey.InfillOpen:
		return p.OpenSolidity, nil
	}
	return 1, nil
}

// footBelowTrack is how far the guide post's foot lies below the foot of the
// track at it, mm; 0 without a guide post.
func footBelowTrack(plan *plan.Plan, p *practice.Practice, l *layout) float64 {
	below := 0.0
	if plan.Ground != nil && plan.Ground.Pad != nil && plan.Ground.Pad.HasLevel && l.hasGuide {
		below = plan.Ground.TrackLevel(l.guide.X1) - plan.Ground.Pad.Level
	}
	return below + guideDrop(plan.Footing, plan.Ground, p, &l.placement)
}

// guideInWind finds the wind's push on the rollers; nil where there is no panel
// or a formula refused it. Shut, the leaf is held by its wheels in the track, the
// rollers and a catch at the latch post where one is fitted; while it moves by
// wheels and rollers alone. Panels behind one another are taken as one plane.
// below is how far the foot of what holds the rollers lies below the track's.
func guideInWind(in *inputs, p *practice.Practice, leaf *plan.Leaf, below float64) (*plan.GuideStrength,
	[]plan.Refusal) {
	if len(leaf.Panels) == 0 {
		return nil, nil
	}
	refuse := func(err error) (*plan.GuideStrength, []plan.Refusal) {
		return nil, notLookedAt("The leaf in the wind", err, survey.GateHeight)
	}
	last := &leaf.Panels[len(leaf.Panels)-1]
	solid, err := solidity(in.infill, p)
	if err != nil {
		return refuse(err)
	}
	g := plan.GuideStrength{Solidity: solid}
	length := last.ShutAt + leaf.Frame - leaf.ShutAt
	plane := wind.Leaf{Length: length, Bottom: p.LeafAbove, Top: p.LeafAbove + leaf.Height, Solidity: g.Solidity,
		Pressure: p.WindShut}
	load, err := plane.Load()
	if err != nil {
		return refuse(err)
	}
	g.Force = load.Force
	plane.Coefficient = load.Coefficient
	high := plane.Top
	// The wheels stand on either side of the middle, however short the leaf.
	bottom := [2]float64{math.Min(p.WheelInset, length/2-1), math.Max(length-p.WheelInset, length/2+1)}
	upper := []wind.Support{{At: leaf.RollersAt - leaf.ShutAt, Height: high}}
	if in.latchStop {
		upper = append(upper, wind.Support{At: 0, Height: math.Min(p.HandHeight, high)})
	}
	shut, err := plane.Hold(upper, bottom)
	if err != nil {
		return refuse(err)
	}
	g.Shut = shut.Upper[0]
	if in.latchStop {
		g.Latch = shut.Upper[1]
	}
	plane.Pressure = p.WindMoving
	moving, err := plane.Hold(upper[:1], bottom)
	if err != nil {
		return refuse(err)
	}
	g.Moving = moving.Upper[0]
	g.Push = math.Max(math.Abs(g.Shut), math.Abs(g.Moving)) + math.Abs(last.RollerPush)
	g.Height = math.Max(high+below, 1)
	return &g, nil
}
