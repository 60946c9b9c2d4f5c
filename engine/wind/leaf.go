package wind

import (
	"math"

	"pegpour/engine/refusal"
)

// Leaf is an upright plane in the wind, in its own coordinates: u along it from
// its leading end, z up from the line that holds its foot.
type Leaf struct {
	Length      float64 // mm, 100 to 50 000
	Bottom, Top float64 // mm, the clad height begins and ends here; 0 ≤ Bottom < Top ≤ 10 000
	Solidity    float64 // solid part of the gross area, 0 to 1
	Pressure    float64 // Pa, peak velocity pressure, 0 to 10 000
	// Coefficient is the net coefficient on the gross area; 0 finds it by
	// NetCoefficient.
	Coefficient float64
}

// Load is the wind on a leaf.
type Load struct {
	Coefficient float64 // net, on the gross area
	Area        float64 // mm², gross
	Force       float64 // N, square to the leaf
	Height      float64 // mm above the foot at which it acts
	Middle      float64 // mm along the leaf at which it acts
	Moment      float64 // N·mm about the foot
}

// Load returns the force of the wind on the leaf and its moment about the foot.
// The pressure is taken even along it; zones near free ends are in the mean.
//
//	F = q·c·L·(top − bottom)
func (l Leaf) Load() (Load, error) {
	if err := refusal.First(
		refusal.Allow("length", l.Length, 100, 50000, "mm"),
		refusal.Allow("bottom", l.Bottom, 0, 10000, "mm"),
		refusal.Allow("top", l.Top, l.Bottom+10, 10000, "mm"),
		refusal.Allow("solidity", l.Solidity, 0, 1, ""),
		refusal.Allow("pressure", l.Pressure, 0, 10000, "Pa"),
		refusal.Allow("coefficient", l.Coefficient, 0, 5, ""),
	); err != nil {
		return Load{}, err
	}
	out := Load{Coefficient: l.Coefficient, Area: l.Length * (l.Top - l.Bottom), Height: (l.Top + l.Bottom) / 2,
		Middle: l.Length / 2}
	if out.Coefficient == 0 {
		c, err := NetCoefficient(l.Length, max(100, l.Top-l.Bottom), l.Solidity)
		if err != nil {
			return Load{}, err
		}
		out.Coefficient = c
	}
	out.Force = l.Pressure * 1e-6 * out.Coefficient * out.Area
	out.Moment = out.Force * out.Height
	return out, nil
}

// Support holds a leaf against wind at a place along it and a height.
type Support struct{ At, Height float64 } // mm, mm above the foot

// Held is what the supports of a leaf carry, N, along the wind positive.
// Negative values act against the wind: the leaf would swing out there.
type Held struct {
	Upper  []float64 // as the supports were given
	Bottom [2]float64
	// Moment is Upper times its height above the foot, N·mm: what a post fixed
	// at the level of the foot must take, as the supports were given.
	Moment []float64
}

// Hold returns the forces on a leaf's supports: two wheels in a groove at its
// foot, bottom (mm along the leaf), and one or two upper supports, such as
// guide rollers and a keeper.
//
// One upper support is statics: it takes F·h/z, the wheels share the rest so
// that the leaf does not turn about the vertical. With two the leaf is taken as
// soft in twist: wind's tilting is shared between them by the lever rule, the
// rest between the wheels likewise, each edge a beam of its own.
//
// Source: statics; the share of two upper supports is common practice, no
// published source. Checked: testdata/references/wind.json, leaf-*.
func (l Leaf) Hold(upper []Support, bottom [2]float64) (Held, error) {
	load, err := l.Load()
	if err != nil {
		return Held{}, err
	}
	if err := refusal.First(
		refusal.Allow("number of upper supports", float64(len(upper)), 1, 2, ""),
		refusal.Allow("first wheel", bottom[0], -50000, 50000, "mm"),
		refusal.Allow("second wheel", bottom[1], bottom[0]+50, 50000, "mm"),
	); err != nil {
		return Held{}, err
	}
	for _, s := range upper {
		if err := refusal.First(
			refusal.Allow("upper support along the leaf", s.At, -50000, 50000, "mm"),
			refusal.Allow("height of an upper support", s.Height, 50, 20000, "mm"),
		); err != nil {
			return Held{}, err
		}
	}
	shares := []float64{1}
	if len(upper) == 2 {
		apart := upper[1].At - upper[0].At
		if math.Abs(apart) < 50 {
			return Held{}, &ArgumentError{Argument: "distance of the upper supports", Given: math.Abs(apart), Low: 50,
				High: 100000, Unit: "mm",
				Detail: "two supports in one place are one"}
		}
		second := (load.Middle - upper[0].At) / apart
		shares = []float64{1 - second, second}
	}
	out := Held{Upper: make([]float64, len(upper)), Moment: make([]float64, len(upper))}
	force, turn := load.Force, load.Force*load.Middle
	for i, s := range upper {
		out.Upper[i] = load.Moment / s.Height * shares[i]
		out.Moment[i] = out.Upper[i] * s.Height
		force -= out.Upper[i]
		turn -= out.Upper[i] * s.At
	}
	out.Bottom[1] = (turn - force*bottom[0]) / (bottom[1] - bottom[0])
	out.Bottom[0] = force - out.Bottom[1]
	return out, nil
}
