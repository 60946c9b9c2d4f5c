package engine

import (
	"math"

	"pegpour/engine/soil"
)

// soilClass is the class of ground that stands for what a spade finds. Ground
// that was not looked at counts as fill of which nothing is known.
func soilClass(in *inputs) soil.Class {
	key := "clay"
	switch {
	case in.soilClass != "":
		key = in.soilClass
	case !in.soilKnown:
		key = "fill"
	case in.soil == SoilSoft || in.soil == SoilWet:
		key = "soft"
	case in.soil == SoilRock:
		key = "soft-rock"
	}
	c, _ := soil.ClassOf(key)
	return c
}

// stability looks at the wall where it holds back most: a stem on a base whose
// heel reaches under the ground held, per millimetre of length, after Rankine.
// The base starts at the shop's first size and is widened in steps of a
// twentieth of a metre until the wall stands, as far as one and a half times
// the height.
//
// Friction angle and unit weight are the usual ones of the soil class: the
// safety lies in the factors and in the presumptive strengths, which are low.
// The passive resistance before the toe is left out.
func (g *GroundPlan) stability(in *inputs, p *Practice) {
	r := g.Rising
	class := soilClass(in)
	s := &WallStability{Chainage: r.HighestAt, Held: r.Highest, Drained: g.wishes.drained, Soil: class.Name, Presumed: class.Presumed, Allowed: class.Bearing}
	s.Backslope = g.backslope(p)
	switch g.wishes.load {
	case LoadVehicles:
		s.Surcharge = p.LoadVehicles
	case LoadGarden:
		s.Surcharge = p.LoadGarden
	}
	r.Stability = s
	if r.OfPosts {
		s.onPosts(in, &class, p)
		return
	}
	const step = 50.0
	limit := 1.5 * (r.Highest + p.WallBaseDepth)
	for base := r.Base; ; base += step {
		if s.at(base, &class, p) || base+step > limit {
			break
		}
	}
	r.Base = s.Base
}

// at computes the stability on a base; false where a wider one may stand better.
func (s *WallStability) at(base float64, class *soil.Class, p *Practice) bool {
	s.Base, s.Third = base, base/6
	wall := soil.Wall{
		StemHeight: math.Max(1, s.Held), StemTop: p.WallThickness, Heel: math.Max(0, base-p.WallThickness), BaseThickness: p.WallBaseDepth, WallWeight: 24e-6,
		Backslope: s.Backslope, FrictionAngle: class.FrictionAngle.Typical, UnitWeight: class.UnitWeight.Typical, Surcharge: s.Surcharge,
	}
	switch {
	case class.Adhesion > 0:
		wall.BaseAdhesion = class.Adhesion
	case class.Friction > 0:
		wall.BaseFriction = math.Atan(class.Friction)
	default:
		wall.BaseFriction = 2.0 / 3 * class.FrictionAngle.Typical
	}
	if !s.Drained {
		wall.WaterHeight, wall.SaturatedWeight = s.Held+p.WallBaseDepth, class.UnitWeight.High
	}
	w, err := wall.Stability()
	if err != nil {
		s.Steep = s.Backslope >= class.FrictionAngle.Typical
		return true
	}
	s.Ka, s.Thrust = w.Active, w.Horizontal
	s.Sliding, s.Turning = settled(w.Sliding), settled(w.Overturning)
	if class.Adhesion > 0 && w.Horizontal > 0 {
		s.Sliding = math.Min(s.Sliding, w.Vertical/2/w.Horizontal)
	}
	s.Eccentricity, s.Bearing = w.Eccentricity, settled(w.PeakPressure)
	enough := s.Sliding >= p.FactorSliding && s.Turning >= p.FactorTurning && w.MiddleThird && w.InsideBase &&
		(s.Bearing <= s.Allowed || !class.Presumed)
	s.Stands = enough && class.Presumed
	return enough
}

// settled keeps a factor of nothing that pushes, which is infinite, in a number
// that can be written.
func settled(v float64) float64 {
	const most = 1000
	if math.IsNaN(v) {
		return 0
	}
	return math.Max(-most, math.Min(most, v))
}

// backslope is how the ground climbs behind the wall at its highest section,
// rad, over as much of it as the wall is high; 0 where it falls.
func (g *GroundPlan) backslope(p *Practice) float64 {
	r := g.Rising
	over := math.Max(500, r.Highest)
	y := r.Width + r.Thickness
	x := math.Min(r.HighestAt, r.End)
	near, _ := g.GroundLevel(x, y)
	far, _ := g.GroundLevel(x, y+over)
	slope := math.Max(0, (far-near)/over)
	if r.HighestAt > r.End {
		far, _ := g.GroundLevel(r.HighestAt+over, r.Width/2)
		near, _ := g.GroundLevel(r.HighestAt, r.Width/2)
		slope = math.Max(slope, (far-near)/over)
	}
	return math.Atan(slope)
}

// onPosts finds what pushes a post of a sleeper wall, and how deep it stands.
// Water behind an undrained wall pushes as well, to the height of the ground.
//
//	P = (K_a·γ·h²/2 + K_a·q·h)·cos i·spacing, and γ_w·h²/2·spacing undrained
//
// Source: Rankine (soil.PostedWall); depth by IBC 1807.3.2.1 (soil.EmbeddedPost).
func (s *WallStability) onPosts(in *inputs, class *soil.Class, p *Practice) {
	load, err := soil.PostedWall(s.Held, p.WallPostSpacing, class.UnitWeight.Typical, class.FrictionAngle.Typical, s.Backslope, s.Surcharge)
	if err != nil {
		s.Steep = s.Backslope >= class.FrictionAngle.Typical
		return
	}
	s.Ka, s.PostForce, s.PostMoment = load.Active, load.Force, load.Moment
	if !s.Drained {
		const water = 9.81e-6 // N/mm³
		push := water * s.Held * s.Held / 2 * p.WallPostSpacing
		s.PostForce, s.PostMoment = s.PostForce+push, s.PostMoment+push*s.Held/3
	}
	s.Thrust = s.PostForce / p.WallPostSpacing
	if s.PostForce <= 0 || class.Lateral <= 0 {
		return
	}
	post := soil.EmbeddedPost{Force: s.PostForce, Height: s.PostMoment / s.PostForce, Width: p.WallHole, Lateral: class.Lateral, Factor: 1}
	r, err := post.Nonconstrained()
	if err != nil {
		return
	}
	s.PostDepth = r.Depth
	if in.soil == SoilSoft || in.soil == SoilWet {
		s.PostDepth += in.depthToFirm
	}
	s.Stands = class.Presumed && s.PostDepth <= p.WallPostDeepest
}
