package stages

import (
	"math"

	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/refusal"
)

// errFallsAway says why a post on a steep bank is not judged.
const errFallsAway = refusal.Error("the ground falls away before it as steep as it can stand, and nothing there holds it: it cannot be judged")

// fallAt is the fall (rad) of the ground beside the drive at a post: the steepest
// away from the drive, along the fence or across it, over a reach before the post,
// 0 where it does not fall.
func fallAt(g *plan.Ground, x, y float64) float64 {
	if !g.HasBank() {
		return 0
	}
	const reach = plan.HoldReach
	level := func(x, y float64) float64 {
		z, _ := g.Model.At(x, y)
		return z
	}
	here := level(x, y)
	down := max(here-level(x+reach, y), max(here-level(x, y+reach), here-level(x, y-reach)))
	// Beyond the readings the ground is held level: there it falls on as it does
	// before them.
	if math.Abs(down) < plan.Tolerance && x-reach > g.Model.RunBackEdge.At(y) {
		down = max(down, level(x-reach, y)-here)
	}
	return math.Atan(max(0, down) / reach)
}

// bearingAt is what the ground bears at a post: where it falls off beside the
// drive, only a part of the lateral strength of level ground is left before it.
func bearingAt(in *Inputs, g *plan.Ground, x, y float64) (ground.Bearing, error) {
	b := in.Bearing
	if !in.falls || !b.Firm.Presumed {
		return b, nil
	}
	fall := fallAt(g, x, y)
	if fall == 0 {
		return b, nil
	}
	part, err := b.Firm.FallingGround(fall)
	if err == nil && part <= 0 {
		err = errFallsAway
	}
	b.Firm.Lateral *= part
	return b, err
}
