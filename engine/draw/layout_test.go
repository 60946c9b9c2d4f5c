package draw

import (
	"errors"
	"math"
	"math/rand"
	"strconv"
	"testing"
)

// footing is an L-shaped footing in plan with eight dimensions, as it comes
// from a set-out.
func footing() *Scene {
	s := &Scene{Title: "Footing plan",
		Desc: "An L-shaped footing 7200 long with a motor pad of 900 by 700 behind the run-back post."}
	s.Add(
		Region{Tag: Tag{ID: "driveway", Layer: "existing", Role: RoleExisting, Context: true},
			Outer: Ring{{150, -900}, {3750, -900}, {3900, 1500}, {300, 1500}}, Hatch: HatchPavers},
		Region{Tag: Tag{ID: "outline.strip", Layer: "concrete", Role: RoleCut},
			Outer: Ring{{0, 0}, {7200, 0}, {7200, 400}, {5100, 400}, {5100, 1100}, {4200, 1100}, {4200, 400}, {0, 400}},
			Hatch: HatchConcrete},
		Line{Tag: Tag{ID: "track", Layer: "gate", Role: RoleCentre}, From: Pt(100, 200), To: Pt(7100, 200)},
		Region{Tag: Tag{ID: "post.latch", Layer: "existing", Role: RoleExisting}, Outer: RectRing(-100, -100, 0, 0),
			Hatch: HatchSteel},
		Region{Tag: Tag{ID: "post.runback", Layer: "existing", Role: RoleExisting},
			Outer: RectRing(4000, -100, 4100, 0), Hatch: HatchSteel},
		Dimension{Tag: Tag{ID: "dim.opening", Field: "opening.width", Voice: VoiceMeasured}, From: Pt(0, 0),
			To: Pt(4000, 0), Side: Below, Text: "4000"},
		Dimension{Tag: Tag{ID: "dim.length", Voice: VoiceWorkedOut}, From: Pt(0, 0), To: Pt(7200, 0), Side: Below,
			Text: "7200"},
		Dimension{Tag: Tag{ID: "dim.width", Voice: VoiceAssumed, Field: "practice.strip.width"}, From: Pt(7200, 0),
			To: Pt(7200, 400), Side: Right, Text: "400"},
		Dimension{Tag: Tag{ID: "dim.depth", Voice: VoiceWorkedOut}, From: Pt(7200, 0), To: Pt(5100, 1100),
			Direction: Vertical, Side: Right, Text: "1100"},
		Dimension{Tag: Tag{ID: "dim.toPad", Voice: VoiceWorkedOut}, From: Pt(0, 400), To: Pt(4200, 1100),
			Direction: Horizontal, Side: Above, Text: "4200"},
		Dimension{Tag: Tag{ID: "dim.pad", Voice: VoiceWorkedOut}, From: Pt(4200, 1100), To: Pt(5100, 1100), Side: Above,
			Text: "900"},
		Dimension{Tag: Tag{ID: "dim.rest", Voice: VoiceWorkedOut}, From: Pt(5100, 1100), To: Pt(7200, 400),
			Direction: Horizontal, Side: Above, Text: "2100"},
		Dimension{Tag: Tag{ID: "dim.post", Voice: VoiceMeasured, Field: "posts.size"}, From: Pt(-100, -100),
			To: Pt(-100, 0), Side: Left, Text: "100"},
		Text{Tag: Tag{ID: "label.pad"}, At: Pt(4650, 700), Text: "Pad"},
	)
	return s
}

