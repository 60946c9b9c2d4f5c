package engine_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/storage/demo"
)

var updateSetOut = flag.Bool("update-set-out", false, "write the golden set-out drawings anew")

// The set-out plan of every demo site, whole and by the pad, as it was looked at
// and found right; and no figure of it lies over another or over the outline.
func TestSetOutDrawingsOfTheDemoSites(t *testing.T) {
	for _, site := range demo.Sites() {
		plan, err := engine.Design(site.Survey, engine.DefaultPractice())
		if err != nil {
			t.Fatal(err)
		}
		for _, detail := range []bool{false, true} {
			name := "set-out-" + strings.TrimLeft(site.ID[len(site.ID)-12:], "0")
			view := draw.Phone(390, 0)
			view.Mirror = plan.Mirrored()
			if detail {
				name += "-pad"
				view.Window = engine.DetailWindow(&plan)
			}
			sheet, err := draw.Layout(engine.SetOutScene(&plan, engine.SceneOptions{Detail: detail}), view)
			if err != nil {
				t.Fatal(err)
			}
			for _, o := range draw.Overlaps(sheet) {
				t.Errorf("%s: %v", name, o)
			}
			got := draw.SVG(sheet, draw.Options{Standalone: true})
			file := filepath.Join("..", "testdata", "drawings", name+".svg")
			if *updateSetOut {
				if err := os.WriteFile(file, got, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if string(want) != string(got) {
				t.Errorf("%s is drawn otherwise: look at it, and run go test ./engine -run SetOut -update-set-out", file)
			}
		}
	}
}
