package engine

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

func planBytes(t *testing.T, p *plan.Plan) string {
	t.Helper()
	b, err := json.Marshal(p)
	require.NoError(t, err)
	return string(b)
}

// wide is a site for two leaves alike, a whole number of millimetres each.
func wide(seed uint64) survey.Survey {
	r := rand.New(rand.NewPCG(seed, 7))
	s := enginetest.RandomLeafSite(r)
	s.Opening.Width.Size = 2 * math.Min(6000, math.Round(s.Opening.Width.Size))
	s.Ground.Shape = survey.GroundLevel
	return enginetest.Paired(s)
}

// Two sides alike give the same plan to the byte, and it is the plan that one leaf alone
// gives in that frame; only the hand is the other one.
func TestMirroredPairIsOneLeafMirrored(t *testing.T) {
	p := practice.DefaultPractice()
	for seed := range uint64(40) {
		s := wide(seed)
		sides := survey.SidesOf(&s, &p)
		require.Empty(t, sides.Refused)
		run, latch := sides.RunBack, sides.Latch
		assert.NotEqual(t, run.Opening.Hand, latch.Opening.Hand)
		latch.Opening.Hand = run.Opening.Hand
		one, _ := Design(run, p)
		two, _ := Design(latch, p)
		require.Equal(t, planBytes(t, &one), planBytes(t, &two), "seed %d", seed)
		whole, err := Design(s, p)
		require.NoError(t, err)
		require.NotNil(t, whole.Pair)
		assert.Equal(t, planBytes(t, &one), planBytes(t, whole.Pair.RunBack), "seed %d", seed)
		assert.Equal(t, whole.Pair.Meeting.Impacts[0], whole.Pair.Meeting.Impacts[1])
	}
}

// A side is what one leaf is on a site as wide as its part of the opening: leaf, posts,
// motor, strips, but for the end that meets.
func TestSideIsAWholeDesign(t *testing.T) {
	p := practice.DefaultPractice()
	for seed := range uint64(20) {
		s := wide(seed)
		whole, err := Design(s, p)
		require.NoError(t, err)
		alone := s.Clone()
		alone.Gate.Leaves, alone.Pair = "", survey.Pair{}
		alone.Opening.Width.Size /= 2
		alone.Drive.LatchEdge = survey.Edge{Given: survey.EdgeSquare, Along: survey.Measured(-5000, survey.ByTape)}
		q := p
		q.OverlapLatch = 0
		q.PairGap = 0
		again, err := Design(s, q)
		require.NoError(t, err)
		one, err := Design(alone, q)
		require.NoError(t, err)
		side := again.Pair.RunBack
		assert.Equal(t, one.Leaf.Frame, side.Leaf.Frame)
		assert.Equal(t, one.Leaf.Travel, side.Leaf.Travel)
		assert.Equal(t, one.Leaf.Rack, side.Leaf.Rack)
		for _, kind := range []plan.PartKind{plan.PartPad, plan.PartPostHole, plan.PartGuidePost, plan.PartMotor, plan.PartHardStop} {
			a, ok := one.Part(kind, 1)
			b, also := side.Part(kind, 1)
			assert.Equal(t, ok, also, kind)
			assert.Equal(t, a.Ring, b.Ring, kind)
		}
		assert.InDelta(t, one.Leaf.Frame-p.PairGap/2/float64(len(one.Leaf.Panels)), whole.Pair.RunBack.Leaf.Frame, 1e-9)
	}
}

