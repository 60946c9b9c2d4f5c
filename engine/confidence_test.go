package engine

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// angledSite is a site well away from where any size stops mattering: an edge
// leaning over the run-back, a cast-in guide post, soft ground.
func angledSite() Survey {
	s := squareSite()
	s.Gate.Guide = GuideCastIn
	s.Gate.Height, s.Gate.Cladding = Measured(1800, ByTape), Measured(19, ByTape)
	s.Opening.PostRunBack, s.Opening.PostLatch, s.Opening.PostDepth = Measured(100, ByTape), Measured(100, ByTape), Measured(100, ByTape)
	s.Drive.RunBackEdge = Edge{Given: EdgeAngle, Along: Measured(60, ByTape), Angle: Measured(68*math.Pi/180, ByPhone)}
	s.Drive.LatchEdge = Edge{Given: EdgeSquare, Along: Measured(100, ByTape)}
	s.Ground.Soil, s.Ground.DepthToFirm = SoilSoft, Measured(260, ByTape)
	s.Drive.Surface = SurfaceEarth
	return s
}

// pointedSite has its edge by taped points and an obstruction near the pad.
func pointedSite() Survey {
	s := angledSite()
	at := func(x, y float64) EdgePoint { return EdgePoint{Measured(x, ByTape), Measured(y, ByTape)} }
	s.Drive.RunBackEdge = Edge{Given: EdgePoints, Points: []EdgePoint{at(-40, 0), at(180, 700), at(260, 1900)}}
	s.RunBack.Obstructions = []Obstruction{{Kind: ObstructionTree, Along: Measured(1500, ByTape), Offset: Measured(700, ByLaser), Length: Measured(300, ByEstimate), Width: Measured(300, ByEstimate)}}
	return s
}

// drawSite changes every number that Confidence takes for uncertain by a normal
// error of its standard uncertainty.
func drawSite(r *rand.Rand, s *Survey, p *Practice, readings []Reading) Survey {
	out := s.Clone()
	for _, reading := range readings {
		f, _ := FieldAt(reading.Path)
		size := reading.Value + r.NormFloat64()*reading.Sigma
		_ = f.SetValue(&out, Measured(math.Min(f.High, math.Max(f.Low, size)), ByTape))
	}
	return out
}

// First order against random draws through Design. Where the layout's sizes are
// smooth in the readings the two agree within 5 %: the draws' own standard
// error is 1/√(2·3000) = 1.3 %, the rest is bending within the reading's error.
func TestConfidenceMonteCarlo(t *testing.T) {
	const draws = 3000
	p := DefaultPractice()
	for name, s := range map[string]Survey{"angle": angledSite(), "points": pointedSite()} {
		t.Run(name, func(t *testing.T) {
			plan, err := Design(s, p)
			require.NoError(t, err)
			report := Confidence(s, p, plan)
			r := rand.New(rand.NewPCG(2026, 4))
			sums, squares := map[string]float64{}, map[string]float64{}
			var room, roomSquares float64
			for range draws {
				drawn, err := Design(drawSite(r, &s, &p, report.Readings), p)
				require.NoError(t, err)
				for _, f := range drawn.Figures {
					sums[f.ID] += f.Value
					squares[f.ID] += f.Value * f.Value
				}
				m, _ := marginOf(margins(&drawn), QuestionRoomAlong, RunBackRoom)
				room += m
				roomSquares += m * m
			}
			spread := func(sum, square float64) float64 {
				return math.Sqrt(math.Max(0, square/draws-sum*sum/draws/draws))
			}
			compared := 0
			for _, id := range Mattering() {
				result, ok := report.Result(id)
				if !ok || result.Sigma == 0 {
					continue
				}
				compared++
				drawn := spread(sums[id], squares[id])
				t.Logf("%-22s %12.4g ± %10.4g; drawn ± %10.4g", id, result.Value, result.Sigma, drawn)
				assert.InEpsilon(t, drawn, result.Sigma, 0.05, id)
			}
			assert.GreaterOrEqual(t, compared, 9)
			for _, c := range report.Checks {
				if c.Code == "room.along" {
					assert.InEpsilon(t, spread(room, roomSquares), c.Sigma, 0.05)
				}
			}
		})
	}
}

