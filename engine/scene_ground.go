package engine

import "pegpour/engine/draw"

// LayerGround holds the cavity and its wall on the plan, and the ground in the
// long section.
const LayerGround = "Ground"

// drawCavity draws the cavity and its wall on the plan.
func drawCavity(p *Plan, s *draw.Scene, o *SceneOptions) {
	for i := range p.Outlines {
		u := &p.Outlines[i]
		switch u.Kind {
		case PartCavity:
			s.Add(draw.Region{Tag: draw.Tag{ID: u.ID, Layer: LayerGround, Role: draw.RoleHidden}, Outer: ringOf(u.Ring), Hatch: draw.HatchNone})
		case PartWall:
			s.Add(draw.Region{Tag: draw.Tag{ID: u.ID, Layer: LayerGround, Role: draw.RoleOutline}, Outer: ringOf(u.Ring), Hatch: draw.HatchEarth})
		}
	}
}
