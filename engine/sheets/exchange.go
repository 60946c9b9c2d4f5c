package sheets

import (
	"pegpour/engine/draw"
	"pegpour/engine/draw/dxf"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
)

// The scales that the lettering of drawings in true size is made for, its size there
// (capitals 2.5 mm high), and how far drawings stand apart, mm of paper.
const (
	trueRatio = 25.0
	trueText  = 3.6
	trueGap   = 30.0
)

// Exchange is the site's drawings in one DXF file in true size, mm: the set-out plan
// with its pegs at zero, which is the inner face of the latch post at the back of the
// posts, and below it the long section, the leaf, the footing, and the cross sections in
// a row. It asks for no survey and no date. Errors: ErrIssue, or one of draw.Layout.
func Exchange(i Issue) ([]byte, error) {
	if i.Plan == nil || i.Practice == nil {
		return nil, ErrIssue
	}
	e := exchange{}
	e.add("", i.wholePlan(), i.Plan.Mirrored())
	o := i.scene()
	o.TrueSize = true
	for _, side := range i.Plan.Sides() {
		turned := side.Mirrored()
		e.add("SECTION", i.sided(&side, drawing.SectionScene(side.Plan, o)), turned)
		e.add("LEAF", i.sided(&side, drawing.LeafScene(side.Plan, o)), turned)
		e.add("FOOTING", i.sided(&side, drawing.FallingScene(side.Plan, o)), turned)
	}
	for _, side := range i.Plan.Sides() {
		for _, cut := range drawing.CrossSections(side.Plan) {
			e.beside("CROSS", 2, i.sided(&side, drawing.CrossSectionScene(side.Plan, i.Practice, cut, o)))
		}
	}
	if e.failed != nil {
		return nil, e.failed
	}
	return dxf.Write(e.all, i.say("In millimetres, in true size."),
		i.say("Zero is the inner face of the latch post, at the back of the posts; y runs into the property."),
		i.say("A drawing sets nothing out by itself: check by the tapes and diagonals of the pegs.")), nil
}

// wholePlan is the set-out plan with all its sizes, those of the corner by the pad too.
func (i *Issue) wholePlan() *draw.Scene {
	o := i.scene()
	o.Pegs = true
	whole := drawing.SetOutScene(i.Plan, o)
	o.Detail = true
	there := map[string]bool{}
	for _, e := range whole.Elements {
		there[draw.TagOf(e).ID] = true
	}
	for _, e := range drawing.SetOutScene(i.Plan, o).Elements {
		if !there[draw.TagOf(e).ID] {
			whole.Add(e)
		}
	}
	if i.Plan.Pair == nil { // of two leaves each side has sections in a frame of its own
		whole.Add(drawing.SectionMarks(i.Plan, drawing.CrossSections(i.Plan), o)...)
	}
	return whole
}

// sided is a drawing with its side in the title, where two leaves meet.
func (i *Issue) sided(side *plan.Side, s *draw.Scene) *draw.Scene {
	if s != nil && side.Name != "" {
		s.Title = i.fill("{0}, {1}", s.Title, i.name(side.Name))
	}
	return s
}

// exchange collects drawings: one below the other, and at the foot a row.
type exchange struct {
	all          []dxf.Drawing
	left, bottom float64 // where the next one begins
	row          float64 // how far the row goes, beyond left
	failed       error
}

// add puts a drawing below those before; nil is none.
func (e *exchange) add(name string, s *draw.Scene, mirror bool) {
	d := e.laid(name, s, mirror)
	if d == nil {
		return
	}
	_, high := d.Size()
	if len(e.all) == 0 {
		e.left, e.bottom = -d.Sheet.Origin.X*trueRatio, d.Sheet.Origin.Y*trueRatio
	} else {
		d.Under(e.left, e.bottom)
	}
	e.bottom -= high + trueGap*trueRatio
	e.all = append(e.all, *d)
}

// beside puts a drawing into the row.
func (e *exchange) beside(name string, skip int, s *draw.Scene) {
	d := e.laid(name, s, false)
	if d == nil {
		return
	}
	d.Skip = skip
	d.Under(e.left+e.row, e.bottom)
	wide, _ := d.Size()
	e.row += wide + trueGap*trueRatio
	e.all = append(e.all, *d)
}

func (e *exchange) laid(name string, s *draw.Scene, mirror bool) *dxf.Drawing {
	if s == nil || e.failed != nil {
		return nil
	}
	sheet, err := draw.Layout(s, draw.View{Width: 1, Paper: true, Scale: 1 / trueRatio, Mirror: mirror, TextHeight: trueText})
	if err != nil {
		e.failed = err
		return nil
	}
	return &dxf.Drawing{Scene: s, Sheet: sheet, Name: name, Title: s.Title}
}
