package draw

import "testing"

func TestNearestFindsTheFigureTapped(t *testing.T) {
	sheet := mustLayout(t, footing(), Phone(390, 300))
	taps := 0
	for _, g := range sheet.Groups {
		for _, m := range g.Marks {
			if m.Kind != MarkText {
				continue
			}
			taps++
			near := Point{m.Points[0].X + 2, m.Points[0].Y - 3}
			if got, ok := sheet.Nearest(near, 24, nil); !ok || got.ID != g.ID {
				t.Errorf("a tap on %s finds %v", g.ID, got)
			}
		}
	}
	if taps < 9 {
		t.Errorf("only %d figures tried", taps)
	}
	if g, ok := sheet.Nearest(Point{-500, -500}, 24, nil); ok {
		t.Errorf("a tap far off finds %s", g.ID)
	}
	fields := func(g *Group) bool { return g.Field != "" }
	if g, ok := sheet.Nearest(Point{195, 150}, 1000, fields); !ok || g.Field == "" {
		t.Error("no field found though one was asked for")
	}
}

func TestHatchStrokes(t *testing.T) {
	ring := [][]Point{{{10, 10}, {60, 10}, {60, 40}, {10, 40}}}
	for h := HatchConcrete; h <= HatchBitumen; h++ {
		strokes := HatchStrokes(ring, h, 3.5)
		if len(strokes) == 0 {
			t.Errorf("%s has no strokes", hatchNames[h])
		}
		tile := tilesByHatch[h]
		reach := Box{Point{10, 10}, Point{60, 40}}.Inset(-(tile.w + tile.h) * 3.5 / 16)
		for _, s := range strokes {
			for _, p := range s.Points {
				if !reach.Holds(p) {
					t.Fatalf("%s: stroke at %v is far from the area", hatchNames[h], p)
				}
			}
		}
	}
	for _, s := range parseTile(tilesByHatch[HatchGravel].path) {
		if n := len(s.Points); n != 13 || distance(s.Points[0], s.Points[n-1]) > 1e-9 {
			t.Errorf("a gravel ring does not close: %v", s.Points)
		}
	}
	if got := HatchStrokes(ring, HatchTint, 3.5); got != nil {
		t.Errorf("tint has strokes: %v", got)
	}
	if got := HatchStrokes([][]Point{{{0, 0}, {1e6, 0}, {1e6, 1e6}}}, HatchSteel, 3.5); got != nil {
		t.Error("an absurd area is hatched")
	}
}

func TestPaperTakesStandardRatio(t *testing.T) {
	sheet := mustLayout(t, footing(), View{Width: 180, Height: 232, Paper: true})
	if got := 1 / sheet.Scale; got != 50 || !sheet.Fits {
		t.Errorf("7.3 m on 180 mm is drawn 1:%g, fits %v; want 1:50", got, sheet.Fits)
	}
	sheet = mustLayout(t, footing(), PaperAt(180, 232, 20))
	if sheet.Fits {
		t.Error("7.3 m at 1:20 on 180 mm is said to fit")
	}
	if r := StandardRatios(); len(r) != 6 || r[0] != 10 || r[5] != 200 {
		t.Errorf("ratios %v", r)
	}
}
