package pdf

import (
	"fmt"
	"strings"
	"testing"

	"pegpour/engine/draw"
)

// A picture of materials has the colours on paper that it has by day on a screen, in the same
// order; its shadow darkens what it lies on, and what follows is opaque again.
func TestDrawingOfMaterials(t *testing.T) {
	paver := draw.Tag{ID: "drive", Role: draw.RoleThin, Material: draw.MaterialPavers}
	steel := draw.Tag{ID: "leaf", Role: draw.RoleThin, Material: draw.MaterialSteel}
	s := &draw.Scene{}
	s.Add(draw.Region{Tag: paver, Outer: draw.RectRing(0, 0, 5000, 4000), Hatch: draw.HatchPavers, Light: draw.LightFull},
		draw.Region{Tag: steel, Outer: draw.RectRing(1000, 1000, 2000, 1500), Light: draw.LightShadow, Open: true},
		draw.Region{Tag: steel, Outer: draw.RectRing(2000, 1000, 3000, 2500), Light: draw.LightHalf})
	d, err := New(Options{Created: day, Plain: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Drawing(s, DrawingPage{Orientation: Portrait, Ratio: 50}); err != nil {
		t.Fatal(err)
	}
	out, err := d.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	set := func(m draw.Material, l draw.Light, op string) string {
		c := m.DayColour(l)
		return fmt.Sprintf("%s %s %s %s\n", number(c[0]), number(c[1]), number(c[2]), op)
	}
	page := string(out)
	for _, want := range []string{set(draw.MaterialPavers, draw.LightFull, "rg"), "B*\n",
		set(draw.MaterialPavers, draw.LightShade, "RG"), set(draw.MaterialPavers, draw.LightNone, "RG"),
		"q /S gs\n", "h\nf\nQ\n", set(draw.MaterialSteel, draw.LightHalf, "rg"), "B*\n",
		set(draw.MaterialSteel, draw.LightNone, "RG")} {
		i := strings.Index(page, want)
		if i < 0 {
			t.Fatalf("%q does not follow", want)
		}
		page = page[i+len(want):]
	}
	if !strings.Contains(string(out), "/ca 0.3") {
		t.Error("the shadow is not let through")
	}
}

// number is a number as the page has it.
func number(v float64) string {
	d := &Document{}
	d.num(v)
	return strings.TrimSpace(string(d.buf))
}
