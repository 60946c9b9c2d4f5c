package demo

import "pegpour/engine/survey"

// pairSite is a wide opening with too little room for one leaf: a wall on one side, a
// water tank on the other. Two leaves meet off the middle, the longer one where there is more
// room; the run-back of the shorter one rises.
func pairSite() survey.Survey {
	s := base("Demo: a pair on a wide opening", "12 Sample Street",
		"The opening is 7.2 m wide and there is room for no leaf of that length: two meet in the gravel, off the middle.")
	s.Opening.Width = laser(7200)
	s.Opening.PostLatch, s.Opening.PostRunBack, s.Opening.PostDepth = tape(300), tape(300), tape(300)
	s.Opening.PostMade = survey.PostMasonry
	s.Drive.Surface, s.Drive.Vehicle = survey.SurfaceGravel, survey.VehicleVan
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeAngle, Along: tape(80), Angle: degrees(75)}
	s.Drive.LatchEdge = survey.Edge{Given: survey.EdgePoints, Points: []survey.EdgePoint{
		{Along: tape(-120), Offset: tape(0)}, {Along: tape(-260), Offset: tape(1300)}}}
	s.RunBack.Room, s.RunBack.Depth = laser(5100), tape(1500)
	s.RunBack.Obstructions = []survey.Obstruction{
		{Kind: survey.ObstructionTree, Name: "Plum tree", Along: tape(2600), Offset: tape(1100), Length: tape(250), Width: tape(250)},
		{Kind: survey.ObstructionTank, Name: "Water tank", Side: survey.OnLatchSide, Along: tape(3900), Offset: tape(300),
			Length: tape(1200), Width: tape(1200)}}
	s.Ground.Soil, s.Ground.Class, s.Ground.Frost = survey.SoilFirm, "sand", tape(0)
	s.Gate.Motor, s.Gate.Outlet, s.Gate.Cables = survey.MotorWired, "", survey.Yes
	s.Gate.Leaves = survey.LeavesPair
	s.Pair.Meets, s.Pair.First = tape(3200), survey.FirstRunBack
	other := &survey.OtherSide{}
	s.Pair.Other = other
	other.RunBack.Room, other.RunBack.Depth = laser(3900), tape(900)
	other.Ground.Soil, other.Ground.Class = survey.SoilFirm, "sand"
	other.Gate = survey.Gate{Motor: survey.MotorWired, Cables: survey.Yes, Guide: survey.GuideCastIn, HardStop: survey.Yes,
		OpenCatch: survey.Yes}
	return s
}

// Pair is a site of two leaves that meet.
func Pair() Site { return Site{ID: "00000000-0000-4000-8000-000000000009", Survey: pairSite()} }
