package engine_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/concrete"
	"pegpour/engine/enginetest"
	"pegpour/engine/motion"
	"pegpour/engine/pegs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
	"pegpour/engine/text"
)

func hang(t *testing.T, change func(*survey.Survey, *practice.Practice)) plan.Plan {
	t.Helper()
	s, p := enginetest.HangingSite(), practice.DefaultPractice()
	if change != nil {
		change(&s, &p)
	}
	made, err := engine.Design(s, p)
	require.NoError(t, err)
	require.NotNil(t, made.Leaf.Hanging)
	return made
}

// A leaf that hangs free lays nothing on the drive: no strip, no track, no wheel, and
// one block in the run-back that motor and carriages stand on.
func TestHangingLeavesTheDriveAlone(t *testing.T) {
	made := hang(t, nil)
	for _, kind := range []plan.PartKind{plan.PartDriveStrip, plan.PartLatchStrip, plan.PartRunBackStrip, plan.PartHardStop,
		plan.PartFootingBar} {
		assert.False(t, made.Has(kind), "%s", kind)
	}
	assert.Empty(t, made.Track.Lines)
	assert.Zero(t, made.Quantities.Track)
	assert.Zero(t, made.Quantities.Fixings)
	h := made.Leaf.Hanging
	low, high, ok := made.Extent(plan.PartPad)
	require.True(t, ok)
	assert.GreaterOrEqual(t, low.X, made.Opening)
	for o := range made.Parts(plan.PartCarriage) {
		a, b := o.Ring.Bounds()
		assert.True(t, a.X > low.X && b.X < high.X && a.Y > low.Y && b.Y < high.Y, "%s stands on the block", o.Name)
	}
	assert.InDelta(t, h.Rear+practice.DefaultPractice().HangEdge, high.X, 1e-6)
	room, _ := made.Figure(plan.FigureRoomNeeded)
	assert.InDelta(t, h.Whole, room.Value, 1e-6, "all of the leaf runs behind the post")
	assert.InDelta(t, made.Leaf.Frame+h.Counter, h.Whole, 1e-9)
}

// By hand: 4 m of opening, counter part by the first guess of 45 %.
func TestHangingByHand(t *testing.T) {
	made := hang(t, nil)
	h := made.Leaf.Hanging
	assert.InDelta(t, 1800, h.Counter, 1e-9, "0.45 · 4000")
	assert.InDelta(t, 4200, h.Front, 1e-9)
	assert.InDelta(t, 4000+50+1800-130, h.Rear, 1e-9, "half a carriage and the margin within the beam's end")
	g := made.Leaf.Mass * motion.Gravity
	assert.InDelta(t, g, h.Weight, 1e-6)
	centre := 4200 - (-50 + made.Leaf.Panels[0].CentreAlong)
	assert.InDelta(t, g*(centre+1520)/1520, h.Carried[0].Front, 1e-6)
	assert.InDelta(t, -g*centre/1520, h.Carried[0].Rear, 1e-6)
	assert.InDelta(t, 1920*500*500*concrete.UnitWeight, h.Block.Weight, 1e-6)
	mass := 0.0
	for i := range made.Leaf.Members {
		mass += made.Leaf.Members[i].Mass
	}
	assert.InDelta(t, made.Leaf.Mass, mass, 1e-6, "no wheels are weighed")
	f, _ := made.Figure(plan.FigureHangingSag)
	assert.InDelta(t, h.Sag, f.Value, 0)
}

