package engine

import (
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// drivenPanel is the number of the panel that carries the rack.
func drivenPanel(in *inputs) int {
	if in.driven == survey.DrivenFirst {
		return 1
	}
	return in.panels
}

// panelFaces are the offsets of the faces of panel i (from 0).
func (l *placement) panelFaces(leaf *plan.Leaf, i int) (front, back float64) {
	front = l.leafFront + float64(i)*l.pitch
	return front, front + leaf.Thickness
}

// sweptBoxes are what each panel sweeps between shut and open, seen from above.
func sweptBoxes(l *placement, leaf *plan.Leaf) []geom.Rectangle {
	boxes := make([]geom.Rectangle, len(leaf.Panels))
	for i := range leaf.Panels {
		front, back := l.panelFaces(leaf, i)
		boxes[i] = geom.RectangleOf(leaf.Panels[i].ShutAt, front, leaf.Panels[i].Rear(leaf, leaf.OpenAt), back)
	}
	return boxes
}

// latchWidth is the width of the strip between the latch post and the drive: as
// many tracks as start before the drive does.
func latchWidth(in *inputs, p *practice.Practice, l *placement, track *plan.Track) float64 {
	more := 0.0
	reach := in.latchEdge.MaxOver(0, l.stripWidth)
	for i := 1; i < len(track.Lines); i++ {
		if track.Lines[i].Start < reach {
			more = float64(i) * l.pitch
		}
	}
	return p.StripWidth + more
}
