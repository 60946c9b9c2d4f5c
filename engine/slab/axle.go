package slab

import (
	"math"

	"pegpour/engine/refusal"
)

// CrossedStrip is a strip of concrete on the ground with one layer of mesh low
// in it, crossed by the wheels of an axle.
type CrossedStrip struct {
	Width         float64 // mm, 50 to 5000
	Thickness     float64 // mm, 30 to 1000
	Cylinder      float64 // MPa, strength of the concrete, 10 to 100
	Poisson       float64 // of the concrete, 0 to 0.3; 0.15 is usual
	RuptureSafety float64 // on the modulus of rupture, 1 to 5
	Subgrade      float64 // N/mm³, 0.001 to 1

	Wheel        float64 // N, 0.001 to 1e6
	TyrePressure float64 // MPa, 0.01 to 10
	AxleTrack    float64 // mm between the wheels of the axle, 0 to 1e5
	FromEnd      float64 // mm that a wheel keeps from the end of the strip, 0 to 1e5
	WheelFactor  float64 // load factor on the wheel for the mesh, 1 to 5

	Bars      float64 // wires of the mesh along the strip, 1 to 100
	BarSize   float64 // mm, diameter of a wire, 2 to 40
	BarYield  float64 // MPa, 200 to 700
	BarsCover float64 // mm of concrete under the wires, 0 to Thickness
}

// AxleResult is what an axle does to a CrossedStrip. A use above 1 fails.
type AxleResult struct {
	Rupture  float64 // MPa at which plain concrete cracks
	Contact  float64 // mm, radius of a tyre's foot
	Relative float64 // mm, radius of relative stiffness as a slab
	Sagging  float64 // N·mm under a wheel, as a beam
	Hogging  float64 // N·mm beside a wheel near the end, as a beam, ≥ 0

	// AsSlab says that the strip is no narrower than Relative: Interior, Edge
	// and Corner are then its stresses as a slab, MPa.
	AsSlab                 bool
	Interior, Edge, Corner float64

	Bottom   float64 // MPa, greatest tension at the bottom
	Top      float64 // MPa, greatest tension at the top
	TopUse   float64 // Top with its safety over Rupture
	PlainUse float64 // the same of top and bottom, without the mesh
	Bar      float64 // N·mm that the mesh holds at the bottom
	BarUse   float64 // Bottom with the wheel's factor over Bar
	Pressure float64 // MPa on the ground
}

// ErrTooMuchMesh says that the mesh does not yield well before the concrete
// fails.
var ErrTooMuchMesh = error(refusal.Error("the mesh is too strong for so thin a strip"))

