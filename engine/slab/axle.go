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
	Length        float64 // mm between its free ends, 300 to 20 000

	// Joints are how many cracks or joints cross it, 0 to 12: it is looked at with
	// them and without.
	Joints int

	// SubgradeLow and SubgradeHigh are the ends of what is known of the ground,
	// N/mm³, 0.001 to 1: each figure is the worse of the two.
	SubgradeLow, SubgradeHigh float64

	Wheel        float64 // N, 0.001 to 1e6
	TyrePressure float64 // MPa, 0.01 to 10
	AxleTrack    float64 // mm between the wheels of the axle, 0 to 1e5
	FromEnd      float64 // mm that a wheel keeps from the end of the strip, 0 to 1e5
	WheelFactor  float64 // load factor on the wheel for the mesh, 1 to 5

	Bars      float64 // wires of the mesh along the strip, 1 to 100
	BarSize   float64 // mm, diameter of a wire, 2 to 40
	BarYield  float64 // MPa, 200 to 700
	BarsCover float64 // mm of concrete under the wires, 0 to Thickness

	SteelRatio float64 // least area of the wires over the strip's section, 0 to 0.02
}

// AxleResult is what an axle does to a CrossedStrip. A use above 1 fails.
type AxleResult struct {
	Rupture  float64 // MPa at which plain concrete cracks
	Contact  float64 // mm, radius of a tyre's foot
	Relative float64 // mm, radius of relative stiffness as a slab, on the softer ground
	Sagging  float64 // N·mm, the most at the bottom as a beam, one wheel or two at any place
	Hogging  float64 // N·mm, the most at the top, likewise, ≥ 0
	SagAt    float64 // mm from an end, of the wheel that makes Sagging
	HogAt    float64 // mm from an end, of the wheel that makes Hogging

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

	Shear      float64 // N, the most at the wires' depth beside a tyre's foot
	ShearHolds float64 // N that the concrete holds of it
	ShearUse   float64 // Shear with the wheel's factor over ShearHolds
	Steel      float64 // mm², area of the wires
	LeastSteel float64 // mm² that they must have
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
// Sagging, hogging and shear are the worst of one wheel and of both, at any
// place of the strip, on the softer ground and on the stiffer, whole and in
// pieces that its joints leave. Shear is taken as
// far from the tyre's foot as the mesh lies deep. The ground's pressure is the
// greater of the beam's and of the wheel spread at 45°.
//
//	σ = M/(b·h²/6);  use of the mesh = f·σ_bottom·b·h²/6 / φM_n;  of shear f·V/V_c
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
	if out.Relative, err = Stiffness(modulus, c.Thickness, c.Poisson, c.SubgradeLow); err != nil {
		return AxleResult{}, err
	}
	if err = c.mesh(&out); err != nil {
		return AxleResult{}, err
	}
	pressure, err := c.asBeam(modulus, &out)
	if err != nil {
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
	out.PlainUse = max(out.TopUse, bottomUse)
	if err := refusal.First(refusal.Allow("reserve factor", c.WheelFactor, 1, 5, "")); err != nil {
		return AxleResult{}, err
	}
	out.BarUse = c.WheelFactor * out.Bottom * sectionModulus / out.Bar
	out.ShearUse = c.WheelFactor * out.Shear / out.ShearHolds
	spread, err := c.strip(modulus, c.SubgradeLow).SpreadPressure(c.Wheel, 2*out.Contact)
	if err != nil {
		return AxleResult{}, err
	}
	out.Pressure = max(spread, pressure)
	return out, nil
}

// strip is the strip as a beam on ground of a subgrade.
func (c *CrossedStrip) strip(modulus, subgrade float64) Strip {
	return Strip{Width: c.Width, Thickness: c.Thickness, Modulus: modulus, Subgrade: subgrade}
}

// depth is from the top to the middle of the wires, mm.
func (c *CrossedStrip) depth() float64 { return c.Thickness - c.BarsCover - c.BarSize/2 }

// asBeam finds sagging, hogging and shear, and returns the greatest pressure on
// the ground under a wheel, MPa.
func (c *CrossedStrip) asBeam(modulus float64, out *AxleResult) (pressure float64, err error) {
	path := WheelPath{Length: c.Length, Wheel: c.Wheel, AxleTrack: c.AxleTrack, FromEnd: c.FromEnd,
		ShearAway: out.Contact + c.depth()}
	for i, subgrade := range [4]float64{c.SubgradeLow, c.SubgradeHigh, c.SubgradeLow, c.SubgradeHigh} {
		if i == 2 {
			if path.Joints = c.Joints; c.Joints == 0 {
				break
			}
		}
		worst, err := c.strip(modulus, subgrade).Crossed(path)
		if err != nil {
			return 0, err
		}
		if worst.Sagging.Value > out.Sagging {
			out.Sagging, out.SagAt = worst.Sagging.Value, worst.Sagging.Wheel
		}
		if worst.Hogging.Value > out.Hogging {
			out.Hogging, out.HogAt = worst.Hogging.Value, worst.Hogging.Wheel
		}
		out.Shear = max(out.Shear, worst.Shear.Value)
		pressure = max(pressure, worst.Pressure.Value)
	}
	return pressure, nil
}

// asSlab finds the stresses as a slab, and raises Bottom and Top to them.
func (c *CrossedStrip) asSlab(modulus float64, out *AxleResult) error {
	wheel := WheelLoad{Load: c.Wheel, Radius: out.Contact, Thickness: c.Thickness, Modulus: modulus,
		Poisson: c.Poisson, Subgrade: c.SubgradeLow}
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
	out.Bottom = max(out.Bottom, max(out.Interior, out.Edge))
	out.Top = max(out.Top, out.Corner)
	return nil
}

// mesh finds the moment and the shear that the strip holds with its mesh, and how
// much steel it must have.
func (c *CrossedStrip) mesh(out *AxleResult) error {
	out.Steel = c.Bars * math.Pi / 4 * c.BarSize * c.BarSize
	section := Reinforced{Width: c.Width, Depth: c.depth(), BarArea: out.Steel, Yield: c.BarYield, Cylinder: c.Cylinder}
	bars, err := section.Moment()
	if err != nil {
		return err
	}
	if bars.TooMuchSteel {
		return ErrTooMuchMesh
	}
	out.Bar = bars.Design
	if out.ShearHolds, err = section.Shear(); err != nil {
		return err
	}
	out.LeastSteel, err = section.LeastSteel(c.Thickness, c.SteelRatio)
	return err
}
