package ground

import (
	"math"

	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Survey is what was read and chosen of ground that is not level, checked. Of
// level ground it holds nothing but the shape.
type Survey struct {
	shape, taken string
	choices      plan.GroundChoices
	readings     []plan.GroundReading // taken by string line or by staff
	booking      *plan.Booking
	slopes       slopeSurvey       // taken by slopes
	laid         *survey.TrackLaid // the track as it lies already; nil where none does
}

// slopeSurvey is the drive and what lies beside it by slopes, rise over run.
type slopeSurvey struct {
	grade, crossFall           float64
	sigmaGrade, sigmaCrossFall float64
	gradeKnown, crossFallKnown bool
	bank, slab                 slopeBeside
}

// slopeBeside is ground or a slab beside the drive: how far it stands above the
// drive at the edge, mm, and how it slopes from there along the fence.
type slopeBeside struct {
	paths                 [2]string // of step and slope
	known                 bool
	step, slope           float64
	sigmaStep, sigmaSlope float64
}

// sigma is the standard uncertainty of the level so far from the edge, mm: of
// what was read there, and of the surface.
func (b *slopeBeside) sigma(from, roughness float64) float64 {
	return math.Hypot(roughness, math.Hypot(b.sigmaStep, b.sigmaSlope*from))
}

// Read reads what a survey says of the ground. What is refused or assumed is noted
// by the reader.
func Read(r *survey.Reader) Survey {
	s := Survey{shape: r.Choice(survey.GroundShape)}
	if s.shape == survey.GroundLevel {
		return s
	}
	if stands := r.Survey().Stands; stands != nil {
		s.laid = stands.Track
	}
	s.taken = r.Choice(survey.GroundLevelsTaken)
	s.choices.Slab = r.Choice(survey.GroundSlab) == survey.Yes
	s.choices.Channel = r.Choice(survey.GroundChannel) == survey.Yes
	if s.shape == survey.GroundRises {
		s.choices.Drained = r.Choice(survey.GroundCavityDrain) == survey.Yes
		s.choices.Posts = r.Choice(survey.GroundCavityWall) == survey.WallOfPosts
		s.choices.Load = r.Choice(survey.GroundCavityLoad)
	}
	switch s.taken {
	case survey.LevelsByStaff:
		s.readings, s.booking = bookReadings(r, s.choices.Slab)
	case survey.LevelsBySlopes:
		s.slopes = readSlopes(r, s.shape, s.choices.Slab)
	default:
		s.readings = stringReadings(r, s.choices.Slab)
	}
	return s
}

// readSlopes reads the slopes that take the place of levels.
func readSlopes(r *survey.Reader, shape string, slab bool) (s slopeSurvey) {
	s.grade, _ = r.Number(survey.GroundLevelsAlong)
	s.crossFall, _ = r.Number(survey.GroundLevelsOut)
	s.sigmaGrade, s.gradeKnown = uncertainty(r, survey.GroundLevelsAlong)
	s.sigmaCrossFall, s.crossFallKnown = uncertainty(r, survey.GroundLevelsOut)
	beside := func(b *slopeBeside, step, slope survey.Path) {
		b.paths = [2]string{string(step), string(slope)}
		b.step, _ = r.Number(step)
		b.slope, b.known = r.Number(slope)
		b.sigmaStep, _ = uncertainty(r, step)
		b.sigmaSlope, _ = uncertainty(r, slope)
	}
	switch {
	case shape == survey.GroundFalls && !survey.SignedFall(r.Survey()):
		beside(&s.bank, survey.GroundLevelsFallStep, survey.GroundLevelsFallAlong)
		s.bank.step, s.bank.slope = -s.bank.step, -s.bank.slope
	case shape == survey.GroundRises || shape == survey.GroundFalls:
		beside(&s.bank, survey.GroundLevelsBankStep, survey.GroundLevelsBankAlong)
	}
	if slab {
		beside(&s.slab, survey.GroundLevelsSlabStep, survey.GroundLevelsSlabAlong)
		s.slab.known = true
	}
	return s
}

// uncertainty is the standard uncertainty of a reading; of one that was not
// taken, that of an estimate by eye.
func uncertainty(r *survey.Reader, path survey.Path) (sigma float64, taken bool) {
	f := survey.FieldOf(path)
	v := f.Value(r.Survey())
	if f.CheckValue(v) != nil {
		v = survey.Value{}
	}
	return f.Uncertainty(v, r.Practice()), v.Known()
}

// track is the track's grade as it was read; levels are counted from the
// assumed datum at the latch post on the track line.
func (s *slopeSurvey) track(offset float64) plan.TrackGrade {
	return plan.TrackGrade{Z0: survey.AssumedDatum, Grade: s.grade, CrossFall: s.crossFall, Offset: offset,
		SigmaGrade: s.sigmaGrade, SigmaCrossFall: s.sigmaCrossFall,
		GradeKnown: s.gradeKnown, CrossFallKnown: s.crossFallKnown}
}

// readings are two levels for each slope beside the drive, on the track line:
// one just beyond the edge, the other farther than the leaf runs.
func (s *slopeSurvey) readings(t *plan.TrackGrade, d *Driveway, roughness float64) []plan.GroundReading {
	var out []plan.GroundReading
	edge := d.RunBackEdge.At(t.Offset)
	run := func(b *slopeBeside, name text.Name, slab bool) {
		if !b.known {
			return
		}
		const beside = 20 // mm beyond the edge
		long := max(2*d.Width, 1000)
		at := t.At(edge, t.Offset)
		for i, x := range [...]float64{edge + beside, edge + beside + long} {
			out = append(out, plan.GroundReading{Path: b.paths[i], Name: name, Chainage: x, Offset: t.Offset,
				Level: at + b.step + b.slope*(x-edge), Sigma: b.sigma(x-edge, roughness), OnSlab: slab})
		}
	}
	run(&s.bank, "bank", false)
	run(&s.slab, "slab", true)
	return out
}
