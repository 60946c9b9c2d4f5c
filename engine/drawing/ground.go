package drawing

import (
	"pegpour/engine/draw"
	"pegpour/engine/plan"
)

// LayerGround holds the cavity and its wall on the plan, and the ground in the
// long section.
const LayerGround = "Ground"

// drawCavity draws the cavity and its wall on the plan.
func drawCavity(p *plan.Plan, s *draw.Scene, o *SceneOptions) {
	for i := range p.Outlines {
		u := &p.Outlines[i]
		switch u.Kind {
		case plan.PartCavity:
			s.Add(draw.Region{Tag: draw.Tag{ID: u.ID, Layer: LayerGround, Role: draw.RoleHidden}, Outer: ringOf(u.Ring),
				Hatch: draw.HatchNone})
		case plan.PartWall:
			s.Add(draw.Region{Tag: draw.Tag{ID: u.ID, Layer: LayerGround, Role: draw.RoleOutline}, Outer: ringOf(u.Ring),
				Hatch: draw.HatchEarth})
		}
	}
}
