package drawing_test

import (
	"strings"
	"testing"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/storage/demo"
)

// The set-out plan of every demo site, whole and by the pad, as it was looked at
// and found right; and no figure of it lies over another or over the outline.
func TestSetOutDrawingsOfTheDemoSites(t *testing.T) {
	for _, site := range demo.Sites() {
		plan, err := engine.Design(site.Survey, practice.DefaultPractice())
		if err != nil {
			t.Fatal(err)
		}
		for _, detail := range []bool{false, true} {
			name := "set-out-" + strings.TrimLeft(site.ID[len(site.ID)-12:], "0")
			view := draw.Phone(390, 0)
			view.Mirror = plan.Mirrored()
			if detail {
				name += "-pad"
				view.Window = drawing.DetailWindow(&plan)
			}
			sheet, err := draw.Layout(drawing.SetOutScene(&plan, drawing.SceneOptions{Detail: detail}), view)
			if err != nil {
				t.Fatal(err)
			}
			for _, o := range draw.Overlaps(sheet) {
				t.Errorf("%s: %v", name, o)
			}
			got := draw.SVG(sheet, draw.Options{Standalone: true})
			enginetest.Golden(t, name+".svg", got)
		}
	}
}
