package advice

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// pointedSite has its edge by taped points and an obstruction near the pad.
func pointedSite() survey.Survey {
	s := enginetest.AngledSite()
	at := func(x, y float64) survey.EdgePoint {
		return survey.EdgePoint{Along: survey.Measured(x, survey.ByTape), Offset: survey.Measured(y, survey.ByTape)}
	}
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgePoints,
		Points: []survey.EdgePoint{at(-40, 0), at(180, 700), at(260, 1900)}}
	s.RunBack.Obstructions = []survey.Obstruction{{Kind: survey.ObstructionTree,
		Along: survey.Measured(1500, survey.ByTape), Offset: survey.Measured(700, survey.ByLaser),
		Length: survey.Measured(300, survey.ByEstimate), Width: survey.Measured(300, survey.ByEstimate)}}
	return s
}

// drawSite changes every number that Confidence takes for uncertain by a normal
// error of its standard uncertainty.
func drawSite(r *rand.Rand, s *survey.Survey, p *practice.Practice, readings []Reading) survey.Survey {
	out := s.Clone()
	for _, reading := range readings {
		f, _ := survey.FieldAt(reading.Path)
		size := reading.Value + r.NormFloat64()*reading.Sigma
		_ = f.SetValue(&out, survey.Measured(math.Min(f.High, math.Max(f.Low, size)), survey.ByTape))
	}
	return out
}

// drawsOf is how often to draw: few times, and many in a soak.
func drawsOf(few, many int) int {
	if os.Getenv("PEGPOUR_DRAWN") != "" {
		return many
	}
	return few
}

