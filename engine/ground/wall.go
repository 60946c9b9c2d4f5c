package ground

import (
	"math"

	"pegpour/engine/concrete"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/slab"
	"pegpour/engine/soil"
	"pegpour/engine/survey"
)

// wallStability looks at the wall where it holds back most: a stem on a base whose
// heel reaches under the ground held, per millimetre of length, after Rankine.
// The base starts at the shop's first size and is widened by the shop's step
// until the wall stands, as far as the shop builds one of that height. It is nil where a formula refuses the wall.
//
// The ground pushes with the low end of its friction angle and the high end of
// its weight, no less than the code's table; over the heel it weighs the low end.
// In soft ground the base goes down to the firm, and always below what frost or
// swelling clay moves. The passive resistance before
// the toe is left out.
func wallStability(r *plan.Rising, g *plan.Ground, site *Site, p *practice.Practice) (*plan.WallStability, error) {
	ground := WallGroundOf(&site.Bearing)
	s := plan.WallStability{Chainage: r.HighestAt, Held: r.Highest, Drained: g.Choices.Drained,
		Soil: ground.Name, Presumed: ground.Presumed, Allowed: ground.Bearing}
	s.Backslope = backslope(r, g, p)
	switch g.Choices.Load {
	case survey.LoadVehicles:
		s.Surcharge = p.LoadVehicles
	case survey.LoadGarden:
		s.Surcharge = p.LoadGarden
	}
	if r.OfPosts {
		posts, err := WallOnPosts(s, &ground, p)
		if err != nil {
			return nil, err
		}
		return &posts, nil
	}
	s.BaseDown = max(0, max(ground.Soft, ground.Moves)-p.WallBaseDepth)
	step, limit := p.WallBaseStep, p.WallBaseMost*(r.Highest+s.BaseDown+p.WallBaseDepth)
	on := s
	for base := r.Base; ; base += step {
		var enough bool
		var err error
		if on, enough, err = wallOnBase(on, base, &ground, p); err != nil {
			return nil, err
		}
		if enough || base+step > limit {
			return &on, nil
		}
	}
}

// wallOnBase is the stability on a base; enough is false where a wider one may
// stand better.
func wallOnBase(s plan.WallStability, base float64, ground *WallGround, p *practice.Practice) (on plan.WallStability,
	enough bool, err error) {
	s.Base, s.Sixth = base, base/6
	// The wall reaches down to firm ground, and is as tall as that.
	stem := max(plan.LeastHeld, s.Held+s.BaseDown)
	wall := soil.Wall{
		StemHeight: stem, StemTop: p.WallThickness, Heel: max(0, base-p.WallThickness),
		BaseThickness: p.WallBaseDepth, WallWeight: concrete.UnitWeight,
		Backslope: s.Backslope, FrictionAngle: ground.FrictionAngle.Low, UnitWeight: ground.UnitWeight.High,
		Least: ground.Least, HeelWeight: ground.UnitWeight.Low, Surcharge: s.Surcharge,
	}
	switch {
	case ground.Adhesion > 0:
		wall.BaseAdhesion = ground.Adhesion
	case ground.Friction > 0:
		wall.BaseFriction = math.Atan(ground.Friction)
	default:
		wall.BaseFriction = soil.BaseFrictionPart * ground.BaseAngle
	}
	wet := wall
	wet.WaterHeight, wet.SaturatedWeight = stem+p.WallBaseDepth, max(10e-6, ground.UnitWeight.High)
	if !s.Drained {
		wall = wet
	}
	w, err := wall.Stability()
	if err != nil {
		if s.Steep = s.Backslope >= ground.FrictionAngle.Low-1e-9; s.Steep {
			err = nil // no formula holds, and the check says so
		}
		return s, true, err
	}
	s.Ka, s.Thrust = w.Active, w.Horizontal
	s.Sliding, s.Turning = slidingOf(&w, ground), withinReason(w.Overturning)
	s.Eccentricity, s.Bearing = w.Eccentricity, withinReason(w.PeakPressure)
	s.Blocked = 0
	if b, err := wet.Stability(); err == nil && b.InsideBase { // else water lifts it or tips it over
		s.Blocked = min(slidingOf(&b, ground), withinReason(b.Overturning))
	}
	s.StemMoment, s.StemShear = w.StemMoment, w.StemShear
	if s.StemUse, err = stemUse(&s, p); err != nil {
		return s, true, err
	}
	tall := stem > p.WallMost // no first pass has anything to say of it
	enough = tall || s.Sliding >= p.FactorSliding && s.Turning >= p.FactorTurning && w.MiddleThird && w.InsideBase &&
		(s.Bearing <= s.Allowed || !ground.Presumed)
	s.Stands = enough && ground.Presumed && !tall
	return s, enough, nil
}

// slidingOf is the factor against sliding; adhesion holds no more than a part of
// the weight.
func slidingOf(w *soil.WallResult, ground *WallGround) float64 {
	factor := withinReason(w.Sliding)
	if ground.Adhesion > 0 && w.Horizontal > 0 {
		factor = min(factor, w.Vertical*soil.AdhesionMost/w.Horizontal)
	}
	return factor
}

