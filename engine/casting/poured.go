package casting

import (
	"cmp"
	"math"
	"slices"

	"pegpour/engine/levels"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Poured is what stands there, as it was measured, and the track on it.
type Poured struct {
	Sight  Sight
	Levels []Spot // one an entry of the survey
	// Line is the straight line on which the track is laid, nil where none is; Packing
	// what comes under it or off the concrete, by chainage.
	Line    *levels.Straight
	Packing []Packer
	// NoLine says why there is no line; empty where there is one.
	NoLine text.Text
	// Survey is the survey as poured: the same design runs on it.
	Survey survey.Survey
	// Pad is the level of the pad as it was poured, mm above the plan's datum, where
	// PadRead; Raised how far that is above the level that the plan had for it at the
	// track, mm.
	Pad     float64
	PadRead bool
	// Carriages is how much is packed under the carriages of a leaf that hangs free,
	// mm; below 0 the block stands too high. Only where PadRead.
	Carriages float64
	// Sides are both sides of two leaves that meet, each in its own frame, the run-back
	// side first; of the rest only Sight and Survey are of the whole then. Joint says how
	// their tracks meet; empty where one of them is not laid.
	Sides []Poured
	Joint text.Text
}

// Spot is a level of the concrete under the track.
type Spot struct {
	Chainage, Level float64
	Planned         float64 // mm
	Judged          bool
	Words           text.Text
}

// Packer is what comes under the track at one place, or off the concrete, mm.
type Packer struct {
	Chainage float64
	Concrete float64 // level of the concrete as it is, with the pavers that come on it
	Track    float64 // level of the line
	// Height between them, over 0 packed, under 0 ground; Told the same in whole
	// packers.
	Height, Told float64
	// Read says that the concrete was read here; else it lies on a straight line
	// between two readings.
	Read bool
}

// ReadPoured lays the track on what was poured and makes the survey as poured.
// Whatever was measured stays as it is in s; made is the plan that was made of it.
//
// In the survey as poured the opening and the room are those that were taped again,
// the track lies on its line, and guide post and motor stand where they stand.
func ReadPoured(s survey.Survey, made *plan.Plan, p practice.Practice) Poured {
	r := read(&s, &p)
	b := Poured{Sight: sightOf(r, setUpPaths{survey.PouredBenchLevel, survey.PouredBenchAlong, survey.PouredOpen,
		survey.PouredClose}, made), Survey: s.Clone()}
	if made.Pair != nil {
		b.readSides(r, made, &p)
		return b
	}
	points := b.readLevels(r, made)
	if down, _, taken := r.Reading(survey.PouredPadDown); taken && b.Sight.Holds() {
		b.Pad, b.PadRead = b.Sight.Plane-down.Size, true
	}
	if h := made.Leaf.Hanging; h != nil {
		b.Carriages = h.BlockTop - b.Pad
		b.NoLine = text.Say("No track is laid: the leaf hangs free.")
	} else {
		b.lay(points, made, r)
	}
	b.replace(r, made)
	return b
}

// readLevels reads the levels under the track and returns those that hold.
func (b *Poured) readLevels(r *survey.Reader, made *plan.Plan) (points []levels.Point) {
	list := r.Survey().Build.Poured.Levels
	for i := range list[:min(len(list), survey.MaxPouredLevels)] {
		along, _, placed := r.Reading(survey.PouredLevelAlong.At(i))
		down, _, taken := r.Reading(survey.PouredLevelDown.At(i))
		spot := Spot{Chainage: along.Size}
		switch {
		case !placed:
			spot.Words = text.Say("Cannot be judged yet: say where along the fence it was read.")
		case !taken:
			spot.Words = text.Say("Cannot be judged yet: read down to the concrete.")
		case !b.Sight.Holds():
			spot.Words = b.Sight.Problem
		default:
			spot.Judged, spot.Level, spot.Planned = true, b.Sight.Plane-down.Size, plannedUnderTrack(made, along.Size)
			switch above := spot.Level - spot.Planned; {
			case above > plan.Tolerance:
				spot.Words = text.Say("{0} higher than planned", text.MM(above))
			case above < -plan.Tolerance:
				spot.Words = text.Say("{0} lower than planned", text.MM(-above))
			default:
				spot.Words = text.Say("As planned.")
			}
			// Where pavers come on top, counted as if they lay there.
			points = append(points, levels.Point{Chainage: spot.Chainage,
				Level: made.Ground.TrackLevel(along.Size) + spot.Level - spot.Planned})
		}
		b.Levels = append(b.Levels, spot)
	}
	return points
}

// plannedUnderTrack is the level of the concrete under the track as it was planned, mm.
func plannedUnderTrack(made *plan.Plan, chainage float64) float64 {
	for _, kind := range [...]plan.PartKind{plan.PartDriveStrip, plan.PartRunBackStrip, plan.PartLatchStrip} {
		if o := pieceAt(made, kind, chainage); o != nil {
			if level, known := PlannedTop(made, o, chainage); known {
				return level
			}
		}
	}
	return made.Ground.TrackLevel(chainage)
}

// lay lays the track along the points.
func (b *Poured) lay(points []levels.Point, made *plan.Plan, r *survey.Reader) {
	p := r.Practice()
	if len(points) < 2 {
		b.NoLine = text.Say("Cannot be judged yet: read the concrete under the track at two places or more, its ends among them.")
		if !b.Sight.Holds() {
			b.NoLine = b.Sight.Problem
		}
		return
	}
	way := levels.LayPacked
	switch r.Words(survey.PouredLaid) {
	case survey.LaidLeast:
		way = levels.LayLeast
	case survey.LaidSquares:
		way = levels.LaySquares
	}
	ground, err := levels.NewGroundLine(points)
	var line levels.Straight
	if err == nil {
		line, err = levels.Lay(points, way, p.PouredGrindMost, p.PackMost)
	}
	if err != nil {
		b.NoLine = text.Say("Cannot be judged: {0}", text.List(text.Because(err)))
		return
	}
	b.Line = &line
	packer := func(x float64, read bool) {
		q := Packer{Chainage: x, Concrete: ground.At(x, levels.HoldBeyond).Level, Track: line.At(x), Read: read}
		q.Height = q.Track - q.Concrete
		q.Told = math.Round(q.Height/p.PackStep) * p.PackStep
		b.Packing = append(b.Packing, q)
	}
	for _, q := range points {
		packer(q.Chainage, true)
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, q := range points {
		low, high = min(low, q.Chainage), max(high, q.Chainage)
	}
	// Between the first and the last reading there is something under each fixing.
	start, end := made.Track.Start, made.Track.End
	if n := math.Ceil((end-start)/p.FixingSpacing - 1e-9); n >= 1 && n < 1000 {
		for k := 0.0; k <= n; k++ {
			if x := start + (end-start)*k/n; x > low+25 && x < high-25 {
				packer(x, false)
			}
		}
	}
	slices.SortStableFunc(b.Packing, func(a, c Packer) int { return cmp.Compare(a.Chainage, c.Chainage) })
}

// replace puts what stands there into the survey as poured.
func (b *Poured) replace(r *survey.Reader, made *plan.Plan) {
	s := &b.Survey
	taken := func(path survey.Path) survey.Value {
		v, _, _ := r.Reading(path)
		return v
	}
	if v := taken(survey.PouredOpening); v.Known() {
		s.Opening.Width = v
	}
	if v := taken(survey.PouredRoom); v.Known() {
		s.RunBack.Room = v
	}
	stands := survey.Stands{GuideAlong: taken(survey.PouredGuideAlong), GuideOut: taken(survey.PouredGuideOut),
		Pinion: taken(survey.PouredMotorAlong)}
	if b.Line != nil {
		stands.Track = b.trackLaid(s, made)
	}
	s.Stands = &stands
}

// trackLaid is the line of the track in the survey's datum. Level ground has none:
// where the track lies on a slope now, its ground slopes as the drive does.
func (b *Poured) trackLaid(s *survey.Survey, made *plan.Plan) *survey.TrackLaid {
	laid := survey.TrackLaid{Z0: b.Line.Z0, Grade: float64(b.Line.Grade)}
	for i := range b.Levels {
		if b.Levels[i].Judged {
			laid.Read++
		}
	}
	if made.Ground != nil {
		return &laid
	}
	long := made.Track.End - made.Track.Start
	if math.Abs(laid.Grade)*long < plan.Tolerance {
		return nil
	}
	s.Ground.Shape = survey.GroundSlopes
	s.Ground.Levels = survey.Levels{Taken: survey.LevelsBySlopes, Along: survey.Measured(laid.Grade, survey.ByStaff),
		Out: survey.Measured(0, survey.ByStaff)}
	laid.Z0 += survey.AssumedDatum
	return &laid
}
