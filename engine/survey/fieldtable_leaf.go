package survey

import (
	"pegpour/engine/text"
)

func stacked(s *Survey) bool { return s.Gate.Panels == PanelsTwo || s.Gate.Panels == PanelsThree }

// What the leaf is made of and how it runs.
const (
	GatePanels     = "gate.panels"
	GateDriven     = "gate.driven"
	GateMetal      = "gate.metal"
	GateInfill     = "gate.infill"
	GateColour     = "gate.colour"
	GateLatchStop  = "gate.latchStop"
	GateOpenCatch  = "gate.openCatch"
	GateFootingBar = "gate.footingBar"
	GatePadOn      = "gate.padOn"
)

// leafFields are what the leaf is made of, in how many panels it runs and how
// it is driven.
var leafFields = []Field{
	{Path: GatePanels, Group: GroupGate, Name: "Panels, one behind another", Dimension: text.Choice,
		Help:    "Two or three panels need less room behind the post, and more out from the fence.",
		Options: []Option{{PanelsOne, "One: the leaf in one piece"}, {PanelsTwo, "Two"}, {PanelsThree, "Three"}},
		askedIf: onTrack, text: func(s *Survey) *string { return &s.Gate.Panels }},
	{Path: GateDriven, Group: GroupGate, Name: "Which panel the motor drives", Dimension: text.Choice,
		Options: []Option{{DrivenLast, "The last, next to the motor: it pulls the others"},
			{DrivenFirst, "The first: its rack reaches over the others"}},
		askedIf: func(s *Survey) bool { return onTrack(s) && stacked(s) && hasMotor(s) },
		text:    func(s *Survey) *string { return &s.Gate.Driven }},
	{Path: GateMetal, Group: GroupGate, Name: "Frame of", Dimension: text.Choice,
		Options: []Option{{MetalSteel, "Steel"}, {MetalAluminium, "Aluminium"}},
		text:    func(s *Survey) *string { return &s.Gate.Metal }},
	{Path: GateInfill, Group: GroupGate, Name: "What fills the frame", Dimension: text.Choice,
		Options: []Option{{InfillBattens, "Battens, lying"}, {InfillBoards, "Boards, upright"},
			{InfillUprights, "Upright bars"}, {InfillSheet, "Sheet"}, {InfillMesh, "Mesh"}, {InfillOpen, "Nothing"}},
		text: func(s *Survey) *string { return &s.Gate.Infill }},
	{Path: GateColour, Group: GroupGate, Name: "Colour of the gate's metal", Dimension: text.Choice,
		Help: "For the pictures. Metal as it is: steel from the zinc bath, or aluminium without a coat.",
		Options: []Option{{"", "Not chosen yet"}, {ColourBare, "Metal as it is"}, {ColourBlack, "Black"},
			{ColourDarkGrey, "Dark grey"}, {ColourLightGrey, "Light grey"}, {ColourWhite, "White"}, {ColourGreen, "Green"},
			{ColourBrown, "Brown"}},
		text: func(s *Survey) *string { return &s.Gate.Colour }},
	{Path: GateLatchStop, Group: GroupGate, Name: "Catch at the latch post that stops and holds the leaf",
		Dimension: text.Choice, askedIf: func(s *Survey) bool { return !Paired(s) },
		Options: []Option{{Yes, "Yes"}, {No, "No"}}, text: func(s *Survey) *string { return &s.Gate.LatchStop }},
	{Path: GateOpenCatch, Group: GroupGate, Name: "Catch at the rear that holds the top of the open leaf",
		Dimension: text.Choice,
		Help:      "Left open in a storm, a leaf without one hangs in its rollers alone: their post needs about twice the strength.",
		Options:   []Option{{No, "No"}, {Yes, "Yes"}}, text: func(s *Survey) *string { return &s.Gate.OpenCatch }},
	{Path: GateFootingBar, Group: GroupGate, Name: "Bar of the steel footing", Dimension: text.Choice,
		Options: []Option{{BarFlat, "Laid flat"}, {BarOnEdge, "On edge"}},
		askedIf: OnSteel, text: func(s *Survey) *string { return &s.Gate.FootingBar }},
	{Path: GatePadOn, Group: GroupGate, Name: "What the motor stands on", Dimension: text.Choice,
		Options: []Option{{PadConcrete, "A concrete pad"}, {PadSteel, "A steel plate on posts"}},
		askedIf: func(s *Survey) bool { return OnSteel(s) && hasMotor(s) },
		text:    func(s *Survey) *string { return &s.Gate.PadOn }},
}

// Falls reports whether the ground is said to fall away off the drive.
func Falls(s *Survey) bool { return s.Ground.Shape == GroundFalls }

// OnSteel reports whether a steel footing carries the track, over ground that falls.
func OnSteel(s *Survey) bool { return Falls(s) && onTrack(s) }