// UnderAxle returns the greatest tensions of the strip under the axle, and how
// far concrete and mesh are used. The strip is a beam on the ground; one no
// narrower than its radius of relative stiffness is a slab as well. Plain it
// must not crack. With mesh low in it the mesh takes the bottom, the concrete
// the top.
//
// Sagging is that under a wheel far from the ends, the other wheel counted where
// it adds; hogging that of the axle near the end. The ground's pressure is the
// greater of the beam's under a wheel and of the wheel spread at 45°.
//
//	σ = M/(b·h²/6);  use of the mesh = f·σ_bottom·b·h²/6 / φM_n
//
// Every part refuses what it does not cover, the cases of a slab too, and so
// does UnderAxle.
//
// Source: Hetényi and Westergaard, as Strip and WheelLoad; ACI 318, as
// Reinforced. The choice at one radius of relative stiffness is common practice.
// Checked: through those, and the tests hold it against WheelCheck.
func (c CrossedStrip) UnderAxle() (AxleResult, error) {
	modulus, err := ModulusACI(c.Cylinder)
	if err != nil {
		return AxleResult{}, err
	}
	var out AxleResult
	if out.Rupture, err = RuptureACI(c.Cylinder); err != nil {
		return AxleResult{}, err
	}
	if out.Contact, err = ContactRadius(c.Wheel, c.TyrePressure); err != nil {
		return AxleResult{}, err
	}
	if out.Relative, err = Stiffness(modulus, c.Thickness, c.Poisson, c.Subgrade); err != nil {
		return AxleResult{}, err
	}
	beam := Strip{Width: c.Width, Thickness: c.Thickness, Modulus: modulus, Subgrade: c.Subgrade}
	pressure, err := c.asBeam(beam, &out)
	if err != nil {
		return AxleResult{}, err
	}
	if out.Bar, err = c.mesh(); err != nil {
		return AxleResult{}, err
	}
	sectionModulus := c.Width * c.Thickness * c.Thickness / 6
	out.Bottom, out.Top = out.Sagging/sectionModulus, out.Hogging/sectionModulus
	if out.AsSlab = c.Width >= out.Relative; out.AsSlab {
		if err := c.asSlab(modulus, &out); err != nil {
			return AxleResult{}, err
		}
	}
	if out.TopUse, err = Use(out.Top, out.Rupture, c.RuptureSafety); err != nil {
		return AxleResult{}, err
	}
	bottomUse, err := Use(out.Bottom, out.Rupture, c.RuptureSafety)
	if err != nil {
		return AxleResult{}, err
	}
	out.PlainUse = math.Max(out.TopUse, bottomUse)
	if err := refusal.First(refusal.Allow("reserve factor", c.WheelFactor, 1, 5, "")); err != nil {
		return AxleResult{}, err
	}
	out.BarUse = c.WheelFactor * out.Bottom * sectionModulus / out.Bar
	spread, err := beam.SpreadPressure(c.Wheel, 2*out.Contact)
	if err != nil {
		return AxleResult{}, err
	}
	out.Pressure = math.Max(spread, pressure)
	return out, nil
}

// asBeam finds sagging and hogging, and returns the greatest pressure on the
// ground under a wheel, MPa.
func (c *CrossedStrip) asBeam(beam Strip, out *AxleResult) (pressure float64, err error) {
	one, err := beam.At(0, []StripLoad{{At: 0, Force: c.Wheel}})
	if err != nil {
		return 0, err
	}
	both, err := beam.At(0, []StripLoad{{At: 0, Force: c.Wheel}, {At: c.AxleTrack, Force: c.Wheel}})
	if err != nil {
		return 0, err
	}
	out.Sagging = math.Max(one.Moment, both.Moment)
	axle := []StripLoad{{At: c.FromEnd, Force: c.Wheel}, {At: c.FromEnd + c.AxleTrack, Force: c.Wheel}}
	_, hogging, _, err := beam.Worst(axle, true)
	if err != nil {
		return 0, err
	}
	out.Hogging = math.Max(0, -hogging.Moment)
	return math.Max(one.Pressure, both.Pressure), nil
}

// asSlab finds the stresses as a slab, and raises Bottom and Top to them.
func (c *CrossedStrip) asSlab(modulus float64, out *AxleResult) error {
	wheel := WheelLoad{Load: c.Wheel, Radius: out.Contact, Thickness: c.Thickness, Modulus: modulus,
		Poisson: c.Poisson, Subgrade: c.Subgrade}
	interior, err := wheel.Interior()
	if err != nil {
		return err
	}
	edge, err := wheel.Edge()
	if err != nil {
		return err
	}
	corner, err := wheel.Corner()
	if err != nil {
		return err
	}
	out.Interior, out.Edge, out.Corner = interior.Stress, edge.Stress, corner.Stress
	out.Bottom = math.Max(out.Bottom, math.Max(out.Interior, out.Edge))
	out.Top = math.Max(out.Top, out.Corner)
	return nil
}

// mesh returns the moment that the mesh holds, N·mm.
func (c *CrossedStrip) mesh() (float64, error) {
	area := c.Bars * math.Pi / 4 * c.BarSize * c.BarSize
	bars, err := Reinforced{Width: c.Width, Depth: c.Thickness - c.BarsCover - c.BarSize/2, BarArea: area,
		Yield: c.BarYield, Cylinder: c.Cylinder}.Moment()
	if err == nil && bars.TooMuchSteel {
		err = ErrTooMuchMesh
	}
	return bars.Design, err
}
