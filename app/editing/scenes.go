package editing

import (
	"strconv"
	"strings"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/survey"
)

// PegTick is the tick of a peg that is set out.
func PegTick(number int) string { return "peg." + strconv.Itoa(number) }

// SceneOptions are those of every drawing of this site.
func (s *Site) SceneOptions(detail bool) drawing.SceneOptions {
	return drawing.SceneOptions{Write: s.WriteOnDrawing, Say: s.Say, Feet: s.Feet(), Detail: detail, Tape: s.Asked}
}

// ShowPegs puts the pegs on a drawing, and which of them are set out.
func (s *Site) ShowPegs(o *drawing.SceneOptions) {
	o.Pegs, o.Done = true, map[int]bool{}
	for _, p := range s.Plan().Pegs {
		if s.Doc.Ticks[PegTick(p.Number)] {
			o.Done[p.Number] = true
		}
	}
}

// DetailAsked reports whether the question is about the corner by the pad.
func (s *Site) DetailAsked() bool {
	asked, _ := s.askedOfSide()
	switch asked {
	case survey.DriveRunBackEdgeGiven, survey.DriveRunBackEdgeAlong, survey.DriveRunBackEdgeAngle, survey.GroundSoil,
		survey.GroundDepthToFirm,
		survey.GateCladding, survey.GateMotor, survey.GateOutlet, survey.GateCables, survey.GateGuide, survey.RunBackDepth, survey.OpeningPostRunBack,
		survey.OpeningPostDepth:
		return true
	}
	return false
}

// askedOfSide is the question as the run-back side has it, and whether it is about the
// side of the latch post.
func (s *Site) askedOfSide() (asked string, latch bool) {
	if like, ok := survey.OfLatchSide(s.Asked); ok {
		return like, true
	}
	return s.Asked, false
}

// atFence is how far out from the fence what is asked of posts and leaf lies, mm.
const atFence = 350

// WindowAsked is the part of the plan that the question is about; empty for all of it.
func (s *Site) WindowAsked() draw.Box {
	latch := strings.HasPrefix(s.Asked, survey.DriveLatchEdge)
	if strings.HasPrefix(s.Asked, survey.DriveRunBackEdgePoints) || latch && s.Asked != survey.DriveLatchEdgeGiven {
		return drawing.PointsWindow(s.Outlines(), latch)
	}
	if s.DetailAsked() {
		windows := drawing.DetailWindows(s.Outlines())
		box := windows[0]
		if _, latch := s.askedOfSide(); latch {
			box = windows[len(windows)-1]
		}
		switch s.Asked {
		case survey.DriveRunBackEdgeAlong, survey.GateCladding, survey.OpeningPostRunBack, survey.OpeningPostDepth:
			box.Max.Y = min(box.Max.Y, atFence)
		case survey.RunBackDepth:
			for _, line := range s.Outlines().Dimensions {
				if line.Path == s.Asked {
					box.Grow(draw.Pt(line.From.X, line.From.Y))
					box.Grow(draw.Pt(line.To.X, line.To.Y))
				}
			}
		}
		return box
	}
	return draw.Box{}
}
