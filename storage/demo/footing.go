package demo

import (
	"pegpour/engine/survey"
)

// carriedSites are those where the track is carried over falling ground, or the
// leaf has no room in one piece.
func carriedSites() []Site {
	return []Site{
		{ID: "00000000-0000-4000-8000-000000000007", Survey: falling()},
		{ID: "00000000-0000-4000-8000-000000000008", Survey: noRoom()},
	}
}

// falling drops away off the edge of a drive that itself falls a little; read
// from a level string line. The track runs on a flat bar over posts.
func falling() survey.Survey {
	s := base("Demo: falling ground", "7 Sample Street",
		"The ground drops away off the edge of the drive and down a bank: the track runs on a flat bar on posts, the motor on a plate.")
	s.Opening.Width = laser(3900)
	s.Drive.Surface, s.Drive.ConcreteSound = survey.SurfaceConcrete, survey.Yes
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeAngle, Along: tape(90), Angle: degrees(96)}
	s.RunBack.Room, s.RunBack.Depth = laser(5600), tape(1800)
	s.Ground.Shape = survey.GroundFalls
	drop := func(name string, along, offset, down float64) survey.StringDrop {
		return survey.StringDrop{Name: name, Along: tape(along), Offset: tape(offset),
			Down: survey.Measured(down, survey.ByString)}
	}
	s.Ground.Levels = survey.Levels{Taken: survey.LevelsByString, String: survey.Measured(100600, survey.ByString),
		Drops: []survey.StringDrop{
			drop("Latch side", 150, 100, 562),
			drop("Middle", 1950, 100, 586),
			drop("Edge of the drive", 3800, 100, 609),
			drop("Inside, middle", 1950, 1400, 585),
			drop("Just off the edge", 4010, 100, 840),
			drop("Bank 1", 5400, 100, 1020),
			drop("Bank 2", 6900, 100, 1190),
			drop("Bank 3", 8500, 100, 1345),
			drop("Bank 1, further in", 5400, 1200, 1035),
			drop("Bank 3, further in", 8500, 1200, 1380),
		}}
	s.Gate.Infill, s.Gate.PadOn = survey.InfillUprights, survey.PadSteel
	return s
}

// noRoom has a neighbour's wall where a leaf in one piece would still have to
// go; two panels, one behind the other, fit.
func noRoom() survey.Survey {
	s := base("Demo: no room", "8 Sample Street",
		"A wall stands 3.1 m behind the run-back post and the opening is 4.4 m wide: two panels run one behind the other.")
	s.Opening.Width = laser(4400)
	s.Opening.Hand = survey.HandLeft
	s.Drive.Surface = survey.SurfaceGravel
	s.Drive.RunBackEdge.Along = tape(30)
	s.RunBack.Room, s.RunBack.Depth = laser(3100), tape(1500)
	s.Gate.Cladding, s.Gate.Panels = tape(20), survey.PanelsTwo
	return s
}
