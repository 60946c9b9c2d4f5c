package stages

import (
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// DrivenPanel is the number of the panel that carries the rack.
func DrivenPanel(in *Inputs) int {
	if in.Driven == survey.DrivenFirst {
		return 1
	}
	return in.Panels
}

// panelFaces are the offsets of the faces of panel i (from 0).
func (l *Placement) panelFaces(leaf *plan.Leaf, i int) (front, back float64) {
	front = l.LeafFront + float64(i)*l.Pitch
	return front, front + leaf.Thickness
}

// SweptBoxes are what each panel sweeps between shut and open, seen from above.
func SweptBoxes(l *Placement, leaf *plan.Leaf) []geom.Rectangle {
	boxes := make([]geom.Rectangle, len(leaf.Panels))
	for i := range leaf.Panels {
		front, back := l.panelFaces(leaf, i)
		boxes[i] = geom.RectangleOf(leaf.Panels[i].ShutAt, front, leaf.Panels[i].Rear(leaf, leaf.OpenAt), back)
	}
	return boxes
}

// latchWidth is the width of the strip between the latch post and the drive: as
// many tracks as start before the drive does.
func latchWidth(in *Inputs, p *practice.Practice, l *Placement, track *plan.Track) float64 {
	more := 0.0
	reach := in.latchEdge.MaxOver(0, l.StripWidth)
	for i := 1; i < len(track.Lines); i++ {
		if track.Lines[i].Start < reach {
			more = float64(i) * l.Pitch
		}
	}
	return p.StripWidth + more
}
