package engine

import (
	"math"

	"pegpour/engine/concrete"
	"pegpour/engine/geom"
)

// quantify sums what is to be poured, dug, bought and priced. No overlap is
// counted twice: every part gives only what no part before it has.
func (plan *Plan) quantify(in *inputs, p *Practice, l *layout, t *driveTreatment) {
	q := &plan.Quantities
	plan.pourVolumes(p, l)
	for i := range q.Parts {
		q.Concrete += q.Parts[i].Volume
	}
	q.DigBank += plan.Ground.extraDig()
	q.Order, _ = concrete.Order(q.Concrete, p.ConcreteWaste)
	if q.Order > 0 {
		q.Bags, _ = concrete.Bags(q.Order, p.BagYield)
		q.Batches, _ = concrete.Batches(q.Order, p.MixerBatch)
	}
	q.ReadyMix = q.Order >= p.ReadyMixMinimum
	q.DigLoose, _ = concrete.Loose(q.DigBank, p.Swell-1)
	q.Loads = int(math.Ceil(q.DigLoose/p.TrailerLoad - 1e-9))
	plan.driveStripItems(p, t)
	plan.hardware(in, p, l)
	plan.price(p)
}

func (plan *Plan) pourVolumes(p *Practice, l *layout) {
	q := &plan.Quantities
	var before []geom.Polygon
	for i := range plan.Outlines {
		o := &plan.Outlines[i]
		if !o.Concrete {
			continue
		}
		thick := o.Depth - o.Top
		part := PartQuantity{ID: o.ID, Name: o.Name, Depth: thick}
		own := geom.AreaBeyond(o.Ring, before)
		q.Area += own
		part.Area = own
		part.Volume = own * thick
		part.How = say("{0} × {1} deep", mm2(own), mm(thick))
		dug := own * (o.Depth - plan.standsClear(o))
		if o.Kind == PartPostHole {
			// Within the footing only what lies below its underside is new;
			// outside it the hole is poured from the top.
			inside := o.Area - own
			below := o.Depth - l.footDepth - plan.padDrop()
			if inside <= 0 {
				below = o.Depth
			}
			part.Area, part.Depth = o.Area, below
			part.Volume = inside*below + own*o.Depth
			dug = part.Volume
			if inside < 1 {
				part.How = say("{0} × {1} deep", mm2(own), mm(o.Depth))
			} else if own > 0 {
				part.How = say("{0} under the footing × {1}, and {2} beside it × {3}", mm2(inside), mm(below), mm2(own), mm(o.Depth))
			} else {
				part.How = say("{0} × {1} from the underside of the footing to the bottom of the hole", mm2(inside), mm(below))
			}
		}
		if o.Kind == PartFootingHole && o.Area-own > 1 {
			part.Volume = plan.holeVolume(i)
			dug = part.Volume
			part.How = say("{0} × {1} deep, less what holes listed before it have", mm2(o.Area), mm(o.Depth))
		}
		if o.Crown > 0 && l.driveWidth > 0 {
			long := own / l.driveWidth
			section, _ := concrete.ParabolicCrown(l.driveWidth, o.Crown)
			crown := section * long
			part.Volume += crown
			part.How = say("{0} × {1} deep, and the crown {2}", mm2(own), mm(thick), mm3(crown))
		}
		if o.Tint {
			q.Tinted += part.Volume * (1 + p.ConcreteWaste)
		}
		if own > 0 && o.Area-own > 1 && o.Kind != PartPostHole && o.Kind != PartFootingHole {
			part.How = say("{0} less {1} shared with what is listed before, × {2} deep", mm2(o.Area), mm2(o.Area-own), mm(thick))
		}
		q.DigBank += dug
		q.Parts = append(q.Parts, part)
		before = append(before, o.Ring)
	}
	q.Form = plan.edgeForm()
}

// unite makes one outline of all that is poured in one level.
func (plan *Plan) unite() {
	poured := make([]geom.Polygon, 0, len(plan.Outlines))
	for i := range plan.Outlines {
		if o := &plan.Outlines[i]; o.Concrete {
			poured = append(poured, o.Ring)
		}
	}
	plan.Poured, _ = geom.Union(poured...)
}

// edgeForm is the length of edge that may want a form: the outline of strip and
// pad beside the drive, without what lies against the drive itself.
func (plan *Plan) edgeForm() float64 {
	var beside []geom.Polygon
	for i := range plan.Outlines {
		switch o := &plan.Outlines[i]; o.Kind {
		case PartRunBackStrip, PartLatchStrip, PartPad:
			beside = append(beside, o.Ring)
		}
	}
	united, _ := geom.Union(beside...)
	var form float64
	for i := range united {
		ring := united[i].Outer
		for k, a := range ring {
			b := ring[(k+1)%len(ring)]
			if !plan.alongDrive(a, b) {
				form += math.Hypot(b.X-a.X, b.Y-a.Y)
			}
		}
	}
	return form
}

// alongDrive reports whether a side lies on an edge of the drive.
func (plan *Plan) alongDrive(a, b geom.Point) bool {
	mid := geom.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}
	for _, line := range [...][]geom.Point{plan.Site.RunBackEdge, plan.Site.LatchEdge} {
		for i := 1; i < len(line); i++ {
			p, q := line[i-1], line[i]
			if mid.Y < p.Y || mid.Y > q.Y || q.Y == p.Y {
				continue
			}
			if x := p.X + (mid.Y-p.Y)*(q.X-p.X)/(q.Y-p.Y); math.Abs(mid.X-x) < tolerance && a.Y != b.Y {
				return true
			}
		}
	}
	return false
}

