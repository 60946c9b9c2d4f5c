package engine

// leafWishes are what the leaf is to be, as Design uses it.
type leafWishes struct {
	panels        int
	driven        string
	metal, infill string
	latchStop     bool
	falls         bool
	footingBar    string
	padOn         string
}

func (r *resolver) leafWishes() {
	in := r.in
	in.panels = 1
	switch r.choice("gate.panels") {
	case PanelsTwo:
		in.panels = 2
	case PanelsThree:
		in.panels = 3
	}
	in.driven = DrivenLast
	if in.panels > 1 && in.motor != MotorNone {
		in.driven = r.choice("gate.driven")
	}
	in.metal = r.choice("gate.metal")
	in.infill = r.choice("gate.infill")
	in.latchStop = r.choice("gate.latchStop") == Yes
	if in.falls = falls(r.survey); in.falls {
		in.footingBar = r.choice("gate.footingBar")
		if in.motor != MotorNone {
			in.padOn = r.choice("gate.padOn")
		}
	}
}
