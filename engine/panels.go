package engine

import (
	"math"
	"strconv"

	"pegpour/engine/geom"
)

// drivenPanel is the number of the panel that carries the rack.
func drivenPanel(in *inputs) int {
	if in.driven == DrivenFirst {
		return 1
	}
	return in.panels
}

// panelFaces are the offsets of the faces of panel i (from 0).
func (l *placement) panelFaces(leaf *LeafPlan, i int) (front, back float64) {
	front = l.leafFront + float64(i)*l.pitch
	return front, front + leaf.Thickness
}

// rear is the chainage of a panel's hindmost part with its leading edge at s.
func (panel *PanelPlan) rear(leaf *LeafPlan, s float64) float64 {
	return s + leaf.Frame + math.Max(panel.Tail, panel.RailOver)
}

// sweptBoxes are what each panel sweeps between shut and open, seen from above.
func sweptBoxes(l *placement, leaf *LeafPlan) []box {
	boxes := make([]box, len(leaf.Panels))
	for i := range leaf.Panels {
		front, back := l.panelFaces(leaf, i)
		boxes[i] = box{leaf.Panels[i].ShutAt, front, leaf.Panels[i].rear(leaf, leaf.OpenAt), back}
	}
	return boxes
}

// latchWidth is the width of the strip between the latch post and the drive: as
// many tracks as start before the drive does.
func latchWidth(in *inputs, p *Practice, l *placement, track *TrackPlan) float64 {
	more := 0.0
	reach := in.latchEdge.MaxOver(0, l.stripWidth)
	for i := 1; i < len(track.Lines); i++ {
		if track.Lines[i].Start < reach {
			more = float64(i) * l.pitch
		}
	}
	return p.StripWidth + more
}

func stripWidthHow(p *Practice, l *layout) Text {
	if l.panels > 1 {
		return say("{0} from the back of the posts + {1} for the tracks of the other panels", mm(p.StripWidth), mm(l.shift))
	}
	return say("from the back of the posts")
}

// orStacked is the text with one more argument where panels are stacked.
func (t Text) orStacked(l *layout, format string, more Arg) Text {
	if l.panels < 2 {
		return t
	}
	return say(format, append(t.Args, more)...)
}

// roomWith is the room along the fence that n panels would take behind the
// run-back post, everything else unchanged.
func roomWith(in *inputs, p *Practice, l *layout, n int) float64 {
	wish, trial := *in, l.placement
	wish.panels, trial.panels = n, n
	leaf := layoutLeaf(&wish, p, &trial)
	return roomNeeded(&wish, p, &leaf)
}

// stackingRemedy offers more panels where they fit the room and fewer do not.
func (plan *Plan) stackingRemedy(in *inputs, p *Practice, l *layout) []Remedy {
	for n := l.panels + 1; n <= 3; n++ {
		need := roomWith(in, p, l, n)
		if need > in.room {
			continue
		}
		frame := (in.width + p.OverlapLatch + p.OverlapRunBack + float64(n-1)*p.PanelOverlap) / float64(n)
		return []Remedy{{Words: say("Stack {0} panels of {1}, one behind another: they need {2} along the fence and {3} more out from it.",
			number(float64(n)), mm(frame), mm(need), mm(float64(n-l.panels)*l.pitch)),
			Changes: []Change{{Path: "gate.panels", Words: strconv.Itoa(n)}}}}
	}
	return nil
}

