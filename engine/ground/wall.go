package ground

import (
	"math"

	"pegpour/engine/concrete"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// wallStability looks at the wall where it holds back most: a stem on a base whose
// heel reaches under the ground held, per millimetre of length, after Rankine.
// The base starts at the shop's first size and is widened by the shop's step
// until the wall stands, as far as the shop builds one of that height. It is nil where a formula refuses the wall.
//
// Friction angle and unit weight are the usual ones of the soil class: the
// safety lies in the factors and in the presumptive strengths, which are low.
// The passive resistance before the toe is left out.
func wallStability(r *plan.Rising, g *plan.Ground, site *Site, p *practice.Practice) (*plan.WallStability, error) {
	class := &site.Bearing.Retained
	s := plan.WallStability{Chainage: r.HighestAt, Held: r.Highest, Drained: g.Choices.Drained,
		Soil: text.Name(class.Name), Presumed: class.Presumed, Allowed: class.Bearing}
	s.Backslope = backslope(r, g, p)
	switch g.Choices.Load {
	case survey.LoadVehicles:
		s.Surcharge = p.LoadVehicles
	case survey.LoadGarden:
		s.Surcharge = p.LoadGarden
	}
	if r.OfPosts {
		posts, err := WallOnPosts(s, class, site.Bearing.DepthToFirm, p)
		if err != nil {
			return nil, err
		}
		return &posts, nil
	}
	step, limit := p.WallBaseStep, p.WallBaseMost*(r.Highest+p.WallBaseDepth)
	on := s
	for base := r.Base; ; base += step {
		var enough bool
		var err error
		if on, enough, err = wallOnBase(on, base, class, p); err != nil {
			return nil, err
		}
		if enough || base+step > limit {
			return &on, nil
		}
	}
}

// wallOnBase is the stability on a base; enough is false where a wider one may
// stand better.
func wallOnBase(s plan.WallStability, base float64, class *soil.Class, p *practice.Practice) (on plan.WallStability,
	enough bool, err error) {
	s.Base, s.Sixth = base, base/6
	wall := soil.Wall{
		StemHeight: math.Max(plan.LeastHeld, s.Held), StemTop: p.WallThickness, Heel: math.Max(0, base-p.WallThickness),
		BaseThickness: p.WallBaseDepth, WallWeight: concrete.UnitWeight,
		Backslope: s.Backslope, FrictionAngle: class.FrictionAngle.Typical, UnitWeight: class.UnitWeight.Typical,
		Surcharge: s.Surcharge,
	}
	switch {
	case class.Adhesion > 0:
		wall.BaseAdhesion = class.Adhesion
	case class.Friction > 0:
		wall.BaseFriction = math.Atan(class.Friction)
	default:
		wall.BaseFriction = soil.BaseFrictionPart * class.FrictionAngle.Typical
	}
	if !s.Drained {
		wall.WaterHeight, wall.SaturatedWeight = s.Held+p.WallBaseDepth, class.UnitWeight.High
	}
	w, err := wall.Stability()
	if err != nil {
		if s.Steep = s.Backslope >= class.FrictionAngle.Typical; s.Steep {
			err = nil // no formula holds, and the check says so
		}
		return s, true, err
	}
	s.Ka, s.Thrust = w.Active, w.Horizontal
	s.Sliding, s.Turning = withinReason(w.Sliding), withinReason(w.Overturning)
	if class.Adhesion > 0 && w.Horizontal > 0 {
		s.Sliding = math.Min(s.Sliding, w.Vertical*soil.AdhesionMost/w.Horizontal)
	}
	s.Eccentricity, s.Bearing = w.Eccentricity, withinReason(w.PeakPressure)
	enough = s.Sliding >= p.FactorSliding && s.Turning >= p.FactorTurning && w.MiddleThird && w.InsideBase &&
		(s.Bearing <= s.Allowed || !class.Presumed)
	s.Stands = enough && class.Presumed
	return s, enough, nil
}

// mostFactor is as far as a factor of safety is told: beyond it nothing pushes.
const mostFactor = 1000

// withinReason keeps a factor of nothing that pushes, which is infinite, in a number
// that can be written.
func withinReason(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return math.Max(-mostFactor, math.Min(mostFactor, v))
}

// backslope is how the ground climbs behind the wall at its highest section,
// rad, over as much of it as the wall is high; 0 where it falls.
func backslope(r *plan.Rising, g *plan.Ground, p *practice.Practice) float64 {
	over := math.Max(p.WallSlopeReach, r.Highest)
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

// WallOnPosts finds what pushes a post of a sleeper wall, and how deep it stands:
// soft is the depth of soft ground over the firm, mm. Water behind an undrained
// wall pushes as well, to the height of the ground.
//
//	P = (K_a·γ·h²/2 + K_a·q·h)·cos i·spacing, and γ_w·h²/2·spacing undrained
//
// Source: Rankine (soil.PostedWall); depth by IBC 1807.3.2.1 (soil.EmbeddedPost).
func WallOnPosts(s plan.WallStability, class *soil.Class, soft float64, p *practice.Practice) (plan.WallStability,
	error) {
	s.Stands = false
	load, err := soil.PostedWall(s.Held, p.WallPostSpacing, class.UnitWeight.Typical, class.FrictionAngle.Typical,
		s.Backslope, s.Surcharge)
	if err != nil {
		if s.Steep = s.Backslope >= class.FrictionAngle.Typical; s.Steep {
			err = nil // no formula holds, and the check says so
		}
		return s, err
	}
	s.Ka, s.PostForce, s.PostMoment = load.Active, load.Force, load.Moment
	if !s.Drained {
		water, err := soil.WaterOnPost(s.Held, p.WallPostSpacing)
		if err != nil {
			return s, err
		}
		s.PostForce, s.PostMoment = s.PostForce+water.Force, s.PostMoment+water.Moment
	}
	s.Thrust = s.PostForce / p.WallPostSpacing
	if s.PostForce <= 0 || class.Lateral <= 0 {
		return s, nil
	}
	post := soil.EmbeddedPost{Force: s.PostForce, Height: s.PostMoment / s.PostForce, Width: p.WallHole,
		Lateral: class.Lateral, Factor: 1}
	r, err := post.Nonconstrained()
	if err != nil {
		return s, err
	}
	s.PostDepth = r.Depth + soft
	s.Stands = class.Presumed && s.PostDepth <= p.WallPostDeepest
	return s, nil
}
