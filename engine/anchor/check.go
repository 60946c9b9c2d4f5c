package anchor

import (
	"math"

	"pegpour/engine/refusal"
	"pegpour/engine/steel"
)

// Load is what a plate asks of its anchors, characteristic.
type Load struct {
	Tension        []float64 // N in each anchor, ≥ 0, in the order of Places; steel.AnchorDemand has it
	ShearX, ShearY float64   // N at the origin, within ±1e6
	Twist          float64   // N·mm about the vertical, anticlockwise from above, within ±1e9
}

// Mode is a way in which anchors fail, in the trade's words.
type Mode string

// The modes.
const (
	SteelTension Mode = "anchor steel in tension"
	Cone         Mode = "cone of concrete pulled out"
	PulledOut    Mode = "anchor pulled out"
	BondBroken   Mode = "bond broken"
	SideBurst    Mode = "side of the concrete burst"
	SteelShear   Mode = "anchor steel in shear"
	EdgeBroken   Mode = "edge of the concrete broken off"
	PriedOut     Mode = "concrete pried out"
)

// Capacity is one mode with what it holds and what is asked.
type Capacity struct {
	Mode      Mode
	Anchors   int     // how many anchors share Demand
	Edge      string  // "left", "right", "front" or "back" where an edge decides, else ""
	Nominal   float64 // N
	Allowable float64 // N, φ·Nominal/LoadFactor: against loads as they act
	Demand    float64 // N
	Use       float64 // Demand/Allowable
}

// Result is the check of a group.
type Result struct {
	Tension []Capacity // each mode with its worst anchors
	Shear   []Capacity
	// Depth is the depth that counts, less than given in concrete too thin.
	Depth float64
	// Worst is the capacity with the greatest use.
	Worst Capacity
	// Use is the greatest use, tension and shear together: above 1 fails.
	//
	// Source: ACI 318-19, 17.8: where both are above 0.2, their sum to 1.2.
	Use float64
}

// The part of strength that is counted on, φ.
//
// Source: ACI 318-19, tables 17.5.3 (read in part: 0.75 and 0.65 of ductile
// steel, 0.65 of category 1, 0.70 in shear; the others memory).
const (
	concreteCastIn = 0.70
	concreteShear  = 0.70
)

// concretePutIn is φ of the concrete in tension by the category of an anchor
// put in later; not known is the worst.
var concretePutIn = [4]float64{0.45, 0.65, 0.55, 0.45}

func (g *Group) steelParts() (tension, shear float64) {
	if g.Brittle {
		return 0.65, 0.60
	}
	return 0.75, 0.65
}

// Steel strengths.
//
//	N_sa = A_se·f_uta;  V_sa = 0.6·A_se·f_uta, times 0.8 on grout
//
// Source: ACI 318-19, 17.6.1.2, 17.7.1.2 (read).
const (
	steelShearPart = 0.6
	onGrout        = 0.8
)

// Check judges a group under a load. Without load it gives the capacities, of
// all anchors together where they share.
//
// The whole shear towards an edge is asked of the row nearest to it; shear along
// an edge counts half beside it, as the source allows twice as much.
//
//	demand at an edge = √(towards² + (along/2)²)
//
// Source: ACI 318-19, chapter 17; the sum of both directions as EN 1992-4,
// 7.2.2.5, has it (memory). Checked: testdata/references/anchor.json.
func (g Group) Check(l Load) (Result, error) {
	if err := g.check(); err != nil {
		return Result{}, err
	}
	if len(l.Tension) == 0 {
		l.Tension = make([]float64, len(g.Places))
	}
	if err := refusal.First(
		refusal.Allow("number of tensions", float64(len(l.Tension)), float64(len(g.Places)), float64(len(g.Places)), ""),
		refusal.Allow("shear along x", l.ShearX, -1e6, 1e6, "N"),
		refusal.Allow("shear along y", l.ShearY, -1e6, 1e6, "N"),
		refusal.Allow("twist", l.Twist, -1e9, 1e9, "N·mm"),
	); err != nil {
		return Result{}, err
	}
	for _, t := range l.Tension {
		if err := refusal.First(refusal.Allow("anchor tension", t, 0, 1e6, "N")); err != nil {
			return Result{}, err
		}
	}
	r := Result{Depth: g.depth(), Tension: g.tension(l.Tension), Shear: g.shear(g.shares(&l))}
	n, v := worst(r.Tension), worst(r.Shear)
	r.Worst = n
	if v.Use > n.Use {
		r.Worst = v
	}
	r.Use = r.Worst.Use
	if n.Use > 0.2 && v.Use > 0.2 {
		r.Use = max(r.Use, (n.Use+v.Use)/1.2)
	}
	return r, nil
}

