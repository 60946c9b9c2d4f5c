package engine

import (
	"math"
	"strconv"

	"pegpour/engine/geom"
)

// checkPanels says what stacked panels ask for.
func (d *designed) checkPanels(found *findings) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	if l.panels < 2 {
		return
	}
	leaf := &plan.Leaf
	at := geom.Point{X: leaf.OpenAt + leaf.Frame/2, Y: l.trackOffset + l.shift}
	gap := l.pitch - leaf.Thickness
	c := Check{Question: QuestionPanelsPass, Severity: Sound, Where: PartIDs(PartLeafOpen), At: at, HasMargin: true, Margin: gap, MarginOf: Length,
		What: say("The panels pass each other with {0} to spare.", mm(gap))}
	if gap < p.PanelGap-tolerance {
		c.Severity, c.Margin, c.Field = Stop, gap-p.PanelGap, PracticePath+RuleTrackPitch
		c.What = say("The panels pass each other with {0}; {1} are wanted for the rollers between them.", mm(gap), mm(p.PanelGap))
		c.Consequence = say("The panels rub, and the rollers between them have no room.")
		more := math.Ceil(p.PanelGap - gap)
		c.Remedies = []Remedy{{Words: say("Set the tracks {0} further apart.", mm(more)), Changes: []Change{{Path: PracticePath + RuleTrackPitch, Value: p.TrackPitch + more}}}}
	}
	found.add(c)
	if over := leaf.Panels[0].RailOver; over <= tolerance {
		found.quietly(QuestionPanelsOverlap, PracticePath+RuleLeafPanelOverlap, -over, Length)
	} else {
		found.add(Check{Question: QuestionPanelsOverlap, Severity: Warning, Field: PracticePath + RuleLeafPanelOverlap, Where: PartIDs(PartLeafShut), At: geom.Point{X: leaf.Panels[1].ShutAt, Y: l.trackOffset},
			What:        say("The panels overlap by {0}: the rail of each leading panel must run {1} past its frame to stay in the rollers of the next.", mm(p.PanelOverlap), mm(over)),
			Consequence: say("Without it the shut panels stand loose from each other."), HasMargin: true, Margin: -over, MarginOf: Length,
			Remedies: []Remedy{{Words: say("Overlap the panels {0} more.", mm(math.Ceil(over))), Changes: []Change{{Path: PracticePath + RuleLeafPanelOverlap, Value: p.PanelOverlap + math.Ceil(over)}}}}})
	}
	switch {
	case !l.hasMotor:
	case in.driven != DrivenFirst:
		found.quiet(QuestionPanelsDriven, GateDriven)
	default:
		found.add(Check{Question: QuestionPanelsDriven, Severity: Warning, Field: GateDriven, Where: PartIDs(PartMotor), At: l.motor.middle(),
			What:        say("The first panel is driven: its rack must reach {0} over the panels behind it, and its tail is {1} long.", mm(l.shift), mm(leaf.Tail)),
			Consequence: say("A rack on a long arm twists under the pinion. The panel next to the motor is the simpler one to drive."),
			Remedies:    []Remedy{{Words: say("Drive the last panel, and link the others to it."), Changes: []Change{{Path: GateDriven, Words: DrivenLast}}}}})
	}
	if track := plan.Track.Lines[l.panels-1]; l.carries {
		found.add(Check{Question: QuestionPanelsDrive, Severity: Sound, Where: PartIDs(PartLeafShut), At: geom.Point{X: track.Start, Y: track.Offset},
			What: say("The drive carries {0} tracks, {1} from the first to the last; the last starts at chainage {2}.", number(float64(l.panels)), mm(l.shift), mm(track.Start))})
	} else {
		found.add(Check{Question: QuestionPanelsDrive, Severity: Sound, Where: PartIDs(PartDriveStrip), At: geom.Point{X: track.Start, Y: track.Offset},
			What: say("The drive strip carries {0} tracks and is {1} wider for it; the last starts at chainage {2}.", number(float64(l.panels)), mm(l.shift), mm(track.Start))})
	}
}

// stackingRemedy offers more panels where they fit the room and fewer do not.
func (d *designed) stackingRemedy() []Remedy {
	in, p, l := d.inputs, d.practice, d.layout
	for n := l.panels + 1; n <= 3; n++ {
		need := roomWith(in, p, &l.placement, n)
		if need > in.room {
			continue
		}
		frame := (in.width + p.OverlapLatch + p.OverlapRunBack + float64(n-1)*p.PanelOverlap) / float64(n)
		return []Remedy{{Words: say("Stack {0} panels of {1}, one behind another: they need {2} along the fence and {3} more out from it.",
			number(float64(n)), mm(frame), mm(need), mm(float64(n-l.panels)*l.pitch)),
			Changes: []Change{{Path: GatePanels, Words: strconv.Itoa(n)}}}}
	}
	return nil
}

// roomWith is the room along the fence that n panels would take behind the
// run-back post, everything else unchanged.
func roomWith(in *inputs, p *Practice, l *placement, n int) float64 {
	wish, trial := *in, *l
	wish.panels, trial.panels = n, n
	leaf := layoutLeaf(&wish, p, &trial)
	return roomNeeded(&wish, p, &leaf)
}
