package ground_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// readingSigma is the standard uncertainty of a level under a string.
func readingSigma(p *practice.Practice) float64 { return math.Hypot(p.SigmaString, p.SurfaceRoughness) }

// dropsAt is a drive that was read at places {chainage, offset, above a level plane}.
func dropsAt(places ...[3]float64) survey.Survey {
	s := enginetest.SquareSite()
	s.Ground.Shape = survey.GroundSlopes
	for _, q := range places {
		s.Ground.Levels.Drops = append(s.Ground.Levels.Drops, enginetest.DropAt("", q[0], q[1], 1000-q[2]))
	}
	return s
}

// nearLine is five drops in a line, the middle one 100 mm nearer the fence and
// 2 mm higher than the others.
func nearLine() survey.Survey {
	return dropsAt([3]float64{0, 100, 0}, [3]float64{1000, 100, 0}, [3]float64{2000, 0, 2}, [3]float64{3000, 100, 0},
		[3]float64{4000, 100, 0})
}

// By hand: the cross-fall is the fifth level against the line through the four
// others, 100 mm away. The line's level there has the variance
// σ²(1/4 + (x−x̄)²/Sxx), with x the mean of the four; so that
// u = σ·√(1 + 1/4)/100. 2 mm over 100 mm were −2 %.
func TestCrossFallThatCannotBeTold(t *testing.T) {
	p := practice.DefaultPractice()
	made := designs.Of(t, nearLine())
	track := made.Ground.Track
	assert.False(t, track.CrossFallKnown)
	assert.Zero(t, track.CrossFall)
	assert.True(t, track.GradeKnown)
	assert.InDelta(t, 0, track.Grade, 1e-9)
	assert.Equal(t, p.SigmaGuessGrade, track.SigmaCrossFall)
	assert.InEpsilon(t, readingSigma(&p)*math.Sqrt(1.25)/100, made.Ground.Untold.CrossFall, 1e-9)
	c := groundCheck(t, &made, "levels.crossFall")
	assert.Equal(t, plan.Warning, c.Severity)
	assert.Contains(t, c.What.String(), "cannot be told")

	// Along, five levels about their mean: σ/√Sxx, Sxx = 2·(2000² + 1000²). The
	// middle one off the line turns nothing.
	assert.InEpsilon(t, readingSigma(&p)/math.Sqrt(10e6), track.SigmaGrade, 1e-9)

	// With a finer rule the same readings are taken as they are.
	p.SlopeSure = 0.1
	made, err := engine.Design(nearLine(), p)
	require.NoError(t, err)
	assert.True(t, made.Ground.Track.CrossFallKnown)
	assert.InDelta(t, -0.02, made.Ground.Track.CrossFall, 1e-9)
}

// One more reading as far from the line as the check asks for tells the
// cross-fall, wherever along the line it is taken; a third as far it does not.
func TestOneMoreReadingTells(t *testing.T) {
	first := designs.Of(t, nearLine())
	farther := first.Ground.Untold.Farther
	for _, x := range []float64{0, 1700, 4000} {
		s := nearLine()
		s.Ground.Levels.Drops = append(s.Ground.Levels.Drops, enginetest.DropAt("", x, 100+farther, 1000))
		made := designs.Of(t, s)
		assert.True(t, made.Ground.Track.CrossFallKnown, "at %v", x)
		assert.False(t, hasGroundCheck(&made, "levels.crossFall"))
		s.Ground.Levels.Drops[5].Offset.Size = 100 + farther/3
		made = designs.Of(t, s)
		assert.False(t, made.Ground.Track.CrossFallKnown, "at %v", x)
	}
}

// Two levels a hand's width apart tell no grade, as far apart as the check asks
// they do.
func TestGradeThatCannotBeTold(t *testing.T) {
	p := practice.DefaultPractice()
	made := designs.Of(t, dropsAt([3]float64{1000, 100, 0}, [3]float64{1200, 100, 8}))
	assert.False(t, made.Ground.Track.GradeKnown)
	assert.Zero(t, made.Ground.Track.Grade)
	assert.InDelta(t, 99004, made.Ground.Track.Z0, 1e-6) // the mean of the two
	assert.InEpsilon(t, math.Sqrt2*readingSigma(&p)/200, made.Ground.Untold.Grade, 1e-9)
	c := groundCheck(t, &made, "levels.grade")
	assert.Equal(t, plan.Stop, c.Severity)
	assert.Contains(t, c.What.String(), "cannot be told")
	made = designs.Of(t, dropsAt([3]float64{1000, 100, 0}, [3]float64{1000 + made.Ground.Untold.Farther, 100, 8}))
	assert.True(t, made.Ground.Track.GradeKnown)
}

