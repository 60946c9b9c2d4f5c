package engine

import (
	"slices"
	"strings"

	"pegpour/engine/geom"
	"pegpour/engine/input"
	"pegpour/engine/network"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// pairSketch is a design begun of two leaves that meet: one of each side, and where they
// stand in the whole.
type pairSketch struct {
	run, latch     *Sketch
	opening, meets float64
	first          string
	known          bool // where they meet was measured
	firstSaid      bool
	taped          *plan.Network
}

// beginPair begins both sides, each as a design of its own, and draws them as one.
func beginPair(s survey.Survey, practice practice.Practice) (*Sketch, error) {
	refused := practice.ReplaceRefused()
	taped, misread := network.Adjust(&s, &practice)
	sides := survey.SidesOf(&s, &practice)
	q := &pairSketch{opening: sides.Opening, meets: sides.Meets, known: sides.MeetsKnown, taped: taped,
		first: survey.FieldOf(survey.PairFirst).Chosen(&s), firstSaid: s.Pair.First != ""}
	if sides.Refused.At(survey.PairFirst) != nil {
		q.first, q.firstSaid = survey.FirstRunBack, false
	}
	var run, latch error
	q.run, run = beginLeaf(&sides.RunBack, &practice, q.outlined(false))
	q.latch, latch = beginLeaf(&sides.Latch, &practice, q.outlined(true))
	d := &Sketch{practice: practice, pair: q, doubtful: standsFor(refused)}
	refused = append(append(refused, misread...), sides.Refused...)
	for i, err := range [...]error{run, latch} {
		if err == nil {
			continue
		}
		for _, e := range err.(input.Refusals) {
			e.Path = survey.OnSide(e.Path, i == 1)
			if f, ok := survey.FieldAt(e.Path); ok {
				e.Name = f.Name
			}
			if refused.At(e.Path) == nil {
				refused = append(refused, e)
			}
		}
	}
	d.plan = q.drawn(&s)
	return d, refused.OrNil()
}

// outlined are the outlines that the tape network gives to things in the way, in the frame
// of a side.
func (q *pairSketch) outlined(latch bool) *plan.Network {
	if q.taped == nil {
		return nil
	}
	side := plan.Side{Name: plan.RunBackSide, Latch: latch, Meets: q.meets}
	own := &plan.Network{Outlines: make(map[int]geom.Polygon, len(q.taped.Outlines))}
	for i, ring := range q.taped.Outlines {
		turned := make(geom.Polygon, len(ring))
		for k, at := range ring {
			turned[k] = geom.Point{X: side.From(at.X), Y: at.Y}
		}
		if latch {
			slices.Reverse(turned)
		}
		own.Outlines[i] = turned
	}
	return own
}

// sides are both plans as far as they are made.
func (q *pairSketch) sides() [2]plan.Side {
	return [2]plan.Side{{Plan: q.run.Plan(), Name: plan.RunBackSide, Meets: q.meets},
		{Plan: q.latch.Plan(), Name: plan.LatchSide, Latch: true, Meets: q.meets}}
}

// drawn is the plan of both sides as far as the first passes make it, in the frame of the
// whole opening.
func (q *pairSketch) drawn(s *survey.Survey) plan.Plan {
	whole := *q.run.Plan()
	whole.Opening = q.opening
	sides := q.sides()
	whole.Assumed = bothAssumed(sides, s, q)
	whole.Site = bothSites(sides)
	whole.Leaf = movedLeaf(whole.Leaf, q.meets)
	whole.Track = bothTracks(sides)
	whole.Network, whole.Ground, whole.Footing = q.taped, nil, nil
	whole.Refused = nil
	whole.Dimensions = q.dimensions(sides)
	whole.Pair = &plan.Pair{RunBack: sides[0].Plan, Latch: sides[1].Plan,
		Meeting: plan.Meeting{At: q.meets, First: q.first}}
	q.outline(&whole)
	return whole
}

// outline puts the parts of both sides into the frame of the whole, the drive strip as
// one, with the stop between them.
func (q *pairSketch) outline(whole *plan.Plan) {
	sides := q.sides()
	var strips []geom.Polygon
	var strip *plan.Outline
	rest := make([]plan.Outline, 0, len(sides[0].Outlines)+len(sides[1].Outlines)+3)
	whole.Conduits = nil
	for i := range sides {
		side := &sides[i]
		for k := range side.Outlines {
			o := &side.Outlines[k]
			ring := ringIn(side, o.Ring)
			if o.Kind == plan.PartDriveStrip {
				strips, strip = append(strips, ring), o
				continue
			}
			rest = append(rest, *o)
			part := &rest[len(rest)-1]
			part.Ring, part.Latch = ring, side.Latch
			part.ID, part.Name = stages.SideID(o.ID, side.Latch), side.Named(o.Name)
		}
		for k := range side.Conduits {
			c := &side.Conduits[k]
			whole.Conduits = append(whole.Conduits, plan.Conduit{For: side.Named(c.For), Line: ringIn(side, c.Line), Length: c.Length})
		}
	}
	var all stages.OutlineList
	united, err := geom.Union(strips...)
	whole.Refused = plan.AppendRefusal(whole.Refused, plan.QuestionOutlinesUnjudged, plan.Warning, "The drive strip of both sides", err,
		survey.DriveRunBackEdgeGiven)
	pieces := strips
	if err == nil {
		pieces = pieces[:0:0]
		for i := range united {
			pieces = append(pieces, united[i].Outer)
		}
	}
	if len(pieces) > 0 {
		all.Add(plan.Outline{Kind: strip.Kind, Name: "Drive strip", Concrete: true, Depth: strip.Depth, Top: strip.Top,
			Crown: strip.Crown, Mesh: strip.Mesh, Tint: strip.Tint}, pieces)
	}
	run, latch := q.run.pairSide(), q.latch.pairSide()
	middle, cable := stages.Meeting(run, latch, &q.run.practice, q.meets)
	whole.Outlines = append(append([]plan.Outline(all), rest...), middle...)
	whole.Conduits = append(whole.Conduits, cable...)
	whole.Pair.Meeting.Cable = len(cable) > 0
	poured, noUnion := stages.UnitePoured(whole.Outlines)
	whole.Poured, whole.Refused = poured, append(whole.Refused, noUnion...)
}

// pairSide is what the stages ask of one side of a pair.
func (d *Sketch) pairSide() *stages.PairSide {
	return &stages.PairSide{Inputs: &d.inputs, Layout: &d.layout, Treatment: &d.treatment, Ground: d.plan.Ground,
		Plan: &d.plan}
}

// placeIn is a place of a side in the frame of the whole.
func placeIn(side *plan.Side, p geom.Point) geom.Point {
	p.X = side.At(p.X)
	return p
}

// ringIn is a ring or a line of a side in the frame of the whole; a mirrored one is walked the
// other way round, so that it turns as before.
func ringIn(side *plan.Side, ring []geom.Point) []geom.Point {
	out := make([]geom.Point, len(ring))
	for i, p := range ring {
		out[i] = placeIn(side, p)
	}
	if side.Latch {
		slices.Reverse(out)
	}
	return out
}

func bothAssumed(sides [2]plan.Side, s *survey.Survey, q *pairSketch) []survey.Assumption {
	var all []survey.Assumption
	seen := map[string]bool{}
	add := func(a survey.Assumption) {
		if !seen[a.Path] {
			seen[a.Path] = true
			all = append(all, a)
		}
	}
	for i := range sides {
		for _, a := range sides[i].Assumed {
			if sides[i].Latch && a.Path == survey.OpeningHand || strings.HasPrefix(a.Path, survey.DriveLatchEdge) {
				continue // a side's far edge is the other one's own
			}
			a.Path = sides[i].Path(a.Path)
			if f, ok := survey.FieldAt(a.Path); ok {
				a.Name = f.Name
			}
			if a.Path == survey.OpeningWidth {
				a.Value = q.opening
			}
			add(a)
		}
	}
	if !q.known {
		f := survey.FieldOf(survey.PairMeets)
		add(survey.Assumption{Path: f.Path, Name: f.Name, Dimension: f.Dimension, Value: q.meets})
	}
	if !q.firstSaid {
		f := survey.FieldOf(survey.PairFirst)
		add(survey.Assumption{Path: f.Path, Name: f.Name, Dimension: f.Dimension, Words: f.Options[0].Words})
	}
	return all
}

func bothSites(sides [2]plan.Side) plan.SiteOutline {
	run, latch := &sides[0], &sides[1]
	site := run.Site
	site.PostRunBack, site.PostLatch = ringIn(run, run.Site.PostRunBack), ringIn(latch, latch.Site.PostRunBack)
	site.RunBackEdge = ringIn(run, run.Site.RunBackEdge)
	site.LatchEdge = ringIn(latch, latch.Site.RunBackEdge)
	slices.Reverse(site.LatchEdge) // from the street inwards, as every edge
	site.Drive = append(geom.Polygon(nil), site.RunBackEdge...)
	for i := len(site.LatchEdge) - 1; i >= 0; i-- {
		site.Drive = append(site.Drive, site.LatchEdge[i])
	}
	site.Room += run.Meets
	site.Obstructions = nil
	var had []int // things that both sides have stand once
	for i := range sides {
		for k := range sides[i].Site.Obstructions {
			o := sides[i].Site.Obstructions[k]
			if !slices.Contains(had, o.Index) {
				had, o.Box = append(had, o.Index), ringIn(&sides[i], o.Box)
				site.Obstructions = append(site.Obstructions, o)
			}
		}
	}
	return site
}

// movedLeaf is a leaf with its chainages counted from farther off.
func movedLeaf(leaf plan.Leaf, by float64) plan.Leaf {
	for _, at := range [...]*float64{&leaf.ShutAt, &leaf.OpenAt, &leaf.PinionAt, &leaf.RollersAt, &leaf.RearOpen} {
		*at += by
	}
	leaf.Panels = slices.Clone(leaf.Panels)
	for i := range leaf.Panels {
		leaf.Panels[i].ShutAt += by
	}
	return leaf
}

func bothTracks(sides [2]plan.Side) plan.Track {
	run := &sides[0]
	track := run.Track
	track.Start, track.End = track.Start+run.Meets, track.End+run.Meets
	track.Lines = nil
	for i := range sides {
		for _, line := range sides[i].Track.Lines {
			from, to := placeIn(&sides[i], geom.Point{X: line.Start}).X, placeIn(&sides[i], geom.Point{X: line.End}).X
			line.Start, line.End = min(from, to), max(from, to)
			track.Lines = append(track.Lines, line)
		}
	}
	return track
}

// dimensions are the sizes of both sides in one drawing, with the whole opening and where
// the leaves meet in place of each side's own part of it.
func (q *pairSketch) dimensions(sides [2]plan.Side) []plan.DimensionLine {
	var all []plan.DimensionLine
	whole, meets := plan.DimensionLine{}, plan.VoiceMeasured
	if !q.known {
		meets = plan.VoiceAssumed
	}
	for i := range sides {
		side := &sides[i]
		for _, line := range side.Dimensions {
			switch {
			case strings.HasPrefix(line.Path, survey.DriveLatchEdge):
				continue
			case line.Path == survey.OpeningWidth:
				whole = line
				continue
			case side.Latch && (line.Path == survey.OpeningPostDepth || line.ID == "drive.stripWidth"):
				continue
			}
			line.From, line.To = placeIn(side, line.From), placeIn(side, line.To)
			if line.From.X > line.To.X {
				line.From, line.To = line.To, line.From
			}
			if line.Path == line.ID {
				line.ID = side.Path(line.ID)
			} else {
				line.ID = stages.SideID(line.ID, side.Latch)
			}
			line.Path = side.Path(line.Path)
			twice := false // a thing that both sides have
			for k := range all {
				twice = twice || all[k].ID == line.ID
			}
			if !twice {
				all = append(all, line)
			}
		}
	}
	whole.Value, whole.From.X, whole.To.X = q.opening, 0, q.opening
	at := whole
	at.ID, at.Path, at.Voice = survey.PairMeets, survey.PairMeets, meets
	at.Value, at.To.X = q.meets, q.meets
	return append(all, whole, at)
}

// finishPair finishes both sides and puts what they found together.
func (d *Sketch) finishPair() {
	q, p := d.pair, &d.practice
	for _, side := range []*Sketch{q.run, q.latch} {
		side.searches, side.unsearched = d.searches, d.unsearched
		side.finish()
	}
	whole, sides := &d.plan, q.sides()
	whole.Pair.RunBack, whole.Pair.Latch = sides[0].Plan, sides[1].Plan
	whole.Refused, whole.Network = nil, q.taped
	q.outline(whole)
	whole.Leaf = movedLeaf(sides[0].Leaf, q.meets)
	run, latch := q.run.pairSide(), q.latch.pairSide()
	var strips []plan.Outline
	for o := range whole.Parts(plan.PartDriveStrip) {
		strips = append(strips, *o)
	}
	var at *plan.Outline
	if foot, poured := whole.Part(plan.PartMeetingFooting, 1); poured {
		at = &foot
	}
	whole.Pair.Meeting = d.meetingOf(p)
	whole.Steel = stages.BothCuts(&sides[0].Steel, &sides[1].Steel)
	var cable []plan.Conduit
	if n := len(whole.Conduits); whole.Pair.Meeting.Cable {
		cable = whole.Conduits[n-1:]
	}
	var refused []plan.Refusal
	whole.Quantities, refused = stages.Whole(run, latch, p, strips, at, cable, whole.Steel.Mass)
	whole.Pegs, whole.Diagonals = bothPegs(whole, sides)
	whole.Strength = sides[0].Strength
	whole.Refused = append(append(whole.Refused, refused...), whole.Pair.Meeting.Refused...)
	d.explainPair()
	d.checkPair()
}

// bothPegs sets out both sides, one after the other: the drive strip and the run-back first,
// then the side of the latch post. A corner that both have has one peg. Levels are
// those of the side's own plan.
func bothPegs(whole *plan.Plan, sides [2]plan.Side) ([]plan.Peg, []plan.Diagonal) {
	var pegs []plan.Peg
	var diagonals []plan.Diagonal
	for i := range sides {
		side := &sides[i]
		parts := make([]plan.Outline, 0, len(whole.Outlines))
		for _, o := range whole.Outlines {
			if o.Latch == side.Latch || o.Kind == plan.PartDriveStrip {
				parts = append(parts, o)
			}
		}
		own, across := stages.SetOut(parts, whole.Opening, nil, nil)
		number := make(map[int]int, len(own))
		add := func(g plan.Peg) {
			for k := range pegs {
				if stages.SamePlace(&pegs[k], g.Chainage, g.Offset) {
					number[g.Number] = pegs[k].Number
					return
				}
			}
			number[g.Number] = len(pegs) + 1
			g.Number = len(pegs) + 1
			pegs = append(pegs, g)
		}
		levels := side.Pegs
		for _, g := range own {
			for k := range levels {
				if at := placeIn(side, geom.Point{X: levels[k].Chainage, Y: levels[k].Offset}); stages.SamePlace(&g, at.X, at.Y) {
					g.Level, g.Levelled = levels[k].Level, levels[k].Levelled
				}
			}
			add(g)
		}
		for _, g := range side.Pegs {
			if strings.HasPrefix(g.Of, "footing.post.") {
				at := placeIn(side, geom.Point{X: g.Chainage, Y: g.Offset})
				post := stages.PegAt(at, whole.Opening)
				post.Number, post.Of, post.Name = -g.Number, stages.SideID(g.Of, side.Latch), side.Named(g.Name)
				post.Level, post.Levelled = g.Level, g.Levelled
				add(post)
			}
		}
		for _, line := range across {
			line.From, line.To = number[line.From], number[line.To]
			if !slices.Contains(diagonals, line) {
				diagonals = append(diagonals, line)
			}
		}
	}
	return pegs, diagonals
}

// explainPair lists the figures of both sides, and those of the whole.
func (d *Sketch) explainPair() {
	q, whole, sides := d.pair, &d.plan, d.pair.sides()
	whole.Figures = nil
	for i := range sides {
		side := &sides[i]
		for k := range side.Figures {
			id := side.Figures[k].ID
			ofDrive := id == plan.FigureDriveStripWidth || id == plan.FigureDriveStripDepth
			if slices.Contains(ofSupply, id) || id == plan.FigureLeafClearAlong || ofDrive && side.Latch {
				continue
			}
			whole.Figures = append(whole.Figures, side.Figures[k])
			f := &whole.Figures[len(whole.Figures)-1]
			if !ofDrive {
				f.ID, f.Name = stages.SideID(id, side.Latch), side.Named(f.Name)
				if f.Before != "" {
					f.Before = side.Named(f.Before)
				}
			}
			f.Fields = slices.Clone(f.Fields)
			for n := range f.Fields {
				f.Fields[n] = side.Path(f.Fields[n])
			}
		}
	}
	assumed := map[string]bool{}
	for i := range whole.Assumed {
		assumed[whole.Assumed[i].Path] = true
	}
	list := figureList{assumed: assumed, figures: whole.Figures,
		edge: []string{survey.OpeningWidth, survey.PairMeets, survey.DriveRunBackEdgeGiven, survey.DriveLatchEdgeGiven}}
	list.explainMeeting(&whole.Pair.Meeting, sides)
	(&designed{Designed: &stages.Designed{Practice: &d.practice, Plan: whole, Inputs: &q.run.inputs}}).explainSupply(&list)
	whole.Figures = list.figures
}

// ofSupply are the figures of what is ordered and taken away, which are of the whole.
var ofSupply = []string{plan.FigureConcreteArea, plan.FigureConcreteVolume, plan.FigureConcreteOrder,
	plan.FigureConcreteBags, plan.FigureConcreteBatches, plan.FigureDigBank, plan.FigureDigLoose, plan.FigureDigMass,
	plan.FigureDigLoads}

// explainMeeting gives where the leaves meet and what the stop there takes.
func (l *figureList) explainMeeting(m *plan.Meeting, sides [2]plan.Side) {
	clear := [2]float64{sides[0].Leaf.ClearStraight, sides[1].Leaf.ClearStraight}
	l.addOfMeeting(plan.FigurePairMeets, "The leaves meet at chainage", text.Length, m.At, "",
		text.Say("from the latch post; a gap of {0} between the frames", text.MM(m.Gap)), practice.RulePairGap)
	l.addOfMeeting(plan.FigurePairClear, "Clear opening, straight in", text.Length, clear[0]+clear[1], sourceGeometry,
		text.Say("{0} from where the leaves meet to the run-back side, and {1} to the latch side", text.MM(clear[0]), text.MM(clear[1])))
	l.addOfMeeting(plan.FigurePairStop, "Push on the stop in the drive", text.Force, m.Hardest(), stages.SourceStop,
		text.Say("the harder of {0} from the leaf of the run-back side and {1} from that of the latch side: one may come while the other is not there",
			text.Newtons(m.Impacts[0]), text.Newtons(m.Impacts[1])), practice.RuleStopBuffer, practice.RulePairStopHeight)
	if m.Holds > 0 {
		l.addOfMeeting(plan.FigurePairHolds, "What holds the stop in the drive", text.Force, m.Holds, sourceSlide,
			text.Say("strip and footing under the stop by what the ground holds along it, and {0} of footing, {1} deep, against the ground before it",
				text.MM(m.Foot), text.MM(m.Depth)), practice.RulePairFoot, practice.RulePairFootDepth)
	}
}

// addOfMeeting adds a figure of the place where the leaves meet.
func (l *figureList) addOfMeeting(id string, name text.Name, of text.Dimension, v float64, source string, how text.Text,
	rules ...string) {
	l.add(plan.Figure{ID: id, Name: name, Dimension: of, Value: v, How: how, Rules: rules, Source: source,
		Fields: []string{survey.PairMeets, survey.OpeningWidth}, FirstPass: of == text.Force})
}

const sourceSlide = "International Building Code, 1806.3 and table 1806.2 (memory)"
