package stages

import (
	"cmp"
	"math"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// leafBuilder adds up the members of one panel after another.
type leafBuilder struct {
	in                    *Inputs
	p                     *practice.Practice
	leaf                  *plan.Leaf
	sin                   float64
	cos                   float64
	tan                   float64
	metal                 float64 // density over steel's
	aluminium             bool
	inset                 float64
	panel                 *plan.Panel
	along, height, offset float64 // first moments, kg·mm
}

// BuildLeaf makes the leaf: its length and travel, the members of all panels,
// their cut lengths, masses and centres of gravity, and the loads of its wheels.
//
// On a grade θ the stiles stand plumb and the rails run along the track: a rail
// is F/cos θ long, a stile H − (h_top + h_bottom)/cos θ, and all ends are cut θ
// off square.
func BuildLeaf(in *Inputs, p *practice.Practice, l *Placement, slope float64) (plan.Leaf, []plan.Refusal) {
	return buildLeaf(in, p, l, slope, &plan.Leaf{})
}

// usualMembers is how many kinds of members a leaf has at most without a list that must
// grow.
const usualMembers = 10

// buildLeaf is [BuildLeaf] with its lists written over those of a leaf that is not wanted.
func buildLeaf(in *Inputs, p *practice.Practice, l *Placement, slope float64, over *plan.Leaf) (plan.Leaf, []plan.Refusal) {
	leaf := layoutLeaf(in, p, l, over.Panels)
	b := leafBuilder{in: in, p: p, leaf: &leaf, metal: 1, inset: l.wheelInset}
	b.sin, b.cos = math.Sincos(slope)
	b.tan = math.Abs(b.sin / b.cos)
	if in.Metal == survey.MetalAluminium {
		b.metal, b.aluminium = steel.AluminiumDensity/steel.Density, true
	}
	leaf.Slope, leaf.Rise = slope, leaf.Frame*b.sin/b.cos
	leaf.GuideRailCut, leaf.RackCut = leaf.GuideRail/b.cos, leaf.Rack/b.cos
	leaf.Bays = int(max(1, math.Ceil(leaf.Frame/p.FrameBay-1e-9)))
	leaf.Foot, leaf.RackAt, leaf.RailSize, leaf.BottomSize, leaf.RollerGap = p.LeafAbove, p.RackHeight, p.RailHeight,
		p.BottomRail, p.RollerSpacing
	if leaf.Members = over.Members[:0]; leaf.Members == nil {
		leaf.Members = make([]plan.Member, 0, usualMembers)
	}
	var err error
	for i := range leaf.Panels {
		b.build(&leaf.Panels[i])
		if e := b.loads(); err == nil {
			err = e
		}
		leaf.Mass += leaf.Panels[i].Mass
	}
	return leaf, plan.AppendRefusal(nil, plan.QuestionWheelsUnjudged, plan.Stop, "What the wheels carry", err,
		practice.PracticePath+practice.RuleLeafWheelInset)
}

// tube is a hollow section of the frame, and what it is called; where its corners do not fit, the
// area of the square-cornered one stands in and the plan says so.
func (b *leafBuilder) tube(height, width, wall float64) (steel.Section, text.Name) {
	s, err := steel.Hollow(height, width, wall)
	if err != nil {
		b.leaf.SectionMissing = true
		inner := max(0, height-2*wall) * max(0, width-2*wall)
		s = steel.Section{Height: height, Width: width, Area: height*width - inner}
	}
	name := cmp.Or(text.Name(s.Name), "no such section")
	if b.aluminium {
		name = text.Named("aluminium {0}", name)
	}
	return s, name
}

// add adds a mass (kg) with its centre to the panel.
func (b *leafBuilder) add(mass, along, height, offset float64) {
	b.panel.Mass += mass
	b.along += mass * along
	b.height += mass * height
	b.offset += mass * offset
}

// member adds a line to the cut list; equal ones of other panels join it. wide
// is the member's size across its length in the plane of the leaf.
func (b *leafBuilder) member(m plan.Member, wide float64) {
	m.CutOff = math.Abs(b.leaf.Slope)
	m.Blank = m.Length + wide*b.tan
	for i := range b.leaf.Members {
		have := &b.leaf.Members[i]
		if have.Mark == m.Mark && have.Length == m.Length && have.Section == m.Section {
			have.Count += m.Count
			have.Mass += m.Mass
			return
		}
	}
	b.leaf.Members = append(b.leaf.Members, m)
}

func (b *leafBuilder) build(panel *plan.Panel) {
	b.panel, b.along, b.height, b.offset = panel, 0, 0, 0
	p, leaf := b.p, b.leaf
	rail, railName := b.tube(p.RailHeight, p.LeafThickness, p.FrameWall)
	frame, high, foot := leaf.Frame, leaf.Height, p.LeafAbove
	railPlumb, bottomPlumb := p.RailHeight/b.cos, p.BottomRail/b.cos

	stile := max(0, high-railPlumb-bottomPlumb)
	if b.in.Hangs {
		b.hangingMembers(panel, rail, railName, stile)
	} else {
		b.bottomRail(panel)
	}

	length := frame / b.cos
	mass := rail.Mass(length) * b.metal
	b.member(plan.Member{Mark: "Top rail", Section: railName, Length: length, Count: 1, Mass: mass, Metal: true},
		p.RailHeight)
	b.add(mass, frame/2, foot+high-railPlumb/2, 0)

	stiles := leaf.Bays + 1
	mass = rail.Mass(stile) * b.metal * float64(stiles)
	b.member(plan.Member{Mark: markStile, Section: railName, Length: stile, Count: stiles, Mass: mass, Metal: true},
		p.RailHeight)
	b.add(mass, frame/2, foot+bottomPlumb+stile/2, 0)

	b.infill(stile, foot+bottomPlumb)

	over := (frame + panel.RailOver) / b.cos
	mass = p.MassGuideRail * over / 1000
	b.member(plan.Member{Mark: "Guide rail", Section: "guide rail", Length: over, Count: 1, Mass: mass}, 0)
	b.add(mass, (frame+panel.RailOver)/2, foot+high, 0)
	if panel.Driven {
		mass = p.MassRack * leaf.RackCut / 1000
		b.member(plan.Member{Mark: "Rack", Section: "rack", Length: leaf.RackCut, Count: 1, Mass: mass}, 0)
		b.add(mass, leaf.Rack/2, p.RackHeight, p.LeafThickness/2)
	}
	for _, at := range b.wheels() {
		if b.in.Hangs {
			break
		}
		b.add(p.MassWheel, at, foot, 0)
	}
	panel.CentreAlong, panel.CentreHeight, panel.CentreOffset = b.along/panel.Mass, b.height/panel.Mass,
		b.offset/panel.Mass
}

// bottomRail is that of a panel, with its tail.
func (b *leafBuilder) bottomRail(panel *plan.Panel) {
	p, leaf := b.p, b.leaf
	bottom, name := b.tube(p.BottomRail, p.LeafThickness, p.FrameWall)
	length := (leaf.Frame + panel.Tail) / b.cos
	mass := bottom.Mass(length) * b.metal
	mark := text.Name("Bottom rail")
	if panel.Tail > plan.Tolerance {
		mark = "Bottom rail with tail"
	}
	b.member(plan.Member{Mark: mark, Section: name, Length: length, Count: 1, Mass: mass, Metal: true}, p.BottomRail)
	b.add(mass, (leaf.Frame+panel.Tail)/2, p.LeafAbove+p.BottomRail/b.cos/2, 0)
}

// wheels are where the wheels stand from the leading edge; never past the
// middle of a short panel.
func (b *leafBuilder) wheels() [2]float64 {
	inset := min(b.inset, (b.leaf.Frame-b.p.WheelsApart)/2)
	return [2]float64{inset, b.leaf.Frame - inset}
}

// infill fills the frame: within it where the leaf's front is flush, over its
// whole front where cladding was measured. stile is the clear height, low that
// of its lower end.
func (b *leafBuilder) infill(stile, low float64) {
	p, leaf, onFront := b.p, b.leaf, b.in.Cladding > 0
	leaf.Infill, leaf.Colour = infillOf(b.in.Infill, p), b.in.colour
	bays := float64(leaf.Bays)
	bay := max(0, (leaf.Frame-(bays+1)*p.RailHeight)/bays)
	wide, high, fields, offset := bay, stile, leaf.Bays, 0.0
	if onFront {
		wide, high, fields = leaf.Frame, leaf.Height, 1
		low, offset = p.LeafAbove, -(p.LeafThickness+b.in.Cladding)/2
	}
	if wide <= 0 || high <= 0 {
		return
	}
	centre := low + high/2
	spread := func(mass float64) { b.add(mass, leaf.Frame/2, centre, offset) }
	row := func(room, size, gap float64) int {
		if onFront { // flush with both ends of the frame
			return max(1, int(math.Floor((room+gap)/(size+gap)+1e-9)))
		}
		return max(1, int(math.Floor((room-gap)/(size+gap)+1e-9)))
	}
	switch b.in.Infill {
	case survey.InfillBattens:
		n := row(high*b.cos, p.BattenHeight, p.BattenGap) * fields
		length := wide / b.cos
		mass := p.MassBattens * float64(n) * length * p.BattenHeight / 1e6
		b.member(plan.Member{Mark: "Batten", Section: "batten", Length: length, Count: n, Mass: mass}, p.BattenHeight)
		spread(mass)
	case survey.InfillBoards:
		n := row(wide, p.BoardWidth, p.BoardGap) * fields
		mass := p.MassBoards * float64(n) * high * p.BoardWidth / 1e6
		b.member(plan.Member{Mark: "Board", Section: "board", Length: high, Count: n, Mass: mass}, p.BoardWidth)
		spread(mass)
	case survey.InfillUprights:
		bar, barName := b.tube(p.UprightSize, p.UprightSize, p.UprightWall)
		n := max(0, int(math.Ceil((bay-p.UprightGap)/(p.UprightSize+p.UprightGap)-1e-9))) * leaf.Bays
		if n == 0 || stile <= 0 {
			return
		}
		mass := bar.Mass(stile) * b.metal * float64(n)
		b.member(plan.Member{Mark: "Upright bar", Section: barName, Length: stile, Count: n, Mass: mass, Metal: true},
			p.UprightSize)
		b.add(mass, leaf.Frame/2, centre, 0)
	case survey.InfillSheet:
		spread(p.MassSheet * wide * high * float64(fields) / 1e6)
	case survey.InfillMesh:
		spread(p.MassMesh * wide * high * float64(fields) / 1e6)
	}
}

func infillOf(kind string, p *practice.Practice) plan.Infill {
	switch kind {
	case survey.InfillBattens:
		return plan.Infill{Kind: kind, Size: p.BattenHeight, Gap: p.BattenGap}
	case survey.InfillBoards:
		return plan.Infill{Kind: kind, Size: p.BoardWidth, Gap: p.BoardGap}
	case survey.InfillUprights:
		return plan.Infill{Kind: kind, Size: p.UprightSize, Gap: p.UprightGap}
	}
	return plan.Infill{Kind: kind}
}
