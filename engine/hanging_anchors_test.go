package engine_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/anchor"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/slab"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
)

// What pulls the rear carriage up, by moments about the front one: the leaf shut, its
// centre over the opening, and the harder of what turns it: the motor that pushes at the
// rack against a hand's height, or the stop at the latch post.
func TestRearCarriageIsPulledUp_statics(t *testing.T) {
	p := practice.DefaultPractice()
	made := hang(t, nil)
	h, s := made.Leaf.Hanging, made.Strength
	require.Len(t, s.Carriages, 2)
	turns := p.MotorThrust * (p.HandHeight - p.RackHeight)
	for _, hit := range s.Impacts {
		if hit.Stop == plan.StopShut {
			brakes := hit.Force - hit.Drive // the mass, at its centre, against the stop
			centre := made.Leaf.Panels[0].CentreHeight
			turns = math.Max(turns, math.Abs(hit.Force*hit.Height-hit.Drive*p.RackHeight-brakes*centre))
		}
	}
	want := h.Weight*h.Centre/h.Between + turns/h.Between
	assert.InDelta(t, want, s.Carriages[1].Lift, 1e-6)
	assert.Zero(t, s.Carriages[1].Travelled, "shut governs")
	f, ok := made.Figure(plan.FigureStrengthRearHold)
	assert.True(t, ok)
	assert.InDelta(t, s.Carriages[1].Use, f.Value, 0)
}

// The anchors of the front carriage as the general plate and the group of anchors see
// them, put together by hand: four, 45 from the beam on either side, 70 along.
func TestCarriageAnchorsAgainstAnyPlate_ACI_318(t *testing.T) {
	p := practice.DefaultPractice()
	for _, infill := range []string{survey.InfillUprights, survey.InfillSheet, survey.InfillMesh} {
		made := hang(t, func(s *survey.Survey, _ *practice.Practice) { s.Gate.Infill = infill })
		h := made.Leaf.Hanging
		low, high, ok := made.Extent(plan.PartPad)
		require.True(t, ok)
		modulus, err := slab.ModulusACI(p.ConcreteStrength)
		require.NoError(t, err)
		for i, hold := range made.Strength.Carriages {
			at := [2]float64{h.Front, h.Rear}[i]
			x, y := p.HangCarriage/2-p.AnchorInset, p.HangFoot/2-p.AnchorInset
			places := anchor.Rectangle(2*x, 2*y)
			assert.Equal(t, [2]float64{70, 45}, [2]float64{x, y})
			moment := hold.Push * (h.Under + h.Beam.Height/2)
			plate := steel.BasePlate{Width: p.HangCarriage, Depth: p.HangFoot, StressArea: p.AnchorArea,
				ModularRatio: steel.Elasticity / modulus, Anchors: places, Compression: -hold.Lift}
			g := anchor.Group{Kind: anchor.Headed, Places: places, Diameter: 12, StressArea: p.AnchorArea, Depth: p.HangAnchorDepth,
				Yield: 240, Ultimate: 400, Brittle: true, HeadArea: anchor.NutArea(12), Strength: p.ConcreteStrength,
				Thickness: h.Block.Deep, LoadFactor: anchor.StrengthFactor, Left: at - low.X, Right: high.X - at,
				Front: made.Track.Offset - low.Y, Back: high.Y - made.Track.Offset}
			worst := 0.0
			for _, sense := range []float64{1, -1} {
				load := anchor.Load{ShearY: sense * hold.Push}
				plate.MomentX, plate.MomentY = 0, sense*moment
				if hold.Along {
					load = anchor.Load{ShearX: sense * hold.Push}
					plate.MomentX, plate.MomentY = sense*moment, 0
				}
				demand, err := plate.Demand()
				require.NoError(t, err)
				load.Tension = demand.Tension
				r, err := g.Check(load)
				require.NoError(t, err)
				worst = math.Max(worst, r.Use)
			}
			assert.GreaterOrEqual(t, hold.Use, 0.99*worst, "%s %d", infill, i)
			assert.LessOrEqual(t, hold.Use, 1.25*worst, "%s %d", infill, i)
		}
	}
}

