package engine

import (
	"testing"
)

// FuzzCarried draws any leaf on any ground: nothing panics, nothing is not a
// number, the two proofs of motion agree, and the elevations can be drawn.
func FuzzCarried(f *testing.F) {
	f.Add(4000.0, 0.0, 1800.0, -300.0, -0.125, 0.0, uint8(0), uint8(0), uint8(0))
	f.Add(800.0, 150.0, 500.0, -4000.0, -4.0, 0.6, uint8(1), uint8(2), uint8(7))
	f.Add(12000.0, 60.0, 4000.0, 4000.0, 4.0, -0.6, uint8(2), uint8(4), uint8(255))
	f.Add(2500.0, 20.0, 2200.0, -50.0, 0.1, 0.3, uint8(2), uint8(5), uint8(96))
	f.Fuzz(func(t *testing.T, width, cladding, height, step, slope, grade float64, panels, infill, bits uint8) {
		s := squareSite()
		pick := func(n uint8, options ...string) string { return options[int(n)%len(options)] }
		s.Opening.Width, s.Gate.Cladding, s.Gate.Height = Measured(width, ByTape), Measured(cladding, ByTape), Measured(height, ByTape)
		s.Gate.Panels = pick(panels, PanelsOne, PanelsTwo, PanelsThree)
		s.Gate.Infill = pick(infill, InfillBattens, InfillBoards, InfillUprights, InfillSheet, InfillMesh, InfillOpen)
		s.Gate.Driven = pick(bits, DrivenLast, DrivenFirst)
		s.Gate.FootingBar = pick(bits>>1, BarFlat, BarOnEdge)
		s.Gate.PadOn = pick(bits>>2, PadConcrete, PadSteel)
		s.Gate.Metal = pick(bits>>3, MetalSteel, MetalAluminium)
		s.Gate.Guide = pick(bits>>4, GuideCastIn, GuideBasePlate, GuideOnPost)
		s.Gate.Motor = pick(bits>>5, MotorPlugIn, MotorWired, MotorNone)
		s.Ground.Shape = pick(bits>>6, GroundFalls, GroundFalls, GroundSlopes, GroundLevel)
		s.Ground.Levels.Taken = LevelsBySlopes
		s.Ground.Levels.Along = Measured(grade, ByStaff)
		s.Ground.Levels.BankStep, s.Ground.Levels.BankAlong = Measured(step, ByTape), Measured(slope, ByStaff)
		plan, _ := Design(s, DefaultPractice())
		soundPlan(t, &plan)
		if !plan.Leaf.Proof.Agrees {
			t.Fatalf("the proofs do not agree: %+v", plan.Leaf.Proof)
		}
		if err := LeafScene(&plan, SceneOptions{}).Validate(); err != nil {
			t.Fatal(err)
		}
		if scene := FallingScene(&plan, SceneOptions{}); scene != nil {
			if err := scene.Validate(); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := plan.Steel.Nest(); err != nil {
			t.Fatal(err)
		}
	})
}