func mustLayout(t testing.TB, s *Scene, v View) *Sheet {
	t.Helper()
	sheet, err := Layout(s, v)
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

func wantNoOverlap(t *testing.T, sheet *Sheet) {
	t.Helper()
	for _, o := range Overlaps(sheet) {
		t.Errorf("%s: %q and %q at %.1f, %.1f", o.What, o.A, o.B, o.At.X, o.At.Y)
	}
}

// crowded has everything in it: chains of small figures, pegs, levels, notes,
// angles, radii and slanting dimensions.
func crowded() *Scene {
	s := footing()
	for i, at := range []Point{{0, 0}, {7200, 0}, {7200, 400}, {5100, 1100}, {4200, 1100}, {4200, 400}} {
		s.Add(Peg{Tag: Tag{ID: "peg." + strconv.Itoa(i+1), Layer: "pegs"}, At: at, Number: i + 1})
	}
	s.Add(
		Dimension{Tag: Tag{ID: "dim.diagonal", Voice: VoiceMeasured}, From: Pt(0, 0), To: Pt(5100, 1100),
			Placing: Through, Text: "5217"},
		Dimension{Tag: Tag{ID: "dim.slant", Voice: VoiceWorkedOut}, From: Pt(4200, 400), To: Pt(5100, 1100),
			Text: "1140"},
		AngleDimension{Tag: Tag{ID: "angle.drive", Voice: VoiceMeasured, Field: "drive.angle"}, Vertex: Pt(3750, -900),
			From: Pt(3900, 1500), To: Pt(150, -900), Text: "86.4°"},
		Circle{Tag: Tag{ID: "hole", Role: RoleHidden}, Centre: Pt(6500, 200), Radius: 150, Hatch: HatchConcrete},
		RadiusDimension{Tag: Tag{ID: "radius.hole", Voice: VoiceAssumed}, Centre: Pt(6500, 200),
			OnArc: Pt(6500+106, 200+106), Text: "150"},
		Leader{Tag: Tag{ID: "note.track"}, At: Pt(6000, 200), Text: "Track line, 200 off the posts"},
		LevelMark{Tag: Tag{ID: "level.pad", Voice: VoiceWorkedOut}, At: Pt(4400, 900), InPlan: true, Text: "+0.125"},
		LevelMark{Tag: Tag{ID: "level.drive", Voice: VoiceAssumed}, At: Pt(2000, -500), InPlan: true, Text: "0.000"},
		HandArrow{Tag: Tag{ID: "hand", Role: RoleMotion}, From: Pt(1000, 700), To: Pt(2800, 700),
			Text: "Opens this way"},
		ScaleBar{Tag: Tag{ID: "scale"}},
		NorthArrow{Tag: Tag{ID: "north"}, Angle: 2},
		Grid{Tag: Tag{ID: "grid"}, Step: 1000},
	)
	x := 0.0
	for i, w := range []float64{120, 1800, 90, 60, 1500, 110, 3000} {
		s.Add(Dimension{Tag: Tag{ID: "chain." + strconv.Itoa(i), Voice: Voice(i % 4)}, From: Pt(x, 0), To: Pt(x+w, 0),
			Side: Below, Text: strconv.Itoa(int(w))})
		x += w
	}
	return s
}

func section() *Scene {
	s := &Scene{Title: "Section through pad", Desc: "Pad 350 thick on 50 of gravel."}
	s.Add(
		Region{Tag: Tag{ID: "earth", Role: RoleGround, Context: true},
			Outer: Ring{{-400, -800}, {1400, -800}, {1400, 40}, {900, 20}, {900, -400}, {0, -400}, {0, 0}, {-400, -20}},
			Hatch: HatchEarth},
		Region{Tag: Tag{ID: "gravel", Role: RoleThin}, Outer: RectRing(0, -400, 900, -350), Hatch: HatchGravel},
		Region{Tag: Tag{ID: "pad", Role: RoleCut}, Outer: RectRing(0, -350, 900, 30), Hatch: HatchConcrete},
		Dimension{Tag: Tag{ID: "dim.thick", Voice: VoiceWorkedOut}, From: Pt(0, -350), To: Pt(0, 30), Side: Left,
			Text: "380"},
		Dimension{Tag: Tag{ID: "dim.bed", Voice: VoiceAssumed}, From: Pt(0, -400), To: Pt(0, -350), Side: Left,
			Text: "50"},
		Dimension{Tag: Tag{ID: "dim.wide", Voice: VoiceWorkedOut}, From: Pt(0, -400), To: Pt(900, -400), Side: Below,
			Text: "900"},
		LevelMark{Tag: Tag{ID: "level.top", Voice: VoiceWorkedOut}, At: Pt(450, 30), Text: "+0.030"},
		LevelMark{Tag: Tag{ID: "level.ground", Voice: VoiceMeasured}, At: Pt(1200, 33), Text: "+0.033"},
		LevelMark{Tag: Tag{ID: "level.form", Voice: VoiceWorkedOut}, At: Pt(700, -400), Text: "-0.400"},
	)
	return s
}

var handMade = map[string]func() *Scene{"footing": footing, "crowded": crowded, "section": section}

func TestLayoutHandMadeScenesDoNotOverlap(t *testing.T) {
	for name, scene := range handMade {
		for _, v := range []View{Phone(390, 420), Phone(360, 0), Phone(390, 420).mirrored(), Phone(390, 640).turned(),
			Phone(390, 640).mirrored().turned(), Phone(1200, 700), {Width: 180, Height: 240, Paper: true},
			PaperAt(277, 180, 50), PaperAt(180, 200, 20)} {
			t.Run(name+"/"+strconv.Itoa(int(v.Width)), func(t *testing.T) {
				sheet := mustLayout(t, scene(), v)
				wantNoOverlap(t, sheet)
				wantEveryText(t, scene(), sheet)
			})
		}
	}
}

func (v View) mirrored() View { v.Mirror = true; return v }
func (v View) turned() View   { v.Turn = true; return v }

// wantEveryText holds the layout to setting every figure once.
func wantEveryText(t *testing.T, s *Scene, sheet *Sheet) {
	t.Helper()
	set := map[string]int{}
	for _, g := range sheet.Groups {
		for _, m := range g.Marks {
			if m.Kind == MarkText {
				set[g.ID]++
			}
		}
	}
	for _, e := range s.Elements {
		if d, ok := e.(Dimension); ok && d.Text != "" && set[d.ID] != 1 {
			t.Errorf("dimension %s has its figure %d times", d.ID, set[d.ID])
		}
	}
}

// randomScene makes a footing-like drawing with anything on it.
func randomScene(seed int64) *Scene {
	r := rand.New(rand.NewSource(seed))
	s := &Scene{Title: "Random", Desc: "seed " + strconv.FormatInt(seed, 10)}
	length, width := 2000+r.Float64()*9000, 300+r.Float64()*400
	padX, padW, padD := r.Float64()*length*0.7, 300+r.Float64()*1200, width+r.Float64()*1200
	outline := Ring{{0, 0}, {length, 0}, {length, width}, {padX + padW, width}, {padX + padW, padD}, {padX, padD},
		{padX, width}, {0, width}}
	s.Add(Region{Tag: Tag{ID: "outline", Role: RoleCut}, Outer: outline, Hatch: HatchConcrete})
	if r.Intn(2) == 0 {
		s.Add(Polyline{Tag: Tag{ID: "drive", Role: RoleExisting, Context: r.Intn(2) == 0},
			Points: []Point{{length * r.Float64(), -1500}, {length * r.Float64(), 2000}}})
	}
	vertex := func() Point { return outline[r.Intn(len(outline))] }
	for i := range 3 + r.Intn(14) {
		a, b := vertex(), vertex()
		if a == b {
			b.X += 50
		}
		d := Dimension{Tag: Tag{ID: "d" + strconv.Itoa(i), Voice: Voice(r.Intn(4))}, From: a, To: b,
			Direction: Direction(r.Intn(3)), Side: Side(r.Intn(5)), Text: strconv.Itoa(r.Intn(12000))}
		if r.Intn(6) == 0 {
			d.Placing = Placing(r.Intn(3))
		}
		s.Add(d)
	}
	for i := range r.Intn(6) {
		s.Add(Peg{Tag: Tag{ID: "p" + strconv.Itoa(i)}, At: vertex(), Number: i + 1})
	}
	for i := range r.Intn(5) {
		at := Pt(r.Float64()*length, r.Float64()*padD)
		id := "n" + strconv.Itoa(i)
		switch r.Intn(4) {
		case 0:
			s.Add(Leader{Tag: Tag{ID: id}, At: at, Text: "Note that is somewhat long to set", Side: Side(r.Intn(5))})
		case 1:
			s.Add(Text{Tag: Tag{ID: id}, At: at, Text: "Label"})
		case 2:
			s.Add(LevelMark{Tag: Tag{ID: id, Voice: VoiceMeasured}, At: at, Text: "+12.345", InPlan: r.Intn(2) == 0})
		case 3:
			s.Add(AngleDimension{Tag: Tag{ID: id, Voice: VoiceAssumed}, Vertex: Pt(padX, width), From: at,
				To: Pt(padX, padD+10), Text: "87.5°"})
		}
	}
	return s
}

func TestLayoutRandomScenesDoNotOverlap(t *testing.T) {
	for seed := range int64(200) {
		s := randomScene(seed)
		for _, v := range []View{Phone(390, 420), {Width: 180, Height: 240, Paper: true}} {
			v.Mirror, v.Turn = seed%2 == 1, seed%3 == 0
			sheet := mustLayout(t, s, v)
			for _, o := range Overlaps(sheet) {
				t.Errorf("seed %d, width %g: %s: %q and %q", seed, v.Width, o.What, o.A, o.B)
			}
			wantEveryText(t, s, sheet)
		}
	}
}

// The check itself must see what it is there for.
func TestOverlapsSeesOverlaps(t *testing.T) {
	s := footing()
	s.Add(Text{Tag: Tag{ID: "bad"}, At: Pt(0, 0), Text: "across the corner", Fixed: true})
	sheet := mustLayout(t, s, Phone(390, 420))
	if len(Overlaps(sheet)) == 0 {
		t.Error("a fixed text across the outline is not seen")
	}
	sheet = mustLayout(t, footing(), Phone(390, 420))
	for gi := range sheet.Groups {
		if sheet.Groups[gi].ID == "dim.opening" {
			for mi := range sheet.Groups[gi].Marks {
				shift(sheet.Groups[gi].Marks[mi].Points, 30, -60)
			}
		}
	}
	if len(Overlaps(sheet)) == 0 {
		t.Error("a dimension shifted onto the outline is not seen")
	}
}

func TestLayoutMirrorIsAnInvolutionOfShapes(t *testing.T) {
	plain := mustLayout(t, footing(), PaperAt(280, 200, 50))
	turned := mustLayout(t, footing(), View{Width: 280, Height: 200, Paper: true, Scale: 0.02, Mirror: true})
	for _, m := range []Point{{0, 0}, {7200, 400}, {-100, -100}} {
		a, b := plain.ToSheet(m), turned.ToSheet(m)
		if math.Abs((a.X-plain.Origin.X)+(b.X-turned.Origin.X)) > 1e-9 ||
			math.Abs((a.Y-plain.Origin.Y)-(b.Y-turned.Origin.Y)) > 1e-9 {
			t.Errorf("model %v lies at %v and %v", m, a, b)
		}
		if back := turned.ToModel(b); distance(back, m) > 1e-6 {
			t.Errorf("mirror: %v comes back as %v", m, back)
		}
	}
}

// A turned sheet maps points to and fro, and turns a dimension along x into a
// column that reads from the right.
func TestLayoutTurn(t *testing.T) {
	for _, v := range []View{Phone(390, 640).turned(), Phone(390, 640).mirrored().turned()} {
		sheet := mustLayout(t, footing(), v)
		for _, m := range []Point{{0, 0}, {7200, 400}, {-100, -100}} {
			if back := sheet.ToModel(sheet.ToSheet(m)); distance(back, m) > 1e-6 {
				t.Errorf("%v comes back as %v", m, back)
			}
		}
		a, b := sheet.ToSheet(Pt(0, 0)), sheet.ToSheet(Pt(7200, 0))
		if math.Abs(a.X-b.X) > 1e-9 || (b.Y < a.Y) == v.Mirror {
			t.Errorf("x runs from %v to %v", a, b)
		}
		plain := mustLayout(t, footing(), Phone(390, 640))
		if sheet.Scale < 1.3*plain.Scale {
			t.Errorf("turned scale %g, plain %g: nothing gained", sheet.Scale, plain.Scale)
		}
		for _, g := range sheet.Groups {
			for _, m := range g.Marks {
				if g.ID == "dim.length" && m.Kind == MarkText && math.Abs(m.Angle-math.Pi/2) > 1e-9 {
					t.Errorf("figure along the sheet's height is turned by %g", m.Angle)
				}
				if g.ID == "outline.strip" && m.Part == PartEdge {
					if got := m.Points[0]; distance(got, a) > 1e-9 {
						t.Errorf("outline starts at %v, its corner is mapped to %v", got, a)
					}
				}
			}
		}
	}
}

func TestLayoutScaleIsKept(t *testing.T) {
	sheet := mustLayout(t, footing(), PaperAt(280, 200, 50))
	a, b := sheet.ToSheet(Pt(0, 0)), sheet.ToSheet(Pt(7200, 0))
	if got := distance(a, b); math.Abs(got-144) > 1e-9 {
		t.Errorf("7200 mm at 1:50 are %g mm on paper, want 144", got)
	}
}

func TestLayoutDeterministic(t *testing.T) {
	first := string(SVG(mustLayout(t, crowded(), Phone(390, 420)), Options{}))
	for range 5 {
		if string(SVG(mustLayout(t, crowded(), Phone(390, 420)), Options{})) != first {
			t.Fatal("two layouts of one scene differ")
		}
	}
}

func TestLayoutRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	ok := Tag{ID: "x"}
	for name, e := range map[string]Element{
		"no ID":            Line{From: Pt(0, 0), To: Pt(1, 1)},
		"NaN":              Line{Tag: ok, From: Pt(nan, 0)},
		"Inf":              Dimension{Tag: ok, From: Pt(0, inf)},
		"beyond 10 km":     Text{Tag: ok, At: Pt(1.1e7, 0)},
		"radius 0":         Circle{Tag: ok},
		"two-point region": Region{Tag: ok, Outer: Ring{{0, 0}, {1, 1}}},
		"unknown hatch":    Region{Tag: ok, Outer: RectRing(0, 0, 1, 1), Hatch: 99},
		"unknown role":     Line{Tag: Tag{ID: "x", Role: 99}},
		"nil":              nil,
		"grid 0":           Grid{Tag: ok},
		"angle at a point": AngleDimension{Tag: ok},
	} {
		_, err := Layout(&Scene{Elements: []Element{e}}, Phone(390, 400))
		var bad *ElementError
		if !errors.As(err, &bad) || !errors.Is(err, ErrElement) {
			t.Errorf("%s: got %v, want an ElementError", name, err)
		}
	}
	for _, v := range []View{{}, {Width: nan}, {Width: -1}, {Width: 10, Scale: inf}, {Width: 10, Height: nan},
		{Width: 1e9}} {
		if _, err := Layout(footing(), v); !errors.Is(err, ErrView) {
			t.Errorf("view %+v: got %v, want ErrView", v, err)
		}
	}
	if _, err := Layout(&Scene{}, Phone(390, 400)); err != nil {
		t.Errorf("empty scene: %v", err)
	}
}
