package drawing

import (
	"pegpour/engine/draw"
	"pegpour/engine/draw/solid"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
)

// materialOf is what a part of the owner's views is made of.
func materialOf(p *plan.Plan, id string) draw.Material {
	switch id {
	case "drive":
		return surfaceMaterial(p.Site.Surface)
	case "poured", "wall":
		return draw.MaterialConcrete
	case "ground":
		return draw.MaterialGrass
	case "earth", "trunk":
		return draw.MaterialEarth
	case "tree":
		return draw.MaterialLeaves
	case "fence", "obstruction":
		return draw.MaterialWeathered
	case "leaf", "cladding":
		k := p.Leaf.Infill.Kind
		if id == "cladding" && (k == survey.InfillBattens || k == survey.InfillBoards) {
			return draw.MaterialTimber
		}
		return Coat(p.Leaf.Colour)
	case "track", "guide", "runner", "footing", "stop", "hub":
		return draw.MaterialZinc
	case "car":
		return draw.MaterialPaint
	case "glass":
		return draw.MaterialGlass
	case "wheel":
		return draw.MaterialRubber
	case "person":
		return draw.MaterialCloth
	}
	return draw.MaterialSteel
}

// Coat is what the leaf's metal looks like in a colour of the survey; where none was chosen,
// coated in a middling dark grey.
func Coat(colour string) draw.Material {
	switch colour {
	case survey.ColourBare:
		return draw.MaterialZinc
	case survey.ColourBlack:
		return draw.MaterialBlack
	case survey.ColourDarkGrey:
		return draw.MaterialDarkGrey
	case survey.ColourLightGrey:
		return draw.MaterialLightGrey
	case survey.ColourWhite:
		return draw.MaterialWhite
	case survey.ColourGreen:
		return draw.MaterialGreen
	case survey.ColourBrown:
		return draw.MaterialBrown
	}
	return draw.MaterialSteel
}

func surfaceMaterial(surface string) draw.Material {
	switch surface {
	case survey.SurfacePavers:
		return draw.MaterialPavers
	case survey.SurfaceBitumen:
		return draw.MaterialBitumen
	case survey.SurfaceGravel:
		return draw.MaterialGravel
	case survey.SurfaceEarth:
		return draw.MaterialEarth
	}
	return draw.MaterialConcrete
}

// surfaceHatch is the grain of the drive, where it has one that is seen.
func surfaceHatch(surface string) draw.Hatch {
	switch surface {
	case survey.SurfacePavers:
		return draw.HatchPavers
	case survey.SurfaceGravel:
		return draw.HatchGravel
	}
	return draw.HatchNone
}

func ownerTag(p *plan.Plan, id string) draw.Tag {
	return draw.Tag{ID: "owner." + id, Role: draw.RoleThin, Material: materialOf(p, id), Context: true}
}

// shadows lie on level ground, within what is shown of it.
func (v *ownerView) shadows() {
	low, high := v.plate()
	rings := solid.Shadow(v.throw(), v.camera.Sun(), low, high)
	for _, r := range rings {
		for i, q := range r {
			r[i] = v.camera.Project(solid.Point{X: q.X, Y: q.Y})
		}
	}
	if len(rings) > 0 {
		v.s.Add(draw.Region{Tag: v.tag("shadow"), Outer: rings[0], Holes: rings[1:], Light: draw.LightShadow, Open: true})
	}
}

// throw are the bodies whose shadows are seen.
func (v *ownerView) throw() []solid.Body {
	casters := v.casters
	for _, b := range v.bodies {
		switch b.Tag().ID {
		case "owner.person": // flat; one that faces the sun stands in for it
		case "owner.glass", "owner.wheel", "owner.hub", "owner.track": // within another's, or too low to be seen
		default:
			casters = append(casters, b)
		}
	}
	return casters
}

// plate is the level ground that is shown, as two corners of it.
func (v *ownerView) plate() (low, high draw.Point) {
	start, end := ownerExtent(v.p)
	if v.o.Figures {
		start -= personRoom
	}
	outer, inner := v.o.reach()
	return draw.Pt(start, -outer), draw.Pt(max(end, start+1), inner)
}