// Random reading errors: grade and cross-fall scatter as their standard
// uncertainties say. 600 draws know a spread to 3 %; four of that are allowed.
func TestSlopesScatterAsTheySay(t *testing.T) {
	p := practice.DefaultPractice()
	sigma := readingSigma(&p)
	for name, places := range map[string][][3]float64{
		"rows":   {{0, 100}, {2000, 100}, {4000, 100}, {500, 1600}, {3500, 1500}},
		"lean":   {{0, 0}, {2000, 100}, {4000, 200}, {3000, 1500}},
		"off it": {{0, 500}, {4000, 600}, {2000, 2500}, {3900, 2600}},
	} {
		t.Run(name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(11, uint64(len(name))))
			const draws = 600
			var along, across float64
			var track plan.TrackGrade
			for range draws {
				s := dropsAt(places...)
				for i := range s.Ground.Levels.Drops {
					s.Ground.Levels.Drops[i].Down.Size += sigma * r.NormFloat64()
				}
				made := designs.Of(t, s)
				track = made.Ground.Track
				require.True(t, track.GradeKnown && track.CrossFallKnown)
				along += track.Grade * track.Grade / draws
				across += track.CrossFall * track.CrossFall / draws
			}
			assert.InEpsilon(t, math.Sqrt(across), track.SigmaCrossFall, 0.12)
			if name == "lean" { // added, not squared: no less than they scatter
				assert.Greater(t, track.SigmaGrade, 0.88*math.Sqrt(along))
				assert.Less(t, track.SigmaGrade, 1.6*math.Sqrt(along))
			} else {
				assert.InEpsilon(t, math.Sqrt(along), track.SigmaGrade, 0.12)
			}
		})
	}
}

// A line of levels that leans across the fence by 1 in 10, its cross-fall not
// known to 2 %, tells its grade to a tenth of that and the readings' own.
func TestUnknownCrossFallTurnsALeaningLine(t *testing.T) {
	p := practice.DefaultPractice()
	made := designs.Of(t, dropsAt([3]float64{1000, 0, 0}, [3]float64{2000, 100, 0}, [3]float64{3000, 200, 0}))
	track := made.Ground.Track
	assert.False(t, track.CrossFallKnown)
	assert.InEpsilon(t, readingSigma(&p)/math.Sqrt(2e6)+0.1*p.SigmaGuessGrade, track.SigmaGrade, 1e-9)
	// Square to its line 1 in 1: what falls along and what across is not told.
	made = designs.Of(t, dropsAt([3]float64{1000, 500, 0}, [3]float64{2000, 1500, 0}, [3]float64{3000, 2500, 0}))
	assert.False(t, made.Ground.Track.GradeKnown)
}

// Beside the drive the readings taken there say how sure a level is: the step at
// the edge, the slope beyond it and the surface, and not the drive's own slope.
func TestBankIsAsSureAsItsOwnReadings(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.FallingSite()
	s.Ground.Levels.Along.Sigma = 0.04
	s.Ground.Levels.BankStep = survey.Value{Size: s.Ground.Levels.BankStep.Size, How: survey.ByTape, Sigma: 3}
	s.Ground.Levels.BankAlong = survey.Value{Size: s.Ground.Levels.BankAlong.Size, How: survey.ByPhone, Sigma: 0.002}
	made := designs.Of(t, s)
	readings := made.Ground.Readings
	require.Len(t, readings, 2)
	edge := 4000.0
	for _, q := range readings {
		from := q.Chainage - edge
		assert.InEpsilon(t, math.Sqrt(16+9+0.002*0.002*from*from), q.Sigma, 1e-9)
	}
	assert.Equal(t, 4.0, p.SurfaceRoughness)
	s.Ground.Levels.BankAlong = survey.Value{Size: s.Ground.Levels.BankAlong.Size, How: survey.ByEstimate}
	made = designs.Of(t, s)
	assert.Greater(t, made.Ground.Readings[1].Sigma, p.SigmaGuessGrade*7000)
}

// One careless sight of a level book makes its own level unsure, and those that
// are carried on from it, not the others. By hand: σ² adds up along the way.
func TestBookLevelIsAsSureAsItsSights(t *testing.T) {
	s := enginetest.SquareSite()
	s.Ground.Shape, s.Ground.Levels.Taken = survey.GroundSlopes, survey.LevelsByStaff
	s.Ground.Levels.Start = survey.Measured(50000, survey.ByStaff)
	staff := func(v, sigma float64) survey.Value { return survey.Value{Size: v, How: survey.ByStaff, Sigma: sigma} }
	at := func(x float64) survey.Value { return survey.Measured(x, survey.ByTape) }
	s.Ground.Levels.Book = []survey.BookRow{
		{Back: staff(1500, 2), Along: at(0), Offset: at(100)},
		{Intermediate: staff(1500, 10), Along: at(1000), Offset: at(100)},
		{Intermediate: staff(1500, 1), Along: at(2000), Offset: at(100)},
		{Fore: staff(1500, 3), Back: staff(1400, 4), Along: at(3000), Offset: at(100)},
		{Intermediate: staff(1400, 1), Along: at(4000), Offset: at(100)},
	}
	made := designs.Of(t, s)
	require.Len(t, made.Ground.Readings, 5)
	for i, square := range []float64{8, 4 + 100, 4 + 1, 4 + 9, 4 + 9 + 16 + 1} {
		assert.InEpsilon(t, math.Sqrt(square+16), made.Ground.Readings[i].Sigma, 1e-9, "row %d", i)
	}
}