// Seen from the other end of the fence a pair is the same pair with its sides exchanged.
func TestPairFromTheOtherEnd(t *testing.T) {
	p := practice.DefaultPractice()
	for seed := range uint64(40) {
		s := enginetest.RandomPair(rand.New(rand.NewPCG(seed, 3)))
		s.RunBack.Obstructions, s.Pair.Other.RunBack.Obstructions = nil, nil
		for i := range s.Ground.Levels.Drops { // so that nothing is rounded on the way
			s.Ground.Levels.Drops[i].Along.Size = math.Round(s.Ground.Levels.Drops[i].Along.Size)
		}
		m := enginetest.MirroredPair(s)
		a, _ := Design(s, p)
		b, _ := Design(m, p)
		require.Equal(t, planBytes(t, a.Pair.RunBack), planBytes(t, b.Pair.Latch), "seed %d", seed)
		require.Equal(t, planBytes(t, a.Pair.Latch), planBytes(t, b.Pair.RunBack), "seed %d", seed)
		assert.InDelta(t, a.Quantities.Concrete, b.Quantities.Concrete, 1, "seed %d", seed)
		assert.InDelta(t, a.Quantities.DigBank, b.Quantities.DigBank, 1, "seed %d", seed)
		assert.Equal(t, len(a.Pegs), len(b.Pegs), "seed %d", seed)
	}
}

// All outlines in one frame, united, have the area that the quantities say; what is poured
// is no more than every place to its greatest depth.
func TestPairCountsNothingTwice(t *testing.T) {
	p := practice.DefaultPractice()
	looked := 0
	for seed := range uint64(60) {
		s := enginetest.RandomPair(rand.New(rand.NewPCG(seed, 5)))
		made, _ := Design(s, p)
		if answer := pairCheck(&made, plan.QuestionPairEdge); answer != nil {
			continue // said: a side begins on the other
		}
		looked++
		var rings []geom.Polygon
		for i := range made.Outlines {
			if o := &made.Outlines[i]; o.Concrete {
				rings = append(rings, o.Ring)
			}
		}
		assert.InEpsilon(t, geom.UnionArea(rings...), made.Quantities.Area, 1e-9, "seed %d", seed)
		concrete, cost := 0.0, 0.0
		ids := map[string]bool{}
		for _, part := range made.Quantities.Parts {
			concrete += part.Volume
			assert.False(t, ids[part.ID], "%s twice, seed %d", part.ID, seed)
			ids[part.ID] = true
			_, found := made.Outline(part.ID)
			assert.True(t, found, "%s is drawn, seed %d", part.ID, seed)
		}
		for _, line := range made.Quantities.Lines {
			cost += line.Cost
		}
		assert.InEpsilon(t, concrete, made.Quantities.Concrete, 1e-12)
		assert.InDelta(t, cost, made.Quantities.Cost, 1e-6)
		a, b := &made.Pair.RunBack.Quantities, &made.Pair.Latch.Quantities
		assert.LessOrEqual(t, made.Quantities.Bags, a.Bags+b.Bags+int(p.PairFoot*p.PairFoot*p.PairFootDepth/p.BagYield)+1)
		assert.GreaterOrEqual(t, made.Quantities.Bags, a.Bags+b.Bags-1)
		assert.Equal(t, made.Quantities.Track, a.Track+b.Track)
	}
	assert.Greater(t, looked, 20)
}

// The drive strip of both sides is one strip, as one leaf would have it: the same mesh.
func TestPairHasOneDriveStrip(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.SquareSite()
	s.Drive.ConcreteSound = survey.No
	s.Drive.LatchEdge.Along, s.Opening.Width = survey.Measured(0, survey.ByTape), survey.Measured(8000, survey.ByTape)
	one, err := Design(s, p)
	require.NoError(t, err)
	pair, err := Design(enginetest.Paired(s), p)
	require.NoError(t, err)
	strips := 0
	for o := range pair.Parts(plan.PartDriveStrip) {
		strips++
		alone, _ := one.Part(plan.PartDriveStrip, 1)
		assert.InDelta(t, alone.Area, o.Area, 1e-6)
		assert.Equal(t, "driveStrip", o.ID)
	}
	assert.Equal(t, 1, strips)
	assert.Equal(t, one.Quantities.Mesh, pair.Quantities.Mesh)
	assert.Equal(t, one.Quantities.MeshSheets, pair.Quantities.MeshSheets)
	assert.InDelta(t, one.Quantities.SawCut, pair.Quantities.SawCut, 1e-9)
	assert.InDelta(t, one.Strength.Strip.Length, pair.Pair.RunBack.Strength.Strip.Length, 1e-9)
	foot, ok := pair.Part(plan.PartMeetingFooting, 1)
	require.True(t, ok)
	assert.InDelta(t, 4000, foot.Ring.Centroid().X, 1e-9)
	// 400 × 400 × 400, of which the strip has its own depth where both lie.
	var volume float64
	for _, part := range pair.Quantities.Parts {
		if part.ID == foot.ID {
			volume = part.Volume
		}
	}
	strip, _ := pair.Part(plan.PartDriveStrip, 1)
	shared := geom.UnionArea(foot.Ring) + geom.UnionArea(strip.Ring) - geom.UnionArea(foot.Ring, strip.Ring)
	assert.InDelta(t, 400*400*400-shared*strip.Depth, volume, 1)
}

