package engine

const (
	sourceFit     = "weighted least squares through the drive's levels on the track line"
	sourceWindow  = "geometry of rack and pinion, and of water running off"
	sourcePrism   = "prismoidal rule over sections at every break of the ground"
	sourceRankine = "Rankine's earth pressure with backslope; safety as the International Building Code asks"
)

// explainGround lists the figures of grade, pad level, cavity and wall.
func (d *designed) explainGround(list *figureList) {
	p, l, plan := d.practice, d.layout, d.plan
	g := plan.Ground
	if !g.known() {
		return
	}
	t := &g.Track
	fields := []string{GroundLevelsTaken, GroundShape}
	put := func(f Figure) {
		if f.Fields == nil {
			f.Fields = fields
		}
		list.add(f)
	}
	how := say("one straight grade through {0} levels of the drive, carried on unchanged into the run-back", number(float64(t.Fitted)))
	if g.Taken == LevelsBySlopes {
		how = say("as it was read, carried on unchanged into the run-back; levels count from {0} at the latch post", mm(assumedDatum))
	}
	put(Figure{ID: FigureTrackGrade, Name: "Grade of the track along the fence", Dimension: Grade, Value: t.Grade, How: how, Source: sourceFit})
	put(Figure{ID: FigureTrackCrossFall, Name: "Cross-fall from the fence inwards", Dimension: Grade, Value: t.CrossFall, How: say("the drive's own, kept in the run-back"), Source: sourceFit})
	put(Figure{ID: FigureTrackStart, Name: "Level of the strip at the latch post", Dimension: Length, Value: t.Z0, How: how, Source: sourceFit})
	put(Figure{ID: FigureTrackEnd, Name: "Level of the strip at its end", Dimension: Length, Value: g.TrackLevel(l.stripEnd),
		How: say("{0} at the latch post + {1} along {2}", mm(t.Z0), percent(t.Grade), mm(l.stripEnd)), Source: sourceFit})
	if pad := g.Pad; pad != nil {
		rules := []string{RuleLeafRackHeight, RuleMotorPinionLeast, RuleMotorPinionUsual, RuleMotorPinionMost, RuleMotorPacker, RulePadFreeboard}
		put(Figure{ID: FigurePadLowest, Name: "Pad no lower than", Dimension: Length, Value: pad.Low, Rules: rules, Source: sourceWindow,
			How: say("the greater of {0} for the water (highest ground around it {1}) and {2} for the pinion", mm(pad.Water), mm(pad.HighGround), mm(pad.PinionLow))})
		put(Figure{ID: FigurePadHighest, Name: "Pad no higher than", Dimension: Length, Value: pad.High, Rules: rules, Source: sourceWindow,
			How: say("strip at the pinion {0} + rack {1} − packer {2} − pinion at its lowest {3}", mm(g.TrackLevel(l.pinion)), mm(p.RackHeight), mm(p.MotorPacker), mm(p.PinionLeast))})
		if pad.HasLevel {
			put(Figure{ID: FigurePadLevel, Name: "Level of the motor pad", Dimension: Length, Value: pad.Level, Rules: rules, Source: sourceWindow,
				How: say("inside the window from {0} to {1}, nearest the pinion's usual height: {2} above the motor's base", mm(pad.Low), mm(pad.High), mm(pad.Pinion))})
			put(Figure{ID: FigurePadStepNear, Name: "Pad above the strip where it starts", Dimension: Length, Value: pad.StepNear, How: say("pad {0} − strip along its back", mm(pad.Level)), Source: sourceGeometry})
			put(Figure{ID: FigurePadStepFar, Name: "Pad above the strip where it ends", Dimension: Length, Value: pad.StepFar, How: say("pad {0} − strip along its back", mm(pad.Level)), Source: sourceGeometry})
		}
	}
	if r := g.Rising; r != nil {
		put(Figure{ID: FigureCavityWidth, Name: "Cavity, width inside", Dimension: Length, Value: r.Width, Rules: []string{RuleCavityWidth, RuleCavityHandRoom},
			How: say("the greatest of {0}, the back of the motor and {1} for a hand, and the pad", mm(p.CavityWidth), mm(p.HandRoom))})
		put(Figure{ID: FigureCavityEnd, Name: "Cavity ends at chainage", Dimension: Length, Value: r.End, Rules: []string{RuleCavityEnd}, How: say("end of the strip, leaf and stop + {0}", mm(p.CavityEnd))})
		put(Figure{ID: FigureCavityFormation, Name: "Bottom of the dig under the strip's grade", Dimension: Length, Value: r.Formation, Rules: []string{RuleStripDepth, RuleStripBedding}, How: say("concrete {0} + bedding {1}", mm(l.footDepth), mm(p.StripBedding))})
		put(Figure{ID: FigureWallHeld, Name: "Most ground held back", Dimension: Length, Value: r.Highest, How: say("ground behind the wall − finished surface in front, at chainage {0}", mm(r.HighestAt)), Source: sourceGeometry})
		put(Figure{ID: FigureWallTallest, Name: "Tallest wall", Dimension: Length, Value: r.Tallest, Rules: []string{RuleWallFreeboard}, How: say("ground behind it + {0}, from the strip's surface", mm(p.WallFreeboard))})
		put(Figure{ID: FigureWallLength, Name: "Length of wall, side and end", Dimension: Length, Value: r.WallLength, How: say("along its middle"), Rules: []string{RuleWallThickness}, Source: sourceGeometry})
		put(Figure{ID: FigureWallFace, Name: "Face of the wall", Dimension: Area, Value: r.WallFace, How: say("its height summed along side and end"), Source: sourceGeometry})
		if s := r.Stability; s != nil && r.OfPosts && s.PostDepth > 0 {
			put(Figure{ID: FigureWallPostDepth, Name: "Posts of the wall, below the strip", Dimension: Length, Value: s.PostDepth, Rules: []string{RuleWallPostSpacing, RuleWallPostHole}, Source: sourceRankine,
				How: say("{0} push each post, {1} about the strip's surface", Arg{Value: s.PostForce, Dimension: Force}, Arg{Value: s.PostMoment, Dimension: Moment})})
		} else if s != nil && !r.OfPosts {
			put(Figure{ID: FigureWallBase, Name: "Width of the wall's base", Dimension: Length, Value: r.Base, Rules: []string{RuleWallBaseRatio, RuleWallBaseLeast, RuleWallFactorSliding, RuleWallFactorTurning}, Source: sourceRankine,
				How: say("coefficient {0}, thrust {1} on each metre: sliding {2}, overturning {3}", ratio(s.Ka), Arg{Value: s.Thrust * 1000, Dimension: Force}, ratio(s.Sliding), ratio(s.Turning))})
		}
		put(Figure{ID: FigureCutVolume, Name: "Cut for cavity and wall, in the bank", Dimension: Volume, Value: g.Cut, Rules: []string{RuleCutBatter, RuleWallBaseDepth}, Source: sourcePrism,
			How: say("{0} over slot and wall ({1} by surfaces), {2} in the batters, {3} for its base or posts", mm3(r.Core), mm3(r.SurfaceCore), mm3(r.Prismoidal-r.Core+r.EndBatter), mm3(r.BaseDig))})
	} else if g.Cut > 0 {
		put(Figure{ID: FigureCutVolume, Name: "Cut above the strip's grade, in the bank", Dimension: Volume, Value: g.Cut, How: say("ground above the track's plane over strip and pad"), Source: "difference of two surfaces over triangles"})
	}
}
