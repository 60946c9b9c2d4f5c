package soil

import (
	"math"

	"pegpour/engine/refusal"
)

// Least factors of safety of retaining walls. Source: IBC 1807.2.3 (memory).
const (
	LeastSlidingFactor     = 1.5
	LeastOverturningFactor = 1.5
)

// Wall is one millimetre of a retaining wall: a stem on a base. A gravity,
// block or sleeper wall has no toe and heel, and BaseThickness may be 0. An L
// wall has either toe or heel.
//
//	          ┌──┐ · · · ground rises at Backslope
//	         /│  │
//	face →  / │  │ ← back
//	  toe  /  │  │  heel
//	┌─────┴───┴──┴───────┐
//	└────────────────────┘
type Wall struct {
	StemHeight    float64 // mm above the base, 1 to 6000; ground stands level with its top behind
	StemTop       float64 // mm thick, 30 to 3000
	FaceBatter    float64 // mm by which the stem is thicker at its foot, on the face, 0 to 3000
	BackBatter    float64 // mm likewise at the back, 0 to 3000
	Toe, Heel     float64 // mm of base before and behind the stem, 0 to 5000
	BaseThickness float64 // mm, 0 to 2000; 0 only without toe and heel
	WallWeight    float64 // N/mm³, 10e-6 to 30e-6 (concrete 23.5e-6 to 25e-6)

	Backslope     float64 // rad, 0 to less than FrictionAngle
	FrictionAngle float64 // rad, of the ground held; its cohesion is left out
	UnitWeight    float64 // N/mm³, moist, 8e-6 to 30e-6
	Surcharge     float64 // MPa uniform on the ground behind, 0 to 0.1
	// Least is the least growth of the pressure of level ground with depth, N/mm³,
	// as Retained has it; 0 asks for none.
	Least float64
	// HeelWeight is the unit weight of the ground over the heel, N/mm³, where it is
	// taken lighter than what pushes; 0 takes UnitWeight.
	HeelWeight float64

	// WaterHeight is how high water stands behind the wall above the underside
	// of its base, mm. 0 is a drained wall.
	WaterHeight     float64
	SaturatedWeight float64 // N/mm³, of ground under water; used with WaterHeight only

	BaseFriction float64 // rad, friction angle between base and ground, 0 to 45°
	BaseAdhesion float64 // MPa between base and ground, 0 to 0.2
	// Passive resistance of the ground before the toe, in sliding only.
	PassiveDepth    float64 // mm of ground before the toe above the base's underside, 0 to 3000
	PassiveAngle    float64 // rad, its friction angle, 0 to 60°
	PassiveCohesion float64 // MPa, 0 to 0.2
	PassiveWeight   float64 // N/mm³, its unit weight; used with PassiveDepth only
	PassivePart     float64 // share of it that is counted on, 0 to 1
}

// WallPart is one weight or force with its arm about the toe.
type WallPart struct {
	Name   string
	Force  float64 // N/mm
	Arm    float64 // mm
	Moment float64 // N·mm/mm
}

// WallResult is the stability of a wall with every step that led to it.
type WallResult struct {
	Base        float64 // mm, width of the base
	PlaneHeight float64 // mm, height of the vertical plane at the heel on which the ground pushes
	Active      float64 // coefficient
	PassiveK    float64 // coefficient; 0 when not counted

	Holding []WallPart // weights and the vertical part of the thrust
	Pushing []WallPart // horizontal thrusts, water, uplift (as force 0 of Sliding)

	Vertical    float64 // N/mm, holding less uplift
	Horizontal  float64 // N/mm pushing
	HoldMoment  float64 // N·mm/mm about the toe
	TurnMoment  float64 // N·mm/mm about the toe
	Overturning float64 // factor of safety
	Friction    float64 // N/mm against sliding under the base
	PassiveHold float64 // N/mm against sliding before the toe, as counted
	Sliding     float64 // factor of safety

	Eccentricity  float64 // mm of the resultant from the middle of the base, towards the toe positive
	MiddleThird   bool    // whether the resultant is within it, so that the whole base presses
	InsideBase    bool    // false: the wall falls over, and there are no bearing pressures
	ToePressure   float64 // MPa
	HeelPressure  float64 // MPa; 0 where the base lifts
	Contact       float64 // mm of base that presses
	PeakPressure  float64 // MPa, the greatest with or without the surcharge standing over the heel
	StemMoment    float64 // N·mm/mm at the foot of the stem
	StemShear     float64 // N/mm at the foot of the stem
	WaterPressure float64 // MPa at the underside of the base behind the wall
}

