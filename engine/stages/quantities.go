package stages

import (
	"math"

	"pegpour/engine/concrete"
	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Taker takes quantities off what was designed.
type Taker struct {
	In        *Inputs
	P         *practice.Practice
	L         *Layout
	Treatment *DriveTreatment
	Parts     []plan.Outline
	Site      *plan.SiteOutline
	Footing   *plan.Footing
	Clear     float64 // mm of the block under the carriages that stands above the ground in the mean
	Dig       float64 // mm³ beside all parts, so that the open leaf clears the ground
	Refused   []plan.Refusal
}

// Quantify sums what is to be poured, dug, bought and priced. No overlap is
// counted twice: every part gives only what no part before it has.
func (t *Taker) Quantify(track *plan.Track, conduits []plan.Conduit, g *plan.Ground, other *Priced) plan.Quantities {
	p := t.P
	var q plan.Quantities
	t.pourVolumes(&q)
	for i := range q.Parts {
		q.Concrete += q.Parts[i].Volume
	}
	if g != nil {
		q.DigBank += g.Cut + g.Bedding
	}
	q.DigBank += t.Dig
	var err error
	q.Order, err = concrete.Order(q.Concrete, p.ConcreteWaste)
	t.refuse("The concrete to order", err, practice.PracticePath+practice.RuleConcreteWaste)
	t.supply(&q)
	q.SpoilMass = spoilMass(q.DigBank, &t.In.Bearing)
	byVolume, byMass := TrailerLoads(p, &q)
	q.Loads = max(byVolume, byMass)
	t.driveStripItems(&q)
	t.hardware(&q, track, conduits)
	price(&q, p, other)
	return q
}

// supply is how the order comes, and how loose its spoil.
func (t *Taker) supply(q *plan.Quantities) {
	p := t.P
	var err error
	if q.Order > 0 {
		q.Bags, err = concrete.Bags(q.Order, p.BagYield)
		t.refuse("The bags of dry mix", err, practice.PracticePath+practice.RuleConcreteBagYield)
		q.Batches, err = concrete.Batches(q.Order, p.MixerBatch)
		t.refuse("The mixer batches", err, practice.PracticePath+practice.RuleConcreteMixerBatch)
	}
	q.ReadyMix = q.Order >= p.ReadyMixMinimum
	q.DigLoose, err = concrete.Loose(q.DigBank, p.Swell-1)
	t.refuse("The loose spoil", err, practice.PracticePath+practice.RuleDigSwell)
}

// spoilMass is what spoil of a volume in the bank (mm³) weighs, kg: the ground's
// moist unit weight at its heavy end, of what stands over the firm ground and of the
// firm itself the heavier, so that no trailer is loaded beyond its plate.
//
//	m = γ·V / g
//
// It swells when it is dug and weighs no less for it.
//
// Source: unit weights of soil.Class.
func spoilMass(bank float64, b *ground.Bearing) float64 {
	return max(b.Firm.UnitWeight.High, b.Retained.UnitWeight.High) * bank / motion.Gravity
}

// TrailerLoads are the loads that the loose spoil takes by its volume and by its mass.
func TrailerLoads(p *practice.Practice, q *plan.Quantities) (byVolume, byMass int) {
	return int(math.Ceil(q.DigLoose/p.TrailerLoad - 1e-9)), int(math.Ceil(q.SpoilMass/p.TrailerPayload - 1e-9))
}

// refuse notes what a formula would not take.
func (t *Taker) refuse(what text.Name, err error, field string) {
	t.Refused = plan.AppendRefusal(t.Refused, plan.QuestionQuantitiesUnjudged, plan.Warning, what, err, field)
}

func (t *Taker) pourVolumes(q *plan.Quantities) {
	poured := 0
	for i := range t.Parts {
		if t.Parts[i].Concrete {
			poured++
		}
	}
	if poured == 0 {
		return
	}
	q.Parts = make([]plan.PartQuantity, 0, poured)
	before := make([]geom.Polygon, 0, poured)
	l := t.L
	clear := 0.0 // how much of the pad in the mean stands above the ground and is formed, not dug
	if t.Footing != nil {
		clear = t.Footing.PadMeanDrop
	}
	if t.In.Hangs {
		clear = t.Clear
	}
	for i := range t.Parts {
		o := &t.Parts[i]
		if !o.Concrete {
			continue
		}
		thick := o.Depth - o.Top
		part := plan.PartQuantity{ID: o.ID, Name: o.Name, Depth: thick}
		own := geom.AreaBeyond(o.Ring, before)
		q.Area += own
		part.Area = own
		part.Volume = own * thick
		part.How = text.Say("{0} × {1} deep", text.SquareMM(own), text.MM(thick))
		dug := own * o.Depth
		if o.Kind == plan.PartPad {
			dug = own * (o.Depth - clear)
		}
		if o.Kind == plan.PartPostHole {
			// Within the footing only what lies below the underside of what is
			// poured there is new; outside it the hole is poured from the ground.
			inside, beside := o.Area-own, t.inGround(o)
			part.Area, part.Volume = o.Area, t.volumeBeyond(i, "What the guide post's hole shares with the footing")
			dug = part.Volume
			below := (part.Volume - own*beside) / inside
			if inside < 1 {
				part.How = text.Say("{0} × {1} deep", text.SquareMM(own), text.MM(beside))
			} else if own > 0 {
				part.How = text.Say("{0} under the footing × {1}, and {2} beside it × {3}", text.SquareMM(inside), text.MM(below),
					text.SquareMM(own), text.MM(beside))
			} else {
				part.How = text.Say("{0} × {1} from the underside of the footing to the bottom of the hole", text.SquareMM(inside),
					text.MM(below))
			}
		}
		if o.Kind == plan.PartFootingHole && o.Area-own > 1 {
			part.Volume = t.volumeBeyond(i, "What a footing hole shares with others")
			dug = part.Volume
			part.How = text.Say("{0} × {1} deep, less what holes listed before it have", text.SquareMM(o.Area), text.MM(o.Depth))
		}
		if o.Crown > 0 && l.DriveWidth > 0 {
			long := own / l.DriveWidth
			section, err := concrete.ParabolicCrown(l.DriveWidth, o.Crown)
			t.refuse("The crown of the drive strip", err, "practice.drive.crown")
			crown := section * long
			part.Volume += crown
			part.How = text.Say("{0} × {1} deep, and the crown {2}", text.SquareMM(own), text.MM(thick), text.CubicMM(crown))
		}
		if o.Tint {
			q.Tinted += part.Volume * (1 + t.P.ConcreteWaste)
		}
		if own > 0 && o.Area-own > 1 && o.Kind != plan.PartPostHole && o.Kind != plan.PartFootingHole {
			part.How = text.Say("{0} less {1} shared with what is listed before, × {2} deep", text.SquareMM(o.Area),
				text.SquareMM(o.Area-own), text.MM(thick))
		}
		q.DigBank += dug
		q.Parts = append(q.Parts, part)
		before = append(before, o.Ring)
	}
	q.Form = t.edgeForm()
}

// inGround is how deep a hole or a pad reaches below the ground that a hole is dug
// from, mm: over falling ground the pad stands above it.
func (t *Taker) inGround(o *plan.Outline) float64 {
	if t.Footing != nil && (o.Kind == plan.PartPad || o.Kind == plan.PartPostHole) {
		return o.Depth - t.Footing.PadDrop
	}
	return o.Depth
}

// volumeBeyond is what the hole of part i adds to what is poured before it where
// they run into each other: every place is dug to the greatest depth asked of it.
func (t *Taker) volumeBeyond(i int, what text.Name) float64 {
	before := make([]geom.Deep, 0, i)
	for k := range t.Parts[:i] {
		o := &t.Parts[k]
		if !o.Concrete {
			continue
		}
		deep := t.inGround(o)
		for _, ring := range t.ownRings(k, deep) {
			before = append(before, geom.Deep{Polygon: ring, Depth: deep})
		}
	}
	hole := &t.Parts[i]
	deep := t.inGround(hole)
	volume, err := geom.VolumeBeyond(geom.Deep{Polygon: hole.Ring, Depth: deep}, before)
	if err != nil {
		// All of it is on the safe side; what others share of it is not known.
		t.refuse(what, err, practice.PracticePath+practice.RuleFootingHole)
		return hole.Area * deep
	}
	return volume
}

// ownRings is where part k is poured to its own depth (mm): a pad that goes deeper
// than the strip does so behind the strip alone.
func (t *Taker) ownRings(k int, deep float64) []geom.Polygon {
	o := &t.Parts[k]
	whole := []geom.Polygon{o.Ring}
	if o.Kind != plan.PartPad || deep <= t.L.FootDepth+plan.Tolerance {
		return whole
	}
	strips := make([]geom.Polygon, 0, k)
	for i := range t.Parts[:k] {
		if q := &t.Parts[i]; q.Concrete && q.Kind != plan.PartPad {
			strips = append(strips, q.Ring)
		}
	}
	united, err := geom.Union(strips...)
	if err != nil {
		return whole
	}
	own, err := geom.Difference([]geom.Region{o.Ring.Region()}, united)
	if err != nil {
		return whole
	}
	rings := make([]geom.Polygon, len(own))
	for i := range own {
		rings[i] = own[i].Outer
	}
	return rings
}

// edgeForm is the length of edge that may want a form: the outline of strip and
// pad beside the drive, without what lies against the drive itself.
func (t *Taker) edgeForm() float64 {
	united, err := geom.Union(ground.BesideDrive(t.Parts)...)
	t.refuse("The edge form", err, survey.DriveRunBackEdgeGiven)
	var form float64
	for i := range united {
		ring := united[i].Outer
		for k, a := range ring {
			b := ring[(k+1)%len(ring)]
			if !alongDrive(t.Site, a, b) {
				form += math.Hypot(b.X-a.X, b.Y-a.Y)
			}
		}
	}
	return form
}

// alongDrive reports whether a side lies on an edge of the drive.
func alongDrive(site *plan.SiteOutline, a, b geom.Point) bool {
	mid := geom.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}
	for _, line := range [...][]geom.Point{site.RunBackEdge, site.LatchEdge} {
		for i := 1; i < len(line); i++ {
			p, q := line[i-1], line[i]
			if mid.Y < p.Y || mid.Y > q.Y || q.Y == p.Y {
				continue
			}
			if x := p.X + (mid.Y-p.Y)*(q.X-p.X)/(q.Y-p.Y); math.Abs(mid.X-x) < plan.Tolerance && a.Y != b.Y {
				return true
			}
		}
	}
	return false
}

