package ui

import (
	"slices"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// plainHatch is a pale fill for every hatch with strokes.
func plainHatch(h draw.Hatch) draw.Hatch {
	if h > draw.HatchPaper {
		return draw.HatchTint
	}
	return h
}

// SmallPlan is the small plan of a site in the list.
func SmallPlan(s survey.Survey, p practice.Practice, prefix string) string {
	sketch, _ := engine.Begin(s, p)
	plan := sketch.Plan()
	scene := drawing.SetOutScene(plan, drawing.SceneOptions{})
	Plain(scene)
	view := draw.Phone(300, 84)
	view.Mirror, view.NoDimensions, view.Hidden = plan.Mirrored(), true, []string{drawing.LayerSizes, drawing.LayerPegs}
	svg, err := draw.Render(scene, view, draw.Options{Screen: true, OnlyFields: true, Prefix: prefix, Class: "d-thumb"})
	if err != nil {
		return ""
	}
	return string(svg)
}

// Plain takes from a scene what is too small to read in a small picture: words, and
// hatches, which are noise there. It is not read out, and kept whatever the language.
func Plain(scene *draw.Scene) {
	scene.Title, scene.Desc = "", ""
	scene.Elements = slices.DeleteFunc(scene.Elements, func(e draw.Element) bool {
		switch e.(type) {
		case draw.Text, draw.Leader, draw.HandArrow, draw.ScaleBar:
			return true
		}
		return false
	})
	for i, e := range scene.Elements {
		switch e := e.(type) {
		case draw.Region:
			e.Hatch = plainHatch(e.Hatch)
			scene.Elements[i] = e
		case draw.Circle:
			e.Hatch = plainHatch(e.Hatch)
			scene.Elements[i] = e
		}
	}
}
