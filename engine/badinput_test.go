package engine

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRefusedValuesNameTheFieldAndKeepTheDrawing(t *testing.T) {
	ninety := Measured(math.Pi/2, ByTape)
	for _, c := range []struct {
		name, path string
		spoil      func(*Survey)
	}{
		{"opening 0", OpeningWidth, func(s *Survey) { s.Opening.Width = Measured(0, ByTape) }},
		{"opening -5", OpeningWidth, func(s *Survey) { s.Opening.Width = Measured(-5, ByTape) }},
		{"opening 1e9", OpeningWidth, func(s *Survey) { s.Opening.Width = Measured(1e9, ByTape) }},
		{"opening NaN", OpeningWidth, func(s *Survey) { s.Opening.Width = Measured(math.NaN(), ByTape) }},
		{"opening Inf", OpeningWidth, func(s *Survey) { s.Opening.Width = Measured(math.Inf(1), ByTape) }},
		{"taken by magic", OpeningWidth, func(s *Survey) { s.Opening.Width = Measured(4000, "magic") }},
		{"uncertainty below nothing", "opening.width.sigma", func(s *Survey) { s.Opening.Width.Sigma = -1 }},
		{"surface unknown", DriveSurface, func(s *Survey) { s.Drive.Surface = "lava" }},
		{"edge along the fence by angle", DriveRunBackEdgeAngle, func(s *Survey) {
			s.Drive.RunBackEdge = Edge{Given: EdgeAngle, Angle: Measured(0, ByTape)}
		}},
		{"edge never meets the fence by points", string(RunBackEdgePointOffset.At(1)), func(s *Survey) {
			s.Drive.RunBackEdge = Edge{Given: EdgePoints, Points: []EdgePoint{
				{Along: Measured(0, ByTape), Offset: Measured(500, ByTape)}, {Along: Measured(3000, ByTape), Offset: Measured(500, ByTape)}}}
		}},
		{"edge meets the fence in the next suburb", string(RunBackEdgePointAlong.At(0)), func(s *Survey) {
			s.Drive.RunBackEdge = Edge{Given: EdgePoints, Points: []EdgePoint{
				{Along: Measured(6000, ByTape), Offset: Measured(3000, ByTape)}, {Along: Measured(4500, ByTape), Offset: Measured(3500, ByTape)}}}
		}},
		{"edge angle out of range", DriveLatchEdgeAngle, func(s *Survey) {
			s.Drive.LatchEdge = Edge{Given: EdgeAngle, Angle: Measured(3.1, ByTape), Along: ninety}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := squareSite()
			c.spoil(&s)
			plan, err := Design(s, DefaultPractice())
			var refused Refusals
			require.ErrorAs(t, err, &refused)
			e := refused.At(c.path)
			require.NotNil(t, e, "%v", err)
			assert.NotEmpty(t, e.Name)
			assert.NotEmpty(t, e.Error())
			// The rest of the drawing is still there.
			_, ok := plan.Part(PartRunBackStrip, 1)
			assert.True(t, ok)
			_, ok = plan.Part(PartPad, 1)
			assert.True(t, ok)
			soundPlan(t, &plan)
		})
	}
}

func TestPadThatCannotFitSaysSoAtTheField(t *testing.T) {
	s := squareSite()
	s.Gate.Guide = GuideBasePlate
	s.RunBack.Depth = Measured(420, ByTape)
	plan := design(t, s)
	var found *Check
	for i := range plan.Checks {
		if plan.Checks[i].Code == "room.pad" {
			found = &plan.Checks[i]
		}
	}
	require.NotNil(t, found)
	assert.Equal(t, Stop, found.Severity)
	assert.Equal(t, RunBackDepth, found.Field)
	assert.InDelta(t, -25, found.Margin, 1e-9)
	// Its remedy is run through Design and settles it.
	require.NotEmpty(t, found.Remedies)
	_, clears := Try(s, DefaultPractice(), *found, found.Remedies[0])
	assert.True(t, clears)
}

func TestRemediesOfRandomSitesAreTried(t *testing.T) {
	tried := 0
	eachRandomSite(t, 300, func(t *testing.T, s Survey, plan Plan, in inputs) {
		for _, c := range plan.Checks {
			for _, r := range c.Remedies {
				if len(r.Changes) == 0 || c.Code != "motion.lost" && c.Code != "motion.stop" && c.Code != "motion.pass" {
					continue
				}
				tried++
				_, clears := Try(s, DefaultPractice(), c, r)
				assert.True(t, clears, "%s: %s", c.Code, r.Words)
			}
		}
	})
	assert.Greater(t, tried, 50)
}

// soundPlan fails on any figure that is not a number.
func soundPlan(t testing.TB, p *Plan) {
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
		s := squareSite()
		switch i {
		case 1:
			s.Drive.RunBackEdge = Edge{Given: EdgeAngle, Angle: Measured(1.1, ByTape)}
		case 2:
			s.Drive.Surface, s.Gate.Guide = SurfaceGravel, GuideCastIn
		case 3:
			s.Drive.RunBackEdge = Edge{Given: EdgePoints, Points: []EdgePoint{{Along: Measured(1, ByTape), Offset: Measured(0, ByTape)}, {Along: Measured(300, ByTape), Offset: Measured(900, ByTape)}}}
		case 4:
			s.RunBack.Obstructions = []Obstruction{{Kind: ObstructionTree, Along: Measured(100, ByTape), Offset: Measured(100, ByTape)}}
		case 5:
			s.Gate.Guide = GuideBasePlate
		case 6:
			s.Ground.Soil, s.Ground.DepthToFirm = SoilWet, Measured(700, ByTape)
		case 7:
			s = Survey{}
		}
		data, err := json.Marshal(s)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var s Survey
		if json.Unmarshal(data, &s) != nil {
			return
		}
		plan, _ := Design(s, DefaultPractice())
		soundPlan(t, &plan)
	})
}