// Each peg has a number of its own and stands where both its tapes say.
func TestPairPegs(t *testing.T) {
	p := practice.DefaultPractice()
	for seed := range uint64(30) {
		s := enginetest.RandomPair(rand.New(rand.NewPCG(seed, 9)))
		made, _ := Design(s, p)
		for i, g := range made.Pegs {
			require.Equal(t, i+1, g.Number)
			assert.InDelta(t, math.Hypot(g.Chainage, g.Offset), g.FromLatch, 1e-9)
			assert.InDelta(t, math.Hypot(g.Chainage-made.Opening, g.Offset), g.FromRunBack, 1e-9)
			for _, h := range made.Pegs[:i] {
				assert.Greater(t, math.Hypot(h.Chainage-g.Chainage, h.Offset-g.Offset), plan.Tolerance/2)
			}
			if !strings.Contains(g.Of, "footing.post") {
				o, ok := made.Outline(g.Of)
				assert.True(t, ok, g.Of)
				assert.InDelta(t, 0, o.Ring.DistanceTo(geom.Point{X: g.Chainage, Y: g.Offset}), 1)
			}
		}
		for _, line := range made.Diagonals {
			a, b := made.Pegs[line.From-1], made.Pegs[line.To-1]
			assert.InDelta(t, math.Hypot(a.Chainage-b.Chainage, a.Offset-b.Offset), line.Length, 1e-6)
		}
		for _, side := range made.Sides() {
			for _, g := range side.Pegs {
				if g.Chainage < plan.Tolerance && strings.HasPrefix(g.Of, "driveStrip") {
					continue // where the strip goes on
				}
				at := placeIn(&side, geom.Point{X: g.Chainage, Y: g.Offset})
				found := onStraight(&made, g.Of, at)
				for _, h := range made.Pegs {
					found = found || math.Hypot(h.Chainage-at.X, h.Offset-at.Y) < 2*plan.Tolerance
				}
				assert.True(t, found, "seed %d: peg %d of the %s: %s at %v", seed, g.Number, side.Name, g.Of, at)
			}
		}
	}
}

// What is measured badly is refused by name, and the rest stands.
func TestPairBadInput(t *testing.T) {
	p := practice.DefaultPractice()
	site := func() survey.Survey {
		s := enginetest.SquareSite()
		s.Opening.Width = survey.Measured(8000, survey.ByTape)
		return enginetest.Paired(s)
	}
	for name, c := range map[string]struct {
		change func(*survey.Survey)
		path   string
	}{
		"beyond the opening": {func(s *survey.Survey) { s.Pair.Meets = survey.Measured(9000, survey.ByTape) }, survey.PairMeets},
		"at the latch post":  {func(s *survey.Survey) { s.Pair.Meets = survey.Measured(0, survey.ByTape) }, survey.PairMeets},
		"before the opening": {func(s *survey.Survey) { s.Pair.Meets = survey.Measured(-1, survey.ByTape) }, survey.PairMeets},
		"no number":          {func(s *survey.Survey) { s.Pair.Meets = survey.Measured(math.NaN(), survey.ByTape) }, survey.PairMeets},
		"infinite":           {func(s *survey.Survey) { s.Pair.Meets = survey.Measured(math.Inf(1), survey.ByTape) }, survey.PairMeets},
		"too narrow for two": {func(s *survey.Survey) { s.Opening.Width = survey.Measured(1200, survey.ByTape) }, survey.OpeningWidth},
		"neither leaf first": {func(s *survey.Survey) { s.Pair.First = "both" }, survey.PairFirst},
		"its room":           {func(s *survey.Survey) { s.Pair.Other.RunBack.Room = survey.Measured(-5, survey.ByTape) }, "pair.other.runBack.room"},
		"its motor":          {func(s *survey.Survey) { s.Pair.Other.Gate.Motor = "steam" }, "pair.other.gate.motor"},
		"its edge":           {func(s *survey.Survey) { s.Drive.LatchEdge.Along = survey.Measured(1e6, survey.ByTape) }, survey.DriveLatchEdgeAlong},
	} {
		t.Run(name, func(t *testing.T) {
			s := site()
			c.change(&s)
			made, err := Design(s, p)
			var refused input.Refusals
			require.ErrorAs(t, err, &refused)
			assert.Len(t, refused, 1, "%v", err)
			require.NotNil(t, refused.At(c.path), "%v", err)
			require.NotNil(t, made.Pair)
			assert.Positive(t, made.Quantities.Concrete)
			assert.InDelta(t, made.Opening/2, made.Pair.Meeting.At, 1e-9)
			again, err := json.Marshal(&made)
			require.NoError(t, err)
			assert.NotContains(t, string(again), "NaN")
		})
	}
}

