package demo

import "pegpour/engine/survey"

// halfBuilt is a site in the middle of its job: pegged, poured and measured as poured,
// not yet handed over. The page testdata/example/BUILT.md works it out by hand.
func halfBuilt() Site {
	s := angledDrive()
	s.Site = survey.Site{Name: "Demo: half built", Address: "51 Sample Street", MeasuredBy: "Demo crew",
		Notes: "Poured and measured again: the steel is cut to what stands there. The hand-over is still to come."}
	s.Opening.Width = laser(3600)
	s.Gate.Cladding, s.Gate.Infill, s.Gate.OpenCatch = tape(0), survey.InfillUprights, survey.Yes
	s.Build = survey.Build{Pegs: pegsSet(), Casting: cast(), Poured: pouredAs()}
	ticks := map[string]bool{}
	for _, tick := range []string{"peg.1", "peg.2", "peg.3", "peg.4", "peg.5", "peg.6", "peg.7", "peg.8", "peg.9",
		"peg.10", "peg.11", "pour.services", "pour.diagonals", "pour.depth", "pour.hole", "pour.conduit.1", "pour.conduit.2",
		"pour.levels", "pour.supply", "pour.gear", "pour.holeFirst", "pour.plumb", "pour.rodded", "pour.track",
		"pour.pad", "pour.bystanders", "pour.cover"} {
		ticks[tick] = true
	}
	return Site{ID: "00000000-0000-4000-8000-000000000051", Survey: s, Ticks: ticks}
}

// pegsSet are two pegs that were taped: the end of the strip stands right, the outer
// corner of the pad too far along.
func pegsSet() survey.SetPegs {
	const end, corner = "strip#2", "pad#2"
	return survey.SetPegs{
		Pegs: []survey.SetPeg{
			{Mark: end, Name: "2", Along: tape(7721.4), Offset: tape(0)},
			{Mark: corner, Name: "6", Along: tape(4207.1), Offset: tape(400)},
		},
		Tapes: []survey.SetTape{
			{From: survey.SetLatch, To: end, Length: tape(7724)},
			{From: survey.SetRunBack, To: end, Length: tape(4126)},
			{From: survey.SetFence, To: end, Length: tape(0)},
			{From: survey.SetLatch, To: corner, Length: tape(4248)},
			{From: survey.SetRunBack, To: corner, Length: tape(746)},
			{From: survey.SetFence, To: corner, Length: tape(401)},
		},
	}
}

// cast is what was read of forms and depths, and the pour on a cool day in spring.
func cast() survey.Casting {
	return survey.Casting{
		Forms: survey.SetUp{Open: staff(1325), Close: staff(1326)},
		Tops: []survey.FormTop{
			{Part: survey.CastRunBack, Along: tape(3800), Down: staff(1325)},
			{Part: survey.CastRunBack, Along: tape(5700), Down: staff(1332)},
			{Part: survey.CastRunBack, Along: tape(7600), Down: staff(1323)},
		},
		Depths: []survey.DugDepth{
			{Part: survey.CastRunBack, Along: tape(4000), Depth: tape(105)},
			{Part: survey.CastRunBack, Along: tape(7600), Depth: tape(112)},
			{Part: survey.CastPad, Along: tape(4000), Out: tape(200), Depth: tape(120)},
			{Part: survey.CastHole, Along: tape(3934), Depth: tape(870)},
		},
		Pour: survey.Pour{Bags: survey.Measured(23, survey.ByTape), Began: "2026-04-14T08:30", Ended: "2026-04-14T11:30",
			Cement: survey.CementNormal, Warmth: estimate(12)},
	}
}

// pouredAs is what stood there three days later.
func pouredAs() survey.Poured {
	level := func(along, down float64) survey.PouredLevel {
		return survey.PouredLevel{Along: tape(along), Down: staff(down)}
	}
	return survey.Poured{
		SetUp: survey.SetUp{Open: staff(1410), Close: staff(1410)},
		Levels: []survey.PouredLevel{level(3700, 1413), level(4700, 1408), level(5700, 1412), level(6700, 1409),
			level(7600, 1415)},
		Opening: laser(3604), GuideAlong: tape(3750), GuideOut: tape(171), MotorAlong: tape(3984), PadDown: staff(1409),
		Room: laser(6896), Laid: survey.LaidPacked,
	}
}
