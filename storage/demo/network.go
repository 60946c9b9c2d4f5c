package demo

import (
	"pegpour/engine/survey"
)

// networkSites are taped as a network of pegs.
func networkSites() []Site {
	return []Site{{ID: "00000000-0000-4000-8000-000000000031", Survey: tapedNetwork()}}
}

// tapedNetwork is an angled drive with a tank beside the run-back, where every
// place comes from tapes between pegs. The tapes are worked out from places of
// our own and rounded to the millimetre with a slip of a millimetre or two, as
// a careful crew reads them.
func tapedNetwork() survey.Survey {
	s := base("Demo: taped as a network", "31 Sample Street",
		"Nothing here is square: ten pegs and the tapes between them say where all of it is.")
	s.Drive.Surface, s.Drive.ConcreteSound = survey.SurfaceConcrete, survey.Yes
	s.Drive.RunBackEdge, s.Drive.LatchEdge = survey.Edge{}, survey.Edge{}
	s.RunBack.Depth = tape(1700)
	s.Gate.Motor, s.Gate.Outlet = survey.MotorWired, ""
	peg := func(name, role, thing string, along, offset float64) {
		s.Network.Pegs = append(s.Network.Pegs,
			survey.NetworkPeg{Name: name, Role: role, Thing: thing, Along: estimate(along), Offset: estimate(offset)})
	}
	peg("A", survey.PegLatch, "", 0, 0)
	peg("B", survey.PegRunBack, "", 4200, 0)
	peg("C", survey.PegRunBackEdge, "", 4300, 100)
	peg("D", survey.PegRunBackEdge, "", 4700, 1500)
	peg("E", survey.PegLatchEdge, "", -200, 100)
	peg("F", survey.PegLatchEdge, "", 200, 1500)
	peg("G", survey.PegCorner, "Rainwater tank", 8400, 1900)
	peg("H", survey.PegCorner, "Rainwater tank", 9400, 2000)
	peg("I", survey.PegCorner, "Rainwater tank", 8300, 2900)
	peg("J", survey.PegRoomEnd, "", 11000, 100)
	taped := func(from, to string, reading float64) {
		s.Network.Tapes = append(s.Network.Tapes, survey.NetworkTape{From: from, To: to, Length: tape(reading)})
	}
	taped("A", "B", 4239)
	taped("A", "C", 4295)
	taped("A", "D", 4974)
	taped("A", "E", 246)
	taped("A", "F", 1470)
	taped("B", "C", 83)
	taped("B", "D", 1533)
	taped("B", "E", 4476)
	taped("B", "F", 4289)
	taped("C", "D", 1458)
	taped("C", "E", 4530)
	taped("C", "F", 4321)
	taped("D", "E", 5180)
	taped("D", "F", 4557)
	taped("E", "F", 1450)
	taped("A", "G", 8629)
	taped("B", "G", 4585)
	taped("B", "H", 5560)
	taped("B", "I", 4921)
	taped("D", "G", 3684)
	taped("D", "H", 4682)
	taped("D", "I", 3758)
	taped("G", "H", 996)
	taped("G", "I", 1001)
	taped("H", "I", 1412)
	taped("A", "J", 11061)
	taped("B", "J", 6821)
	taped("G", "J", 3192)
	taped("H", "J", 2581)
	return s
}