// driveStripItems are mesh, saw cuts and pavers of the strip vehicles cross.
func (plan *Plan) driveStripItems(p *Practice, t *driveTreatment) {
	q := &plan.Quantities
	for i := range plan.Outlines {
		o := &plan.Outlines[i]
		if o.Kind != PartDriveStrip {
			continue
		}
		low, high := o.Ring.Bounds()
		long := high.X - low.X
		if o.Mesh {
			if run, err := concrete.LapRun(long, p.MeshCover, p.MeshSheet, p.MeshLap); err == nil {
				q.Mesh += run.Cut
				q.MeshSheets += len(run.Pieces)
			}
		}
		if t.sawCut {
			q.SawCut += 2 * long
		}
		if t.liftsPavers {
			q.PaversLifted += o.Area
		}
	}
}

func (plan *Plan) hardware(in *inputs, p *Practice, l *layout) {
	q := &plan.Quantities
	for i := range plan.Track.Lines {
		long := plan.Track.Lines[i].Length
		q.Track += long
		q.Fixings += int(math.Ceil(long/p.FixingSpacing-1e-9)) + 1
	}
	if l.hasMotor {
		q.Anchors += int(p.MotorAnchors)
	}
	if l.hasPlate {
		q.Anchors += int(p.PlateAnchors)
	}
	if in.hardStop {
		q.Anchors += int(p.StopAnchors)
	}
	for i := range plan.Conduits {
		q.Conduit += plan.Conduits[i].Length
	}
}

// layConduits lays what is cast in before the pour.
func (plan *Plan) layConduits(in *inputs, p *Practice, l *layout) {
	if !l.hasMotor {
		return
	}
	run := func(what string, from geom.Point) {
		// Straight out through the back of the pad: never towards the leaf.
		out := geom.Point{X: from.X, Y: l.padOut + p.ConduitBeyond}
		plan.Conduits = append(plan.Conduits, Conduit{For: what, Line: []geom.Point{from, out}, Length: out.Y - from.Y + p.ConduitUpstand + l.footDepth/2})
	}
	middle := l.motor.middle()
	switch {
	case in.motor == MotorWired:
		run("power to the motor", geom.Point{X: middle.X - p.MotorLength/4, Y: middle.Y})
	case l.hasOutlet:
		run("power to the outlet post", l.outlet.middle())
	case in.outlet == OutletGuidePost:
		run("power to the guide post", l.guide.middle())
	}
	if in.cables {
		run("other cables to the motor", geom.Point{X: middle.X + p.MotorLength/4, Y: middle.Y})
	}
}

// price makes the price basis from the shop's rates; a line without a rate is
// named and left out of the sum.
func (plan *Plan) price(p *Practice) {
	q := &plan.Quantities
	line := func(key, name string, rate, amount float64, of Dimension, per float64) {
		if amount <= 0 {
			return
		}
		cost := rate * amount / per
		q.Lines = append(q.Lines, CostLine{Key: key, Name: name, Amount: amount, Of: of, Per: per, Rate: rate, Cost: cost})
		if rate <= 0 {
			q.Unpriced = append(q.Unpriced, name)
			return
		}
		q.Cost += cost
	}
	if q.ReadyMix {
		line("rate.readyMix", "Ready-mix concrete", p.RateReadyMix, q.Order, Volume, 1e9)
	} else {
		line("rate.bag", "Bags of dry mix", p.RateBag, float64(q.Bags), Count, 1)
	}
	line("rate.tint", "Tint", p.RateTint, q.Tinted, Volume, 1e9)
	line("rate.dig", "Digging", p.RateDig, q.DigBank, Volume, 1e9)
	line("rate.spoil", "Loads of spoil", p.RateSpoil, float64(q.Loads), Count, 1)
	line("rate.formwork", "Edge form", p.RateForm, q.Form, Length, 1000)
	line("rate.mesh", "Trench mesh lengths", p.RateMesh, float64(q.MeshSheets), Count, 1)
	line("rate.cut", "Saw cut", p.RateCut, q.SawCut, Length, 1000)
	line("rate.frame", "Frame and footing metal", p.RateFrame, plan.Steel.Mass, Mass, 1)
	panels, guidePosts := plan.extras()
	line("rate.panel", "Panels beyond the first", p.RatePanel, panels, Count, 1)
	line("rate.guidePost", "Guide post", p.RateGuidePost, guidePosts, Count, 1)
	line("rate.track", "Track", p.RateTrack, q.Track, Length, 1000)
	line("rate.fixing", "Fixings and anchors", p.RateFixing, float64(q.Fixings+q.Anchors), Count, 1)
	line("rate.wall", "Retaining wall", p.RateWall, plan.Ground.wallFace(), Area, 1e6)
	line("rate.drain", "Drain behind the wall", p.RateDrain, plan.Ground.drainLength(), Length, 1000)
	line("rate.conduit", "Conduit", p.RateConduit, q.Conduit, Length, 1000)
}

// extras are the panels beyond the first and the guide post, as many as there
// are.
func (plan *Plan) extras() (panels, guidePosts float64) {
	if _, ok := plan.Part(PartGuidePost, 1); ok {
		guidePosts = 1
	}
	return float64(max(0, len(plan.Leaf.Panels)-1)), guidePosts
}
