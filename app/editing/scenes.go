package editing

import (
	"strconv"

	"pegpour/engine"
	"pegpour/engine/draw"
)

// PegTick is the tick of a peg that is set out.
func PegTick(number int) string { return "peg." + strconv.Itoa(number) }

// SceneOptions are those of every drawing of this site.
func (s *Site) SceneOptions(detail bool) engine.SceneOptions {
	return engine.SceneOptions{Write: s.WriteOnDrawing, Say: s.Say, Detail: detail, Tape: s.Asked}
}

// ShowPegs puts the pegs on a drawing, and which of them are set out.
func (s *Site) ShowPegs(o *engine.SceneOptions) {
	o.Pegs, o.Done = true, map[int]bool{}
	for _, p := range s.Plan().Pegs {
		if s.Doc.Ticks[PegTick(p.Number)] {
			o.Done[p.Number] = true
		}
	}
}

// DetailAsked reports whether the question is about the corner by the pad.
func (s *Site) DetailAsked() bool {
	switch s.Asked {
	case "drive.runBackEdge.given", "drive.runBackEdge.along", "drive.runBackEdge.angle", "ground.soil",
		"ground.depthToFirm",
		"gate.cladding", "gate.motor", "gate.outlet", "gate.cables", "gate.guide", "runBack.depth", "opening.postRunBack",
		"opening.postDepth":
		return true
	}
	return len(s.Asked) > 24 && s.Asked[:24] == "drive.runBackEdge.points"
}

// WindowAsked is the part of the plan that the question is about; empty for all of it.
func (s *Site) WindowAsked() draw.Box {
	if s.DetailAsked() {
		return s.Outlines().DetailWindow()
	}
	return draw.Box{}
}
