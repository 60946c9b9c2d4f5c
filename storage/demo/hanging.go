package demo

import (
	"pegpour/engine/survey"
)

// hangingSites are those whose leaf hangs free of the ground.
func hangingSites() []Site {
	return []Site{{ID: "00000000-0000-4000-8000-000000000061", Survey: hangingOverGravel()}}
}

// hangingOverGravel is a gravel drive that falls towards the latch post: no track lies
// on it, and the gap under the level leaf grows with the fall.
func hangingOverGravel() survey.Survey {
	s := base("Demo: free-hanging over gravel on a slope", "61 Sample Street",
		"Loose gravel that climbs towards the run-back, and a water main under it: the leaf hangs on two carriages and leaves the drive alone.")
	s.Opening.Width = laser(3800)
	s.Drive.Surface = survey.SurfaceGravel
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeAngle, Along: tape(80), Angle: degrees(82)}
	s.Drive.LatchEdge.Along = tape(60)
	s.RunBack.Room, s.RunBack.Depth = laser(7200), tape(1600)
	s.RunBack.Obstructions = []survey.Obstruction{{Kind: survey.ObstructionTap, Name: "Garden tap", Along: tape(3300),
		Offset: tape(700), Length: tape(120), Width: tape(120)}}
	s.Ground.Class = "gravel"
	s.Ground.Shape = survey.GroundSlopes
	s.Ground.Levels.Taken, s.Ground.Levels.String = survey.LevelsByString, survey.Measured(100000, survey.ByTape)
	drop := func(name string, along, offset, down float64) survey.StringDrop {
		return survey.StringDrop{Name: name, Along: tape(along), Offset: tape(offset), Down: survey.Measured(down, survey.ByString)}
	}
	s.Ground.Levels.Drops = []survey.StringDrop{drop("latch post", 0, 100, 1180), drop("a third", 1300, 100, 1150),
		drop("two thirds", 2600, 100, 1122), drop("run-back post", 3800, 100, 1098), drop("inside", 1900, 1500, 1120),
		drop("behind the post", 5200, 120, 1094), drop("end of the run-back", 9600, 120, 1098), drop("out there", 5200, 1400, 1088)}
	s.Gate.Guide, s.Gate.Metal = survey.GuideCastIn, survey.MetalSteel
	s.Gate.Carried = survey.CarriedFree
	s.Gate.Hanging = survey.Hanging{Bears: survey.Measured(7000, survey.ByEstimate), Clearance: tape(70)}
	return s
}
