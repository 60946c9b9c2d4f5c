package engine

func stacked(s *Survey) bool { return s.Gate.Panels == PanelsTwo || s.Gate.Panels == PanelsThree }

// leafFields are what the leaf is made of, in how many panels it runs and how
// it is driven.
var leafFields = []Field{
	{Path: "gate.panels", Group: GroupGate, Name: "Panels, one behind another", Dimension: Choice,
		Help:    "Two or three panels need less room behind the post, and more out from the fence.",
		Options: []Option{{PanelsOne, "One: the leaf in one piece"}, {PanelsTwo, "Two"}, {PanelsThree, "Three"}},
		words:   func(s *Survey) *string { return &s.Gate.Panels }},
	{Path: "gate.driven", Group: GroupGate, Name: "Which panel the motor drives", Dimension: Choice,
		Options: []Option{{DrivenLast, "The last, next to the motor: it pulls the others"}, {DrivenFirst, "The first: its rack reaches over the others"}},
		needed:  func(s *Survey) bool { return stacked(s) && hasMotor(s) },
		words:   func(s *Survey) *string { return &s.Gate.Driven }},
	{Path: "gate.metal", Group: GroupGate, Name: "Frame of", Dimension: Choice,
		Options: []Option{{MetalSteel, "Steel"}, {MetalAluminium, "Aluminium"}},
		words:   func(s *Survey) *string { return &s.Gate.Metal }},
	{Path: "gate.infill", Group: GroupGate, Name: "What fills the frame", Dimension: Choice,
		Options: []Option{{InfillBattens, "Battens, lying"}, {InfillBoards, "Boards, upright"}, {InfillUprights, "Upright bars"}, {InfillSheet, "Sheet"}, {InfillMesh, "Mesh"}, {InfillOpen, "Nothing"}},
		words:   func(s *Survey) *string { return &s.Gate.Infill }},
	{Path: "gate.latchStop", Group: GroupGate, Name: "Catch at the latch post that stops and holds the leaf", Dimension: Choice,
		Options: []Option{{Yes, "Yes"}, {No, "No"}}, words: func(s *Survey) *string { return &s.Gate.LatchStop }},
	{Path: "gate.footingBar", Group: GroupGate, Name: "Bar of the steel footing", Dimension: Choice,
		Options: []Option{{BarFlat, "Laid flat"}, {BarOnEdge, "On edge"}},
		needed:  falls, words: func(s *Survey) *string { return &s.Gate.FootingBar }},
	{Path: "gate.padOn", Group: GroupGate, Name: "What the motor stands on", Dimension: Choice,
		Options: []Option{{PadConcrete, "A concrete pad"}, {PadSteel, "A steel plate on posts"}},
		needed:  func(s *Survey) bool { return falls(s) && hasMotor(s) }, words: func(s *Survey) *string { return &s.Gate.PadOn }},
}

func falls(s *Survey) bool { return s.Ground.Shape == GroundFalls }
