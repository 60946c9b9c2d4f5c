package engine

func rakedSite() Survey {
	s := squareSite()
	s.Gate.Guide = GuideCastIn
	s.Ground.Shape, s.Ground.Levels.Taken, s.Ground.Levels.Along = GroundSlopes, LevelsBySlopes, Measured(0.05, ByStaff)
	return s
}

func stackedSite() Survey {
	s := squareSite()
	s.Gate.Guide, s.Gate.Panels = GuideCastIn, PanelsTwo
	return s
}