// checkPanels says what stacked panels ask for.
func (plan *Plan) checkPanels(in *inputs, p *Practice, l *layout) {
	if l.panels < 2 {
		return
	}
	leaf := &plan.Leaf
	at := geom.Point{X: leaf.OpenAt + leaf.Frame/2, Y: l.trackOffset + l.shift}
	gap := l.pitch - leaf.Thickness
	c := Check{Code: "panels.pass", Severity: Sound, Where: []string{"leafOpen"}, At: at, HasMargin: true, Margin: gap, MarginOf: Length,
		What: say("The panels pass each other with {0} to spare.", mm(gap))}
	if gap < p.PanelGap-tolerance {
		c.Severity, c.Margin, c.Field = Stop, gap-p.PanelGap, "practice.track.pitch"
		c.What = say("The panels pass each other with {0}; {1} are wanted for the rollers between them.", mm(gap), mm(p.PanelGap))
		c.Consequence = say("The panels rub, and the rollers between them have no room.")
		more := math.Ceil(p.PanelGap - gap)
		c.Remedies = []Remedy{{Words: say("Set the tracks {0} further apart.", mm(more)), Changes: []Change{{Path: "practice.track.pitch", Value: p.TrackPitch + more}}}}
	}
	plan.add(c)
	if over := leaf.Panels[0].RailOver; over > tolerance {
		plan.add(Check{Code: "panels.overlap", Severity: Mind, Field: "practice.leaf.panelOverlap", Where: []string{"leafShut"}, At: geom.Point{X: leaf.Panels[1].ShutAt, Y: l.trackOffset},
			What:        say("The panels overlap by {0}: the rail of each leading panel must run {1} past its frame to stay in the rollers of the next.", mm(p.PanelOverlap), mm(over)),
			Consequence: say("Without it the shut panels stand loose from each other."), HasMargin: true, Margin: -over, MarginOf: Length,
			Remedies: []Remedy{{Words: say("Overlap the panels {0} more.", mm(math.Ceil(over))), Changes: []Change{{Path: "practice.leaf.panelOverlap", Value: p.PanelOverlap + math.Ceil(over)}}}}})
	}
	if l.hasMotor && in.driven == DrivenFirst {
		plan.add(Check{Code: "panels.driven", Severity: Mind, Field: "gate.driven", Where: []string{"motor"}, At: l.motor.middle(),
			What:        say("The first panel is driven: its rack must reach {0} over the panels behind it, and its tail is {1} long.", mm(l.shift), mm(leaf.Tail)),
			Consequence: say("A rack on a long arm twists under the pinion. The panel next to the motor is the simpler one to drive."),
			Remedies:    []Remedy{{Words: say("Drive the last panel, and link the others to it."), Changes: []Change{{Path: "gate.driven", Words: DrivenLast}}}}})
	}
	if track := plan.Track.Lines[l.panels-1]; l.carries {
		plan.add(Check{Code: "panels.drive", Severity: Sound, Where: []string{"leafShut"}, At: geom.Point{X: track.Start, Y: track.Offset},
			What: say("The drive carries {0} tracks, {1} from the first to the last; the last starts at chainage {2}.", number(float64(l.panels)), mm(l.shift), mm(track.Start))})
	} else {
		plan.add(Check{Code: "panels.drive", Severity: Sound, Where: []string{"driveStrip"}, At: geom.Point{X: track.Start, Y: track.Offset},
			What: say("The drive strip carries {0} tracks and is {1} wider for it; the last starts at chainage {2}.", number(float64(l.panels)), mm(l.shift), mm(track.Start))})
	}
}

// explainPanels gives the figures of stacked panels.
func (plan *Plan) explainPanels(in *inputs, p *Practice, l *layout) {
	if l.panels < 2 {
		return
	}
	leaf := &plan.Leaf
	plan.figure(in, Figure{ID: "panels.pitch", Name: "From track to track", Dimension: Length, Value: l.pitch,
		How: say("{0} + cladding {1}", mm(p.TrackPitch), mm(in.cladding)), Rules: []string{"track.pitch"}, Fields: []string{"gate.cladding"}})
	for i := range leaf.Panels {
		panel := &leaf.Panels[i]
		n := strconv.Itoa(panel.Number)
		plan.figure(in, Figure{ID: "panels." + n + ".travel", Name: fill("Travel of panel {0}", n), Dimension: Length, Value: panel.Travel,
			How:   say("leading edge from {0} to {1}", mm(panel.ShutAt), mm(leaf.OpenAt)),
			Rules: []string{"leaf.panelOverlap", "leaf.overlapLatch"}, Fields: []string{"opening.width", "gate.panels"}, Source: sourceMotion})
	}
}

func tailHow(in *inputs, p *Practice, l *layout, leaf *LeafPlan) Text {
	if l.panels > 1 {
		return say("pinion at chainage {0} − leading edge of the shut driven panel {1} + margin {2} − frame {3}, never less than nothing",
			mm(leaf.PinionAt), mm(leaf.Panels[drivenPanel(in)-1].ShutAt), mm(p.EngagementMargin), mm(leaf.Frame))
	}
	return say("pinion at chainage {0} + overlap at the latch {1} + margin {2} − frame {3}, never less than nothing", mm(leaf.PinionAt), mm(p.OverlapLatch), mm(p.EngagementMargin), mm(leaf.Frame))
}