// At every place of the travel the two carriages carry the leaf and nothing turns it,
// on every site drawn by chance; and the block holds what its own check says.
func TestHangingBalancesAtEveryTravel(t *testing.T) {
	hung := 0
	for seed := range uint64(300) {
		s := enginetest.RandomHangingSite(rand.New(rand.NewPCG(seed, 5)))
		made, err := engine.Judge(s, practice.DefaultPractice())
		require.NoError(t, err)
		_, err = json.Marshal(made) // no number in it is none
		require.NoError(t, err)
		h := made.Leaf.Hanging
		require.NotNil(t, h)
		if h.Unjudged {
			assert.True(t, made.Unjudged(plan.QuestionHangingUnjudged), "%d", seed)
			continue
		}
		hung++
		for _, c := range h.Carried {
			assert.InDelta(t, h.Weight, c.Front+c.Rear, 1e-6, "%d", seed)
			leaf := h.Front - h.Centre + c.Travelled // chainage of the centre
			assert.InDelta(t, h.Weight*leaf, c.Front*h.Front+c.Rear*h.Rear, 1e-3, "%d", seed)
		}
		for _, g := range h.Gaps {
			assert.GreaterOrEqual(t, g.Gap, h.Clearance-1e-6, "%d: nowhere less than over the highest place", seed)
		}
		if h.By == plan.CounterByFound {
			front, rear := h.MostCarried()
			assert.LessOrEqual(t, h.Down(), h.Ramp+1e-9, "%d", seed)
			assert.True(t, h.Bears == 0 || math.Max(front, rear) <= h.Bears+1e-6, "%d", seed)
		}
		assert.True(t, made.Leaf.Proof.Agrees, "%d: both proofs of the motion agree", seed)
		assert.False(t, made.Has(plan.PartDriveStrip), "%d", seed)
	}
	assert.Greater(t, hung, 250)
}

// A hand of the other side changes nothing but what is mirrored.
func TestHangingMirrored(t *testing.T) {
	right := hang(t, nil)
	left := hang(t, func(s *survey.Survey, _ *practice.Practice) { s.Opening.Hand = survey.HandLeft })
	assert.NotEqual(t, right.Mirrored(), left.Mirrored())
	left.Hand = right.Hand
	a, err := json.Marshal(right)
	require.NoError(t, err)
	b, err := json.Marshal(left)
	require.NoError(t, err)
	assert.JSONEq(t, string(a), string(b))
}

// The gap under the leaf grows with the fall of the drive, and where it lets a child
// through is said.
func TestHangingGapOnASlope(t *testing.T) {
	made := hang(t, func(s *survey.Survey, _ *practice.Practice) {
		slope := enginetest.SlopingSite(0.03, 0)
		s.Ground.Shape, s.Ground.Levels = slope.Ground.Shape, slope.Ground.Levels
	})
	h := made.Leaf.Hanging
	assert.InDelta(t, 60+0.03*4000, h.Widest.Gap, 1)
	assert.InDelta(t, 0, h.Widest.Chainage, 1)
	c := checkOf(t, &made, plan.QuestionHangingGap)
	assert.Equal(t, plan.Warning, c.Severity)
	assert.InDelta(t, 100-h.Widest.Gap, c.Margin, 1e-9)
	assert.InDelta(t, h.Level-60, h.BlockTop, 1e-9)
	assert.InDelta(t, h.BlockTop, made.Ground.Pad.Level, 1e-9)
}