// stemUse is the greater part that bending and shear take of what the stem with
// its bars bears, both with the load factor of earth.
func stemUse(s *plan.WallStability, p *practice.Practice) (float64, error) {
	const width = 1000 // mm of wall
	stem := slab.Reinforced{Width: width, Depth: min(p.StemDepth, p.WallThickness-p.StemBar),
		BarArea: math.Pi / 4 * p.StemBar * p.StemBar * width / p.StemSpacing, Yield: p.MeshYield, Cylinder: p.StemStrength}
	bending, err := stem.Moment()
	if err == nil && bending.TooMuchSteel {
		err = slab.ErrTooMuchMesh
	}
	if err != nil {
		return 0, err
	}
	shear, err := stem.Shear()
	if err != nil {
		return 0, err
	}
	return p.EarthFactor * width * max(s.StemMoment/bending.Design, s.StemShear/shear), nil
}

// mostFactor is as far as a factor of safety is told: beyond it nothing pushes.
const mostFactor = 1000

// withinReason keeps a factor of nothing that pushes, which is infinite, in a number
// that can be written.
func withinReason(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return max(-mostFactor, min(mostFactor, v))
}

// backslope is how the ground climbs behind the wall at its highest section,
// rad, over as much of it as the wall is high; 0 where it falls.
func backslope(r *plan.Rising, g *plan.Ground, p *practice.Practice) float64 {
	over := max(p.WallSlopeReach, r.Highest)
	y := r.Width + r.Thickness
	x := min(r.HighestAt, r.End)
	near, _ := g.GroundLevel(x, y)
	far, _ := g.GroundLevel(x, y+over)
	slope := max(0, (far-near)/over)
	if r.HighestAt > r.End {
		far, _ := g.GroundLevel(r.HighestAt+over, r.Width/2)
		near, _ := g.GroundLevel(r.HighestAt, r.Width/2)
		slope = max(slope, (far-near)/over)
	}
	return math.Atan(slope)
}

// WallOnPosts finds what pushes a post of a sleeper wall, how deep it stands, and
// how hard post and sleeper are bent. Water behind an undrained wall pushes as
// well, to the height of the ground. Soft ground over the firm holds nothing: the
// hole is so much deeper, and the push so much higher above what holds it.
//
//	P = (K·γ·h²/2 + K·q·h)·cos i·spacing, and γ_w·h²/2·spacing undrained
//	sleeper: σ = p·spacing²/8/(t²/6), p at the foot of the wall
//
// Source: Rankine and IBC 1610.1 (soil.Retained); depth by IBC 1807.3.2.1
// (soil.EmbeddedPost); statics.
func WallOnPosts(s plan.WallStability, ground *WallGround, p *practice.Practice) (plan.WallStability, error) {
	s.Stands = false
	held := ground.retained(s.Backslope, s.Surcharge)
	load, err := held.OnPost(s.Held, p.WallPostSpacing)
	if err != nil {
		if s.Steep = s.Backslope >= ground.FrictionAngle.Low-1e-9; s.Steep {
			err = nil // no formula holds, and the check says so
		}
		return s, err
	}
	pressure, _, err := held.PressureAt(s.Held)
	if err != nil {
		return s, err
	}
	water, err := soil.WaterOnPost(s.Held, p.WallPostSpacing)
	if err != nil {
		return s, err
	}
	wetForce, wetMoment := load.Force+water.Force, load.Moment+water.Moment
	s.Ka, s.PostForce, s.PostMoment = load.Active, load.Force, load.Moment
	if !s.Drained {
		s.PostForce, s.PostMoment = wetForce, wetMoment
		pressure += soil.WaterWeight * s.Held
	}
	s.Thrust = s.PostForce / p.WallPostSpacing
	s.SleeperUse = pressure * p.WallPostSpacing * p.WallPostSpacing / 8 * 6 / (p.SleeperBoard * p.SleeperBoard) /
		p.SleeperStress
	if s.PostForce <= 0 || ground.Lateral <= 0 {
		return s, nil
	}
	post := soil.EmbeddedPost{Force: s.PostForce, Height: s.PostMoment/s.PostForce + ground.Soft, Width: p.WallHole,
		Lateral: ground.Lateral, Factor: 1}
	r, err := post.Nonconstrained()
	if err != nil {
		return s, err
	}
	s.PostDepth = max(r.Depth+ground.Soft, ground.Moves)
	if s.PostBending, err = post.Bending(); err != nil {
		return s, err
	}
	s.PostUse = s.PostBending / (p.WallPostModulus * 1000) * p.SteelSafety / p.PostYield
	// With the drain blocked a little movement does no harm.
	post.Height, post.Factor = wetMoment/wetForce+ground.Soft, p.IsolatedPole
	holds, err := post.NonconstrainedCapacity(r.Depth)
	if err != nil {
		return s, err
	}
	s.Blocked = withinReason(holds / wetForce)
	s.Stands = ground.Presumed && s.PostDepth <= p.WallPostDeepest
	return s, nil
}
