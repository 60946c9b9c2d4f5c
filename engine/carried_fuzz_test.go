package engine_test

import (
	"testing"

	"pegpour/engine"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// FuzzCarried draws any leaf on any ground: nothing panics, nothing is not a
// number, the two proofs of motion agree, and the elevations can be drawn.
func FuzzCarried(f *testing.F) {
	f.Add(4000.0, 0.0, 1800.0, -300.0, -0.125, 0.0, uint8(0), uint8(0), uint8(0))
	f.Add(800.0, 150.0, 500.0, -4000.0, -4.0, 0.6, uint8(1), uint8(2), uint8(7))
	f.Add(12000.0, 60.0, 4000.0, 4000.0, 4.0, -0.6, uint8(2), uint8(4), uint8(255))
	f.Add(2500.0, 20.0, 2200.0, -50.0, 0.1, 0.3, uint8(2), uint8(5), uint8(96))
	f.Fuzz(func(t *testing.T, width, cladding, height, step, slope, grade float64, panels, infill, bits uint8) {
		s := enginetest.SquareSite()
		pick := func(n uint8, options ...string) string { return options[int(n)%len(options)] }
		s.Opening.Width, s.Gate.Cladding, s.Gate.Height = survey.Measured(width, survey.ByTape),
			survey.Measured(cladding, survey.ByTape), survey.Measured(height, survey.ByTape)
		s.Gate.Panels = pick(panels, survey.PanelsOne, survey.PanelsTwo, survey.PanelsThree)
		s.Gate.Infill = pick(infill, survey.InfillBattens, survey.InfillBoards, survey.InfillUprights, survey.InfillSheet,
			survey.InfillMesh, survey.InfillOpen)
		s.Gate.Driven = pick(bits, survey.DrivenLast, survey.DrivenFirst)
		s.Gate.FootingBar = pick(bits>>1, survey.BarFlat, survey.BarOnEdge)
		s.Gate.PadOn = pick(bits>>2, survey.PadConcrete, survey.PadSteel)
		s.Gate.Metal = pick(bits>>3, survey.MetalSteel, survey.MetalAluminium)
		s.Gate.Guide = pick(bits>>4, survey.GuideCastIn, survey.GuideBasePlate, survey.GuideOnPost)
		s.Gate.Motor = pick(bits>>5, survey.MotorPlugIn, survey.MotorWired, survey.MotorNone)
		s.Ground.Shape = pick(bits>>6, survey.GroundFalls, survey.GroundFalls, survey.GroundSlopes, survey.GroundLevel)
		s.Ground.Levels.Taken = survey.LevelsBySlopes
		s.Ground.Levels.Along = survey.Measured(grade, survey.ByStaff)
		s.Ground.Levels.BankStep, s.Ground.Levels.BankAlong = survey.Measured(step, survey.ByTape),
			survey.Measured(slope, survey.ByStaff)
		made, _ := engine.Design(s, practice.DefaultPractice())
		designs.Sound(t, &made)
		if !made.Leaf.Proof.Agrees {
			t.Fatalf("the proofs do not agree: %+v", made.Leaf.Proof)
		}
		if err := drawing.LeafScene(&made, drawing.SceneOptions{}).Validate(); err != nil {
			t.Fatal(err)
		}
		if scene := drawing.FallingScene(&made, drawing.SceneOptions{}); scene != nil {
			if err := scene.Validate(); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := made.Steel.Nest(); err != nil {
			t.Fatal(err)
		}
	})
}