// What was asked wrongly is refused by name at the door, and the rest stands.
func TestHangingBadInput(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), -1, 0, 1e9} {
		for _, path := range []survey.Path{survey.GateHangingBears, survey.GateHangingSpacing, survey.GateHangingClearance,
			survey.GateHangingBeamMass, survey.GateHangingBeamInertia, survey.GateHangingBeamModulus} {
			s := enginetest.HangingSite()
			f := survey.FieldOf(path)
			value := survey.Measured(bad, survey.ByTape)
			require.Error(t, f.SetValue(&s, value), "%s %v", path, bad)
		}
	}
	s := enginetest.HangingSite()
	s.Gate.Hanging.Bears = survey.Measured(-5, survey.ByTape)
	made, err := engine.Design(s, practice.DefaultPractice())
	require.ErrorContains(t, err, survey.GateHangingBears)
	require.NotNil(t, made.Leaf.Hanging)
	assert.Equal(t, plan.Warning, checkOf(t, &made, plan.QuestionHangingCarriages).Severity, "then nothing is known of it")
	s.Gate.Carried = "by magic"
	made, err = engine.Design(s, practice.DefaultPractice())
	require.ErrorContains(t, err, survey.GateCarried)
	assert.Nil(t, made.Leaf.Hanging)

	near := hang(t, func(s *survey.Survey, _ *practice.Practice) {
		s.Gate.Hanging.Spacing = survey.Measured(200, survey.ByTape)
	})
	assert.Equal(t, plan.Sound, answerOf(t, &near, plan.QuestionHangingSpacing), "exactly a carriage's length")
	near = hang(t, func(s *survey.Survey, p *practice.Practice) {
		s.Gate.Hanging.Spacing, p.HangBeamHeight = survey.Measured(240, survey.ByTape), 250
	})
	assert.Equal(t, plan.Stop, checkOf(t, &near, plan.QuestionHangingSpacing).Severity, "closer than the beam is deep")
	part := hang(t, func(s *survey.Survey, _ *practice.Practice) {
		s.Gate.Hanging.BeamMass = survey.Measured(20, survey.ByTape)
	})
	assert.Equal(t, plan.Warning, checkOf(t, &part, plan.QuestionHangingBeamPart).Severity)
}

// A refusal never reads as sound: a beam that is not made is judged by nothing.
func TestHangingRefusalIsNeverSound(t *testing.T) {
	made := hang(t, func(_ *survey.Survey, p *practice.Practice) {
		p.HangBeamHeight, p.HangBeamWidth, p.HangBeamWall = 60, 40, 10
	})
	assert.True(t, made.Unjudged(plan.QuestionHangingUnjudged))
	assert.Equal(t, plan.Stop, checkOf(t, &made, plan.QuestionHangingUnjudged).Severity)
	for _, q := range []plan.Question{plan.QuestionHangingNose, plan.QuestionHangingBeam, plan.QuestionHangingCarriages,
		plan.QuestionHangingTips} {
		for _, c := range made.Checks {
			assert.NotEqual(t, q, c.Question)
		}
		for _, a := range made.Quiet {
			assert.NotEqual(t, q, a.Question)
		}
	}
}

// Both ways of each check: what holds, and what does not.
func TestHangingChecksBothWays(t *testing.T) {
	sound := hang(t, nil)
	for _, q := range []plan.Question{plan.QuestionHangingCarriages, plan.QuestionHangingNose, plan.QuestionHangingBeam,
		plan.QuestionHangingTips, plan.QuestionHangingPresses, plan.QuestionHangingSlides, plan.QuestionHangingGap,
		plan.QuestionHangingRunBack, plan.QuestionHangingCounter, plan.QuestionProofCarriages} {
		assert.Equal(t, plan.Sound, answerOf(t, &sound, q), "%s", q)
	}
	fails := func(q plan.Question, change func(*survey.Survey, *practice.Practice)) plan.Check {
		made := hang(t, change)
		c := checkOf(t, &made, q)
		assert.NotEqual(t, plan.Sound, c.Severity, "%s", q)
		if c.HasMargin {
			assert.Negative(t, c.Margin, "%s", q)
		}
		return c
	}
	fails(plan.QuestionHangingCarriages, func(s *survey.Survey, _ *practice.Practice) {
		s.Gate.Hanging.Bears, s.Gate.Hanging.Spacing = survey.Measured(1000, survey.ByTape), survey.Measured(1500, survey.ByTape)
	})
	c := fails(plan.QuestionHangingNose, func(s *survey.Survey, p *practice.Practice) { p.HangRamp = 10 })
	assert.NotEmpty(t, c.Remedies)
	fails(plan.QuestionHangingBeam, func(_ *survey.Survey, p *practice.Practice) {
		p.HangBeamHeight, p.HangBeamWidth, p.HangBeamWall = 60, 40, 2
	})
	fails(plan.QuestionHangingTips, func(_ *survey.Survey, p *practice.Practice) {
		p.HangBlockDepth, p.HangBlockDeepest, p.HangTipping = 200, 300, 3
	})
	fails(plan.QuestionHangingPresses, func(s *survey.Survey, p *practice.Practice) { s.Ground.Class, p.SoilBears = "clay", 0.3 })
	fails(plan.QuestionHangingSlides, func(s *survey.Survey, p *practice.Practice) {
		p.SoilBears, p.HangSliding, p.HangBlockDeepest = 0.3, 4, 500
	})
	fails(plan.QuestionHangingCatch, func(s *survey.Survey, _ *practice.Practice) { s.Gate.LatchStop = survey.No })
	fails(plan.QuestionHangingCounter, func(_ *survey.Survey, p *practice.Practice) { p.HangCounter = 0.2 })
	fails(plan.QuestionRoomAlong, func(s *survey.Survey, _ *practice.Practice) { s.RunBack.Room = survey.Measured(5000, survey.ByTape) })
	c = fails(plan.QuestionHangingRunBack, func(s *survey.Survey, _ *practice.Practice) {
		slope := enginetest.SlopingSite(0.03, 0)
		s.Ground.Shape, s.Ground.Levels = slope.Ground.Shape, slope.Ground.Levels
	})
	assert.Contains(t, c.What.String(), "dig")
}

