package stages

import (
	"math"
	"sort"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/slab"
	"pegpour/engine/survey"
)

// Crossing is the drive strip, what it lies on and what crosses it.
type Crossing struct {
	Practice             *practice.Practice
	Ground               *plan.SoilTaken
	vehicle              string
	Wheel, Tyre          float64 // N, Pa
	Length, Width, Depth float64 // mm
	Cover                float64 // mm of concrete under the mesh
}

// crossingOf gathers what crosses the drive strip. Its length is that of its
// longest piece along its middle.
func crossingOf(in *Inputs, p *practice.Practice, ground *plan.SoilTaken, parts []plan.Outline,
	width, depth float64) Crossing {
	c := Crossing{Practice: p, Ground: ground, vehicle: in.vehicle, Width: width, Depth: depth, Cover: p.MeshCover}
	c.Wheel, c.Tyre = WheelOf(p, in.vehicle)
	for i := range parts {
		if o := &parts[i]; o.Kind == plan.PartDriveStrip {
			c.Length = max(c.Length, o.Area/width)
		}
	}
	if in.Meets { // the strip goes on under the other leaf
		for _, ring := range geom.Between(geom.RectangleOf(math.Inf(-1), 0, math.Inf(1), width), &in.latchEdge, &in.RunBackEdge) {
			c.Length = max(c.Length, math.Abs(ring.Area())/width)
		}
	}
	return c
}

// WheelOf is the wheel (N) of a vehicle and the pressure of its tyre (Pa). A van
// or a lorry is no lighter than the shop's car.
func WheelOf(p *practice.Practice, vehicle string) (wheel, tyre float64) {
	wheel, tyre = p.TrafficWheel, p.TyrePressure
	switch {
	case vehicle == survey.VehicleVan && p.VanWheel > wheel:
		return p.VanWheel, p.VanTyre
	case vehicle == survey.VehicleLorry && p.LorryWheel > wheel:
		return p.LorryWheel, p.LorryTyre
	}
	return wheel, tyre
}

// StripUnderWheel looks at the drive strip under one axle, and where it does not
// pass for one that does.
//
// A strip narrower than the radius of relative stiffness of a slab as deep is a
// beam on the ground (Hetényi), a wider one a slab as well (Westergaard). Plain
// it must not crack; with mesh low in it the mesh takes the bottom and the
// concrete the top. Where one of these is refused nothing is said of the strip:
// what is left would read as if all had been looked at.
func StripUnderWheel(c Crossing) (*plan.StripStrength, []plan.Refusal) {
	r, err := c.strength()
	if err != nil {
		return nil, notLookedAt("The drive strip under a wheel", err, practice.PracticePath+practice.RuleDriveStripDepth)
	}
	r.EarthUse = c.onBareEarth(r)
	if r.Use > 1 && c.Ground.Presumed {
		r.Depth, r.Width = c.stronger()
	}
	return &r, nil
}

// onBareEarth is the use of a strip with as much concrete under its mesh as bare
// earth asks for; 0 where that leaves no room for the mesh.
func (c *Crossing) onBareEarth(r plan.StripStrength) float64 {
	p := c.Practice
	section := slab.Reinforced{Width: c.Width, Depth: c.Depth - max(c.Cover, p.CoverEarth) - p.MeshBarSize/2,
		BarArea: r.Steel, Yield: p.MeshYield, Cylinder: p.ConcreteStrength}
	bars, err := section.Moment()
	if err != nil || bars.TooMuchSteel {
		return 0
	}
	shear, err := section.Shear()
	if err != nil {
		return 0
	}
	r.BarUse *= r.Bar / bars.Design
	r.ShearUse *= r.ShearHolds / shear
	return stripUse(&r)
}

// The steps in which a stronger strip is looked for, mm: of the depth alone, and
// of depth and width where the depth alone does not do.
const (
	stripDepthStep  = 10
	stripDeeperStep = 50
	stripWiderStep  = 100
)