// What fails, what stands too near to the edge, and what cannot be judged: never sound.
func TestCarriageAnchorsBothWays(t *testing.T) {
	sound := hang(t, nil)
	assert.Equal(t, plan.Sound, checkOf(t, &sound, plan.QuestionStrengthCarriages).Severity)

	near := hang(t, func(_ *survey.Survey, p *practice.Practice) { p.HangOffset = 40 })
	c := checkOf(t, &near, plan.QuestionStrengthCarriages)
	assert.Equal(t, plan.Warning, c.Severity)
	assert.InDelta(t, 100-45-72, c.Margin, 1e-9, "the track's own rule stands: 55 to the edge, six diameters wanted")

	weak := hang(t, func(s *survey.Survey, p *practice.Practice) { p.HangAnchorDepth, p.WindMoving = 40, 900 })
	c = checkOf(t, &weak, plan.QuestionStrengthCarriages)
	assert.NotEqual(t, plan.Sound, c.Severity)
	assert.Negative(t, c.Margin)

	for name, change := range map[string]func(*practice.Practice){
		"no maker's number":   func(p *practice.Practice) { p.HangAnchorKind, p.HangOffset = practice.AnchorExpanding, 200 },
		"in one line":         func(p *practice.Practice) { p.HangAnchors = 2 },
		"deeper than it goes": func(p *practice.Practice) { p.HangAnchorDepth = 600 },
	} {
		made := hang(t, func(_ *survey.Survey, p *practice.Practice) { change(p) })
		assert.NotEmpty(t, made.Strength.Refused, name)
		for _, c := range made.Checks {
			assert.False(t, c.Question == plan.QuestionStrengthCarriages && c.Severity == plan.Sound, name)
		}
	}
}

// Wherever the leaf is, on whatever site, no lift of a carriage is passed over: that of
// the leaf alone is in what was judged, or was judged by something harder.
func TestNoTravelPullsHarder(t *testing.T) {
	judged := 0
	for seed := range uint64(150) {
		s := enginetest.RandomHangingSite(rand.New(rand.NewPCG(seed, 21)))
		made, err := engine.Judge(s, practice.DefaultPractice())
		require.NoError(t, err)
		h := made.Leaf.Hanging
		if h.Unjudged {
			assert.Empty(t, made.Strength.Carriages, "%d", seed)
			continue
		}
		for i, hold := range made.Strength.Carriages {
			if judged++; hold.Push > 0 || hold.EdgeLeast > 0 || hold.Use == 0 {
				continue
			}
			for _, at := range h.Carried {
				assert.GreaterOrEqual(t, hold.Lift, -[2]float64{at.Front, at.Rear}[i]-1e-6, "%d", seed)
			}
		}
	}
	assert.Greater(t, judged, 150)
}

// The beam stands so far behind the posts that its carriages' anchors keep from the
// block's front, and post and motor go back with it.
func TestBeamStandsBack(t *testing.T) {
	made := hang(t, nil)
	assert.InDelta(t, 120, made.Track.Offset, 0)
	post, _ := made.Part(plan.PartGuidePost, 1)
	motor, _ := made.Part(plan.PartMotor, 1)
	far := hang(t, func(_ *survey.Survey, p *practice.Practice) { p.HangOffset = 150 })
	for _, was := range []plan.Outline{post, motor} {
		now, _ := far.Part(was.Kind, 1)
		a, _ := was.Ring.Bounds()
		b, _ := now.Ring.Bounds()
		assert.InDelta(t, 30, b.Y-a.Y, 1e-9, was.Name)
	}
	f, _ := far.Figure(plan.FigureGuideSetback)
	assert.Contains(t, f.Rules, practice.RuleHangOffset)
}
