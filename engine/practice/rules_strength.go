package practice

import (
	"pegpour/engine/text"
)

// StrengthPractice is what the first-pass checks of strength are made with.
type StrengthPractice struct {
	TrafficWheel, TyrePressure, AxleTrack, WheelFromEnd float64 // N, Pa, mm, mm
	ConcreteStrength, RuptureSafety, WheelFactor        float64 // MPa
	MeshBars, MeshBarSize, MeshYield                    float64
	WindSpeed, WindTerrain                              float64 // m/s, index of the category
	WindShut, WindMoving                                float64 // Pa
	PadTipping, GuideLean                               float64
	GatePostWall, GatePostTimber                        float64 // mm, MPa
	PostWall, PostYield, SteelSafety, IsolatedPole      float64
	SoilBears                                           float64 // over the table of its class
	AnchorArea, AnchorInset, StopBuffer                 float64 // mm², mm, mm
	AnchorKind, AnchorDepth, AnchorClass                float64 // of AnchorResin and so on, mm
	AnchorBond, AnchorBondUncracked, AnchorPullOut      float64 // MPa, MPa, N

	SectionPractice
}

// The keys of these rules, as documents hold them.
const (
	RuleStrengthWheel        = "strength.wheel"
	RuleStrengthTyre         = "strength.tyre"
	RuleStrengthAxle         = "strength.axle"
	RuleStrengthWheelFromEnd = "strength.wheelFromEnd"
	RuleStrengthConcrete     = "strength.concrete"
	RuleStrengthRupture      = "strength.rupture"
	RuleStrengthWheelFactor  = "strength.wheelFactor"
	RuleMeshBars             = "mesh.bars"
	RuleMeshBarSize          = "mesh.barSize"
	RuleMeshYield            = "mesh.yield"
	RuleWindSpeed            = "wind.speed"
	RuleWindTerrain          = "wind.terrain"
	RuleWindShut             = "wind.shut"
	RuleWindMoving           = "wind.moving"
	RuleGuidePostWall        = "guide.postWall"
	RuleStrengthYield        = "strength.yield"
	RuleGuideLean            = "guide.lean"
	RuleGatePostWall         = "gatePost.wall"
	RuleGatePostTimber       = "gatePost.timber"
	RuleStrengthSteelSafety  = "strength.steelSafety"
	RuleSoilIsolatedPole     = "soil.isolatedPole"
	RuleSoilBears            = "soil.bears"
	RuleAnchorArea           = "anchor.area"
	RuleAnchorInset          = "anchor.inset"
	RuleAnchorKind           = "anchor.kind"
	RuleAnchorDepth          = "anchor.depth"
	RuleAnchorClass          = "anchor.class"
	RuleAnchorBond           = "anchor.bond"
	RuleAnchorBondUncracked  = "anchor.bondUncracked"
	RuleAnchorPullOut        = "anchor.pullOut"
	RuleStopBuffer           = "stop.buffer"
	RulePadTipping           = "pad.tipping"
)

// The kinds of anchors, as RuleAnchorKind counts them.
const (
	AnchorResin     = 0
	AnchorExpanding = 1
	AnchorCastIn    = 2
)