// First order against random draws through Design. Where the layout's sizes are
// smooth in the readings the two agree within 5 %: the draws' own standard
// error is 1/√(2·1200) = 2.0 %, and 1.3 % of the 3000 of a soak (PEGPOUR_DRAWN); the rest
// is bending within the reading's error.
func TestConfidenceMonteCarlo(t *testing.T) {
	draws := drawsOf(1200, 3000)
	p := practice.DefaultPractice()
	for name, s := range map[string]survey.Survey{"angle": enginetest.AngledSite(), "points": pointedSite()} {
		t.Run(name, func(t *testing.T) {
			made, err := engine.Design(s, p)
			require.NoError(t, err)
			report := Confidence(s, p, made)
			r := rand.New(rand.NewPCG(2026, 4))
			sums, squares := map[string]float64{}, map[string]float64{}
			var room, roomSquares float64
			for range draws {
				drawn, err := engine.Judge(drawSite(r, &s, &p, report.Readings), p)
				require.NoError(t, err)
				for _, f := range drawn.Figures {
					sums[f.ID] += f.Value
					squares[f.ID] += f.Value * f.Value
				}
				m, _ := marginOf(margins(&drawn), plan.QuestionRoomAlong, survey.RunBackRoom)
				room += m
				roomSquares += m * m
			}
			spread := func(sum, square float64) float64 {
				return math.Sqrt(math.Max(0, square/float64(draws)-sum*sum/float64(draws)/float64(draws)))
			}
			compared := 0
			for _, id := range DecisiveFigures() {
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
// uncertainties says, within 4 hundredths: the standard error of 800 draws is at most 1.8
// hundredths, and 1.1 of the 2000 of a soak.
func TestConfidenceOfACloseCheck(t *testing.T) {
	draws := drawsOf(800, 2000)
	p := practice.DefaultPractice()
	s := enginetest.AngledSite()
	made := designs.Of(t, s)
	need, _ := made.Figure("room.needed")
	for _, spare := range []float64{-6, -2, 1, 5} {
		s.RunBack.Room = survey.Measured(math.Round(need.Value+spare), survey.ByTape)
		made := designs.Of(t, s)
		report := Confidence(s, p, made)
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
			drawn, _ := engine.Judge(drawSite(r, &s, &p, report.Readings), p)
			if m, _ := marginOf(margins(&drawn), plan.QuestionRoomAlong, survey.RunBackRoom); m < 0 {
				fails++
			}
		}
		expected := 0.5 * math.Erfc(c.Margin/c.Sigma/math.Sqrt2)
		t.Logf("margin %.1f ± %.1f: fails in %.3f of draws, expected %.3f", c.Margin, c.Sigma, fails/float64(draws), expected)
		assert.InDelta(t, expected, fails/float64(draws), 0.04)
	}
}

// What was not measured counts as an estimate by eye, and is the reading to
// take.
func TestConfidenceOfAnAssumedValue(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.AngledSite()
	s.Drive.RunBackEdge.Along = survey.Value{}
	made := designs.Of(t, s)
	report := Confidence(s, p, made)
	var found bool
	for _, r := range report.Readings {
		if r.Path == survey.DriveRunBackEdgeAlong {
			found = true
			assert.True(t, r.Assumed)
			assert.Equal(t, p.SigmaGuess, r.Sigma)
		}
	}
	assert.True(t, found)
	require.NotEmpty(t, report.Again)
	assert.Equal(t, survey.DriveRunBackEdgeAlong, report.Again[0].Path)
	at, _ := report.Result("guide.at")
	assert.GreaterOrEqual(t, at.Sigma, 50.0)
	assert.Equal(t, survey.DriveRunBackEdgeAlong, at.Shares[0].Path)
	assert.Less(t, report.Again[0].After, report.Again[0].Before)

	// Measured, the advice goes elsewhere and the figure is as sure as the tape
	// and the angle make it.
	s.Drive.RunBackEdge.Along = survey.Measured(0, survey.ByTape)
	made = designs.Of(t, s)
	report = Confidence(s, p, made)
	at, _ = report.Result("guide.at")
	assert.Less(t, at.Sigma, 10.0)
}

// Exact arithmetic on a line through the whole of Design: the frame is the
// opening and two rules.
func TestConfidenceOfAStraightSum(t *testing.T) {
	s := enginetest.SquareSite()
	s.Opening.Width = survey.Value{Size: 4000, How: survey.ByTape, Sigma: 7}
	made := designs.Of(t, s)
	report := Confidence(s, practice.DefaultPractice(), made)
	frame, _ := report.Result("leaf.frame")
	assert.InDelta(t, 7, frame.Sigma, 1e-9)
	require.Len(t, frame.Shares, 1)
	assert.Equal(t, survey.OpeningWidth, frame.Shares[0].Path)
	assert.InDelta(t, 1, frame.Shares[0].Part, 1e-9)
}

// A room that was never measured is the first thing to measure.
func TestConfidenceNamesWhatACheckWaitsFor(t *testing.T) {
	s := enginetest.SquareSite()
	s.RunBack.Room = survey.Value{}
	made := designs.Of(t, s)
	report := Confidence(s, practice.DefaultPractice(), made)
	require.NotEmpty(t, report.Again)
	assert.Equal(t, survey.RunBackRoom, report.Again[0].Path)
	assert.Contains(t, report.Unknown, survey.RunBackRoom)
}

// Questions that are only spoken of when they go wrong are answered once each,
// aloud or quietly, and either way with the margin that the plan's own figures
// give.
func TestSilentMarginsAreTheChecks(t *testing.T) {
	p := practice.DefaultPractice()
	spoken, quiet := map[plan.Question]int{}, map[plan.Question]int{}
	designs.EachRandom(t, 300, func(t *testing.T, _ survey.Survey, made plan.Plan) {
		expected := map[plan.Question]float64{}
		figure := func(q plan.Question, id string, margin func(float64) float64) {
			if f, ok := made.Figure(id); ok {
				expected[q] = margin(f.Value)
			}
		}
		itself := func(v float64) float64 { return v }
		leaf := &made.Leaf
		figure(plan.QuestionOpeningGuide, "guide.at", itself)
		figure(plan.QuestionOpeningMotor, "motor.at", itself)
		end := leaf.RollersAt - p.RollerSpacing/2
		if _, ok := made.Figure("motor.at"); ok {
			end = math.Min(end, leaf.PinionAt)
		}
		expected[plan.QuestionMotionLost] = end - leaf.OpenAt - leaf.Lost - p.EngagementMargin
		figure(plan.QuestionMotionTrack, "strip.width", func(width float64) float64 {
			return width - made.Track.Lines[len(made.Track.Lines)-1].Offset - p.TrackWidth/2
		})
		if along, ok := marginOf(margins(&made), plan.QuestionRoomAlong, survey.RunBackRoom); ok && made.Site.RoomKnown {
			if along >= -plan.Tolerance {
				figure(plan.QuestionRoomStrip, "strip.end", func(end float64) float64 { return made.Site.Room - end })
			}
			if pad, ok := made.Outline("pad"); ok {
				_, high := pad.Ring.Bounds()
				expected[plan.QuestionRoomPadAlong] = made.Site.Room - high.X
			}
		}
		answers := map[plan.Question]int{}
		for _, m := range margins(&made) {
			if !m.Question.Among(followedWhileQuiet) {
				continue
			}
			answers[m.Question]++
			if m.index < 0 {
				quiet[m.Question]++
				assert.Equal(t, plan.Sound, m.Severity)
			} else {
				spoken[m.Question]++
				assert.NotEqual(t, plan.Sound, m.Severity)
			}
			want, ok := expected[m.Question]
			require.True(t, ok, m.Question)
			assert.InDelta(t, want, m.Margin, 1e-6, m.Question)
		}
		for q := range expected {
			assert.Equal(t, 1, answers[q], q)
		}
	})
	for _, q := range []plan.Question{plan.QuestionOpeningGuide, plan.QuestionOpeningMotor, plan.QuestionMotionLost} {
		assert.NotZero(t, spoken[q], q)
	}
	for _, q := range followedWhileQuiet {
		assert.NotZero(t, quiet[q], q)
	}
}

// Every answer names its question; at one field a question has
// one answer, but for those that are asked of several things there.
func TestEveryQuestionIsAnsweredOnce(t *testing.T) {
	several := []plan.Question{plan.QuestionLevelsCliff, plan.QuestionNetworkDiffers, plan.QuestionStrengthRefused,
		plan.QuestionProofPinion, plan.QuestionProofRollers, plan.QuestionProofCarrier, plan.QuestionProofWheels}
	designs.EachRandom(t, 300, func(t *testing.T, _ survey.Survey, made plan.Plan) {
		type asked struct {
			question plan.Question
			field    string
		}
		answered := map[asked]bool{}
		answer := func(a plan.Answer) {
			assert.NotEmpty(t, a.Question)
			assert.NotEmpty(t, a.Severity, a.Question)
			key := asked{a.Question, a.Field}
			assert.False(t, answered[key] && !a.Question.Among(several), "%s at %q twice", a.Question, a.Field)
			answered[key] = true
		}
		for _, c := range made.Checks {
			answer(c.Answer())
			assert.NotEmpty(t, c.Code, c.Question)
			assert.False(t, c.What.Empty(), c.Code)
		}
		for _, a := range made.Quiet {
			answer(a)
			assert.Equal(t, plan.Sound, a.Severity, a.Question)
		}
	})
}

func TestConfidenceIsDeterministicAndFinite(t *testing.T) {
	p := practice.DefaultPractice()
	designs.EachRandom(t, 25, func(t *testing.T, s survey.Survey, made plan.Plan) {
		a, err := json.Marshal(Confidence(s, p, made)) // refuses NaN and infinities
		require.NoError(t, err)
		b, _ := json.Marshal(Confidence(s, p, made))
		assert.Equal(t, string(a), string(b))
	})
	for _, s := range []survey.Survey{{}, {Opening: survey.Opening{Width: survey.Measured(math.NaN(), survey.ByTape)}},
		{Opening: survey.Opening{Width: survey.Value{Size: 4000, How: survey.ByTape, Sigma: -3}}}} {
		made, _ := engine.Design(s, p)
		_, err := json.Marshal(Confidence(s, p, made))
		assert.NoError(t, err)
	}
}

func BenchmarkConfidence(b *testing.B) {
	s, p := enginetest.AngledSite(), practice.DefaultPractice()
	made, _ := engine.Design(s, p)
	b.ReportAllocs()
	for b.Loop() {
		_ = Confidence(s, p, made)
	}
}

// What a reading taken again would bring is said with two sizes that differ,
// be it by tenths of a millimetre.
func TestAdviceNamesTwoSizes(t *testing.T) {
	assert.Equal(t, []text.Arg{text.MM(12), text.MM(14)}, apart(12, 14, text.Length))
	assert.Equal(t, []text.Arg{text.Tenths(2.71), text.Tenths(3.36)}, apart(2.71, 3.36, text.Length))
	assert.Equal(t, []text.Arg{text.Radians(0.01), text.Radians(0.012)}, apart(0.01, 0.012, text.AngleOf))
}
