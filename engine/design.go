package engine

import (
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/network"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// Sketch is a design begun: its outlines stand, for a drawing that follows the
// keys of who types; what they cost, bear and weigh is still to be found. It
// keeps what the first passes made, for those that follow.
type Sketch struct {
	practice   practice.Practice
	inputs     inputs
	assumed    []survey.Assumption
	site       plan.SiteOutline
	network    *plan.Network
	ground     *plan.Ground // as it was read; nil where it is level
	layout     layout
	leaf       plan.Leaf // without its motion
	track      plan.Track
	treatment  driveTreatment
	blown      leafWind
	footing    *plan.Footing      // as it is laid out; nil where there is none
	excavation *ground.Excavation // nil where none is dug
	parts      []plan.Outline     // without their depths
	poured     []geom.Region
	conduits   []plan.Conduit
	lines      []plan.DimensionLine
	refused    []plan.Refusal
	doubtful   bool // a default stands for a refused rule of strength

	plan     plan.Plan
	finished bool
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
func Design(s survey.Survey, p practice.Practice) (plan.Plan, error) {
	sketch, err := Begin(s, p)
	return *sketch.Finish(), err
}

// Begin makes the first passes of [Design], and returns its error: everything
// that the set-out plan draws, which is less than half of the work.
func Begin(s survey.Survey, practice practice.Practice) (*Sketch, error) {
	d := &Sketch{practice: practice}
	p, in, l := &d.practice, &d.inputs, &d.layout.placement
	refused := p.ReplaceRefused()
	d.doubtful = standsFor(refused)
	network, misread := network.Adjust(&s, p)
	r := survey.NewReader(&s, p)
	inputs, obstructions, survey := readSite(r, network)
	d.network, d.inputs, d.assumed = network, inputs, r.Assumed()
	in.bearing.Scale(p.SoilBears)

	driveway := in.driveway()
	d.layout.placement = place(in, p)
	d.ground = ground.Fit(&survey, &driveway, l.trackOffset, p)
	d.leaf, d.refused = buildLeaf(in, p, l, d.ground.Slope())
	d.track = planTrack(p, l, &d.leaf)
	d.layout.stripEnds = endStrip(in, p, l, &d.leaf)
	d.treatment = chooseDriveTreatment(in, p, l)
	d.blown = leafInWind(in, p, l, &d.leaf)
	footing, noBar := layoutFooting(in, p, &d.layout, &d.leaf, &d.blown)
	d.footing = footing
	back, end := cavityReach(in, p, &d.layout, &d.leaf)
	d.excavation = ground.LayoutExcavation(d.ground, &driveway, back, end, l.footDepth, p)
	d.parts = outlineParts(in, p, &d.layout, &d.treatment, &d.leaf, &d.track, d.footing, d.excavation)
	poured, noUnion := unitePoured(d.parts)
	d.poured = poured
	d.site = outlineSite(in, p, l, obstructions)
	d.conduits = layConduits(in, p, l)
	d.lines = dimensionLines(in, p, &d.layout, &d.treatment, d.leaf.RearOpen, obstructions)

	d.refused = append(append(d.refused, noBar...), noUnion...)
	d.plan = d.drawn()
	refused = append(append(refused, misread...), r.Refused()...)
	return d, refused.OrNil()
}

// drawn is the plan as far as the first passes make it.
func (d *Sketch) drawn() plan.Plan {
	in := &d.inputs
	return plan.Plan{Opening: in.width, Hand: in.hand, SeenFrom: in.seenFrom, Assumed: d.assumed, Site: d.site,
		Outlines: d.parts, Poured: d.poured,
		Leaf: d.leaf, Track: d.track, Footing: d.footing, Conduits: d.conduits, Dimensions: d.lines, Network: d.network,
		Ground: d.ground, Refused: d.refused}
}

// Plan is the plan as far as it is found. Until Finish it holds what
// [SetOutScene] draws: the site, outlines without their depths, leaf, track,
// conduits and dimension lines; figures, quantities, checks and pegs are still
// empty.
func (d *Sketch) Plan() *plan.Plan { return &d.plan }

// Finish makes the passes that are left and returns the plan of Plan, now whole.
// Once is enough; more calls change nothing.
func (d *Sketch) Finish() *plan.Plan {
	if d.finished {
		return &d.plan
	}
	d.finished = true
	p, in, l, t := &d.practice, &d.inputs, &d.layout, &d.treatment
	site := groundSiteOf(in, l, d.excavation)
	ground, padDepths, noGround := ground.Shape(d.ground, &site, d.parts, p)
	footing, noFooting := standFooting(d.footing, in, p, &d.leaf, ground, d.parts)
	ground = thickenPad(ground, footing)
	stand := standGuide(in, p, &l.placement, &d.blown, footing, ground)
	if l.hasHole {
		stand.hole.raise(padTop(padDepths))
	}
	parts := giveDepths(d.parts, l, t, padDepths, footing, &stand.hole)
	motion, noMotion := forcesOf(in, p, l.hasMotor, &d.leaf, &d.blown)
	proof := proveMotion(in, p, &l.placement, &d.leaf, &d.track, &d.site, parts)
	steel := listCuts(p, &d.leaf, len(d.track.Lines), footing, parts)
	pegs, diagonals := setOut(parts, in.width, footing, ground)
	take := taker{in: in, p: p, l: l, treatment: t, parts: parts, site: &d.site, footing: footing}
	quantities := take.quantify(&d.track, d.conduits, ground, pricedOf(&d.leaf, l.hasGuide, steel.Mass, ground))

	plan := &d.plan
	*plan = d.drawn()
	plan.Outlines, plan.Footing, plan.Ground = parts, footing, ground
	plan.Leaf.Motion, plan.Leaf.Proof = motion, proof
	plan.Steel, plan.Pegs, plan.Diagonals, plan.Quantities = steel, pegs, diagonals, quantities
	plan.Refused = slices.Concat(d.refused, noGround, noFooting, noMotion, take.refused)
	read := &designed{in, p, l, t, &stand, plan}
	plan.Strength = strengthen(read)
	plan.Figures = read.figures()
	found := read.check()
	if d.doubtful {
		found.doubt()
	}
	plan.Checks, plan.Quiet, plan.Cautions = found.checks, found.silent, found.cautions
	return plan
}
