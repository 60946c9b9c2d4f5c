package engine

import "pegpour/engine/geom"

// inputs are the survey's values as Design uses them: each one measured, or
// assumed and listed as such.
type inputs struct {
	width, postLatch, postRunBack, postDepth float64
	hand, seenFrom                           string

	surface, paverBase, paverMethod string
	concreteSound                   bool
	paverThickness                  float64
	runBackEdge, latchEdge          geom.Edge
	taped                           []tapedAt // every taped point of the edges
	edgeSquare                      bool      // the run-back edge is square to the fence
	edgeAngle                       float64

	room, depth           float64
	roomKnown, depthKnown bool

	soil        string
	soilClass   string
	soilKnown   bool
	depthToFirm float64

	height, cladding     float64
	motor, outlet, guide string
	cables, hardStop     bool
	leafWishes
	assumed      []Assumption
	assumedPaths map[string]bool
	refused      Refusals
}

// resolver reads fields out of a survey, notes what was assumed and what was
// refused, and hands on values that are safe to compute with.
type resolver struct {
	survey   *Survey
	practice *Practice
	in       *inputs
}

// number returns the field's value, or the assumed one; known is false where
// neither is there.
func (r *resolver) number(path string) (v float64, known bool) {
	f, ok := FieldAt(path)
	if !ok {
		return 0, false
	}
	value := f.Value(r.survey)
	if e := f.checkValue(value); e != nil {
		r.in.refused = append(r.in.refused, *e)
	} else if value.Known() {
		return value.Size, true
	}
	v, known = f.Assumed(r.survey, r.practice)
	r.assume(Assumption{Path: path, Name: f.Name, Dimension: f.Dimension, Value: v, Unknown: !known})
	return v, known
}

func (r *resolver) assume(a Assumption) {
	r.in.assumed = append(r.in.assumed, a)
	r.in.assumedPaths[a.Path] = true
}

// choice returns the field's choice, or the assumed one.
func (r *resolver) choice(path string) string {
	f, ok := FieldAt(path)
	if !ok {
		return ""
	}
	w := f.Words(r.survey)
	if e := f.checkWords(w); e != nil {
		r.in.refused = append(r.in.refused, *e)
		w = ""
	}
	if w != "" {
		return w
	}
	first := f.Options[0]
	r.assume(Assumption{Path: path, Name: f.Name, Dimension: Choice, Words: first.Words})
	return first.Value
}

// words only checks a text field.
func (r *resolver) words(path string) {
	if f, ok := FieldAt(path); ok {
		if e := f.checkWords(f.Words(r.survey)); e != nil {
			r.in.refused = append(r.in.refused, *e)
		}
	}
}

// resolve reads the survey.
func resolve(s *Survey, p *Practice) inputs {
	in := inputs{assumed: make([]Assumption, 0, 8), assumedPaths: make(map[string]bool, 8)}
	r := &resolver{survey: s, practice: p, in: &in}

	for _, path := range [...]string{"site.name", "site.address", "site.client", "site.phone", "site.measuredBy", "site.measuredOn", "site.notes"} {
		r.words(path)
	}
	in.width, _ = r.number("opening.width")
	in.hand = r.choice("opening.hand")
	in.seenFrom = r.choice("opening.seenFrom")
	in.postRunBack, _ = r.number("opening.postRunBack")
	in.postLatch, _ = r.number("opening.postLatch")
	in.postDepth, _ = r.number("opening.postDepth")

	in.surface = r.choice("drive.surface")
	in.concreteSound = true
	switch in.surface {
	case SurfaceConcrete:
		in.concreteSound = r.choice("drive.concreteSound") == Yes
	case SurfacePavers:
		in.paverBase = r.choice("drive.paverBase")
		if in.paverBase != PaverOnConcrete {
			in.paverMethod = r.choice("drive.paverMethod")
			if in.paverMethod == PaverOver {
				in.paverThickness, _ = r.number("drive.paverThickness")
			}
		}
	}
	in.runBackEdge, in.edgeSquare = r.edge("drive.runBackEdge", &s.Drive.RunBackEdge, in.width)
	in.latchEdge, _ = r.edge("drive.latchEdge", &s.Drive.LatchEdge, 0)
	in.edgeAngle = edgeAngle(in.runBackEdge)

	in.room, in.roomKnown = r.number("runBack.room")
	in.depth, in.depthKnown = r.number("runBack.depth")

	in.soil = r.choice("ground.soil")
	in.soilKnown = !in.assumedPaths["ground.soil"]
	r.soilClass()
	if in.soil == SoilSoft || in.soil == SoilWet {
		in.depthToFirm, _ = r.number("ground.depthToFirm")
	}

	in.height, _ = r.number("gate.height")
	in.cladding, _ = r.number("gate.cladding")
	in.motor = r.choice("gate.motor")
	if in.motor == MotorPlugIn {
		in.outlet = r.choice("gate.outlet")
	}
	if in.motor != MotorNone {
		in.cables = r.choice("gate.cables") == Yes
	}
	in.guide = r.choice("gate.guide")
	in.hardStop = r.choice("gate.hardStop") == Yes
	r.leafWishes()
	return in
}
