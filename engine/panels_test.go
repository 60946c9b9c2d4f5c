package engine

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
)

// One panel, said or not, is the same plan.
func TestOnePanelIsTodaysPlan(t *testing.T) {
	eachRandomSite(t, 60, func(t *testing.T, s survey.Survey, plan plan.Plan, in stages.Inputs) {
		plan, _ = Design(s, practice.DefaultPractice()) // with its remedies
		s.Gate.Panels = survey.PanelsOne
		said, err := Design(s, practice.DefaultPractice())
		require.NoError(t, err)
		plan.Assumed, said.Assumed = nil, nil
		for i := range plan.Figures {
			plan.Figures[i].Assumed, said.Figures[i].Assumed = false, false
		}
		a, _ := json.Marshal(plan)
		b, _ := json.Marshal(said)
		assert.JSONEq(t, string(a), string(b))
		assert.Len(t, plan.Track.Lines, 1)
	})
}

// The hand calculation of a stacked gate of 4000.
func TestStackedPanelsByHand(t *testing.T) {
	for _, c := range []struct {
		panels               string
		frame, shut2, travel float64
	}{
		{survey.PanelsTwo, (4000 + 100 + 150) / 2.0, -50 + 2125 - 150, 4000 - 1925},
		{survey.PanelsThree, (4000 + 100 + 300) / 3.0, -50 + 4400/3.0 - 150, 4000 + 50 - 4400/3.0 + 150},
	} {
		t.Run(c.panels, func(t *testing.T) {
			s := enginetest.SquareSite()
			s.Gate.Guide = survey.GuideCastIn
			one := design(t, s)
			s.Gate.Panels = c.panels
			made := design(t, s)
			n := float64(len(made.Leaf.Panels))
			assert.InDelta(t, c.frame, made.Leaf.Frame, 1e-9)
			assert.InDelta(t, c.shut2, made.Leaf.Panels[1].ShutAt, 1e-9)
			assert.InDelta(t, c.travel, made.Leaf.Panels[1].Travel, 1e-9)
			last := made.Leaf.Panels[len(made.Leaf.Panels)-1]
			// The rear of the last panel stands where a single leaf's would.
			assert.InDelta(t, 4050, last.ShutAt+made.Leaf.Frame, 1e-9)
			assert.True(t, last.Driven)
			assert.InDelta(t, one.Leaf.Tail, made.Leaf.Tail, 1e-9)
			shift := (n - 1) * 80
			for _, kind := range []plan.PartKind{plan.PartGuidePost, plan.PartMotor, plan.PartPostHole} {
				a, _ := one.Part(kind, 1)
				b, _ := made.Part(kind, 1)
				low1, _ := a.Ring.Bounds()
				low2, _ := b.Ring.Bounds()
				assert.InDelta(t, low1.X, low2.X, 1e-9)
				assert.InDelta(t, low1.Y+shift, low2.Y, 1e-9, kind)
			}
			assert.InDelta(t, 200+shift, value(t, made, "strip.width"), 1e-9)
			assert.Len(t, made.Track.Lines, len(made.Leaf.Panels))
			assert.InDelta(t, 100+shift, made.Track.Lines[len(made.Track.Lines)-1].Offset, 1e-9)
			// Less room by what the leaf is shorter.
			assert.InDelta(t, value(t, one, "room.needed")-(one.Leaf.Frame-made.Leaf.Frame), value(t, made, "room.needed"), 1e-9)
			assert.Less(t, value(t, made, "strip.length"), value(t, one, "strip.length"))
			// 4000 + ... the opening again for one, about a panel for more.
			assert.InDelta(t, (4000+(n-1)*150)/n+400, value(t, made, "strip.length"), 1e-9)
			assert.Less(t, made.Quantities.DigBank, one.Quantities.DigBank)
		})
	}
}