// StrengthRules are the loads and strengths of the first-pass checks.
var StrengthRules = []Rule{
	{Key: RuleStrengthWheel, Group: "Strength", Name: "Wheel of a car that crosses the drive strip",
		Dimension: text.Force, Default: 10000, Low: 1000, High: 60000,
		Why:    "Half of an axle of 20 kN, the most of the vehicles to 3 tonnes. Vans and lorries have rules of their own.",
		Source: "EN 1991-1-1 table 6.8, category F, vehicles to 30 kN: an axle of 10 to 20 kN (memory)",
		at:     func(p *Practice) *float64 { return &p.TrafficWheel }},
	{Key: RuleStrengthTyre, Group: "Strength", Name: "Tyre pressure", Dimension: text.Pressure, Default: 300e3,
		Low: 100e3, High: 1000e3,
		Why: "It sets the size of the tyre's foot. Heavy cars run on about 3 bar.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.TyrePressure }},
	{Key: RuleStrengthAxle, Group: "Strength", Name: "Between the wheels of an axle", Dimension: text.Length,
		Default: 1600, Low: 1000, High: 2500,
		Why: "Both wheels cross the strip at once.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.AxleTrack }},
	{Key: RuleStrengthWheelFromEnd, Group: "Strength", Name: "Wheel keeps from the end of the drive strip",
		Dimension: text.Length, Default: 300, Low: 0, High: 3000,
		Why: "Wheels keep off the very edge of the drive; enter 0 where they do not.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WheelFromEnd }},
	{Key: RuleStrengthConcrete, Group: "Strength", Name: "Concrete, cylinder strength", Dimension: text.Stress,
		Default: 20, Low: 10, High: 80,
		Why: "Bagged mix mixed on site reaches about 20 MPa; ready-mix as ordered.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.ConcreteStrength }},
	{Key: RuleStrengthRupture, Group: "Strength", Name: "Plain concrete cracks: safety against it", Dimension: text.Ratio,
		Default: 1.7, Low: 1, High: 3,
		Why: "Between the 1.4 and 2.0 that are usual for slabs on the ground.", Source: "ACI 360R (memory)",
		at: func(p *Practice) *float64 { return &p.RuptureSafety }},
	{Key: RuleStrengthWheelFactor, Group: "Strength", Name: "Load factor on the wheel for reinforced concrete",
		Dimension: text.Ratio, Default: 1.6, Low: 1, High: 2.5,
		Why: "Live load.", Source: "ACI 318, 5.3 (memory)", at: func(p *Practice) *float64 { return &p.WheelFactor }},
	{Key: RuleMeshBars, Group: "Steel in concrete", Name: "Long wires of the trench mesh", Dimension: text.Count,
		Default: 3, Low: 1, High: 12,
		Why: "As the merchant sells it. A wider or deeper strip wants more: the check says how many.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MeshBars }},
	{Key: RuleMeshBarSize, Group: "Steel in concrete", Name: "Diameter of a wire of the trench mesh",
		Dimension: text.Length, Default: 7.6, Low: 3, High: 25,
		Why: "Sold as 8 mm trench mesh.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MeshBarSize }},
	{Key: RuleMeshYield, Group: "Steel in concrete", Name: "Yield strength of the trench mesh", Dimension: text.Stress,
		Default: 500, Low: 200, High: 700,
		Why: "Its grade.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MeshYield }},

	{Key: RuleWindSpeed, Group: "Strength", Name: "Wind of the region, basic speed in m/s",
		Dimension: text.Ratio, Default: 28, Low: 15, High: 60,
		Why:    "Mean of ten minutes, ten metres up over open ground, once in fifty years: from your code's map. 28 m/s was set in November 2026 as what most maps of Europe stay under inland; coasts, hills and storm regions have more.",
		Source: "EN 1991-1-4, 4.2: basic wind velocity; the default is a cautious value of ours",
		at:     func(p *Practice) *float64 { return &p.WindSpeed }},
	{Key: RuleWindTerrain, Group: "Strength", Name: "Terrain of the region, 0 at sea to 4 in town", Dimension: text.Count,
		Default: 2, Low: 0, High: 4,
		Why:    "0 sea or coast, 1 flat and open, 2 grass with single trees and houses, 3 villages, suburbs and forest, 4 towns.",
		Source: "EN 1991-1-4 table 4.1 (memory)", at: func(p *Practice) *float64 { return &p.WindTerrain }},
	{Key: RuleWindShut, Group: "Strength", Name: "Wind of the site by the shop, velocity pressure",
		Dimension: text.Pressure, Default: 0, Low: 0, High: 5000,
		Why:    "0 works it out from speed, terrain and the height of the leaf. Enter the peak pressure where your code gives it otherwise: by a gust speed it is 0.613 v².",
		Source: "EN 1991-1-4, 4.5; ASCE 7-16, 26.10 (memory)",
		at:     func(p *Practice) *float64 { return &p.WindShut }},
	{Key: RuleWindMoving, Group: "Strength", Name: "Wind in which the leaf is still moved, velocity pressure",
		Dimension: text.Pressure, Default: 150, Low: 0, High: 2000,
		Why: "About 15 m/s, a near gale: nobody moves a gate in more.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WindMoving }},
	{Key: RuleGuidePostWall, Group: "Guide post", Name: "Guide post, wall of the section", Dimension: text.Length,
		Default: 3, Low: 1.5, High: 12,
		Why: "Of the trade, as the post's size. The wind of most sites asks for a stronger post: the check says which.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.PostWall }},
	{Key: RuleGuideLean, Group: "Strength", Name: "Height of the rollers over the movement they may make",
		Dimension: text.Ratio, Default: 50, Low: 20, High: 500,
		Why:    "The leaf leans with its rollers, and its wheels must stay on the track. In the wind of the site, not in every day's.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.GuideLean }},
	{Key: RuleGatePostWall, Group: "Strength", Name: "Gate post of steel, wall of the section", Dimension: text.Length,
		Default: 3, Low: 1.5, High: 12,
		Why: "Knock on it and look at the cap: thinner ones are sold.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.GatePostWall }},
	{Key: RuleGatePostTimber, Group: "Strength", Name: "Gate post of timber, bending stress allowed",
		Dimension: text.Stress, Default: 5.7, Low: 2, High: 20,
		Why:    "Softwood of 16 MPa, outdoors and wet: 16 × 0.7 ÷ 1.3 ÷ 1.5.",
		Source: "EN 338 and EN 1995-1-1 (memory)", at: func(p *Practice) *float64 { return &p.GatePostTimber }},
	{Key: RuleStrengthYield, Group: "Strength", Name: "Yield strength of posts", Dimension: text.Stress, Default: 250,
		Low: 150, High: 500,
		Why: "Plain structural steel; many hollow sections have 350 MPa.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PostYield }},
	{Key: RuleStrengthSteelSafety, Group: "Strength", Name: "Safety on the yield of steel", Dimension: text.Ratio,
		Default: 1.67, Low: 1, High: 3,
		Why: "Allowable stress in bending.", Source: "AISC 360, Ω of flexure (memory)",
		at: func(p *Practice) *float64 { return &p.SteelSafety }},
	{Key: RuleSoilIsolatedPole, Group: "Strength", Name: "Ground at an isolated post holds more, by",
		Dimension: text.Ratio, Default: 2, Low: 1, High: 2.66,
		Why:    "Where half an inch of movement at the ground does no harm.",
		Source: "International Building Code 1806.3.4 (memory)", at: func(p *Practice) *float64 { return &p.IsolatedPole }},
	{Key: RuleSoilBears, Group: "Strength", Name: "Ground bears, over what the table says of its class",
		Dimension: text.Ratio, Default: 1, Low: 0.3, High: 3,
		Why:    "Under it, beside a post and against sliding. More only by a soils report.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SoilBears }},
	{Key: RuleAnchorArea, Group: "Strength", Name: "Stress area of one anchor in mm²", Dimension: text.Ratio,
		Default: 84.3, Low: 10, High: 1000,
		Why: "M12.", Source: "ISO 898-1, coarse thread M12: 84.3 mm² (memory)",
		at: func(p *Practice) *float64 { return &p.AnchorArea }},
	{Key: RuleAnchorInset, Group: "Strength", Name: "Anchor in from the edge of its plate", Dimension: text.Length,
		Default: 30, Low: 10, High: 100,
		Why: "Room for the washer and the drill.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.AnchorInset }},
	{Key: RuleAnchorKind, Group: "Strength", Name: "Anchors: rods in resin 0, sleeve or wedge anchors 1, bolts cast in 2",
		Dimension: text.Count, Default: AnchorResin, Low: 0, High: 2,
		Why: "Near an edge sleeve and wedge anchors split the concrete, and rods in resin do not.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.AnchorKind }},
	{Key: RuleAnchorDepth, Group: "Strength", Name: "Effective depth of an anchor", Dimension: text.Length,
		Default: 70, Low: 40, High: 635,
		Why:    "Two diameters of concrete stay under the drilled hole of an M12 in a pad of 100 mm. In the wind of most sites and at a hard stop that is little: the checks say how much is asked.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.AnchorDepth }},
	{Key: RuleAnchorClass, Group: "Strength", Name: "Strength class of anchors, such as 4.6 or 8.8",
		Dimension: text.Ratio, Default: 4.6, Low: 3.6, High: 12.9,
		Why: "The least that is sold. Stamped on the head, or written on the box.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.AnchorClass }},
	{Key: RuleAnchorBond, Group: "Strength", Name: "Bond of rods in resin, cracked concrete", Dimension: text.Stress,
		Default: 0, Low: 0, High: 30,
		Why:    "Characteristic, from the maker's approval, with that of uncracked concrete. 0 takes 1.4 MPa, the least that any approved resin has.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.AnchorBond }},
	{Key: RuleAnchorBondUncracked, Group: "Strength", Name: "Bond of rods in resin, uncracked concrete",
		Dimension: text.Stress, Default: 0, Low: 0, High: 40,
		Why: "Characteristic, from the maker's approval.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.AnchorBondUncracked }},
	{Key: RuleAnchorPullOut, Group: "Strength", Name: "Pull-out of sleeve or wedge anchors, cracked concrete",
		Dimension: text.Force, Default: 0, Low: 0, High: 1e6,
		Why: "Characteristic, from the maker's approval; 0 is not known.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.AnchorPullOut }},
	{Key: RulePadTipping, Group: "Strength", Name: "Safety against tipping of pad and strip", Dimension: text.Ratio,
		Default: 1.5, Low: 1, High: 3,
		Why:    "What their weight holds about an edge of their underside, over what the wind asks. Below 1 they tip.",
		Source: "International Building Code 1807.2.3, retaining walls: 1.5 (memory)",
		at:     func(p *Practice) *float64 { return &p.PadTipping }},
	{Key: RuleStopBuffer, Group: "Strength", Name: "Way over which a hard stop brings the leaf to rest",
		Dimension: text.Length, Default: 15, Low: 1, High: 200,
		Why: "How far its rubber gives way, a small one. A leaf pushed by hand at a brisk walk can lift a wheel at it: the check says which buffer would do.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StopBuffer }},
}
