package engine_test

import (
	"testing"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage/demo"
)

// BenchmarkRedraw takes apart what the measure screen asks of the engine at a
// keystroke: the first part of the design, which its small drawing waits for,
// and the whole of it, which it does not; the scene of the drawing, the scene's
// place in the room there is, and the text of the picture.
func BenchmarkRedraw(b *testing.B) {
	p := practice.DefaultPractice()
	for _, site := range []struct {
		name string
		demo int
	}{{"square", 0}, {"angled", 1}, {"rising", 5}, {"falling", 6}} {
		measured := demo.Sites()[site.demo].Survey
		plan, err := engine.Design(measured, p)
		if err != nil {
			b.Fatal(err)
		}
		options := drawing.SceneOptions{Tape: survey.OpeningWidth}
		view := draw.Phone(390, 300)
		view.Mirror = plan.Mirrored()
		scene := drawing.SetOutScene(&plan, options)
		sheet, err := draw.Layout(scene, view)
		if err != nil {
			b.Fatal(err)
		}
		for _, step := range []struct {
			name string
			do   func()
		}{
			{"begin", func() { _, _ = engine.Begin(measured, p) }},
			{"design", func() { _, _ = engine.Design(measured, p) }},
			{"scene", func() { drawing.SetOutScene(&plan, options) }},
			{"layout", func() { _, _ = draw.Layout(scene, view) }},
			{"svg", func() {
				draw.SVG(sheet, draw.Options{Screen: true, Highlight: survey.OpeningWidth, Prefix: "drawing-small"})
			}},
		} {
			b.Run("site="+site.name+"/step="+step.name, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					step.do()
				}
			})
		}
	}
}
