package survey

import (
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// What carries the leaf, and what a leaf that hangs free is made with.
const (
	GateCarried            = "gate.carried"
	GateHangingBears       = "gate.hanging.bears"
	GateHangingSpacing     = "gate.hanging.spacing"
	GateHangingClearance   = "gate.hanging.clearance"
	GateHangingBeamMass    = "gate.hanging.beamMass"
	GateHangingBeamInertia = "gate.hanging.beamInertia"
	GateHangingBeamModulus = "gate.hanging.beamModulus"
)

// Choices of Gate.Carried.
const (
	CarriedTrack = "track" // wheels on a track across the drive
	CarriedFree  = "free"  // on two carriages in the run-back, free of the ground
)

// Hanging is what a leaf that hangs free is made with, by the numbers its maker gives.
type Hanging struct {
	// Bears is the load one carriage is made for, up or down, N.
	Bears Value `json:"bears,omitzero"`
	// Spacing is between the middles of the two carriages, mm; found where it is not given.
	Spacing Value `json:"spacing,omitzero"`
	// Clearance of the leaf over the highest place of the drive, mm.
	Clearance Value `json:"clearance,omitzero"`
	// BeamMass, kg/m, BeamInertia, cm⁴, and BeamModulus, cm³, are of the beam's
	// section; the shop's own beam stands in unless all three are given.
	BeamMass    Value `json:"beamMass,omitzero"`
	BeamInertia Value `json:"beamInertia,omitzero"`
	BeamModulus Value `json:"beamModulus,omitzero"`
}

// HangsFree reports whether no track crosses the drive: the leaf hangs on carriages.
func HangsFree(s *Survey) bool { return s.Gate.Carried == CarriedFree }

func onTrack(s *Survey) bool { return !HangsFree(s) }

var carriedFields = []Field{
	{Path: GateCarried, Group: GroupGate, Name: "What carries the leaf", Dimension: text.Choice,
		Help:    "A leaf that hangs free leaves gravel, snow, services and a crowned drive alone, and needs about half as much room again behind the post.",
		Options: []Option{{CarriedTrack, "A track across the drive"}, {CarriedFree, "Nothing on the drive: it hangs free"}},
		text:    func(s *Survey) *string { return &s.Gate.Carried }},
}

var hangingFields = []Field{
	hanging(GateHangingBears, "Load that one carriage is made for", text.Force, 500, 200000,
		"By its maker. Without it the carriages cannot be judged.", func(h *Hanging) *Value { return &h.Bears }),
	hanging(GateHangingSpacing, "Between the two carriages", text.Length, 200, 8000,
		"From middle to middle. Not given, it is found from what carriages and beam may take.",
		func(h *Hanging) *Value { return &h.Spacing }),
	clearanceField(),
	hanging(GateHangingBeamMass, "Beam, mass of one metre", text.MassPerLength, 1, 200,
		"By its maker. The shop's own beam is taken unless all three numbers are given.",
		func(h *Hanging) *Value { return &h.BeamMass }),
	hanging(GateHangingBeamInertia, "Beam, second moment of its section in cm⁴", text.Ratio, 10, 50000,
		"For loads from above, by its maker.", func(h *Hanging) *Value { return &h.BeamInertia }),
	hanging(GateHangingBeamModulus, "Beam, section modulus in cm³", text.Ratio, 2, 5000,
		"For loads from above, by its maker.", func(h *Hanging) *Value { return &h.BeamModulus }),
}

// hanging is a number of a leaf that hangs free.
func hanging(path string, name text.Name, of text.Dimension, low, high float64, help string, at func(*Hanging) *Value) Field {
	return Field{Path: path, Group: GroupGate, Name: name, Dimension: of, Low: low, High: high, Help: help,
		askedIf: HangsFree, number: func(s *Survey) *Value { return at(&s.Gate.Hanging) }}
}

func clearanceField() Field {
	f := hanging(GateHangingClearance, "Leaf over the highest place of the drive", text.Length, 20, 400,
		"Over its crown, ruts filled; more where snow lies.", func(h *Hanging) *Value { return &h.Clearance })
	f.standIn = func(_ *Survey, p *practice.Practice) (float64, bool) { return p.HangClearance, true }
	return f
}
