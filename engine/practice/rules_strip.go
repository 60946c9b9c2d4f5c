package practice

import (
	"pegpour/engine/text"
)

// StripPractice is what crosses the drive strip beside cars, and how steel and
// joints lie in it.
type StripPractice struct {
	VanWheel, VanTyre     float64 // N, Pa
	LorryWheel, LorryTyre float64 // N, Pa
	StripSteel            float64 // of the section
	CoverPrepared         float64 // mm
	CoverEarth            float64 // mm
	JointSpacing          float64 // over the strip's depth
	JointMost             float64 // mm
}

// The keys of the rules below.
const (
	RuleStrengthVanWheel   = "strength.wheelVan"
	RuleStrengthVanTyre    = "strength.tyreVan"
	RuleStrengthLorryWheel = "strength.wheelLorry"
	RuleStrengthLorryTyre  = "strength.tyreLorry"
	RuleDriveSteelLeast    = "drive.steelLeast"
	RuleMeshCoverPrepared  = "mesh.coverPrepared"
	RuleMeshCoverEarth     = "mesh.coverEarth"
	RuleDriveJointSpacing  = "drive.jointSpacing"
	RuleDriveJointMost     = "drive.jointMost"
)

// stripRules are the rules of heavier vehicles, and of steel and joints in the
// drive strip.
var stripRules = []Rule{
	{Key: RuleStrengthVanWheel, Group: "Strength", Name: "Wheel of a van that crosses the drive strip",
		Dimension: text.Force, Default: 12000, Low: 1000, High: 60000,
		Why:    "Half of the rear axle of a van of 3.5 tonnes, 2.4 tonnes as its plate says.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.VanWheel }},
	{Key: RuleStrengthVanTyre, Group: "Strength", Name: "Tyre pressure of a van", Dimension: text.Pressure,
		Default: 450e3, Low: 100e3, High: 1000e3,
		Why: "It sets the size of the tyre's foot. Loaded vans run on 4 to 5 bar.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.VanTyre }},
	{Key: RuleStrengthLorryWheel, Group: "Strength", Name: "Wheel of a lorry that crosses the drive strip",
		Dimension: text.Force, Default: 60000, Low: 10000, High: 60000,
		Why:    "Half of an axle of 120 kN. A lorry that empties bins weighs 26 tonnes, 11.5 on one axle.",
		Source: "axle of 11.5 tonnes: a town's guide to its refuse lorries (read); 120 kN for refuse and fire: EN 1991-1-1 and its national annexes (memory)",
		at:     func(p *Practice) *float64 { return &p.LorryWheel }},
	{Key: RuleStrengthLorryTyre, Group: "Strength", Name: "Tyre pressure of a lorry", Dimension: text.Pressure,
		Default: 800e3, Low: 100e3, High: 1000e3,
		Why: "It sets the size of the tyre's foot.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.LorryTyre }},

	{Key: RuleDriveSteelLeast, Group: "Steel in concrete", Name: "Least steel along the drive strip, over its section",
		Dimension: text.Fraction, Default: 0.0018, Low: 0.001, High: 0.01,
		Why:    "With less a strip breaks as soon as it cracks, and its mesh counts for nothing.",
		Source: "ACI 318, 7.6.1.1 and 24.4.3.2", at: func(p *Practice) *float64 { return &p.StripSteel }},
	{Key: RuleMeshCoverPrepared, Group: "Steel in concrete", Name: "Least concrete under mesh, on blinding or a sheet",
		Dimension: text.Length, Default: 40, Low: 20, High: 100,
		Why:    "Outdoors and damp. Thinner, it rusts and bursts the concrete.",
		Source: "EN 1992-1-1, 4.4.1.3 (4), k1 of the British annex: 40 mm against blinding",
		at:     func(p *Practice) *float64 { return &p.CoverPrepared }},
	{Key: RuleMeshCoverEarth, Group: "Steel in concrete", Name: "Least concrete under mesh, poured on bare earth",
		Dimension: text.Length, Default: 75, Low: 40, High: 150,
		Why:    "Earth is uneven and mixes with the concrete. Some codes are content with 40: enter yours.",
		Source: "EN 1992-1-1, 4.4.1.3 (4), k2 of the British annex; ACI 318, 20.5.1.3 (memory): 75 mm",
		at:     func(p *Practice) *float64 { return &p.CoverEarth }},
	{Key: RuleDriveJointSpacing, Group: "Drive strip", Name: "Joints in the strip, apart over its depth",
		Dimension: text.Ratio, Default: 24, Low: 15, High: 40,
		Why:    "Concrete shrinks. 24 for small stones and wet mixes, such as bags; 36 for large stones and stiff ones.",
		Source: "ACI 302.1R and 360R: 24 to 36 times the thickness", at: func(p *Practice) *float64 { return &p.JointSpacing }},
	{Key: RuleDriveJointMost, Group: "Drive strip", Name: "Joints in the strip, apart at most", Dimension: text.Length,
		Default: 5500, Low: 2000, High: 6000,
		Why: "However deep it is.", Source: "ACI 302.1R: 18 ft", at: func(p *Practice) *float64 { return &p.JointMost }},
}
