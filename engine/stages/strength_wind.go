package stages

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
		return max(p.OpenSolidity, part), err
	case survey.InfillMesh:
		return p.MeshSolidity, nil
	case survey.InfillOpen:
		return p.OpenSolidity, nil
	}
	return 1, nil
}

// footBelowTrack is how far the guide post's foot lies below the foot of the
// track at it, mm; 0 without a guide post.
func footBelowTrack(footing *plan.Footing, g *plan.Ground, p *practice.Practice, l *Placement) float64 {
	if l.Front > 0 { // heights count from the block, on which the post stands
		return 0
	}
	below := 0.0
	if g != nil && g.Pad != nil && g.Pad.HasLevel && l.HasGuide {
		below = g.TrackLevel(l.Guide.X1) - g.Pad.Level
	}
	return below + guideDrop(footing, g, p, l)
}

// LeafWind is the wind on the leaf and what its supports take of it, before it is
// known how tall the post stands that holds the rollers.
type LeafWind struct {
	push   *plan.GuideStrength // nil without a panel, and where a formula refused
	caught float64             // the push on the rollers where a catch holds the open leaf, N
	// carriages is the most that the carriages of a leaf that hangs free take together, N;
	// feet what each of them takes, the front one first: shut, open and moved.
	carriages float64
	feet      [3][2]float64
	err       error
}

// LeafInWind finds the wind's push on the leaf's supports. Shut, the leaf is held
// by its wheels in the track, the rollers and a catch at the latch post where one
// is fitted. Open and left in a storm, wheels and rollers alone take the wind of the
// site, but for a catch at the rear; a panel of a stack hides those behind it.
// While it moves they do the same in the wind in which it is still moved. A
// person may lean on it where they push it. Shut, panels behind one another are
// taken as one plane.
func LeafInWind(in *Inputs, p *practice.Practice, l *Placement, leaf *plan.Leaf) LeafWind {
	if len(leaf.Panels) == 0 {
		return LeafWind{}
	}
	refuse := func(err error) LeafWind { return LeafWind{err: err} }
	last := &leaf.Panels[len(leaf.Panels)-1]
	solid, err := solidity(in.Infill, p)
	if err != nil {
		return refuse(err)
	}
	g := plan.GuideStrength{Solidity: solid}
	high := p.LeafAbove + leaf.Height
	if g.Pressure, err = sitePressure(p, high); err != nil {
		return refuse(err)
	}
	whole := wind.Leaf{Length: last.ShutAt + leaf.Frame - leaf.ShutAt, Bottom: p.LeafAbove, Top: high, Solidity: solid,
		Pressure: g.Pressure}
	load, err := whole.Load()
	if err != nil {
		return refuse(err)
	}
	g.Force, whole.Coefficient = load.Force, load.Coefficient
	rollers := func(from float64) []wind.Support {
		return []wind.Support{{At: leaf.RollersAt - from, Height: high}}
	}
	carriages, feet, looked := 0.0, [3][2]float64{}, 0
	hold := func(plane wind.Leaf, upper []wind.Support, from float64, shut bool) (wind.Held, error) {
		foot := wheelsOf(&plane, l)
		caught := false
		if leaf.Hanging != nil {
			foot, caught = carriagesOf(in, leaf.Hanging, from, shut)
		}
		held, err := plane.Hold(upper, foot)
		both := held.Bottom[1]
		if !caught {
			both += held.Bottom[0]
			g.Wheel = max(g.Wheel, math.Abs(held.Bottom[0]))
		}
		g.Wheel = max(g.Wheel, math.Abs(held.Bottom[1]))
		carriages = max(carriages, math.Abs(both))
		for i, force := range held.Bottom {
			if caught { // by the catch, and by the front carriage behind it
				i, force = 0, held.Bottom[1]
			}
			feet[looked][i] = math.Abs(force)
		}
		looked++
		return held, err
	}
	upper := rollers(leaf.ShutAt)
	if in.LatchStop {
		upper = append(upper, wind.Support{At: 0, Height: min(p.HandHeight, high)})
	}
	shut, err := hold(whole, upper, leaf.ShutAt, true)
	if err != nil {
		return refuse(err)
	}
	g.Shut = shut.Upper[0]
	if in.LatchStop {
		g.Latch = shut.Upper[1]
	}
	one := whole
	one.Length, one.Coefficient = leaf.Frame, 0
	if load, err = one.Load(); err != nil {
		return refuse(err)
	}
	g.OpenForce = load.Force
	upper = rollers(leaf.OpenAt)
	atRear := wind.Support{At: leaf.Frame, Height: min(p.HandHeight, high)}
	if in.OpenCatch {
		upper = append(upper, atRear)
	}
	open, err := hold(one, upper, leaf.OpenAt, false)
	if err != nil {
		return refuse(err)
	}
	caught := open
	if in.OpenCatch {
		g.OpenCatch = open.Upper[1]
	} else {
		foot := wheelsOf(&one, l)
		if leaf.Hanging != nil {
			foot, _ = carriagesOf(in, leaf.Hanging, leaf.OpenAt, false)
		}
		if caught, err = one.Hold(append(upper, atRear), foot); err != nil {
			return refuse(err)
		}
	}
	g.Open = open.Upper[0]
	whole.Pressure = p.WindMoving
	moving, err := hold(whole, rollers(leaf.ShutAt), leaf.ShutAt, false)
	if err != nil {
		return refuse(err)
	}
	g.Moving = moving.Upper[0]
	g.Lean = p.FootPush * min(p.HandHeight, high) / high
	greatest := func(open float64) float64 {
		return max(g.Lean, max(math.Abs(g.Shut), max(math.Abs(open), math.Abs(g.Moving)))) +
			math.Abs(last.RollerPush)
	}
	g.Push, g.Height = greatest(g.Open), high
	return LeafWind{push: &g, caught: greatest(caught.Upper[0]), carriages: carriages, feet: feet}
}

// carriagesOf is where the foot of a leaf that hangs free is held sideways, from its
// leading edge: by both carriages, or shut in its catch by that and the front one.
func carriagesOf(in *Inputs, h *plan.Hanging, from float64, shut bool) (foot [2]float64, caught bool) {
	if shut && in.LatchStop {
		return [2]float64{0, h.Front - from}, true
	}
	return [2]float64{h.Front - from, h.Rear - from}, false
}

// wheelsOf is where the outer wheels of a leaf stand along it. They stand on
// either side of the middle, however short the leaf.
func wheelsOf(plane *wind.Leaf, l *Placement) [2]float64 {
	return [2]float64{min(l.wheelInset, plane.Length/2-1), max(plane.Length-l.wheelInset, plane.Length/2+1)}
}

// sitePressure is the velocity pressure of the site's wind at the top of the
// leaf (mm), Pa: the shop's own, or that of its region's speed over its terrain.
func sitePressure(p *practice.Practice, top float64) (float64, error) {
	if p.WindShut > 0 {
		return p.WindShut, nil
	}
	terrains := wind.Terrains()
	return terrains[min(len(terrains)-1, max(0, int(math.Round(p.WindTerrain))))].PeakPressure(p.WindSpeed, top)
}
