package demo

import (
	"pegpour/engine/survey"
)

func staff(v float64) survey.Value { return survey.Measured(v, survey.ByStaff) }

// groundSites are those where the ground is not level.
func groundSites() []Site {
	return []Site{
		{ID: "00000000-0000-4000-8000-000000000005", Survey: crossSlope()},
		{ID: "00000000-0000-4000-8000-000000000006", Survey: rising()},
	}
}

// row is one row of a level book on the ground.
func row(station string, along, offset float64) survey.BookRow {
	return survey.BookRow{Station: station, Along: tape(along), Offset: tape(offset)}
}

// crossSlope falls along the fence and climbs into the property; a page of
// staff readings with one change point, closed on its own start.
func crossSlope() survey.Survey {
	s := base("Demo: cross-slope", "5 Sample Street",
		"The drive falls along the fence and climbs into the property. Levelled with a staff and closed; a dished channel takes the water around the motor pad.")
	s.Opening.Width = laser(4200)
	s.Drive.Surface, s.Drive.ConcreteSound = survey.SurfaceConcrete, survey.Yes
	s.RunBack.Room, s.RunBack.Depth = laser(5900), tape(1600)
	s.Ground.Shape = survey.GroundSlopes
	back := func(r survey.BookRow, v float64) survey.BookRow { r.Back = staff(v); return r }
	sight := func(r survey.BookRow, v float64) survey.BookRow { r.Intermediate = staff(v); return r }
	fore := func(r survey.BookRow, v float64) survey.BookRow { r.Fore = staff(v); return r }
	s.Ground.Levels = survey.Levels{Taken: survey.LevelsByStaff, Start: staff(100000), Close: staff(100000),
		Book: []survey.BookRow{
			back(survey.BookRow{Station: "Kerb mark"}, 1212),
			sight(row("Latch post", 60, 100), 1105),
			sight(row("Quarter", 1000, 100), 1121),
			sight(row("Middle", 2100, 110), 1130),
			sight(row("Three quarters", 3150, 95), 1158),
			sight(row("Edge", 4180, 100), 1171),
			sight(row("Inside, middle", 2100, 1900), 1078),
			sight(row("Inside, edge", 4150, 1900), 1116),
			back(fore(survey.BookRow{Station: "Peg"}, 1190), 1304),
			sight(row("Run-back 1", 5300, 120), 1305),
			sight(row("Run-back 2", 7000, 120), 1334),
			sight(row("Run-back 3", 8800, 120), 1360),
			fore(survey.BookRow{Station: "Kerb mark"}, 1323),
		}}
	s.Ground.Channel = survey.Yes
	return s
}

// rising stands up to seven hundred above the track at the end of the run-back;
// read from a level string line.
func rising() survey.Survey {
	s := base("Demo: rising ground", "6 Sample Street",
		"The garden stands higher than the drive and climbs along the fence: a cavity is dug for the leaf, with a sleeper wall between posts.")
	s.Opening.Width = laser(3600)
	s.Opening.Hand = survey.HandLeft
	s.Drive.Surface, s.Drive.ConcreteSound = survey.SurfaceConcrete, survey.Yes
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeAngle, Along: tape(40), Angle: degrees(84)}
	s.RunBack.Room, s.RunBack.Depth = laser(5200), tape(2400)
	s.Ground.Shape = survey.GroundRises
	drop := func(name string, along, offset, down float64) survey.StringDrop {
		return survey.StringDrop{Name: name, Along: tape(along), Offset: tape(offset),
			Down: survey.Measured(down, survey.ByString)}
	}
	s.Ground.Levels = survey.Levels{Taken: survey.LevelsByString, String: tape(100000), Drops: []survey.StringDrop{
		drop("Latch post", 50, 100, 1180), drop("Middle", 1800, 100, 1160), drop("Edge", 3600, 100, 1138),
		drop("Inside, latch", 300, 1500, 1165), drop("Inside, edge", 3500, 1500, 1122),
		drop("Top of kerb", 3750, 100, 990), drop("Garden 1", 4800, 100, 840), drop("Garden 2", 6300, 100, 690),
		drop("Garden 3", 8000, 100, 560),
		drop("Hedge 1", 4000, 1500, 930), drop("Hedge 2", 5600, 1500, 700), drop("Hedge 3", 8100, 1500, 470),
	}}
	s.Ground.Class = "gravel"
	s.Ground.Cavity = survey.Cavity{Wall: survey.WallOfPosts, Drain: survey.Yes, Load: survey.LoadGarden}
	s.Gate.Guide, s.Gate.Infill = survey.GuideCastIn, survey.InfillMesh
	return s
}