// A weak carriage is answered by a longer counter part, up to what the rule of the
// ramp allows; given carriages stand where they are.
func TestHangingCounterPartIsFound(t *testing.T) {
	first := hang(t, nil).Leaf.Hanging
	assert.Equal(t, plan.CounterByRule, first.By)
	weak := hang(t, func(s *survey.Survey, _ *practice.Practice) {
		s.Gate.Hanging.Bears = survey.Measured(4400, survey.ByTape)
	}).Leaf.Hanging
	assert.Equal(t, plan.CounterByFound, weak.By)
	assert.Greater(t, weak.Counter, first.Counter)
	front, rear := weak.MostCarried()
	assert.LessOrEqual(t, math.Max(front, rear), 4400.0)
	given := hang(t, func(s *survey.Survey, _ *practice.Practice) {
		s.Gate.Hanging.Spacing = survey.Measured(1700, survey.ByTape)
	}).Leaf.Hanging
	assert.Equal(t, plan.CounterByGiven, given.By)
	assert.InDelta(t, 1700, given.Between, 1e-9)
}

// Where no counter part is found none of any length holds, tried one after the other.
func TestHangingFindsACounterPartIfThereIsOne(t *testing.T) {
	none, found := 0, 0
	for seed := range uint64(120) {
		s := enginetest.RandomHangingSite(rand.New(rand.NewPCG(seed, 8)))
		s.Gate.Hanging.Spacing = survey.Value{}
		made, err := engine.Judge(s, practice.DefaultPractice())
		require.NoError(t, err)
		h := made.Leaf.Hanging
		if h.By == plan.CounterByFound {
			found++
		}
		if h.By != plan.CounterByNone || h.Unjudged {
			continue
		}
		none++
		for between := 250.0; between < 7000; between += 250 {
			s.Gate.Hanging.Spacing = survey.Measured(between, survey.ByTape)
			tried, err := engine.Judge(s, practice.DefaultPractice())
			require.NoError(t, err)
			if k := tried.Leaf.Hanging; k.Counter <= made.Opening {
				assert.False(t, stages.HoldsUp(k), "%d: holds at %v", seed, between)
			}
		}
	}
	assert.Greater(t, none, 10)
	assert.Greater(t, found, 2)
}

