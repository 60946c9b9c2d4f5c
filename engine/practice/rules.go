package practice

import (
	"slices"

	"pegpour/engine/text"
)

// ruleTable is the one table of the trade's numbers, topic by topic. It is never
// written to. "Minimum" marks what the trade holds as a least size.
var ruleTable = slices.Concat(placingRules, uncertaintyRules, StrengthRules, stripRules, sectionRules, optionsRules, adviceRules,
	groundRules,
	leafRules, hangingRules, networkRules, castingRules, pegRules, learnedRules, quoteRules, pairRules)

// The keys of the rules of placing, concrete, prices and readings, as documents
// hold them.
const (
	RuleStripWidth              = "strip.width"
	RuleStripDepth              = "strip.depth"
	RuleStripStopExtra          = "strip.stopExtra"
	RuleTrackOffset             = "track.offset"
	RuleDriveStripWidth         = "drive.stripWidth"
	RuleDriveStripDepth         = "drive.stripDepth"
	RuleDriveCrownRise          = "drive.crownRise"
	RuleDrivePaverBedding       = "drive.paverBedding"
	RulePadAlong                = "pad.along"
	RulePadOut                  = "pad.out"
	RulePadMargin               = "pad.margin"
	RuleGuideSetback            = "guide.setback"
	RuleGuidePostSize           = "guide.postSize"
	RuleGuideHoleSize           = "guide.holeSize"
	RuleGuideHoleDepth          = "guide.holeDepth"
	RuleGuideHoleBy             = "guide.holeBy"
	RuleGuidePlateSize          = "guide.plateSize"
	RuleGuidePlateMargin        = "guide.plateMargin"
	RuleMotorGap                = "motor.gap"
	RuleGuideBracketOffset      = "guide.bracketOffset"
	RuleOutletPostSize          = "outlet.postSize"
	RuleMotorLength             = "motor.length"
	RuleMotorWidth              = "motor.width"
	RuleMotorFront              = "motor.front"
	RulePlaceEdgeGap            = "place.edgeGap"
	RuleLeafThickness           = "leaf.thickness"
	RuleLeafHeight              = "leaf.height"
	RuleLeafOverlapLatch        = "leaf.overlapLatch"
	RuleLeafOverlapRunBack      = "leaf.overlapRunBack"
	RuleLeafOpenClearance       = "leaf.openClearance"
	RuleLeafWheelInset          = "leaf.wheelInset"
	RuleLeafEngagement          = "leaf.engagement"
	RuleGuideRollerSpacing      = "guide.rollerSpacing"
	RuleLeafStopAllowance       = "leaf.stopAllowance"
	RulePostSize                = "post.size"
	RuleClearObstruction        = "clear.obstruction"
	RuleGroundSoftDepth         = "ground.softDepth"
	RuleDigSwell                = "dig.swell"
	RuleDigTrailerLoad          = "dig.trailerLoad"
	RuleDigTrailerPayload       = "dig.trailerPayload"
	RuleConcreteWaste           = "concrete.waste"
	RuleConcreteBagMass         = "concrete.bagMass"
	RuleConcreteBagYield        = "concrete.bagYield"
	RuleConcreteMixerBatch      = "concrete.mixerBatch"
	RuleConcreteReadyMixMinimum = "concrete.readyMixMinimum"
	RuleMeshWidth               = "mesh.width"
	RuleMeshSheet               = "mesh.sheet"
	RuleMeshLap                 = "mesh.lap"
	RuleMeshCover               = "mesh.cover"
	RuleTrackFixingSpacing      = "track.fixingSpacing"
	RuleFixingMotor             = "fixing.motor"
	RuleFixingPlate             = "fixing.plate"
	RuleFixingStop              = "fixing.stop"
	RuleConduitBeyond           = "conduit.beyond"
	RuleConduitUpstand          = "conduit.upstand"
	RuleSigmaTape               = "sure.tape"
	RuleSigmaLaser              = "sure.laser"
	RuleSigmaStaff              = "sure.staff"
	RuleSigmaString             = "sure.string"
	RuleSigmaPhone              = "sure.phone"
	RuleSigmaPhoneAngle         = "sure.phoneAngle"
	RuleSigmaNetwork            = "sure.network"
	RuleSigmaEstimate           = "sure.estimate"
	RuleRateBag                 = "rate.bag"
	RuleRateReadyMix            = "rate.readyMix"
	RuleRateDig                 = "rate.dig"
	RuleRateSpoil               = "rate.spoil"
	RuleRateMesh                = "rate.mesh"
	RuleRateTrack               = "rate.track"
	RuleRateFixing              = "rate.fixing"
	RuleRateCut                 = "rate.cut"
	RuleRateConduit             = "rate.conduit"
	RuleRateTint                = "rate.tint"
	RuleRateFormwork            = "rate.formwork"
)

