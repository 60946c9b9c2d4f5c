package demo

import (
	"pegpour/engine/survey"
)

// waysSites are two sites that differ only in the ground beside the drive: on
// the steep one panels in a stack save digging, on the gentle one they do not
// pay.
func waysSites() []Site {
	return []Site{
		{ID: "00000000-0000-4000-8000-000000000041", Survey: steepBank()},
		{ID: "00000000-0000-4000-8000-000000000042", Survey: gentleBank()},
	}
}

func steepBank() survey.Survey {
	return bank("Demo: steep bank", "41 Sample Street",
		"The ground climbs away from the drive: see Ways to build for what panels in a stack save.", 150, 0.12)
}

func gentleBank() survey.Survey {
	return bank("Demo: gentle bank", "42 Sample Street",
		"The ground climbs a little: a leaf in one piece is the cheaper way.", 0, 0.01)
}

func bank(name, address, notes string, step, slope float64) survey.Survey {
	s := base(name, address, notes)
	s.Opening.Width = laser(4000)
	s.Drive.Surface, s.Drive.ConcreteSound = survey.SurfaceConcrete, survey.Yes
	s.RunBack.Room, s.RunBack.Depth = laser(6000), tape(2500)
	s.Ground.Class = "gravel"
	s.Ground.Shape = survey.GroundRises
	s.Ground.Levels = survey.Levels{Taken: survey.LevelsBySlopes, Along: staff(0), Out: staff(0), BankStep: staff(step),
		BankAlong: staff(slope)}
	return s
}