// driveStripItems are mesh, saw cuts and pavers of the strip vehicles cross.
func (t *Taker) driveStripItems(q *plan.Quantities) {
	p := t.P
	for i := range t.Parts {
		o := &t.Parts[i]
		if o.Kind != plan.PartDriveStrip {
			continue
		}
		low, high := o.Ring.Bounds()
		long := high.X - low.X
		// A piece too short for the mesh's cover has none.
		if o.Mesh && long > 2*p.MeshCover {
			run, err := concrete.LapRun(long, p.MeshCover, p.MeshSheet, p.MeshLap)
			t.refuse("The trench mesh", err, practice.PracticePath+practice.RuleMeshLap)
			q.Mesh += run.Cut
			q.MeshSheets += len(run.Pieces)
		}
		if t.Treatment.SawCut {
			q.SawCut += 2 * long
		}
		if t.Treatment.liftsPavers {
			q.PaversLifted += o.Area
		}
	}
}

func (t *Taker) hardware(q *plan.Quantities, track *plan.Track, conduits []plan.Conduit) {
	p, l := t.P, t.L
	for i := range track.Lines {
		long := track.Lines[i].Length
		q.Track += long
		q.Fixings += int(math.Ceil(long/p.FixingSpacing-1e-9)) + 1
	}
	if l.HasMotor {
		q.Anchors += int(p.MotorAnchors)
	}
	if l.HasPlate {
		q.Anchors += int(p.PlateAnchors)
	}
	if t.In.Hangs {
		q.Anchors += int(2 * p.HangAnchors)
	} else if t.In.HardStop {
		q.Anchors += int(p.StopAnchors)
	}
	for i := range conduits {
		q.Conduit += conduits[i].Length
	}
}