// Nothing that is said of a leaf that hangs free tells of a track, a strip or wheels.
func TestHangingTellsOfNoTrack(t *testing.T) {
	wrong := regexp.MustCompile(`(?i)\b(track|strip|strips|wheels?)\b`)
	allowed := regexp.MustCompile(`than on wheels|on a track across the drive|two levels on the track line|tapes to each peg`)
	said := 0
	look := func(of string, t2 text.Text) {
		said++
		if words := t2.String(); wrong.MatchString(words) && !allowed.MatchString(words) {
			t.Errorf("%s: %s", of, words)
		}
	}
	sites := []survey.Survey{enginetest.HangingSite()}
	for seed := range uint64(150) {
		sites = append(sites, enginetest.RandomHangingSite(rand.New(rand.NewPCG(seed, 6))))
	}
	p := practice.DefaultPractice()
	for i := range sites {
		made, err := engine.Design(sites[i], p)
		require.NoError(t, err)
		for k := range made.Checks {
			c := &made.Checks[k]
			if c.Question == plan.QuestionMinimum {
				continue
			}
			look(c.Code, c.What)
			look(c.Code, c.Consequence)
			for _, r := range c.Remedies {
				look(c.Code+" remedy", r.Words)
			}
		}
		for k := range made.Figures {
			f := &made.Figures[k]
			look(f.ID, text.Say(string(f.Name)))
			look(f.ID, f.How)
		}
		for _, c := range made.Strength.Cases {
			look(c.ID, c.What)
			for _, f := range append(c.Loads, c.Forces...) {
				look(c.ID, text.Say(string(f.Name)))
			}
		}
		for _, stage := range tables.PourChecklist(&made, &p) {
			for _, item := range stage.Items {
				look(item.ID, item.Words)
			}
		}
		for k := range made.Quantities.Parts {
			look("part", made.Quantities.Parts[k].How)
		}
	}
	assert.Greater(t, said, 10000)
}

func checkOf(t *testing.T, made *plan.Plan, q plan.Question) plan.Check {
	t.Helper()
	for i := range made.Checks {
		if made.Checks[i].Question == q {
			return made.Checks[i]
		}
	}
	require.Failf(t, "not said", "%s", q)
	return plan.Check{}
}

func answerOf(t *testing.T, made *plan.Plan, q plan.Question) plan.Severity {
	t.Helper()
	for i := range made.Quiet {
		if made.Quiet[i].Question == q {
			return made.Quiet[i].Severity
		}
	}
	return checkOf(t, made, q).Severity
}

// The middle of each carriage has a peg, last in the list, with its two tapes and the
// level of the block's top.
func TestHangingPegsTheCarriages(t *testing.T) {
	made := hang(t, func(s *survey.Survey, _ *practice.Practice) {
		slope := enginetest.SlopingSite(0.03, 0)
		s.Ground.Shape, s.Ground.Levels = slope.Ground.Shape, slope.Ground.Levels
	})
	h := made.Leaf.Hanging
	require.Greater(t, len(made.Pegs), 2)
	for i, g := range made.Pegs[len(made.Pegs)-2:] {
		x := [2]float64{h.Front, h.Rear}[i]
		assert.Equal(t, len(made.Pegs)-1+i, g.Number)
		assert.Equal(t, plan.PartCarriage.ID(i+1), g.Of)
		assert.InDelta(t, x, g.Chainage, 1e-9)
		assert.InDelta(t, made.Track.Offset, g.Offset, 1e-9)
		assert.InDelta(t, math.Hypot(x, g.Offset), g.FromLatch, 1e-9)
		assert.InDelta(t, math.Hypot(x-made.Opening, g.Offset), g.FromRunBack, 1e-9)
		assert.True(t, g.Levelled)
		assert.InDelta(t, h.BlockTop, g.Level, 1e-9)
		for _, line := range made.Diagonals {
			assert.False(t, line.From == g.Number || line.To == g.Number)
		}
	}
	rows := tables.Pegs(&made)
	assert.Equal(t, "Middle: Rear carriage", rows[len(rows)-1][4])
	rules := practice.DefaultPractice()
	set := pegs.Marks(&made, &rules)
	m := pegs.Find(set, plan.PartCarriage.ID(2)+"#1")
	require.NotNil(t, m)
	assert.Equal(t, rules.PegOffAnchor, m.Tolerance)
	level := hang(t, nil)
	assert.False(t, level.Pegs[len(level.Pegs)-1].Levelled, "nothing was levelled")
}

