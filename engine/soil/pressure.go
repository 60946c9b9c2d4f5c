package soil

import (
	"math"

	"pegpour/engine/refusal"
)

// Active returns Rankine's coefficient of active earth pressure for a friction
// angle and a backslope (rad). The pressure K·γ·z acts parallel to the slope on
// a vertical plane. The backslope is 0 to less than the friction angle; ground
// that falls away behind the wall is taken as level, which is the safe side.
//
//	K_a = cos i · (cos i − √(cos²i − cos²φ))/(cos i + √(cos²i − cos²φ))
//
// Source: Rankine; B. M. Das, Principles of Foundation Engineering. Checked:
// testdata/references/soil.json, rankine-*.
func Active(frictionAngle, backslope float64) (float64, error) {
	if err := checkSlope(frictionAngle, backslope); err != nil {
		return 0, err
	}
	ci, cf := math.Cos(backslope), math.Cos(frictionAngle)
	root := math.Sqrt(max(0, ci*ci-cf*cf))
	return ci * (ci - root) / (ci + root), nil
}

// Passive returns Rankine's coefficient of passive earth pressure for level
// ground.
//
//	K_p = tan²(45° + φ/2)
func Passive(frictionAngle float64) (float64, error) {
	if err := refusal.First(refusal.Allow("friction angle", frictionAngle, 0, 60*degree, "rad")); err != nil {
		return 0, err
	}
	t := math.Tan(math.Pi/4 + frictionAngle/2)
	return t * t, nil
}

func checkSlope(frictionAngle, backslope float64) error {
	if err := refusal.First(
		refusal.Allow("friction angle", frictionAngle, 5*degree, 60*degree, "rad"),
		refusal.Allow("backslope", backslope, 0, 60*degree, "rad"),
	); err != nil {
		return err
	}
	if backslope >= frictionAngle-1e-9 {
		return &ArgumentError{Argument: "backslope", Given: backslope, Low: 0, High: frictionAngle, Unit: "rad",
			Detail: "ground as steep as its friction angle or steeper does not stand"}
	}
	return nil
}

// PostedWallLoad is what one post of a wall of sleepers between posts carries.
type PostedWallLoad struct {
	Active float64 // coefficient
	Force  float64 // N, horizontal
	Height float64 // mm above the lower ground at which it acts
	Moment float64 // N·mm at the lower ground
}

// PostedWall returns the load on a post of a wall that holds ground of a height
// (mm) between posts at a spacing (mm), with a uniform surcharge (MPa) on the
// ground behind.
//
//	P = (K_a·γ·h²/2 + K_a·q·h)·cos i·spacing
func PostedWall(height, spacing, unitWeight, frictionAngle, backslope, surcharge float64) (PostedWallLoad, error) {
	if err := refusal.First(
		refusal.Allow("height held", height, 1, 5000, "mm"),
		refusal.Allow("post spacing", spacing, 50, 6000, "mm"),
		refusal.Allow("unit weight", unitWeight, 8e-6, 30e-6, "N/mm³"),
		refusal.Allow("surcharge", surcharge, 0, 0.1, "MPa"),
	); err != nil {
		return PostedWallLoad{}, err
	}
	k, err := Active(frictionAngle, backslope)
	if err != nil {
		return PostedWallLoad{}, err
	}
	level := k * math.Cos(backslope) * spacing
	soil, load := level*unitWeight*height*height/2, level*surcharge*height
	moment := soil*height/3 + load*height/2
	return PostedWallLoad{Active: k, Force: soil + load, Height: moment / (soil + load), Moment: moment}, nil
}

// WaterOnPost returns what water that stands to the top of the ground held adds
// to the load of PostedWall on a post, Active aside.
//
//	P = γ_w·h²/2·spacing;  M = P·h/3
//
// height is that of the ground held (mm, 1 to 5000), spacing that of the posts
// (mm, 50 to 6000). The wet ground's own push is left as it was: the safe side.
//
// Source: hydrostatics. Checked: the tests hold it against a sum over the height.
func WaterOnPost(height, spacing float64) (PostedWallLoad, error) {
	if err := refusal.First(
		refusal.Allow("height held", height, 1, 5000, "mm"),
		refusal.Allow("post spacing", spacing, 50, 6000, "mm"),
	); err != nil {
		return PostedWallLoad{}, err
	}
	push := WaterWeight * height * height / 2 * spacing
	return PostedWallLoad{Force: push, Height: height / 3, Moment: push * height / 3}, nil
}
