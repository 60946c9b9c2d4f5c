package engine

import (
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/network"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
)

// Sketch is a design begun: its outlines stand, for a drawing that follows the
// keys of who types; what they cost, bear and weigh is still to be found. It
// keeps what the first passes made, for those that follow.
type Sketch struct {
	practice   practice.Practice
	inputs     stages.Inputs
	assumed    []survey.Assumption
	site       plan.SiteOutline
	network    *plan.Network
	ground     *plan.Ground // as it was read; nil where it is level
	layout     stages.Layout
	leaf       plan.Leaf // without its motion
	track      plan.Track
	treatment  stages.DriveTreatment
	blown      stages.LeafWind
	footing    *plan.Footing      // as it is laid out; nil where there is none
	excavation *ground.Excavation // nil where none is dug
	parts      []plan.Outline     // without their depths
	poured     []geom.Region
	conduits   []plan.Conduit
	lines      []plan.DimensionLine
	refused    []plan.Refusal
	unheld     bool // no block that is proposed holds the carriages
	doubtful   bool // a default stands for a refused rule of strength

	plan       plan.Plan
	finished   bool
	unsearched bool // finished, but for remedies that are found by search
	searches   searching
	bare       bool      // its figures wait until they are asked for; a pair's do not
	read       *designed // once finished; nil for a pair

	pair *pairSketch // of two leaves that meet; nil for one
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

// Judge is Design without the remedies that are found by search, for who tries
// many designs and reads what they hold: it takes half the time.
func Judge(s survey.Survey, p practice.Practice) (plan.Plan, error) {
	sketch, err := Begin(s, p)
	return *sketch.Judge(), err
}

// Begin makes the first passes of [Design], and returns its error: everything
// that the set-out plan draws, which is less than half of the work.
func Begin(s survey.Survey, p practice.Practice) (*Sketch, error) { return begin(&s, &p) }

func begin(s *survey.Survey, p *practice.Practice) (*Sketch, error) {
	if survey.Paired(s) && s.Meets == 0 {
		return beginPair(*s, *p)
	}
	return beginLeaf(s, p, nil)
}

// beginLeaf begins the design of one leaf. outlined are the outlines of things in the way
// that a tape network of the whole site gives to a side of two leaves, in its own frame.
func beginLeaf(s *survey.Survey, rules *practice.Practice, outlined *plan.Network) (*Sketch, error) {
	d := &Sketch{practice: *rules}
	p, in, l := &d.practice, &d.inputs, &d.layout.Placement
	refused := p.ReplaceRefused()
	d.doubtful = standsFor(refused)
	network, misread := network.Adjust(s, p)
	if network != nil {
		outlined = network
	}
	r := survey.NewReader(s, p)
	inputs, obstructions, survey := stages.ReadSite(r, outlined)
	d.network, d.inputs, d.assumed = network, inputs, r.Assumed()
	in.Bearing.Scale(p.SoilBears)
	if in.Meets {
		p.OverlapLatch = -p.PairGap / 2 // each leaf stops short of the other by half the gap
	}

	driveway := in.Driveway()
	d.layout.Placement = stages.Place(in, p)
	d.ground = ground.Fit(&survey, &driveway, l.TrackOffset, p)
	if in.Hangs {
		*p = stages.ForHanging(in, *p)
		*l, d.leaf, d.refused = stages.HangLeaf(in, p, l)
	} else {
		d.leaf, d.refused = stages.BuildLeaf(in, p, l, d.ground.Slope())
	}
	d.track = stages.PlanTrack(p, l, &d.leaf)
	d.layout.StripEnds = stages.EndStrip(in, p, l, &d.leaf)
	d.treatment = stages.ChooseDriveTreatment(in, p, l)
	d.blown = stages.LeafInWind(in, p, l, &d.leaf)
	if in.Hangs {
		var noBlock []plan.Refusal
		l.FootDepth, d.unheld, noBlock = stages.FindBlock(in, p, l, &d.leaf, &d.blown)
		d.refused = append(d.refused, noBlock...)
	}
	footing, noBar := stages.LayoutFooting(in, p, &d.layout, &d.leaf, &d.blown)
	d.footing = footing
	back, end := stages.CavityReach(in, p, &d.layout, &d.leaf)
	d.excavation = ground.LayoutExcavation(d.ground, &driveway, back, end, l.FootDepth, p)
	d.parts = stages.OutlineParts(in, p, &d.layout, &d.treatment, &d.leaf, &d.track, d.footing, d.excavation)
	poured, noUnion := stages.UnitePoured(d.parts)
	d.poured = poured
	d.site = stages.OutlineSite(in, p, l, obstructions)
	d.conduits = stages.LayConduits(in, p, l)
	d.lines = stages.DimensionLines(in, p, &d.layout, &d.treatment, d.leaf.RearOpen, obstructions)

	d.refused = append(append(d.refused, noBar...), noUnion...)
	d.plan = d.drawn()
	refused = append(append(refused, misread...), r.Refused()...)
	return d, refused.OrNil()
}

// drawn is the plan as far as the first passes make it.
func (d *Sketch) drawn() plan.Plan {
	in := &d.inputs
	return plan.Plan{Opening: in.Width, Hand: in.Hand, SeenFrom: in.SeenFrom, Assumed: d.assumed, Site: d.site,
		Outlines: d.parts, Poured: d.poured,
		Leaf: d.leaf, Track: d.track, Footing: d.footing, Conduits: d.conduits, Dimensions: d.lines, Network: d.network,
		Ground: d.ground, Refused: d.refused}
}

// Plan is the plan as far as it is found. Until Finish it holds what
// [SetOutScene] draws: the site, outlines without their depths, leaf, track,
// conduits and dimension lines; figures, quantities, checks and pegs are still
// empty.
func (d *Sketch) Plan() *plan.Plan { return &d.plan }

// Judge makes the passes that are left and returns the plan of Plan, now as [Judge]
// finds it, for a screen that follows the keys: a search takes as long as all the rest.
// Once is enough; more calls change nothing.
func (d *Sketch) Judge() *plan.Plan {
	if !d.finished {
		d.searches, d.unsearched = searching{of: searchNone}, true
		d.finish()
	}
	return &d.plan
}

// Finish makes the passes that are left and returns the plan of Plan, now whole.
// Once is enough; more calls change nothing.
func (d *Sketch) Finish() *plan.Plan {
	switch {
	case !d.finished:
		d.finish()
	case d.unsearched:
		d.unsearched, d.searches = false, searching{}
		d.search()
	}
	return &d.plan
}

// search checks anew, now with the remedies that are found by search.
func (d *Sketch) search() {
	if d.pair != nil {
		d.pair.run.Finish()
		d.pair.latch.Finish()
		d.checkPair()
		return
	}
	d.read.searches = d.searches
	d.lookOver()
}

// lookOver puts what the checks say into the plan of one leaf.
func (d *Sketch) lookOver() {
	found := d.read.check()
	if d.doubtful {
		found.doubt()
	}
	d.plan.Checks, d.plan.Quiet, d.plan.Cautions = found.checks, found.silent, found.cautions
}

// finish makes the passes that are left.
func (d *Sketch) finish() {
	d.finished = true
	if d.pair != nil {
		d.finishPair()
		return
	}
	p, in, l, t := &d.practice, &d.inputs, &d.layout, &d.treatment
	site := stages.GroundSiteOf(in, l, d.excavation)
	ground, padDepths, noGround := ground.Shape(d.ground, &site, d.parts, p)
	leaf := d.leaf
	if in.Hangs {
		var noDig []plan.Refusal
		leaf, ground, padDepths = stages.LevelHanging(in, p, &l.Placement, leaf, ground, d.parts)
		leaf, noDig = stages.DigUnder(in, p, &l.Placement, leaf, ground, d.parts)
		noGround = append(noGround, noDig...)
	}
	footing, noFooting := stages.StandFooting(d.footing, in, p, &leaf, ground, d.parts)
	ground = stages.ThickenPad(ground, footing)
	stand := stages.StandGuide(in, p, &l.Placement, &d.blown, footing, ground)
	if l.HasHole {
		stand.Hole.Raise(stages.PadTop(padDepths))
	}
	parts := stages.GiveDepths(d.parts, l, t, padDepths, footing, &stand.Hole)
	var noBlock []plan.Refusal
	if in.Hangs {
		leaf, noBlock = stages.JudgeBlock(in, p, &l.Placement, leaf, &d.blown, parts, d.unheld)
	}
	motion, noMotion := stages.ForcesOf(in, p, l.HasMotor, &leaf, &d.blown)
	proof := stages.ProveMotion(in, p, &l.Placement, &leaf, &d.track, &d.site, parts)
	steel := stages.ListCuts(p, &leaf, len(d.track.Lines), footing, parts)
	pegs, diagonals := stages.SetOut(parts, in.Width, footing, ground)
	take := stages.Taker{In: in, P: p, L: l, Treatment: t, Parts: parts, Site: &d.site, Footing: footing}
	if in.Hangs {
		take.Clear, take.Dig = stages.BlockClear(in, ground, parts), leaf.Hanging.Dig
	}
	quantities := take.Quantify(&d.track, d.conduits, ground, stages.PricedOf(&leaf, l.HasGuide, l.HasMotor, steel.Mass, ground))

	plan := &d.plan
	*plan = d.drawn()
	plan.Leaf = leaf
	plan.Outlines, plan.Footing, plan.Ground = parts, footing, ground
	plan.Leaf.Motion, plan.Leaf.Proof = motion, proof
	plan.Steel, plan.Pegs, plan.Diagonals, plan.Quantities = steel, pegs, diagonals, quantities
	plan.Refused = slices.Concat(d.refused, noBlock, noGround, noFooting, noMotion, take.Refused)
	d.read = &designed{searches: d.searches, Designed: &stages.Designed{Inputs: in, Practice: p, Layout: l, Treatment: t, Stand: &stand, Plan: plan}}
	plan.Strength = stages.Strengthen(d.read.Designed)
	if !d.bare {
		d.read.explain()
	}
	d.lookOver()
}
