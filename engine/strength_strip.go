package engine

import (
	"math"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
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
func stripUnderWheel(p *practice.Practice, ground *plan.SoilTaken, width, depth float64) (*plan.StripStrength,
	[]plan.Refusal) {
	r, err := strengthOfStrip(p, ground, width, depth)
	if err != nil {
		return nil, notLookedAt("The drive strip under a wheel", err, practice.PracticePath+practice.RuleDriveStripDepth)
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
func strongerStrip(p *practice.Practice, ground *plan.SoilTaken, width, depth float64) (deeper, wider float64) {
	passes := func(width, depth float64) bool {
		other, err := strengthOfStrip(p, ground, width, depth)
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
		for d := math.Max(stripDeeperStep,
			math.Ceil(depth/stripDeeperStep)*stripDeeperStep); d <= p.DeepestStrip && w*d < least; d += stripDeeperStep {
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
func stripWorst(r *plan.StripStrength) float64 {
	return math.Max(r.BearingUse, math.Max(r.TopUse, math.Min(r.BarUse, r.PlainUse)))
}

// strengthOfStrip is what a strip of a width and a depth does under an axle.
func strengthOfStrip(p *practice.Practice, ground *plan.SoilTaken, width, depth float64) (plan.StripStrength, error) {
	r, err := slab.CrossedStrip{
		Width: width, Thickness: depth, Cylinder: p.ConcreteStrength, Poisson: slab.Poisson, RuptureSafety: p.RuptureSafety,
		Subgrade: ground.Subgrade,
		Wheel:    p.TrafficWheel, TyrePressure: p.TyrePressure / plan.Megapascal, AxleTrack: p.AxleTrack,
		FromEnd: p.WheelFromEnd, WheelFactor: p.WheelFactor,
		Bars: p.MeshBars, BarSize: p.MeshBarSize, BarYield: p.MeshYield, BarsCover: p.MeshCover,
	}.UnderAxle()
	if err != nil {
		return plan.StripStrength{}, err
	}
	s := plan.StripStrength{
		Contact: r.Contact, Relative: r.Relative, AsSlab: r.AsSlab, Sagging: r.Sagging, Hogging: r.Hogging,
		Interior: r.Interior, Edge: r.Edge, Corner: r.Corner, Bottom: r.Bottom, Top: r.Top,
		Rupture: r.Rupture, PlainUse: r.PlainUse, TopUse: r.TopUse, Bar: r.Bar, BarUse: r.BarUse, Bearing: r.Pressure,
	}
	if ground.Presumed {
		// In pascals as documents have them, so that who divides the two there
		// gets this to the last digit.
		s.BearingUse = s.Bearing * plan.Megapascal / (ground.Bearing * plan.Megapascal)
	}
	return s, nil
}
