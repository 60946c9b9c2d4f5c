package drawing

import (
	"math"
	"strconv"
	"strings"

	"pegpour/engine/draw"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// SceneOptions choose what a drawing shows and how figures are written.
type SceneOptions struct {
	// Write turns an argument into text in the user's units; nil is
	// PlainFigure.
	Write func(text.Arg) string
	// Say translates a sentence of the engine; nil leaves it as it is.
	Say func(string) string
	// Feet has the scale bar in feet.
	Feet bool
	// Detail shows the sizes around pad and post, and leaves out the long ones;
	// without it the other way round. [DetailWindow] is its part of the plan.
	Detail bool
	// Keyed writes at the members of a leaf their numbers alone, for a list beside it.
	Keyed bool
	// Compact leaves out the scale bar and every size but the one asked, for a
	// drawing with little room.
	Compact bool
	// Pegs shows the numbered pegs.
	Pegs bool
	// Tape is the path of the survey field being asked: its dimension is drawn
	// even where it would be left out.
	Tape string
	// Done are the peg numbers that are ticked.
	Done map[int]bool
	// TrueSize leaves the heights of the long section as they are.
	TrueSize bool
	// Marks shows a numbered mark at each check of the severity Stop or Warning.
	Marks bool
}

func (o *SceneOptions) figure(a text.Arg) string {
	if a.Dimension == text.Words && len(a.List) == 0 {
		return a.Words.In(o.words)
	}
	if o.Write != nil {
		return o.Write(a)
	}
	return PlainFigure(a)
}

// label writes a text at its place in the drawing, figures as the drawing has them.
func (o *SceneOptions) label(t text.Text) string { return t.Write(o.words(t.Format), o.figure) }

// sentence writes a text of the summary, figures with their unit.
func (o *SceneOptions) sentence(t text.Text) string {
	return t.In(func(t text.Text) string { return o.words(t.Format) }, o.withUnit)
}

// withUnit writes an argument where it stands in a sentence.
func (o *SceneOptions) withUnit(a text.Arg) string {
	if a.Dimension == text.Words && len(a.List) == 0 {
		return a.Words.In(o.words)
	}
	if o.Write != nil {
		return o.Write(a)
	}
	return text.PlainArg(a)
}

func (o *SceneOptions) words(s string) string {
	if o.Say != nil {
		return o.Say(s)
	}
	return s
}

// PlainFigure writes a length in whole millimetres without its unit, as
// drawings in the metric trade do, and everything else as PlainArg.
func PlainFigure(a text.Arg) string {
	if a.Dimension == text.Length {
		return strconv.FormatFloat(math.Round(a.Value)+0, 'f', -1, 64)
	}
	return text.PlainArg(a)
}

// The layers of the set-out plan in plain words.
const (
	LayerSite     = "What is there"
	LayerConcrete = "Concrete"
	LayerGate     = "Gate and motor"
	LayerPegs     = "Pegs"
	LayerSizes    = "Sizes"
	LayerWatch    = "Watch-outs"
)

// SetOutScene draws the plan view of a plan: what is there, what is poured,
// what stands on it, where the leaf runs, and the dimensions.
func SetOutScene(p *plan.Plan, o SceneOptions) *draw.Scene {
	s := &draw.Scene{Title: o.words("Set-out plan")}
	if len(p.Figures) > 0 { // until a design is finished there are none
		s.Desc = Spoken(p, o)
	}
	drawExisting(p, s, &o)
	drawCavity(p, s, &o)
	drawConcrete(p, s, &o)
	drawGate(p, s, &o)
	drawDimensions(p, s, &o)
	drawZero(p, s, &o)
	if o.Pegs {
		for _, g := range p.Pegs {
			s.Add(draw.Peg{Tag: draw.Tag{ID: "peg." + strconv.Itoa(g.Number), Layer: LayerPegs, Role: draw.RoleNote},
				At: draw.Pt(g.Chainage, g.Offset), Number: g.Number, Done: o.Done[g.Number]})
		}
	}
	if o.Marks {
		drawMarks(p, s, &o)
	}
	if !o.Compact {
		s.Add(draw.ScaleBar{Tag: draw.Tag{ID: "scale", Role: draw.RoleNote}, Feet: o.Feet})
	}
	return s
}

func ringOf(p geom.Polygon) draw.Ring {
	r := make(draw.Ring, len(p))
	for i, q := range p {
		r[i] = draw.Pt(q.X, q.Y)
	}
	return r
}

func lineOf(p []geom.Point) []draw.Point { return ringOf(p) }

func drawExisting(p *plan.Plan, s *draw.Scene, o *SceneOptions) {
	hatch := draw.HatchTint
	switch p.Site.Surface {
	case survey.SurfacePavers:
		hatch = draw.HatchPavers
	case survey.SurfaceBitumen:
		hatch = draw.HatchBitumen
	case survey.SurfaceGravel:
		hatch = draw.HatchGravel
	case survey.SurfaceEarth:
		hatch = draw.HatchEarth
	}
	site := func(id string, role draw.Role) draw.Tag {
		return draw.Tag{ID: id, Layer: LayerSite, Role: role}
	}
	drive := site("drive", draw.RoleExisting)
	drive.Context = true
	s.Add(draw.Region{Tag: drive, Outer: ringOf(p.Site.Drive), Hatch: hatch, Open: true})
	edge := func(id, path string, line []geom.Point) {
		t := site(id, draw.RoleExisting)
		t.Field, t.Context = path, true
		for i := range p.Assumed {
			if p.Assumed[i].Path == path {
				t.Voice = draw.VoiceAssumed
			}
		}
		s.Add(draw.Polyline{Tag: t, Points: lineOf(line)})
	}
	edge("edge.runBack", survey.DriveRunBackEdgeGiven, p.Site.RunBackEdge)
	edge("edge.latch", survey.DriveLatchEdgeGiven, p.Site.LatchEdge)

	// The fence: a line along the front and the back of the posts, on either
	// side of the opening.
	boundsLow, high := boundsOfParts(p)
	postBack := p.Site.PostRunBack
	lowPost, highPost := postBack.Bounds()
	end := max(high.X, p.Leaf.RearOpen) + p.Opening/20
	fence := site("fence", draw.RoleBoundary)
	s.Add(draw.Line{Tag: fence, From: draw.Pt(highPost.X, (lowPost.Y+highPost.Y)/2),
		To: draw.Pt(end, (lowPost.Y+highPost.Y)/2)})
	latchLow, latchHigh := p.Site.PostLatch.Bounds()
	fence.Context = true
	before := latchLow.X - p.Opening/12
	if p.Pair != nil {
		before = min(before, boundsLow.X-p.Opening/20)
		if latch := &p.Pair.Latch.Site; latch.RoomKnown {
			t := site("room.latch", draw.RoleObstruction)
			t.Field = survey.OnSide(survey.RunBackRoom, true)
			x := p.Pair.Meeting.At - latch.Room
			s.Add(draw.Line{Tag: t, From: draw.Pt(x, 0), To: draw.Pt(x, max(600, high.Y))})
		}
	}
	s.Add(draw.Line{Tag: fence, From: draw.Pt(before, (latchLow.Y+latchHigh.Y)/2),
		To: draw.Pt(latchLow.X, (latchLow.Y+latchHigh.Y)/2)})
	s.Add(draw.Region{Tag: site("post.latch", draw.RoleCut), Outer: ringOf(p.Site.PostLatch), Hatch: draw.HatchSteel},
		draw.Region{Tag: site("post.runBack", draw.RoleCut), Outer: ringOf(p.Site.PostRunBack), Hatch: draw.HatchSteel})

	for i := range p.Site.Obstructions {
		ob := &p.Site.Obstructions[i]
		t := site("obstruction."+strconv.Itoa(ob.Index), draw.RoleObstruction)
		t.Field = string(survey.ObstructionKind.At(ob.Index))
		if ob.Voice == plan.VoiceAssumed {
			t.Voice = draw.VoiceAssumed
		}
		s.Add(draw.Region{Tag: t, Outer: ringOf(ob.Box), Hatch: draw.HatchNone})
		c := ob.Box.Centroid()
		s.Add(draw.Leader{Tag: draw.Tag{ID: t.ID + ".name", Layer: LayerSite, Role: draw.RoleNote}, At: draw.Pt(c.X, c.Y),
			Text: plan.NameOfObstruction(ob).In(o.words)})
	}
	if p.Site.RoomKnown {
		t := site("room", draw.RoleObstruction)
		t.Field = survey.RunBackRoom
		s.Add(draw.Line{Tag: t, From: draw.Pt(p.Site.Room, 0), To: draw.Pt(p.Site.Room, max(600, high.Y))})
	}
}

// bounds of everything that is built.
func boundsOfParts(p *plan.Plan) (low, high geom.Point) {
	low, high = geom.Point{X: math.Inf(1), Y: math.Inf(1)}, geom.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for i := range p.Outlines {
		a, b := p.Outlines[i].Ring.Bounds()
		low.X, low.Y = min(low.X, a.X), min(low.Y, a.Y)
		high.X, high.Y = max(high.X, b.X), max(high.Y, b.Y)
	}
	return low, high
}

func drawConcrete(p *plan.Plan, s *draw.Scene, o *SceneOptions) {
	for i := range p.Poured {
		r := draw.Region{Tag: draw.Tag{ID: "poured", Layer: LayerConcrete, Role: draw.RoleOutline},
			Outer: ringOf(p.Poured[i].Outer), Hatch: draw.HatchConcrete, Open: true}
		for _, h := range p.Poured[i].Holes {
			r.Holes = append(r.Holes, ringOf(h))
		}
		s.Add(r)
	}
	for i := range p.Outlines {
		u := &p.Outlines[i]
		if !u.Concrete {
			continue
		}
		t := draw.Tag{ID: u.ID, Layer: LayerConcrete, Role: draw.RoleOutline}
		if u.Kind == plan.PartPostHole || u.Kind == plan.PartMeetingFooting {
			t.Role = draw.RoleHidden
		}
		s.Add(draw.Region{Tag: t, Outer: ringOf(u.Ring), Hatch: draw.HatchNone})
	}
}

func drawGate(p *plan.Plan, s *draw.Scene, o *SceneOptions) {
	gate := func(id string, role draw.Role) draw.Tag { return draw.Tag{ID: id, Layer: LayerGate, Role: role} }
	for i := range p.Outlines {
		u := &p.Outlines[i]
		switch u.Kind {
		case plan.PartLeafShut:
			s.Add(draw.Region{Tag: gate(u.ID, draw.RoleGate), Outer: ringOf(u.Ring), Hatch: draw.HatchPaper})
		case plan.PartLeafOpen:
			s.Add(draw.Region{Tag: gate(u.ID, draw.RoleMotion), Outer: ringOf(u.Ring), Hatch: draw.HatchNone})
		case plan.PartGuidePost, plan.PartOutletPost:
			s.Add(draw.Region{Tag: gate(u.ID, draw.RoleCut), Outer: ringOf(u.Ring), Hatch: draw.HatchSteel})
		case plan.PartFootingBar, plan.PartFootingPost:
			s.Add(draw.Region{Tag: gate(u.ID, draw.RoleSteel), Outer: ringOf(u.Ring), Hatch: draw.HatchNone})
		case plan.PartCarriage:
			s.Add(draw.Region{Tag: gate(u.ID, draw.RoleSteel), Outer: ringOf(u.Ring), Hatch: draw.HatchNone})
		case plan.PartCounter:
			s.Add(draw.Region{Tag: gate(u.ID, draw.RoleGate), Outer: ringOf(u.Ring), Hatch: draw.HatchNone})
		case plan.PartMotor, plan.PartBasePlate, plan.PartHardStop, plan.PartPadPlate, plan.PartMeetingStop:
			s.Add(draw.Region{Tag: gate(u.ID, draw.RoleOutline), Outer: ringOf(u.Ring), Hatch: draw.HatchPaper})
		}
	}
	for _, t := range p.Track.Lines {
		s.Add(draw.Line{Tag: gate("track", draw.RoleCentre), From: draw.Pt(t.Start, t.Offset), To: draw.Pt(t.End, t.Offset)})
	}
	for i, c := range p.Conduits {
		t := gate("conduit."+strconv.Itoa(i+1), draw.RoleHidden)
		s.Add(draw.Polyline{Tag: t, Points: lineOf(c.Line)})
	}
	for motor := range p.Parts(plan.PartMotor) {
		c := motor.Ring.Centroid()
		s.Add(draw.Text{Tag: gate("motor.name", draw.RoleNote), At: draw.Pt(c.X, c.Y), Text: o.words("M")})
	}
	y := -postDepth(p) * 0.5
	opens := func(from, to float64) {
		s.Add(draw.HandArrow{Tag: gate("opens", draw.RoleNote), From: draw.Pt(from, y), To: draw.Pt(to, y), Text: o.words("opens")})
	}
	if p.Pair == nil {
		opens(p.Opening*0.35, p.Opening*0.6)
		return
	}
	at := p.Pair.Meeting.At
	opens(at+(p.Opening-at)*0.3, at+(p.Opening-at)*0.75)
	opens(at*0.7, at*0.25)
}

func postDepth(p *plan.Plan) float64 {
	low, high := p.Site.PostRunBack.Bounds()
	return high.Y - low.Y
}

func drawDimensions(p *plan.Plan, s *draw.Scene, o *SceneOptions) {
	for i := range p.Dimensions {
		d := &p.Dimensions[i]
		if asked := d.Path != "" && d.Path == o.Tape; !asked &&
			(d.Detail != o.Detail || o.Compact || d.OnlyAsked || d.Unknown) {
			continue
		}
		t := draw.Tag{ID: "dim." + d.ID, Layer: LayerSizes, Field: d.Path, Role: draw.RoleNote}
		t.Voice = voiceOf(d.Voice)
		e := draw.Dimension{Tag: t, From: draw.Pt(d.From.X, d.From.Y), To: draw.Pt(d.To.X, d.To.Y),
			Direction: draw.Horizontal, Text: o.figure(text.MM(math.Abs(d.Value)))}
		if d.Unknown {
			e.Text = "?"
		}
		if d.Across {
			e.Direction, e.Side = draw.Vertical, draw.Right
		} else if d.From.Y < 0 || d.Path != "" {
			e.Side = draw.Below
		} else {
			e.Side = draw.Above
		}
		s.Add(e)
	}
	line := p.Site.RunBackEdge
	if len(line) >= 2 {
		a, b := line[0], line[len(line)-1]
		if math.Abs(b.X-a.X) > 1 && o.Detail && (!o.Compact || o.Tape == survey.DriveRunBackEdgeAngle) {
			angle := math.Atan2(b.Y-a.Y, b.X-a.X)
			at := a.X - a.Y*(b.X-a.X)/(b.Y-a.Y)
			t := draw.Tag{ID: "dim.drive.runBackEdge.angle", Layer: LayerSizes, Field: survey.DriveRunBackEdgeAngle,
				Role: draw.RoleNote, Voice: voiceOf(p.Site.RunBackAngle)}
			s.Add(draw.AngleDimension{Tag: t, Vertex: draw.Pt(at, 0), From: draw.Pt(at+500, 0),
				To: draw.Pt(at+500*math.Cos(angle), 500*math.Sin(angle)), Text: o.figure(text.Radians(angle))})
		}
	}
}

// drawZero shows, while a distance to an edge of the driveway is asked, where the
// tape has its zero and which way is plus, and an example until there is a figure.
func drawZero(p *plan.Plan, s *draw.Scene, o *SceneOptions) {
	base, latch := p.Opening, strings.HasPrefix(o.Tape, survey.DriveLatchEdge)
	if latch {
		base = 0
	} else if !strings.HasPrefix(o.Tape, survey.DriveRunBackEdge) {
		return
	}
	from, to := draw.Pt(base, 0), draw.Pt(base+zeroReach, 0)
	switch {
	case strings.HasSuffix(o.Tape, ".offset"):
		to = draw.Pt(base, zeroReach)
	case !strings.HasSuffix(o.Tape, ".along"):
		return
	}
	tag := func(id string) draw.Tag { return draw.Tag{ID: "zero." + id, Layer: LayerSizes, Role: draw.RoleNote} }
	s.Add(draw.Leader{Tag: tag("at"), At: from, Side: draw.Below, Text: "0"})
	s.Add(draw.HandArrow{Tag: tag("plus"), From: from, To: to, Text: "+"})
	for i := range p.Dimensions {
		if p.Dimensions[i].Path == o.Tape {
			return
		}
	}
	e := draw.Dimension{Tag: tag("example"), From: from, To: to, Direction: draw.Horizontal, Side: draw.Above,
		Text: o.label(text.Say("for example {0}", text.MM(zeroReach)))}
	if to.Y > 0 {
		e.Direction, e.Side = draw.Vertical, draw.Right
	}
	s.Add(e)
}

// zeroReach is how far the example goes, mm.
const zeroReach = 300

// voiceOf is how a number of the plan is drawn.
func voiceOf(v plan.Voice) draw.Voice {
	switch v {
	case plan.VoiceMeasured:
		return draw.VoiceMeasured
	case plan.VoiceAssumed:
		return draw.VoiceAssumed
	}
	return draw.VoiceWorkedOut
}

// DetailWindow is the part of the plan around pad, guide post and motor; of two leaves
// that of the run-back side.
func DetailWindow(p *plan.Plan) draw.Box { return DetailWindows(p)[0] }

// DetailWindows are these parts of the plan, one of each side.
func DetailWindows(p *plan.Plan) []draw.Box {
	var all []draw.Box
	for _, side := range p.Sides() {
		box := detailOf(side.Plan)
		if box.Min.X, box.Max.X = side.At(box.Min.X), side.At(box.Max.X); side.Latch {
			box.Min.X, box.Max.X = box.Max.X, box.Min.X
		}
		all = append(all, box)
	}
	return all
}

func detailOf(p *plan.Plan) draw.Box {
	low, high := geom.Point{X: p.Opening - 150, Y: -postDepth(p) - 50}, geom.Point{X: p.Opening + 600, Y: 500}
	for i := range p.Outlines {
		switch p.Outlines[i].Kind {
		case plan.PartPad, plan.PartPostHole, plan.PartGuidePost, plan.PartBasePlate, plan.PartMotor, plan.PartOutletPost:
			a, b := p.Outlines[i].Ring.Bounds()
			low.X, low.Y = min(low.X, a.X-100), min(low.Y, a.Y-100)
			high.X, high.Y = max(high.X, b.X+150), max(high.Y, b.Y+100)
		}
	}
	return draw.Box{Min: draw.Pt(low.X, low.Y), Max: draw.Pt(high.X, high.Y)}
}

// PointsWindow is the part of the plan around the taped points of an edge and the
// post that they are taped from; latch is the edge on the latch side.
func PointsWindow(p *plan.Plan, latch bool) draw.Box {
	base, edge := p.Opening, survey.DriveRunBackEdge
	if latch {
		base, edge = 0, survey.DriveLatchEdge
	}
	box := draw.Box{Min: draw.Pt(base-2*zeroReach, -postDepth(p)-50), Max: draw.Pt(base+2*zeroReach, 1.5*zeroReach)}
	for i := range p.Dimensions {
		if d := &p.Dimensions[i]; strings.HasPrefix(d.Path, edge) {
			box.Grow(draw.Pt(d.From.X, d.From.Y))
			box.Grow(draw.Pt(d.To.X, d.To.Y))
		}
	}
	return box
}

// drawMarks numbers the checks that want attention at their places.
func drawMarks(p *plan.Plan, s *draw.Scene, o *SceneOptions) {
	n := 0
	for i := range p.Checks {
		c := &p.Checks[i]
		if c.Severity == plan.Sound || len(c.Where) == 0 {
			continue
		}
		n++
		mark := text.Numbered("Mind {0}", n)
		if c.Severity == plan.Stop {
			mark = text.Numbered("Stop {0}", n)
		}
		s.Add(draw.Leader{Tag: draw.Tag{ID: "check." + c.Code + "." + strconv.Itoa(i), Layer: LayerWatch,
			Role: draw.RoleNote},
			At: draw.Pt(c.At.X, c.At.Y), Text: mark.In(o.words)})
	}
}

// Spoken is the summary of the plan for those who cannot see the drawing.
func Spoken(p *plan.Plan, o SceneOptions) string {
	if p.Pair != nil {
		return spokenPair(p, &o)
	}
	all := []text.Text{text.Say(
		"Opening {0}. Leaf {1} long. The run-back strip ends {2} behind the run-back post. Concrete {3} in plan, {4}.",
		text.MM(p.Opening), text.MM(p.Leaf.Frame), text.MM(figureValue(p, plan.FigureStripLength)),
		text.SquareMM(p.Quantities.Area), text.CubicMM(p.Quantities.Concrete))}
	low, high, pad := p.Extent(plan.PartPad)
	if h := p.Leaf.Hanging; h != nil {
		all = []text.Text{text.Say("Opening {0}. Leaf {1} long with its counter part, hanging free on two carriages {2} apart. The block under them is {3} along the fence and {4} out. Concrete {5}.",
			text.MM(p.Opening), text.MM(h.Whole), text.MM(h.Between), text.MM(high.X-low.X), text.MM(high.Y-low.Y),
			text.CubicMM(p.Quantities.Concrete))}
	} else if pad {
		all = append(all, text.Say("The motor pad is {0} along the fence and {1} out.", text.MM(high.X-low.X),
			text.MM(high.Y-low.Y)))
	}
	return o.sentences(sayStops(all, p))
}

func sayStops(all []text.Text, p *plan.Plan) []text.Text {
	stops := 0
	for i := range p.Checks {
		if p.Checks[i].Severity == plan.Stop {
			stops++
		}
	}
	if stops > 0 {
		all = append(all, text.Counted(stops, "{0} of the checks says stop.", "{0} of the checks say stop."))
	}
	return all
}

// spokenPair is the summary of two leaves that meet.
func spokenPair(p *plan.Plan, o *SceneOptions) string {
	a, b := p.Pair.RunBack, p.Pair.Latch
	return o.sentences(sayStops([]text.Text{text.Say(
		"Opening {0}, shut by two leaves that meet {1} from the latch post: one {2} long on the run-back side, one {3} on the latch side. Concrete {4} in plan, {5}.",
		text.MM(p.Opening), text.MM(p.Pair.Meeting.At), text.MM(a.Leaf.Frame), text.MM(b.Leaf.Frame),
		text.SquareMM(p.Quantities.Area), text.CubicMM(p.Quantities.Concrete))}, p))
}

// sentences writes the texts of the summary one after the other.
func (o *SceneOptions) sentences(all []text.Text) string {
	said := make([]string, len(all))
	for i, t := range all {
		said[i] = o.sentence(t)
	}
	return strings.Join(said, " ")
}

func figureValue(p *plan.Plan, id string) float64 {
	f, _ := p.Figure(id)
	return f.Value
}