func pairCheck(made *plan.Plan, q plan.Question) *plan.Check {
	for i := range made.Checks {
		if made.Checks[i].Question == q {
			return &made.Checks[i]
		}
	}
	return nil
}

// The order of shutting is said, and a remedy clears what was not.
func TestPairSaysWhichShutsFirst(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.Paired(enginetest.SquareSite())
	s.Pair.First = ""
	made, err := Design(s, p)
	require.NoError(t, err)
	c := pairCheck(&made, plan.QuestionPairFirst)
	require.NotNil(t, c)
	assert.Equal(t, plan.Warning, c.Severity)
	for _, first := range []string{survey.FirstRunBack, survey.FirstLatch} {
		s.Pair.First = first
		made, _ = Design(s, p)
		assert.Equal(t, plan.Sound, pairCheck(&made, plan.QuestionPairFirst).Severity)
		assert.Equal(t, first, made.Pair.Meeting.First)
	}
}

// A catch that does not bridge the gap ties nothing.
func TestPairCatchReachesOverTheGap(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.Paired(enginetest.SquareSite())
	p.PairGap = 60
	made, err := Design(s, p)
	require.NoError(t, err)
	c := pairCheck(&made, plan.QuestionPairCatch)
	require.Equal(t, plan.Stop, c.Severity)
	require.Len(t, c.Remedies, 1)
	p.PairCatch = c.Remedies[0].Changes[0].Value
	made, _ = Design(s, p)
	assert.Equal(t, plan.Sound, pairCheck(&made, plan.QuestionPairCatch).Severity)
}

