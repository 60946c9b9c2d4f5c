package engine

import "pegpour/engine/geom"

// checkNetwork says what the tapes say of each other.
func (d *designed) checkNetwork(found *findings) {
	plan := d.plan
	n := plan.Network
	if n == nil {
		return
	}
	switch {
	case !n.Problem.Empty():
		found.add(Check{Question: QuestionNetworkProblem, Severity: Warning, What: n.Problem,
			Consequence: say("What the network should give is assumed until then.")})
	case n.TapeNext[0] != "" && n.TapeNext[1] != "":
		found.add(Check{Question: QuestionNetworkLoose, Severity: Warning, What: say("The tapes do not fix {0} yet: tape from {1} to {2}.", wordList(n.Loose), wordArg(n.TapeNext[0]), wordArg(n.TapeNext[1])),
			Consequence: say("What the network should give is assumed until then.")})
	default:
		found.quiet(QuestionNetworkProblem, "")
		found.quiet(QuestionNetworkLoose, "")
	}
	if len(n.Pegs) == 0 {
		return
	}
	suspects := n.suspects()
	switch {
	case len(suspects) == 0:
		found.quiet(QuestionNetworkSuspect, "")
	case len(suspects) == 1:
		t := &suspects[0]
		found.add(Check{Question: QuestionNetworkSuspect, Severity: Stop, At: n.between(t), Field: tapePath(t), HasMargin: true, Margin: -abs(t.Residual / t.Redundancy), MarginOf: Length,
			What:        say("The tape {0} – {1} is most likely wrong, by about {2}: it does not fit the others.", wordArg(t.From), wordArg(t.To), mm(abs(t.Residual/t.Redundancy))),
			Consequence: say("Every place worked out from it is wrong as well."),
			Remedies:    []Remedy{{Words: say("Tape {0} – {1} again.", wordArg(t.From), wordArg(t.To))}}})
	default:
		names := make([]string, len(suspects))
		for i, t := range suspects {
			names[i] = Fill("{0} – {1}", t.From, t.To)
		}
		found.add(Check{Question: QuestionNetworkSuspect, Severity: Stop, At: n.between(&suspects[0]), Field: tapePath(&suspects[0]),
			What:        say("One of the tapes {0} is wrong, and they cannot tell which: tape all of them again.", wordList(names)),
			Consequence: say("Every place worked out from it is wrong as well.")})
	}
	if len(n.differs) == 0 {
		found.quiet(QuestionNetworkDiffers, "")
	}
	for _, g := range n.differs {
		found.add(Check{Question: QuestionNetworkDiffers, Severity: Warning, Field: g.Path, HasMargin: true, Margin: -abs(g.Value - g.taped), MarginOf: Length,
			What:        say("{0}: measured {1}, and the tape network gives {2}. The measured one is used.", wordArg(g.Name), mm(g.taped), mm(g.Value)),
			Consequence: say("One of the two is a slip.")})
	}
	if unchecked := n.unchecked(); len(unchecked) == 0 {
		found.quiet(QuestionNetworkUnchecked, "")
	} else {
		c := Check{Question: QuestionNetworkUnchecked, Severity: Warning, What: say("Nothing checks {0}: a slip in their tapes would not show.", wordList(unchecked)),
			Consequence: say("A misread tape moves the layout without a sign.")}
		if p, ok := n.Peg(unchecked[0]); ok {
			c.At = geom.Point{X: p.Chainage, Y: p.Offset}
		}
		for _, name := range unchecked {
			if to := n.another(name); to != "" && len(c.Remedies) < 3 {
				c.Remedies = append(c.Remedies, Remedy{Words: say("Tape from {0} to {1} as well.", wordArg(name), wordArg(to))})
			}
		}
		found.add(c)
	}
	if len(suspects) == 0 && n.DegreesOfFreedom > 0 && len(n.differs) == 0 {
		found.add(Check{Question: QuestionNetworkFits, Severity: Sound, What: say("The tapes of the network fit each other: {0} to spare.", number(float64(n.DegreesOfFreedom)))})
	}
}

func tapePath(t *TapeFit) string {
	return string(NetworkTapeLength.At(t.Index))
}

func (n *NetworkPlan) between(t *TapeFit) geom.Point {
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
