package draw

import (
	"math"
	"testing"
)

func FuzzSVGText(f *testing.F) {
	f.Add("4000", "a.b")
	f.Add("<&>\"'\x00", "\xff")
	f.Fuzz(func(t *testing.T, text, id string) {
		if id == "" {
			id = "x"
		}
		s := &Scene{Title: text, Desc: id}
		s.Add(Dimension{Tag: Tag{ID: id, Field: text, Voice: VoiceAssumed}, From: Pt(0, 0), To: Pt(100, 0), Text: text},
			Leader{Tag: Tag{ID: id}, At: Pt(1, 2), Text: text})
		svg, err := Render(s, Phone(390, 200), Options{Screen: true, Standalone: true, Prefix: text, Highlight: id})
		if err != nil {
			t.Fatal(err)
		}
		parse(t, svg)
	})
}

func FuzzLayout(f *testing.F) {
	f.Add(0.0, 0.0, 100.0, 50.0, 390.0, 0.0, uint8(0))
	f.Add(-1e6, 1e-9, 1e6, 0.0, 1.0, 1000.0, uint8(7))
	f.Fuzz(func(t *testing.T, x1, y1, x2, y2, w, scale float64, k uint8) {
		s := &Scene{}
		s.Add(Region{Tag: Tag{ID: "r"}, Outer: Ring{{x1, y1}, {x2, y1}, {x2, y2}}, Hatch: Hatch(k % uint8(hatchCount))},
			Dimension{Tag: Tag{ID: "d"}, From: Pt(x1, y1), To: Pt(x2, y2), Direction: Direction(k % 3),
				Placing: Placing(k / 3 % 3), Text: "1"},
			AngleDimension{Tag: Tag{ID: "a"}, Vertex: Pt(x1, y1), From: Pt(x2, y2), To: Pt(x2, y1), Text: "2"},
			LevelMark{Tag: Tag{ID: "l"}, At: Pt(x2, y1), Text: "3"}, ScaleBar{Tag: Tag{ID: "s"}})
		sheet, err := Layout(s, View{Width: w, Scale: scale, Mirror: k > 100})
		if err != nil {
			return
		}
		for _, g := range sheet.Groups {
			for _, m := range g.Marks {
				for _, p := range m.Points {
					if math.IsNaN(p.X) || math.IsNaN(p.Y) || math.IsInf(p.X, 0) || math.IsInf(p.Y, 0) {
						t.Fatalf("%s lies at %v", g.ID, p)
					}
				}
			}
		}
	})
}
