package engine

import (
	"pegpour/engine/geom"
	"strconv"
)

// drivenPanel is the number of the panel that carries the rack.
func drivenPanel(in *inputs, l *layout) int {
	if in.driven == DrivenFirst {
		return 1
	}
	return l.panels
}

// panelFaces are the offsets of the faces of panel i (from 0).
func (l *layout) panelFaces(leaf *LeafPlan, i int) (front, back float64) {
	front = l.leafFront + float64(i)*l.pitch
	return front, front + leaf.Thickness
}

// standPanels adds the outlines of all panels, shut and open.
func (plan *Plan) standPanels(p *Practice, l *layout) {
	leaf := &plan.Leaf
	for i := range leaf.Panels {
		panel := &leaf.Panels[i]
		id, name := "", ""
		if i > 0 {
			id, name = "."+strconv.Itoa(i+1), ", panel "+strconv.Itoa(i+1)
		}
		front, back := l.panelFaces(leaf, i)
		plan.outline(Outline{ID: "leafShut" + id, Kind: PartLeafShut, Number: i + 1, Name: "Leaf, shut" + name},
			[]geom.Polygon{box{panel.ShutAt, front, panel.ShutAt + leaf.Frame, back}.ring()})
		plan.outline(Outline{ID: "leafOpen" + id, Kind: PartLeafOpen, Number: i + 1, Name: "Leaf, open" + name},
			[]geom.Polygon{box{leaf.OpenAt, front, panel.rear(leaf, leaf.OpenAt), back}.ring()})
	}
}

// sweptBoxes are what each panel sweeps between shut and open, seen from above.
func (plan *Plan) sweptBoxes(p *Practice, l *layout) []box {
	leaf := &plan.Leaf
	boxes := make([]box, len(leaf.Panels))
	for i := range leaf.Panels {
		front, back := l.panelFaces(leaf, i)
		boxes[i] = box{leaf.Panels[i].ShutAt, front, leaf.Panels[i].rear(leaf, leaf.OpenAt), back}
	}
	return boxes
}

// latchWidth is the width of the strip between the latch post and the drive: as
// many tracks as start before the drive does.
func (plan *Plan) latchWidth(in *inputs, p *Practice, l *layout) float64 {
	more := 0.0
	reach := in.latchEdge.MaxOver(0, l.stripWidth)
	for i := 1; i < len(plan.Track.Lines); i++ {
		if plan.Track.Lines[i].Start < reach {
			more = float64(i) * l.pitch
		}
	}
	return p.StripWidth + more
}
