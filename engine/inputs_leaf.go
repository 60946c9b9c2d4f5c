package engine

// leafWishes are what the leaf is to be, as Design uses it.
type leafWishes struct {
	panels        int
	driven        string
	metal, infill string
	latchStop     bool
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
}
