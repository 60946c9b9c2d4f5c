package engine

import (
	"math"

	"pegpour/engine/geom"
)

// planLeaf finds the leaf's length and travel, the rack, rail and tail that the
// pinion and the rollers ask for, and what of the opening cannot be cleared.
//
// With W the opening, F the frame, o the overlaps, e the engagement margin and
// s the chainage of the leading edge (shut −o_latch, open W + clearance):
//
//	F = W + o_latch + o_run-back
//	tail      T = max(0, x_pinion + o_latch + e − F)
//	rail over G = max(0, x_rollers + half spacing + o_latch + e − F)
//	lost        = max(0, s_open + e − x_pinion, s_open + e − (x_rollers − half spacing))
//
// Rack and rail start at the leading edge of the leaf.
func planLeaf(in *inputs, p *Practice, l *layout) LeafPlan {
	var leaf LeafPlan
	half := p.RollerSpacing / 2
	leaf.Frame = in.width + p.OverlapLatch + p.OverlapRunBack
	leaf.Height = in.height
	leaf.Thickness = l.leafBack - l.leafFront
	leaf.ShutAt = -p.OverlapLatch
	leaf.OpenAt = in.width + p.OpenClearance
	leaf.RollersAt = l.rollers
	leaf.RailOver = math.Max(0, l.rollers+half+p.OverlapLatch+p.EngagementMargin-leaf.Frame)
	leaf.Lost = math.Max(0, leaf.OpenAt+p.EngagementMargin-(l.rollers-half))
	if l.hasMotor {
		leaf.PinionAt = l.pinion
		leaf.Tail = math.Max(0, l.pinion+p.OverlapLatch+p.EngagementMargin-leaf.Frame)
		leaf.Lost = math.Max(leaf.Lost, leaf.OpenAt+p.EngagementMargin-l.pinion)
	}
	leaf.OpenAt -= leaf.Lost
	leaf.Travel = leaf.OpenAt - leaf.ShutAt
	leaf.GuideRail = leaf.Frame + leaf.RailOver
	if l.hasMotor {
		leaf.Rack = math.Max(leaf.Frame+leaf.Tail, leaf.Travel+2*p.EngagementMargin)
	}
	leaf.RearOpen = leaf.OpenAt + leaf.Frame + math.Max(leaf.Tail, leaf.RailOver)
	leaf.ClearStraight, leaf.ClearAlong = clearOpening(in, l, &leaf)
	return leaf
}

// clearOpening finds the width left for a vehicle with the leaf open: square to
// the fence, and along the run-back edge of the drive. It is the distance
// between the nearest corners on either side, taken across the way it goes.
func clearOpening(in *inputs, l *layout, leaf *LeafPlan) (straight, along float64) {
	runBack := [...]geom.Point{
		{X: in.width, Y: 0}, {X: in.width, Y: -in.postDepth},
		{X: leaf.OpenAt, Y: l.leafFront}, {X: leaf.OpenAt, Y: l.leafBack},
		{X: l.guide.x1, Y: l.guide.y1}, {X: l.guide.x1, Y: l.guide.y2},
		{X: l.motor.x1, Y: l.motor.y1}, {X: l.motor.x1, Y: l.motor.y2},
	}
	latch := [...]geom.Point{{X: 0, Y: 0}, {X: 0, Y: -in.postDepth}}
	across := func(nx, ny float64) float64 {
		near, far := math.Inf(1), math.Inf(-1)
		for i, c := range runBack {
			if (i == 4 || i == 5) && !l.hasGuide || i >= 6 && !l.hasMotor {
				continue
			}
			near = math.Min(near, nx*c.X+ny*c.Y)
		}
		for _, c := range latch {
			far = math.Max(far, nx*c.X+ny*c.Y)
		}
		return math.Max(0, near-far)
	}
	straight = across(1, 0)
	sin, cos := math.Sincos(in.edgeAngle)
	return straight, across(sin, -cos)
}

// planTrack runs under both wheels over the whole travel, with the margin of
// engagement at each end, and never starts behind the latch post.
func planTrack(p *Practice, l *layout, leaf *LeafPlan) TrackPlan {
	start := leaf.ShutAt + p.WheelInset - p.EngagementMargin
	end := leaf.OpenAt + leaf.Frame - p.WheelInset + p.EngagementMargin
	return TrackPlan{Offset: l.trackOffset, Start: math.Max(0, start), End: end}
}
