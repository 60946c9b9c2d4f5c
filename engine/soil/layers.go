package soil

import (
	"math"

	"pegpour/engine/refusal"
)

// MaxLayers is the most layers of Layers.
const MaxLayers = 20

// Layer is ground of one kind behind a wall. Cohesion is left out: the safe
// side.
type Layer struct {
	Thickness       float64 // mm, 1 to 20 000
	UnitWeight      float64 // N/mm³, moist, 8e-6 to 30e-6
	SaturatedWeight float64 // N/mm³ under water, 10e-6 to 30e-6; used where water stands in it
	FrictionAngle   float64 // rad, 5 to 60°
}

// Layers are what a vertical wall holds, from the top down.
type Layers struct {
	Layers    []Layer
	Surcharge float64 // MPa uniform on the ground, 0 to 0.1
	// WaterDepth is how deep below the top water stands, mm, 0 to 1e6; deeper
	// than the wall is none.
	WaterDepth float64
	Slope      float64 // rad, of the ground's top, 0 to less than every friction angle
	// Friction is the part of each friction angle that acts between wall and
	// ground, 0 to 1.
	Friction float64
}

// LayerPressure is what pushes over one stretch of the wall's height, square to
// the wall, MPa, straight from Top to Bottom.
type LayerPressure struct {
	Top, Bottom       float64 // mm below the top
	AtTop, AtBottom   float64 // of the ground
	WaterTop, WaterAt float64 // of water, at Top and at Bottom
}

// LayersPush is the push of layers on one millimetre of wall.
type LayersPush struct {
	Pressures []LayerPressure // split at the water's surface
	Force     float64         // N/mm, horizontal, water included
	Height    float64         // mm above the wall's foot at which it acts; 0 without force
	Moment    float64         // N·mm/mm about the foot
	Water     float64         // N/mm of Force that is water
	Down      float64         // N/mm that friction pulls down on the wall
}

// Push returns the active push of the layers and of the water in them.
//
//	p = K_a·(q + Σγ·Δz)·cos δ, with γ_sat − γ_w under water;  u = γ_w·(z − z_w)
//
// K_a is Coulomb's, which is Rankine's without slope and friction.
//
// Source: B. M. Das, Principles of Foundation Engineering, chapter on lateral
// earth pressure (memory). Checked: testdata/references/soil.json, layers-*.
func (l Layers) Push() (LayersPush, error) {
	if err := l.check(); err != nil {
		return LayersPush{}, err
	}
	var out LayersPush
	total := 0.0
	for _, layer := range l.Layers {
		total += layer.Thickness
	}
	depth, over := 0.0, l.Surcharge
	for _, layer := range l.Layers {
		delta := l.Friction * layer.FrictionAngle
		k, err := Face{FrictionAngle: layer.FrictionAngle, Slope: l.Slope, Friction: delta}.Active()
		if err != nil {
			return LayersPush{}, err
		}
		k *= math.Cos(delta)
		end := depth + layer.Thickness
		wet := max(depth, min(end, l.WaterDepth))
		for _, piece := range [][3]float64{{depth, wet, layer.UnitWeight},
			{wet, end, layer.SaturatedWeight - WaterWeight}} {
			if piece[1] <= piece[0] {
				continue
			}
			p := LayerPressure{Top: piece[0], Bottom: piece[1], AtTop: k * over,
				WaterTop: WaterWeight * max(0, piece[0]-l.WaterDepth),
				WaterAt:  WaterWeight * max(0, piece[1]-l.WaterDepth)}
			over += piece[2] * (piece[1] - piece[0])
			p.AtBottom = k * over
			out.add(p, total, math.Tan(delta))
		}
		depth = end
	}
	if out.Force > 0 {
		out.Height = out.Moment / out.Force
	}
	return out, nil
}

func (r *LayersPush) add(p LayerPressure, total, friction float64) {
	r.Pressures = append(r.Pressures, p)
	tall, above := p.Bottom-p.Top, total-p.Bottom
	ground, water := (p.AtTop+p.AtBottom)/2*tall, (p.WaterTop+p.WaterAt)/2*tall
	r.Force += ground + water
	r.Water += water
	r.Down += ground * friction
	// Both are triangles: from the top with its height at 2/3, from the bottom at 1/3.
	top, bottom := (p.AtTop+p.WaterTop)*tall/2, (p.AtBottom+p.WaterAt)*tall/2
	r.Moment += top*(above+tall*2/3) + bottom*(above+tall/3)
}

func (l Layers) check() error {
	if err := refusal.First(
		refusal.Allow("number of layers", float64(len(l.Layers)), 1, MaxLayers, ""),
		refusal.Allow("surcharge", l.Surcharge, 0, 0.1, "MPa"),
		refusal.Allow("depth of water", l.WaterDepth, 0, 1e6, "mm"),
		refusal.Allow("part of friction on the wall", l.Friction, 0, 1, ""),
	); err != nil {
		return err
	}
	depth := 0.0
	for _, layer := range l.Layers {
		if err := refusal.First(
			refusal.Allow("thickness of a layer", layer.Thickness, 1, 20000, "mm"),
			refusal.Allow("unit weight of the ground", layer.UnitWeight, 8e-6, 30e-6, "N/mm³"),
		); err != nil {
			return err
		}
		if err := checkSlope(layer.FrictionAngle, l.Slope); err != nil {
			return err
		}
		if depth += layer.Thickness; depth > l.WaterDepth {
			if err := refusal.First(refusal.Allow("saturated unit weight", layer.SaturatedWeight, 10e-6, 30e-6,
				"N/mm³")); err != nil {
				return err
			}
		}
	}
	return nil
}