// A close check is on the wrong side in as many draws as its margin in standard
// uncertainties says, within 4 hundredths.
func TestConfidenceOfACloseCheck(t *testing.T) {
	const draws = 2000
	p := DefaultPractice()
	s := angledSite()
	plan := design(t, s)
	need, _ := plan.Figure("room.needed")
	for _, spare := range []float64{-6, -2, 1, 5} {
		s.RunBack.Room = Measured(math.Round(need.Value+spare), ByTape)
		plan := design(t, s)
		report := Confidence(s, p, plan)
		var c CheckConfidence
		for _, k := range report.Checks {
			if k.Code == "room.along" {
				c = k
			}
		}
		require.NotZero(t, c.Sigma)
		assert.True(t, c.TooClose)
		r := rand.New(rand.NewPCG(7, uint64(100+spare)))
		fails := 0.0
		for range draws {
			drawn, _ := Design(drawSite(r, &s, &p, report.Readings), p)
			if m, _ := marginOf(margins(&drawn), QuestionRoomAlong, RunBackRoom); m < 0 {
				fails++
			}
		}
		expected := 0.5 * math.Erfc(c.Margin/c.Sigma/math.Sqrt2)
		t.Logf("margin %.1f ± %.1f: fails in %.3f of draws, expected %.3f", c.Margin, c.Sigma, fails/draws, expected)
		assert.InDelta(t, expected, fails/draws, 0.04)
	}
}

// What was not measured counts as an estimate by eye, and is the reading to
// take.
func TestConfidenceOfAnAssumedValue(t *testing.T) {
	p := DefaultPractice()
	s := angledSite()
	s.Drive.RunBackEdge.Along = Value{}
	plan := design(t, s)
	report := Confidence(s, p, plan)
	var found bool
	for _, r := range report.Readings {
		if r.Path == DriveRunBackEdgeAlong {
			found = true
			assert.True(t, r.Assumed)
			assert.Equal(t, p.SigmaGuess, r.Sigma)
		}
	}
	assert.True(t, found)
	require.NotEmpty(t, report.Again)
	assert.Equal(t, DriveRunBackEdgeAlong, report.Again[0].Path)
	at, _ := report.Result("guide.at")
	assert.GreaterOrEqual(t, at.Sigma, 50.0)
	assert.Equal(t, DriveRunBackEdgeAlong, at.Shares[0].Path)
	assert.Less(t, report.Again[0].After, report.Again[0].Before)

	// Measured, the advice goes elsewhere and the figure is as sure as the tape
	// and the angle make it.
	s.Drive.RunBackEdge.Along = Measured(0, ByTape)
	plan = design(t, s)
	report = Confidence(s, p, plan)
	at, _ = report.Result("guide.at")
	assert.Less(t, at.Sigma, 10.0)
}

// Exact arithmetic on a line through the whole of Design: the frame is the
// opening and two rules.
func TestConfidenceOfAStraightSum(t *testing.T) {
	s := squareSite()
	s.Opening.Width = Value{Size: 4000, How: ByTape, Sigma: 7}
	plan := design(t, s)
	report := Confidence(s, DefaultPractice(), plan)
	frame, _ := report.Result("leaf.frame")
	assert.InDelta(t, 7, frame.Sigma, 1e-9)
	require.Len(t, frame.Shares, 1)
	assert.Equal(t, OpeningWidth, frame.Shares[0].Path)
	assert.InDelta(t, 1, frame.Shares[0].Part, 1e-9)
}

// A room that was never measured is the first thing to measure.
func TestConfidenceNamesWhatACheckWaitsFor(t *testing.T) {
	s := squareSite()
	s.RunBack.Room = Value{}
	plan := design(t, s)
	report := Confidence(s, DefaultPractice(), plan)
	require.NotEmpty(t, report.Again)
	assert.Equal(t, RunBackRoom, report.Again[0].Path)
	assert.Contains(t, report.Unknown, RunBackRoom)
}

