package engine

import "math"

// gravity is the standard acceleration of free fall, m/s². Source: 3rd General
// Conference on Weights and Measures, 1901.
const gravity = 9.80665

// inclinePull is the steady force that moves a mass along a track, N:
//
//	F = m·g·(sin θ + c·cos θ)
//
// mass in kg, slope θ in rad (positive uphill), c the rolling resistance over
// the weight square to the track. Negative: it must be held back.
//
// Source: any textbook of mechanics. Checked: testdata/references/motion.json.
func inclinePull(mass, slope, rolling float64) float64 {
	sin, cos := math.Sincos(slope)
	return mass * gravity * (sin + rolling*cos)
}

// loads finds the wheel loads of the panel. With D the distance between the
// wheels along the track, forces square to it follow from moments about wheel 1:
//
//	N₂·D = W·(u_c − u₁) + (F·h_F − m·a·h_c)·cos θ,  N₁ + N₂ = W·cos θ
//
// W = m·g at the centre of gravity (u_c, h_c), F a force along the track at
// height h_F, positive towards the run-back, m·a = F − W·sin θ what is left of
// it to speed the panel up; h are plumb heights. Rolling resistance acts at the
// track and has no moment. Standing, F is what holds the panel and a is 0.
func (b *leafBuilder) loads() {
	panel, p := b.panel, b.p
	at := b.wheels()
	weight := panel.Mass * gravity
	along := (at[1] - at[0]) / b.cos
	rear := func(force, height float64) float64 {
		left := force - weight*b.sin
		return (weight*(panel.CentreAlong-at[0]) + (force*height-left*panel.CentreHeight)*b.cos) / along
	}
	held := b.holdHeight()
	standing := rear(weight*b.sin, held)
	most, least := standing, standing
	see := func(force, height float64) {
		r := rear(force, height)
		most, least = math.Max(most, r), math.Min(least, r)
	}
	if panel.Driven {
		see(p.MotorThrust, p.RackHeight)
		see(-p.MotorThrust, p.RackHeight)
	}
	see(p.HandForce, p.HandHeight)
	see(-p.HandForce, p.HandHeight)
	square := weight * b.cos
	panel.Wheels[0] = WheelLoad{At: at[0], Standing: square - standing, Most: square - least, Least: square - most}
	panel.Wheels[1] = WheelLoad{At: at[1], Standing: standing, Most: most, Least: least}
	panel.RollerPush = -weight * panel.CentreOffset / (p.LeafAbove + b.leaf.Height)
}

// holdHeight is the height at which a standing panel is held on a grade.
func (b *leafBuilder) holdHeight() float64 {
	if b.panel.Driven {
		return b.p.RackHeight
	}
	return b.p.HandHeight
}

// moveLeaf finds the forces of the motion, and proves the motion.
func (plan *Plan) moveLeaf(in *inputs, p *Practice, l *layout) {
	plan.Leaf.Motion = plan.forces(in, p, l)
	plan.proveMotion(in, p, l)
}

func (plan *Plan) forces(in *inputs, p *Practice, l *layout) MotionPlan {
	leaf := &plan.Leaf
	var m MotionPlan
	// Forces and inertia as felt at a panel: by virtual work each panel's force
	// counts by its travel over that panel's, its mass by the square of it.
	at := func(pushed int) (opening, shutting, inertia float64) {
		travel := leaf.Panels[pushed-1].Travel
		for i := range leaf.Panels {
			panel := &leaf.Panels[i]
			ratio := 1.0
			if travel > 0 && i != pushed-1 {
				ratio = panel.Travel / travel
			}
			opening += inclinePull(panel.Mass, leaf.Slope, p.Rolling) * ratio
			shutting += inclinePull(panel.Mass, -leaf.Slope, p.Rolling) * ratio
			inertia += panel.Mass * ratio * ratio
		}
		return opening, shutting, inertia
	}
	pushed := 1
	if l.hasMotor {
		pushed = drivenPanel(in, l)
	}
	var inertia float64
	m.Opening, m.Shutting, inertia = at(pushed)
	m.Rolling, m.Downhill = (m.Opening+m.Shutting)/2, (m.Opening-m.Shutting)/2
	o, s, _ := at(1)
	m.Hand = math.Max(o, s)
	if l.hasMotor {
		m.Start = inertia * p.MotorSpeed / 1000 / p.StartTime
		m.Thrust = p.MotorMargin * (math.Max(m.Opening, m.Shutting) + m.Start)
	}
	sin, cos := math.Sincos(math.Abs(leaf.Slope))
	if free := sin - p.Rolling*cos; free > 0 {
		m.Runaway, m.Opens = true, leaf.Slope < 0
		m.Speed = math.Sqrt(2 * gravity * 1000 * free * leaf.Travel)
	}
	return m
}
