package engine

import (
	"pegpour/engine/survey"
)

// leafInputs are what the leaf is to be, as Design uses it.
type leafInputs struct {
	panels        int
	driven        string
	metal, infill string
	latchStop     bool
	openCatch     bool
	falls         bool
	footingBar    string
	padOn         string
}

func resolveLeaf(r *survey.Reader, motor string) leafInputs {
	in := leafInputs{panels: 1, driven: survey.DrivenLast}
	switch r.Choice(survey.GatePanels) {
	case survey.PanelsTwo:
		in.panels = 2
	case survey.PanelsThree:
		in.panels = 3
	}
	if in.panels > 1 && motor != survey.MotorNone {
		in.driven = r.Choice(survey.GateDriven)
	}
	in.metal = r.Choice(survey.GateMetal)
	in.infill = r.Choice(survey.GateInfill)
	in.latchStop = r.Choice(survey.GateLatchStop) == survey.Yes
	in.openCatch = r.Choice(survey.GateOpenCatch) == survey.Yes
	if in.falls = survey.Falls(r.Survey()); in.falls {
		in.footingBar = r.Choice(survey.GateFootingBar)
		if motor != survey.MotorNone {
			in.padOn = r.Choice(survey.GatePadOn)
		}
	}
	return in
}
