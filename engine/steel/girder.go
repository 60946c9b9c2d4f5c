package steel

import (
	"math"

	"pegpour/engine/refusal"
)

// Girder is a straight bar of one section on supports that may sink, give or
// hold its end, and that may run beyond them. Bar is quicker where all supports
// are plain. Places are mm from the left end.
type Girder struct {
	Length     float64   // mm, 10 to 100 000
	Supports   []Support // 1 to MaxSupports, from left to right, 10 mm or more apart
	Elasticity float64   // MPa, 1000 to 1e6
	Inertia    float64   // mm⁴ for a vertical load, 1 to 1e12
	Uniform    float64   // N/mm downwards over the whole length, 0 to 1000
}

// MaxSupports is the most supports of a Girder.
const MaxSupports = 13

// Support is where a Girder is held. The zero value but At is a plain support.
type Support struct {
	At    float64 // mm, 0 to the girder's length; at an end or 10 mm off it
	Fixed bool    // holds the girder's slope
	Sinks float64 // mm downwards that the support goes, whatever it carries, ±1000
	// Spring is the force that makes the support give by a millimetre, N/mm, 1e-3 to
	// 1e12; 0 is a support that does not give.
	Spring float64
}

// PointMoment is a moment at a place: above 0 it makes the girder sag more to
// its right.
type PointMoment struct{ At, Moment float64 } // mm; N·mm, ±1e12

// GirderResult is what a girder does under one arrangement of loads.
type GirderResult struct {
	Reactions  []float64 // N at each support, upwards; below 0 it pulls down
	Holding    []float64 // N·mm at each support by which Fixed ones turn the girder, sagging to the right positive
	Sagging    float64   // N·mm, greatest sagging moment, ≥ 0
	SaggingAt  float64   // mm
	Hogging    float64   // N·mm, greatest hogging moment as a positive size
	HoggingAt  float64   // mm
	Shear      float64   // N, size of the greatest shear force
	Down       float64   // mm, greatest downward deflection, ≥ 0, sinking included
	DownAt     float64   // mm
	Up         float64   // mm, greatest upward deflection, ≥ 0
	UpAt       float64   // mm
	pieces     []girderPiece
	elasticity float64 // E·I
}

// Deflection returns how far the girder lies below its unloaded line at a place,
// mm; NaN off the girder.
func (r *GirderResult) Deflection(at float64) float64 {
	for i := range r.pieces {
		if p := &r.pieces[i]; at >= p.from && at <= p.from+p.length {
			return p.deflection(at-p.from, r.elasticity)
		}
	}
	return math.NaN()
}

// Moment returns the bending moment at a place, sagging positive, N·mm; NaN off
// the girder. At a point moment it is that to the left.
func (r *GirderResult) Moment(at float64) float64 {
	for i := range r.pieces {
		if p := &r.pieces[i]; at >= p.from && at <= p.from+p.length {
			return p.moment(at - p.from)
		}
	}
	return math.NaN()
}

// girderPiece is the girder between two of its supports and ends.
type girderPiece struct {
	from, length, uniform float64
	loads                 []PointLoad // At from the piece's left end
	turns                 []PointMoment
	down, slope           float64 // at its left end
	start, shear          float64 // moment and shear force at its left end
}

func (p *girderPiece) moment(x float64) float64 {
	m := p.start + p.shear*x - p.uniform*x*x/2
	for _, l := range p.loads {
		m -= l.Force * max(0, x-l.At)
	}
	for _, t := range p.turns {
		if x > t.At {
			m += t.Moment
		}
	}
	return m
}

func (p *girderPiece) shearAt(x float64) float64 {
	v := p.shear - p.uniform*x
	for _, l := range p.loads {
		if x > l.At {
			v -= l.Force
		}
	}
	return v
}

