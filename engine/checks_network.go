package engine

import (
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkNetwork says what the tapes say of each other.
func (d *designed) checkNetwork(found *findings) {
	made := d.Plan
	n := made.Network
	if n == nil {
		return
	}
	switch {
	case !n.Problem.Empty():
		found.add(plan.Check{Question: plan.QuestionNetworkProblem, Severity: plan.Warning, What: n.Problem,
			Consequence: text.Say("What the network should give is assumed until then.")})
	case n.TapeNext[0] != "" && n.TapeNext[1] != "":
		found.add(plan.Check{Question: plan.QuestionNetworkLoose, Severity: plan.Warning,
			What: text.Say("The tapes do not fix {0} yet: tape from {1} to {2}.",
				text.WordList(text.TypedNames(n.Loose)), text.Word(text.TypedName(n.TapeNext[0])),
				text.Word(text.TypedName(n.TapeNext[1]))),
			Consequence: text.Say("What the network should give is assumed until then.")})
	default:
		found.quiet(plan.QuestionNetworkProblem, "")
		found.quiet(plan.QuestionNetworkLoose, "")
	}
	if len(n.Pegs) == 0 {
		return
	}
	suspects := n.Suspects()
	switch {
	case len(suspects) == 0:
		found.quiet(plan.QuestionNetworkSuspect, "")
	case len(suspects) == 1:
		t := &suspects[0]
		found.add(plan.Check{Question: plan.QuestionNetworkSuspect, Severity: plan.Stop, At: pegsBetween(n, t),
			Field: tapePath(t), HasMargin: true, Margin: -abs(t.Residual / t.Redundancy), MarginOf: text.Length,
			What: text.Say("The tape {0} – {1} is most likely wrong, by about {2}: it does not fit the others.",
				text.Word(text.TypedName(t.From)), text.Word(text.TypedName(t.To)), text.MM(abs(t.Residual/t.Redundancy))),
			Consequence: text.Say("Every place worked out from it is wrong as well."),
			Remedies: []plan.Remedy{{Words: text.Say("Tape {0} – {1} again.", text.Word(text.TypedName(t.From)),
				text.Word(text.TypedName(t.To)))}}})
	default:
		names := make([]text.Name, len(suspects))
		for i := range suspects {
			names[i] = suspects[i].Name()
		}
		found.add(plan.Check{Question: plan.QuestionNetworkSuspect, Severity: plan.Stop, At: pegsBetween(n, &suspects[0]),
			Field: tapePath(&suspects[0]),
			What: text.Say("One of the tapes {0} is wrong, and they cannot tell which: tape all of them again.",
				text.WordList(names)),
			Consequence: text.Say("Every place worked out from it is wrong as well.")})
	}
	if len(n.Differs) == 0 {
		found.quiet(plan.QuestionNetworkDiffers, "")
	}
	for _, g := range n.Differs {
		found.add(plan.Check{Question: plan.QuestionNetworkDiffers, Severity: plan.Warning, Field: g.Path, HasMargin: true,
			Margin: -abs(g.Value - g.Taped), MarginOf: text.Length,
			What: text.Say("{0}: measured {1}, and the tape network gives {2}. The measured one is used.",
				text.Word(g.Name), text.MM(g.Taped), text.MM(g.Value)),
			Consequence: text.Say("One of the two is a slip.")})
	}
	if unchecked := n.Unchecked(); len(unchecked) == 0 {
		found.quiet(plan.QuestionNetworkUnchecked, "")
	} else {
		c := plan.Check{Question: plan.QuestionNetworkUnchecked, Severity: plan.Warning,
			What: text.Say("Nothing checks {0}: a slip in their tapes would not show.",
				text.WordList(text.TypedNames(unchecked))),
			Consequence: text.Say("A misread tape moves the layout without a sign.")}
		if p, ok := n.Peg(unchecked[0]); ok {
			c.At = geom.Point{X: p.Chainage, Y: p.Offset}
		}
		for _, name := range unchecked {
			if to := n.FarthestUntaped(name); to != "" && len(c.Remedies) < 3 {
				c.Remedies = append(c.Remedies,
					plan.Remedy{Words: text.Say("Tape from {0} to {1} as well.", text.Word(text.TypedName(name)),
						text.Word(text.TypedName(to)))})
			}
		}
		found.add(c)
	}
	if len(suspects) == 0 && n.DegreesOfFreedom > 0 && len(n.Differs) == 0 {
		found.add(plan.Check{Question: plan.QuestionNetworkFits, Severity: plan.Sound,
			What: text.Say("The tapes of the network fit each other: {0} to spare.", text.Number(float64(n.DegreesOfFreedom)))})
	}
}

func tapePath(t *plan.TapeFit) string {
	return string(survey.NetworkTapeLength.At(t.Index))
}

func pegsBetween(n *plan.Network, t *plan.TapeFit) geom.Point {
	a, _ := n.Peg(t.From)
	b, _ := n.Peg(t.To)
	return geom.Point{X: (a.Chainage + b.Chainage) / 2, Y: (a.Offset + b.Offset) / 2}
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}
