package drawing

import (
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
)

// PinMark is a photo or a note at its place.
type PinMark struct {
	At     geom.Point
	Number int
	Chosen bool
}

// PinsScene is the set-out plan without sizes, with the photos and notes where
// they are pinned.
func PinsScene(p *plan.Plan, pins []PinMark, o SceneOptions) *draw.Scene {
	o.Detail, o.Compact, o.Tape = false, true, ""
	s := SetOutScene(p, o)
	for i, pin := range pins {
		s.Add(draw.Peg{Tag: draw.Tag{ID: "pin." + strconv.Itoa(i), Role: draw.RoleTape, Voice: draw.VoiceMeasured},
			At: draw.Pt(pin.At.X, pin.At.Y), Number: pin.Number, Done: pin.Chosen})
	}
	return s
}