// Questions that are only spoken of when they go wrong are answered once each,
// aloud or quietly, and either way with the margin that the plan's own figures
// give.
func TestSilentMarginsAreTheChecks(t *testing.T) {
	p := DefaultPractice()
	spoken, quiet := map[Question]int{}, map[Question]int{}
	eachRandomSite(t, 300, func(t *testing.T, _ Survey, plan Plan, _ inputs) {
		expected := map[Question]float64{}
		figure := func(q Question, id string, margin func(float64) float64) {
			if f, ok := plan.Figure(id); ok {
				expected[q] = margin(f.Value)
			}
		}
		itself := func(v float64) float64 { return v }
		leaf := &plan.Leaf
		figure(QuestionOpeningGuide, "guide.at", itself)
		figure(QuestionOpeningMotor, "motor.at", itself)
		end := leaf.RollersAt - p.RollerSpacing/2
		if _, ok := plan.Figure("motor.at"); ok {
			end = math.Min(end, leaf.PinionAt)
		}
		expected[QuestionMotionLost] = end - leaf.OpenAt - leaf.Lost - p.EngagementMargin
		figure(QuestionMotionTrack, "strip.width", func(width float64) float64 {
			return width - plan.Track.Lines[len(plan.Track.Lines)-1].Offset - p.TrackWidth/2
		})
		if along, ok := marginOf(margins(&plan), QuestionRoomAlong, RunBackRoom); ok && plan.Site.RoomKnown {
			if along >= -tolerance {
				figure(QuestionRoomStrip, "strip.end", func(end float64) float64 { return plan.Site.Room - end })
			}
			if pad, ok := plan.Outline("pad"); ok {
				_, high := pad.Ring.Bounds()
				expected[QuestionRoomPadAlong] = plan.Site.Room - high.X
			}
		}
		answers := map[Question]int{}
		for _, m := range margins(&plan) {
			if !m.Question.among(followedWhileQuiet) {
				continue
			}
			answers[m.Question]++
			if m.index < 0 {
				quiet[m.Question]++
				assert.Equal(t, Sound, m.Severity)
			} else {
				spoken[m.Question]++
				assert.NotEqual(t, Sound, m.Severity)
			}
			want, ok := expected[m.Question]
			require.True(t, ok, m.Question)
			assert.InDelta(t, want, m.Margin, 1e-6, m.Question)
		}
		for q := range expected {
			assert.Equal(t, 1, answers[q], q)
		}
	})
	for _, q := range []Question{QuestionOpeningGuide, QuestionOpeningMotor, QuestionMotionLost} {
		assert.NotZero(t, spoken[q], q)
	}
	for _, q := range followedWhileQuiet {
		assert.NotZero(t, quiet[q], q)
	}
}

// Every answer names its question; at one field a question has
// one answer, but for those that are asked of several things there.
func TestEveryQuestionIsAnsweredOnce(t *testing.T) {
	several := []Question{QuestionLevelsCliff, QuestionNetworkDiffers, QuestionStrengthRefused,
		QuestionProofPinion, QuestionProofRollers, QuestionProofCarrier, QuestionProofWheels}
	eachRandomSite(t, 300, func(t *testing.T, _ Survey, plan Plan, _ inputs) {
		type asked struct {
			question Question
			field    string
		}
		answered := map[asked]bool{}
		answer := func(a Answer) {
			assert.NotEmpty(t, a.Question)
			assert.NotEmpty(t, a.Severity, a.Question)
			key := asked{a.Question, a.Field}
			assert.False(t, answered[key] && !a.Question.among(several), "%s at %q twice", a.Question, a.Field)
			answered[key] = true
		}
		for _, c := range plan.Checks {
			answer(c.Answer())
			assert.NotEmpty(t, c.Code, c.Question)
			assert.False(t, c.What.Empty(), c.Code)
		}
		for _, a := range plan.Quiet {
			answer(a)
			assert.Equal(t, Sound, a.Severity, a.Question)
		}
	})
}

func TestConfidenceIsDeterministicAndFinite(t *testing.T) {
	p := DefaultPractice()
	eachRandomSite(t, 25, func(t *testing.T, s Survey, plan Plan, _ inputs) {
		a, err := json.Marshal(Confidence(s, p, plan)) // refuses NaN and infinities
		require.NoError(t, err)
		b, _ := json.Marshal(Confidence(s, p, plan))
		assert.Equal(t, string(a), string(b))
	})
	for _, s := range []Survey{{}, {Opening: Opening{Width: Measured(math.NaN(), ByTape)}}, {Opening: Opening{Width: Value{Size: 4000, How: ByTape, Sigma: -3}}}} {
		plan, _ := Design(s, p)
		_, err := json.Marshal(Confidence(s, p, plan))
		assert.NoError(t, err)
	}
}

func BenchmarkConfidence(b *testing.B) {
	s, p := angledSite(), DefaultPractice()
	plan, _ := Design(s, p)
	b.ReportAllocs()
	for b.Loop() {
		_ = Confidence(s, p, plan)
	}
}

// What a reading taken again would bring is said with two sizes that differ,
// be it by tenths of a millimetre.
func TestAdviceNamesTwoSizes(t *testing.T) {
	assert.Equal(t, []Arg{mm(12), mm(14)}, apart(12, 14, Length))
	assert.Equal(t, []Arg{tenths(2.71), tenths(3.36)}, apart(2.71, 3.36, Length))
	assert.Equal(t, []Arg{rad(0.01), rad(0.012)}, apart(0.01, 0.012, AngleOf))
}
