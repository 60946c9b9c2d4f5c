package drawing

import (
	"math"

	"pegpour/engine/draw"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// CrossSection is one cut square to the fence.
type CrossSection struct {
	// ID is "drive", "runBack", "guide", "motor", "cavity" or "footing".
	ID string
	// Letter names the cut on the plan, "A" for the first.
	Letter string
	// Name says what it cuts.
	Name text.Name
	// Chainage of the cut, mm.
	Chainage float64
}

// CrossSections lists the cuts that show how this plan is built, in the order
// in which they lie along the fence: through the strip that vehicles cross,
// through guide post and motor, through the run-back strip.
func CrossSections(p *plan.Plan) []CrossSection {
	var all []CrossSection
	add := func(id string, name text.Name, x float64) {
		all = append(all, CrossSection{ID: id, Letter: string(rune('A' + len(all))), Name: name, Chainage: x})
	}
	if p.HangsFree() {
		add("drive", "Leaf over the drive", p.Opening/2)
	} else if p.Site.CarriesTrack {
		add("drive", "Track on the drive", p.Opening/2)
	} else {
		add("drive", "Drive strip", p.Opening/2)
	}
	middle := func(kind plan.PartKind) (float64, bool) {
		for o := range p.Parts(kind) {
			return o.Ring.Centroid().X, true
		}
		return 0, false
	}
	if x, ok := middle(plan.PartGuidePost); ok {
		add("guide", "Guide post", x)
	}
	if x, ok := middle(plan.PartMotor); ok && p.HangsFree() {
		add("motor", "Block and motor", x)
	} else if ok {
		add("motor", "Motor pad", x)
	}
	if h := p.Leaf.Hanging; h != nil {
		add("carriage", "Block and rear carriage", h.Rear)
	}
	if x, ok := freeStrip(p); ok {
		add("runBack", "Run-back strip", x)
	}
	if g := p.Ground; g != nil && g.Rising != nil && g.Rising.End > g.Rising.Start {
		// Where the earth is highest, but still under the open leaf.
		last := min(g.Rising.End, p.Leaf.OpenAt+p.Leaf.Frame) - 1
		add("cavity", "Cavity and wall", max(g.Rising.Start+1, min(last, g.Rising.HighestAt)))
	}
	if f := p.Footing; f != nil {
		for i := range f.Posts {
			if f.Posts[i].Number == f.Highest {
				add("footing", "Steel footing", f.Posts[i].Chainage)
				break
			}
		}
	}
	return all
}

// freeStrip is a chainage at which the run-back strip lies alone: no pad, hole
// or stop beside it, and the open leaf over it.
func freeStrip(p *plan.Plan) (float64, bool) {
	start, end := p.Opening, 0.0
	for i := range p.Outlines {
		low, high := p.Outlines[i].Ring.Bounds()
		switch p.Outlines[i].Kind {
		case plan.PartPad, plan.PartPostHole, plan.PartMotor, plan.PartOutletPost, plan.PartGuidePost:
			start = max(start, high.X)
		case plan.PartRunBackStrip:
			end = max(end, high.X)
		case plan.PartHardStop:
			end = min(end, low.X)
		}
	}
	return (start + end) / 2, end > start
}

// span is what one part takes of a cross section: offsets y1 to y2, levels
// bottom to top below the finished surface, mm.
type span struct {
	part        *plan.Outline
	y1, y2      float64
	top, bottom float64
	crown       float64
	reinforced  bool
}

// across cuts an outline at a chainage.
func across(o *plan.Outline, x float64) (y1, y2 float64, ok bool) {
	y1, y2 = math.Inf(1), math.Inf(-1)
	n := len(o.Ring)
	for i, a := range o.Ring {
		b := o.Ring[(i+1)%n]
		if (a.X > x) == (b.X > x) {
			continue
		}
		y := a.Y + (x-a.X)/(b.X-a.X)*(b.Y-a.Y)
		y1, y2 = min(y1, y), max(y2, y)
	}
	return y1, y2, y2 > y1
}

// crossing gathers what one cross section shows.
type crossing struct {
	p        *plan.Plan
	rules    *practice.Practice
	o        *SceneOptions
	s        *draw.Scene
	cut      CrossSection
	concrete []span
	leaves   []span
	// The window of the drawing: offsets and levels, mm.
	left, right, low, high float64
}

// How much of what stands above the ground a section shows, mm.
const crossHigh = 420

// CrossSectionScene draws a cut square to the fence. Offsets run to the right,
// so that the street is on the left whichever way the gate runs; level 0 is the
// finished surface at the track.
func CrossSectionScene(p *plan.Plan, rules *practice.Practice, cut CrossSection, o SceneOptions) *draw.Scene {
	c := crossing{p: p, rules: rules, o: &o, cut: cut, s: &draw.Scene{}}
	title := text.Say("{0}  {1}, {2} from the latch post", text.Typed(cut.Letter), text.Word(cut.Name),
		text.MM(cut.Chainage))
	c.s.Title = o.label(title)
	c.gather()
	c.s.Desc = c.description()
	c.ground()
	c.pour()
	c.stand()
	c.sizes()
	return c.s
}

func (c *crossing) gather() {
	x := c.cut.Chainage
	c.left, c.right, c.low, c.high = -postDepth(c.p)-120, 300, -150, crossHigh
	for i := range c.p.Outlines {
		o := &c.p.Outlines[i]
		y1, y2, ok := across(o, x)
		if !ok {
			continue
		}
		switch {
		case o.Kind == plan.PartFootingHole:
			// Its depth counts from the ground where it stands: see footing.
		case o.Concrete:
			c.concrete = append(c.concrete,
				span{part: o, y1: y1, y2: y2, top: -o.Top, bottom: -o.Depth, crown: o.Crown, reinforced: o.Mesh})
			c.low = min(c.low, -o.Depth)
		case o.Kind == plan.PartLeafShut && x < c.p.Opening, o.Kind == plan.PartLeafOpen && x >= c.p.Opening:
			c.leaves = append(c.leaves, span{part: o, y1: y1, y2: y2})
		}
		c.right = max(c.right, y2)
	}
	c.gatherGround()
	if h := c.p.Leaf.Hanging; h != nil {
		c.high = max(c.high, c.underLeaf(h)+h.Beam.Height+crossHigh/2)
	}
	c.right += 150
	c.low -= 80
}

// onDrive says whether a place lies between the driveway's edges.
func (c *crossing) onDrive(y float64) bool {
	inside := false
	ring := c.p.Site.Drive
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y > y) != (b.Y > y) && c.cut.Chainage < a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	return inside
}