// The tables of a leaf that hangs free have its own columns, and no track.
func TestHangingTables(t *testing.T) {
	made := hang(t, func(s *survey.Survey, _ *practice.Practice) {
		slope := enginetest.SlopingSite(0.03, 0)
		s.Ground.Shape, s.Ground.Levels = slope.Ground.Shape, slope.Ground.Levels
	})
	rows := tables.Levels(&made)
	require.Greater(t, len(rows), 3)
	assert.Equal(t, text.Name("Gap"), rows[0][4])
	assert.Equal(t, text.Name("180"), rows[1][4], "60 over the run-back post, and 3 % of 4 m more at the latch post")
	for _, row := range tables.Quantities(&made) {
		assert.NotContains(t, string(row[0]), "rack fixings")
		assert.NotEqual(t, text.Name("Track"), row[0])
	}
}

// Two carriages are priced by the shop's rate, and named as unpriced without one.
func TestHangingPricesItsCarriages(t *testing.T) {
	p := practice.DefaultPractice()
	made, err := engine.Design(enginetest.HangingSite(), p)
	require.NoError(t, err)
	assert.Contains(t, made.Quantities.Unpriced, text.Name("Carriages"))
	p.RateCarriage = 340
	made, err = engine.Design(enginetest.HangingSite(), p)
	require.NoError(t, err)
	assert.NotContains(t, made.Quantities.Unpriced, text.Name("Carriages"))
	assert.InDelta(t, 680, made.Quantities.Cost, 1e-9)
}

// A block that does not hold by its least depth goes deeper in steps, and says so; one
// that only stands below the frost does not.
func TestHangingBlockGoesDeeper(t *testing.T) {
	p := practice.DefaultPractice()
	frost := hang(t, func(s *survey.Survey, _ *practice.Practice) {
		s.Ground.Class, s.Ground.Frost = "clay", survey.Measured(620, survey.ByTape)
	})
	assert.InDelta(t, 650, frost.Deepest(plan.PartPad).Deep(), 1e-6)
	assert.False(t, frost.Leaf.Hanging.Block.Deeper)
	least := hang(t, nil).Leaf.Hanging.Block.Holds()
	weak := hang(t, func(_ *survey.Survey, p *practice.Practice) { p.HangTipping = least + 0.3 })
	b := weak.Leaf.Hanging.Block
	assert.True(t, b.Deeper)
	assert.GreaterOrEqual(t, b.Holds(), least+0.3)
	assert.Greater(t, b.Deep, p.HangBlockDepth)
	assert.Zero(t, math.Mod(b.Deep, p.HoleStep))
	none := hang(t, func(_ *survey.Survey, p *practice.Practice) { p.HangTipping, p.HangBlockDeepest = 4, 550 })
	assert.True(t, none.Leaf.Hanging.Block.Unheld)
	assert.NotEqual(t, plan.Sound, checkOf(t, &none, plan.QuestionHangingTips).Severity)
}

// A counter part of nothing is named: everything the overlap at the run-back post has
// taken up already.
func TestHangingWithoutCounterPart(t *testing.T) {
	made := hang(t, func(s *survey.Survey, p *practice.Practice) {
		s.Gate.Motor, s.Gate.Guide = survey.MotorNone, survey.GuideOnPost
		s.Gate.Hanging.Spacing = survey.Measured(200, survey.ByTape)
		p.OverlapRunBack, p.HangFront, p.HangEdge, p.HangCarriage = 500, 50, 80, 50
	})
	require.Zero(t, made.Leaf.Hanging.Counter)
	assert.Equal(t, plan.Stop, checkOf(t, &made, plan.QuestionHangingCounter).Severity)
}
