package engine

import (
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

const (
	sourceFit      = "weighted least squares through the drive's levels on the track line"
	sourceWindow   = "geometry of rack and pinion, and of water running off"
	sourcePrism    = "prismoidal rule over sections at every break of the ground"
	sourceWallPost = "statics of the pressure that International Building Code table 1806.2 presumes; AISC 360 allowable stress"
	sourceSleeper  = "statics: a beam from post to post; the grade's allowable stress"
	sourceStem     = "soil pressure on a cantilever; ACI 318 and EN 1992-1-1, the lesser in shear"
	sourceWater    = "hydrostatics, with Rankine's pressure of the ground in water"
	sourceRankine  = "Rankine's earth pressure with backslope, International Building Code table 1610.1 at the least; safety as that code asks"
)

// explainGround lists the figures of grade, pad level, cavity and wall.
func (d *designed) explainGround(list *figureList) {
	p, l, made := d.Practice, d.Layout, d.Plan
	g := made.Ground
	if !g.Known() {
		return
	}
	t := &g.Track
	fields := []string{survey.GroundLevelsTaken, survey.GroundShape}
	put := func(f plan.Figure) {
		if f.Fields == nil {
			f.Fields = fields
		}
		list.add(f)
	}
	how := text.Say("one straight grade through {0} levels of the drive, carried on unchanged into the run-back",
		text.Number(float64(t.Fitted)))
	if g.Taken == survey.LevelsBySlopes {
		how = text.Say("as it was read, carried on unchanged into the run-back; levels count from {0} at the latch post",
			text.MM(survey.AssumedDatum))
	}
	started := text.Name("Level of the strip at the latch post")
	ends := "{0} at the latch post + {1} along {2}"
	if d.Inputs.Meets {
		started, ends = "Level of the strip where the leaves meet", "{0} where the leaves meet + {1} along {2}"
		if g.Taken == survey.LevelsBySlopes {
			how = text.Say("as it was read, carried on unchanged into the run-back; levels count from {0} where the leaves meet",
				text.MM(survey.AssumedDatum))
		}
	}
	sure := func(how text.Text, sigma float64) text.Text {
		// As wherever it is said: within it 19 times in 20.
		return text.Say("{0}; give or take {1}", text.List(how), text.Percent(2*sigma))
	}
	across := text.Say("the drive's own, kept in the run-back")
	if !t.CrossFallKnown {
		across = text.Say("not known, and taken as none")
	}
	grade := plan.Figure{ID: plan.FigureTrackGrade, Name: "Grade of the track along the fence", Dimension: text.Grade,
		Value: t.Grade, How: sure(how, t.SigmaGrade), Source: sourceFit}
	if made.HangsFree() {
		grade.Name = "Fall of the drive along the fence"
		put(grade)
		d.explainRising(put)
		return
	}
	put(grade)
	put(plan.Figure{ID: plan.FigureTrackCrossFall, Name: "Cross-fall from the fence inwards", Dimension: text.Grade,
		Value: t.CrossFall, How: sure(across, t.SigmaCrossFall), Source: sourceFit})
	put(plan.Figure{ID: plan.FigureTrackStart, Name: started, Dimension: text.Length,
		Value: t.Z0, How: how, Source: sourceFit})
	put(plan.Figure{ID: plan.FigureTrackEnd, Name: "Level of the strip at its end", Dimension: text.Length,
		Value:  g.TrackLevel(l.StripEnd),
		How:    text.Say(ends, text.MM(t.Z0), text.Percent(t.Grade), text.MM(l.StripEnd)),
		Source: sourceFit})
	if pad := g.Pad; pad != nil {
		rules := []string{practice.RuleLeafRackHeight, practice.RuleMotorPinionLeast, practice.RuleMotorPinionUsual,
			practice.RuleMotorPinionMost, practice.RuleMotorPacker, practice.RulePadFreeboard}
		put(plan.Figure{ID: plan.FigurePadLowest, Name: "Pad no lower than", Dimension: text.Length, Value: pad.Low,
			Rules: rules, Source: sourceWindow,
			How: text.Say("the greater of {0} for the water (highest ground around it {1}) and {2} for the pinion",
				text.MM(pad.Water), text.MM(pad.HighGround), text.MM(pad.PinionLow))})
		put(plan.Figure{ID: plan.FigurePadHighest, Name: "Pad no higher than", Dimension: text.Length, Value: pad.High,
			Rules: rules, Source: sourceWindow,
			How: text.Say("strip at the pinion {0} + rack {1} − packer {2} − pinion at its lowest {3}",
				text.MM(g.TrackLevel(l.Pinion)), text.MM(p.RackHeight), text.MM(p.MotorPacker), text.MM(p.PinionLeast))})
		if pad.HasLevel {
			put(plan.Figure{ID: plan.FigurePadLevel, Name: "Level of the motor pad", Dimension: text.Length, Value: pad.Level,
				Rules: rules, Source: sourceWindow,
				How: text.Say("inside the window from {0} to {1}, nearest the pinion's usual height: {2} above the motor's base",
					text.MM(pad.Low), text.MM(pad.High), text.MM(pad.Pinion))})
			put(plan.Figure{ID: plan.FigurePadStepNear, Name: "Pad above the strip where it starts", Dimension: text.Length,
				Value: pad.StepNear, How: text.Say("pad {0} − strip along its back", text.MM(pad.Level)), Source: sourceGeometry})
			put(plan.Figure{ID: plan.FigurePadStepFar, Name: "Pad above the strip where it ends", Dimension: text.Length,
				Value: pad.StepFar, How: text.Say("pad {0} − strip along its back", text.MM(pad.Level)), Source: sourceGeometry})
		}
	}
	d.explainRising(put)
}

// explainRising gives the figures of cavity and wall.
func (d *designed) explainRising(put func(plan.Figure)) {
	p, l, g := d.Practice, d.Layout, d.Plan.Ground
	if r := g.Rising; r != nil {
		put(plan.Figure{ID: plan.FigureCavityWidth, Name: "Cavity, width inside", Dimension: text.Length, Value: r.Width,
			Rules: []string{practice.RuleCavityWidth, practice.RuleCavityHandRoom},
			How: text.Say("the greatest of {0}, the back of the motor and {1} for a hand, and the pad", text.MM(p.CavityWidth),
				text.MM(p.HandRoom))})
		put(plan.Figure{ID: plan.FigureCavityEnd, Name: "Cavity ends at chainage", Dimension: text.Length, Value: r.End,
			Rules: []string{practice.RuleCavityEnd},
			How: text.Say(d.on("end of the strip, leaf and stop + {0}",
				"end of the open leaf + {0}"), text.MM(p.CavityEnd))})
		put(plan.Figure{ID: plan.FigureCavityFormation, Name: text.Name(d.on("Bottom of the dig under the strip's grade", "Bottom of the dig under the floor of the cavity")),
			Dimension: text.Length, Value: r.Formation, Rules: []string{practice.RuleStripDepth, practice.RuleStripBedding},
			How: text.Say("concrete {0} + bedding {1}", text.MM(l.FootDepth), text.MM(p.StripBedding))})
		put(plan.Figure{ID: plan.FigureWallHeld, Name: "Most ground held back", Dimension: text.Length, Value: r.Highest,
			How:    text.Say("ground behind the wall − finished surface in front, at chainage {0}", text.MM(r.HighestAt)),
			Source: sourceGeometry})
		put(plan.Figure{ID: plan.FigureWallTallest, Name: "Tallest wall", Dimension: text.Length, Value: r.Tallest,
			Rules: []string{practice.RuleWallFreeboard},
			How: text.Say(d.on("ground behind it + {0}, from the strip's surface",
				"ground behind it + {0}, from the floor of the cavity"), text.MM(p.WallFreeboard))})
		put(plan.Figure{ID: plan.FigureWallLength, Name: "Length of wall, side and end", Dimension: text.Length,
			Value: r.WallLength, How: text.Say("along its middle"), Rules: []string{practice.RuleWallThickness},
			Source: sourceGeometry})
		put(plan.Figure{ID: plan.FigureWallFace, Name: "Face of the wall", Dimension: text.Area, Value: r.WallFace,
			How: text.Say("its height summed along side and end"), Source: sourceGeometry})
		if s := r.Stability; s != nil && r.OfPosts && s.PostDepth > 0 {
			put(plan.Figure{ID: plan.FigureWallPostDepth, Name: text.Name(d.on("Posts of the wall, below the strip", "Posts of the wall, below the floor of the cavity")), Dimension: text.Length,
				Value: s.PostDepth, Rules: []string{practice.RuleWallPostSpacing, practice.RuleWallPostHole}, Source: sourceRankine,
				How: text.Say(d.on("{0} push each post, {1} about the strip's surface",
					"{0} push each post, {1} about the floor of the cavity"),
					text.Arg{Value: s.PostForce, Dimension: text.Force}, text.Arg{Value: s.PostMoment, Dimension: text.Moment})})
		} else if s != nil && !r.OfPosts {
			put(plan.Figure{ID: plan.FigureWallBase, Name: "Width of the wall's base", Dimension: text.Length, Value: r.Base,
				Rules: []string{practice.RuleWallBaseRatio, practice.RuleWallBaseLeast, practice.RuleWallFactorSliding,
					practice.RuleWallFactorTurning}, Source: sourceRankine,
				How: text.Say("coefficient {0}, thrust {1} on each metre: sliding {2}, overturning {3}", text.Plain(s.Ka),
					text.Arg{Value: s.Thrust * 1000, Dimension: text.Force}, text.Plain(s.Sliding), text.Plain(s.Turning))})
		}
		if s := r.Stability; s != nil && s.Presumed && s.Thrust > 0 {
			explainWall(put, r, p)
		}
		put(plan.Figure{ID: plan.FigureCutVolume, Name: "Cut for cavity and wall, in the bank", Dimension: text.Volume,
			Value: g.Cut, Rules: []string{practice.RuleCutBatter, practice.RuleWallBaseDepth}, Source: sourcePrism,
			How: text.Say("{0} over slot and wall ({1} by surfaces), {2} in the batters, {3} for its base or posts",
				text.CubicMM(r.Core), text.CubicMM(r.SurfaceCore), text.CubicMM(r.Prismoidal-r.Core+r.EndBatter),
				text.CubicMM(r.BaseDig))})
	} else if g.Cut > 0 {
		put(plan.Figure{ID: plan.FigureCutVolume, Name: text.Name(d.on("Cut above the strip's grade, in the bank", "Cut above the drive's grade, in the bank")), Dimension: text.Volume,
			Value: g.Cut, How: text.Say(d.on("ground above the track's plane over strip and pad",
				"ground above the drive's plane carried on, over the block")),
			Source: "difference of two surfaces over triangles"})
	}
}

// explainWall gives how hard the parts of a wall are used, and what is left of its
// safety with its drain blocked.
func explainWall(put func(plan.Figure), r *plan.Rising, p *practice.Practice) {
	s := r.Stability
	if r.OfPosts {
		put(plan.Figure{ID: plan.FigureWallPost, Name: "Post of the wall: part of what it may take",
			Dimension: text.Use, Value: s.PostUse, Source: sourceWallPost,
			Rules: []string{practice.RuleWallPostModulus, practice.RuleWallPostSpacing, practice.RuleStrengthYield,
				practice.RuleStrengthSteelSafety},
			How: text.Say("{0} where the ground has pushed back all of it, in a section modulus of {1} cm³, {2} ÷ {3}",
				text.NewtonMillimetres(s.PostBending), text.Plain(p.WallPostModulus), text.Megapascals(p.PostYield), text.Plain(p.SteelSafety))})
		put(plan.Figure{ID: plan.FigureWallSleeper, Name: "Lowest sleeper of the wall: part of what it may take",
			Dimension: text.Use, Value: s.SleeperUse, Source: sourceSleeper,
			Rules: []string{practice.RuleWallSleeperBoard, practice.RuleWallSleeperStress, practice.RuleWallPostSpacing},
			How: text.Say("the push at the foot of the wall on a sleeper {0} thick over {1}, of {2}", text.MM(p.SleeperBoard),
				text.MM(p.WallPostSpacing), text.Megapascals(p.SleeperStress))})
	} else {
		put(plan.Figure{ID: plan.FigureWallStem, Name: "Stem of the wall: part of what it may take",
			Dimension: text.Use, Value: s.StemUse, Source: sourceStem,
			Rules: []string{practice.RuleWallStemBar, practice.RuleWallStemSpacing, practice.RuleWallStemDepth,
				practice.RuleWallStemStrength, practice.RuleMeshYield, practice.RuleWallFactorEarth},
			How: text.Say("{0} × {1} and {2} on each metre at its foot; bars of {3} every {4}", text.Plain(p.EarthFactor),
				text.NewtonMillimetres(s.StemMoment*1000), text.Newtons(s.StemShear*1000), text.MM(p.StemBar), text.MM(p.StemSpacing))})
	}
	put(plan.Figure{ID: plan.FigureWallBlocked, Name: "Wall's safety with its drain blocked", Dimension: text.Ratio,
		Value: s.Blocked, Rules: []string{practice.RuleWallFactorBlocked}, Source: sourceWater,
		How: text.Say("water to the top of the ground behind it, and under its base")})
}