// At every moment neighbouring panels overlap by at least the overlap, shut
// panels cover the opening, open ones stand behind one another.
func TestStackedPanelsCoverTheOpening(t *testing.T) {
	eachLeafSite(t, 200, func(t *testing.T, r *rand.Rand, s survey.Survey, made plan.Plan) {
		leaf := made.Leaf
		n := len(leaf.Panels)
		assert.InDelta(t, leaf.ShutAt, leaf.Panels[0].ShutAt, 1e-9)
		assert.InDelta(t, made.Opening+50, leaf.Panels[n-1].ShutAt+leaf.Frame, 1e-6)
		for step := range 20 {
			f := float64(step) / 19
			for i := 1; i < n; i++ {
				before := leaf.Panels[i-1].ShutAt + leaf.Panels[i-1].Travel*f
				behind := leaf.Panels[i].ShutAt + leaf.Panels[i].Travel*f
				assert.GreaterOrEqual(t, before+leaf.Frame-behind, 150-1e-6)
				assert.GreaterOrEqual(t, behind, before-1e-6)
			}
		}
		var rings []geom.Polygon
		for _, o := range made.Outlines {
			if o.Kind == plan.PartLeafOpen {
				rings = append(rings, o.Ring)
			}
		}
		require.Len(t, rings, n)
		for i := range rings {
			for k := i + 1; k < n; k++ {
				assert.Greater(t, geom.Distance(rings[i], rings[k]), 20.0)
			}
		}
	})
}

// Two panels linked so that they arrive together: what the hand at the first
// and the motor at the last feel, by virtual work.
func TestLinkedPanelsByVirtualWork(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Panels = survey.PanelsTwo
	plan := design(t, s)
	p, m := practice.DefaultPractice(), plan.Leaf.Motion
	a, b := plan.Leaf.Panels[0], plan.Leaf.Panels[1]
	ratio := a.Travel / b.Travel // about two
	require.Greater(t, ratio, 1.9)
	roll := func(mass float64) float64 { return mass * 9.80665 * p.Rolling }
	rubs := rubbingOverTheTravel(plan, p)
	assert.InDelta(t, p.StartFactor*(roll(a.Mass)+roll(b.Mass)/ratio)+rubs, m.Hand, 1e-9*m.Hand)
	assert.InDelta(t, roll(b.Mass)+(roll(a.Mass)+rubs)*ratio, m.Opening, 1e-9*m.Opening)
	assert.InDelta(t, (b.Mass+a.Mass*ratio*ratio)*0.2/0.5, m.Start, 1e-9)
}

// rubbingOverTheTravel is what the guide rollers rub with at the first panel, by
// the work that they do while the leaf opens step by step: each pair holds what
// the wind tips over of all panels before it, and its rail slides by.
func rubbingOverTheTravel(made plan.Plan, p practice.Practice) float64 {
	panels := made.Leaf.Panels
	push, n := made.Strength.Guide.Moving, float64(len(panels))
	for i := range panels {
		push += math.Abs(panels[i].RollerPush)
	}
	const steps = 500
	work := 0.0
	for range steps {
		for i := range panels {
			slides := panels[i].Travel / steps
			if i+1 < len(panels) {
				slides -= panels[i+1].Travel / steps
			}
			work += p.GuideFriction * push * float64(i+1) / n * math.Abs(slides)
		}
	}
	return work / panels[0].Travel
}

// The strip before the drive carries as many tracks as start before it.
func TestLatchStripWidthFollowsTheTracks(t *testing.T) {
	for along, want := range map[float64]float64{300: 200, 2600: 280} {
		s := enginetest.StackedSite()
		s.Drive.LatchEdge.Along = survey.Measured(along, survey.ByTape)
		made := design(t, s)
		strip, ok := made.Part(plan.PartLatchStrip, 1)
		require.True(t, ok)
		_, high := strip.Ring.Bounds()
		assert.InDelta(t, want, high.Y, 1e-9, "drive from %v", along)
	}
}
