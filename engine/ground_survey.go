package engine

import "math"

// groundSurvey is what the survey says of ground that is not level. On level
// ground it holds nothing but the shape.
type groundSurvey struct {
	shape, taken string
	choices      GroundChoices
	readings     []GroundReading // taken by string line or by staff
	booking      *Booking
	slopes       slopeSurvey // taken by slopes
}

// slopeSurvey is the drive and what lies beside it by slopes, rise over run.
type slopeSurvey struct {
	grade, sigmaGrade, crossFall float64
	gradeKnown, crossFallKnown   bool
	bank, slab                   slopeBeside
}

// slopeBeside is ground or a slab beside the drive: how far it stands above the
// drive at the edge, mm, and how it slopes from there along the fence.
type slopeBeside struct {
	known       bool
	step, slope float64
}

// readGround reads what the survey says of the ground.
func readGround(r *Reader) groundSurvey {
	s := groundSurvey{shape: r.Choice(GroundShape)}
	if s.shape == GroundLevel {
		return s
	}
	s.taken = r.Choice(GroundLevelsTaken)
	s.choices.Slab = r.Choice(GroundSlab) == Yes
	s.choices.Channel = r.Choice(GroundChannel) == Yes
	if s.shape == GroundRises {
		s.choices.Drained = r.Choice(GroundCavityDrain) == Yes
		s.choices.Posts = r.Choice(GroundCavityWall) == WallOfPosts
		s.choices.Load = r.Choice(GroundCavityLoad)
	}
	switch s.taken {
	case LevelsByStaff:
		s.readings, s.booking = bookReadings(r, s.choices.Slab)
	case LevelsBySlopes:
		s.slopes = readSlopes(r, s.shape, s.choices.Slab)
	default:
		s.readings = stringReadings(r, s.choices.Slab)
	}
	return s
}

// readSlopes reads the slopes that take the place of levels.
func readSlopes(r *Reader, shape string, slab bool) (s slopeSurvey) {
	s.grade, _ = r.Number(GroundLevelsAlong)
	s.crossFall, _ = r.Number(GroundLevelsOut)
	_, s.sigmaGrade, s.gradeKnown = r.Reading(GroundLevelsAlong)
	_, _, s.crossFallKnown = r.Reading(GroundLevelsOut)
	if shape == GroundRises || shape == GroundFalls {
		s.bank.step, _ = r.Number(GroundLevelsBankStep)
		s.bank.slope, s.bank.known = r.Number(GroundLevelsBankAlong)
	}
	if slab {
		s.slab.step, _ = r.Number(GroundLevelsSlabStep)
		s.slab.slope, _ = r.Number(GroundLevelsSlabAlong)
		s.slab.known = true
	}
	return s
}

// track is the track's grade as it was read; levels are counted from the
// assumed datum at the latch post on the track line.
func (s *slopeSurvey) track(offset float64) TrackGrade {
	return TrackGrade{Z0: assumedDatum, Grade: s.grade, CrossFall: s.crossFall, Offset: offset,
		SigmaGrade: s.sigmaGrade, GradeKnown: s.gradeKnown, CrossFallKnown: s.crossFallKnown}
}

// readings are two levels for each slope beside the drive, on the track line:
// one just beyond the edge, the other farther than the leaf runs.
func (s *slopeSurvey) readings(t *TrackGrade, d *driveway, roughness float64) []GroundReading {
	var out []GroundReading
	edge := d.runBackEdge.At(t.Offset)
	run := func(b *slopeBeside, name, path string, slab bool) {
		if !b.known {
			return
		}
		const beside = 20 // mm beyond the edge
		long := math.Max(2*d.width, 1000)
		at := t.At(edge, t.Offset)
		paths := [...]string{path, GroundLevelsBankAlong}
		if slab {
			paths[1] = path
		}
		for i, x := range [...]float64{edge + beside, edge + beside + long} {
			out = append(out, GroundReading{Path: paths[i], Name: name, Chainage: x, Offset: t.Offset,
				Level: at + b.step + b.slope*(x-edge), Sigma: roughness + s.sigmaGrade*(x-edge), OnSlab: slab})
		}
	}
	run(&s.bank, "bank", GroundLevelsBankStep, false)
	run(&s.slab, "slab", GroundLevelsSlabStep, true)
	return out
}
