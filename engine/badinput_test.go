package engine

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

func TestRefusedValuesNameTheFieldAndKeepTheDrawing(t *testing.T) {
	ninety := survey.Measured(math.Pi/2, survey.ByTape)
	for _, c := range []struct {
		name, path string
		spoil      func(*survey.Survey)
	}{
		{"opening 0", survey.OpeningWidth, func(s *survey.Survey) { s.Opening.Width = survey.Measured(0, survey.ByTape) }},
		{"opening -5", survey.OpeningWidth, func(s *survey.Survey) { s.Opening.Width = survey.Measured(-5, survey.ByTape) }},
		{"opening 1e9", survey.OpeningWidth,
			func(s *survey.Survey) { s.Opening.Width = survey.Measured(1e9, survey.ByTape) }},
		{"opening NaN", survey.OpeningWidth,
			func(s *survey.Survey) { s.Opening.Width = survey.Measured(math.NaN(), survey.ByTape) }},
		{"opening Inf", survey.OpeningWidth,
			func(s *survey.Survey) { s.Opening.Width = survey.Measured(math.Inf(1), survey.ByTape) }},
		{"taken by magic", survey.OpeningWidth, func(s *survey.Survey) { s.Opening.Width = survey.Measured(4000, "magic") }},
		{"uncertainty below nothing", "opening.width.sigma", func(s *survey.Survey) { s.Opening.Width.Sigma = -1 }},
		{"surface unknown", survey.DriveSurface, func(s *survey.Survey) { s.Drive.Surface = "lava" }},
		{"edge along the fence by angle", survey.DriveRunBackEdgeAngle, func(s *survey.Survey) {
			s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeAngle, Angle: survey.Measured(0, survey.ByTape)}
		}},
		{"edge never meets the fence by points", string(survey.RunBackEdgePointOffset.At(1)), func(s *survey.Survey) {
			s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgePoints, Points: []survey.EdgePoint{
				{Along: survey.Measured(0, survey.ByTape), Offset: survey.Measured(500, survey.ByTape)},
				{Along: survey.Measured(3000, survey.ByTape), Offset: survey.Measured(500, survey.ByTape)}}}
		}},
		{"edge meets the fence in the next suburb", string(survey.RunBackEdgePointAlong.At(0)), func(s *survey.Survey) {
			s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgePoints, Points: []survey.EdgePoint{
				{Along: survey.Measured(6000, survey.ByTape), Offset: survey.Measured(3000, survey.ByTape)},
				{Along: survey.Measured(4500, survey.ByTape), Offset: survey.Measured(3500, survey.ByTape)}}}
		}},
		{"edge angle out of range", survey.DriveLatchEdgeAngle, func(s *survey.Survey) {
			s.Drive.LatchEdge = survey.Edge{Given: survey.EdgeAngle, Angle: survey.Measured(3.1, survey.ByTape), Along: ninety}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := enginetest.SquareSite()
			c.spoil(&s)
			made, err := Design(s, practice.DefaultPractice())
			var refused input.Refusals
			require.ErrorAs(t, err, &refused)
			e := refused.At(c.path)
			require.NotNil(t, e, "%v", err)
			assert.NotEmpty(t, e.Name)
			assert.NotEmpty(t, e.Error())
			// The rest of the drawing is still there.
			_, ok := made.Part(plan.PartRunBackStrip, 1)
			assert.True(t, ok)
			_, ok = made.Part(plan.PartPad, 1)
			assert.True(t, ok)
			SoundPlan(t, &made)
		})
	}
}

// SoundPlan fails on any figure that is not a number.
func SoundPlan(t testing.TB, p *plan.Plan) {
	t.Helper()
	for _, f := range p.Figures {
		if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
			t.Fatalf("figure %s is %v", f.ID, f.Value)
		}
	}
	for _, o := range p.Outlines {
		if math.IsNaN(o.Area) || o.Area < 0 {
			t.Fatalf("outline %s has area %v", o.ID, o.Area)
		}
	}
	// Encoding refuses NaN and infinities anywhere in the plan.
	if _, err := json.Marshal(p); err != nil {
		t.Fatal(err)
	}
}

func FuzzDesign(f *testing.F) {
	for i := range 8 {
		s := enginetest.SquareSite()
		switch i {
		case 1:
			s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeAngle, Angle: survey.Measured(1.1, survey.ByTape)}
		case 2:
			s.Drive.Surface, s.Gate.Guide = survey.SurfaceGravel, survey.GuideCastIn
		case 3:
			s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgePoints,
				Points: []survey.EdgePoint{{Along: survey.Measured(1, survey.ByTape), Offset: survey.Measured(0, survey.ByTape)},
					{Along: survey.Measured(300, survey.ByTape), Offset: survey.Measured(900, survey.ByTape)}}}
		case 4:
			s.RunBack.Obstructions = []survey.Obstruction{{Kind: survey.ObstructionTree,
				Along: survey.Measured(100, survey.ByTape), Offset: survey.Measured(100, survey.ByTape)}}
		case 5:
			s.Gate.Guide = survey.GuideBasePlate
		case 6:
			s.Ground.Soil, s.Ground.DepthToFirm = survey.SoilWet, survey.Measured(700, survey.ByTape)
		case 7:
			s = survey.Survey{}
		}
		data, err := json.Marshal(s)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var s survey.Survey
		if json.Unmarshal(data, &s) != nil {
			return
		}
		plan, _ := Design(s, practice.DefaultPractice())
		SoundPlan(t, &plan)
	})
}
