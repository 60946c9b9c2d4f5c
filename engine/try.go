package engine

import "strings"

// Try designs with a remedy's changes and reports whether the check it belongs
// to no longer stands as it did: gone, sound, or with no margin missing.
// Changes to what cannot be changed leave the plan as it was and clear nothing.
func Try(s Survey, p Practice, c Check, r Remedy) (after Plan, clears bool) {
	s, p, ok := With(s, p, r.Changes)
	after, _ = Design(s, p)
	if !ok {
		return after, false
	}
	for i := range after.Checks {
		k := &after.Checks[i]
		if k.Code == c.Code && k.Field == c.Field && k.Severity != Sound {
			return after, false
		}
	}
	return after, true
}

// With applies changes to copies of a survey and a practice; ok is false when
// one of them was refused.
func With(s Survey, p Practice, changes []Change) (Survey, Practice, bool) {
	ok := true
	s = s.Clone()
	for _, c := range changes {
		if key, rule := strings.CutPrefix(c.Path, PracticePath); rule {
			next, err := p.With(map[string]float64{key: c.Value})
			p, ok = next, ok && err == nil
			continue
		}
		f, found := FieldAt(c.Path)
		switch {
		case !found:
			ok = false
		case f.Numeric():
			ok = f.SetValue(&s, Measured(c.Value, ByEstimate)) == nil && ok
		default:
			ok = f.SetWords(&s, c.Words) == nil && ok
		}
	}
	return s, p, ok
}

// Clone copies a survey so deeply that changing one never shows in the other.
func (s Survey) Clone() Survey {
	s.Drive.RunBackEdge.Points = append([]EdgePoint(nil), s.Drive.RunBackEdge.Points...)
	s.Drive.LatchEdge.Points = append([]EdgePoint(nil), s.Drive.LatchEdge.Points...)
	s.RunBack.Obstructions = append([]Obstruction(nil), s.RunBack.Obstructions...)
	s.Ground.Levels.Book = append([]BookRow(nil), s.Ground.Levels.Book...)
	s.Ground.Levels.Drops = append([]StringDrop(nil), s.Ground.Levels.Drops...)
	s.Network = s.Network.clone()
	return s
}
