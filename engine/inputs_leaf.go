package engine

// leafInputs are what the leaf is to be, as Design uses it.
type leafInputs struct {
	panels        int
	driven        string
	metal, infill string
	latchStop     bool
	falls         bool
	footingBar    string
	padOn         string
}

func resolveLeaf(r *Reader, motor string) leafInputs {
	in := leafInputs{panels: 1, driven: DrivenLast}
	switch r.Choice(GatePanels) {
	case PanelsTwo:
		in.panels = 2
	case PanelsThree:
		in.panels = 3
	}
	if in.panels > 1 && motor != MotorNone {
		in.driven = r.Choice(GateDriven)
	}
	in.metal = r.Choice(GateMetal)
	in.infill = r.Choice(GateInfill)
	in.latchStop = r.Choice(GateLatchStop) == Yes
	if in.falls = falls(r.Survey()); in.falls {
		in.footingBar = r.Choice(GateFootingBar)
		if motor != MotorNone {
			in.padOn = r.Choice(GatePadOn)
		}
	}
	return in
}
