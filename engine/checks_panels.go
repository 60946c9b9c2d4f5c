package engine

import (
	"math"
	"strconv"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkPanels says what stacked panels ask for.
func (d *designed) checkPanels(found *findings) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	if l.Panels < 2 {
		return
	}
	leaf := &made.Leaf
	at := geom.Point{X: leaf.OpenAt + leaf.Frame/2, Y: l.TrackOffset + l.Shift}
	gap := l.Pitch - leaf.Thickness
	c := plan.Check{Question: plan.QuestionPanelsPass, Severity: plan.Sound, Where: plan.PartIDs(plan.PartLeafOpen),
		At: at, HasMargin: true, Margin: gap, MarginOf: text.Length,
		What: text.Say("The panels pass each other with {0} to spare.", text.MM(gap))}
	if gap < p.PanelGap-plan.Tolerance {
		c.Severity, c.Margin, c.Field = plan.Stop, gap-p.PanelGap, practice.PracticePath+practice.RuleTrackPitch
		c.What = text.Say("The panels pass each other with {0}; {1} are wanted for the rollers between them.", text.MM(gap),
			text.MM(p.PanelGap))
		c.Consequence = text.Say("The panels rub, and the rollers between them have no room.")
		more := math.Ceil(p.PanelGap - gap)
		c.Remedies = []plan.Remedy{{Words: text.Say("Set the tracks {0} further apart.", text.MM(more)),
			Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleTrackPitch, Value: p.TrackPitch + more}}}}
	}
	found.add(c)
	if over := leaf.Panels[0].RailOver; over <= plan.Tolerance {
		found.quietly(plan.QuestionPanelsOverlap, practice.PracticePath+practice.RuleLeafPanelOverlap, -over, text.Length)
	} else {
		found.add(plan.Check{Question: plan.QuestionPanelsOverlap, Severity: plan.Warning,
			Field: practice.PracticePath + practice.RuleLeafPanelOverlap, Where: plan.PartIDs(plan.PartLeafShut),
			At:          geom.Point{X: leaf.Panels[1].ShutAt, Y: l.TrackOffset},
			What:        text.Say("The panels overlap by {0}: the rail of each leading panel must run {1} past its frame to stay in the rollers of the next.", text.MM(p.PanelOverlap), text.MM(over)),
			Consequence: text.Say("Without it the shut panels stand loose from each other."), HasMargin: true, Margin: -over,
			MarginOf: text.Length,
			Remedies: []plan.Remedy{{Words: text.Say("Overlap the panels {0} more.", text.MM(math.Ceil(over))),
				Changes: []plan.Change{{Path: practice.PracticePath + practice.RuleLeafPanelOverlap,
					Value: p.PanelOverlap + math.Ceil(over)}}}}})
	}
	switch {
	case !l.HasMotor:
	case in.Driven != survey.DrivenFirst:
		found.quiet(plan.QuestionPanelsDriven, survey.GateDriven)
	default:
		found.add(plan.Check{Question: plan.QuestionPanelsDriven, Severity: plan.Warning, Field: survey.GateDriven,
			Where: plan.PartIDs(plan.PartMotor), At: l.Motor.Middle(),
			What:        text.Say("The first panel is driven: its rack must reach {0} over the panels behind it, and its tail is {1} long.", text.MM(l.Shift), text.MM(leaf.Tail)),
			Consequence: text.Say("A rack on a long arm twists under the pinion. The panel next to the motor is the simpler one to drive."),
			Remedies: []plan.Remedy{{Words: text.Say("Drive the last panel, and link the others to it."),
				Changes: []plan.Change{{Path: survey.GateDriven, Words: survey.DrivenLast}}}}})
	}
	if track := made.Track.Lines[l.Panels-1]; l.Carries {
		found.add(plan.Check{Question: plan.QuestionPanelsDrive, Severity: plan.Sound,
			Where: plan.PartIDs(plan.PartLeafShut), At: geom.Point{X: track.Start, Y: track.Offset},
			What: text.Say("The drive carries {0} tracks, {1} from the first to the last; the last starts at chainage {2}.",
				text.Number(float64(l.Panels)), text.MM(l.Shift), text.MM(track.Start))})
	} else {
		found.add(plan.Check{Question: plan.QuestionPanelsDrive, Severity: plan.Sound,
			Where: plan.PartIDs(plan.PartDriveStrip), At: geom.Point{X: track.Start, Y: track.Offset},
			What: text.Say("The drive strip carries {0} tracks and is {1} wider for it; the last starts at chainage {2}.",
				text.Number(float64(l.Panels)), text.MM(l.Shift), text.MM(track.Start))})
	}
}

// stackingRemedy offers more panels where they fit the room and fewer do not.
func (d *designed) stackingRemedy() []plan.Remedy {
	in, p, l := d.Inputs, d.Practice, d.Layout
	for n := l.Panels + 1; n <= survey.MostPanels; n++ {
		need := roomWith(in, p, &l.Placement, n)
		if need > in.Room {
			continue
		}
		frame := (in.Width + p.OverlapLatch + p.OverlapRunBack + float64(n-1)*p.PanelOverlap) / float64(n)
		return []plan.Remedy{{Words: text.Say(
			"Stack {0} panels of {1}, one behind another: they need {2} along the fence and {3} more out from it.",
			text.Number(float64(n)), text.MM(frame), text.MM(need), text.MM(float64(n-l.Panels)*l.Pitch)),
			Changes: []plan.Change{{Path: survey.GatePanels, Words: strconv.Itoa(n)}}}}
	}
	return nil
}

// roomWith is the room along the fence that n panels would take behind the
// run-back post, everything else unchanged.
func roomWith(in *stages.Inputs, p *practice.Practice, l *stages.Placement, n int) float64 {
	wish, trial := *in, *l
	wish.Panels, trial.Panels = n, n
	leaf := stages.LayoutLeaf(&wish, p, &trial)
	return roomNeeded(&wish, p, &leaf)
}
