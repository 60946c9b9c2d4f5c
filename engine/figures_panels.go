package engine

import "strconv"

// explainPanels gives the figures of stacked panels.
func (d *designed) explainPanels(list *figureList) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	if l.panels < 2 {
		return
	}
	leaf := &plan.Leaf
	list.add(Figure{ID: FigurePanelsPitch, Name: "From track to track", Dimension: Length, Value: l.pitch,
		How: say("{0} + cladding {1}", mm(p.TrackPitch), mm(in.cladding)), Rules: []string{RuleTrackPitch}, Fields: []string{GateCladding}})
	for i := range leaf.Panels {
		panel := &leaf.Panels[i]
		n := strconv.Itoa(panel.Number)
		list.add(Figure{ID: "panels." + n + ".travel", Name: Fill("Travel of panel {0}", n), Dimension: Length, Value: panel.Travel,
			How:   say("leading edge from {0} to {1}", mm(panel.ShutAt), mm(leaf.OpenAt)),
			Rules: []string{RuleLeafPanelOverlap, RuleLeafOverlapLatch}, Fields: []string{OpeningWidth, GatePanels}, Source: sourceMotion})
	}
}

func stripWidthHow(p *Practice, l *layout) Text {
	if l.panels > 1 {
		return say("{0} from the back of the posts + {1} for the tracks of the other panels", mm(p.StripWidth), mm(l.shift))
	}
	return say("from the back of the posts")
}

func tailHow(in *inputs, p *Practice, l *layout, leaf *LeafPlan) Text {
	if l.panels > 1 {
		return say("pinion at chainage {0} − leading edge of the shut driven panel {1} + margin {2} − frame {3}, never less than nothing",
			mm(leaf.PinionAt), mm(leaf.Panels[drivenPanel(in)-1].ShutAt), mm(p.EngagementMargin), mm(leaf.Frame))
	}
	return say("pinion at chainage {0} + overlap at the latch {1} + margin {2} − frame {3}, never less than nothing", mm(leaf.PinionAt), mm(p.OverlapLatch), mm(p.EngagementMargin), mm(leaf.Frame))
}

// orStacked is the text with one more argument where panels are stacked.
func (t Text) orStacked(l *layout, format string, more Arg) Text {
	if l.panels < 2 {
		return t
	}
	return say(format, append(t.Args, more)...)
}
