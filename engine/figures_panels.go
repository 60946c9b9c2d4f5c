package engine

import (
	"strconv"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// explainPanels gives the figures of stacked panels.
func (d *designed) explainPanels(list *figureList) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	if l.Panels < 2 {
		return
	}
	leaf := &made.Leaf
	list.add(plan.Figure{ID: plan.FigurePanelsPitch, Name: "From track to track", Dimension: text.Length, Value: l.Pitch,
		How:   text.Say("{0} + cladding {1}", text.MM(p.TrackPitch), text.MM(in.Cladding)),
		Rules: []string{practice.RuleTrackPitch}, Fields: []string{survey.GateCladding}})
	for i := range leaf.Panels {
		panel := &leaf.Panels[i]
		n := strconv.Itoa(panel.Number)
		list.add(plan.Figure{ID: "panels." + n + ".travel", Name: text.Numbered("Travel of panel {0}", panel.Number),
			Dimension: text.Length, Value: panel.Travel,
			How:    text.Say("leading edge from {0} to {1}", text.MM(panel.ShutAt), text.MM(leaf.OpenAt)),
			Rules:  []string{practice.RuleLeafPanelOverlap, practice.RuleLeafOverlapLatch},
			Fields: []string{survey.OpeningWidth, survey.GatePanels}, Source: sourceMotion})
	}
}

func stripWidthHow(p *practice.Practice, l *stages.Layout) text.Text {
	if l.Panels > 1 {
		return text.Say("{0} from the back of the posts + {1} for the tracks of the other panels", text.MM(p.StripWidth),
			text.MM(l.Shift))
	}
	return text.Say("from the back of the posts")
}

func tailHow(in *stages.Inputs, p *practice.Practice, l *stages.Layout, leaf *plan.Leaf) text.Text {
	if l.Panels > 1 || in.Meets {
		return text.Say("pinion at chainage {0} − leading edge of the shut driven panel {1} + margin {2} − frame {3}, never less than nothing",
			text.MM(leaf.PinionAt), text.MM(leaf.Panels[stages.DrivenPanel(in)-1].ShutAt), text.MM(p.EngagementMargin),
			text.MM(leaf.Frame))
	}
	return text.Say("pinion at chainage {0} + overlap at the latch {1} + margin {2} − frame {3}, never less than nothing",
		text.MM(leaf.PinionAt), text.MM(p.OverlapLatch), text.MM(p.EngagementMargin), text.MM(leaf.Frame))
}

// orStacked is the text with one more argument where panels are stacked.
func orStacked(t text.Text, l *stages.Layout, format string, more text.Arg) text.Text {
	if l.Panels < 2 {
		return t
	}
	return text.Say(format, append(t.Args, more)...)
}
