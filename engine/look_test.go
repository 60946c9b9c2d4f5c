package engine_test

import (
	"os"
	"strconv"
	"testing"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/storage/demo"
)

func TestLook(t *testing.T) {
	for i, d := range demo.Sites() {
		plan, err := engine.Design(d.Survey, engine.DefaultPractice())
		if err != nil {
			t.Fatal(err)
		}
		for _, detail := range []bool{false, true} {
			sc := engine.SetOutScene(&plan, engine.SceneOptions{Detail: detail})
			v := draw.Phone(390, 420)
			v.Mirror = plan.Mirrored()
			if detail {
				v.Window = plan.DetailWindow()
			}
			sheet, err := draw.Layout(sc, v)
			if err != nil {
				t.Fatal(err)
			}
			os.WriteFile("/tmp/look/p"+strconv.Itoa(i)+map[bool]string{true: "d"}[detail]+".svg", draw.SVG(sheet, draw.Options{Standalone: true}), 0o644)
		}
		for _, c := range plan.Checks {
			t.Log(i, c.Severity, c.Code, c.What.String())
		}
	}
}