func (w Wall) check() error {
	leastBase := 0.0
	if w.Toe > 0 || w.Heel > 0 {
		leastBase = 20
	}
	if err := refusal.First(
		refusal.Allow("stem height", w.StemHeight, 1, 6000, "mm"),
		refusal.Allow("stem thickness", w.StemTop, 30, 3000, "mm"),
		refusal.Allow("face batter", w.FaceBatter, 0, 3000, "mm"),
		refusal.Allow("back batter", w.BackBatter, 0, 3000, "mm"),
		refusal.Allow("toe", w.Toe, 0, 5000, "mm"),
		refusal.Allow("heel", w.Heel, 0, 5000, "mm"),
		refusal.Allow("base thickness", w.BaseThickness, leastBase, 2000, "mm"),
		refusal.Allow("weight of the wall", w.WallWeight, 10e-6, 30e-6, "N/mm³"),
		refusal.Allow("unit weight of the ground", w.UnitWeight, 8e-6, 30e-6, "N/mm³"),
		refusal.Allow("surcharge", w.Surcharge, 0, 0.1, "MPa"),
		refusal.Allow("weight of the ground over the heel", w.HeelWeight, 0, 30e-6, "N/mm³"),
		refusal.Allow("least pressure", w.Least, 0, 30e-6, "N/mm³"),
		refusal.Allow("height of water", w.WaterHeight, 0, 20000, "mm"),
		refusal.Allow("friction under the base", w.BaseFriction, 0, 45*degree, "rad"),
		refusal.Allow("adhesion under the base", w.BaseAdhesion, 0, 0.2, "MPa"),
		refusal.Allow("depth before the toe", w.PassiveDepth, 0, 3000, "mm"),
		refusal.Allow("friction angle before the toe", w.PassiveAngle, 0, 60*degree, "rad"),
		refusal.Allow("cohesion before the toe", w.PassiveCohesion, 0, 0.2, "MPa"),
		refusal.Allow("share of passive resistance", w.PassivePart, 0, 1, ""),
	); err != nil {
		return err
	}
	if w.WaterHeight > 0 {
		if err := refusal.First(refusal.Allow("saturated unit weight", w.SaturatedWeight, 10e-6, 30e-6,
			"N/mm³")); err != nil {
			return err
		}
	}
	if w.PassiveDepth > 0 && w.PassivePart > 0 {
		if err := refusal.First(refusal.Allow("unit weight before the toe", w.PassiveWeight, 8e-6, 30e-6,
			"N/mm³")); err != nil {
			return err
		}
	}
	return checkSlope(w.FrictionAngle, w.Backslope)
}

