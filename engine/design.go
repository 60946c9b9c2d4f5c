package engine

import (
	"math"

	"pegpour/engine/geom"
)

// makeRoom sizes the lists for what a site of this ground usually has, so that
// they need not be moved while they grow.
func (plan *Plan) makeRoom() {
	outlines := 12
	if plan.Ground != nil {
		outlines = 28
	}
	plan.Outlines = make([]Outline, 0, outlines)
	plan.Dimensions, plan.Pegs, plan.Diagonals = make([]DimensionLine, 0, 24), make([]Peg, 0, 16), make([]Diagonal, 0, 8)
	plan.Quantities.Lines = make([]CostLine, 0, 12)
}

// Sketch is a design begun: its outlines stand, for a drawing that follows the
// keys of who types; what they cost, bear and weigh is still to be found.
type Sketch struct {
	plan      Plan
	practice  Practice
	inputs    inputs
	layout    layout
	treatment driveTreatment
}

// designed is a design as far as its stages have come, for those that only
// read it: figures and checks.
type designed struct {
	inputs    *inputs
	practice  *Practice
	layout    *layout
	treatment *driveTreatment
	plan      *Plan
}

// Design turns a survey and a practice into a plan.
//
// The plan is always usable: a value that was refused is treated as not
// measured and the assumed one stands in, so that the rest of the drawing
// remains. The error, when there is one, is a Refusals that names each refused
// field, what was given and what is allowed. Rules of practice out of range
// stand at their defaults.
//
// Design is deterministic and changes neither argument.
func Design(s Survey, p Practice) (Plan, error) {
	sketch, err := Begin(s, p)
	return *sketch.Finish(), err
}

// Begin is the first part of [Design], and returns its error: everything that
// the set-out plan draws, which is less than half of the work.
func Begin(s Survey, practice Practice) (*Sketch, error) {
	sketch := &Sketch{practice: practice}
	p, plan, in, l := &sketch.practice, &sketch.plan, &sketch.inputs, &sketch.layout
	plan.unfinished = true
	refused := p.ReplaceRefused()
	network, misread := surveyNetwork(&s, p)
	r := NewReader(&s, p)
	*in = resolve(r)
	obstructions := resolveObstructions(r, in.width)
	network.outline(obstructions)

	plan.Network = network
	plan.Opening, plan.Hand, plan.SeenFrom = in.width, in.hand, in.seenFrom
	*l = place(in, p)
	plan.gradeGround(r, in, p, l)
	plan.makeRoom()
	plan.Leaf = planLeaf(in, p, l)
	plan.Track = planTrack(p, l, &plan.Leaf)
	plan.buildLeaf(in, p, l)
	stripLimits(in, p, l, &plan.Leaf)
	plan.fall(in, p, l)
	sketch.treatment = treat(in, p, l)
	plan.Site = siteOutline(in, p, l, obstructions)
	plan.pour(in, p, l, &sketch.treatment)
	plan.slot(in, p, l)
	plan.unite()
	plan.layConduits(in, p, l)
	plan.dimension(in, p, l, &sketch.treatment)
	plan.Assumed = r.Assumed()
	refused = append(append(refused, misread...), r.Refused()...)
	return sketch, refused.orNil()
}

// Plan is the plan as far as it is found. Until Finish it holds what
// [SetOutScene] draws: the site, outlines, leaf, track, conduits and dimension
// lines; figures, quantities, checks and pegs are still empty.
func (sketch *Sketch) Plan() *Plan { return &sketch.plan }

// Finish finds the rest and returns the plan of Plan, now whole. Once is enough;
// more calls change nothing.
func (sketch *Sketch) Finish() *Plan {
	plan, p, in, l, treatment := &sketch.plan, &sketch.practice, &sketch.inputs, &sketch.layout, &sketch.treatment
	if !plan.unfinished {
		return plan
	}
	plan.modelGround(in, l)
	plan.standPosts(in, p)
	plan.shapeGround(in, p, l)
	plan.deepenPad(in, p, l)
	plan.moveLeaf(in, p, l)
	d := &designed{in, p, l, treatment, plan}
	plan.Strength = strengthen(d)
	plan.cutList(in, p)
	plan.setOut(in)
	plan.pegPosts()
	plan.levelPegs()
	plan.quantify(in, p, l, treatment)
	plan.Figures = d.figures()
	found := d.check()
	plan.Checks, plan.Quiet, plan.Cautions = found.checks, found.silent, found.cautions
	plan.unfinished = false
	return plan
}

// resolveObstructions puts the taped obstructions into the frame.
func resolveObstructions(r *Reader, opening float64) []ObstructionBox {
	list := r.Survey().RunBack.Obstructions
	list = list[:r.Entries(RunBackObstructions, "Things in the way", len(list), MaxObstructions)]
	boxes := make([]ObstructionBox, 0, len(list))
	for i := range list {
		// What was started and not measured yet is not drawn.
		if !list[i].Along.Known() && !list[i].Offset.Known() {
			continue
		}
		kind := r.Choice(ObstructionKind.At(i))
		r.Words(ObstructionName.At(i))
		along, _ := r.Number(ObstructionAlong.At(i))
		offset, _ := r.Number(ObstructionOffset.At(i))
		length, _ := r.Number(ObstructionLength.At(i))
		width, _ := r.Number(ObstructionWidth.At(i))
		x := opening + along
		boxes = append(boxes, ObstructionBox{Index: i, Kind: kind, Name: list[i].Name, Box: box{x, offset, x + length, offset + width}.ring()})
	}
	return boxes
}

// siteOutline is what stands there, as far as the drawing shows it.
func siteOutline(in *inputs, p *Practice, l *layout, obstructions []ObstructionBox) SiteOutline {
	site := SiteOutline{Surface: in.surface, CarriesTrack: l.carries, Obstructions: obstructions,
		Room: in.width + in.room, RoomKnown: in.roomKnown, Depth: in.depth, DepthKnown: in.depthKnown}
	site.PostLatch = box{-in.postLatch, -in.postDepth, 0, 0}.ring()
	site.PostRunBack = box{in.width, -in.postDepth, in.width + in.postRunBack, 0}.ring()
	// Far enough in to show the pad and a car's length of drive, and a little
	// of the street side.
	inner := math.Max(l.padOut, math.Max(p.PadOut, 0)) + in.width/3
	outer := -in.postDepth - in.width/8
	site.RunBackEdge = in.runBackEdge.Between(outer, inner)
	site.LatchEdge = in.latchEdge.Between(outer, inner)
	site.Drive = make(geom.Polygon, 0, len(site.RunBackEdge)+len(site.LatchEdge))
	site.Drive = append(site.Drive, site.RunBackEdge...)
	for i := len(site.LatchEdge) - 1; i >= 0; i-- {
		site.Drive = append(site.Drive, site.LatchEdge[i])
	}
	return site
}
