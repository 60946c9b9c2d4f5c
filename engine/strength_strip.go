package engine

import (
	"math"

	"pegpour/engine/refusal"
	"pegpour/engine/slab"
)

// stripUnderWheel looks at the drive strip under one axle, and where it does not
// pass for one that does.
//
// A strip narrower than the radius of relative stiffness of a slab as deep is a
// beam on the ground (Hetényi), a wider one a slab as well (Westergaard). Plain
// it must not crack; with mesh low in it the mesh takes the bottom and the
// concrete the top. Where one of these is refused nothing is said of the strip:
// what is left would read as if all had been looked at.
func stripUnderWheel(p *Practice, ground *SoilTaken, width, depth float64) (*StripStrength, []Refusal) {
	r, what, err := strengthOfStrip(p, ground, width, depth)
	if err != nil {
		return nil, notLookedAt(what, err, "practice.drive.stripDepth")
	}
	if stripWorst(&r) > 1 {
		r.Depth, r.Width = strongerStrip(p, ground, width, depth)
	}
	return &r, nil
}

// The steps in which a stronger strip is looked for, mm: of the depth alone, and
// of depth and width where the depth alone does not do.
const (
	stripDepthStep  = 10
	stripDeeperStep = 50
	stripWiderStep  = 100
)

// strongerStrip finds the least depth that passes, or where none does the depth
// and width with the least section; a width of 0 leaves it as it is.
func strongerStrip(p *Practice, ground *SoilTaken, width, depth float64) (deeper, wider float64) {
	passes := func(width, depth float64) bool {
		other, _, err := strengthOfStrip(p, ground, width, depth)
		return err == nil && stripWorst(&other) <= 1
	}
	up := func(size, step float64) float64 { return math.Floor(size/step)*step + step }
	for d := up(depth, stripDepthStep); d <= p.DeepestStrip; d += stripDepthStep {
		if passes(width, d) {
			return d, 0
		}
	}
	least := math.Inf(1)
	for w := math.Ceil(width/stripWiderStep)*stripWiderStep + stripWiderStep; w <= p.WidestStrip; w += stripWiderStep {
		for d := math.Max(stripDeeperStep, math.Ceil(depth/stripDeeperStep)*stripDeeperStep); d <= p.DeepestStrip && w*d < least; d += stripDeeperStep {
			if passes(w, d) {
				least, deeper, wider = w*d, d, w
			}
		}
	}
	return deeper, wider
}

// stripWorst is the greatest of the uses that decide for a strip with mesh: the
// top must not crack; at the bottom either the concrete does not or the mesh
// holds it.
func stripWorst(r *StripStrength) float64 {
	return math.Max(r.BearingUse, math.Max(r.TopUse, math.Min(r.BarUse, r.PlainUse)))
}

// strengthOfStrip is what a strip of a width and a depth does under an axle; an
// error comes with the name of what it leaves unjudged.
func strengthOfStrip(p *Practice, ground *SoilTaken, width, depth float64) (r StripStrength, what string, err error) {
	what = "The drive strip under a wheel"
	keep := func(v float64, e error) float64 {
		if err == nil {
			err = e
		}
		return v
	}
	modulus := keep(slab.ModulusACI(p.ConcreteStrength))
	r.Rupture = keep(slab.RuptureACI(p.ConcreteStrength))
	r.Contact = keep(slab.ContactRadius(p.TrafficWheel, p.TyrePressure/megapascal))
	r.Relative = keep(slab.Stiffness(modulus, depth, slab.Poisson, ground.Subgrade))
	beam := slab.Strip{Width: width, Thickness: depth, Modulus: modulus, Subgrade: ground.Subgrade}
	if err != nil {
		return r, what, err
	}
	// Under one wheel of an axle in the middle: the other one is counted where
	// it adds.
	one, err := beam.At(0, []slab.StripLoad{{At: 0, Force: p.TrafficWheel}})
	if err != nil {
		return r, what, err
	}
	both, err := beam.At(0, []slab.StripLoad{{At: 0, Force: p.TrafficWheel}, {At: p.AxleTrack, Force: p.TrafficWheel}})
	if err != nil {
		return r, what, err
	}
	r.Sagging = math.Max(one.Moment, both.Moment)
	_, hogging, _, err := beam.Worst([]slab.StripLoad{{At: p.WheelFromEnd, Force: p.TrafficWheel}, {At: p.WheelFromEnd + p.AxleTrack, Force: p.TrafficWheel}}, true)
	if err != nil {
		return r, what, err
	}
	r.Hogging = math.Max(0, -hogging.Moment)
	section := width * depth * depth / 6
	r.Bottom, r.Top = r.Sagging/section, r.Hogging/section
	if r.AsSlab = width >= r.Relative; r.AsSlab {
		wheel := slab.WheelLoad{Load: p.TrafficWheel, Radius: r.Contact, Thickness: depth, Modulus: modulus, Poisson: slab.Poisson, Subgrade: ground.Subgrade}
		stress := func(s slab.Response, e error) float64 { return keep(s.Stress, e) }
		r.Interior, r.Edge, r.Corner = stress(wheel.Interior()), stress(wheel.Edge()), stress(wheel.Corner())
		if err != nil {
			return r, "The drive strip as a slab under a wheel", err
		}
		r.Bottom = math.Max(r.Bottom, math.Max(r.Interior, r.Edge))
		r.Top = math.Max(r.Top, r.Corner)
	}
	r.TopUse = keep(slab.Use(r.Top, r.Rupture, p.RuptureSafety))
	r.PlainUse = math.Max(r.TopUse, keep(slab.Use(r.Bottom, r.Rupture, p.RuptureSafety)))
	area := p.MeshBars * math.Pi / 4 * p.MeshBarSize * p.MeshBarSize
	bars, e := slab.Reinforced{Width: width, Depth: depth - p.MeshCover - p.MeshBarSize/2, BarArea: area, Yield: p.MeshYield, Cylinder: p.ConcreteStrength}.Moment()
	if keep(0, e); err == nil && bars.TooMuchSteel {
		err = error(refusal.Error("the mesh is too strong for so thin a strip"))
	}
	if err != nil {
		return r, what, err
	}
	r.Bar = bars.Design
	r.BarUse = p.WheelFactor * r.Bottom * section / r.Bar
	spread := keep(beam.SpreadPressure(p.TrafficWheel, 2*r.Contact))
	r.Bearing = math.Max(spread, math.Max(one.Pressure, both.Pressure))
	if ground.Presumed {
		// In megapascal as documents have them, so that who divides the two there
		// gets this to the last digit.
		r.BearingUse = r.Bearing * megapascal / (ground.Bearing * megapascal)
	}
	return r, what, err
}
