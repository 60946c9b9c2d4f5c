package soil

import (
	"math"

	"pegpour/engine/refusal"
)

// Face is a plane on which ground pushes, or which is pushed against ground.
type Face struct {
	FrictionAngle float64 // rad, of the ground, 5 to 60°
	// Slope is how the ground rises away from the face, rad, −FrictionAngle to
	// FrictionAngle; below 0 it falls away.
	Slope float64
	// Friction is the friction angle between face and ground, rad, 0 to
	// FrictionAngle.
	Friction float64
	// Lean is how the face slopes off the vertical, rad, −30 to 30°: above 0 the
	// ground lies on it, below 0 the face leans over the ground.
	Lean float64
}

func (f Face) check() error {
	return refusal.First(
		refusal.Allow("friction angle", f.FrictionAngle, 5*degree, 60*degree, "rad"),
		refusal.Allow("slope of the ground", f.Slope, -f.FrictionAngle, f.FrictionAngle, "rad"),
		refusal.Allow("friction between wall and ground", f.Friction, 0, f.FrictionAngle, "rad"),
		refusal.Allow("lean of the wall", f.Lean, -30*degree, 30*degree, "rad"),
	)
}

// Active returns Coulomb's coefficient of active earth pressure. The thrust
// K·γ·h²/2 acts at Friction off the face's normal.
//
//	K_a = cos²(φ−θ)/(cos²θ·cos(δ+θ)·(1 + √(sin(φ+δ)·sin(φ−β)/(cos(δ+θ)·cos(θ−β))))²)
//
// θ is Lean.
//
// Source: Coulomb; B. M. Das, Principles of Foundation Engineering, chapter on
// lateral earth pressure (memory). Checked: testdata/references/soil.json,
// coulomb-*, and a search over wedges.
func (f Face) Active() (float64, error) {
	if err := f.check(); err != nil {
		return 0, err
	}
	return f.coefficient(1, f.Lean), nil
}

// Passive returns Coulomb's coefficient of passive earth pressure: what the
// ground before a face holds when pushed. With friction the plane of sliding it
// rests on is too kind: more than a third of the friction angle is refused.
//
//	K_p = cos²(φ+θ)/(cos²θ·cos(δ−θ)·(1 − √(sin(φ+δ)·sin(φ+β)/(cos(δ−θ)·cos(θ−β))))²)
//
// Source: as Active; Terzaghi, Theoretical Soil Mechanics, for the limit of
// friction (memory).
func (f Face) Passive() (float64, error) {
	if err := f.check(); err != nil {
		return 0, err
	}
	if err := refusal.First(refusal.Allow("friction between wall and ground", f.Friction, 0,
		f.FrictionAngle/3*(1+1e-12), "rad")); err != nil {
		return 0, err
	}
	return f.coefficient(-1, f.Lean), nil
}

// coefficient is active with sign 1, passive with −1.
func (f Face) coefficient(sign, lean float64) float64 {
	phi, delta, beta := f.FrictionAngle, f.Friction, f.Slope
	wall := math.Cos(delta + sign*lean)
	root := math.Sqrt(max(0, math.Sin(phi+delta)*math.Sin(phi-sign*beta)/(wall*math.Cos(lean-beta))))
	top, below := math.Cos(phi-sign*lean), math.Cos(lean)*(1+sign*root)
	return top * top / (below * below * wall)
}

// FallingGround returns the part of the lateral strength of level ground that is
// left before a post where the ground falls away from it at an angle (rad): 1 on
// level ground, 0 where it falls as steep as its friction angle.
//
//	K_p(−β)/K_p(0), Coulomb with δ = φ/2
//
// With half the friction angle on the post's face the ratio, not K_p itself, is
// at or below that of curved planes of sliding. The slope is taken to begin at
// the post.
//
// The friction angle is 5 to 60°, the fall 0 to 90°. Which angle hurts is not
// plain: a weak ground is 0 sooner, a strong one loses more; Class.FallingGround
// tries both ends.
//
// Source: Coulomb; Caquot and Kérisel's table for slopes of 15 and 20° (read).
// Checked: testdata/references/soil.json, falling-*.
func FallingGround(frictionAngle, fall float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("friction angle", frictionAngle, 5*degree, 60*degree, "rad"),
		refusal.Allow("fall of the ground", fall, 0, 90*degree, "rad"),
	); err != nil {
		return 0, err
	}
	if fall >= frictionAngle-1e-9 {
		return 0, nil
	}
	falling := Face{FrictionAngle: frictionAngle, Slope: -fall, Friction: frictionAngle / 2}
	level := falling
	level.Slope = 0
	return falling.coefficient(-1, 0) / level.coefficient(-1, 0), nil
}

// FallingGround is the least of FallingGround over the friction angles of the
// class.
func (c Class) FallingGround(fall float64) (float64, error) {
	least := 1.0
	for _, angle := range []float64{c.FrictionAngle.Low, c.FrictionAngle.Typical, c.FrictionAngle.High} {
		part, err := FallingGround(angle, fall)
		if err != nil {
			return 0, err
		}
		least = min(least, part)
	}
	return least, nil
}
