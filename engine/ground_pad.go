package engine

import (
	"math"

	"pegpour/engine/geom"
)

// padLevel finds the window for the level top of the motor pad.
//
//	pinion: z_t(x_p) + h_rack − h_most ≤ z ≤ z_t(x_p) + h_rack − h_least
//	water:  z ≥ highest finished ground around the pad + freeboard
//
// with z_t the track's level, x_p the pinion's chainage, h_rack the rack above
// the strip, h the pinion above the pad, packer and adjustment included. A
// channel around the pad takes the water of its high sides: then only its
// lowest side counts, where the channel runs out. Inside the window the level
// nearest the pinion's usual height is taken, but not in its outer quarters.
//
// Source: geometry of rack and pinion; freeboard is common practice.
func (g *GroundPlan) padLevel(plan *Plan, in *inputs, p *Practice, l *layout) *PadLevel {
	pad := &PadLevel{}
	rack := g.TrackLevel(l.pinion) + p.RackHeight - p.MotorPacker
	least, most := math.Min(p.PinionLeast, p.PinionMost), math.Max(p.PinionLeast, p.PinionMost)
	pad.PinionLow, pad.PinionHigh = rack-most, rack-least
	lowGround := math.Inf(1)
	pad.HighGround = math.Inf(-1)
	g.aroundPad(plan, in, l, func(x, y float64) {
		z := g.finished(in, x, y)
		lowGround = math.Min(lowGround, z)
		if z > pad.HighGround {
			pad.HighGround, pad.HighAt = z, geom.Point{X: x, Y: y}
		}
	})
	if math.IsInf(lowGround, 1) {
		return nil
	}
	pad.Water = pad.HighGround + p.PadFreeboard
	if g.wishes.channel {
		pad.Water = lowGround + p.PadFreeboard
	}
	pad.Low, pad.High = math.Max(pad.PinionLow, pad.Water), pad.PinionHigh
	pad.Gap = math.Max(0, pad.Low-pad.High)
	if pad.Low <= pad.High {
		pad.HasLevel = true
		quarter := (pad.High - pad.Low) / 4
		usual := rack - math.Max(least, math.Min(most, p.PinionUsual))
		pad.Level = math.Max(pad.Low+quarter, math.Min(pad.High-quarter, usual))
		pad.Pinion = rack - pad.Level
		near, far := g.padEnds(plan, l)
		pad.StepNear = pad.Level - g.Track.At(near, l.stripWidth)
		pad.StepFar = pad.Level - g.Track.At(far, l.stripWidth)
	}
	return pad
}

// finished is the ground as it will lie around the pad: as it is, but dug down
// to the track's plane where a cavity is cut.
func (g *GroundPlan) finished(in *inputs, x, y float64) float64 {
	z, _ := g.GroundLevel(x, y)
	if g.Shape == GroundRises && x > in.runBackEdge.At(y)+tolerance {
		return math.Min(z, g.Track.At(x, y))
	}
	return z
}

// aroundPad walks the sides of the pad that face ground: not the fence, and not
// where the strip runs on.
func (g *GroundPlan) aroundPad(plan *Plan, in *inputs, l *layout, visit func(x, y float64)) {
	const pace = 100.0
	for i := range plan.Outlines {
		o := &plan.Outlines[i]
		if o.Kind != PartPad {
			continue
		}
		for k, a := range o.Ring {
			b := o.Ring[(k+1)%len(o.Ring)]
			n := math.Max(1, math.Min(200, math.Ceil(math.Hypot(b.X-a.X, b.Y-a.Y)/pace)))
			for j := 0.0; j <= n; j++ {
				x, y := a.X+(b.X-a.X)*j/n, a.Y+(b.Y-a.Y)*j/n
				if y > l.stripWidth-tolerance {
					visit(x, y)
				}
			}
		}
	}
}

// padEnds are the chainages between which the pad lies along the back of the strip.
func (g *GroundPlan) padEnds(plan *Plan, l *layout) (near, far float64) {
	near, far = math.Inf(1), math.Inf(-1)
	for i := range plan.Outlines {
		if o := &plan.Outlines[i]; o.Kind == PartPad {
			low, high := o.Ring.Bounds()
			near, far = math.Min(near, low.X), math.Max(far, high.X)
		}
	}
	return near, far
}

// thickenPad puts the pad's true thickness into its outlines. Its underside
// follows the track's plane, at least the footing's depth below its top
// everywhere; its top is level. Over a sloping underside the volume is the area
// by the depth at the area's centroid, exactly.
func (plan *Plan) thickenPad(p *Practice, l *layout) {
	g := plan.Ground
	if g.Pad == nil || !g.Pad.HasLevel {
		return
	}
	var before []geom.Polygon
	for i := range plan.Outlines {
		o := &plan.Outlines[i]
		if !o.Concrete {
			continue
		}
		if o.Kind != PartPad {
			before = append(before, o.Ring)
			continue
		}
		strips, _ := geom.Union(before...)
		own, err := geom.Difference([]geom.Region{o.Ring.Region()}, strips)
		before = append(before, o.Ring)
		if err != nil || len(own) == 0 || geom.Area(own) < 1 {
			continue
		}
		high := math.Inf(-1)
		for _, r := range own {
			for _, c := range r.Outer {
				high = math.Max(high, g.Track.At(c.X, c.Y))
			}
		}
		c := geom.Centroid(own...)
		plane := g.Track.At(c.X, c.Y)
		o.Depth = l.footDepth + math.Max(0, high-g.Pad.Level)
		o.Top = plane - g.Pad.Level
		g.Pad.Formation, g.Pad.Thick = o.Depth, o.Depth-o.Top
	}
}