// Stability returns overturning, sliding, eccentricity and bearing of a wall.
//
// The ground pushes on the vertical plane at the end of the heel with
// Rankine's pressure, Least at the least, parallel to the backslope; ground over the heel belongs
// to the wall. The surcharge pushes but does not help to hold. Water pushes in
// full behind, and lifts from its full pressure under the heel to nothing at the
// toe; wet ground over the heel is weighed as moist. Ground over the toe is left
// out.
//
// Source: B. M. Das, Principles of Foundation Engineering, chapter on retaining
// walls. Checked: testdata/references/soil.json, das-cantilever, wall-*.
func (w Wall) Stability() (WallResult, error) {
	if err := w.check(); err != nil {
		return WallResult{}, err
	}
	stemFoot := w.StemTop + w.FaceBatter + w.BackBatter
	r := WallResult{Base: w.Toe + stemFoot + w.Heel}
	r.PlaneHeight = w.BaseThickness + w.StemHeight + (w.Heel+w.BackBatter)*math.Tan(w.Backslope)
	var err error
	held := Retained{FrictionAngle: w.FrictionAngle, UnitWeight: w.UnitWeight, Least: w.Least, Backslope: w.Backslope,
		Surcharge: w.Surcharge}
	if r.Active, err = held.Coefficient(); err != nil {
		return WallResult{}, err
	}
	w.weigh(&r)
	w.push(&r)
	for _, p := range r.Holding {
		r.Vertical += p.Force
		r.HoldMoment += p.Moment
	}
	for _, p := range r.Pushing {
		r.TurnMoment += p.Moment
	}
	r.Vertical -= w.uplift() * r.Base
	if r.Vertical <= 0 {
		return WallResult{}, &ArgumentError{Argument: "height of water", Given: w.WaterHeight, Low: 0,
			High: w.StemHeight + w.BaseThickness, Unit: "mm",
			Detail: "water lifts the wall off the ground"}
	}
	w.slide(&r)
	r.Overturning = r.HoldMoment / r.TurnMoment
	w.bear(&r)
	return r, nil
}

// weigh lists the weights: wall parts and the ground over the heel.
func (w Wall) weigh(r *WallResult) {
	foot := w.Toe
	hold := func(name string, weight float64, outline [][2]float64) {
		area, x := areaAndArm(outline)
		if force := area * weight; force > 0 {
			r.Holding = append(r.Holding, WallPart{name, force, x, force * x})
		}
	}
	b, h := w.BaseThickness, w.StemHeight
	hold("base", w.WallWeight, [][2]float64{{0, 0}, {r.Base, 0}, {r.Base, b}, {0, b}})
	hold("face batter", w.WallWeight, [][2]float64{{foot, b}, {foot + w.FaceBatter, b}, {foot + w.FaceBatter, b + h}})
	x := foot + w.FaceBatter
	hold("stem", w.WallWeight, [][2]float64{{x, b}, {x + w.StemTop, b}, {x + w.StemTop, b + h}, {x, b + h}})
	x += w.StemTop
	hold("back batter", w.WallWeight, [][2]float64{{x, b}, {x + w.BackBatter, b}, {x, b + h}})
	top := b + h + (w.Heel+w.BackBatter)*math.Tan(w.Backslope)
	over := w.HeelWeight
	if over == 0 {
		over = w.UnitWeight
	}
	hold("ground over the heel", over, [][2]float64{{x + w.BackBatter, b}, {r.Base, b}, {r.Base, top},
		{x, b + h}})
}

// push lists the thrusts on the plane at the heel.
func (w Wall) push(r *WallResult) {
	tall, cos, sin := r.PlaneHeight, math.Cos(w.Backslope), math.Sin(w.Backslope)
	add := func(name string, thrust, arm float64) {
		if thrust <= 0 {
			return
		}
		r.Pushing = append(r.Pushing, WallPart{name, thrust * cos, arm, thrust * cos * arm})
		r.Horizontal += thrust * cos
		if sin > 0 {
			r.Holding = append(r.Holding,
				WallPart{name + ", vertical part", thrust * sin, r.Base, thrust * sin * r.Base})
		}
	}
	wet := min(w.WaterHeight, tall)
	dry := tall - wet
	k := r.Active
	add("ground", k*w.UnitWeight*dry*dry/2, wet+dry/3)
	if wet > 0 {
		add("ground above, on the wet part", k*w.UnitWeight*dry*wet, wet/2)
		add("wet ground", k*(w.SaturatedWeight-WaterWeight)*wet*wet/2, wet/3)
	}
	add("surcharge", k*w.Surcharge*tall, tall/2)
	if wet > 0 {
		r.WaterPressure = WaterWeight * wet
		force := WaterWeight * wet * wet / 2
		r.Pushing = append(r.Pushing, WallPart{"water", force, wet / 3, force * wet / 3})
		r.Horizontal += force
		lift := w.uplift() * r.Base
		r.Pushing = append(r.Pushing, WallPart{"uplift of water", lift, r.Base * 2 / 3, lift * r.Base * 2 / 3})
	}
}

