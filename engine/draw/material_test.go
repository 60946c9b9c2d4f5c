package draw

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

var litThemes = map[string]Colours{"day": Day, "night": Night, "sun": Sun}

func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	x, y := luminance(t, a), luminance(t, b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

// More light is brighter, by a step that is seen, in every theme and on every material.
func TestLightsAreSteps(t *testing.T) {
	for name, c := range litThemes {
		for m := MaterialNone + 1; m < materialCount; m++ {
			for l := LightLow; l <= LightFull; l++ {
				less, more := luminance(t, c.Lights.hex(m, l-1)), luminance(t, c.Lights.hex(m, l))
				if step := (more + 0.05) / (less + 0.05); step < 1.04 {
					t.Errorf("%s, %s: light %d is only %.2f times light %d", name, materials[m].name, l, step, l-1)
				}
			}
		}
	}
}

// The gate stands off everything it may stand before, and in full sun the edges of bright
// things stand off their areas as lines do from paper.
func TestMaterialContrast(t *testing.T) {
	for name, c := range litThemes {
		for _, ground := range []Material{MaterialConcrete, MaterialGravel, MaterialPavers, MaterialGrass} {
			if got := contrast(t, c.Lights.hex(MaterialSteel, LightHalf), c.Lights.hex(ground, LightFull)); got < 2 {
				t.Errorf("%s: steel before %s has a contrast of %.1f", name, materials[ground].name, got)
			}
			want := map[string]float64{"day": 3, "night": 1.9, "sun": 8}[name]
			if got := contrast(t, c.Lights.hex(ground, LightNone), c.Lights.hex(ground, LightFull)); got < want {
				t.Errorf("%s: the edge of %s has a contrast of %.1f, want %g", name, materials[ground].name, got, want)
			}
		}
		for _, body := range []Material{MaterialSteel, MaterialZinc, MaterialPaint, MaterialWeathered, MaterialBlack,
			MaterialDarkGrey, MaterialLightGrey, MaterialWhite, MaterialGreen, MaterialBrown} {
			// Whether by its area or by its edge, a body is seen on the paper.
			got := math.Max(contrast(t, c.Lights.hex(body, LightNone), c.Paper),
				contrast(t, c.Lights.hex(body, LightFull), c.Paper))
			if got < 4.5 {
				t.Errorf("%s: %s on the paper has a contrast of %.1f", name, materials[body].name, got)
			}
		}
	}
}

func litScene() *Scene {
	s := &Scene{Title: "picture"}
	ground := Tag{ID: "drive", Role: RoleThin, Material: MaterialPavers}
	s.Add(Region{Tag: ground, Outer: RectRing(0, 0, 900, 600), Hatch: HatchPavers, Light: LightFull},
		Region{Tag: Tag{ID: "shadow", Material: MaterialSteel}, Outer: RectRing(100, 100, 400, 300),
			Holes: []Ring{RectRing(200, 200, 500, 400)}, Light: LightShadow, Open: true})
	return s
}

// A file brings the colours of its materials, each class it uses has a rule, and the rules
// for a page colour the same classes; a drawing without materials carries none of it.
func TestSVGOfMaterials(t *testing.T) {
	svg := string(SVG(mustLayout(t, litScene(), Phone(390, 0)), Options{Standalone: true}))
	for _, want := range []string{`class="d d-screen d-lit"`, "d-m-pavers", `class="d-f d-4"`, `class="d-f d-5"`,
		".d-m-pavers .d-4{fill:" + Day.Lights.hex(MaterialPavers, LightFull)} {
		if !strings.Contains(svg, want) {
			t.Errorf("the file lacks %s", want)
		}
	}
	body := svg[strings.Index(svg, "</defs>"):]
	if area, grain := strings.Index(body, "d-f d-4"), strings.Index(body, "url(#d-pavers)"); area < 0 || grain < area {
		t.Errorf("the grain lies at %d, its material at %d", grain, area)
	}
	shadow := body[strings.Index(body, "d-f d-5"):]
	if shadow = shadow[:strings.Index(shadow, "/>")]; strings.Contains(shadow, "evenodd") || strings.Count(shadow, "M") != 2 {
		t.Errorf("the shadow is not the union of its two rings: %s", shadow)
	}
	plain := string(SVG(mustLayout(t, footing(), Phone(390, 0)), Options{Standalone: true}))
	for _, never := range []string{"d-lit", "d-m-"} {
		if strings.Contains(plain, never) {
			t.Errorf("a drawing without materials has %s", never)
		}
	}
	for name, c := range litThemes {
		sheet := MaterialTheme(c, "."+name+" ", 1.45)
		for m := MaterialNone + 1; m < materialCount; m++ {
			want := "." + name + " .d-m-" + materials[m].name + "{--d-e:" + c.Lights.hex(m, LightNone)
			if !strings.Contains(sheet, want) {
				t.Errorf("the sheet lacks %s", want)
			}
		}
		for l := LightShade; l <= LightShadow; l++ {
			if want := "." + name + " .d-lit .d-" + strconv.Itoa(int(l)) + "{fill:"; !strings.Contains(sheet, want) {
				t.Errorf("the sheet lacks %s", want)
			}
		}
		if !strings.Contains(sheet, "stroke-width:1.01px") {
			t.Error("edges are no heavier in the sun")
		}
	}
}

// A file has the rule of a coat where its picture has it, and else is as it was.
func TestCoatsOfAFile(t *testing.T) {
	s := litScene()
	for _, has := range []bool{false, true} {
		svg := string(SVG(mustLayout(t, s, Phone(390, 0)), Options{Standalone: true}))
		if strings.Contains(svg, ".d-m-green .d-4{fill:"+Day.Lights.hex(MaterialGreen, LightFull)) != has {
			t.Errorf("a picture with a green leaf, %v, has not the rules for it", has)
		}
		if strings.Contains(svg, ".d-m-white") || !strings.Contains(svg, ".d-m-leaves") {
			t.Error("a coat that is not there has a rule, or a material has none")
		}
		s.Add(Region{Tag: Tag{ID: "leaf", Role: RoleThin, Material: MaterialGreen}, Outer: RectRing(0, 0, 90, 60),
			Light: LightHalf})
	}
}

func TestRegionRefusesAnUnknownLight(t *testing.T) {
	for _, r := range []Region{{Light: lightCount}, {Tag: Tag{Material: materialCount}}} {
		r.ID, r.Outer = "area", RectRing(0, 0, 1, 1)
		if err := (&Scene{Elements: []Element{r}}).Validate(); err == nil {
			t.Errorf("%+v was taken", r)
		}
	}
}
