package stages

import (
	"pegpour/engine/survey"
)

// leafInputs are what the leaf is to be, as Design uses it.
type leafInputs struct {
	Panels        int
	Driven        string
	Metal, Infill string
	colour        string
	LatchStop     bool
	OpenCatch     bool
	falls         bool
	footingBar    string
	padOn         string
	hangingInputs
}

// StopsShut reports whether a stop ends the way of the leaf that shuts: at the latch
// post, or in the drive where it meets another.
func (in *Inputs) StopsShut() bool { return in.LatchStop || in.Meets }

func resolveLeaf(r *survey.Reader, motor string) leafInputs {
	in := leafInputs{Panels: 1, Driven: survey.DrivenLast}
	if in.hangingInputs = resolveHanging(r); !in.Hangs {
		switch r.Choice(survey.GatePanels) {
		case survey.PanelsTwo:
			in.Panels = 2
		case survey.PanelsThree:
			in.Panels = 3
		}
	}
	if in.Panels > 1 && motor != survey.MotorNone {
		in.Driven = r.Choice(survey.GateDriven)
	}
	in.Metal = r.Choice(survey.GateMetal)
	in.Infill = r.Choice(survey.GateInfill)
	in.colour = r.Words(survey.GateColour)
	in.LatchStop = r.Survey().Meets == 0 && r.Choice(survey.GateLatchStop) == survey.Yes
	in.OpenCatch = r.Choice(survey.GateOpenCatch) == survey.Yes
	if in.falls = survey.Falls(r.Survey()); in.falls && !in.Hangs {
		in.footingBar = r.Choice(survey.GateFootingBar)
		if motor != survey.MotorNone {
			in.padOn = r.Choice(survey.GatePadOn)
		}
	}
	return in
}
