package engine

import (
	"math"

	"pegpour/engine/refusal"
	"pegpour/engine/slab"
	"pegpour/engine/soil"
	"pegpour/engine/steel"
)

// poisson is Poisson's ratio of concrete. Source: Y. H. Huang, Pavement Analysis
// and Design, usual value 0.15.
const poisson = 0.15

// strengthen makes the first pass over strength: loads by practice, formulas by
// the packages that hold them, each refusing what it does not cover.
func strengthen(plan *Plan, in *inputs, p *Practice, l *layout, t *driveTreatment) *StrengthPlan {
	s := &StrengthPlan{Soil: soilTaken(in)}
	if t.strip {
		s.strip(p, l, t)
	}
	s.guide(plan, in, p, l)
	s.stops(plan, in, p, l)
	return s
}

// soilTaken finds the class of the firm ground: the one named on site, or the
// weakest that may be presumed. Soft and wet ground is dug through.
func soilTaken(in *inputs) SoilTaken {
	key, known := in.soilClass, in.soilClass != ""
	if !known {
		key = "clay"
		if in.soil == SoilRock {
			key = "soft-rock"
		}
	}
	c, _ := soil.ClassOf(key)
	return SoilTaken{Key: key, Name: c.Name, Known: known, Presumed: c.Presumed, Bearing: c.Bearing * 1e6, Lateral: c.Lateral, Subgrade: c.SubgradeModulus.Low}
}

// refuse notes what a formula would not take.
func (s *StrengthPlan) refuse(what string, err error, field string) bool {
	if err == nil {
		return false
	}
	s.Refused = append(s.Refused, Refusal{What: what, Words: say("{0} was not looked at: {1}.", wordArg(what), listArg(Because(err))), Field: field})
	return true
}

// strip looks at the drive strip under one axle.
//
// A strip narrower than the radius of relative stiffness of a slab as deep is a
// beam on the ground (Hetényi), a wider one a slab as well (Westergaard). Plain
// it must not crack; with mesh low in it the mesh takes the bottom and the
// concrete the top.
func (s *StrengthPlan) strip(p *Practice, l *layout, t *driveTreatment) {
	const what = "The drive strip under a wheel"
	r, err := s.stripOf(p, l.driveWidth, t.depth)
	if s.refuse(what, err, "practice.drive.stripDepth") {
		return
	}
	if stripWorst(&r) > 1 {
		s.enlarge(&r, p, l.driveWidth, t.depth)
	}
	s.Strip = &r
}

// enlarge finds the least depth that passes, or where none does the width and
// depth with the least section.
func (s *StrengthPlan) enlarge(r *StripStrength, p *Practice, width, depth float64) {
	passes := func(width, depth float64) bool {
		other, err := s.stripOf(p, width, depth)
		return err == nil && stripWorst(&other) <= 1
	}
	for d := math.Floor(depth/10)*10 + 10; d <= deepestStrip; d += 10 {
		if passes(width, d) {
			r.Depth = d
			return
		}
	}
	least := math.Inf(1)
	for w := math.Ceil(width/100)*100 + 100; w <= widestStrip; w += 100 {
		for d := math.Max(50, math.Ceil(depth/50)*50); d <= deepestStrip && w*d < least; d += 50 {
			if passes(w, d) {
				least, r.Depth, r.Width = w*d, d, w
			}
		}
	}
}

// deepestStrip and widestStrip are where looking for a strip that passes ends,
// mm: beyond them it is a slab for an engineer.
const (
	deepestStrip = 500
	widestStrip  = 1200
)

// stripWorst is the greatest of the uses that decide for a strip with mesh: the
// top must not crack; at the bottom either the concrete does not or the mesh
// holds it.
func stripWorst(r *StripStrength) float64 {
	return math.Max(r.BearingUse, math.Max(r.TopUse, math.Min(r.BarUse, r.PlainUse)))
}

