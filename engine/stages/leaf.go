package stages

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
)

// LayoutLeaf finds the leaf's length and travel, the rack, rail and tail that the
// pinion and the rollers ask for, and what of the opening cannot be cleared.
//
// With W the opening, n the panels, F the frame of one, o the overlaps, e the
// engagement margin and s the chainage of a panel's leading edge (shut s_i,
// open W + clearance for all):
//
//	F = (W + o_latch + o_run-back + (n − 1)·o_panel)/n
//	s_i = −o_latch + (i − 1)(F − o_panel)
//	tail      T = max(0, x_pinion − s_i + e − F) of the driven panel
//	rail over G = max(0, x_rollers + half spacing − s_n + e − F) of the last panel
//	lost        = max(0, s_open + e − x_pinion, s_open + e − (x_rollers − half spacing))
//
// Rack and rail start at the leading edge. The rollers at the run-back post hold
// the last panel, the one behind all others; each other panel's rail runs in
// rollers at the front of the panel behind it, so that it needs
// max(0, 2(half spacing + e) − o_panel) past its frame.
func LayoutLeaf(in *Inputs, p *practice.Practice, l *Placement) plan.Leaf {
	return layoutLeaf(in, p, l, nil)
}

// layoutLeaf is [LayoutLeaf] with the list of panels written over one that is not wanted.
func layoutLeaf(in *Inputs, p *practice.Practice, l *Placement, over []plan.Panel) plan.Leaf {
	var leaf plan.Leaf
	n := float64(l.Panels)
	half := p.RollerSpacing / 2
	leaf.Frame = (in.Width + p.OverlapLatch + p.OverlapRunBack + (n-1)*p.PanelOverlap) / n
	leaf.Height = in.height
	leaf.Thickness = l.LeafBack - l.Shift - l.LeafFront
	leaf.ShutAt = -p.OverlapLatch
	leaf.OpenAt = in.Width + p.OpenClearance
	leaf.RollersAt = l.rollers
	step := leaf.Frame - p.PanelOverlap
	leaf.RailOver = max(0, l.rollers+half+(p.OverlapLatch-(n-1)*step)+p.EngagementMargin-leaf.Frame)
	leaf.Lost = max(0, leaf.OpenAt+p.EngagementMargin-(l.rollers-half))
	driven := DrivenPanel(in)
	if l.HasMotor {
		leaf.PinionAt = l.Pinion
		leaf.Tail = max(0, l.Pinion+(p.OverlapLatch-float64(driven-1)*step)+p.EngagementMargin-leaf.Frame)
		leaf.Lost = max(leaf.Lost, leaf.OpenAt+p.EngagementMargin-l.Pinion)
	}
	if in.Hangs {
		reach := carriageReach(p)
		leaf.Tail = max(leaf.Tail, l.Rear+reach-in.Width-p.OverlapRunBack)
		leaf.Lost = max(leaf.Lost, leaf.OpenAt+reach-l.Front)
	}
	leaf.OpenAt -= leaf.Lost
	leaf.Travel = leaf.OpenAt - leaf.ShutAt
	leaf.GuideRail = leaf.Frame + leaf.RailOver
	leaf.Panels = over
	if clear(over); len(over) != l.Panels {
		leaf.Panels = make([]plan.Panel, l.Panels)
	}
	rear := 0.0
	for i := range leaf.Panels {
		panel := &leaf.Panels[i]
		panel.Number = i + 1
		panel.TrackOffset = l.TrackOffset + float64(i)*l.Pitch
		panel.ShutAt = leaf.ShutAt + float64(i)*step
		panel.Travel = leaf.OpenAt - panel.ShutAt
		panel.RailOver = leaf.RailOver
		if panel.Number < l.Panels {
			panel.RailOver = max(0, 2*(half+p.EngagementMargin)-p.PanelOverlap)
		}
		if panel.Driven = l.HasMotor && panel.Number == driven; panel.Driven {
			panel.Tail = leaf.Tail
			leaf.Rack = max(leaf.Frame+leaf.Tail, panel.Travel+2*p.EngagementMargin)
		}
		if in.Hangs {
			panel.Tail = leaf.Tail
		}
		rear = max(rear, max(panel.Tail, panel.RailOver))
	}
	leaf.RearOpen = leaf.OpenAt + leaf.Frame + rear
	leaf.ClearStraight, leaf.ClearAlong = clearOpening(in, l, &leaf)
	return leaf
}

// clearOpening finds the width left for a vehicle with the leaf open: square to
// the fence, and along the run-back edge of the drive. It is the distance
// between the nearest corners on either side, taken across the way it goes.
func clearOpening(in *Inputs, l *Placement, leaf *plan.Leaf) (straight, along float64) {
	runBack := [...]geom.Point{
		{X: in.Width, Y: 0}, {X: in.Width, Y: -in.PostDepth},
		{X: leaf.OpenAt, Y: l.LeafFront}, {X: leaf.OpenAt, Y: l.LeafBack},
		{X: l.Guide.X1, Y: l.Guide.Y1}, {X: l.Guide.X1, Y: l.Guide.Y2},
		{X: l.Motor.X1, Y: l.Motor.Y1}, {X: l.Motor.X1, Y: l.Motor.Y2},
	}
	latch := [...]geom.Point{{X: 0, Y: 0}, {X: 0, Y: -in.PostDepth}}
	across := func(nx, ny float64) float64 {
		near, far := math.Inf(1), math.Inf(-1)
		for i, c := range runBack {
			if (i == 4 || i == 5) && !l.HasGuide || i >= 6 && !l.HasMotor {
				continue
			}
			near = min(near, nx*c.X+ny*c.Y)
		}
		for _, c := range latch {
			far = max(far, nx*c.X+ny*c.Y)
		}
		return max(0, near-far)
	}
	straight = across(1, 0)
	sin, cos := math.Sincos(in.EdgeAngle)
	return straight, across(sin, -cos)
}

// PlanTrack runs under both wheels of each panel over its whole travel, with
// the margin of engagement at each end, and never starts behind the latch post.
// It is cut to length along the grade.
func PlanTrack(p *practice.Practice, l *Placement, leaf *plan.Leaf) plan.Track {
	if leaf.Hanging != nil {
		return plan.Track{Offset: l.TrackOffset}
	}
	end := leaf.OpenAt + leaf.Frame - l.wheelInset + p.EngagementMargin
	t := plan.Track{Offset: l.TrackOffset, End: end, Lines: make([]plan.TrackLine, len(leaf.Panels))}
	_, cos := math.Sincos(leaf.Slope)
	for i := range leaf.Panels {
		start := max(0, leaf.Panels[i].ShutAt+l.wheelInset-p.EngagementMargin)
		t.Lines[i] = plan.TrackLine{Offset: leaf.Panels[i].TrackOffset, Start: start, End: end, Length: (end - start) / cos}
	}
	t.Start = t.Lines[0].Start
	return t
}
