package motion

import "pegpour/engine/refusal"

// Tread is what rolls on what, with the lever arm of its rolling friction.
type Tread struct {
	Key, Name string
	Lever     float64 // mm
}

// Treads returns the pairs of tread and track, the easiest first.
//
// Source: a drive maker's engineering tables for travelling drives, printed in
// inches: steel on steel 0.02, polymer on steel 0.08, polymer on concrete 0.2,
// hard rubber on steel 0.28 (read).
func Treads() []Tread {
	return []Tread{
		{"steel-steel", "Steel wheel on steel track", 0.5},
		{"polymer-steel", "Plastic wheel on steel track", 2},
		{"polymer-concrete", "Plastic wheel on concrete", 5},
		{"rubber-steel", "Hard rubber wheel on steel track", 7},
	}
}

// Bearing is how a wheel turns on its axle.
type Bearing struct {
	Key, Name string
	Friction  float64 // at the axle
	Rim       float64 // allowance for the rim rubbing on its track, force over load
}

// Bearings returns the kinds of wheel bearing. Source: as Treads (read).
func Bearings() []Bearing {
	return []Bearing{
		{"rolling", "Ball or roller bearing", 0.005, 0.003},
		{"plain", "Plain bush", 0.1, 0.005},
	}
}

// Weathered is what computed resistance is multiplied by for an outdoor track
// with some dirt. Common practice, no published source.
const Weathered = 1.5

// WheelResistance returns the rolling resistance of a wheel as force over load.
//
//	c = (2/D)·(μ·d/2 + f) + c_rim
//
// diameter D is that of the tread where it bears, axle d that of the bearing's
// middle (mm).
//
// Source: as Treads; the formula is that of crane travel drives. Checked:
// testdata/references/motion.json, wheel-*.
func WheelResistance(diameter, axle float64, tread Tread, bearing Bearing) (float64, error) {
	if err := refusal.First(
		refusal.Allow("wheel diameter", diameter, 10, 2000, "mm"),
		refusal.Allow("axle diameter", axle, 1, diameter, "mm"),
		refusal.Allow("lever arm of rolling friction", tread.Lever, 0, 50, "mm"),
		refusal.Allow("bearing friction", bearing.Friction, 0, 1, ""),
		refusal.Allow("rim friction", bearing.Rim, 0, 0.1, ""),
	); err != nil {
		return 0, err
	}
	return 2/diameter*(bearing.Friction*axle/2+tread.Lever) + bearing.Rim, nil
}