// stronger finds the least depth that passes, or where none does the depth and
// width with the least section; a width of 0 leaves it as it is. A deeper strip
// is taken to bear no less; what is found does pass.
func (c Crossing) stronger() (deeper, wider float64) {
	p := c.Practice
	passes := func(width, depth float64) bool {
		c.Width, c.Depth = width, depth
		other, err := c.strength()
		return err == nil && other.Use <= 1
	}
	least := func(width, from, step, most float64) (float64, bool) {
		n := int((most-from)/step + 1e-9)
		i := sort.Search(n+1, func(i int) bool { return passes(width, from+float64(i)*step) })
		return from + float64(i)*step, i <= n
	}
	width, depth := c.Width, c.Depth
	if d, ok := least(width, math.Floor(depth/stripDepthStep)*stripDepthStep+stripDepthStep, stripDepthStep,
		p.DeepestStrip); ok {
		return d, 0
	}
	from, area := max(stripDeeperStep, math.Ceil(depth/stripDeeperStep)*stripDeeperStep), math.Inf(1)
	for w := math.Ceil(width/stripWiderStep)*stripWiderStep + stripWiderStep; w <= p.WidestStrip; w += stripWiderStep {
		if d, ok := least(w, from, stripDeeperStep, p.DeepestStrip); ok && w*d < area {
			area, deeper, wider = w*d, d, w
		}
	}
	return deeper, wider
}

// stripUse is the greatest of the uses that decide for a strip with mesh: the
// top must not crack; at the bottom either the concrete does not or the mesh,
// where there is enough of it to count, holds it; shear; and the ground.
func stripUse(r *plan.StripStrength) float64 {
	return max(max(r.BearingUse, r.ShearUse), max(r.TopUse, bottomUse(r)))
}

func bottomUse(r *plan.StripStrength) float64 {
	if r.Steel < r.LeastSteel {
		return r.PlainUse
	}
	return min(r.BarUse, r.PlainUse)
}

// strength is what a strip does under an axle.
func (c *Crossing) strength() (plan.StripStrength, error) {
	p := c.Practice
	apart := min(p.JointSpacing*c.Depth, p.JointMost)
	joints := int(max(0, math.Ceil(c.Length/apart-1e-9)-1))
	r, err := slab.CrossedStrip{
		Width: c.Width, Thickness: c.Depth, Length: c.Length, Joints: joints,
		Cylinder: p.ConcreteStrength, Poisson: slab.Poisson, RuptureSafety: p.RuptureSafety,
		SubgradeLow: c.Ground.Subgrade, SubgradeHigh: c.Ground.SubgradeHigh,
		Wheel: c.Wheel, TyrePressure: c.Tyre / plan.Megapascal, AxleTrack: p.AxleTrack,
		FromEnd: p.WheelFromEnd, WheelFactor: p.WheelFactor,
		Bars: p.MeshBars, BarSize: p.MeshBarSize, BarYield: p.MeshYield, BarsCover: c.Cover, SteelRatio: p.StripSteel,
	}.UnderAxle()
	if err != nil {
		return plan.StripStrength{}, err
	}
	s := plan.StripStrength{
		Vehicle: c.vehicle, Wheel: c.Wheel, Length: c.Length, JointSpacing: apart, Joints: joints,
		Contact: r.Contact, Relative: r.Relative, AsSlab: r.AsSlab, Sagging: r.Sagging, Hogging: r.Hogging,
		SagAt: r.SagAt, HogAt: r.HogAt,
		Interior: r.Interior, Edge: r.Edge, Corner: r.Corner, Bottom: r.Bottom, Top: r.Top,
		Rupture: r.Rupture, PlainUse: r.PlainUse, TopUse: r.TopUse, Bar: r.Bar, BarUse: r.BarUse, Bearing: r.Pressure,
		Shear: r.Shear, ShearHolds: r.ShearHolds, ShearUse: r.ShearUse, Steel: r.Steel, LeastSteel: r.LeastSteel,
	}
	if c.Ground.Presumed {
		// In pascals as documents have them, so that who divides the two there
		// gets this to the last digit.
		s.BearingUse = s.Bearing * plan.Megapascal / (c.Ground.Bearing * plan.Megapascal)
	}
	s.Use = stripUse(&s)
	return s, nil
}