func (p *girderPiece) deflection(x, stiff float64) float64 {
	bend := p.start*x*x/2 + p.shear*x*x*x/6 - p.uniform*x*x*x*x/24
	for _, l := range p.loads {
		r := max(0, x-l.At)
		bend -= l.Force * r * r * r / 6
	}
	for _, t := range p.turns {
		r := max(0, x-t.At)
		bend += t.Moment * r * r / 2
	}
	return p.down + p.slope*x - bend/stiff
}

// clamp sets the moment and shear force at the left end as if both ends were
// clamped.
//
//	V₀ = 12(A₂ − A₁l/2)/l³;  M₀ = −A₁/l − V₀l/2
//	A₁ = ∫M dx, A₂ = ∫M(l−x)dx of the loads on a bar held at its right end only
func (p *girderPiece) clamp() {
	l := p.length
	one, two := -p.uniform*l*l*l/6, -p.uniform*l*l*l*l/24
	for _, q := range p.loads {
		b := l - q.At
		one -= q.Force * b * b / 2
		two -= q.Force * b * b * b / 6
	}
	for _, t := range p.turns {
		b := l - t.At
		one += t.Moment * b
		two += t.Moment * b * b / 2
	}
	p.shear = 12 * (two - one*l/2) / (l * l * l)
	p.start = -one/l - p.shear*l/2
}

// right returns the moment and the shear force at the right end.
func (p *girderPiece) right() (moment, shear float64) {
	moment, shear = p.start+p.shear*p.length-p.uniform*p.length*p.length/2, p.shear-p.uniform*p.length
	for _, q := range p.loads {
		moment -= q.Force * (p.length - q.At)
		shear -= q.Force
	}
	for _, t := range p.turns {
		moment += t.Moment
	}
	return moment, shear
}

// Under returns what the girder does under standing loads and moments.
//
// The deflection and the slope at each support and end follow from the
// equilibrium there, by the stiffness of the bar between:
//
//	V = 12EI(v₁−v₀)/l³ − 6EI(θ₀+θ₁)/l² + V₀;  M = EI(4θ₀+2θ₁)/l − 6EI(v₁−v₀)/l² + M₀
//
// Deflections are of bending only.
//
// Source: slope-deflection equations; any text on structural analysis. Checked:
// testdata/references/steel.json, girder-*, and Bar.
func (g Girder) Under(loads []PointLoad, moments []PointMoment) (GirderResult, error) {
	if err := g.check(loads, moments); err != nil {
		return GirderResult{}, err
	}
	nodes, held := g.nodes()
	pieces := make([]girderPiece, len(nodes)-1)
	stiff := g.Elasticity * g.Inertia
	k := newEquations(2 * len(nodes))
	for i := range pieces {
		p := &pieces[i]
		*p = girderPiece{from: nodes[i], length: nodes[i+1] - nodes[i], uniform: g.Uniform}
		for _, q := range loads {
			if here(q.At, nodes, i) {
				p.loads = append(p.loads, PointLoad{q.At - p.from, q.Force})
			}
		}
		for _, t := range moments {
			if here(t.At, nodes, i) {
				p.turns = append(p.turns, PointMoment{t.At - p.from, t.Moment})
			}
		}
		p.clamp()
		moment, shear := p.right()
		k.bar(2*i, p.length, stiff)
		k.right[2*i] += p.shear
		k.right[2*i+1] -= p.start
		k.right[2*i+2] -= shear
		k.right[2*i+3] += moment
	}
	for i, s := range held {
		if s < 0 {
			continue
		}
		if support := &g.Supports[s]; support.Spring > 0 {
			k.left[2*i][2*i] += support.Spring
			k.right[2*i] += support.Spring * support.Sinks
		} else {
			k.set(2*i, support.Sinks)
		}
		if g.Supports[s].Fixed {
			k.set(2*i+1, 0)
		}
	}
	x := k.solve()
	r := GirderResult{Reactions: make([]float64, len(g.Supports)), Holding: make([]float64, len(g.Supports)),
		pieces: pieces, elasticity: stiff}
	moment, shear := 0.0, 0.0 // left of the node
	for i := range nodes {
		next, after := 0.0, 0.0
		if i < len(pieces) {
			p := &pieces[i]
			l, v, t := p.length, x[2*i+2]-x[2*i], x[2*i+1]
			p.shear += 12*stiff*v/(l*l*l) - 6*stiff*(t+x[2*i+3])/(l*l)
			p.start += stiff*(4*t+2*x[2*i+3])/l - 6*stiff*v/(l*l)
			p.down, p.slope = x[2*i], t
			next, after = p.start, p.shear
		}
		if s := held[i]; s >= 0 {
			r.Reactions[s] = after - shear
			r.Holding[s] = next - moment
		}
		if i < len(pieces) {
			moment, shear = pieces[i].right()
		}
	}
	r.extremes()
	return r, nil
}

