package steel

import (
	"math"

	"pegpour/engine/refusal"
)

// TwoCarriages is a body that runs through two carriages which stand still and hold
// it up and down, such as a leaf that hangs free. Places are mm from the front
// carriage, positive over the free end.
type TwoCarriages struct {
	Weight  float64 // N, 0 to 1e6
	Centre  float64 // mm, of the weight before it travels, ±100 000
	Between float64 // mm from carriage to carriage, 50 to 50 000
}

// Carried returns what both carriages carry once the body has travelled (mm) away
// from its free end, N, upwards: below 0 a carriage holds the body down.
//
//	R_front = G·(x̄ − t + s)/s;  R_rear = G − R_front
//
// Source: statics, moments about the rear carriage. Checked: testdata/references/steel.json,
// overhang-*.
func (c TwoCarriages) Carried(travelled float64) (front, rear float64, err error) {
	if err := refusal.First(
		refusal.Allow("weight", c.Weight, 0, 1e6, "N"),
		refusal.Allow("centre of the weight", c.Centre, -100000, 100000, "mm"),
		refusal.Allow("between the carriages", c.Between, 50, 50000, "mm"),
		refusal.Allow("travel", travelled, 0, 100000, "mm"),
	); err != nil {
		return 0, 0, err
	}
	front = c.Weight * (c.Centre - travelled + c.Between) / c.Between
	return front, c.Weight - front, nil
}

// Overhang is a beam on two supports that hangs over the front one, evenly loaded
// and with a force at its free end. What is loaded between the supports would lift
// the free end; it is left out.
type Overhang struct {
	Over       float64 // mm that it hangs over, 10 to 50 000
	Between    float64 // mm between the supports, 50 to 50 000
	Elasticity float64 // MPa, 1000 to 1e6
	Inertia    float64 // mm⁴, 1 to 1e12
	Uniform    float64 // N/mm over the overhang, 0 to 1000
	End        float64 // N downwards at the free end, 0 to 1e6
}

// Nose returns the moment at the front support (N·mm, as a positive size) and how far
// the free end goes down (mm): by its own bending, and because the beam turns over
// the front support.
//
//	M = q·L²/2 + P·L
//	δ = q·L⁴/(8EI) + P·L³/(3EI) + L·M·s/(3EI)
//
// Source: AISC Manual of Steel Construction, beam diagrams and formulas, beam
// overhanging one support, uniform load on the overhang and load at its end (memory).
// Checked: testdata/references/steel.json, overhang-*, and Girder.
func (o Overhang) Nose() (moment, down float64, err error) {
	if err := refusal.First(
		refusal.Allow("overhang", o.Over, 10, 50000, "mm"),
		refusal.Allow("between the supports", o.Between, 50, 50000, "mm"),
		refusal.Allow("modulus of elasticity", o.Elasticity, 1000, 1e6, "MPa"),
		refusal.Allow("second moment of area", o.Inertia, 1, 1e12, "mm⁴"),
		refusal.Allow("uniform load", o.Uniform, 0, 1000, "N/mm"),
		refusal.Allow("load at the free end", o.End, 0, 1e6, "N"),
	); err != nil {
		return 0, 0, err
	}
	l, stiff := o.Over, o.Elasticity*o.Inertia
	moment = o.Uniform*l*l/2 + o.End*l
	down = o.Uniform*math.Pow(l, 4)/(8*stiff) + o.End*math.Pow(l, 3)/(3*stiff) + l*moment*o.Between/(3*stiff)
	return moment, down, nil
}
