package soil

import (
	"math"

	"pegpour/engine/refusal"
)

// Tilt returns by how much a rigid block turns on ground that gives way as springs do,
// rad: one end sinks and the other rises against the middle. All of its underside must
// press.
//
//	θ = M/(k·B·L³/12)
//
// moment (N·mm, 0 to 1e12) acts along the length; modulus is that of subgrade reaction
// (N/mm³, 1e-4 to 10), breadth and length are the block's (mm, 50 to 50 000).
//
// Source: statics of a rigid body on Winkler's springs. Checked:
// testdata/references/soil.json, tilt-*.
func Tilt(moment, modulus, breadth, length float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("moment", moment, 0, 1e12, "N·mm"),
		refusal.Allow("modulus of subgrade reaction", modulus, 1e-4, 10, "N/mm³"),
		refusal.Allow("breadth of the block", breadth, 50, 50000, "mm"),
		refusal.Allow("length of the block", length, 50, 50000, "mm"),
	); err != nil {
		return 0, err
	}
	return moment / (modulus * breadth * math.Pow(length, 3) / 12), nil
}