// The stop takes the harder of the two impacts, a deeper footing holds more, and a wheel is
// spread by a wider one. Of ground of which nothing may be presumed nothing is said to hold.
func TestStopInTheDrive(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.SquareSite()
	s.Opening.Width, s.Drive.Surface = survey.Measured(9000, survey.ByTape), survey.SurfaceGravel
	s = enginetest.Paired(s)
	s.Pair.Other.Gate.Motor = survey.MotorNone
	made, err := Design(s, p)
	require.NoError(t, err)
	m := made.Pair.Meeting
	assert.Equal(t, math.Max(m.Impacts[0], m.Impacts[1]), m.Hardest())
	assert.NotEqual(t, m.Impacts[0], m.Impacts[1])
	assert.Zero(t, m.Thrusts[1])
	assert.Positive(t, m.Holds)
	for id, want := range map[string]float64{plan.FigurePairMeets: 4500, plan.FigurePairStop: m.Hardest(), plan.FigurePairHolds: m.Holds,
		plan.FigurePairClear: made.Pair.RunBack.Leaf.ClearStraight + made.Pair.Latch.Leaf.ClearStraight} {
		f, ok := made.Figure(id)
		assert.True(t, ok, id)
		assert.Equal(t, want, f.Value, id)
	}
	assert.InEpsilon(t, m.Hardest()/m.Holds, m.Use, 1e-12)
	deep := p
	deep.PairFootDepth = 900
	held, _ := Design(s, deep)
	assert.Greater(t, held.Pair.Meeting.Holds, m.Holds)
	broad := p
	broad.PairFoot = 900
	spread, _ := Design(s, broad)
	assert.Less(t, spread.Pair.Meeting.BearingUse, m.BearingUse)
	for _, q := range []plan.Question{plan.QuestionPairStop, plan.QuestionPairWheel} {
		c := pairCheck(&made, q)
		require.NotNil(t, c, q)
		for _, r := range c.Remedies {
			changed, err := p.With(map[string]float64{strings.TrimPrefix(r.Changes[0].Path, practice.PracticePath): r.Changes[0].Value})
			require.NoError(t, err)
			after, _ := Design(s, changed)
			assert.Equal(t, plan.Sound, pairCheck(&after, q).Severity, q)
		}
	}
	s.Ground.Soil, s.Ground.Class = survey.SoilSoft, "fill"
	made, _ = Design(s, p)
	assert.Zero(t, made.Pair.Meeting.Holds)
	assert.Nil(t, pairCheck(&made, plan.QuestionPairWheel))
	assert.Equal(t, plan.Warning, pairCheck(&made, plan.QuestionPairStop).Severity)
}

// Every check of either side is said once, with its side, at a field that the survey has.
func TestPairSaysEverythingOfBothSides(t *testing.T) {
	p := practice.DefaultPractice()
	for seed := range uint64(30) {
		s := enginetest.RandomPair(rand.New(rand.NewPCG(seed, 11)))
		made, _ := Design(s, p)
		said := map[string]int{}
		for _, c := range made.Checks {
			said[c.What.String()]++
			if c.Field != "" && !strings.HasPrefix(c.Field, practice.PracticePath) {
				_, ok := survey.FieldAt(c.Field)
				assert.True(t, ok, c.Field)
			}
			for _, id := range c.Where {
				if _, ok := made.Outline(id); !ok {
					side := made.Pair.RunBack
					own, latch := strings.CutPrefix(id, "other.")
					if latch {
						side = made.Pair.Latch
					}
					_, there := side.Outline(own)
					assert.False(t, there, "%s of %s", id, c.Code)
				}
			}
		}
		for i, side := range made.Sides() {
			for _, c := range side.Checks {
				if c.Question == plan.QuestionSupply || c.Question == plan.QuestionMinimum {
					continue
				}
				want := fmt.Sprintf("On the %s: %s", side.Name, c.What)
				assert.Equal(t, 1, said[want]+said[c.What.String()], "side %d: %s", i, want)
			}
		}
		seen := map[string]bool{}
		for _, f := range made.Figures {
			assert.False(t, seen[f.ID], "figure %s twice", f.ID)
			seen[f.ID] = true
			for _, path := range f.Fields {
				_, ok := survey.FieldAt(path)
				assert.True(t, ok, path)
			}
		}
		for _, a := range made.Assumed {
			_, ok := survey.FieldAt(a.Path)
			assert.True(t, ok, a.Path)
		}
	}
}

// onStraight reports whether a place is no corner of the whole drive strip but lies on one of
// its straight sides: no peg is wanted there.
func onStraight(made *plan.Plan, of string, at geom.Point) bool {
	if !strings.HasPrefix(of, "driveStrip") {
		return false
	}
	for strip := range made.Parts(plan.PartDriveStrip) {
		for i, a := range strip.Ring {
			b := strip.Ring[(i+1)%len(strip.Ring)]
			long := math.Hypot(b.X-a.X, b.Y-a.Y)
			t := ((at.X-a.X)*(b.X-a.X) + (at.Y-a.Y)*(b.Y-a.Y)) / long
			off := math.Abs((at.X-a.X)*(b.Y-a.Y)-(at.Y-a.Y)*(b.X-a.X)) / long
			if off < 1e-6 && t > 0 && t < long {
				return true
			}
		}
	}
	return false
}
