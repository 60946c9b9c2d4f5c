package engine

import (
	"math"

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
	q.Order = q.Concrete * (1 + p.ConcreteWaste)
	if q.Order > 0 {
		q.Bags = int(math.Ceil(q.Order/p.BagYield - 1e-9))
		q.Batches = int(math.Ceil(q.Order/p.MixerBatch - 1e-9))
	}
	q.ReadyMix = q.Order >= p.ReadyMixMinimum
	q.DigLoose = q.DigBank * p.Swell
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
		dug := own * o.Depth
		if o.Kind == PartPostHole {
			// Within the footing only what lies below its underside is new;
			// outside it the hole is poured from the top.
			inside := o.Area - own
			below := o.Depth - l.footDepth
			part.Area, part.Depth = o.Area, below
			part.Volume = inside*below + own*o.Depth
			dug = part.Volume
			if own > 0 {
				part.How = say("{0} under the footing × {1}, and {2} beside it × {3}", mm2(inside), mm(below), mm2(own), mm(o.Depth))
			} else {
				part.How = say("{0} × {1} from the underside of the footing to the bottom of the hole", mm2(inside), mm(below))
			}
		}
		if o.Crown > 0 && p.DriveStripWidth > 0 {
			long := own / p.DriveStripWidth
			crown := crownArea(p.DriveStripWidth, o.Crown) * long
			part.Volume += crown
			part.How = say("{0} × {1} deep, and the crown {2}", mm2(own), mm(thick), mm3(crown))
		}
		if o.Tint {
			q.Tinted += part.Volume * (1 + p.ConcreteWaste)
		}
		if own > 0 && o.Area-own > 1 && o.Kind != PartPostHole {
			part.How = say("{0} less {1} shared with what is listed before, × {2} deep", mm2(o.Area), mm2(o.Area-own), mm(thick))
		}
		q.DigBank += dug
		q.Parts = append(q.Parts, part)
		before = append(before, o.Ring)
	}
	plan.Poured, _ = geom.Union(before...)
	for i := range plan.Poured {
		q.Form += plan.Poured[i].Perimeter()
	}
}

// crownArea is the cross-section of a parabolic crown above its chord, mm²:
// two thirds of width by rise (Archimedes, Quadrature of the Parabola).
func crownArea(width, rise float64) float64 { return 2 * width * rise / 3 }

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
			if run := long - 2*p.MeshCover; run > 0 {
				q.Mesh += run
				q.MeshSheets += sheets(run, p.MeshSheet, p.MeshLap)
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

// sheets is how many stock lengths make a run when each joint laps.
func sheets(run, sheet, lap float64) int {
	if run <= sheet {
		return 1
	}
	if sheet <= lap {
		return 0
	}
	return int(math.Ceil((run-lap)/(sheet-lap) - 1e-9))
}

func (plan *Plan) hardware(in *inputs, p *Practice, l *layout) {
	q := &plan.Quantities
	q.Track = plan.Track.End - plan.Track.Start
	q.Fixings = int(math.Ceil(q.Track/p.FixingSpacing-1e-9)) + 1
	if l.hasMotor {
		q.Anchors += int(p.MotorAnchors)
	}
	if l.hasPlate {
		q.Anchors += int(p.PlateAnchors)
	}
	if in.hardStop {
		q.Anchors += int(p.StopAnchors)
	}
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
	for i := range plan.Conduits {
		q.Conduit += plan.Conduits[i].Length
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
	line("rate.track", "Track", p.RateTrack, q.Track, Length, 1000)
	line("rate.fixing", "Fixings and anchors", p.RateFixing, float64(q.Fixings+q.Anchors), Count, 1)
	line("rate.conduit", "Conduit", p.RateConduit, q.Conduit, Length, 1000)
}
