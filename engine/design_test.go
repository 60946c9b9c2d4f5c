package engine

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// squareSite is a square concrete drive on firm ground, opening 4000, hard
// stop, motor beside a gate-post bracket.
func squareSite() Survey {
	var s Survey
	s.Opening.Width = Measured(4000, ByTape)
	s.Opening.Hand, s.Opening.SeenFrom = HandRight, SeenFromStreet
	s.Drive.Surface, s.Drive.ConcreteSound = SurfaceConcrete, Yes
	s.Drive.RunBackEdge.Given, s.Drive.LatchEdge.Given = EdgeSquare, EdgeSquare
	s.Drive.RunBackEdge.Along = Measured(0, ByTape)
	s.Ground.Soil = SoilFirm
	s.Gate.Motor, s.Gate.Guide, s.Gate.HardStop = MotorPlugIn, GuideOnPost, Yes
	s.Gate.Outlet, s.Gate.Cables = OutletOwnPost, No
	s.RunBack.Room = Measured(6000, ByTape)
	s.RunBack.Depth = Measured(1500, ByTape)
	return s
}

func design(t *testing.T, s Survey) Plan {
	t.Helper()
	plan, err := Design(s, DefaultPractice())
	require.NoError(t, err)
	return plan
}

func value(t *testing.T, p Plan, id string) float64 {
	t.Helper()
	f, ok := p.Figure(id)
	require.True(t, ok, "figure %s", id)
	return f.Value
}

// The check values of the trade's rules: common practice, no published source.
func TestTradeRules_common_practice(t *testing.T) {
	t.Run("4400x200 strip and 400x400 pad sharing 400x200", func(t *testing.T) {
		plan := design(t, squareSite())
		assert.Equal(t, 4400.0, value(t, plan, "strip.length"))
		strip, _ := plan.Part(PartRunBackStrip, 1)
		low, high := strip.Ring.Bounds()
		assert.Equal(t, 4400.0, high.X-low.X)
		assert.Equal(t, 200.0, high.Y-low.Y)
		assert.Equal(t, 400.0, value(t, plan, "pad.along"))
		assert.Equal(t, 400.0, value(t, plan, "pad.out"))
		assert.Equal(t, 0.96e6, plan.Quantities.Area)
		assert.Equal(t, 0.096e9, plan.Quantities.Concrete)
		// Front 4400, end 200, back 4000, side of the pad 200, its back 400; not
		// the 400 against the drive.
		assert.InDelta(t, 9200, plan.Quantities.Form, 1e-6)
	})
	t.Run("cast-in guide post, nothing else changed", func(t *testing.T) {
		p, err := DefaultPractice().With(map[string]float64{RulePadAlong: 1000, RulePadOut: 600})
		require.NoError(t, err)
		s := squareSite()
		before, err := Design(s, p)
		require.NoError(t, err)
		s.Gate.Guide = GuideCastIn
		after, err := Design(s, p)
		require.NoError(t, err)
		// The hole under the pad, from its underside to 500 below the surface.
		strip := value(t, after, "strip.length") - value(t, before, "strip.length")
		assert.Zero(t, strip)
		assert.InDelta(t, 0.036e9, after.Quantities.Concrete-before.Quantities.Concrete, 1e-3)
	})
}

func TestDesignIsDeterministic(t *testing.T) {
	s := squareSite()
	a, _ := json.Marshal(design(t, s))
	b, _ := json.Marshal(design(t, s))
	assert.Equal(t, string(a), string(b))
}

func TestEmptySurveyStillDraws(t *testing.T) {
	plan := design(t, Survey{})
	assert.NotEmpty(t, plan.Outlines)
	assert.NotEmpty(t, plan.Assumed)
	for _, c := range plan.Checks {
		assert.NotContains(t, c.What.String(), "NaN")
	}
	for _, f := range plan.Figures {
		assert.False(t, math.IsNaN(f.Value) || math.IsInf(f.Value, 0), f.ID)
	}
}

func BenchmarkDesign(b *testing.B) {
	s, p := squareSite(), DefaultPractice()
	s.Gate.Guide = GuideCastIn
	b.ReportAllocs()
	for b.Loop() {
		_, _ = Design(s, p)
	}
}