func (s *StrengthPlan) stripOf(p *Practice, width, depth float64) (r StripStrength, err error) {
	keep := func(v float64, e error) float64 {
		if err == nil {
			err = e
		}
		return v
	}
	modulus := keep(slab.ModulusACI(p.ConcreteStrength))
	r.Rupture = keep(slab.RuptureACI(p.ConcreteStrength))
	r.Contact = keep(slab.ContactRadius(p.TrafficWheel, p.TyrePressure/1e6))
	r.Relative = keep(slab.Stiffness(modulus, depth, poisson, s.Soil.Subgrade))
	beam := slab.Strip{Width: width, Thickness: depth, Modulus: modulus, Subgrade: s.Soil.Subgrade}
	if err != nil {
		return r, err
	}
	// Under one wheel of an axle in the middle: the other one is counted where
	// it adds.
	one, err := beam.At(0, []slab.StripLoad{{At: 0, Force: p.TrafficWheel}})
	if err != nil {
		return r, err
	}
	both, err := beam.At(0, []slab.StripLoad{{At: 0, Force: p.TrafficWheel}, {At: p.AxleTrack, Force: p.TrafficWheel}})
	if err != nil {
		return r, err
	}
	r.Sagging = math.Max(one.Moment, both.Moment)
	_, hogging, _, err := beam.Worst([]slab.StripLoad{{At: p.WheelFromEnd, Force: p.TrafficWheel}, {At: p.WheelFromEnd + p.AxleTrack, Force: p.TrafficWheel}}, true)
	if err != nil {
		return r, err
	}
	r.Hogging = math.Max(0, -hogging.Moment)
	modulusOf := width * depth * depth / 6
	r.Bottom, r.Top = r.Sagging/modulusOf, r.Hogging/modulusOf
	if r.AsSlab = width >= r.Relative; r.AsSlab {
		wheel := slab.WheelLoad{Load: p.TrafficWheel, Radius: r.Contact, Thickness: depth, Modulus: modulus, Poisson: poisson, Subgrade: s.Soil.Subgrade}
		if stress, e := wheel.Interior(); e == nil {
			r.Interior = stress.Stress
		}
		if stress, e := wheel.Edge(); e == nil {
			r.Edge = stress.Stress
		}
		if stress, e := wheel.Corner(); e == nil {
			r.Corner = stress.Stress
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
		return r, err
	}
	r.Bar = bars.Design
	r.BarUse = p.WheelFactor * r.Bottom * modulusOf / r.Bar
	spread := keep(beam.SpreadPressure(p.TrafficWheel, 2*r.Contact))
	r.Bearing = 1e6 * math.Max(spread, math.Max(one.Pressure, both.Pressure))
	if s.Soil.Presumed {
		r.BearingUse = r.Bearing / s.Soil.Bearing
	}
	return r, err
}

// stops finds what the hard stop must take and what the motor's anchors hold.
//
// A buffer that gives way evenly brings a mass m at a speed v to rest over d
// with at most F = m·v²/d, twice the mean; the motor goes on pushing.
func (s *StrengthPlan) stops(plan *Plan, in *inputs, p *Practice, l *layout) {
	m := &plan.Leaf.Motion
	thrust, speed := 0.0, 0.0
	if l.hasMotor {
		thrust, speed = p.MotorThrust, p.MotorSpeed
		d, err := anchorDemand(p, p.MotorLength, p.MotorWidth, p.MotorAnchors, thrust*p.PinionUsual, thrust)
		if !s.refuse("The motor's anchors", err, "practice.motor.length") {
			s.MotorAnchor = d
		}
	}
	if !in.hardStop {
		return
	}
	if m.Runaway && m.Opens {
		speed = math.Max(speed, m.Speed)
	}
	if speed == 0 {
		// By hand: a leaf pushed along at a brisk walk.
		speed = walkingPace
	}
	metres := speed / 1000
	s.StopLoad = plan.Leaf.Mass*metres*metres/(p.StopBuffer/1000) + thrust
	s.StopShear = s.StopLoad / math.Max(1, p.StopAnchors)
}

// walkingPace is a brisk walk, mm/s: common practice, no published source.
const walkingPace = 1500

// anchorDemand finds what each anchor of a plate of a length and a width (mm)
// must hold under a moment (N·mm) along its length and a shear (N): two rows,
// inset from its ends, of which those in tension hold and the concrete at the
// other end presses, plane sections staying plane. With x the pressed length, n
// the ratio of moduli and A the area of a row's anchors at d_i from that end:
//
//	b·x²/2 = n·A·Σ (d_i − x) over d_i > x;  T_i = M·(d_i − x)·n·A/(b·x³/3 + n·A·Σ (d_i − x)²)
//
// More than four anchors count as four, the safe side.
//
// Source: O. W. Blodgett, Design of Welded Structures, section 3.3 (memory).
// Checked: against steel.BasePlate (TestAnchorDemand).
func anchorDemand(p *Practice, length, width, count, moment, shear float64) (AnchorDemand, error) {
	modulus, err := slab.ModulusACI(p.ConcreteStrength)
	if err != nil {
		return AnchorDemand{}, err
	}
	near, far := p.AnchorInset, length-p.AnchorInset
	if far <= near {
		return AnchorDemand{}, error(refusal.Error("the anchors' inset leaves no plate between them"))
	}
	row := math.Max(1, math.Floor(math.Min(count, 4)/2))
	ratio := math.Max(1, math.Min(30, steel.Elasticity/modulus))
	area := ratio * p.AnchorArea * row
	// b·x²/2 + n·A·k·x − n·A·Σd = 0 over the k rows in tension: both, unless the
	// near one is pressed.
	pressed := func(k, sum float64) float64 {
		return (math.Sqrt(area*area*k*k+2*width*area*sum) - area*k) / width
	}
	x := pressed(2, near+far)
	inertia := 0.0
	if x > near {
		x = pressed(1, far)
	} else {
		inertia = area * (near - x) * (near - x)
	}
	inertia += width*x*x*x/3 + area*(far-x)*(far-x)
	return AnchorDemand{Tension: moment * (far - x) * area / row / inertia, Shear: shear / math.Max(1, count)}, nil
}