// placingRules are those of set-out, concrete and supply.
var placingRules = []Rule{
	{Key: RuleStripWidth, Group: "Run-back strip", Name: "Strip width", Dimension: text.Length, Default: 200, Low: 100,
		High: 1000, Minimum: true,
		Why: "Room for the track, its fixings and an edge on either side.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StripWidth }},
	{Key: RuleStripDepth, Group: "Run-back strip", Name: "Strip and pad depth on firm ground", Dimension: text.Length,
		Default: 100, Low: 50, High: 1000, Minimum: true,
		Why: "Only the leaf rolls there; firm ground carries it. No vehicle may cross it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StripDepth }},
	{Key: RuleStripStopExtra, Group: "Run-back strip", Name: "Extra strip for a hard stop", Dimension: text.Length,
		Default: 400, Low: 100, High: 2000, Minimum: true,
		Why: "The stop is bolted beyond the open leaf, with concrete behind it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StripStopExtra }},
	{Key: RuleTrackOffset, Group: "Run-back strip", Name: "Track from the back of the posts", Dimension: text.Length,
		Default: 100, Low: 40, High: 500,
		Why: "The middle of the strip. Cladding on the front of the leaf is added to it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.TrackOffset }},

	{Key: RuleDriveStripWidth, Group: "Drive strip", Name: "Strip width where vehicles cross", Dimension: text.Length,
		Default: 300, Low: 150, High: 1500, Minimum: true,
		Why: "Wheels cross it; a narrow strip rocks and cracks. Beside a joint, under vans and lorries and on soft ground it takes more: the check says how much.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.DriveStripWidth }},
	{Key: RuleDriveStripDepth, Group: "Drive strip", Name: "Strip depth where vehicles cross", Dimension: text.Length,
		Default: 150, Low: 75, High: 1000, Minimum: true,
		Why: "With trench mesh, for cars on firm ground. Beside a joint, under vans and lorries and on soft ground it takes more: the check says how much.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.DriveStripDepth }},
	{Key: RuleDriveCrownRise, Group: "Drive strip", Name: "Crown of a strip in gravel", Dimension: text.Length,
		Default: 20, Low: 0, High: 60,
		Why: "Higher in the middle, so that stones roll off the track.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.CrownRise }},
	{Key: RuleDrivePaverBedding, Group: "Drive strip", Name: "Bedding under pavers glued on top", Dimension: text.Length,
		Default: 5, Low: 0, High: 50,
		Why: "Adhesive between the new concrete and the pavers put back.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PaverBedding }},

	{Key: RulePadAlong, Group: "Motor pad", Name: "Pad along the fence", Dimension: text.Length, Default: 400, Low: 200,
		High: 3000, Minimum: true,
		Why: "From the driveway edge, at every offset. Enough for the motor; a guide post on a base plate asks for far more weight: the check says how much.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PadAlong }},
	{Key: RulePadOut, Group: "Motor pad", Name: "Pad out from the back of the fence", Dimension: text.Length,
		Default: 400, Low: 200, High: 3000, Minimum: true,
		Why: "Strip and motor base together. Enough for the motor; a guide post on a base plate asks for far more weight: the check says how much.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.PadOut }},
	{Key: RulePadMargin, Group: "Motor pad", Name: "Concrete beyond the motor", Dimension: text.Length, Default: 50,
		Low: 0, High: 500,
		Why: "Keeps the fixings away from the edge of the pad.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PadMargin }},

	{Key: RuleGuideSetback, Group: "Guide post", Name: "Guide post back from the fence", Dimension: text.Length,
		Default: 170, Low: 80, High: 1000, Minimum: true,
		Why: "The leaf passes between fence and post. Cladding on the front of the leaf is added.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.GuideSetback }},
	{Key: RuleGuidePostSize, Group: "Guide post", Name: "Guide post section", Dimension: text.Length, Default: 65,
		Low: 40, High: 200,
		Why: "Square hollow section of the trade. The wind of most sites asks for more: the check says how much.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.GuidePostSize }},
	{Key: RuleGuideHoleSize, Group: "Guide post", Name: "Guide post hole, square", Dimension: text.Length, Default: 300,
		Low: 150, High: 1000,
		Why: "A spade's width; concrete all round the post. The wind of many sites asks for a deeper hole than hands can dig, or for a wider one: the check says which.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.GuideHoleSize }},
	{Key: RuleGuideHoleDepth, Group: "Guide post", Name: "Guide post hole depth on firm ground", Dimension: text.Length,
		Default: 500, Low: 300, High: 2500, Minimum: true,
		Why: "From where firm ground begins, at most the top of the pad, to the bottom of the hole: the least. For most leaves the wind asks for more, which is then dug.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.GuideHoleDepth }},
	{Key: RuleGuideHoleBy, Group: "Guide post", Name: "Guide post hole by strength 1, by the trade's depth alone 0",
		Dimension: text.Count, Default: 1, Low: 0, High: 1,
		Why:    "By strength the greater of the trade's depth and what the wind asks for is dug. With 0 the shop answers for its own depth, and drawings and sheets say so.",
		Source: CommonPractice,
		at:     func(p *Practice) *float64 { return &p.GuideHoleBy }},
	{Key: RuleGuidePlateSize, Group: "Guide post", Name: "Base plate, square", Dimension: text.Length, Default: 200,
		Low: 100, High: 500,
		Why: "For a guide post bolted down with anchors. On a pad of 400 the wind of most sites tips pad and strip: the check says by how much.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PlateSize }},
	{Key: RuleGuidePlateMargin, Group: "Guide post", Name: "Concrete beyond the base plate", Dimension: text.Length,
		Default: 75, Low: 20, High: 500,
		Why: "Anchors near an edge break it out.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PlateMargin }},
	{Key: RuleMotorGap, Group: "Motor", Name: "Gap between motor and posts", Dimension: text.Length, Default: 40, Low: 0,
		High: 500,
		Why:  "The cover of the motor must come off.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.MotorGap }},

	{Key: RuleGuideBracketOffset, Group: "Guide post", Name: "Rollers beyond the middle of the guide post",
		Dimension: text.Length, Default: 60, Low: -300, High: 500,
		Why: "So that the front of the open leaf is still in the rollers.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.BracketOffset }},
	{Key: RuleOutletPostSize, Group: "Motor", Name: "Outlet post section", Dimension: text.Length, Default: 50, Low: 20,
		High: 200,
		Why:  "A small post beside the motor, never the fence.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.OutletPostSize }},
	{Key: RuleMotorLength, Group: "Motor", Name: "Motor base along the fence", Dimension: text.Length, Default: 260,
		Low: 100, High: 1000,
		Why: "Measure the motor you fit.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MotorLength }},
	{Key: RuleMotorWidth, Group: "Motor", Name: "Motor base out from the fence", Dimension: text.Length, Default: 180,
		Low: 80, High: 1000,
		Why: "Measure the motor you fit.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MotorWidth }},
	{Key: RuleMotorFront, Group: "Motor", Name: "Motor base from the back of the fence", Dimension: text.Length,
		Default: 170, Low: 80, High: 1000,
		Why:    "So that the pinion sits under the rack on the back of the leaf. Cladding on the front of the leaf is added.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MotorFront }},
	{Key: RulePlaceEdgeGap, Group: "Motor", Name: "Gap between driveway edge and post or motor", Dimension: text.Length,
		Default: 0, Low: 0, High: 1000,
		Why: "Touching the edge keeps the guide rail and tail short.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.EdgeGap }},

	{Key: RuleLeafThickness, Group: "Leaf", Name: "Leaf frame thickness", Dimension: text.Length, Default: 50, Low: 20,
		High: 200,
		Why:  "The frame's section. In a storm a leaf that lies close asks more of it: the check says how much.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.LeafThickness }},
	{Key: RuleLeafHeight, Group: "Leaf", Name: "Leaf height when not measured", Dimension: text.Length, Default: 1800,
		Low: 600, High: 3500,
		Why: "A usual front fence.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.LeafHeight }},
	{Key: RuleLeafOverlapLatch, Group: "Leaf", Name: "Overlap at the latch post", Dimension: text.Length, Default: 50,
		Low: 0, High: 500,
		Why: "No gap to see or reach through.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.OverlapLatch }},
	{Key: RuleLeafOverlapRunBack, Group: "Leaf", Name: "Overlap at the run-back post", Dimension: text.Length,
		Default: 50, Low: 0, High: 500,
		Why: "The tail of the shut leaf stays behind the post.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.OverlapRunBack }},
	{Key: RuleLeafOpenClearance, Group: "Leaf", Name: "Open leaf clear of the opening", Dimension: text.Length,
		Default: 0, Low: 0, High: 500,
		Why: "0: the open leaf ends flush with the run-back post.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.OpenClearance }},
	{Key: RuleLeafWheelInset, Group: "Leaf", Name: "Wheel in from each end of the leaf", Dimension: text.Length,
		Default: 300, Low: 60, High: 2000,
		Why: "Both wheels stay on the strip when the leaf is open. A short leaf can tip over them: the check says so.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.WheelInset }},
	{Key: RuleLeafEngagement, Group: "Leaf", Name: "Rack and rail past pinion and rollers", Dimension: text.Length,
		Default: 30, Low: 0, High: 500,
		Why: "The pinion must never reach the end of the rack, nor a roller the end of its rail.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.EngagementMargin }},
	{Key: RuleGuideRollerSpacing, Group: "Guide post", Name: "Between the guide rollers", Dimension: text.Length,
		Default: 60, Low: 0, High: 1000,
		Why: "Two pairs on one bracket.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.RollerSpacing }},
	{Key: RuleLeafStopAllowance, Group: "Leaf", Name: "Hard stop beyond the open leaf", Dimension: text.Length,
		Default: 60, Low: 0, High: 1000,
		Why: "The stop itself and its buffer.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StopAllowance }},
	{Key: RulePostSize, Group: "Leaf", Name: "Gate post when not measured", Dimension: text.Length, Default: 100, Low: 40,
		High: 1000,
		Why:  "For the drawing, and for a bracket on the gate post.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PostSize }},

	{Key: RuleClearObstruction, Group: "Ground", Name: "Clear of anything in the way", Dimension: text.Length,
		Default: 100, Low: 0, High: 2000,
		Why: "Room to dig and to form. Owners of services ask for more: ask them.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.ObstructionClearance }},
	{Key: RuleGroundSoftDepth, Group: "Ground", Name: "Depth to firm in soft or wet ground, when not dug",
		Dimension: text.Length, Default: 300, Low: 100, High: 2000,
		Why: "A guess to start from: dig a hole at the motor and measure.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.SoftDepth }},
	{Key: RuleDigSwell, Group: "Ground", Name: "Loose spoil over bank volume", Dimension: text.Ratio, Default: 1.25,
		Low: 1, High: 2,
		Why:    "Dug ground bulks up: 1.25 is the usual figure for common earth.",
		Source: "earthwork handbooks give 1.2 to 1.3 for common earth (memory)",
		at:     func(p *Practice) *float64 { return &p.Swell }},
	{Key: RuleDigTrailerLoad, Group: "Ground", Name: "Loose spoil in one trailer load", Dimension: text.Volume,
		Default: 0.75e9, Low: 0.05e9, High: 20e9,
		Why: "A single-axle tipping trailer, not heaped.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.TrailerLoad }},
	{Key: RuleDigTrailerPayload, Group: "Ground", Name: "Payload of the trailer", Dimension: text.Mass,
		Default: 750, Low: 100, High: 30000,
		Why: "What a braked single-axle trailer of some 1.1 t in all may carry; heaped or wet, earth is heavier than " +
			"its box is large. Its plate says: the greatest mass less its own. A small truck carries 3 t.",
		Source: CommonPractice,
		at:     func(p *Practice) *float64 { return &p.TrailerPayload }},

	{Key: RuleConcreteWaste, Group: "Concrete", Name: "Concrete ordered beyond the sum", Dimension: text.Ratio,
		Default: 0.10, Low: 0, High: 0.5,
		Why: "Rough trench sides and what stays in the barrow.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.ConcreteWaste }},
	{Key: RuleConcreteBagMass, Group: "Concrete", Name: "Bag of dry mix", Dimension: text.Mass, Default: 20, Low: 5,
		High: 50,
		Why:  "What one person lifts all day.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.BagMass }},
	{Key: RuleConcreteBagYield, Group: "Concrete", Name: "Mixed concrete from one bag", Dimension: text.Volume,
		Default: 9e6, Low: 1e6, High: 50e6,
		Why:    "About 9 litres from 20 kg; the bag says its own.",
		Source: "packaged mixes yield close to 0.45 litres for each kg (published 60 lb bag: 0.45 ft³, memory)",
		at:     func(p *Practice) *float64 { return &p.BagYield }},
	{Key: RuleConcreteMixerBatch, Group: "Concrete", Name: "One batch of the site mixer", Dimension: text.Volume,
		Default: 70e6, Low: 10e6, High: 1000e6,
		Why: "What a small tilting mixer turns out at once.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.MixerBatch }},
	{Key: RuleConcreteReadyMixMinimum, Group: "Concrete", Name: "Ready-mix minimum load", Dimension: text.Volume,
		Default: 1e9, Low: 0, High: 10e9,
		Why: "Below it the truck costs the same: mix on site.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.ReadyMixMinimum }},

	{Key: RuleMeshWidth, Group: "Steel in concrete", Name: "Trench mesh width", Dimension: text.Length, Default: 200,
		Low: 50, High: 1000,
		Why: "Narrower than the strip by the cover on both sides.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.MeshWidth }},
	{Key: RuleMeshSheet, Group: "Steel in concrete", Name: "Trench mesh stock length", Dimension: text.Length,
		Default: 6000, Low: 1000, High: 12000,
		Why: "As the merchant sells it.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MeshSheet }},
	{Key: RuleMeshLap, Group: "Steel in concrete", Name: "Lap of trench mesh", Dimension: text.Length, Default: 500,
		Low: 100, High: 1500,
		Why: "Where two lengths join.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MeshLap }},
	{Key: RuleMeshCover, Group: "Steel in concrete", Name: "Concrete over the mesh ends and sides",
		Dimension: text.Length, Default: 50, Low: 20, High: 100,
		Why: "On blinding or a sheet. Poured on bare earth it is too little: the check says so.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.MeshCover }},
	{Key: RuleTrackFixingSpacing, Group: "Steel in concrete", Name: "Between the track's fixings", Dimension: text.Length,
		Default: 500, Low: 100, High: 2000,
		Why: "One at each end as well.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.FixingSpacing }},

	{Key: RuleFixingMotor, Group: "Steel in concrete", Name: "Anchors under the motor", Dimension: text.Count, Default: 4,
		Low: 2, High: 12,
		Why: "One at each corner of the base.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.MotorAnchors }},
	{Key: RuleFixingPlate, Group: "Steel in concrete", Name: "Anchors under a base plate", Dimension: text.Count,
		Default: 4, Low: 2, High: 12,
		Why: "One at each corner of the plate.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PlateAnchors }},
	{Key: RuleFixingStop, Group: "Steel in concrete", Name: "Anchors of the hard stop", Dimension: text.Count, Default: 2,
		Low: 1, High: 8,
		Why: "Through its foot. A small buffer pulls hard at them: the plan says what each must hold.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StopAnchors }},
	{Key: RuleConduitBeyond, Group: "Motor", Name: "Conduit beyond the pad", Dimension: text.Length, Default: 300, Low: 0,
		High: 50000,
		Why:  "To join on to the run from the house.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.ConduitBeyond }},
	{Key: RuleConduitUpstand, Group: "Motor", Name: "Conduit standing up in the motor", Dimension: text.Length,
		Default: 150, Low: 0, High: 1000,
		Why: "Above the pad, cut back later.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.ConduitUpstand }},

	{Key: RuleSigmaTape, Group: "How sure", Name: "Tape reading, standard uncertainty", Dimension: text.Length,
		Default: 3, Low: 0.1, High: 50,
		Why: "Hook, sag and reading together.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.SigmaTape }},
	{Key: RuleSigmaLaser, Group: "How sure", Name: "Laser reading, standard uncertainty", Dimension: text.Length,
		Default: 2, Low: 0.1, High: 50,
		Why: "The instrument's own 1.5 mm and the aim.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.SigmaLaser }},
	{Key: RuleSigmaStaff, Group: "How sure", Name: "Staff reading, standard uncertainty", Dimension: text.Length,
		Default: 2, Low: 0.1, High: 50,
		Why: "A staff read at short range.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SigmaStaff }},
	{Key: RuleSigmaString, Group: "How sure", Name: "String line reading, standard uncertainty", Dimension: text.Length,
		Default: 4, Low: 0.1, High: 50,
		Why: "The string sags a little.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SigmaString }},
	{Key: RuleSigmaPhone, Group: "How sure", Name: "Length read with the phone, standard uncertainty",
		Dimension: text.Length, Default: 15, Low: 0.1, High: 500,
		Why: "Off a picture, not off a tape.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.SigmaPhone }},
	{Key: RuleSigmaPhoneAngle, Group: "How sure", Name: "Angle read with the phone, standard uncertainty",
		Dimension: text.AngleOf, Default: 0.005236, Low: 0.0001, High: 0.2,
		Why: "0.3 degrees.", Source: "Q. Mourcou et al., Sensors 15(9), 2015: static RMS error of several phones under 0.3°",
		at: func(p *Practice) *float64 { return &p.SigmaPhoneAngle }},
	{Key: RuleSigmaNetwork, Group: "How sure", Name: "Taped network, when it gives none of its own",
		Dimension: text.Length, Default: 5, Low: 0.1, High: 50,
		Why: "Two or three tapes together.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SigmaNet }},
	{Key: RuleSigmaEstimate, Group: "How sure", Name: "Estimate by eye, standard uncertainty", Dimension: text.Length,
		Default: 50, Low: 1, High: 2000,
		Why: "Paced or guessed.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.SigmaGuess }},

	{Key: RuleRateBag, Group: "Rates", Name: "One bag of dry mix", Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateBag }},
	{Key: RuleRateReadyMix, Group: "Rates", Name: "One cubic metre of ready-mix", Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateReadyMix }},
	{Key: RuleRateDig, Group: "Rates", Name: "Digging one cubic metre in the bank", Dimension: text.Money, Low: 0,
		High: 1e6,
		Why:  "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateDig }},
	{Key: RuleRateSpoil, Group: "Rates", Name: "Taking away one trailer load", Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateSpoil }},
	{Key: RuleRateMesh, Group: "Rates", Name: "One length of trench mesh", Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateMesh }},
	{Key: RuleRateTrack, Group: "Rates", Name: "One metre of track", Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateTrack }},
	{Key: RuleRateFixing, Group: "Rates", Name: "One fixing or sleeve anchor", Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateFixing }},
	{Key: RuleRateCut, Group: "Rates", Name: "Saw-cutting one metre", Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateCut }},
	{Key: RuleRateConduit, Group: "Rates", Name: "One metre of conduit", Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateConduit }},
	{Key: RuleRateTint, Group: "Rates", Name: "Tint for one cubic metre", Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateTint }},
	{Key: RuleRateFormwork, Group: "Rates", Name: "One metre of edge form", Dimension: text.Money, Low: 0, High: 1e6,
		Why: "Yours; 0 leaves it out of the price.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RateForm }},
}