// uplift is the mean water pressure under the base, MPa.
func (w Wall) uplift() float64 {
	tall := w.BaseThickness + w.StemHeight + (w.Heel+w.BackBatter)*math.Tan(w.Backslope)
	return WaterWeight * min(w.WaterHeight, tall) / 2
}

func (w Wall) slide(r *WallResult) {
	r.Friction = r.Vertical*math.Tan(w.BaseFriction) + r.Base*w.BaseAdhesion
	if w.PassiveDepth > 0 && w.PassivePart > 0 {
		if k, err := Passive(w.PassiveAngle); err == nil {
			r.PassiveK = k
			d := w.PassiveDepth
			r.PassiveHold = w.PassivePart * (k*w.PassiveWeight*d*d/2 + 2*w.PassiveCohesion*math.Sqrt(k)*d)
		}
	}
	r.Sliding = (r.Friction + r.PassiveHold) / r.Horizontal
}

// bear finds the eccentricity and the pressures on the ground, and the stem's
// own moment and shear.
//
//	e ≤ B/6: q = V/B·(1 ± 6e/B);  beyond: q = 2V/(3(B/2 − e))
func (w Wall) bear(r *WallResult) {
	r.Eccentricity = r.Base/2 - (r.HoldMoment-r.TurnMoment)/r.Vertical
	r.MiddleThird = math.Abs(r.Eccentricity) <= r.Base/6*(1+1e-12)
	r.InsideBase = math.Abs(r.Eccentricity) < r.Base/2
	if r.InsideBase {
		r.ToePressure, r.HeelPressure, r.Contact = bearing(r.Vertical, r.Base, r.Eccentricity)
		over := w.Surcharge * (w.Heel + w.BackBatter)
		arm := r.Base - (w.Heel+w.BackBatter)/2
		v := r.Vertical + over
		toe, heel, _ := bearing(v, r.Base, r.Base/2-(r.HoldMoment+over*arm-r.TurnMoment)/v)
		r.PeakPressure = max(max(r.ToePressure, r.HeelPressure), max(toe, heel))
	}
	h := w.StemHeight
	level := r.Active * math.Cos(w.Backslope)
	r.StemShear = level * (w.UnitWeight*h*h/2 + w.Surcharge*h)
	r.StemMoment = level * (w.UnitWeight*h*h*h/6 + w.Surcharge*h*h/2)
	if wet := min(w.WaterHeight-w.BaseThickness, h); wet > 0 {
		r.StemShear += WaterWeight * wet * wet / 2 // the lighter wet ground is left as it was: safe
		r.StemMoment += WaterWeight * wet * wet * wet / 6
	}
}

// bearing returns pressures at toe and heel and the pressed width of a base
// under a force at an eccentricity towards the toe.
func bearing(force, base, eccentricity float64) (toe, heel, contact float64) {
	e := math.Abs(eccentricity)
	if e >= base/2 {
		return 0, 0, 0
	}
	high, low, contact := force/base*(1+6*e/base), force/base*(1-6*e/base), base
	if low < 0 {
		contact = 3 * (base/2 - e)
		high, low = 2*force/contact, 0
	}
	if eccentricity < 0 {
		return low, high, contact
	}
	return high, low, contact
}

// areaAndArm returns the area of a polygon and its centroid's x.
func areaAndArm(v [][2]float64) (area, x float64) {
	moment := 0.0
	for i, p := range v {
		q := v[(i+1)%len(v)]
		c := p[0]*q[1] - q[0]*p[1]
		area += c / 2
		moment += c * (p[0] + q[0]) / 6
	}
	if area <= 0 {
		return 0, 0
	}
	return area, moment / area
}