// here reports whether a place belongs to piece i: the one to its left, but the
// first for the girder's end.
func here(at float64, nodes []float64, i int) bool {
	return at <= nodes[i+1] && (at > nodes[i] || i == 0)
}

// nodes are the supports and the free ends, with the support at each or -1.
func (g *Girder) nodes() (at []float64, held []int) {
	if g.Supports[0].At > 0 {
		at, held = append(at, 0), append(held, -1)
	}
	for i, s := range g.Supports {
		at, held = append(at, s.At), append(held, i)
	}
	if at[len(at)-1] < g.Length {
		at, held = append(at, g.Length), append(held, -1)
	}
	return at, held
}

func (g *Girder) check(loads []PointLoad, moments []PointMoment) error {
	if err := refusal.First(
		refusal.Allow("length", g.Length, 10, 100000, "mm"),
		refusal.Allow("number of supports", float64(len(g.Supports)), 1, MaxSupports, ""),
		refusal.Allow("modulus of elasticity", g.Elasticity, 1000, 1e6, "MPa"),
		refusal.Allow("second moment of area", g.Inertia, 1, 1e12, "mm⁴"),
		refusal.Allow("uniform load", g.Uniform, 0, 1000, "N/mm"),
		refusal.Allow("number of loads", float64(len(loads)), 0, MaxWheels, ""),
		refusal.Allow("number of moments", float64(len(moments)), 0, MaxWheels, ""),
	); err != nil {
		return err
	}
	least, fixed := 0.0, false
	for i, s := range g.Supports {
		if i > 0 {
			least = g.Supports[i-1].At + 10
		}
		if err := refusal.First(
			refusal.Allow("place of a support", s.At, least, g.Length, "mm"),
			refusal.Allow("sinking of a support", s.Sinks, -1000, 1000, "mm"),
			refusal.Allow("stiffness of a support", s.Spring, 0, 1e12, "N/mm"),
		); err != nil {
			return err
		}
		if off := min(s.At, g.Length-s.At); off > 0 && off < 10 || s.Spring > 0 && s.Spring < 1e-3 {
			return &ArgumentError{Argument: "place of a support", Given: s.At, Low: least, High: g.Length, Unit: "mm",
				Detail: "a support stands at the end or 10 mm off it, and does not give without end"}
		}
		fixed = fixed || s.Fixed
	}
	if len(g.Supports) == 1 && !fixed {
		return &ArgumentError{Argument: "number of supports", Given: 1, Low: 2, High: MaxSupports,
			Detail: "a bar on one support that does not hold its slope falls"}
	}
	for _, p := range loads {
		if err := refusal.First(
			refusal.Allow("place of a load", p.At, 0, g.Length, "mm"),
			refusal.Allow("load", p.Force, 0, 1e7, "N"),
		); err != nil {
			return err
		}
	}
	for _, m := range moments {
		if err := refusal.First(
			refusal.Allow("place of a moment", m.At, 0, g.Length, "mm"),
			refusal.Allow("moment", m.Moment, -1e12, 1e12, "N·mm"),
		); err != nil {
			return err
		}
	}
	return nil
}
