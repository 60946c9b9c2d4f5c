package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/soil"
	"pegpour/engine/steel"
	"pegpour/engine/wind"
)

// meshSolidity and openSolidity are the solid parts of a leaf filled with mesh
// and of a bare frame: common practice, no published source.
const (
	meshSolidity = 0.3
	openSolidity = 0.15
)

// solidity is the solid part of the leaf's face.
func solidity(in *inputs, p *Practice) float64 {
	part := func(size, gap float64) float64 { return size / math.Max(size+gap, 1) }
	switch in.infill {
	case InfillBattens:
		return part(p.BattenHeight, p.BattenGap)
	case InfillBoards:
		return part(p.BoardWidth, p.BoardGap)
	case InfillUprights:
		return math.Max(openSolidity, part(p.UprightSize, p.UprightGap))
	case InfillMesh:
		return meshSolidity
	case InfillOpen:
		return openSolidity
	}
	return 1
}

// guide finds the wind's push on the rollers and what it does to the guide
// post. Shut, the leaf is held by its wheels in the track, the rollers and a
// catch at the latch post where one is fitted; while it moves by wheels and
// rollers alone. Panels behind one another are taken as one plane.
func (s *StrengthPlan) guide(plan *Plan, in *inputs, p *Practice, l *layout) {
	const what = "The leaf in the wind"
	leaf := &plan.Leaf
	if len(leaf.Panels) == 0 {
		return
	}
	last := &leaf.Panels[len(leaf.Panels)-1]
	g := GuideStrength{Solidity: solidity(in, p)}
	length := last.ShutAt + leaf.Frame - leaf.ShutAt
	plane := wind.Leaf{Length: length, Bottom: p.LeafAbove, Top: p.LeafAbove + leaf.Height, Solidity: g.Solidity, Pressure: p.WindShut}
	load, err := plane.Load()
	if s.refuse(what, err, "gate.height") {
		return
	}
	g.Force = load.Force
	plane.Coefficient = load.Coefficient
	roller := leaf.RollersAt - leaf.ShutAt
	high := plane.Top
	bottom := [2]float64{math.Min(p.WheelInset, length/2-1), math.Max(length-p.WheelInset, length/2+1)}
	upper := []wind.Support{{At: roller, Height: high}}
	if in.latchStop {
		upper = append(upper, wind.Support{At: 0, Height: math.Min(p.HandHeight, high)})
	}
	shut, err := plane.Hold(upper, bottom)
	if s.refuse(what, err, "gate.height") {
		return
	}
	g.Shut = shut.Upper[0]
	if in.latchStop {
		g.Latch = shut.Upper[1]
	}
	plane.Pressure = p.WindMoving
	moving, err := plane.Hold(upper[:1], bottom)
	if s.refuse(what, err, "gate.height") {
		return
	}
	g.Moving = moving.Upper[0]
	g.Push = math.Max(math.Abs(g.Shut), math.Abs(g.Moving)) + math.Abs(last.RollerPush)
	g.Height = high
	if plan.Ground != nil && plan.Ground.Pad != nil && plan.Ground.Pad.HasLevel && l.hasGuide {
		g.Height += plan.Ground.TrackLevel(l.guide.x1) - plan.Ground.Pad.Level
	}
	g.Height += guideDrop(plan.Footing, plan.Ground, p, &l.placement)
	g.Height = math.Max(g.Height, 1)
	s.Guide = &g
	if l.hasGuide {
		s.post(in, p, l, plan)
	}
}

// post looks at the guide post as a cantilever and at its foot.
func (s *StrengthPlan) post(in *inputs, p *Practice, l *layout, plan *Plan) {
	g := s.Guide
	use := func(size, wall float64) (steel.Section, steel.PostResult, error) {
		section, err := steel.Hollow(size, size, wall)
		if err != nil {
			return section, steel.PostResult{}, err
		}
		r, err := steel.Post{Section: section, Length: g.Height, K: 2, Elasticity: steel.Elasticity, Yield: p.PostYield, Safety: p.SteelSafety, Vertical: g.Push * g.Height}.Check()
		return section, r, err
	}
	section, result, err := use(p.GuidePostSize, p.PostWall)
	if !s.refuse("The guide post's section", err, "practice.guide.postSize") {
		g.Section, g.Use, g.Moment = section.Name, result.Utilisation, g.Push*g.Height
		if _, sway, err := steel.Cantilever(g.Push, g.Height, steel.Elasticity, section.InertiaVertical); err == nil {
			g.Sway = sway
		}
		if g.Use > 1 {
			for _, size := range squareSizes {
				if size <= p.GuidePostSize {
					continue
				}
				if _, r, err := use(size, math.Max(p.PostWall, 3)); err == nil && r.Utilisation <= 1 {
					g.Stronger = size
					break
				}
			}
		}
	}
	if l.hasPlate {
		g.Anchor, err = anchorDemand(p, p.PlateSize, p.PlateSize, p.PlateAnchors, g.Push*g.Height, g.Push)
		s.refuse("The base plate's anchors", err, "practice.guide.plateSize")
		g.PadTips = padTips(plan)
		return
	}
	if !s.Soil.Presumed {
		s.Refused = append(s.Refused, Refusal{What: "The guide post's hole", Field: "ground.class",
			Words: say("How deep the guide post must go cannot be presumed in {0}: it needs a soils investigation.", wordArg(s.Soil.Name))})
		return
	}
	// In soft ground only what stands in firm ground is counted, and the push is
	// so much higher above it.
	soft := l.footDepth - p.StripDepth
	g.In = l.holeDepth - soft
	pole := soil.EmbeddedPost{Force: math.Max(g.Push, 1), Height: g.Height + soft, Width: soil.SquareWidth(p.GuideHoleSize), Lateral: s.Soil.Lateral, Factor: p.IsolatedPole}
	free, err := pole.Nonconstrained()
	if !s.refuse("The guide post's hole", err, "practice.guide.holeSize") {
		g.Embedment = free.Depth
	}
	if held, err := pole.Constrained(); err == nil {
		g.Floor = held.Depth
	}
}

// squareSizes are usual square hollow sections, mm: common practice.
var squareSizes = [...]float64{65, 75, 90, 100, 125, 150, 200}

// plainConcrete is the weight of concrete, N/mm³: 24 kN/m³, EN 1991-1-1 table
// A.1 (memory).
const plainConcrete = 24e-6

// padTips is the moment of the weight of pad and run-back strip about the
// nearer of their long sides: what they hold by weight alone. Wind from the
// street tips them about the far side, wind from inside about the fence.
func padTips(plan *Plan) float64 {
	strip, _ := plan.Outline("strip")
	pad, ok := plan.Outline("pad")
	if !ok {
		return 0
	}
	rings := []geom.Polygon{}
	var weight, moment, far float64
	add := func(area, y, thick float64) {
		weight += area * thick * plainConcrete
		moment += area * y * thick * plainConcrete
	}
	if strip.Area > 0 {
		rings = append(rings, strip.Ring)
		_, high := strip.Ring.Bounds()
		far = high.Y
		add(strip.Area, high.Y/2, strip.Depth)
	}
	_, high := pad.Ring.Bounds()
	own := geom.AreaBeyond(pad.Ring, rings)
	shared := pad.Area - own
	if own > 0 {
		add(own, (pad.Area*pad.Ring.Centroid().Y-shared*far/2)/own, pad.Depth)
	}
	far = math.Max(far, high.Y)
	return math.Max(0, math.Min(moment, weight*far-moment))
}
