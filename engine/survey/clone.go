package survey

// Clone copies a survey so deeply that changing one never shows in the other.
func (s Survey) Clone() Survey {
	s.Drive.RunBackEdge.Points = append([]EdgePoint(nil), s.Drive.RunBackEdge.Points...)
	s.Drive.LatchEdge.Points = append([]EdgePoint(nil), s.Drive.LatchEdge.Points...)
	s.RunBack.Obstructions = append([]Obstruction(nil), s.RunBack.Obstructions...)
	s.Ground.Levels.Book = append([]BookRow(nil), s.Ground.Levels.Book...)
	s.Ground.Levels.Drops = append([]StringDrop(nil), s.Ground.Levels.Drops...)
	if o := s.Pair.Other; o != nil {
		own := *o
		s.Pair.Other = &own
	}
	s.Network = s.Network.clone()
	s.Build = s.Build.clone()
	s.Quote = s.Quote.clone()
	s.Stands = s.Stands.clone()
	return s
}