func (c *crossing) tag(id string, role draw.Role) draw.Tag {
	return draw.Tag{ID: "cross." + c.cut.ID + "." + id, Layer: LayerSite, Role: role}
}

// existingThickness is how thick a surface is drawn whose thickness was not
// asked for: it is not dimensioned.
var existingThickness = map[string]float64{survey.SurfaceConcrete: 100, survey.SurfacePavers: 60,
	survey.SurfaceBitumen: 45, survey.SurfaceGravel: 80}

// ground draws the earth and what the drive is made of.
func (c *crossing) ground() {
	earth := c.tag("earth", draw.RoleGround)
	earth.Context = true
	ring := draw.Ring{draw.Pt(c.left, c.low)}
	ring = append(ring, draw.Pt(c.right, c.low))
	line := c.groundLine(c.left, c.right)
	for i := len(line) - 1; i >= 0; i-- {
		ring = append(ring, line[i])
	}
	c.s.Add(draw.Region{Tag: earth, Outer: tidyRing(ring), Hatch: draw.HatchEarth, Open: true})
	drive := c.onDrive(c.p.Track.Offset)
	if thick := existingThickness[c.p.Site.Surface]; drive && thick > 0 {
		hatch := draw.HatchConcrete
		switch c.p.Site.Surface {
		case survey.SurfacePavers:
			hatch = draw.HatchPavers
		case survey.SurfaceBitumen:
			hatch = draw.HatchBitumen
		case survey.SurfaceGravel:
			hatch = draw.HatchGravel
		}
		t := c.tag("surface", draw.RoleExisting)
		t.Context = true
		for _, part := range c.besideConcrete() {
			c.s.Add(draw.Region{Tag: t, Outer: draw.RectRing(part[0], -thick, part[1], 0), Hatch: hatch})
		}
		words := map[string]string{survey.SurfaceConcrete: "Concrete as it is", survey.SurfacePavers: "Pavers as they are",
			survey.SurfaceBitumen: "Bitumen as it is", survey.SurfaceGravel: "Gravel as it is"}[c.p.Site.Surface]
		c.note("surface.name", c.right-50, -thick/2, draw.Right, words)
	}
	for _, part := range c.besideConcrete() {
		c.s.Add(draw.Polyline{Tag: c.tag("ground", draw.RoleGround), Points: c.groundLine(part[0], part[1])})
	}
}