func worst(list []Capacity) Capacity {
	at := list[0]
	for _, c := range list[1:] {
		if c.Use > at.Use || c.Use == at.Use && c.Allowable < at.Allowable {
			at = c
		}
	}
	return at
}

func (g *Group) capacity(m Mode, anchors int, edge string, part, nominal, demand float64) Capacity {
	c := Capacity{Mode: m, Anchors: anchors, Edge: edge, Nominal: nominal, Allowable: part * nominal / g.LoadFactor,
		Demand: demand}
	c.Use = demand / c.Allowable
	return c
}

// ultimate is the tensile strength that counts. Source: ACI 318-19, 17.6.1.2.
func (g *Group) ultimate() float64 { return min(g.Ultimate, min(1.9*g.Yield, 860)) }

func (g *Group) tension(of []float64) []Capacity {
	most, places, forces := 0.0, g.Places, of
	for _, t := range of {
		most = max(most, t)
	}
	if most > 0 { // those without tension do not share
		places, forces = nil, nil
		for i, t := range of {
			if t > 1e-9*most {
				places, forces = append(places, g.Places[i]), append(forces, t)
			}
		}
	}
	steelPart, _ := g.steelParts()
	part := concreteCastIn
	if !g.Kind.castIn() {
		part = concretePutIn[g.Category]
	}
	out := make([]Capacity, 0, 5)
	out = append(out, g.capacity(SteelTension, 1, "", steelPart, g.StressArea*g.ultimate(), most))
	out = append(out, g.shared(Cone, part, places, forces, g.cone))
	if n := g.pullOut(); !math.IsInf(n, 1) {
		out = append(out, g.capacity(PulledOut, 1, "", part, n, most))
	}
	if g.Kind == Bonded {
		out = append(out, g.shared(BondBroken, part, places, forces, g.bond))
	}
	var burst []Capacity
	for i := range sides {
		n, row := g.sideFace(&sides[i], places)
		if math.IsInf(n, 1) {
			continue
		}
		sum, top := 0.0, 0.0
		for _, k := range row {
			sum += forces[k]
			top = max(top, forces[k])
		}
		// The row is as strong as its worst anchor asks of all alike.
		sum = max(sum, top*float64(len(row)))
		burst = append(burst, g.capacity(SideBurst, len(row), sides[i].name, part, n, sum))
	}
	if len(burst) > 0 {
		out = append(out, worst(burst))
	}
	return out
}

// shared is the worse of all anchors together and the worst alone.
func (g *Group) shared(m Mode, part float64, places []steel.Anchor, forces []float64,
	strength func([]steel.Anchor, float64, float64) float64) Capacity {
	n := float64(len(places))
	var sum, cx, cy, fx, fy float64
	for i, a := range places {
		sum += forces[i]
		cx += a.X / n
		cy += a.Y / n
		fx += forces[i] * a.X
		fy += forces[i] * a.Y
	}
	if sum > 0 {
		fx, fy = fx/sum-cx, fy/sum-cy
	} else {
		fx, fy = 0, 0
	}
	all := g.capacity(m, len(places), "", part, strength(places, fx, fy), sum)
	for i := range places {
		if one := g.capacity(m, 1, "", part, strength(places[i:i+1], 0, 0), forces[i]); one.Use > all.Use {
			all = one
		}
	}
	return all
}

func (g *Group) shear(of []steel.Anchor) []Capacity {
	most := 0.0
	for _, f := range of {
		most = max(most, math.Hypot(f.X, f.Y))
	}
	_, steelPart := g.steelParts()
	strength := steelShearPart * g.StressArea * g.ultimate()
	if g.Grouted {
		strength *= onGrout
	}
	edges := make([]Capacity, len(sides))
	for i := range sides {
		s := &sides[i]
		towards, along, turned := 0.0, 0.0, 0.0
		for k, f := range of {
			push := max(0, s.x*f.X+s.y*f.Y)
			towards += push
			turned += push * s.along(g.Places[k])
			along += math.Abs(s.y*f.X) + math.Abs(s.x*f.Y)
		}
		e := 0.0
		near, row := g.row(s, g.Places)
		if towards > 0 {
			e = turned / towards
			for _, k := range row {
				e -= s.along(g.Places[k]) / float64(len(row))
			}
		}
		edges[i] = g.capacity(EdgeBroken, len(row), s.name, concreteShear, g.edge(s, near, row, e), math.Hypot(towards, along/2))
	}
	return []Capacity{
		g.capacity(SteelShear, 1, "", steelPart, strength, most),
		worst(edges),
		g.capacity(PriedOut, len(of), "", concreteShear, g.pryOut(), most*float64(len(of))),
	}
}
