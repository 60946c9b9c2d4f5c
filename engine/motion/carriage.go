package motion

import (
	"math"

	"pegpour/engine/refusal"
)

// Carriage is a rigid leaf on two wheels as it is measured on site: places
// level along the track, heights plumb above it.
type Carriage struct {
	Mass   float64    // kg, 0.001 to 20 000
	At     float64    // mm level, of the centre of gravity
	Height float64    // mm plumb, of the centre of gravity
	Wheels [2]float64 // mm level, the first before the second
	Grade  float64    // rad, positive where the track rises with u, within 45°
}

// Pushed returns the loads on the wheels while a force (N along the track)
// pushes at a plumb height (mm). What the force has over the weight's part along
// the track acts back at another plumb height, against: at the centre of gravity
// where it speeds the leaf up, at whatever stands in the way where it is
// stalled.
//
//	s = x/cos θ along the track;  n = h·cos θ square to it
//	s_g = x_g/cos θ + h_g·sin θ;  F_back = m·g·sin θ − F
//
// Places along the track and the loads on it are those of Wheels. It allocates
// nothing beyond what Wheels does.
//
// Source: statics, d'Alembert. Checked: as Wheels; the tests hold it against
// moments about each wheel.
func (c Carriage) Pushed(force, height, against float64) (WheelLoads, error) {
	return c.loaded(Push{Force: force, Height: height}, Push{}, against)
}

// Stopped returns the loads on the wheels while a stop pushes at its height and
// a drive pushes on at another, forces along the track in N and heights plumb in
// mm. What they leave of the weight's part along the track slows the leaf down,
// and acts at its centre of gravity.
//
//	m·a = F_stop + F_drive − m·g·sin θ, at the centre
//
// Source: statics, d'Alembert. Checked: as Pushed.
func (c Carriage) Stopped(stop, drive Push) (WheelLoads, error) {
	return c.loaded(stop, drive, c.Height)
}

// loaded is Pushed with two forces.
func (c Carriage) loaded(one, other Push, against float64) (WheelLoads, error) {
	if err := refusal.First(refusal.Allow("grade", c.Grade, -steepest, steepest, "rad")); err != nil {
		return WheelLoads{}, err
	}
	sin, cos := math.Sincos(c.Grade)
	part := [1]Part{{Mass: c.Mass, At: c.At/cos + c.Height*sin, Height: c.Height * cos}}
	wheels := [2]float64{c.Wheels[0] / cos, c.Wheels[1] / cos}
	left := c.Mass*Gravity*sin - one.Force - other.Force
	pushes := [3]Push{{Force: one.Force, Height: one.Height * cos}, {Force: other.Force, Height: other.Height * cos},
		{Force: left, Height: against * cos}}
	return Wheels(part[:], wheels[:], c.Grade, pushes[:])
}

// UprightPush returns the push at the top of a leaf that keeps it upright where
// its centre of gravity lies aside of its track, N. It acts against the offset.
//
//	N = −m·g·e/h
//
// m is the mass (kg, 0 to 20 000), e the offset of its centre (mm, within 5000),
// h the height above the track at which it is held (mm, 50 to 20 000).
//
// Source: statics.
func UprightPush(mass, offset, height float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("mass", mass, 0, 20000, "kg"),
		refusal.Allow("distance", offset, -5000, 5000, "mm"),
		refusal.Allow("height", height, 50, 20000, "mm"),
	); err != nil {
		return 0, err
	}
	return -(mass * Gravity) * offset / height, nil
}
