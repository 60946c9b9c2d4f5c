package ground

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// LevelPad finds the window for the level top of the motor pad.
//
//	pinion: z_t(x_p) + h_rack − h_most ≤ z ≤ z_t(x_p) + h_rack − h_least
//	water:  z ≥ highest finished ground around the pad + freeboard
//
// with z_t the track's level, x_p the pinion's chainage, h_rack the rack above
// the strip, h the pinion above the pad, packer and adjustment included. A
// channel around the pad takes the water of its high sides: then only its
// lowest side counts, where the channel runs out. Inside the window the level
// nearest the pinion's usual height is taken, but not in its outer parts, by the
// shop's margin. It is nil where the pad meets no ground.
//
// Source: geometry of rack and pinion; freeboard is common practice.
func LevelPad(g *plan.Ground, parts []plan.Outline, site *Site, channel bool, p *practice.Practice) *plan.PadLevel {
	pad := &plan.PadLevel{}
	rack := g.TrackLevel(site.Pinion) + p.RackHeight - p.MotorPacker
	least, most := min(p.PinionLeast, p.PinionMost), max(p.PinionLeast, p.PinionMost)
	pad.PinionLow, pad.PinionHigh = rack-most, rack-least
	lowGround := math.Inf(1)
	pad.HighGround = math.Inf(-1)
	walkPad(parts, site.StripWidth, func(x, y float64) {
		z := finishedLevel(g, &site.Drive.RunBackEdge, x, y)
		lowGround = min(lowGround, z)
		if z > pad.HighGround {
			pad.HighGround, pad.HighAt = z, geom.Point{X: x, Y: y}
		}
	})
	if math.IsInf(lowGround, 1) {
		return nil
	}
	pad.Water = pad.HighGround + p.PadFreeboard
	if channel {
		pad.Water = lowGround + p.PadFreeboard
	}
	pad.Low, pad.High = max(pad.PinionLow, pad.Water), pad.PinionHigh
	pad.Gap = max(0, pad.Low-pad.High)
	if pad.Low <= pad.High {
		pad.HasLevel = true
		margin := p.PinionMargin * (pad.High - pad.Low)
		usual := rack - max(least, min(most, p.PinionUsual))
		pad.Level = max(pad.Low+margin, min(pad.High-margin, usual))
		pad.Pinion = rack - pad.Level
		near, far := padEnds(parts)
		pad.StepNear = pad.Level - g.Track.At(near, site.StripWidth)
		pad.StepFar = pad.Level - g.Track.At(far, site.StripWidth)
	}
	return pad
}

// finishedLevel is the ground as it will lie around the pad: as it is, but dug
// down to the track's plane where a cavity is cut.
func finishedLevel(g *plan.Ground, edge *geom.Edge, x, y float64) float64 {
	z, _ := g.GroundLevel(x, y)
	if g.Shape == survey.GroundRises && x > edge.At(y)+plan.Tolerance {
		return min(z, g.Track.At(x, y))
	}
	return z
}

// walkPad walks the sides of the pad that face ground: not the fence, and not
// where the strip runs on.
func walkPad(parts []plan.Outline, stripWidth float64, visit func(x, y float64)) {
	const pace, mostSteps = 100.0, 200 // mm; the ground is straight between readings
	for i := range parts {
		o := &parts[i]
		if o.Kind != plan.PartPad {
			continue
		}
		for k, a := range o.Ring {
			b := o.Ring[(k+1)%len(o.Ring)]
			n := max(1, min(mostSteps, math.Ceil(math.Hypot(b.X-a.X, b.Y-a.Y)/pace)))
			for j := 0.0; j <= n; j++ {
				x, y := a.X+(b.X-a.X)*j/n, a.Y+(b.Y-a.Y)*j/n
				if y > stripWidth-plan.Tolerance {
					visit(x, y)
				}
			}
		}
	}
}

// padEnds are the chainages between which the pad lies along the back of the strip.
func padEnds(parts []plan.Outline) (near, far float64) {
	near, far = math.Inf(1), math.Inf(-1)
	for i := range parts {
		if o := &parts[i]; o.Kind == plan.PartPad {
			low, high := o.Ring.Bounds()
			near, far = min(near, low.X), max(far, high.X)
		}
	}
	return near, far
}

// PadDepth is, for one piece of the motor pad (0 for a pad in one piece), the depth
// of its underside and of its top below the track's plane at its centroid, mm.
type PadDepth struct {
	Piece      int
	Depth, Top float64
}

// sliver is an area that only rounding leaves over, mm².
const sliver = 1

// padDepths finds how deep the pad goes under its level top. Its underside
// follows the track's plane, at least the footing's depth below its top
// everywhere. Over a sloping underside the volume is the area by the depth at
// the area's centroid, exactly. Pieces that lie wholly in what is poured before
// them have none.
func padDepths(parts []plan.Outline, track *plan.TrackGrade, level, footDepth float64) ([]PadDepth, error) {
	var depths []PadDepth
	before := make([]geom.Polygon, 0, 4)
	for i := range parts {
		o := &parts[i]
		if !o.Concrete {
			continue
		}
		if o.Kind != plan.PartPad {
			before = append(before, o.Ring)
			continue
		}
		strips, err := geom.Union(before...)
		if err != nil {
			return depths, err
		}
		own, err := geom.Difference([]geom.Region{o.Ring.Region()}, strips)
		if err != nil {
			return depths, err
		}
		before = append(before, o.Ring)
		if len(own) == 0 || geom.Area(own) < sliver {
			continue
		}
		high := math.Inf(-1)
		for _, r := range own {
			for _, c := range r.Outer {
				high = max(high, track.At(c.X, c.Y))
			}
		}
		c := geom.Centroid(own...)
		depths = append(depths, PadDepth{o.Piece, footDepth + max(0, high-level), track.At(c.X, c.Y) - level})
	}
	return depths, nil
}