// besideConcrete are the offsets at which nothing is poured.
func (c *crossing) besideConcrete() [][2]float64 {
	var parts [][2]float64
	at := c.left
	for _, s := range c.profile() {
		if s.y1 > at {
			parts = append(parts, [2]float64{at, s.y1})
		}
		at = max(at, s.y2)
	}
	if c.right > at {
		parts = append(parts, [2]float64{at, c.right})
	}
	return parts
}

// profile is the concrete united: stretches side by side from the fence out,
// each with the deepest underside and the highest top that is asked of it.
func (c *crossing) profile() []span {
	var cuts []float64
	for i := range c.concrete {
		cuts = append(cuts, c.concrete[i].y1, c.concrete[i].y2)
	}
	sortFloats(cuts)
	var out []span
	for i := 1; i < len(cuts); i++ {
		if cuts[i]-cuts[i-1] < plan.Tolerance {
			continue
		}
		mid := (cuts[i] + cuts[i-1]) / 2
		s := span{y1: cuts[i-1], y2: cuts[i], top: math.Inf(-1), bottom: 0}
		found := false
		for k := range c.concrete {
			q := &c.concrete[k]
			if mid < q.y1 || mid > q.y2 {
				continue
			}
			found = true
			s.top, s.bottom = max(s.top, q.top), min(s.bottom, q.bottom)
		}
		if !found {
			continue
		}
		if n := len(out); n > 0 && out[n-1].y2 == s.y1 && out[n-1].top == s.top && out[n-1].bottom == s.bottom {
			out[n-1].y2 = s.y2
			continue
		}
		out = append(out, s)
	}
	return out
}

func sortFloats(v []float64) {
	for i := 1; i < len(v); i++ {
		for k := i; k > 0 && v[k] < v[k-1]; k-- {
			v[k], v[k-1] = v[k-1], v[k]
		}
	}
}

// SectionMarks are the marks that show on the set-out plan where each section
// is cut: a short stroke on either side, with its letter.
func SectionMarks(p *plan.Plan, sections []CrossSection, o SceneOptions) []draw.Element {
	_, high := boundsOfParts(p)
	out := max(high.Y, 0)
	var all []draw.Element
	for i := range sections {
		c := &sections[i]
		t := draw.Tag{ID: "section." + c.Letter, Layer: LayerSizes, Role: draw.RoleCut, Context: true}
		street, inside := -postDepth(p)-p.Opening/40, out+p.Opening/60
		long := p.Opening / 40
		all = append(all,
			draw.Line{Tag: t, From: draw.Pt(c.Chainage, street), To: draw.Pt(c.Chainage, street-long)},
			draw.Line{Tag: t, From: draw.Pt(c.Chainage, inside), To: draw.Pt(c.Chainage, inside+long)},
			draw.Text{Tag: t, At: draw.Pt(c.Chainage, inside+2.4*long), Text: c.Letter})
	}
	return all
}

func (c *crossing) note(id string, y, z float64, side draw.Side, words string) {
	c.s.Add(draw.Leader{Tag: c.tag(id, draw.RoleNote), At: draw.Pt(y, z), Side: side, Text: c.o.words(words)})
}

func (c *crossing) size(id string, from, to draw.Point, d draw.Direction, side draw.Side, value float64) {
	t := draw.Tag{ID: "dim.cross." + c.cut.ID + "." + id, Layer: LayerSizes, Role: draw.RoleNote,
		Voice: draw.VoiceWorkedOut}
	c.s.Add(draw.Dimension{Tag: t, From: from, To: to, Direction: d, Side: side, Text: c.o.figure(text.MM(value))})
}

// description is the summary for those who cannot see the drawing.
func (c *crossing) description() string {
	words := c.s.Title + ". " + c.o.words("The street is on the left.")
	for i := range c.concrete {
		s := &c.concrete[i]
		t := text.Say("{0}: {1} wide, {2} deep.", text.Word(s.part.Name), text.MM(s.y2-s.y1),
			text.MM(s.top-s.bottom))
		words += " " + c.o.label(t)
	}
	return words
}
